//! What a text under edit amounts to: a dossier, or what it still lacks.

use super::Draft;
use crate::{Dossier, Files, Place, Problem, Problems};

/// Whether a text reads, and otherwise why not yet.
#[derive(Debug, Clone, PartialEq)]
pub enum State {
    /// It is a good dossier.
    Reads(Box<Dossier>),
    /// It is none yet.
    NotYet {
        /// Entries that lack required keys, in the order of the text.
        missing: Vec<Missing>,
        /// Everything else that is wrong; each problem says at which place.
        problems: Vec<Problem>,
    },
}

/// An entry that is not complete.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Missing {
    /// The entry or table.
    pub at: Place,
    /// The keys it lacks.
    pub keys: Vec<String>,
}

impl Draft {
    /// Says whether the edited text reads, or exactly which entries lack what.
    pub fn state(&self, files: &dyn Files) -> State {
        let Problems(all) = match self.check(files) {
            Ok(dossier) => return State::Reads(Box::new(dossier)),
            Err(problems) => problems,
        };
        let mut missing: Vec<Missing> = Vec::new();
        let mut problems = Vec::new();
        for problem in all {
            match (&problem.lacks, &problem.place) {
                (Some(key), Some(at)) => match missing.iter_mut().find(|m| m.at == *at) {
                    Some(known) => known.keys.push(key.clone()),
                    None => missing.push(Missing {
                        at: at.clone(),
                        keys: vec![key.clone()],
                    }),
                },
                _ => problems.push(problem),
            }
        }
        State::NotYet { missing, problems }
    }
}
