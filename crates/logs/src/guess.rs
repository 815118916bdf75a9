//! What the columns of a log are taken for, and why.
//!
//! In: the first rows. Out: a [`Mapping`], with a reason for each decision, marked where the file alone does not tell;
//! one without a channel where no column is a current, which somebody has to name first. Not here: reading the rest
//! (`read`).

mod decimals;
mod seat;
mod times;

use crate::error::{Fault, LogError};
use crate::head::Head;
use crate::mapping::{Channel, Column, Mapping, Reason, Seat, Sign, TimeForm, TimePlace};
use crate::names::{self, Heading, Held};
use crate::number;

/// A column of the head, with what its name says.
pub(crate) struct Seen {
    pub(crate) index: usize,
    pub(crate) name: String,
    pub(crate) heading: Heading,
}

/// Guesses what columns are.
pub(crate) fn guess(head: &Head, file: &str) -> Result<(Mapping, Vec<Reason>), LogError> {
    let Some(first) = head.first else {
        return Err(no_table(head, file));
    };
    let mut reasons = head.reasons.clone();
    let mut seen = columns(head);
    if head.header.is_none() {
        reasons.push(Reason::unsure(
            "header",
            "no line names the columns; they were told apart by their numbers",
        ));
        by_numbers(head, &mut seen);
    }
    let decimal = decimals::decimal(head, &seen, &mut reasons);
    let time = times::time(head, &seen, decimal, &mut reasons);
    let taken = |index: usize| match time.place {
        TimePlace::Column(at) => at == index,
        TimePlace::DateAndClock(date, clock) => date == index || clock == index,
        TimePlace::Nowhere => false,
    };
    let (channels, marks) = channels(head, &seen, decimal, &taken, &mut reasons);
    if time.form == TimeForm::NotStated {
        reasons.push(Reason::unsure(
            "time",
            "no column holds a time; state the interval between rows",
        ));
    }
    let mapping = Mapping {
        delimiter: head.delimiter,
        decimal,
        header: head.header.map(|at| head.rows[at].line),
        first_row: head.rows[first].line,
        time,
        sign: Sign::ByVoltage,
        marks,
        channels,
    };
    Ok((mapping, reasons))
}

/// Returns what is wrong with a mapping that measures nothing.
pub(crate) fn no_column(mapping: &Mapping, file: &str) -> Option<LogError> {
    mapping.channels.is_empty().then(|| LogError {
        fault: Fault::NoColumn,
        file: file.to_owned(),
        line: mapping.header,
        what: "no column is a current, or a power beside a voltage".into(),
        remedy: "state which column holds which quantity".into(),
    })
}

fn no_table(head: &Head, file: &str) -> LogError {
    let named = head.header.filter(|at| {
        let row = &head.rows[*at];
        row.cells()
            .filter(|cell| names::heading(cell).held.is_some())
            .count()
            > 1
    });
    let (fault, what, remedy) = if named.is_some() {
        (
            Fault::NoRows,
            "there is a header and no row of numbers below it",
            "export the log again after the recording has ended",
        )
    } else if head.rows.iter().all(|row| row.width() == 0) {
        (
            Fault::Empty,
            "the file holds no characters but blanks",
            "export the log from the meter again",
        )
    } else {
        (
            Fault::NoTable,
            "there is no table of numbers in the first lines",
            "name the meter's export with a column of volts and one of amperes",
        )
    };
    LogError {
        fault,
        file: file.to_owned(),
        line: named.map(|at| head.rows[at].line),
        what: what.into(),
        remedy: remedy.into(),
    }
}

fn columns(head: &Head) -> Vec<Seen> {
    (0..head.width)
        .map(|index| {
            let (name, below) = head.name(index);
            let named = if below.is_empty() {
                name.to_owned()
            } else {
                format!("{name} [{below}]")
            };
            Seen {
                index,
                name: name.to_owned(),
                heading: names::heading(&named),
            }
        })
        .collect()
}

/// Without names: what rises is time, what lies among the voltages of cells and sockets is one, the rest a current.
fn by_numbers(head: &Head, seen: &mut [Seen]) {
    let mut free = vec![Held::Voltage, Held::Current];
    let mut time = false;
    for column in seen.iter_mut() {
        let numbers = numbers(head, column.index);
        let rises = numbers.len() > 1
            && numbers.windows(2).all(|pair| pair[0] <= pair[1])
            && numbers[0] < numbers[numbers.len() - 1];
        let first_word = head.data()[0].cell(column.index);
        let worded = numbers.is_empty() && crate::head::is_value(first_word);
        let held = if !time && column.index == 0 && (worded || rises) {
            time = true;
            Some(Held::Time)
        } else if numbers.is_empty() || free.is_empty() {
            None
        } else {
            let middle = median(&numbers);
            let voltage = (0.9..=60.0).contains(&middle) && free.contains(&Held::Voltage);
            let held = if voltage {
                Held::Voltage
            } else {
                Held::Current
            };
            free.retain(|one| *one != held);
            Some(held)
        };
        column.heading = Heading {
            held,
            unit: None,
            channel: String::new(),
            rank: 0,
        };
    }
}

