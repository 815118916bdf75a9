//! The repairability index of smartphones and slate tablets: weights, points, class.
//!
//! In: for each listed part steps, fastening and tools, and points for spares, software and information, each as a span
//! of what it can still be. Out: the span of the index and the classes in it. Whole numbers: hundredths of a point within
//! the criteria, ten-thousandths in the index, so that a limit is met exactly.
//! Not here: how the steps of a product are counted.
//! Source: Delegated Regulation (EU) 2023/1669, annex IV, point 5, as a guidance site and an analyst's article give it;
//! not read in the Official Journal. Weights of foldable phones, points of the middle of the ladder for spare parts and
//! points for information were not found, and how many decimals the regulation keeps.

use crate::Surety;
use crate::classes::Fastening;
use record::{SpareClass, ToolClass};

/// How surely all of it is known.
pub const SURETY: Surety = Surety::SecondHand;

/// Where it is from.
pub const SOURCE: &str = "Delegated Regulation (EU) 2023/1669, annex IV point 5, as a guidance site and an analyst's \
    article give it; not read in the Official Journal";

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

/// Returns the points for spare parts on offer. Between all and none only the order of the steps is known.
pub fn of_spares(is_offered: impl Fn(SpareClass) -> Option<bool>) -> Span {
    let all = PARTS.iter().map(|(class, _)| is_offered(*class));
    let (mut known, mut offered) = (0, 0);
    for answer in all {
        known += usize::from(answer.is_some());
        offered += usize::from(answer == Some(true));
    }
    let alone = offered == 1 && is_offered(SpareClass::Display) == Some(true);
    match (known, offered) {
        (9, 9) => Span::of(5),
        (9, 0) => Span::of(1),
        (9, _) if alone => Span::of(1),
        _ => Span::ANY,
    }
}

/// What the index is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Inputs {
    /// Steps, fastening and tools of each part, in the order of [`PARTS`].
    pub parts: [[Span; 3]; 9],
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
    pub const UNKNOWN: Self = Self {
        parts: [[Span::ANY; 3]; 9],
        rest: [Span::ANY; 3],
    };

    /// Works the index out.
    pub fn index(&self) -> Index {
        let weighted = |criterion: usize| {
            let sum = |end: fn(Span) -> u32| -> u32 {
                let parts = self.parts.iter().zip(PARTS);
                parts
                    .map(|(part, (_, weight))| end(part[criterion]) * weight)
                    .sum::<u32>()
                    / 100
            };
            Span {
                low: sum(|s| s.low),
                high: sum(|s| s.high),
            }
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
