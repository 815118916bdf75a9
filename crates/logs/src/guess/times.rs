//! Which column is the time, and how it is written.
//!
//! In: the first rows. Out: place and form, with the reason. Not here: reading a time (`clock`).

use super::Seen;
use crate::clock::{self, DAY, Written};
use crate::head::Head;
use crate::mapping::{Decimal, Reason, Time, TimeForm, TimePlace};
use crate::names::Held;
use crate::number;

/// Seconds since 1970 of the years 2001 to 2096.
const EPOCH_S: std::ops::Range<f64> = 1e9..4e9;

/// Days since 1900 of the years 1954 to 2119, as sheets number them.
const SHEET_DAYS: std::ops::Range<f64> = 20_000.0..80_000.0;

/// Rows that follow each other so quickly in days (half an hour) and not slower are numbered in days.
const QUICK_DAYS: f64 = 0.02;

pub(super) fn time(
    head: &Head,
    seen: &[Seen],
    decimal: Decimal,
    reasons: &mut Vec<Reason>,
) -> Time {
    let mut named: Vec<&Seen> = seen
        .iter()
        .filter(|column| matches!(column.heading.held, Some(Held::Time | Held::Date)))
        .collect();
    // A date is the last resort, an elapsed time the first.
    named.sort_by_key(|column| {
        (
            column.heading.held == Some(Held::Date),
            column.heading.rank,
            column.index,
        )
    });
    let date = named
        .iter()
        .find(|column| form(head, column.index).is_some_and(|written| written == Shape::Date));
    for column in &named {
        let Some(shape) = form(head, column.index) else {
            continue;
        };
        let about = column.name.clone();
        let place = TimePlace::Column(column.index);
        match shape {
            Shape::Number => {
                let form = number_form(head, column, decimal, reasons);
                return Time { place, form };
            }
            Shape::Minutes => {
                reasons.push(Reason::unsure(
                    about,
                    "time as m:ss: two numbers do not tell whether they are hours",
                ));
                return Time {
                    place,
                    form: TimeForm::Minutes,
                };
            }
            Shape::Clock => {
                if let Some(date) = date {
                    let form = order(head, date.index, |cell| Some((cell, "")), reasons);
                    let place = TimePlace::DateAndClock(date.index, column.index);
                    return Time { place, form };
                }
                reasons.push(Reason::sure(about, "time as h:mm:ss"));
                return Time {
                    place,
                    form: TimeForm::Clock,
                };
            }
            Shape::DateAndClock => {
                let form = order(head, column.index, clock::date_and_clock, reasons);
                return Time { place, form };
            }
            Shape::Date => {}
        }
    }
    Time {
        place: TimePlace::Nowhere,
        form: TimeForm::NotStated,
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shape {
    Number,
    Minutes,
    Clock,
    DateAndClock,
    Date,
}

/// Tells how most cells of a column are written.
fn form(head: &Head, index: usize) -> Option<Shape> {
    head.data().iter().find_map(|row| {
        let cell = row.cell(index);
        let dated = clock::date_and_clock(cell).is_some_and(|(date, time)| {
            Written::read(date).is_some() && clock::clock(time).is_some()
        });
        if dated {
            Some(Shape::DateAndClock)
        } else if Written::read(cell).is_some() {
            Some(Shape::Date)
        } else if clock::minutes(cell).is_some() {
            Some(Shape::Minutes)
        } else if clock::clock(cell).is_some() {
            Some(Shape::Clock)
        } else if crate::head::is_value(cell) {
            Some(Shape::Number)
        } else {
            None
        }
    })
}

fn number_form(
    head: &Head,
    column: &Seen,
    decimal: Decimal,
    reasons: &mut Vec<Reason>,
) -> TimeForm {
    let about = column.name.clone();
    if let Some(unit) = column.heading.unit {
        reasons.push(Reason::sure(about, format!("time in {unit}, by its name")));
        return TimeForm::Number(unit.into());
    }
    let numbers: Vec<f64> = head
        .data()
        .iter()
        .filter_map(|row| number::read(row.cell(column.index), decimal))
        .map(|(value, _)| value)
        .collect();
    let first = numbers.first().copied().unwrap_or(0.0);
    let steps: Vec<f64> = numbers
        .windows(2)
        .map(|pair| (pair[1] - pair[0]).abs())
        .filter(|step| *step > 0.0)
        .collect();
    let step = super::median(&steps);
    let (unit, why) = if EPOCH_S.contains(&first) {
        ("s", "its numbers are seconds since 1970")
    } else if EPOCH_S.contains(&(first / 1e3)) {
        ("ms", "its numbers are milliseconds since 1970")
    } else if EPOCH_S.contains(&(first / 1e6)) {
        ("µs", "its numbers are microseconds since 1970")
    } else if SHEET_DAYS.contains(&first) && step > 0.0 && step < QUICK_DAYS {
        ("d", "its numbers are days as sheets count them")
    } else {
        ("s", "no unit is stated")
    };
    let why = format!("time in {unit}: {why}");
    reasons.push(if why.ends_with("stated") {
        Reason::unsure(about, why)
    } else {
        Reason::sure(about, why)
    });
    TimeForm::Number(unit.into())
}

/// Decides whether the day or the month comes first: by a number above 12, or else by the order in which days pass
/// more quietly.
fn order(
    head: &Head,
    index: usize,
    part: impl Fn(&str) -> Option<(&str, &str)>,
    reasons: &mut Vec<Reason>,
) -> TimeForm {
    let dates: Vec<Written> = head
        .data()
        .iter()
        .filter_map(|row| part(row.cell(index)))
        .filter_map(|(date, _)| Written::read(date))
        .collect();
    let about = head.name(index).0.to_owned();
    let largest = |day_first: bool| {
        let days: Vec<f64> = dates
            .iter()
            .filter_map(|date| date.seconds(day_first))
            .collect();
        days.windows(2)
            .map(|pair| (pair[1] - pair[0]).abs())
            .fold(0.0, f64::max)
            / DAY
    };
    let (day, month) = (largest(true), largest(false));
    let told = dates.iter().find_map(|date| date.day_first());
    if told.is_none() && !dates.iter().any(|date| date.is_year_first()) {
        let why = if day == month {
            "date and time; whether the day or the month comes first cannot be told, the duration can"
        } else {
            "date and time; the order in which days follow each other was taken"
        };
        reasons.push(Reason::unsure(about, why));
    } else {
        reasons.push(Reason::sure(about, "date and time"));
    }
    if told.unwrap_or(day <= month) {
        TimeForm::DayFirst
    } else {
        TimeForm::MonthFirst
    }
}
