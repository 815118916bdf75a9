//! Date codes in all their forms.
//!
//! In: a folded text and the day of opening. Out: readings whose value is the set of days the code may
//! mean, the most plausible first. Not here: which line of a marking is the date (`candidates`
//! offers them).

mod calendar;
mod candidates;
mod cycle;
mod letters;
mod week;

pub use candidates::{DateCandidate, date_candidates};

use crate::Context;
use crate::reading::{Draft, Kind, Value};
use crate::text::Folded;
use jiff::civil::Date;
use jiff::{Span as Days, ToSpan as _};
use serde::Serialize;

/// The days a date code means: both ends belong to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Span {
    /// First day.
    pub first: Date,
    /// Last day.
    pub last: Date,
}

impl Span {
    /// Returns a month; `None` if there is no such month.
    pub fn month(year: i16, month: i8) -> Option<Self> {
        let first = Date::new(year, month, 1).ok()?;
        Some(Self {
            first,
            last: first.last_of_month(),
        })
    }

    /// Returns a single day.
    pub fn day(day: Date) -> Self {
        Self {
            first: day,
            last: day,
        }
    }

    /// Returns the number of days, one or more.
    pub fn days(self) -> i32 {
        days_between(self.first, self.last) + 1
    }

    /// Returns the day in the middle (the earlier one of two).
    pub fn middle(self) -> Date {
        let half = (self.days() - 1) / 2;
        self.first.saturating_add(half.days())
    }

    fn seven_days_from(first: Date) -> Option<Self> {
        let last = first.checked_add(Days::new().days(6)).ok()?;
        Some(Self { first, last })
    }
}

impl std::fmt::Display for Span {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.first == self.last {
            write!(f, "{}", self.first)
        } else if self.first.day() == 1 && self.last == self.first.last_of_month() {
            write!(f, "{:04}-{:02}", self.first.year(), self.first.month())
        } else {
            write!(f, "{} to {}", self.first, self.last)
        }
    }
}

/// Returns the days from one date to another; negative if the second is earlier.
pub fn days_between(from: Date, to: Date) -> i32 {
    // Both lie within jiff's years, so the number of days fits easily.
    (to - from).get_days()
}

/// First and last year that a two-letter or two-digit year may mean.
pub(crate) const YEARS: std::ops::RangeInclusive<i16> = 1970..=2069;

/// Returns the share of a date among dates of its family: recent ones are commoner. With a day of
/// opening the share falls by a factor e in six years and is small after it; without one, years from
/// 2000 to 2030 are alike and others rare.
pub(crate) fn year_share(span: Span, opened: Option<Date>) -> f64 {
    match opened {
        Some(opened) if span.first > opened => {
            let years = f64::from(days_between(opened, span.first)) / 365.25;
            0.01 * (-years).exp().max(1e-4)
        }
        Some(opened) => {
            let years = f64::from(days_between(span.first, opened)) / 365.25;
            (-years / 6.0).exp().max(0.002) / 6.5
        }
        None => match span.first.year() {
            2000..=2030 => 1.0 / 32.0,
            1970..=1999 => 0.2 / 32.0,
            _ => 0.01 / 32.0,
        },
    }
}

/// Puts the most plausible first: the latest that is not after the day of opening, then the earlier
/// ones, then those after it. Without a day of opening the latest up to 2030 comes first.
pub(crate) fn order(spans: &mut Vec<Span>, opened: Option<Date>) {
    let limit = opened.unwrap_or(jiff::civil::date(2030, 12, 31));
    spans.sort_unstable();
    spans.dedup();
    let after = spans.partition_point(|s| s.first <= limit);
    spans[..after].reverse();
}

/// Makes the reading of a date code, or none without a date. `fit` is the share of the code within a
/// year of its family; the year adds its own.
pub(crate) fn draft(
    kind: Kind,
    fit: f64,
    what: &str,
    mut spans: Vec<Span>,
    because: String,
    context: &Context<'_>,
) -> Option<Draft> {
    order(&mut spans, context.opened);
    let (first, others) = spans.split_first()?;
    let shares: f64 = spans.iter().map(|s| year_share(*s, context.opened)).sum();
    let also = if others.is_empty() {
        String::new()
    } else {
        let shown: Vec<String> = others.iter().take(3).map(ToString::to_string).collect();
        let more = if others.len() > 3 { " and others" } else { "" };
        format!("; or {}{more}", shown.join(", "))
    };
    let mut draft = Draft::new(
        kind,
        fit * shares,
        format!("{what} {first}{also}."),
        because,
    );
    if context.opened.is_none() && !others.is_empty() {
        draft = draft.caution("the day of opening would tell which of the dates it is");
    }
    if let Some(opened) = context.opened
        && spans.iter().all(|s| s.first > opened)
    {
        draft = draft.caution(format!("later than the day of opening, {opened}"));
    }
    Some(draft.value(Value::Dates { spans }))
}

/// Reads date codes of every form.
pub(crate) fn read(folded: &Folded, context: &Context<'_>) -> Vec<Draft> {
    let mut drafts = letters::read(folded, context);
    drafts.extend(week::read(folded, context));
    drafts.extend(cycle::read(folded, context));
    drafts.extend(calendar::read(folded, context));
    drafts
}
