//! The analyst's own table of standard times, and the arithmetic on it.
//!
//! In: a CSV table in any form that spreadsheets write: action, tool, seconds or TMU, what they are for, source. Out: rows,
//! and for every one that was refused the file, line, column, reason and remedy; the time of acts, row by row.
//! Not here: any time. No standard time was found published with its task, so none is built in.
//! Source of the arithmetic: rows times counts, summed by category; 1 TMU = 10⁻⁵ h (MOST, from memory).

mod read;
mod write;

pub use read::{Column, guessed, read, read_mapped};
pub use write::write;

use catalogue::Remark;
use record::Action;
use std::collections::BTreeMap;

/// Seconds of a TMU, the unit of predetermined times: 10⁻⁵ h.
pub const TMU_S: f64 = 0.036;

/// Most rows of a table.
pub const MOST_ROWS: usize = 10_000;

/// What a time is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Per {
    /// Once for an act.
    Act,
    /// For every fastener of an act.
    Fastener,
    /// For a change of tool.
    ToolChange,
}

/// Which way it is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// To the part.
    There,
    /// Back together.
    Back,
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The action; any if none.
    pub action: Option<Action>,
    /// The tool, folded; any if empty.
    pub tool: String,
    /// What it is for.
    pub per: Per,
    /// Which way.
    pub way: Way,
    /// The category of the sum; empty if none.
    pub category: String,
    /// Seconds.
    pub seconds: f64,
    /// Where it is from.
    pub source: String,
    /// Its file.
    pub file: String,
    /// Its line in it.
    pub line: u64,
}

/// Rows; a later one corrects an earlier one for the same.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Times {
    rows: Vec<Entry>,
}

/// A table read, with what is to be said about it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Read {
    /// The rows that can be used.
    pub times: Times,
    /// Rows that cannot, and why; the first ones, then how many more.
    pub remarks: Vec<Remark>,
}

/// One act to be timed.
#[derive(Debug, Clone, PartialEq)]
pub struct Act<'a> {
    /// What is done.
    pub action: Action,
    /// The tool; by hand if none.
    pub tool: Option<&'a str>,
    /// Fasteners; `None` where their number is not known.
    pub fasteners: Option<u32>,
}

/// What a table gives for acts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sum {
    /// Rows used, each with how often.
    pub used: Vec<(usize, u32)>,
    /// Seconds by category, in the order of their names.
    pub categories: BTreeMap<String, f64>,
    /// Numbers of acts that no row is for, or whose fasteners nobody counted.
    pub without: Vec<usize>,
    /// Whether tools are changed and no row says how long that takes.
    pub changes_without: bool,
}

impl Sum {
    /// All seconds.
    pub fn seconds(&self) -> f64 {
        self.categories.values().sum()
    }

    /// Whether nothing is left out.
    pub fn is_whole(&self) -> bool {
        self.without.is_empty() && !self.changes_without
    }
}

impl Times {
    /// Whether there is no row.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The rows in the order they were first met.
    pub fn rows(&self) -> &[Entry] {
        &self.rows
    }

    /// Adds a row, which corrects one for the same.
    pub fn add(&mut self, entry: Entry) {
        let same = |e: &Entry| {
            (e.action, &e.tool, e.per, e.way, &e.category)
                == (
                    entry.action,
                    &entry.tool,
                    entry.per,
                    entry.way,
                    &entry.category,
                )
        };
        match self.rows.iter().position(same) {
            Some(at) => self.rows[at] = entry,
            None => self.rows.push(entry),
        }
    }

    /// Adds another table, whose rows correct those here.
    pub fn merge(&mut self, later: Times) {
        later.rows.into_iter().for_each(|row| self.add(row));
    }

    /// Adds up the time of acts and of so many changes of tool.
    pub fn sum(&self, way: Way, acts: &[Act<'_>], changes: usize) -> Sum {
        let mut sum = Sum::default();
        let mut counts: BTreeMap<usize, u32> = BTreeMap::new();
        for (number, act) in acts.iter().enumerate() {
            let tool = folded(act.tool.unwrap_or("hand"));
            let rows = self.fitting(way, Some(act.action), &tool, |per| per != Per::ToolChange);
            let mut told = !rows.is_empty();
            for at in rows {
                match (self.rows[at].per, act.fasteners) {
                    (Per::Fastener, Some(n)) => *counts.entry(at).or_default() += n,
                    (Per::Fastener, None) => told = false,
                    _ => *counts.entry(at).or_default() += 1,
                }
            }
            if !told {
                sum.without.push(number);
            }
        }
        let changes = u32::try_from(changes).unwrap_or(u32::MAX);
        if changes > 0 {
            let rows = self.fitting(way, None, "", |per| per == Per::ToolChange);
            sum.changes_without = rows.is_empty();
            for at in rows {
                *counts.entry(at).or_default() += changes;
            }
        }
        for (at, count) in counts {
            let row = &self.rows[at];
            *sum.categories.entry(row.category.clone()).or_default() +=
                row.seconds * f64::from(count);
            sum.used.push((at, count));
        }
        sum
    }

    /// Returns the rows that fit, of each category and unit those that tell most: with the tool, then without; with the
    /// action, then without.
    fn fitting(
        &self,
        way: Way,
        action: Option<Action>,
        tool: &str,
        per: impl Fn(Per) -> bool,
    ) -> Vec<usize> {
        let mut best: BTreeMap<(&str, Per), (u8, usize)> = BTreeMap::new();
        for (at, row) in self.rows.iter().enumerate() {
            let fits = row.way == way
                && per(row.per)
                && (row.action.is_none() || row.action == action)
                && (row.tool.is_empty() || row.tool == tool);
            if !fits {
                continue;
            }
            let tells = 2 * u8::from(row.action.is_some()) + u8::from(!row.tool.is_empty());
            let kept = best.entry((&row.category, row.per)).or_insert((tells, at));
            if tells > kept.0 {
                *kept = (tells, at);
            }
        }
        best.into_values().map(|(_, at)| at).collect()
    }
}

/// Letters and digits alone, small.
fn folded(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}
