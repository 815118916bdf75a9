//! A moment: date, time of day and offset from UTC.
//!
//! In: RFC 3339 text (`2026-03-01T14:05:00+01:00`), with `T` or a space between date and time.
//! Out: the same, and the order of moments. Not here: zones by name; the clock.
//!
//! The offset is kept, since an analyst wants the time that was on the wall.

use crate::by_text::by_text;
use jiff::Timestamp;
use jiff::fmt::temporal::Pieces;
use jiff::tz::Offset;
use std::fmt;
use std::str::FromStr;

/// A good text.
pub(crate) const EXAMPLE: &str = "2026-03-01T14:05:00+01:00";

/// Date and time of day with the offset from UTC that was in force.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Moment {
    at: Timestamp,
    offset: Offset,
}

/// Why a text is not a moment.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a date with time and offset such as {EXAMPLE}")]
pub struct MomentError(String);

impl Moment {
    /// Returns the moment on the common time line.
    pub fn timestamp(&self) -> Timestamp {
        self.at
    }
    /// Returns whether it was earlier than `other`, whatever their offsets.
    pub fn is_before(&self, other: &Self) -> bool {
        self.at < other.at
    }
}

impl FromStr for Moment {
    type Err = MomentError;

    fn from_str(text: &str) -> Result<Self, MomentError> {
        let read = || {
            let pieces = Pieces::parse(text).ok()?;
            if pieces.time_zone_annotation().is_some() {
                return None;
            }
            let offset = pieces.to_numeric_offset()?;
            let at = offset
                .to_timestamp(pieces.date().to_datetime(pieces.time()?))
                .ok()?;
            // What is printed has to be readable again: a year of four digits, whole minutes of offset.
            let moment = Self { at, offset };
            let year = offset.to_datetime(at).year();
            ((0..=9999).contains(&year) && offset.seconds() % 60 == 0).then_some(moment)
        };
        read().ok_or_else(|| MomentError(text.to_string()))
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.at.display_with_offset(self.offset))
    }
}

by_text!(Moment);

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test may stop where its ground is missing"
    )]

    use super::*;

    /// Source: RFC 3339, 5.8: "This represents 39 minutes and 57 seconds after the 16th hour of
    /// December 19th, 1996 with an offset of -08:00 from UTC […] equivalent to
    /// 1996-12-20T00:39:57Z".
    #[test]
    fn the_example_of_the_standard_is_read() {
        let one: Moment = "1996-12-19T16:39:57-08:00".parse().unwrap();
        let same: Moment = "1996-12-20T00:39:57Z".parse().unwrap();
        assert_eq!(one.timestamp(), same.timestamp());
        assert!(!one.is_before(&same) && !same.is_before(&one));
        assert_eq!(one.to_string(), "1996-12-19T16:39:57-08:00");
        // RFC 3339, 5.8, first example.
        let part: Moment = "1985-04-12T23:20:50.52Z".parse().unwrap();
        assert!(part.is_before(&one));
        assert_eq!(part.to_string().parse::<Moment>().unwrap(), part);
    }

    #[test]
    fn what_is_no_moment_is_refused() {
        for text in [
            "2026-03-01",
            "2026-03-01T14:05:00",
            "14:05",
            "2026-03-01T25:00:00Z",
            "2026-02-30T14:05:00Z",
            "2026-03-01T14:05:00+01:00[Europe/Paris]",
            "",
        ] {
            assert!(text.parse::<Moment>().is_err(), "{text}");
        }
    }
}
