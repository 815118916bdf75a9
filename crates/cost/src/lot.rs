//! How many to buy at once: orders against stock.
//!
//! In: demand, cost of an order, holding rate, prices with breaks. Out: lot sizes and yearly cost.
//! Source: economic order quantity with price breaks (Harris 1913), as worked in texts on operations.

use crate::Ladder;

/// What buying and holding takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// Pieces needed a year.
    pub demand: f64,
    /// Cost of one order.
    pub order: f64,
    /// Cost of holding, as share of the price a year.
    pub holding: f64,
}

impl Stock {
    /// Returns the lot that costs least at one unit price.
    pub fn lot(&self, price: f64) -> f64 {
        (2.0 * self.demand * self.order / (self.holding * price)).sqrt()
    }

    /// Returns the yearly cost of buying, ordering and holding lots of one size.
    pub fn yearly(&self, lot: f64, price: f64) -> f64 {
        lot / 2.0 * self.holding * price + self.demand / lot * self.order + self.demand * price
    }

    /// Returns the lot that costs least over all breaks, and its yearly cost.
    pub fn best(&self, ladder: &Ladder) -> (f64, f64) {
        let breaks = ladder.breaks();
        let lots = breaks.iter().enumerate().map(|(at, (from, price))| {
            let below = breaks.get(at + 1).map_or(f64::INFINITY, |next| next.0);
            let lot = self.lot(*price).clamp(*from, below);
            (lot, self.yearly(lot, *price))
        });
        lots.fold((f64::NAN, f64::INFINITY), |best, lot| {
            if lot.1 < best.1 { lot } else { best }
        })
    }
}
