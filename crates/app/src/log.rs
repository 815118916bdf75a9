//! What a meter's log says.
//!
//! In: a file of text or a workbook; how it is read where the file does not tell. Out: what its columns were taken for
//! and why, charge and energy, phases, peak power, resistances, as plain data.
//! Not here: how any of it is found (`logs`), what it says about a claim (`methods`).

use crate::recorded::is_workbook;
use crate::{Problem, Watch, shown};
use catalogue::Table;
pub use logs::Seat;
use logs::answers::{
    Discharged, Peak, Share, StepResistance, discharges, efficiency, peak_power, step_resistances,
};
use logs::phases::{Phase, phases};
use logs::{Amount, Gap, Log, Mapping, Note, Options, Reason, Rows, Series};
use serde::Serialize;
use std::path::{Path, PathBuf};
use store::{limits, opener};

/// Resistances that are told, those of the largest steps.
const MOST_RESISTANCES: usize = 12;

/// What is read, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct LogOptions {
    /// The file.
    pub path: PathBuf,
    /// Seconds between rows, for a log without a time column.
    pub interval_s: Option<f64>,
    /// Seconds over which the highest power is taken.
    pub window_s: f64,
    /// Where the meter sat, where the file does not tell or tells wrongly.
    pub seat: Option<Seat>,
}

/// What a log says.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LogRead {
    /// The file, as it is shown.
    pub file: String,
    /// How many rows there were.
    pub rows: Rows,
    /// What columns were taken for.
    pub mapping: Mapping,
    /// Why.
    pub reasons: Vec<Reason>,
    /// What was read around.
    pub notes: Vec<Note>,
    /// What was measured, run by run and channel by channel.
    pub channels: Vec<ChannelRead>,
    /// Energy into the cell as a share of what entered, where both were measured in one run.
    pub efficiency: Option<Share>,
}

/// What one channel measured in one run.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ChannelRead {
    /// Line of the run's first row.
    pub line: u64,
    /// The channel's name.
    pub name: String,
    /// Where the meter sat.
    pub seat: Seat,
    /// Whether the sign of the current was turned.
    pub turned: bool,
    /// Seconds of the first and the last row.
    pub from_to_s: (f64, f64),
    /// Coulomb, all rows.
    pub charge: Amount,
    /// Joule, all rows.
    pub energy: Option<Amount>,
    /// Coulomb by the meter's own counter.
    pub counted_c: Option<f64>,
    /// The highest mean power over the window.
    pub peak: Option<Peak>,
    /// Intervals without rows.
    pub gaps: Vec<Gap>,
    /// Phases in the order of time.
    pub phases: Vec<Phase>,
    /// What discharges gave.
    pub discharges: Vec<Discharged>,
    /// Resistances from the largest steps of the current, in the order of time.
    pub resistances: Vec<StepResistance>,
}

/// Reads a log.
///
/// # Errors
/// No such file, no regular file, no log, no time and no interval; stopped.
pub fn log(options: &LogOptions, watch: &dyn Watch) -> Result<LogRead, Problem> {
    let read = Options {
        interval_s: options.interval_s,
        ..Options::default()
    };
    let mut log = opened(&options.path, &read, watch)?;
    if let Some(seat) = options.seat {
        let mut mapping = log.mapping.clone();
        for channel in &mut mapping.channels {
            channel.seat = seat;
        }
        let stated = Options {
            mapping: Some(mapping),
            ..read
        };
        let reasons = std::mem::take(&mut log.reasons);
        log = opened(&options.path, &stated, watch)?;
        log.reasons = reasons;
    }
    Ok(told(log, options.window_s))
}

fn opened(path: &Path, options: &Options, watch: &dyn Watch) -> Result<Log, Problem> {
    let file = shown(path);
    let mut go_on = |so_far: logs::Progress| {
        watch.stage(&format!("reading {file}: {} rows", so_far.rows));
        watch.goes_on()
    };
    let read = if is_workbook(path) {
        let bytes = opener::read(path, limits::TABLE)?;
        let table = Table::from_workbook(&bytes, &file, None).map_err(|remark| {
            Problem::unfit(remark.to_string(), "name a workbook with one log").at(path)
        })?;
        logs::read_rows(sheet(&table), &file, options, &mut go_on)
    } else {
        let text = opener::open(path, limits::LOG)?;
        logs::read_text(text, &file, options, &mut go_on)
    };
    read.map_err(|error| Problem::from(error).at(path))
}

/// Rows of a sheet, each in its place: rows that hold nothing were left out and are put back.
pub(crate) fn sheet(table: &Table) -> impl Iterator<Item = Vec<String>> {
    let mut line = 1;
    let rows = table.rows().flat_map(move |(at, cells)| {
        let blank = at.saturating_sub(line + 1);
        line = at;
        let cells = cells
            .into_iter()
            .map(|cell| cell.unwrap_or_default().to_owned());
        std::iter::repeat_with(Vec::new)
            .take(usize::try_from(blank).unwrap_or(0))
            .chain(std::iter::once(cells.collect()))
    });
    std::iter::once(table.heading().to_vec()).chain(rows)
}

fn told(log: Log, window_s: f64) -> LogRead {
    let efficiency = log.runs.iter().find_map(|run| {
        let energy = |seat: Seat| {
            let series = run.series.iter().find(|series| series.seat == seat)?;
            series.energy(0, series.last())
        };
        efficiency(energy(Seat::Cell)?, energy(Seat::Socket)?)
    });
    let channels = log
        .runs
        .iter()
        .flat_map(|run| {
            run.series
                .iter()
                .map(|series| channel(run.line, series, window_s))
        })
        .collect();
    LogRead {
        file: log.file,
        rows: log.rows,
        mapping: log.mapping,
        reasons: log.reasons,
        notes: log.notes,
        channels,
        efficiency,
    }
}

fn channel(line: u64, series: &Series, window_s: f64) -> ChannelRead {
    let found = phases(series);
    let last = series.last();
    let counted = |at: usize| series.points[at].counted_c;
    let mut resistances = step_resistances(series);
    resistances.sort_by(|a, b| b.step_a.abs().total_cmp(&a.step_a.abs()));
    resistances.truncate(MOST_RESISTANCES);
    resistances.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    ChannelRead {
        line,
        name: series.name.clone(),
        seat: series.seat,
        turned: series.turned,
        from_to_s: (series.points[0].t_s, series.points[last].t_s),
        charge: series.charge(0, last),
        energy: series.energy(0, last),
        counted_c: counted(last)
            .zip(counted(0))
            .map(|(last, first)| last - first),
        peak: peak_power(series, window_s),
        gaps: series.gaps.clone(),
        discharges: discharges(series, &found),
        phases: found,
        resistances,
    }
}
