//! The time of a row, in seconds.
//!
//! In: cells, and how time is written. Out: seconds that can be subtracted from each other. Not here: which column it
//! is (`guess`); gaps, restarts and rows out of order (`read`).

use jiff::civil::Date;

/// Seconds of a day.
pub(crate) const DAY: f64 = 86_400.0;

/// Reads `h:mm:ss`, `hh:mm`, with decimals, with AM or PM: seconds.
pub(crate) fn clock(cell: &str) -> Option<f64> {
    let (parts, count, rest) = colons(cell)?;
    let half = half_of_day(rest)?;
    let seconds = match count {
        2 => parts[0] * 3600.0 + parts[1] * 60.0,
        _ => parts[0] * 3600.0 + parts[1] * 60.0 + parts[2],
    };
    Some(match half {
        Some(_) if !(1.0..13.0).contains(&parts[0]) => return None,
        Some(afternoon) => seconds % (DAY / 2.0) + if afternoon { DAY / 2.0 } else { 0.0 },
        None => seconds,
    })
}

/// Reads `m:ss` with decimals: seconds.
pub(crate) fn minutes(cell: &str) -> Option<f64> {
    let (parts, count, rest) = colons(cell)?;
    (count == 2 && rest.is_empty()).then(|| parts[0] * 60.0 + parts[1])
}

/// Reads numbers between colons; the last may have decimals after a point or a comma. Returns what follows too.
fn colons(cell: &str) -> Option<([f64; 3], usize, &str)> {
    let end = cell
        .find(|letter: char| !(letter.is_ascii_digit() || matches!(letter, ':' | '.' | ',')))
        .unwrap_or(cell.len());
    let (digits, rest) = cell.split_at(end);
    let mut parts = [0.0; 3];
    let mut count = 0;
    for part in digits.split(':') {
        if count == 3 || part.is_empty() {
            return None;
        }
        parts[count] = if part.contains(',') {
            part.replace(',', ".").parse().ok()?
        } else {
            part.parse().ok()?
        };
        count += 1;
    }
    let whole = parts[1] < 60.0 && parts[2] < 60.0;
    (count >= 2 && whole).then_some((parts, count, rest.trim()))
}

/// Reads what follows a time of day: nothing, AM, PM, or a zone, which is left aside.
fn half_of_day(rest: &str) -> Option<Option<bool>> {
    if rest.is_empty() || rest.starts_with(['Z', '+', '-', 'z']) {
        return Some(None);
    }
    match rest.to_ascii_uppercase().replace('.', "").as_str() {
        "AM" => Some(Some(false)),
        "PM" => Some(Some(true)),
        word if word.bytes().all(|byte| byte.is_ascii_uppercase()) => Some(None),
        _ => None,
    }
}

/// A date as written: three numbers, and whether the year comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Written {
    numbers: [i32; 3],
    year_first: bool,
}

impl Written {
    /// Reads `2031-05-04`, `04/05/2031`, `4.5.31`.
    pub(crate) fn read(cell: &str) -> Option<Self> {
        let mut numbers = [0; 3];
        let mut count = 0;
        for part in cell.split(['-', '/', '.']) {
            if count == 3 || part.is_empty() || part.len() > 4 {
                return None;
            }
            if !part.bytes().all(|byte| byte.is_ascii_digit()) {
                return None;
            }
            numbers[count] = part.parse().ok()?;
            count += 1;
        }
        let year_first = cell.find(['-', '/', '.']) == Some(4);
        (count == 3).then_some(Self {
            numbers,
            year_first,
        })
    }

    /// Whether digits leave open which number is the month.
    pub(crate) fn is_open(self) -> bool {
        let [first, second, _] = self.numbers;
        !self.year_first && first <= 12 && second <= 12 && first != second
    }

    /// Tells whether the day stands before the month, where a number above 12 says so.
    pub(crate) fn day_first(self) -> Option<bool> {
        let [first, second, _] = self.numbers;
        match (first > 12, second > 12) {
            (true, false) if !self.year_first => Some(true),
            (false, true) if !self.year_first => Some(false),
            _ => None,
        }
    }

    /// Whether the year stands in front, and so nothing is open.
    pub(crate) fn is_year_first(self) -> bool {
        self.year_first
    }

    /// Returns the first second of the day, counted from 1970. Where only one order gives a date, it is that one.
    pub(crate) fn seconds(self, day_first: bool) -> Option<f64> {
        let [a, b, c] = self.numbers;
        let year = |short: i32| if short < 100 { 2000 + short } else { short };
        let made = |y: i32, m: i32, d: i32| {
            let date = Date::new(
                i16::try_from(y).ok()?,
                i8::try_from(m).ok()?,
                i8::try_from(d).ok()?,
            )
            .ok()?;
            let days = (date - Date::constant(1970, 1, 1)).get_days();
            Some(f64::from(days) * DAY)
        };
        if self.year_first {
            return made(a, b, c);
        }
        let (given, other) = if day_first {
            ((b, a), (a, b))
        } else {
            ((a, b), (b, a))
        };
        made(year(c), given.0, given.1).or_else(|| made(year(c), other.0, other.1))
    }
}

/// Splits date and time of day of one cell.
pub(crate) fn date_and_clock(cell: &str) -> Option<(&str, &str)> {
    let at = cell.find(['T', ' ', '\u{a0}'])?;
    let (date, clock) = cell.split_at(at);
    Some((date, clock.trim_start_matches(['T', ' ', '\u{a0}'])))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_of_day_and_elapsed_times_are_seconds() {
        assert_eq!(clock("23:58:20"), Some(86_300.0));
        assert_eq!(clock("0:00:10.5"), Some(10.5));
        assert_eq!(clock("27:00:00"), Some(97_200.0));
        assert_eq!(clock("12:00:01 AM"), Some(1.0));
        assert_eq!(clock("1:30 pm"), Some(48_600.0));
        assert_eq!(clock("1:75:00"), None);
        assert_eq!(minutes("12:30"), Some(750.0));
    }

    #[test]
    fn dates_are_told_apart_where_digits_do() {
        let day = |cell, first| Written::read(cell).and_then(|date| date.seconds(first));
        assert_eq!(day("1970-01-02", true), Some(DAY));
        assert_eq!(day("02/01/1970", true), Some(DAY));
        assert_eq!(day("01/02/1970", false), Some(DAY));
        assert_eq!(day("13/01/1970", false), Some(12.0 * DAY));
        assert!(Written::read("04/05/2031").is_some_and(Written::is_open));
        assert!(Written::read("14/05/2031").is_some_and(|date| !date.is_open()));
        assert_eq!(day("31/02/2031", true), None);
    }
}
