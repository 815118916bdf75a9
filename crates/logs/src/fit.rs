//! A cell fitted to a log, and what it predicts.
//!
//! In: a series measured at a cell, tables of open-circuit voltage that may be the cell's, what is known of the cell
//! beforehand. Out: capacity, state of charge at the start, resistances and time constants with their uncertainty, one
//! set for each table with the weight it deserves; when the charge will end, as an interval. Not here: the circuit
//! itself (`charging`), where tables come from (the caller).
//!
//! The measured current drives the circuit (a resistance and two pairs, one fast and one slow, which stands for
//! diffusion), and the voltage is compared: so no charger has to be known. Least squares with weights that let single
//! samples stray (Huber 1964) and with what is known beforehand as further observations. Residuals of a model that is
//! not the cell follow each other; their number is taken as that of independent ones with the same correlation, and
//! tables are weighed by their likelihood with that number. Valid between the voltages of a table.

mod chain;
mod model;
mod predict;
mod solve;

use crate::levels::noise;
use crate::phases::sees_cell;
use crate::series::Series;
use charging::Ocv;
use nalgebra::{SMatrix, SVector};
use serde::Serialize;

pub use predict::{Plan, Prediction, predict_end};

/// Parameters of the circuit.
pub(crate) const PARAMETERS: usize = 7;

pub(crate) type Values = SVector<f64, PARAMETERS>;
pub(crate) type Spread = SMatrix<f64, PARAMETERS, PARAMETERS>;

/// Samples that are fitted, evenly chosen from those that were kept.
const FITTED: usize = 400;

/// Fewest samples that tell anything.
const FEWEST: usize = 12;

/// Volts by which a table is off a real cell at least: published sets of one cell differ by as much (an assumption).
const TABLE_V: f64 = 0.012;

/// A table errs one way over this share of the charge: so many independent residuals a charge has at most.
const ONE_ERROR: f64 = 0.1;

/// What is known of a cell before it is fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// Capacity in ampere-hours, as printed or estimated.
    pub capacity_ah: f64,
    /// Its relative standard uncertainty.
    pub capacity_share: f64,
    /// Resistance that shows within a second, in ohm; a third as much is taken for the fast pair, three
    /// quarters for the slow one.
    pub ohm: f64,
    /// Standard uncertainty of the natural logarithm of each resistance; half as much again for the slow one.
    pub ohm_log: f64,
}

impl Known {
    /// What the print says, and resistances as cells of that size have them: 0.1 ohm for 1 Ah, within a factor of two
    /// (an assumption; from memory).
    pub fn from_capacity(capacity_ah: f64, capacity_share: f64) -> Self {
        Self {
            capacity_ah,
            capacity_share,
            ohm: 0.1 / capacity_ah,
            ohm_log: 0.7,
        }
    }

    /// Middle and standard uncertainty of each parameter beforehand.
    fn priors(&self) -> (Values, Values) {
        let middle = [
            self.capacity_ah.ln(),
            0.3,
            self.ohm.ln(),
            (self.ohm / 3.0).ln(),
            (self.ohm * 0.75).ln(),
            30_f64.ln(),
            800_f64.ln(),
        ];
        let log = self.ohm_log;
        // The start is not known; of the time constants only the order of magnitude is.
        let spread = [self.capacity_share, 0.6, log, log, 1.5 * log, 1.0, 0.7];
        (Values::from(middle), Values::from(spread))
    }
}

/// A circuit's parameters, or their standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Circuit {
    /// Capacity, ampere-hours.
    pub capacity_ah: f64,
    /// State of charge at the first sample, from 0 to 1.
    pub start_soc: f64,
    /// Series resistance, ohm.
    pub ohm: f64,
    /// Resistances of the fast and the slow pair, ohm.
    pub pair_ohm: [f64; 2],
    /// Their time constants, seconds.
    pub pair_s: [f64; 2],
}

/// A circuit fitted with one table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fitted {
    /// Which of the tables, from 0.
    pub table: usize,
    /// How likely this table is among those given; all add up to 1.
    pub weight: f64,
    /// The parameters.
    pub circuit: Circuit,
    /// Their standard uncertainties.
    pub standard: Circuit,
    /// Root mean square of what is left where the table is straight, volts.
    pub rms_v: f64,
    /// Number of independent residuals that carry as much as those there are.
    pub independent: f64,
    #[serde(skip)]
    pub(crate) values: Values,
    #[serde(skip)]
    pub(crate) covariance: Spread,
    #[serde(skip)]
    pub(crate) doubts: Vec<f64>,
    #[serde(skip)]
    pub(crate) known: (Values, Values),
    #[serde(skip)]
    pub(crate) sigma: f64,
    #[serde(skip)]
    pub(crate) counted: f64,
}

impl Fitted {
    /// Returns the problem that this fit solved.
    fn problem<'a>(&self, driven: &'a model::Driven, ocv: &'a Ocv) -> solve::Problem<'a> {
        solve::Problem {
            driven,
            ocv,
            doubts: self.doubts.clone(),
            middle: self.known.0,
            spread: self.known.1,
            sigma: self.sigma,
            independent: self.counted,
        }
    }
}

