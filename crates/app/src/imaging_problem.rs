//! Problems with pictures: what was being done, and why it could not be.
//!
//! In: the work and the reason that a crate of pictures gives. Out: a [`Problem`], in one function.

use crate::{At, Kind, Problem, Remedy, shown};
use std::fmt::Display;
use std::path::Path;

/// What was being done with a picture.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Work<'a> {
    /// Decoding a file; what its decoder advises.
    Decode(&'a Path, &'a str),
    /// Looking for codes in a file.
    FindCodes(&'a Path),
    /// Finding room for numbers around a picture of this name.
    Number(&'a str),
    /// Drawing or encoding a picture of this name.
    Draw(&'a str),
    /// Moving points to the edges seen.
    Snap,
    /// Finding a row of equal things.
    FindRow,
    /// Working out the scale with one more thing of known size.
    AddKnown,
    /// Working out a measure.
    Measure,
    /// Looking at a photograph from straight above.
    Rectify,
    /// Making a rectified picture as large as asked for.
    Enlarge,
}

impl Problem {
    /// Tells why work on a picture could not be done; `place` is the photograph or measure it is about.
    pub(crate) fn of_imaging(work: Work<'_>, why: impl Display, place: At) -> Self {
        let kind = match work {
            Work::FindCodes(_)
            | Work::Snap
            | Work::FindRow
            | Work::AddKnown
            | Work::Measure
            | Work::Rectify => Kind::NoAnswer,
            Work::Decode(..) | Work::Number(_) | Work::Draw(_) | Work::Enlarge => Kind::Refused,
        };
        let (message, remedy): (String, Remedy) = match work {
            Work::Decode(path, advice) => {
                (format!("cannot read {}: {why}", shown(path)), advice.into())
            }
            Work::FindCodes(path) => (
                format!("cannot search {}: {why}", shown(path)),
                "cut the picture down to the label".into(),
            ),
            Work::Number(name) => (
                format!("photograph {name} cannot be numbered: {why}"),
                Remedy::WiderColumn,
            ),
            Work::Draw(name) => (
                format!("photograph {name} cannot be drawn: {why}"),
                Remedy::NarrowerColumn,
            ),
            Work::Snap => (
                format!("the points cannot be moved to an edge: {why}"),
                Remedy::MarkCloser,
            ),
            Work::FindRow => (
                format!("no row of equal things is found there: {why}"),
                "mark the line across the middle of the things, from the first to the last".into(),
            ),
            Work::AddKnown => (
                why.to_string(),
                "mark its points again, as far apart as the picture allows".into(),
            ),
            Work::Measure => (
                why.to_string(),
                "correct the points or the things of known size in this photo".into(),
            ),
            Work::Rectify => (
                why.to_string(),
                "correct what is of known size in this photo".into(),
            ),
            Work::Enlarge => (why.to_string(), Remedy::FewerPixels),
        };
        Self {
            kind,
            place: Some(place),
            message,
            remedy,
        }
    }
}
