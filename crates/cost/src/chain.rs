//! Outward from the factory: margins, taxes; and prices carried in time and between currencies.
//!
//! In: margins on the price, tax, index values, rates of one day. Out: prices.

/// Returns the mark-up on cost that a margin on the price is.
pub fn mark_up(margin: f64) -> f64 {
    margin / (1.0 - margin)
}

/// Returns the price paid for a cost, margins on the price being added one after the other, then tax.
pub fn price(cost: f64, margins: &[f64], tax: f64) -> f64 {
    margins
        .iter()
        .fold(cost, |price, margin| price / (1.0 - margin))
        * (1.0 + tax)
}

/// Returns the cost behind a price paid.
pub fn cost(price: f64, margins: &[f64], tax: f64) -> f64 {
    let kept: f64 = margins.iter().map(|margin| 1.0 - margin).product();
    price / (1.0 + tax) * kept
}

/// Returns a price carried from one value of an index to another. Carrying back is the same with the values turned
/// round; a change in per cent does not turn round.
pub fn carried(price: f64, from: f64, to: f64) -> f64 {
    price * to / from
}

/// Returns an amount in another currency by two rates against a third, both of one day.
pub fn crossed(amount: f64, own_per_third: f64, wanted_per_third: f64) -> f64 {
    amount / own_per_third * wanted_per_third
}

/// Returns running sums as shares of a whole.
pub fn running_shares(parts: &[f64], whole: f64) -> Vec<f64> {
    let sums = parts.iter().scan(0.0, |sum, part| {
        *sum += part;
        Some(*sum / whole)
    });
    sums.collect()
}
