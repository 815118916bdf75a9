//! Which unknown stage, if it were known, would narrow a figure most.
//!
//! In: a dossier. Out: for each unknown stage on a path the figure that would gain most, its range while the stage is
//! unknown, and its range with each principle. Not here: finding out what a stage is.
//!
//! How: each unknown stage is taken once to pass current (linear) and once to pass energy (switched, at the assumed
//! efficiency), all of them in every combination, and `power` and `runtime` are worked out anew. A figure's range is
//! what its 95 % intervals cover over the combinations. What a known stage would leave is the wider of its two ranges,
//! so that the promise holds whichever it is. A stage of a third kind is not covered.

use crate::network::is_unknown_stage;
use crate::{Cancelled, Case, FigureId, Known, METHODS, Method, Recorded};
use quantity::{Figure, Unit};
use record::{Conversion, ConversionKind, Dossier, Item, ItemKind};
use std::collections::BTreeMap;

/// More unknown stages than this are not computed over: each doubles the work.
const MOST_UNKNOWN: usize = 4;
/// Methods whose figures are looked at.
const TOLD_BY: [Method; 2] = [Method::Power, Method::Runtime];
/// A narrowing to more than this share of the range is not worth telling.
const LEAST_GAIN: f64 = 0.05;

/// What knowing one stage would tell.
#[derive(Debug, Clone, PartialEq)]
pub struct Narrowing {
    /// The item whose stage is unknown.
    pub item: String,
    /// The figure that gains most.
    pub figure: FigureId,
    /// What it is, in words.
    pub words: String,
    /// Its range while the stage is unknown, as printed.
    pub now: String,
    /// Its range if the stage is this, as printed.
    pub then: Vec<(ConversionKind, String)>,
    /// The width that stays at most, over the width now.
    pub left: f64,
}

/// What was found of all unknown stages.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Narrowings {
    /// Those that would narrow a figure, the greatest gain first.
    pub found: Vec<Narrowing>,
    /// How many unknown stages there are, where they are too many to compute over.
    pub too_many: Option<usize>,
}

/// Lists the unknown stages by what knowing each would tell.
///
/// # Errors
/// [`Cancelled`] if the work is to stop.
pub fn narrowings(
    dossier: &Dossier,
    known: &Known,
    recorded: &Recorded,
) -> Result<Narrowings, Cancelled> {
    let case = Case::new(dossier, known).with_logs(recorded);
    let unknown = unknown_stages(&case);
    if unknown.is_empty() {
        return Ok(Narrowings::default());
    }
    if unknown.len() > MOST_UNKNOWN {
        let too_many = Some(unknown.len());
        return Ok(Narrowings {
            too_many,
            ..Narrowings::default()
        });
    }
    let mut worlds = Vec::new();
    for number in 0..1_usize << unknown.len() {
        let mut taken = dossier.clone();
        for (k, stage) in unknown.iter().enumerate() {
            let principle = stage.principles[(number >> k) & 1];
            if let Some(item) = taken.items.iter_mut().find(|i| i.id == stage.item.id) {
                item.converts = Some(as_principle(item, principle));
            }
        }
        worlds.push(figures(&taken, known, recorded)?);
    }
    let mut found: Vec<Narrowing> = (0..unknown.len())
        .filter_map(|k| best(&unknown[k], k, &worlds))
        .collect();
    found.sort_by(|a, b| a.left.total_cmp(&b.left));
    Ok(Narrowings {
        found,
        too_many: None,
    })
}

/// A stage of which the principle is not known, with the two it may have.
struct Stage<'d> {
    item: &'d Item,
    principles: [ConversionKind; 2],
}

