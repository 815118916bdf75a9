//! Yields, rework, inspection and tests of a process.
//!
//! In: shares of good pieces, added value, cost of looking. Out: what a good piece costs, what slips through.
//! Source: formulas of quality engineering, checked against printed examples; 1 − Y^(1−T) is T. W. Williams, N. C.
//! Brown, "Defect level as a function of fault coverage", IEEE Trans. Comput. C-30 (1981) 987.
//!
//! Scrap carries all the value added until it is found. Shares of defects do not add (1 − Σq), and 1 − DPU, printed for
//! the share without defects, is its first term: e^−DPU.

/// One step of a process.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Share of good pieces that stay good.
    pub good: f64,
    /// Value that it adds.
    pub value: f64,
    /// Cost of looking at each piece after it and taking the bad ones out; none where nobody looks.
    pub inspection: Option<f64>,
}

/// Returns what is good after all steps, as share of what was started.
pub fn through(goods: &[f64]) -> f64 {
    goods.iter().product()
}

/// Returns how many to start for a number of good ones.
pub fn starts(good: f64, through: f64) -> f64 {
    (good / through).ceil()
}

/// Returns what a good piece costs at the end of a process.
pub fn per_good(steps: &[Step]) -> f64 {
    let (mut there, mut good, mut cost) = (1.0, 1.0, 0.0);
    for step in steps {
        cost += there * step.value;
        good *= step.good;
        if let Some(inspection) = step.inspection {
            cost += there * inspection;
            there *= good;
            good = 1.0;
        }
    }
    cost / (there * good)
}

/// Returns the share without a defect among `opportunities`, each with a chance (Poisson).
pub fn without_defect(opportunities: f64, chance: f64) -> f64 {
    (-opportunities * chance).exp()
}

/// Returns the share that each of `elements` alike must reach for one in all.
pub fn each_of(whole: f64, elements: f64) -> f64 {
    whole.powf(1.0 / elements)
}

/// What is done with pieces that fail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rework {
    /// Its cost, whether it succeeds or not.
    pub cost: f64,
    /// Share that it saves; the rest is scrapped.
    pub saves: f64,
}

/// Returns what a good piece costs after a level that costs `cost` and of which `good` are good at first, and the
/// share good in the end.
pub fn level(cost: f64, good: f64, rework: Option<Rework>) -> (f64, f64) {
    let rework = rework.unwrap_or(Rework {
        cost: 0.0,
        saves: 0.0,
    });
    let end = good + (1.0 - good) * rework.saves;
    ((cost + (1.0 - good) * rework.cost) / end, end)
}

/// Returns the share of bad pieces among those that pass a test of a coverage.
pub fn escapes(good: f64, coverage: f64) -> f64 {
    1.0 - good.powf(1.0 - coverage)
}

/// Returns the coverage that keeps what slips through at a share.
pub fn coverage_for(good: f64, escapes: f64) -> f64 {
    1.0 - (1.0 - escapes).ln() / good.ln()
}

/// Returns of a test the share that passes, the share of those that is good, and what one that passes costs.
pub fn test(good: f64, coverage: f64, cost: f64, test: f64) -> (f64, f64, f64) {
    let pass = good.powf(coverage);
    (pass, good.powf(1.0 - coverage), (cost + test) / pass)
}
