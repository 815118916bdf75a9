//! The time of each row, counted on over midnight.
//!
//! In: rows. Out: seconds, from the first row where the file counts from a day and not from its beginning.
//! Not here: rows that go back in time (`order`).

use crate::clock::{self, DAY, Written};
use crate::error::Note;
use crate::mapping::{Decimal, Mapping, TimeForm, TimePlace};
use crate::names::{self, Held};
use crate::number;
use crate::rows::Row;

/// Seconds above which a number counts from some day and not from the beginning of the log (four months).
const SINCE_A_DAY: f64 = 1e7;

/// Reads times.
pub(super) struct Timer {
    place: TimePlace,
    form: TimeForm,
    factor: f64,
    origin: Option<f64>,
    rows: u64,
    last: f64,
    /// Days added to a time of day.
    days: f64,
    midnight: Option<u64>,
    date: Option<Written>,
    date_s: f64,
    day_first: bool,
    open: bool,
}

impl Timer {
    /// Returns nothing where the unit is no time.
    pub(super) fn new(mapping: &Mapping) -> Option<Self> {
        let factor = match &mapping.time.form {
            TimeForm::Number(unit) => {
                let (_, held, factor) = names::unit(unit)?;
                (held == Held::Time).then_some(factor)?
            }
            TimeForm::Every(interval) => {
                (interval.is_finite() && *interval > 0.0).then_some(*interval)?
            }
            _ => 1.0,
        };
        Some(Self {
            place: mapping.time.place,
            form: mapping.time.form.clone(),
            factor,
            origin: None,
            rows: 0,
            last: 0.0,
            days: 0.0,
            midnight: None,
            date: None,
            date_s: 0.0,
            day_first: mapping.time.form == TimeForm::DayFirst,
            open: true,
        })
    }

    /// Returns the time of a row in seconds.
    pub(super) fn time(&mut self, row: &Row, decimal: Decimal) -> Option<f64> {
        let read = match (&self.form, self.place) {
            (TimeForm::Every(interval), _) => {
                self.rows += 1;
                return Some((self.rows - 1) as f64 * interval);
            }
            (TimeForm::Number(_), TimePlace::Column(at)) => {
                number::read(row.cell(at), decimal)?.0 * self.factor
            }
            (TimeForm::Clock, TimePlace::Column(at)) => {
                let seconds =
                    clock::clock(row.cell(at)).or_else(|| clock::minutes(row.cell(at)))?;
                self.over_midnight(seconds, row.line)
            }
            (TimeForm::Minutes, TimePlace::Column(at)) => {
                let cell = row.cell(at);
                clock::minutes(cell).or_else(|| clock::clock(cell))?
            }
            (TimeForm::DayFirst | TimeForm::MonthFirst, TimePlace::Column(at)) => {
                let (date, time) = clock::date_and_clock(row.cell(at))?;
                self.day(Written::read(date)?)? + clock::clock(time)?
            }
            (TimeForm::DayFirst | TimeForm::MonthFirst, TimePlace::DateAndClock(date, time)) => {
                self.day(Written::read(row.cell(date))?)? + clock::clock(row.cell(time))?
            }
            _ => return None,
        };
        let counts_from_a_day = !matches!(self.form, TimeForm::Number(_) | TimeForm::Minutes)
            || read.abs() > SINCE_A_DAY;
        let origin = *self
            .origin
            .get_or_insert(if counts_from_a_day { read } else { 0.0 });
        Some(read - origin)
    }

    /// A time of day that falls by more than half a day has passed midnight.
    fn over_midnight(&mut self, seconds: f64, line: u64) -> f64 {
        if self.last - seconds > DAY / 2.0 && self.last < DAY {
            self.days += DAY;
            self.midnight.get_or_insert(line);
        }
        self.last = seconds;
        seconds + self.days
    }

    /// Returns the first second of a day. Where digits leave the order open, the one in which days follow each other
    /// holds from the first midnight on.
    fn day(&mut self, date: Written) -> Option<f64> {
        if self.date == Some(date) {
            return Some(self.date_s);
        }
        let seconds = date.seconds(self.day_first)?;
        if let Some(before) = self.date
            && self.open
            && before.is_open()
        {
            let passed = seconds - self.date_s;
            let other = date.seconds(!self.day_first)? - before.seconds(!self.day_first)?;
            let near = |days: f64| days > 0.0 && days <= DAY;
            self.open = false;
            if !near(passed) && near(other) {
                // What was counted so far stays; only the origin moves.
                let moved = before.seconds(!self.day_first)? - self.date_s;
                self.day_first = !self.day_first;
                self.origin = self.origin.map(|origin| origin + moved);
                return self.day(date);
            }
        }
        self.date = Some(date);
        self.date_s = seconds;
        Some(seconds)
    }

    /// Says that a day was added.
    pub(super) fn note(&self) -> Option<Note> {
        self.midnight.map(|line| {
            Note::at(
                line,
                "the time of day passes midnight here; one day was added",
            )
        })
    }
}
