//! Parts put on boards: what a placement costs, how many parts are lost, what more layers cost.
//!
//! In: yearly cost of a line, what it really places, rules of buyers and makers. Out: cost per placement, pieces to
//! buy, factors between boards.

/// What a year of a placement line costs, by what it is for, in one currency.
pub type Yearly<'a> = &'a [(&'a str, f64)];

/// Returns the cost of one placement: the year's cost over what was placed in it. The rate printed on a machine is
/// 20 % to 40 % above that (common practice, asked of line engineers), and makes it so much too cheap.
pub fn per_placement(year: Yearly<'_>, placed: f64) -> f64 {
    year.iter().map(|(_, cost)| cost).sum::<f64>() / placed
}

/// Returns the cost of one placement of a line that is paid by the hour.
pub fn per_placement_by_hour(hour: f64, placed_per_hour: f64) -> f64 {
    hour / placed_per_hour
}

/// Returns the cost of placing one board: the set-up shared by a run, and its placements.
pub fn per_board(set_up: f64, run: f64, placements: f64, each: f64) -> f64 {
    set_up / run + placements * each
}

/// How many parts of one kind are lost in a run: a share, and never fewer than some.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attrition {
    /// Share lost, 0 to 1.
    pub share: f64,
    /// Fewest lost.
    pub least: f64,
}

impl Attrition {
    /// Returns how many to buy for a need.
    pub fn bought(&self, needed: f64) -> f64 {
        // 0.1 × 5000 is a little more than 500 in binary.
        let lost = (self.share * needed - 1e-9).ceil();
        needed + lost.max(self.least)
    }
}

/// Returns the greatest over the least of what several rules say.
pub fn apart(rules: &[f64]) -> f64 {
    let most = rules.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    most / rules.iter().copied().fold(f64::INFINITY, f64::min)
}

/// Returns the factor of several steps that each add a share.
pub fn steps(added: &[f64]) -> f64 {
    added.iter().map(|share| 1.0 + share).product()
}
