//! Reading a log from its first byte to its last.
//!
//! In: bytes or rows, options. Out: a [`Log`], or an error that names file, line and remedy. Memory is bounded whatever
//! the length: one pass, a few rows out of order, and the points that recorders keep. Not here: what was measured means.

mod order;
mod sampler;
mod timer;

use crate::error::{Fault, LogError, Note};
use crate::guess::{guess, no_column};
use crate::head::Head;
use crate::log::{Log, Rows, Run};
use crate::look::{HEAD, first_rows, parted};
use crate::mapping::{Mapping, Reason, TimeForm, TimePlace};
use crate::rows::{Row, RowSource, SheetRows};
use crate::text::TextRows;
use order::{Order, Placed};
use sampler::Sampler;
use std::io::Read;
use timer::Timer;

/// Rows between two calls of the caller's function.
const PROGRESS: u64 = 65_536;

/// How a log is read.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// What columns are; guessed where it is not given.
    pub mapping: Option<Mapping>,
    /// Seconds between rows, for a log without a time column.
    pub interval_s: Option<f64>,
    /// Points that are kept of each run of each channel, at most twice as many; integrals are exact whatever it is.
    pub most_points: usize,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            mapping: None,
            interval_s: None,
            most_points: 100_000,
        }
    }
}

/// How far reading has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Rows so far.
    pub rows: u64,
    /// Bytes so far; 0 for a sheet.
    pub bytes: u64,
}

/// Reads the text of a meter. `watch` is told how far it is and answers whether to go on.
///
/// # Errors
/// No text, no table, no column that is read, no time and no interval, rows in no order, reading stopped.
pub fn read_text(
    reader: impl Read,
    file: &str,
    options: &Options,
    watch: &mut dyn FnMut(Progress) -> bool,
) -> Result<Log, LogError> {
    let (mut source, lines) = TextRows::open(reader, file, HEAD)?;
    let stated = options.mapping.as_ref().map(|mapping| mapping.delimiter);
    let head = parted(&lines, stated);
    source.set_delimiter(head.delimiter);
    read(&mut source, &head, &[], file, options, watch)
}

/// Reads the rows of a sheet that the caller took from a workbook.
///
/// # Errors
/// As [`read_text`].
pub fn read_rows(
    rows: impl Iterator<Item = Vec<String>>,
    file: &str,
    options: &Options,
    watch: &mut dyn FnMut(Progress) -> bool,
) -> Result<Log, LogError> {
    let mut source = SheetRows::new(rows);
    let first = first_rows(&mut source)?;
    let head = Head::of_rows(first.clone());
    read(&mut source, &head, &first, file, options, watch)
}

/// Reads `waiting` rows, which were taken from the source already, and all that follow.
fn read(
    source: &mut impl RowSource,
    head: &Head,
    waiting: &[Row],
    file: &str,
    options: &Options,
    watch: &mut dyn FnMut(Progress) -> bool,
) -> Result<Log, LogError> {
    let (mut mapping, reasons) = match &options.mapping {
        Some(mapping) => (mapping.clone(), Vec::new()),
        None => guess(head, file)?,
    };
    if let Some(error) = no_column(&mapping, file) {
        return Err(error);
    }
    if let (TimeForm::NotStated, Some(interval)) = (&mapping.time.form, options.interval_s) {
        mapping.time.place = TimePlace::Nowhere;
        mapping.time.form = TimeForm::Every(interval);
    }
    let mut reader = Reader::new(mapping, head, file, options)?;
    let mut row = Row::default();
    for row in waiting {
        reader.take(row)?;
    }
    let mut rows = 0_u64;
    while source.next_row(&mut row)? {
        reader.take(&row)?;
        rows += 1;
        if rows.is_multiple_of(PROGRESS) {
            let so_far = Progress {
                rows,
                bytes: source.bytes(),
            };
            if !watch(so_far) {
                return Err(reader.error(
                    Fault::Stopped,
                    None,
                    "reading was stopped",
                    "start it again",
                ));
            }
        }
    }
    let lost = source.lost();
    reader.finish(source.notes(), lost, reasons)
}

/// Rows become samples, samples become runs.
struct Reader<'a> {
    file: &'a str,
    mapping: Mapping,
    header: Option<Row>,
    header_again: bool,
    timer: Timer,
    sampler: Sampler,
    order: Order,
    runs: Vec<Run>,
    notes: Vec<Note>,
    rows: Rows,
    line: u64,
    most_points: usize,
}

impl<'a> Reader<'a> {
    fn new(
        mapping: Mapping,
        head: &Head,
        file: &'a str,
        options: &Options,
    ) -> Result<Self, LogError> {
        let refuse = |fault, what: &str, remedy: &str| LogError {
            fault,
            file: file.to_owned(),
            line: None,
            what: what.to_owned(),
            remedy: remedy.to_owned(),
        };
        if mapping.time.form == TimeForm::NotStated {
            return Err(refuse(
                Fault::NeedsInterval,
                "no column holds a time",
                "state the interval between rows in seconds",
            ));
        }
        let timer = Timer::new(&mapping).ok_or_else(|| {
            refuse(
                Fault::Mapping,
                "the time column has no unit of time",
                "state s, ms, min, h or d",
            )
        })?;
        let sampler = Sampler::new(&mapping, options.most_points)
            .map_err(|(what, remedy)| refuse(Fault::Mapping, &what, &remedy))?;
        Ok(Self {
            file,
            header: head.header.map(|at| head.rows[at].clone()),
            header_again: false,
            timer,
            sampler,
            order: Order::default(),
            runs: Vec::new(),
            notes: Vec::new(),
            rows: Rows::default(),
            line: 0,
            most_points: options.most_points,
            mapping,
        })
    }

