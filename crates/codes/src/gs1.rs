//! Article, location and shipping numbers with a GS1 check digit.
//!
//! In: a folded text; spaces, hyphens and an application identifier in brackets are allowed. Out: readings;
//! a wrong check digit is reported with the right one. Source: GS1 pages on the check digit: weights 3 and
//! 1 from the right, complement to ten.

use crate::reading::{Draft, Kind, Value};
use crate::text::{Folded, compact, digits_of};

/// Returns the check digit of the digits before it; `None` if a character is not a digit.
pub fn check_digit(digits: &str) -> Option<u32> {
    let digits = digits_of(digits);
    if digits.is_empty() {
        return None;
    }
    let sum: u32 = digits
        .iter()
        .rev()
        .enumerate()
        .map(|(i, d)| if i % 2 == 0 { 3 * d } else { *d })
        .sum();
    Some((10 - sum % 10) % 10)
}

/// What numbers of a length are.
fn names(length: usize, identifier: Option<&str>) -> Option<&'static str> {
    Some(match (length, identifier) {
        (8, None) => "GTIN-8 (article number)",
        (12, None) => "GTIN-12 (article number)",
        (13, None) => "GTIN-13 (article number) or GLN (location number)",
        (14, None | Some("01" | "02")) => "GTIN-14 (article number)",
        (13, Some("410" | "411" | "412" | "413" | "414" | "415" | "416" | "417")) => {
            "GLN (location number)"
        }
        (18, None | Some("00")) => "SSCC (shipping container number)",
        _ => return None,
    })
}

/// Splits an application identifier in brackets from the number.
fn identifier(text: &str) -> (Option<&str>, &str) {
    match text.strip_prefix('(').and_then(|t| t.split_once(')')) {
        Some((identifier, rest)) => (Some(identifier), rest),
        None => (None, text),
    }
}

/// Reads a number with a check digit.
pub(crate) fn read(folded: &Folded) -> Option<Draft> {
    let (identifier, rest) = identifier(&folded.upper);
    let number = compact(rest);
    let length = digits_of(&number).len();
    let name = names(length, identifier)?;
    let (body, last) = number.split_at_checked(length - 1)?;
    let right = check_digit(body)?;
    let is_right = last.parse() == Ok(right);
    let digits = format!("{body}{right}");
    let mut draft = Draft::new(
        Kind::Gs1,
        match (length, is_right) {
            // Eight digits are as often a date.
            (8, true) => 1e-4,
            (8, false) => 1e-7,
            (_, true) => 0.1,
            (_, false) => 0.000_5,
        },
        if is_right {
            format!("{name} {digits}, check digit right.")
        } else {
            format!("{name} with a wrong check digit: {last} should be {right}.")
        },
        format!("{length} digits; weights 3 and 1 from the right give the check digit {right}"),
    )
    .value(Value::Number {
        digits,
        check_digit_right: Some(is_right),
    });
    if !is_right {
        draft = draft.caution(
            "a digit was misread, or this is no such number; compare the bar code's own text",
        );
    }
    Some(draft)
}
