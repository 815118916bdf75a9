//! Preferred values: which series a value belongs to, and the nearest member of any series.
//!
//! In: a positive number. Out: series, nearest member, deviation. Source: IEC 60063:2015. E48, E96 and
//! E192 are 10^(i/n) rounded to three digits, with one historical exception (920 for 919); E24 and below
//! are a list because eight of its values differ from the rounded powers.

use crate::text::plain;
use serde::Serialize;

/// A series of preferred values.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[allow(missing_docs, reason = "the names are the standard's")]
pub enum Series {
    E3,
    E6,
    E12,
    E24,
    E48,
    E96,
    E192,
}

const E24: [u32; 24] = [
    10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
];

impl Series {
    /// All series, from the coarsest.
    pub const ALL: [Self; 7] = [
        Self::E3,
        Self::E6,
        Self::E12,
        Self::E24,
        Self::E48,
        Self::E96,
        Self::E192,
    ];

    /// Returns how many values a decade has.
    pub fn len(self) -> usize {
        match self {
            Self::E3 => 3,
            Self::E6 => 6,
            Self::E12 => 12,
            Self::E24 => 24,
            Self::E48 => 48,
            Self::E96 => 96,
            Self::E192 => 192,
        }
    }

    /// Never: every series has values.
    pub fn is_empty(self) -> bool {
        false
    }

    /// Returns the value with an index within the decade from 100 to 999; larger indices start again.
    pub fn value(self, index: usize) -> u32 {
        let index = index % self.len();
        if self.len() <= 24 {
            return E24[index * (24 / self.len())] * 10;
        }
        let step = 192 / self.len();
        let power = 10f64.powf((index * step) as f64 / 192.0) * 100.0;
        match power.round() as u32 {
            919 => 920,
            value => value,
        }
    }

    /// Returns the usual tolerance of parts with values of this series, in words.
    pub fn usual_tolerance(self) -> &'static str {
        match self {
            Self::E3 => "more than 20 %",
            Self::E6 => "20 %",
            Self::E12 => "10 %",
            Self::E24 => "5 %",
            Self::E48 => "2 %",
            Self::E96 => "1 %",
            Self::E192 => "0.5 % or better",
        }
    }
}

/// The member of a series that is nearest to a value.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Nearest {
    /// The series.
    pub series: Series,
    /// The member, in the unit of the value.
    pub member: f64,
    /// (value − member) / member, in per cent.
    pub deviation_percent: f64,
}

/// Splits a positive value into a mantissa from 100 to below 1000 and its power of ten.
fn decade(value: f64) -> Option<(f64, i32)> {
    if !value.is_finite() || value <= 0.0 {
        return None;
    }
    let mut power = value.log10().floor() as i32 - 2;
    let mut mantissa = value / 10f64.powi(power);
    // The logarithm may round across a power of ten.
    if mantissa < 99.999_999_9 {
        power -= 1;
        mantissa = value / 10f64.powi(power);
    } else if mantissa >= 999.999_999 {
        power += 1;
        mantissa = value / 10f64.powi(power);
    }
    mantissa.is_finite().then_some((mantissa, power))
}

/// Returns the series a value belongs to, from the coarsest; empty for zero, negative and infinite ones.
pub fn memberships(value: f64) -> Vec<Series> {
    let Some((mantissa, _)) = decade(value) else {
        return Vec::new();
    };
    let is_member = |s: &Series| {
        (0..s.len()).any(|i| (mantissa - f64::from(s.value(i))).abs() < 1e-6 * mantissa)
    };
    Series::ALL.into_iter().filter(is_member).collect()
}

/// Returns the nearest member of a series by ratio; none for zero, negative and infinite values.
pub fn nearest(value: f64, series: Series) -> Option<Nearest> {
    let (mantissa, power) = decade(value)?;
    let members = (0..series.len())
        .map(|i| f64::from(series.value(i)))
        .chain([1000.0]);
    let member = members.min_by(|a, b| {
        let apart = |m: f64| (mantissa / m).ln().abs();
        apart(*a).total_cmp(&apart(*b))
    })?;
    let deviation_percent = (mantissa / member - 1.0) * 100.0;
    // Multiplying or dividing by a whole power of ten keeps short decimals exact.
    let scale = 10f64.powi(power.abs());
    let member = if power < 0 {
        member / scale
    } else {
        member * scale
    };
    Some(Nearest {
        series,
        member,
        deviation_percent,
    })
}

/// Says in words how a value stands to the series; `shown` prints a value with its unit.
pub(crate) fn remark(value: f64, shown: impl Fn(f64) -> String) -> String {
    let found = memberships(value);
    if let Some(coarsest) = found.first() {
        let names: Vec<String> = found.iter().map(|s| format!("{s:?}")).collect();
        return format!(
            "a value of {} (coarsest {coarsest:?}, usual tolerance {})",
            names.join(", "),
            coarsest.usual_tolerance()
        );
    }
    let near: Vec<String> = [Series::E24, Series::E192]
        .into_iter()
        .filter_map(|s| nearest(value, s))
        .map(|n| {
            format!(
                "{:?} {} ({}{} %)",
                n.series,
                shown(n.member),
                if n.deviation_percent < 0.0 { "" } else { "+" },
                plain((n.deviation_percent * 100.0).round() / 100.0)
            )
        })
        .collect();
    if near.is_empty() {
        String::new()
    } else {
        format!("in no series of IEC 60063; nearest {}", near.join(", "))
    }
}

/// Returns the share of a value among the codes of a family with two (or three) significant digits and
/// about `decades` decades.
pub(crate) fn share(value: f64, decades: f64, three_digits: bool) -> f64 {
    let found = memberships(value);
    let (whole, others) = if three_digits {
        (96.0, 900.0)
    } else {
        (24.0, 90.0)
    };
    let member = found
        .iter()
        .any(|s| *s <= Series::E24 || (three_digits && *s <= Series::E96));
    if member {
        0.9 / (whole * decades)
    } else {
        0.1 / (others * decades)
    }
}
