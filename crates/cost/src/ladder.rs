//! Price against quantity: the breaks of a quotation.
//!
//! In: quantities and unit prices. Out: the price of a quantity read three ways: as the staircase that is printed, as
//! the cheapest purchase it allows, and smoothly for quantities between and beyond the breaks.
//! Not here: whether a price still holds (`chain`).
//!
//! Source: ln P is taken as linear in ln Q between two breaks (a power law; common practice). Linear models of price
//! against quantity give negative prices: 0.7 − 0.002 Q, printed by a maker of boards, is −0.3 of the base at 500.

/// Doubt added for every tenfold beyond the last break, as standard deviation of the logarithm: a choice.
pub const BEYOND: f64 = 0.1;

/// Unit prices by the quantity from which they hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Ladder {
    breaks: Vec<(f64, f64)>,
}

/// Why breaks are no ladder.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LadderError {
    /// There is none.
    #[error("there is no price")]
    Empty,
    /// A quantity below zero, zero or not finite.
    #[error("{0} is no quantity to buy")]
    Quantity(f64),
    /// A price below zero or not finite.
    #[error("{0} is no price")]
    Price(f64),
    /// Two prices for one quantity, or quantities out of order.
    #[error("the quantity {0} does not come after {1}")]
    Order(f64, f64),
}

impl Ladder {
    /// Makes a ladder of (quantity from, unit price), by rising quantity.
    ///
    /// # Errors
    /// Quantities that are not above zero and rising; prices below zero.
    pub fn new(breaks: Vec<(f64, f64)>) -> Result<Self, LadderError> {
        if breaks.is_empty() {
            return Err(LadderError::Empty);
        }
        for &(quantity, price) in &breaks {
            if !(quantity > 0.0 && quantity.is_finite()) {
                return Err(LadderError::Quantity(quantity));
            }
            if !(price >= 0.0 && price.is_finite()) {
                return Err(LadderError::Price(price));
            }
        }
        match breaks.windows(2).find(|pair| pair[1].0 <= pair[0].0) {
            Some(pair) => Err(LadderError::Order(pair[1].0, pair[0].0)),
            None => Ok(Self { breaks }),
        }
    }

    /// Makes a price that does not depend on the quantity.
    ///
    /// # Errors
    /// A price below zero.
    pub fn flat(price: f64) -> Result<Self, LadderError> {
        Self::new(vec![(1.0, price)])
    }

    /// The breaks, by rising quantity.
    pub fn breaks(&self) -> &[(f64, f64)] {
        &self.breaks
    }

    /// The greatest quantity that a price is quoted for.
    pub fn last(&self) -> f64 {
        self.breaks[self.breaks.len() - 1].0
    }

    /// Returns every price times a factor.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        let breaks = self.breaks.iter().map(|(q, p)| (*q, p * factor)).collect();
        Self { breaks }
    }

    /// Returns the unit price as printed for a quantity; below the first break that of the first.
    pub fn stair(&self, quantity: f64) -> f64 {
        let from = self.breaks.iter().rev().find(|(q, _)| *q <= quantity);
        from.unwrap_or(&self.breaks[0]).1
    }

    /// Returns what each of `quantity` costs in the cheapest purchase: as many, or as many as one of the next breaks.
    pub fn cheapest(&self, quantity: f64) -> f64 {
        let more = self.breaks.iter().filter(|(q, _)| *q >= quantity);
        let whole = more
            .map(|(q, p)| q * p)
            .fold(quantity * self.stair(quantity), f64::min);
        whole / quantity
    }

    /// Returns from which quantity buying as many as the break at `next` is cheaper than the price below it.
    pub fn turns(&self, next: usize) -> Option<f64> {
        let (quantity, price) = *self.breaks.get(next)?;
        let below = self.breaks.get(next.checked_sub(1)?)?.1;
        (below > 0.0).then(|| quantity * price / below)
    }

    /// Returns the slope of ln P against ln Q of the step that a quantity is on; the last one beyond it. Zero where
    /// there is one break, or a price is zero.
    pub fn slope(&self, quantity: f64) -> f64 {
        let steps = self.breaks.len().saturating_sub(1);
        if steps == 0 {
            return 0.0;
        }
        let at = self.breaks.iter().filter(|(q, _)| *q <= quantity).count();
        let step = at.saturating_sub(1).min(steps - 1);
        let ((q0, p0), (q1, p1)) = (self.breaks[step], self.breaks[step + 1]);
        if p0 > 0.0 && p1 > 0.0 {
            (p1 / p0).ln() / (q1 / q0).ln()
        } else {
            0.0
        }
    }

    /// Returns the unit price between breaks, and beyond the last one with its slope carried on; below the first it is
    /// that of the first. It is what a buyer of that quantity pays who negotiates instead of taking a break.
    pub fn smooth(&self, quantity: f64) -> f64 {
        let at = self.breaks.iter().filter(|(q, _)| *q <= quantity).count();
        let Some(step) = at.checked_sub(1) else {
            return self.breaks[0].1;
        };
        let (from, price) = self.breaks[step];
        price * (self.slope(quantity) * (quantity / from).ln()).exp()
    }

    /// Returns what each of `quantity` costs: the cheapest purchase, or the price between breaks where that is lower;
    /// with the standard deviation of its logarithm that the distance beyond the last break adds.
    pub fn price(&self, quantity: f64) -> (f64, f64) {
        let price = self.smooth(quantity).min(self.cheapest(quantity));
        (price, self.beyond(quantity))
    }

    /// Returns the standard deviation of the logarithm that a quantity beyond the last break adds. One price for all
    /// quantities says nothing of a quantity and so is not left.
    pub fn beyond(&self, quantity: f64) -> f64 {
        if self.breaks.len() < 2 {
            return 0.0;
        }
        (BEYOND * (quantity / self.last()).log10()).max(0.0)
    }

    /// Fits one straight line of ln P against ln Q through all breaks: slope, and price of one.
    pub fn line(&self) -> Option<(f64, f64)> {
        let logs: Vec<(f64, f64)> = self.breaks.iter().map(|(q, p)| (q.ln(), p.ln())).collect();
        let n = logs.len() as f64;
        let mean = |of: fn(&(f64, f64)) -> f64| logs.iter().map(of).sum::<f64>() / n;
        let (x, y) = (mean(|l| l.0), mean(|l| l.1));
        let (mut across, mut both) = (0.0, 0.0);
        for (lq, lp) in &logs {
            across += (lq - x) * (lq - x);
            both += (lq - x) * (lp - y);
        }
        let slope = both / across;
        slope.is_finite().then(|| (slope, (y - slope * x).exp()))
    }
}
