//! A time of a film.
//!
//! In: `m:ss`, `h:mm:ss` or seconds, with up to three decimals (`12:34`, `1:02:03.5`). Out: the same, to the
//! millisecond. Not here: what is seen then; times of day (`moment`).

use crate::by_text::by_text;
use std::fmt;
use std::str::FromStr;

/// A good text.
pub(crate) const EXAMPLE: &str = "12:34.5";

/// The longest film, in hours.
const LONGEST: u64 = 1000;

/// A time from the beginning of a film or clip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FilmTime {
    /// Milliseconds.
    pub ms: u64,
}

/// Why a text is not a time of a film.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a time of a film such as {EXAMPLE}")]
pub struct FilmTimeError(String);

impl FilmTime {
    /// Makes one of milliseconds.
    pub fn of_ms(ms: u64) -> Self {
        Self { ms }
    }
}

impl FromStr for FilmTime {
    type Err = FilmTimeError;

    fn from_str(text: &str) -> Result<Self, FilmTimeError> {
        read(text)
            .map(|ms| Self { ms })
            .ok_or_else(|| FilmTimeError(text.to_string()))
    }
}

fn read(text: &str) -> Option<u64> {
    let number = |digits: &str| {
        let plain = !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| digits.parse::<u64>().ok()).flatten()
    };
    let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
    if part.len() > 3 {
        return None;
    }
    let ms = number(part)? * 10_u64.pow(3 - u32::try_from(part.len()).ok()?);
    let mut seconds = 0_u64;
    for (at, field) in whole.split(':').enumerate() {
        let value = number(field)?;
        // Behind the first, minutes and seconds have two digits and stay below sixty.
        if at > 2 || at > 0 && (field.len() != 2 || value > 59) {
            return None;
        }
        seconds = seconds.checked_mul(60)?.checked_add(value)?;
    }
    (seconds < LONGEST * 3600).then(|| seconds * 1000 + ms)
}

impl fmt::Display for FilmTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (seconds, ms) = (self.ms / 1000, self.ms % 1000);
        let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
        if hours > 0 {
            write!(f, "{hours}:{minutes:02}:{seconds:02}")?;
        } else {
            write!(f, "{minutes}:{seconds:02}")?;
        }
        if ms > 0 {
            write!(f, "{}", format!(".{ms:03}").trim_end_matches('0'))?;
        }
        Ok(())
    }
}

by_text!(FilmTime);

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test may stop where its ground is missing"
    )]

    use super::*;

    #[test]
    fn times_are_read_and_written_back_in_one_way() {
        for (text, ms, told) in [
            ("12:34", 754_000, "12:34"),
            ("0:07.5", 7_500, "0:07.5"),
            ("1:02:03.040", 3_723_040, "1:02:03.04"),
            ("7.25", 7_250, "0:07.25"),
            ("75", 75_000, "1:15"),
            ("90:00", 5_400_000, "1:30:00"),
        ] {
            let time: FilmTime = text.parse().unwrap();
            assert_eq!(
                (time.ms, time.to_string()),
                (ms, told.to_string()),
                "{text}"
            );
            assert_eq!(time.to_string().parse::<FilmTime>().unwrap(), time);
        }
    }

    #[test]
    fn what_is_no_time_is_refused() {
        for text in [
            "",
            ":",
            "1:2",
            "1:60",
            "1:00:60",
            "1:00:00:00",
            "-1",
            "1,5",
            "1.2345",
            "1:.5",
            "1001:00:00",
            "²",
        ] {
            assert!(text.parse::<FilmTime>().is_err(), "{text}");
        }
    }
}
