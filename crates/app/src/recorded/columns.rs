//! Columns of a log: as the record keeps them, and as reading takes them.
//!
//! In: either. Out: the other. Not here: guessing them (`logs`).

use crate::Problem;
use crate::brought::{Holds, Taken};
use logs::{Channel, Column, Decimal, Delimiter, Mapping, Seat, Sign, Time, TimeForm, TimePlace};
use quantity::{Dimension, Stated};
use record::{LogColumn, LogColumns, LogDecimal, LogDelimiter, LogSign, LogTime, LogTimeForm};
use serde_json::Value as Json;

/// Returns what the record says of columns as reading takes it, for a meter that sat there.
///
/// # Errors
/// No time and no interval, or an interval that is none.
pub(super) fn mapping(stated: &LogColumns, seat: Seat) -> Result<Mapping, String> {
    let column = |column: &Option<LogColumn>| {
        column.as_ref().map(|c| Column {
            index: place(c.column),
            name: String::new(),
            unit: c.unit.clone(),
        })
    };
    Ok(Mapping {
        delimiter: stated.delimiter.map_or(Delimiter::Comma, parts),
        decimal: match stated.decimal {
            None | Some(LogDecimal::Point) => Decimal::Point,
            Some(LogDecimal::Comma) => Decimal::Comma,
        },
        header: stated.header.map(u64::from),
        first_row: stated.first_row.into(),
        time: time(stated)?,
        sign: match stated.sign {
            None | Some(LogSign::ByVoltage) => Sign::ByVoltage,
            Some(LogSign::AsWritten) => Sign::AsWritten,
            Some(LogSign::Turned) => Sign::Turned,
        },
        marks: Vec::new(),
        channels: vec![Channel {
            name: String::new(),
            seat,
            voltage: column(&stated.voltage),
            current: column(&stated.current),
            power: column(&stated.power),
            charge: column(&stated.charge),
            energy: column(&stated.energy),
            temperature: column(&stated.temperature),
            ..Channel::default()
        }],
    })
}

/// Columns are counted from 1 in the record, from 0 where they are read.
fn place(column: u32) -> usize {
    column.saturating_sub(1) as usize
}

fn time(stated: &LogColumns) -> Result<Time, String> {
    let Some(time) = &stated.time else {
        let seconds = stated
            .interval
            .as_ref()
            .filter(|interval| interval.dimension() == Dimension::TIME)
            .map(Stated::si)
            .filter(|seconds| *seconds > 0.0)
            .ok_or("its `columns` have neither `time` nor `interval`")?;
        return Ok(Time {
            place: TimePlace::Nowhere,
            form: TimeForm::Every(seconds),
        });
    };
    let column = place(time.column);
    Ok(Time {
        place: match time.clock {
            Some(clock) => TimePlace::DateAndClock(column, place(clock)),
            None => TimePlace::Column(column),
        },
        form: match time.form {
            LogTimeForm::Number => TimeForm::Number(time.unit.clone().unwrap_or("s".to_string())),
            LogTimeForm::Clock => TimeForm::Clock,
            LogTimeForm::Minutes => TimeForm::Minutes,
            LogTimeForm::DayFirst => TimeForm::DayFirst,
            LogTimeForm::MonthFirst => TimeForm::MonthFirst,
        },
    })
}

/// Returns one channel of a mapping as the record keeps it, without a time where none was found, and with nothing that
/// is measured where there is no such channel; none for lines that no file has.
pub(super) fn columns(mapping: &Mapping, channel: usize) -> Option<LogColumns> {
    let nothing = Channel::default();
    let channel = mapping.channels.get(channel).unwrap_or(&nothing);
    let number = |index: usize| u32::try_from(index + 1).ok();
    let column = |column: &Option<Column>| {
        let column = column.as_ref()?;
        Some(LogColumn {
            column: number(column.index)?,
            unit: column.unit.clone(),
        })
    };
    let at = match mapping.time.place {
        TimePlace::Column(column) => Some((column, None)),
        TimePlace::DateAndClock(date, clock) => Some((date, Some(clock))),
        TimePlace::Nowhere => None,
    };
    let (form, unit) = match &mapping.time.form {
        TimeForm::Number(unit) => (LogTimeForm::Number, Some(unit.clone())),
        TimeForm::Clock => (LogTimeForm::Clock, None),
        TimeForm::Minutes => (LogTimeForm::Minutes, None),
        TimeForm::DayFirst => (LogTimeForm::DayFirst, None),
        TimeForm::MonthFirst => (LogTimeForm::MonthFirst, None),
        TimeForm::Every(_) | TimeForm::NotStated => (LogTimeForm::Number, None),
    };
    Some(LogColumns {
        delimiter: Some(match mapping.delimiter {
            Delimiter::Comma => LogDelimiter::Comma,
            Delimiter::Semicolon => LogDelimiter::Semicolon,
            Delimiter::Tab => LogDelimiter::Tab,
            Delimiter::Bar => LogDelimiter::Bar,
            Delimiter::Blanks => LogDelimiter::Blanks,
        }),
        decimal: Some(match mapping.decimal {
            Decimal::Point => LogDecimal::Point,
            Decimal::Comma => LogDecimal::Comma,
        }),
        header: mapping.header.and_then(|line| u32::try_from(line).ok()),
        first_row: u32::try_from(mapping.first_row).ok()?,
        sign: match mapping.sign {
            Sign::AsWritten => Some(LogSign::AsWritten),
            Sign::Turned => Some(LogSign::Turned),
            Sign::ByVoltage => None,
        },
        interval: None,
        time: at.and_then(|(date, clock)| {
            Some(LogTime {
                column: number(date)?,
                form,
                unit,
                clock: clock.and_then(number),
            })
        }),
        voltage: column(&channel.voltage),
        current: column(&channel.current),
        power: column(&channel.power),
        charge: column(&channel.charge),
        energy: column(&channel.energy),
        temperature: column(&channel.temperature),
    })
}

