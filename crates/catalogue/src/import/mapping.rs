//! Which heading of a foreign table is which column of a catalogue.
//!
//! In: headings, and what the user says about them (`name=Part No`). Out: a [`Mapping`].

use super::synonyms::SYNONYMS;
use crate::columns::{COLUMNS, Column, column};
use crate::read::hint;
use serde::Serialize;

/// Columns of a catalogue and the headings they are read from.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Mapping {
    headings: Vec<String>,
    /// Name of the column, place of the heading.
    pairs: Vec<(&'static str, usize)>,
}

/// Why a pair given by the user cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MappingError {
    /// It is not of the form `column=heading`.
    #[error("{0:?} is not a pair; write column=heading, for example name=Part No")]
    NotAPair(String),
    /// A catalogue has no such column.
    #[error("a catalogue has no column {0:?}; {1}")]
    UnknownColumn(String, String),
    /// The table has no such heading.
    #[error("the table has no heading {0:?}; there are: {1}")]
    UnknownHeading(String, String),
}

impl Mapping {
    /// Guesses a mapping from the headings, by their names alone.
    ///
    /// A heading serves one column and a column has one heading. Where several headings would do,
    /// the one that stands first in the list of synonyms wins, then the leftmost.
    pub fn guess(headings: &[String]) -> Self {
        let folded: Vec<String> = headings.iter().map(|heading| fold(heading)).collect();
        let mut pairs: Vec<(&'static str, usize)> = Vec::new();
        for (name, synonyms) in SYNONYMS {
            let own = fold(name);
            let words = std::iter::once(own.as_str()).chain(synonyms.iter().copied());
            let found = words
                .filter_map(|word| folded.iter().position(|heading| heading == word))
                .find(|at| !pairs.iter().any(|(_, taken)| taken == at));
            if let Some(at) = found {
                pairs.push((name, at));
            }
        }
        Self {
            headings: headings.to_vec(),
            pairs,
        }
    }

    /// Takes over what the user says: `name=Part No`. Nothing after the sign (`name=`) says that
    /// the column is not read.
    ///
    /// # Errors
    /// It is not a pair, or one side of it does not exist.
    pub fn set(&mut self, pair: &str) -> Result<(), MappingError> {
        let (name, heading) = pair
            .split_once('=')
            .ok_or_else(|| MappingError::NotAPair(pair.to_string()))?;
        let folded = name.trim().to_lowercase().replace([' ', '-'], "_");
        let column = column(&folded)
            .ok_or_else(|| MappingError::UnknownColumn(name.trim().to_string(), hint(&folded)))?;
        let heading = heading.trim();
        if heading.is_empty() {
            self.pairs.retain(|(taken, _)| *taken != column.name);
            return Ok(());
        }
        let exact = self.headings.iter().position(|h| h == heading);
        let at = exact
            .or_else(|| self.headings.iter().position(|h| fold(h) == fold(heading)))
            .ok_or_else(|| {
                MappingError::UnknownHeading(heading.to_string(), self.headings.join(", "))
            })?;
        // The guess gives way; a heading may serve two columns when the user says so.
        self.pairs.retain(|(taken, _)| *taken != column.name);
        self.pairs.push((column.name, at));
        Ok(())
    }

    /// Returns the pairs of column and heading, in the order of the columns.
    pub fn pairs(&self) -> Vec<(&'static str, &str)> {
        self.places()
            .map(|(column, at)| (column.name, self.headings[at].as_str()))
            .collect()
    }

    /// Returns the headings that no column is read from.
    pub fn unused(&self) -> Vec<&str> {
        let used = |at: usize| self.pairs.iter().any(|(_, taken)| *taken == at);
        self.headings
            .iter()
            .enumerate()
            .filter(|(at, heading)| !used(*at) && !heading.is_empty())
            .map(|(_, heading)| heading.as_str())
            .collect()
    }

    /// Returns the heading a column is read from.
    pub fn heading_of(&self, name: &str) -> Option<&str> {
        let (_, at) = self.pairs.iter().find(|(column, _)| *column == name)?;
        Some(self.headings[*at].as_str())
    }

    pub(super) fn places(&self) -> impl Iterator<Item = (&'static Column, usize)> {
        COLUMNS.iter().filter_map(|column| {
            let pair = self.pairs.iter().find(|(name, _)| *name == column.name)?;
            Some((column, pair.1))
        })
    }
}

/// Folds a heading to lower-case letters and digits, so that "Part-No." and "part no" are one.
fn fold(heading: &str) -> String {
    heading
        .to_lowercase()
        .chars()
        .filter(|c| c.is_alphanumeric() || *c == '#')
        .collect()
}
