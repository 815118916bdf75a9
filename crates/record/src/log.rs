//! What meters recorded of charges and discharges.

use crate::{Evidence, Moment, Note};
use quantity::{Origin, Stated};
use serde::{Deserialize, Serialize};

/// `[[logs]]`: a charge or a discharge that a meter recorded.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Log {
    /// Id.
    pub id: String,
    /// File name inside `logs/`.
    pub file: String,
    /// What was recorded.
    pub what: LogKind,
    /// Where the meter sat.
    pub seat: LogSeat,
    /// The cell, or the product or part that the meter fed.
    pub item: String,
    /// State of the cell when it began; not known if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<LogStart>,
    /// Mode of use, for a discharge in use.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mode: Option<String>,
    /// The meter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// When it was begun.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started: Option<Moment>,
    /// Where it is from; measured if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub origin: Option<Origin>,
    /// What its columns are; guessed from the file if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub columns: Option<LogColumns>,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// What a log records.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the words are the trade's own")]
pub enum LogKind {
    Charge,
    Discharge,
    Unknown,
}

/// Where a meter sat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LogSeat {
    /// At the cell or pack itself.
    Cell,
    /// Between source and product.
    Socket,
    /// Between product and load.
    Output,
    /// Not known.
    Unknown,
}

/// State of a cell when a log begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LogStart {
    /// The product had switched itself off.
    Empty,
    /// The charger had ended a charge.
    Full,
    /// Not known.
    Unknown,
}

/// `[logs.columns]`: what stands where in the file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct LogColumns {
    /// What stands between cells.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub delimiter: Option<LogDelimiter>,
    /// What begins the decimals.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decimal: Option<LogDecimal>,
    /// Line with the names of the columns, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub header: Option<u32>,
    /// Line of the first row of numbers, from 1.
    pub first_row: u32,
    /// Which way a positive current flows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sign: Option<LogSign>,
    /// Time between rows, where no column holds a time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interval: Option<Stated>,
    /// Time of a row.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time: Option<LogTime>,
    /// Voltage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub voltage: Option<LogColumn>,
    /// Current.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub current: Option<LogColumn>,
    /// Power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power: Option<LogColumn>,
    /// Charge counted by the meter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charge: Option<LogColumn>,
    /// Energy counted by the meter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub energy: Option<LogColumn>,
    /// Temperature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temperature: Option<LogColumn>,
}

/// What stands between the cells of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the words say it")]
pub enum LogDelimiter {
    Comma,
    Semicolon,
    Tab,
    Bar,
    Blanks,
}

/// What begins the decimals of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the words say it")]
pub enum LogDecimal {
    Point,
    Comma,
}

/// Which way a positive current flows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LogSign {
    /// Into the cell or product.
    AsWritten,
    /// Out of it.
    Turned,
    /// Charging is the way in which the voltage rises.
    ByVoltage,
}

/// Where the time of a row stands, and how it is written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct LogTime {
    /// Its column, from 1.
    pub column: u32,
    /// How it is written.
    pub form: LogTimeForm,
    /// Unit of a number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// Column of the time of day, from 1, where the date has one of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clock: Option<u32>,
}

/// How time is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LogTimeForm {
    /// A number in a unit.
    Number,
    /// `h:mm:ss`
    Clock,
    /// `m:ss`
    Minutes,
    /// Date and time, the day before the month.
    DayFirst,
    /// Date and time, the month before the day.
    MonthFirst,
}

/// One column of numbers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct LogColumn {
    /// Its place in a row, from 1.
    pub column: u32,
    /// The unit of its numbers.
    pub unit: String,
}
