//! Numbers as meters and spreadsheets write them.
//!
//! In: a cell, and which character begins decimals. Out: a number and the unit written after it, or nothing for blanks,
//! words and overload marks. Not here: which character begins decimals (`head`).

use crate::mapping::Decimal;

/// Reads a cell: its number, and the unit that stands behind it (empty where none does). Never infinite.
pub(crate) fn read(cell: &str, decimal: Decimal) -> Option<(f64, &str)> {
    let first = *cell.as_bytes().first()?;
    if !(first.is_ascii_digit() || matches!(first, b'+' | b'-' | b'.' | b',')) && cell.is_ascii() {
        return None;
    }
    let pointed = decimal == Decimal::Point || !cell.contains([',', '.']);
    if pointed && let Ok(value) = cell.parse::<f64>() {
        return value.is_finite().then_some((value, ""));
    }
    let (number, unit) = without_unit(cell);
    let plain = plain(number, decimal)?;
    let value: f64 = plain.parse().ok()?;
    value.is_finite().then_some((value, unit))
}

/// Splits off what stands behind the last digit, unless it is an exponent.
fn without_unit(cell: &str) -> (&str, &str) {
    let end = cell
        .char_indices()
        .rev()
        .find(|(_, letter)| letter.is_ascii_digit())
        .map_or(0, |(at, _)| at + 1);
    let (number, unit) = cell.split_at(end);
    let unit = unit.trim().trim_matches(['.', ',']);
    (number, unit)
}

/// Returns a number without groups, with a point.
fn plain(number: &str, decimal: Decimal) -> Option<String> {
    let (point, group) = match decimal {
        Decimal::Point => ('.', ','),
        Decimal::Comma => (',', '.'),
    };
    let mut out = String::with_capacity(number.len());
    let mut grouped = false;
    let letters: Vec<char> = number.chars().collect();
    for (at, letter) in letters.iter().enumerate() {
        match *letter {
            '\u{2212}' => out.push('-'),
            found if found == point => {
                if out.contains('.') {
                    return None;
                }
                out.push('.');
            }
            found if found == group => {
                if is_group(&letters[at + 1..]) && at > 0 {
                    grouped = true;
                } else if !grouped && !out.contains('.') {
                    // A point among decimal commas that groups nothing begins decimals.
                    out.push('.');
                } else {
                    return None;
                }
            }
            ' ' | '\u{a0}' | '\u{202f}' | '\'' if is_group(&letters[at + 1..]) && at > 0 => {}
            found => out.push(found),
        }
    }
    Some(out)
}

/// Whether three digits follow, and then no fourth.
fn is_group(rest: &[char]) -> bool {
    rest.iter()
        .take_while(|letter| letter.is_ascii_digit())
        .count()
        == 3
}

/// Whether the digits of a cell leave open which character begins decimals: one separator, three digits behind it.
pub(crate) fn is_open(cell: &str, separator: char) -> bool {
    let Some((whole, rest)) = cell.split_once(separator) else {
        return false;
    };
    let whole = whole.trim_start_matches(['+', '-']);
    rest.len() == 3
        && rest.bytes().all(|byte| byte.is_ascii_digit())
        && (1..=3).contains(&whole.len())
        && whole.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(cell: &str, decimal: Decimal, expected: Option<(f64, &str)>) {
        assert_eq!(read(cell, decimal), expected, "{cell}");
    }

    #[test]
    fn both_ways_of_writing_decimals_are_read() {
        check("3.7000", Decimal::Point, Some((3.7, "")));
        check("3,700.0", Decimal::Point, Some((3700.0, "")));
        check("1,234,567.5", Decimal::Point, Some((1_234_567.5, "")));
        check("3,7000", Decimal::Comma, Some((3.7, "")));
        check("3.700,5", Decimal::Comma, Some((3700.5, "")));
        check("-0,8", Decimal::Comma, Some((-0.8, "")));
        check("3.75", Decimal::Comma, Some((3.75, "")));
        check("12 345,5", Decimal::Comma, Some((12345.5, "")));
        check("\u{2212}1.5", Decimal::Point, Some((-1.5, "")));
    }

    #[test]
    fn units_and_exponents_are_read() {
        check("800 mA", Decimal::Point, Some((800.0, "mA")));
        check("3.7V", Decimal::Point, Some((3.7, "V")));
        check("1.5E-3", Decimal::Point, Some((0.0015, "")));
        check("-9.63E-05", Decimal::Point, Some((-9.63e-5, "")));
    }

    #[test]
    fn words_and_marks_are_no_numbers() {
        for cell in [
            "", "NaN", "OL", "-", "inf", "1e999", "--", "1.2.3", "12:30", "a1",
        ] {
            check(cell, Decimal::Point, None);
        }
    }
}
