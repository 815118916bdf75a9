//! Year and week in figures: `2413`, `1324`, `413`, `2024-W13`.
//!
//! Source: IEC 60062, clause 5.2, for year and week; that its weeks are those of ISO 8601 is from memory.
//! A chip maker's sheet counts the week with 1 January as week 01 instead, so that weeks 53 and 54 occur
//! where ISO has none; both numberings are read. Week before year, and one digit for the year, are maker
//! practice from memory.

use super::{Span, YEARS, draft};
use crate::Context;
use crate::reading::{Draft, Kind};
use crate::text::{Folded, digits_of};
use jiff::civil::{Date, ISOWeekDate, Weekday};

/// Returns the days of a week of ISO 8601.
pub(super) fn iso(year: i16, week: i8) -> Option<Span> {
    let monday = ISOWeekDate::new(year, week, Weekday::Monday).ok()?;
    Span::seven_days_from(monday.date())
}

/// Returns the days of a week where week 1 is the one with 1 January, from Monday to Sunday.
fn with_first_of_january(year: i16, week: i8) -> Option<Span> {
    let new_year = Date::new(year, 1, 1).ok()?;
    let back = i32::from(new_year.weekday().to_monday_zero_offset());
    let days = (i32::from(week) - 1) * 7 - back;
    let monday = new_year
        .checked_add(jiff::Span::new().days(days))
        .ok()
        .filter(|_| week >= 1)?;
    // The last week that begins in the year is its last week.
    (monday.year() <= year)
        .then(|| Span::seven_days_from(monday))
        .flatten()
}

/// Years from 1970 to 2069 that end in two digits.
fn full_years(two_digits: i16) -> Vec<i16> {
    YEARS.filter(|y| y % 100 == two_digits).collect()
}

type Numbering = fn(i16, i8) -> Option<Span>;

fn weeks(years: &[i16], week: i8, numbering: Numbering) -> Vec<Span> {
    years.iter().filter_map(|y| numbering(*y, week)).collect()
}

pub(super) fn read(folded: &Folded, context: &Context<'_>) -> Vec<Draft> {
    let mut drafts: Vec<Draft> = iso_form(&folded.upper, context).into_iter().collect();
    match *digits_of(&folded.upper).as_slice() {
        [a, b, c, d] => {
            let (ab, cd) = (pair(a, b), pair(c, d));
            drafts.extend(in_both(
                Kind::DateYearWeek,
                &full_years(i16::from(ab)),
                cd,
                &format!("{a}{b} is the year, {c}{d} the week"),
                context,
            ));
            drafts.extend(in_both(
                Kind::DateWeekYear,
                &full_years(i16::from(cd)),
                ab,
                &format!("the order week, year: {a}{b} is the week, {c}{d} the year"),
                context,
            ));
        }
        [a, b, c] => {
            let years: Vec<i16> = YEARS
                .filter(|y| u32::try_from(y % 10).is_ok_and(|last| last == a))
                .filter(|y| (1970..=2030).contains(y))
                .collect();
            drafts.extend(in_both(
                Kind::DateShortYearWeek,
                &years,
                pair(b, c),
                &format!("{a} is the last digit of the year, {b}{c} the week"),
                context,
            ));
        }
        _ => {}
    }
    drafts
}

fn pair(tens: u32, units: u32) -> i8 {
    i8::try_from(tens * 10 + units).unwrap_or(0)
}

/// Reads a year and week in both numberings; the second only where it gives other days.
fn in_both(kind: Kind, years: &[i16], week: i8, why: &str, context: &Context<'_>) -> Vec<Draft> {
    let by_iso = weeks(years, week, iso);
    let by_january = weeks(years, week, with_first_of_january);
    let fit = 1.0 / 52.0;
    let mut drafts = Vec::new();
    let first = draft(
        kind,
        fit,
        "Made in the week",
        by_iso.clone(),
        format!("{why}, weeks numbered by ISO 8601"),
        context,
    );
    drafts.extend(first.map(|d| practice(kind, d)));
    if by_january != by_iso {
        let other = draft(
            kind,
            fit * 0.15,
            "Made in the week",
            by_january,
            format!("{why}, weeks counted from the one with 1 January"),
            context,
        );
        drafts.extend(other.map(|d| {
            let d = d.caution(
                "another week numbering, seen in a chip maker's sheet; taken here as Monday to Sunday",
            );
            practice(kind, if by_iso.is_empty() { d.weaker(0.2) } else { d })
        }));
    }
    drafts
}

fn practice(kind: Kind, draft: Draft) -> Draft {
    match kind {
        Kind::DateYearWeek => draft,
        _ => draft.caution("maker practice, not checked in a source"),
    }
}

/// `2024-W13`, `2024W13`, `2024-W13-4`.
fn iso_form(text: &str, context: &Context<'_>) -> Option<Draft> {
    let (year, rest) = text.split_once('W')?;
    let year = year.strip_suffix('-').unwrap_or(year);
    if digits_of(year).len() != 4 {
        return None;
    }
    let year: i16 = year.parse().ok()?;
    let (week, day) = match *digits_of(&rest.replacen('-', "", 1)).as_slice() {
        [a, b] => (pair(a, b), None),
        [a, b, day] => (pair(a, b), Some(day)),
        _ => return None,
    };
    let mut span = iso(year, week)?;
    if let Some(day) = day {
        let weekday = Weekday::from_monday_one_offset(i8::try_from(day).ok()?).ok()?;
        span = Span::day(ISOWeekDate::new(year, week, weekday).ok()?.date());
    }
    draft(
        Kind::DateIsoWeek,
        1.0,
        if day.is_some() { "The day" } else { "The week" },
        vec![span],
        format!("year {year} and week {week} as ISO 8601 writes them"),
        context,
    )
}
