//! The repairability index of smartphones and slate tablets: weights, points, class.
//!
//! In: for each listed part steps, fastening and tools, and points for spares, software and information, each as a span
//! of what it can still be. Out: the span of the index and the classes in it. Whole numbers: hundredths of a point within
//! the criteria, ten-thousandths in the index, so that a limit is met exactly.
//! Not here: how the steps of a product are counted.
//! Source: Delegated Regulation (EU) 2023/1669, annex IV, point 5, as a guidance site and an analyst's article give it;
//! not read in the Official Journal. Weights of foldable phones were not found but for their order, of the ladders for
//! spare parts and for information only the order, and not how many decimals the regulation keeps.

mod weights;

pub use weights::{FOLDING, PARTS, Weights};

use crate::Surety;
use crate::classes::Fastening;
use record::{SpareClass, ToolClass};

/// How surely all of it is known.
pub const SURETY: Surety = Surety::SecondHand;

/// Where it is from.
pub const SOURCE: &str = "Delegated Regulation (EU) 2023/1669, annex IV point 5, as a guidance site and an analyst's \
    article give it; not read in the Official Journal";

/// Steps that are added where a part works again only after the maker lets it.
pub const LOCK_STEPS: u8 = 5;

/// Years of software updates that earn most.
pub const SOFTWARE_YEARS: f64 = 7.0;

/// Points that can still be given, in hundredths: from 100 to 500.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// The least.
    pub low: u32,
    /// The most.
    pub high: u32,
}

impl Span {
    /// Whatever there is.
    pub const ANY: Self = Self {
        low: 100,
        high: 500,
    };

    /// Exactly so many points, 1 to 5.
    pub const fn of(points: u32) -> Self {
        Self {
            low: points * 100,
            high: points * 100,
        }
    }

    /// Points as the analyst read them in the regulation, 1 to 5.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "kept between 100 and 500"
    )]
    pub fn stated(points: f64) -> Self {
        let hundredths = (points * 100.0).round().clamp(100.0, 500.0) as u32;
        Self {
            low: hundredths,
            high: hundredths,
        }
    }

    /// Whether only one value is left.
    pub const fn is_settled(self) -> bool {
        self.low == self.high
    }

    /// Least and most, in points.
    pub fn points(self) -> (f64, f64) {
        (f64::from(self.low) / 100.0, f64::from(self.high) / 100.0)
    }
}

/// Returns the points for so many steps to a part.
pub const fn of_steps(steps: usize) -> Span {
    Span::of(match steps {
        0..=2 => 5,
        3..=5 => 4,
        6..=10 => 3,
        11..=15 => 2,
        _ => 1,
    })
}

/// Returns the points for what holds a part. Below the table is the least there is.
pub const fn of_fastening(fastening: Option<Fastening>) -> Span {
    match fastening {
        Some(Fastening::Reusable) => Span::of(5),
        Some(Fastening::Resupplied) => Span::of(3),
        Some(Fastening::Removable | Fastening::Neither) => Span::of(1),
        None => Span::ANY,
    }
}

/// Returns the points for the tools on the way to a part. Below the table is the least there is.
pub const fn of_tool(class: ToolClass) -> Span {
    match class {
        ToolClass::None => Span::of(5),
        ToolClass::Basic => Span::of(4),
        ToolClass::SuppliedWithPart => Span::of(3),
        ToolClass::SuppliedWithProduct => Span::of(2),
        ToolClass::ProductGroup
        | ToolClass::Commercial
        | ToolClass::Proprietary
        | ToolClass::NoneExists => Span::of(1),
        ToolClass::Unknown => Span::ANY,
    }
}

/// Returns the points for years of software updates.
pub fn of_software(years: f64) -> Span {
    Span::of(match years {
        y if y >= SOFTWARE_YEARS => 5,
        y if y >= SOFTWARE_YEARS - 1.0 => 3,
        _ => 1,
    })
}

/// What has to be on offer for each number of points, each rung with all below it; all listed parts earn five.
const LADDER: [&[SpareClass]; 3] = [
    &[SpareClass::Battery],
    &[SpareClass::BackCover],
    &[SpareClass::FrontCamera, SpareClass::RearCamera],
];

