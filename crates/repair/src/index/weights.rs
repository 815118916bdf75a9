//! What each listed part weighs in the index, or what is known of it.
//!
//! In: points of each part as spans. Out: the span of their weighted sum, over all weights that are still possible.
//! Source: the weights of phones that do not fold and the order of those that do, from an analyst's article on Delegated
//! Regulation (EU) 2023/1669, annex IV point 5. What is worked out of the order alone is linear programming: a linear
//! function takes its least and its most at a corner, and the corners of ordered weights that add up to one are the equal
//! weights of sets that hold with each part all that outweigh it (Stanley 1986, Two poset polytopes, from memory).

use super::Span;
use record::SpareClass;

/// The listed parts of a phone that does not fold, with their weights in hundredths.
pub const PARTS: [(SpareClass, u32); 9] = [
    (SpareClass::Battery, 30),
    (SpareClass::Display, 30),
    (SpareClass::BackCover, 10),
    (SpareClass::FrontCamera, 5),
    (SpareClass::RearCamera, 5),
    (SpareClass::ChargingPort, 5),
    (SpareClass::Button, 5),
    (SpareClass::Microphone, 5),
    (SpareClass::Speaker, 5),
];

/// The listed parts of a phone that folds: two that weigh most, the hinge, and the rest. Their weights were not found.
pub const FOLDING: [SpareClass; 10] = [
    SpareClass::Battery,
    SpareClass::Display,
    SpareClass::Hinge,
    SpareClass::BackCover,
    SpareClass::FrontCamera,
    SpareClass::RearCamera,
    SpareClass::ChargingPort,
    SpareClass::Button,
    SpareClass::Microphone,
    SpareClass::Speaker,
];

/// Weights of the listed parts.
#[derive(Debug, Clone, PartialEq)]
pub enum Weights {
    /// Those of a phone that does not fold, or of a tablet.
    Flat,
    /// Of a phone that folds only the order is known: battery and display, then the hinge, then the rest.
    FoldingOrder,
    /// Those of a phone that folds, in ten-thousandths, in the order of [`FOLDING`], which add up to one.
    Folding([u32; 10]),
}

impl Weights {
    /// Takes weights in percent, in the order of [`FOLDING`]; `None` where they are not ten that add up to a hundred.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "kept between nothing and ten thousand"
    )]
    pub fn folding(percent: &[f64]) -> Option<Self> {
        let given: [f64; 10] = percent.try_into().ok()?;
        let weights = given.map(|one| (one * 100.0).round().clamp(0.0, 10_000.0) as u32);
        (weights.iter().sum::<u32>() == 10_000).then_some(Self::Folding(weights))
    }

    /// The parts in the order of their points.
    pub fn parts(&self) -> Vec<SpareClass> {
        match self {
            Self::Flat => PARTS.iter().map(|(class, _)| *class).collect(),
            Self::FoldingOrder | Self::Folding(_) => FOLDING.to_vec(),
        }
    }

    /// What a part weighs, in percent; `None` where that was not found.
    pub fn percent(&self, at: usize) -> Option<f64> {
        match self {
            Self::Flat => PARTS.get(at).map(|(_, weight)| f64::from(*weight)),
            Self::Folding(weights) => weights.get(at).map(|weight| f64::from(*weight) / 100.0),
            Self::FoldingOrder => None,
        }
    }

    /// Returns what the weighted sum of points can be, in hundredths: ends that lie between them are moved outwards.
    pub(super) fn weighed(&self, points: &[Span]) -> Span {
        let (low, high) = (|span: &Span| span.low, |span: &Span| span.high);
        let sum = |weights: &mut dyn Iterator<Item = u32>, end: fn(&Span) -> u32| -> u32 {
            weights
                .zip(points)
                .map(|(weight, span)| end(span) * weight)
                .sum()
        };
        let flat = || PARTS.iter().map(|(_, weight)| weight * 100);
        match self {
            Self::Flat => Span {
                low: sum(&mut flat(), low) / 10_000,
                high: sum(&mut flat(), high).div_ceil(10_000),
            },
            Self::Folding(weights) => Span {
                low: sum(&mut weights.iter().copied(), low) / 10_000,
                high: sum(&mut weights.iter().copied(), high).div_ceil(10_000),
            },
            Self::FoldingOrder => {
                // The least is the most of the points turned round.
                let turned: Vec<u32> = points.iter().map(|span| TURN - span.low).collect();
                let highs: Vec<u32> = points.iter().map(high).collect();
                Span {
                    low: TURN - most(&turned),
                    high: most(&highs),
                }
            }
        }
    }
}

/// More than any points.
const TURN: u32 = 600;

/// Returns the most that ordered weights can make of points, moved outwards to a whole number.
fn most(points: &[u32]) -> u32 {
    let [battery, display, hinge, rest @ ..] = points else {
        return TURN;
    };
    let two = (battery + display).div_ceil(2);
    let mut best = (*battery).max(*display).max(two);
    // With the hinge come both that outweigh it; of the rest any, the highest first.
    let mut rest = rest.to_vec();
    rest.sort_unstable_by(|a, b| b.cmp(a));
    let (mut sum, mut count) = (battery + display + hinge, 3);
    best = best.max(sum.div_ceil(count));
    for one in rest {
        sum += one;
        count += 1;
        best = best.max(sum.div_ceil(count));
    }
    best
}
