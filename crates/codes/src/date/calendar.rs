//! Dates in figures: `2024-06-12`, `20240612`, `12.06.2024`, `2024-06`, `06/2024`.
//!
//! Source: ISO 8601 for year first; for day or month first common habit, where both orders are read if
//! both give a date.

use super::{Span, YEARS, draft};
use crate::Context;
use crate::reading::{Draft, Kind};
use crate::text::{Folded, all_digits};
use jiff::civil::Date;

fn date(year: &str, month: &str, day: &str) -> Option<Date> {
    let year: i16 = year.parse().ok().filter(|y| YEARS.contains(y))?;
    Date::new(year, month.parse().ok()?, day.parse().ok()?).ok()
}

fn of_month(year: &str, month: &str) -> Option<Span> {
    let year: i16 = year.parse().ok().filter(|y| YEARS.contains(y))?;
    Span::month(year, month.parse().ok()?)
}

pub(super) fn read(folded: &Folded, context: &Context<'_>) -> Vec<Draft> {
    let text = &folded.upper;
    let make = |span: Span, fit: f64, why: &str| {
        let what = if span.days() == 1 {
            "The day"
        } else {
            "The month"
        };
        draft(
            Kind::DateCalendar,
            fit,
            what,
            vec![span],
            why.to_string(),
            context,
        )
    };
    if all_digits(text) && text.len() == 8 {
        let day = date(&text[..4], &text[4..6], &text[6..]);
        return day
            .and_then(|d| {
                make(
                    Span::day(d),
                    1.0 / 366.0,
                    "year, month and day without separators",
                )
            })
            .into_iter()
            .collect();
    }
    let Some(separator) = text.chars().find(|c| matches!(c, '-' | '.' | '/')) else {
        return Vec::new();
    };
    let parts: Vec<&str> = text.split(separator).collect();
    if !parts.iter().all(|p| all_digits(p) && p.len() <= 4) {
        return Vec::new();
    }
    let mut drafts = Vec::new();
    match *parts.as_slice() {
        [year, month, day] if year.len() == 4 => {
            drafts.extend(
                date(year, month, day).and_then(|d| make(Span::day(d), 1.0, "year, month, day")),
            );
        }
        [a, b, year] if year.len() == 4 => {
            let day_first = date(year, b, a);
            let month_first = date(year, a, b);
            let both = day_first.is_some() && month_first.is_some() && day_first != month_first;
            let unsure = if both {
                "day and month could stand in either order"
            } else {
                ""
            };
            // A slash is where month first is common.
            let month_share = if separator == '/' { 0.5 } else { 0.1 };
            drafts.extend(
                day_first
                    .and_then(|d| make(Span::day(d), 1.0 - month_share, "day, month, year"))
                    .map(|d| d.caution(unsure)),
            );
            if both || day_first.is_none() {
                drafts.extend(
                    month_first
                        .and_then(|d| make(Span::day(d), month_share, "month, day, year"))
                        .map(|d| d.caution(unsure)),
                );
            }
        }
        [year, month] if year.len() == 4 && month.len() <= 2 => {
            drafts.extend(of_month(year, month).and_then(|s| make(s, 1.0, "year and month")));
        }
        [month, year] if year.len() == 4 && month.len() <= 2 => {
            drafts.extend(of_month(year, month).and_then(|s| make(s, 1.0, "month and year")));
        }
        _ => {}
    }
    drafts
}