fn numbers(head: &Head, index: usize) -> Vec<f64> {
    let read =
        |cell: &str| number::read(cell, crate::mapping::Decimal::Point).map(|(value, _)| value);
    head.data()
        .iter()
        .filter_map(|row| read(row.cell(index)))
        .collect()
}

/// Returns the middle of some numbers; 0 for none.
pub(crate) fn median(numbers: &[f64]) -> f64 {
    let mut sorted = numbers.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(0.0)
}

fn channels(
    head: &Head,
    seen: &[Seen],
    decimal: crate::mapping::Decimal,
    taken: &dyn Fn(usize) -> bool,
    reasons: &mut Vec<Reason>,
) -> (Vec<Channel>, Vec<Column>) {
    let mut channels: Vec<Channel> = Vec::new();
    let mut marks = Vec::new();
    let mut ranked: Vec<&Seen> = seen.iter().filter(|column| !taken(column.index)).collect();
    ranked.sort_by_key(|column| column.heading.rank);
    for column in ranked {
        let Some(held) = column.heading.held else {
            continue;
        };
        let (unit, why) = seat::unit(head, column, held, decimal);
        let made = Column {
            index: column.index,
            name: column.name.clone(),
            unit: unit.to_owned(),
        };
        if held == Held::Mark {
            marks.push(made);
            continue;
        }
        let at = channels
            .iter()
            .position(|channel| channel.name == column.heading.channel)
            .unwrap_or_else(|| {
                channels.push(Channel {
                    name: column.heading.channel.clone(),
                    ..Channel::default()
                });
                channels.len() - 1
            });
        let Some(place) = place(&mut channels[at], held) else {
            continue;
        };
        if place.is_none() {
            *place = Some(made);
            let about = if column.name.is_empty() {
                format!("column {}", column.index + 1)
            } else {
                column.name.clone()
            };
            reasons.push(why.map_or_else(
                || {
                    Reason::sure(
                        about.clone(),
                        format!("{} in {unit}, by its name", word(held)),
                    )
                },
                |why| Reason::unsure(about.clone(), format!("{} in {unit}: {why}", word(held))),
            ));
        }
    }
    marks.sort_by_key(|mark| mark.index);
    merge(&mut channels);
    channels.retain(|channel| {
        channel.current.is_some() || (channel.power.is_some() && channel.voltage.is_some())
    });
    for channel in &mut channels {
        let (seat, why) = seat::seat(head, channel, decimal);
        channel.seat = seat;
        let about = if channel.name.is_empty() {
            "meter".to_owned()
        } else {
            format!("channel {}", channel.name)
        };
        reasons.push(if seat == Seat::Unknown {
            Reason::unsure(about, why)
        } else {
            Reason::sure(about, why)
        });
    }
    (channels, marks)
}

/// A channel that lacks something takes it from one that measures no current: `Voltage` beside `Cell current`.
fn merge(channels: &mut Vec<Channel>) {
    let whole = |channel: &Channel| channel.current.is_some() || channel.power.is_some();
    if channels.iter().filter(|channel| whole(channel)).count() != 1 {
        return;
    }
    let Some(at) = channels.iter().position(whole) else {
        return;
    };
    let mut main = channels.remove(at);
    for other in channels.drain(..) {
        let fill = |mine: &mut Option<Column>, theirs: Option<Column>| {
            if mine.is_none() {
                *mine = theirs;
            }
        };
        fill(&mut main.voltage, other.voltage);
        fill(&mut main.charge, other.charge);
        fill(&mut main.discharge, other.discharge);
        fill(&mut main.energy, other.energy);
        fill(&mut main.energy_out, other.energy_out);
        fill(&mut main.temperature, other.temperature);
    }
    channels.push(main);
}

fn place(channel: &mut Channel, held: Held) -> Option<&mut Option<Column>> {
    Some(match held {
        Held::Voltage => &mut channel.voltage,
        Held::Current => &mut channel.current,
        Held::Power => &mut channel.power,
        Held::Charge => &mut channel.charge,
        Held::Discharge => &mut channel.discharge,
        Held::Energy => &mut channel.energy,
        Held::EnergyOut => &mut channel.energy_out,
        Held::Temperature => &mut channel.temperature,
        Held::Time | Held::Date | Held::Mark | Held::Other => return None,
    })
}

fn word(held: Held) -> &'static str {
    match held {
        Held::Time | Held::Date => "time",
        Held::Voltage => "voltage",
        Held::Current => "current",
        Held::Power => "power",
        Held::Charge => "counted charge",
        Held::Discharge => "counted charge of discharging",
        Held::Energy => "counted energy",
        Held::EnergyOut => "counted energy of discharging",
        Held::Temperature => "temperature",
        Held::Mark => "section",
        Held::Other => "not read",
    }
}