/// Returns the points for spare parts on offer to everybody. Only the order of the rungs was found; as there are five of
/// them and five points, each has its own. Where an offer is not known, it is taken once as made and once as not made.
pub fn of_spares(parts: &[SpareClass], is_offered: impl Fn(SpareClass) -> Option<bool>) -> Span {
    let rung = |unknown: bool, either: bool| -> u32 {
        let has = |class: SpareClass| is_offered(class).unwrap_or(unknown);
        if parts.iter().all(|class| has(*class)) {
            return 5;
        }
        if !has(SpareClass::Display) {
            return 1;
        }
        // Whether one camera of two makes the rung was not found.
        let made = |rung: &&&[SpareClass]| match either {
            true => rung.iter().any(|class| has(*class)),
            false => rung.iter().all(|class| has(*class)),
        };
        LADDER
            .iter()
            .take_while(made)
            .fold(1, |points, _| points + 1)
    };
    Span {
        low: Span::of(rung(false, false)).low,
        high: Span::of(rung(true, true)).high,
    }
}

/// Who gets the instructions for repair, the best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Informed {
    /// Anybody.
    Users,
    /// Professional repairers, free of charge.
    RepairersFree,
    /// Professional repairers, who pay.
    RepairersPay,
}

/// Returns the points for repair information. Only the order of the three rungs was found: the ends are taken as the ends
/// of the scale, and what lies between earns something between.
pub const fn of_information(informed: Informed) -> Span {
    match informed {
        Informed::Users => Span::of(5),
        Informed::RepairersFree => Span {
            low: 200,
            high: 400,
        },
        Informed::RepairersPay => Span::of(1),
    }
}

/// What the index is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Inputs {
    /// Steps, fastening and tools of each part, in the order of [`Weights::parts`].
    pub parts: Vec<[Span; 3]>,
    /// What each part weighs.
    pub weights: Weights,
    /// Spare parts, software updates, repair information.
    pub rest: [Span; 3],
}

/// The index and what it is made of, in ten-thousandths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Index {
    /// Steps, fasteners, tools, spare parts, software updates, repair information, in hundredths.
    pub criteria: [Span; 6],
    /// The index, in ten-thousandths.
    pub low: u32,
    /// The most it can still be, in ten-thousandths.
    pub high: u32,
}

/// Weights of the criteria in hundredths, with their names.
pub const CRITERIA: [(&str, u32); 6] = [
    ("steps", 25),
    ("fasteners", 15),
    ("tools", 15),
    ("spare parts", 15),
    ("software updates", 15),
    ("repair information", 15),
];

impl Inputs {
    /// Nothing is known.
    pub fn unknown(weights: Weights) -> Self {
        Self {
            parts: vec![[Span::ANY; 3]; weights.parts().len()],
            weights,
            rest: [Span::ANY; 3],
        }
    }

    /// Works the index out.
    pub fn index(&self) -> Index {
        let weighted = |criterion: usize| {
            let points: Vec<Span> = self.parts.iter().map(|part| part[criterion]).collect();
            self.weights.weighed(&points)
        };
        let [spares, software, information] = self.rest;
        let criteria = [
            weighted(0),
            weighted(1),
            weighted(2),
            spares,
            software,
            information,
        ];
        let sum = |end: fn(Span) -> u32| -> u32 {
            let all = criteria.iter().zip(CRITERIA);
            all.map(|(span, (_, weight))| end(*span) * weight).sum()
        };
        Index {
            criteria,
            low: sum(|s| s.low),
            high: sum(|s| s.high),
        }
    }
}

/// Least index of each class, in ten-thousandths, the best first.
const LIMITS: [(char, u32); 5] = [
    ('A', 40_000),
    ('B', 33_500),
    ('C', 25_500),
    ('D', 17_500),
    ('E', 10_000),
];

impl Index {
    /// Least and most, in points.
    pub fn points(&self) -> (f64, f64) {
        (f64::from(self.low) / 1e4, f64::from(self.high) / 1e4)
    }

    /// Whether only one value is left.
    pub const fn is_settled(&self) -> bool {
        self.low == self.high
    }

    /// Returns the classes that it can still have, the best first.
    pub fn classes(&self) -> Vec<char> {
        let class = |value: u32| {
            LIMITS
                .iter()
                .position(|(_, least)| value >= *least)
                .unwrap_or(4)
        };
        let (best, worst) = (class(self.high), class(self.low));
        LIMITS[best..=worst]
            .iter()
            .map(|(letter, _)| *letter)
            .collect()
    }
}