/// Returns the stages between the ends of the ways whose principle is not known, each once.
fn unknown_stages<'d>(case: &Case<'d>) -> Vec<Stage<'d>> {
    let mut found: Vec<Stage<'d>> = Vec::new();
    for start in case.network().supplies() {
        for path in case.network().paths_from(start) {
            let inner = path.items.len().saturating_sub(1);
            let into_cell = path
                .items
                .last()
                .is_some_and(|end| end.kind == ItemKind::Cell);
            for item in path.items.iter().take(inner).skip(1) {
                if !is_unknown_stage(item) {
                    continue;
                }
                let principles = match into_cell {
                    true => [
                        ConversionKind::LinearCharger,
                        ConversionKind::SwitchedCharger,
                    ],
                    false => [
                        ConversionKind::LinearRegulator,
                        ConversionKind::SwitchedRegulator,
                    ],
                };
                match found.iter_mut().find(|f| f.item.id == item.id) {
                    // What feeds a cell on one way is a charger on all.
                    Some(other) if into_cell => other.principles = principles,
                    Some(_) => {}
                    None => found.push(Stage { item, principles }),
                }
            }
        }
    }
    found
}

/// What an item converts, with another principle.
fn as_principle(item: &Item, kind: ConversionKind) -> Conversion {
    match &item.converts {
        Some(conversion) => Conversion {
            kind,
            ..conversion.clone()
        },
        None => Conversion {
            kind,
            output_voltage: None,
            efficiency: None,
            output_current_limit: None,
            input_current_limit: None,
            output_power_limit: None,
            quiescent_current: None,
            origin: None,
        },
    }
}

/// A figure with its range.
struct Ranged {
    words: String,
    low: f64,
    high: f64,
    unit: Unit,
}

fn figures(
    dossier: &Dossier,
    known: &Known,
    recorded: &Recorded,
) -> Result<BTreeMap<FigureId, Ranged>, Cancelled> {
    let case = Case::new(dossier, known).with_logs(recorded);
    let mut found = BTreeMap::new();
    let mut findings = Vec::new();
    for entry in METHODS.iter().filter(|e| TOLD_BY.contains(&e.method)) {
        findings.extend((entry.examine)(&case)?);
    }
    for finding in findings {
        for figure in &finding.figures {
            let id = FigureId {
                finding: finding.id.clone(),
                key: figure.key.clone(),
            };
            let ranged = Ranged {
                words: format!("{}: {}", finding.title, figure.name),
                low: figure.interval.low,
                high: figure.interval.high,
                unit: figure.unit.clone(),
            };
            found.insert(id, ranged);
        }
    }
    Ok(found)
}

/// Returns the figure that gains most from knowing stage `k`.
fn best(stage: &Stage<'_>, k: usize, worlds: &[BTreeMap<FigureId, Ranged>]) -> Option<Narrowing> {
    let first = worlds.first()?;
    let gains = first.keys().filter_map(|id| gain(stage, k, id, worlds));
    gains.min_by(|a, b| a.left.total_cmp(&b.left))
}

fn gain(
    stage: &Stage<'_>,
    k: usize,
    id: &FigureId,
    worlds: &[BTreeMap<FigureId, Ranged>],
) -> Option<Narrowing> {
    // A figure that not every combination gives has no range.
    let all: Option<Vec<&Ranged>> = worlds.iter().map(|world| world.get(id)).collect();
    let all = all?;
    let over = |of: &dyn Fn(usize) -> bool| {
        let kept = all.iter().enumerate().filter(|(number, _)| of(*number));
        kept.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (_, r)| {
            (low.min(r.low), high.max(r.high))
        })
    };
    let now = over(&|_| true);
    let width = now.1 - now.0;
    let then = [0, 1].map(|principle| over(&|number| (number >> k) & 1 == principle));
    let widest = then
        .iter()
        .map(|(low, high)| high - low)
        .fold(0.0, f64::max);
    let left = widest / width;
    let unit = &all.first()?.unit;
    let told =
        |(low, high): (f64, f64)| Figure::told(f64::midpoint(low, high), (low, high), &[], unit);
    (width.is_finite() && width > 0.0 && left <= 1.0 - LEAST_GAIN).then(|| Narrowing {
        item: stage.item.id.clone(),
        figure: id.clone(),
        words: all[0].words.clone(),
        now: told(now),
        then: stage.principles.into_iter().zip(then.map(told)).collect(),
        left,
    })
}
