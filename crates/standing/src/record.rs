//! What chance alone gives of records.
//!
//! In: how many others there are, how many attributes were looked at. Out: probabilities and expected numbers.
//! Not here: whether a value is a record (`rank`). All orders of the products are equally likely here, without ties.

use crate::numeric::least_that;

/// Returns the probability that a new product is among the `best` ones on one side, of itself and `others`.
pub fn chance(others: usize, best: usize) -> f64 {
    (best as f64 / (others as f64 + 1.0)).min(1.0)
}

/// Returns how many products of a row are expected to be records when they come, the first among them.
pub fn expected(products: usize) -> f64 {
    (1..=products).map(|k| 1.0 / k as f64).sum()
}

/// Returns the probability that a new product is the least or the greatest in at least one attribute, given how many
/// others have each; the attributes do not hang together.
pub fn chance_of_any(others: impl IntoIterator<Item = usize>) -> f64 {
    let each = others.into_iter().map(|others| spared(others as f64 + 1.0));
    1.0 - each.product::<f64>()
}

/// The probability that one of some products is neither the least nor the greatest.
fn spared(products: f64) -> f64 {
    (1.0 - 2.0 / products).max(0.0)
}

/// Returns the least number of products, the new one among them, with which a record in any of some attributes is
/// no likelier than a probability; none where no number is enough.
pub fn least_products(attributes: usize, at_most: f64) -> Option<usize> {
    least_that(|products| spared(products).powf(attributes as f64) >= 1.0 - at_most)
}

/// Returns the probability of at least one false alarm among tests of true hypotheses at one level each.
pub fn false_alarm(tests: usize, level: f64) -> f64 {
    1.0 - (1.0 - level).powf(tests as f64)
}
