//! Logs of charges and discharges: columns, phases, charge and energy.
//!
//! In: a meter's file as bytes, or the rows of a sheet as text. Out: what each column was taken for and why
//! ([`Mapping`], [`Reason`]), samples in SI units with exact running integrals ([`Series`]), phases with the intervals
//! their switches lie in ([`phases`]), charge and energy with what sampling costs, and what is wrong with the file.
//! Not here: files and workbooks (the caller opens them), simulation (`charging`), verdicts (`methods`).
//!
//! ```
//! use logs::{Options, read_text};
//! let text = "time_s,voltage_v,current_a\n0,3.7,0.8\n10,3.8,0.8\n";
//! let log = read_text(text.as_bytes(), "charge.csv", &Options::default(), &mut |_| true).unwrap();
//! let series = &log.runs[0].series[0];
//! assert_eq!(series.charge_c(), 8.0);
//! ```

pub mod answers;
pub mod changepoint;
mod clock;
mod counter;
mod error;
pub mod fit;
mod guess;
mod head;
mod integral;
mod levels;
mod log;
mod look;
mod mapping;
mod names;
mod number;
pub mod phases;
mod read;
mod recorder;
mod rows;
mod series;
mod spread;
pub mod tail;
mod text;

pub use error::{Fault, LogError, Note};
pub use log::{Gap, Log, Rows, Run};
pub use look::{Guess, look_at_rows, look_at_text};
pub use mapping::{
    Channel, Column, Decimal, Delimiter, Mapping, Reason, Seat, Sign, Time, TimeForm, TimePlace,
};
pub use read::{Options, Progress, read_rows, read_text};
pub use series::{Amount, Point, Section, Series};
pub use text::replaced;