/// Why no cell was fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum FitError {
    /// The meter sat elsewhere.
    #[error("the log was not measured at a cell: a socket's voltage says nothing about one")]
    NotAtCell,
    /// Too little to tell anything.
    #[error("the log holds fewer than {FEWEST} samples with current up to there")]
    TooShort,
    /// What is known beforehand is no number above zero, or there is no table.
    #[error("there is no table of open-circuit voltage, or no capacity and resistance above zero")]
    NothingKnown,
    /// No step makes the residuals smaller and nothing is determined.
    #[error("the samples do not determine a circuit")]
    Undetermined,
    /// The circuit does not come to an end under the plan.
    #[error("no fitted circuit reaches the end of charge")]
    NoEnd,
}

/// Fits a circuit to the points of a series up to `last`, once for each table. The likeliest comes first.
///
/// # Errors
/// Not at a cell, too few samples, nothing known, nothing determined.
pub fn fit(
    series: &Series,
    last: usize,
    tables: &[Ocv],
    known: &Known,
) -> Result<Vec<Fitted>, FitError> {
    if !sees_cell(series) {
        return Err(FitError::NotAtCell);
    }
    let numbers = [
        known.capacity_ah,
        known.capacity_share,
        known.ohm,
        known.ohm_log,
    ];
    if tables.is_empty()
        || !numbers
            .iter()
            .all(|value| value.is_finite() && *value > 0.0)
    {
        return Err(FitError::NothingKnown);
    }
    let driven = model::Driven::new(series, last, FITTED);
    if driven.len() < FEWEST {
        return Err(FitError::TooShort);
    }
    let measured: Vec<f64> = series.points.iter().map(|point| point.volts).collect();
    let floor = TABLE_V.max(noise(&measured));
    let mut fits: Vec<Fitted> = tables
        .iter()
        .enumerate()
        .filter_map(|(table, ocv)| one(&driven, table, ocv, known, floor))
        .collect();
    if fits.is_empty() {
        return Err(FitError::Undetermined);
    }
    weigh(&mut fits);
    fits.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    Ok(fits)
}

fn one(
    driven: &model::Driven,
    table: usize,
    ocv: &Ocv,
    known: &Known,
    floor: f64,
) -> Option<Fitted> {
    let (middle, spread) = known.priors();
    let mut values = middle;
    // The start follows from the first voltage; what the current adds is taken off roughly.
    values[1] = driven.first_soc(ocv, 1.5 * known.ohm);
    let (mut sigma, mut independent) = (4.0 * floor, 12.0);
    let mut found = None;
    for _ in 0..4 {
        let problem = solve::Problem {
            driven,
            ocv,
            doubts: driven.doubts(ocv, &values, TABLE_V),
            middle,
            spread,
            sigma,
            independent,
        };
        let solved = solve::solve(&problem, values)?;
        values = solved.values;
        let used = (sigma, independent);
        let (rms, count) = model::independent(&problem.residuals(&values));
        let count = count.min(2.0 + driven.passed_ah() / known.capacity_ah / ONE_ERROR);
        (sigma, independent) = (rms.max(floor), count);
        found = Some((solved, rms, problem.doubts, used));
    }
    let (solved, rms_v, doubts, (sigma, counted)) = found?;
    let circuit = model::circuit(&solved.values);
    let deviation = |at: usize| solved.covariance[(at, at)].max(0.0).sqrt();
    let standard = Circuit {
        capacity_ah: circuit.capacity_ah * deviation(0),
        start_soc: deviation(1),
        ohm: circuit.ohm * deviation(2),
        pair_ohm: [
            circuit.pair_ohm[0] * deviation(3),
            circuit.pair_ohm[1] * deviation(4),
        ],
        pair_s: [
            circuit.pair_s[0] * deviation(5),
            circuit.pair_s[1] * deviation(6),
        ],
    };
    Some(Fitted {
        table,
        weight: solved.misfit,
        circuit,
        standard,
        rms_v,
        independent,
        values: solved.values,
        covariance: solved.covariance,
        doubts,
        known: (middle, spread),
        sigma,
        counted,
    })
}

/// Turns misfits into weights: the likelihood of residuals of unknown size, and of the parameters beforehand.
fn weigh(fits: &mut [Fitted]) {
    let count = fits
        .iter()
        .map(|fit| fit.independent)
        .fold(f64::INFINITY, f64::min);
    let log = |fit: &Fitted| -count * fit.rms_v.max(TABLE_V).ln() - fit.weight / 2.0;
    let most = fits.iter().map(log).fold(f64::NEG_INFINITY, f64::max);
    let shares: Vec<f64> = fits.iter().map(|fit| (log(fit) - most).exp()).collect();
    let sum: f64 = shares.iter().sum();
    for (fit, share) in fits.iter_mut().zip(shares) {
        fit.weight = share / sum;
    }
}