    fn error(&self, fault: Fault, line: Option<u64>, what: &str, remedy: &str) -> LogError {
        LogError {
            fault,
            file: self.file.to_owned(),
            line,
            what: what.to_owned(),
            remedy: remedy.to_owned(),
        }
    }

    fn take(&mut self, row: &Row) -> Result<(), LogError> {
        if row.line < self.mapping.first_row || row.width() == 0 {
            return Ok(());
        }
        if self.is_header(row) {
            if !self.header_again {
                self.header_again = true;
                let what =
                    "the header stands here again, as where two files were joined; it was left out";
                self.notes.push(Note::at(row.line, what));
            }
            return Ok(());
        }
        let (decimal, line) = (self.mapping.decimal, row.line);
        let Some(t) = self.timer.time(row, decimal) else {
            self.drop_row(row, "no time can be read");
            return Ok(());
        };
        let mut placed = self.order.spare();
        placed.line = line;
        placed.t_s = t;
        if !self.sampler.samples(row, decimal, &mut placed) {
            self.drop_row(
                row,
                "no number stands where the current or the voltage should",
            );
            self.order.give_back(placed);
            return Ok(());
        }
        match self.order.put(placed) {
            order::Put::InOrder => {}
            order::Put::Sorted => {
                self.note_once(line, "time goes backwards here; the rows were sorted");
            }
            order::Put::Restart { from_s } => {
                let what = format!(
                    "time falls back from {from_s:.3} s to {t:.3} s: what follows is a run of its own, and what passed between the two is not known"
                );
                self.notes.push(Note::at(line, what));
                self.end_run();
                self.order.begin();
            }
            order::Put::Lost => {
                return Err(self.error(
                    Fault::Backwards,
                    Some(line),
                    "time goes backwards by more rows than are sorted",
                    "sort the rows by their time, oldest first, or state another time column",
                ));
            }
        }
        while let Some(placed) = self.order.next() {
            self.record(placed);
        }
        Ok(())
    }

    fn is_header(&self, row: &Row) -> bool {
        self.header
            .as_ref()
            .is_some_and(|header| header.width() == row.width() && header.cells().eq(row.cells()))
    }

    fn note_once(&mut self, line: u64, what: &str) {
        if !self.notes.iter().any(|note| note.what == what) {
            self.notes
                .push(Note::at(line, what).remedied("look at the file around this line"));
        }
    }

    fn drop_row(&mut self, row: &Row, why: &str) {
        self.rows.dropped += 1;
        self.sampler.dropped(row.line, why);
    }

    fn record(&mut self, placed: Placed) {
        self.rows.used += 1;
        if self.sampler.is_new() {
            self.line = placed.line;
        }
        self.sampler.record(&placed, &mut self.notes);
        self.order.give_back(placed);
    }

    fn end_run(&mut self) {
        while let Some(placed) = self.order.drain() {
            self.record(placed);
        }
        let series = self.sampler.end_run(&self.mapping, self.most_points);
        if !series.is_empty() {
            self.runs.push(Run {
                line: self.line,
                series,
            });
        }
    }

    fn finish(
        mut self,
        mut notes: Vec<Note>,
        lost: u64,
        reasons: Vec<Reason>,
    ) -> Result<Log, LogError> {
        // A single row held back by the order still counts.
        self.end_run();
        self.rows.dropped += lost;
        if self.runs.is_empty() {
            let line = self
                .sampler
                .first_dropped()
                .or_else(|| notes.first().and_then(|note| note.line));
            return Err(self.error(
                Fault::NoRows,
                line,
                "not one row holds a time and a current that can be read",
                "state which column holds which quantity, or export the log again",
            ));
        }
        if let Some(note) = self.sampler.note(self.rows) {
            self.notes.push(note);
        }
        if let Some(note) = self.timer.note() {
            self.notes.push(note);
        }
        if self.rows.used == 1 {
            let what = "there is one row and no interval: charge and energy are zero";
            self.notes.push(Note::at(self.line, what));
        }
        for run in &self.runs {
            for series in &run.series {
                self.notes.extend(gaps(series, run.line));
            }
        }
        notes.append(&mut self.notes);
        Ok(Log {
            file: self.file.to_owned(),
            mapping: self.mapping,
            reasons,
            notes,
            rows: self.rows,
            runs: self.runs,
        })
    }
}

/// Says which share of a charge was not measured.
fn gaps(series: &crate::series::Series, line: u64) -> Option<Note> {
    let longest = series
        .gaps
        .iter()
        .max_by(|a, b| (a.to_s - a.from_s).total_cmp(&(b.to_s - b.from_s)))?;
    let charge: f64 = series.gaps.iter().map(|gap| gap.charge_c).sum();
    let share = charge / series.charge_c();
    let share = if share.is_finite() { share } else { 0.0 };
    let what = format!(
        "rows are missing in {} intervals, the longest from {:.3} s to {:.3} s; {:.1} % of the charge is put there by a straight line",
        series.gaps.len(),
        longest.from_s,
        longest.to_s,
        share * 100.0
    );
    Some(Note::at(line, what))
}