/// Puts what columns are said to hold in place of what they were taken for.
pub(super) fn correct(columns: &mut LogColumns, said: &[Taken]) {
    let of = |holds: Holds| {
        let at = said.iter().position(|one| one.holds == Some(holds))?;
        let column = u32::try_from(at + 1).ok()?;
        Some((column, said[at].unit.trim().to_string()))
    };
    let column = |holds| of(holds).map(|(column, unit)| LogColumn { column, unit });
    columns.voltage = column(Holds::Voltage);
    columns.current = column(Holds::Current);
    columns.power = column(Holds::Power);
    columns.charge = column(Holds::Charge);
    columns.energy = column(Holds::Energy);
    columns.temperature = column(Holds::Temperature);
    let guessed = columns.time.take();
    columns.time = of(Holds::Time).map(|(column, unit)| {
        let same = guessed.filter(|time| time.column == column);
        match (same, unit.is_empty()) {
            (Some(time), true) => time,
            (Some(time), false) if time.form != LogTimeForm::Number => time,
            (None, true) => LogTime {
                column,
                form: LogTimeForm::Clock,
                unit: None,
                clock: None,
            },
            (_, false) => LogTime {
                column,
                form: LogTimeForm::Number,
                unit: Some(unit),
                clock: None,
            },
        }
    });
}

/// Returns which delimiter the keys of `columns` say.
pub(super) fn delimiter(said: &Json) -> Option<Delimiter> {
    let word = said.get("delimiter")?.clone();
    serde_json::from_value(word).ok().map(parts)
}

fn parts(delimiter: LogDelimiter) -> Delimiter {
    match delimiter {
        LogDelimiter::Comma => Delimiter::Comma,
        LogDelimiter::Semicolon => Delimiter::Semicolon,
        LogDelimiter::Tab => Delimiter::Tab,
        LogDelimiter::Bar => Delimiter::Bar,
        LogDelimiter::Blanks => Delimiter::Blanks,
    }
}

/// Puts what the keys of `columns` say of rows in place of what was found. How a time is written means nothing where
/// no column holds one; a time between rows means nothing where one does.
///
/// # Errors
/// A word or a number that its key does not take.
pub(super) fn overlaid(found: &LogColumns, said: &Json) -> Result<LogColumns, Problem> {
    let mut whole = serde_json::to_value(found).expect("numbers and texts are JSON");
    let object = whole.as_object_mut().expect("columns are a table");
    for (key, value) in said.as_object().into_iter().flatten() {
        match (key.as_str(), object.get_mut(key)) {
            ("time", Some(Json::Object(time))) => {
                time.extend(value.as_object().cloned().unwrap_or_default());
            }
            ("time", _) => {}
            _ => {
                object.insert(key.clone(), value.clone());
            }
        }
    }
    let mut columns: LogColumns = serde_json::from_value(whole).map_err(|why| {
        Problem::unfit(
            format!("the rows cannot be read so: {why}"),
            "correct how its rows are read",
        )
    })?;
    if let Some(time) = &mut columns.time {
        columns.interval = None;
        time.unit = match time.form {
            LogTimeForm::Number => time.unit.take().or_else(|| Some("s".to_string())),
            _ => None,
        };
    }
    Ok(columns)
}

/// Returns what each column of a row of so many is taken for.
pub(super) fn taken(columns: Option<&LogColumns>, width: usize) -> Vec<Taken> {
    let mut all = vec![Taken::default(); width];
    let Some(columns) = columns else { return all };
    let mut put = |column: u32, holds: Holds, unit: &str| {
        if let Some(one) = all.get_mut(place(column)) {
            *one = Taken {
                holds: Some(holds),
                unit: unit.to_string(),
            };
        }
    };
    if let Some(time) = &columns.time {
        put(
            time.column,
            Holds::Time,
            time.unit.as_deref().unwrap_or_default(),
        );
    }
    for (holds, column) in [
        (Holds::Voltage, &columns.voltage),
        (Holds::Current, &columns.current),
        (Holds::Power, &columns.power),
        (Holds::Charge, &columns.charge),
        (Holds::Energy, &columns.energy),
        (Holds::Temperature, &columns.temperature),
    ] {
        if let Some(column) = column {
            put(column.column, holds, &column.unit);
        }
    }
    all
}
