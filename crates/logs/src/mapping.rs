//! What the columns of a log are: plain data that is shown, corrected and kept.
//!
//! In: nothing. Out: [`Mapping`], which says everything that reading a file depends on, and [`Reason`], which says why
//! something was taken for what it is. Not here: how it is guessed (`guess`).

use serde::{Deserialize, Serialize};

/// What stands between the cells of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Delimiter {
    /// `,`
    #[default]
    Comma,
    /// `;`
    Semicolon,
    /// The tab character.
    Tab,
    /// `|`
    Bar,
    /// One or more blanks.
    Blanks,
}

impl Delimiter {
    pub(crate) const ALL: [Self; 5] = [
        Self::Comma,
        Self::Semicolon,
        Self::Tab,
        Self::Bar,
        Self::Blanks,
    ];

    pub(crate) fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
            Self::Bar => b'|',
            Self::Blanks => b' ',
        }
    }

    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Comma => "commas",
            Self::Semicolon => "semicolons",
            Self::Tab => "tabs",
            Self::Bar => "bars",
            Self::Blanks => "blanks",
        }
    }
}

/// Which character begins the decimals of a number; the other one may group thousands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Decimal {
    /// `3.7`
    #[default]
    Point,
    /// `3,7`
    Comma,
}

/// A column that is read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Column {
    /// Its place in a row, from 0.
    pub index: usize,
    /// Its name in the header; empty where there is none.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// The unit of its numbers: `s`, `min`, `V`, `mV`, `A`, `mA`, `W`, `mAh`, `Wh`, `°C` and their like.
    pub unit: String,
}

/// Where the time of a row stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TimePlace {
    /// In one column, from 0.
    Column(usize),
    /// Date and time of day in two.
    DateAndClock(usize, usize),
    /// Nowhere: rows follow each other at one interval.
    Nowhere,
}

/// How time is written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TimeForm {
    /// A number in a unit (`s`, `ms`, `min`, `h`, `d`), elapsed or since some day.
    Number(String),
    /// `h:mm:ss`, elapsed or of a day; one that falls by more than half a day has passed midnight.
    Clock,
    /// `m:ss`.
    Minutes,
    /// Date and time, the day before the month where digits do not tell.
    DayFirst,
    /// Date and time, the month before the day where digits do not tell.
    MonthFirst,
    /// Rows follow each other at this interval in seconds.
    Every(f64),
    /// There is no time, and no interval was stated yet.
    NotStated,
}

/// The time of a row.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Time {
    /// Where it stands.
    pub place: TimePlace,
    /// How it is written.
    pub form: TimeForm,
}

/// Where a meter sat. A socket is not a cell: cable, charger and converter lie between them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Seat {
    /// At the cell or pack itself.
    Cell,
    /// At the input: between source and product.
    Socket,
    /// At an output: between product and load.
    Output,
    /// Not known.
    #[default]
    Unknown,
}

/// What one channel of a meter writes.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Channel {
    /// Its name, from the header; empty where there is only one.
    pub name: String,
    /// Where it sat.
    pub seat: Seat,
    /// Volts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub voltage: Option<Column>,
    /// Amperes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub current: Option<Column>,
    /// Watts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub power: Option<Column>,
    /// Accumulated charge, of charging or of both directions.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub charge: Option<Column>,
    /// Accumulated charge of discharging, counted upwards.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub discharge: Option<Column>,
    /// Accumulated energy, of charging or of both directions.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub energy: Option<Column>,
    /// Accumulated energy of discharging, counted upwards.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub energy_out: Option<Column>,
    /// Degrees Celsius.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature: Option<Column>,
}

/// Which way a positive current flows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sign {
    /// Into the cell, or into the product at its socket.
    AsWritten,
    /// Out of it.
    Turned,
    /// Not stated: charging is the way in which the voltage rises.
    #[default]
    ByVoltage,
}

/// Everything that reading a file depends on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Mapping {
    /// What stands between cells; means nothing for a sheet.
    pub delimiter: Delimiter,
    /// How decimals are written.
    pub decimal: Decimal,
    /// Line of the header, from 1; none where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub header: Option<u64>,
    /// Line of the first row of numbers, from 1.
    pub first_row: u64,
    /// The time of a row.
    pub time: Time,
    /// Which way a positive current flows.
    pub sign: Sign,
    /// Columns whose change begins a new section: step, cycle, group.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<Column>,
    /// What is measured.
    pub channels: Vec<Channel>,
}

/// Why something was taken for what it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Reason {
    /// What it is about: `delimiter`, `decimals`, `time`, the name of a column.
    pub about: String,
    /// What it was taken for, and why.
    pub why: String,
    /// Whether someone should look: the file alone does not tell.
    pub unsure: bool,
}

impl Reason {
    pub(crate) fn sure(about: impl Into<String>, why: impl Into<String>) -> Self {
        Self {
            about: about.into(),
            why: why.into(),
            unsure: false,
        }
    }

    pub(crate) fn unsure(about: impl Into<String>, why: impl Into<String>) -> Self {
        Self {
            unsure: true,
            ..Self::sure(about, why)
        }
    }
}
