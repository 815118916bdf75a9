//! Identity of mobile devices: 15 digits with a check digit, 14 without, 16 with a software version.
//!
//! In: a folded text; spaces, hyphens and a leading `IMEI` are allowed. Out: readings; a wrong check digit
//! is reported with the right one. Source: 3GPP TS 23.003, Annex B. An IMEISV has no check digit.

use crate::reading::{Draft, Kind, Value};
use crate::text::{Folded, compact, digits_of};

/// Returns the check digit of 14 digits; `None` for anything else.
pub fn check_digit(digits: &str) -> Option<u32> {
    let digits = digits_of(digits);
    if digits.len() != 14 {
        return None;
    }
    let sum: u32 = digits
        .iter()
        .enumerate()
        .map(|(i, d)| {
            // Every second digit is doubled, and the digits of the product are added.
            let d = if i % 2 == 1 { 2 * d } else { *d };
            d / 10 + d % 10
        })
        .sum();
    Some((10 - sum % 10) % 10)
}

/// Reads a device identity.
pub(crate) fn read(folded: &Folded) -> Option<Draft> {
    let plain = compact(&folded.upper);
    let named = ["IMEISV", "IMEI"]
        .into_iter()
        .find_map(|n| plain.strip_prefix(n))
        .map(|t| t.trim_start_matches([':', '.', '#']).to_string());
    let (number, boost) = match named {
        Some(number) => (number, 50.0),
        None => (plain, 1.0),
    };
    let number = number.replace('/', "");
    let digits = digits_of(&number);
    let draft = match digits.len() {
        15 => {
            let right = check_digit(&number[..14])?;
            let last = digits[14];
            let is_right = last == right;
            let digits = format!("{}{right}", &number[..14]);
            let draft = Draft::new(
                Kind::Imei,
                if is_right { 0.1 } else { 0.000_5 },
                if is_right {
                    format!("IMEI {digits}, check digit right.")
                } else {
                    format!("IMEI with a wrong check digit: {last} should be {right}.")
                },
                format!(
                    "type {}, serial {}; doubling every second digit gives the check digit {right}",
                    &number[..8],
                    &number[8..14]
                ),
            )
            .value(Value::Number {
                digits,
                check_digit_right: Some(is_right),
            });
            if is_right {
                draft
            } else {
                draft.caution("a digit was misread, or this is no IMEI")
            }
        }
        14 => {
            let right = check_digit(&number)?;
            Draft::new(
                Kind::Imei,
                0.000_5,
                format!("IMEI without its check digit, which would be {right}."),
                format!("14 digits: type {}, serial {}", &number[..8], &number[8..]),
            )
            .value(Value::Number {
                digits: format!("{number}{right}"),
                check_digit_right: None,
            })
        }
        16 => Draft::new(
            Kind::Imeisv,
            0.01,
            format!("IMEISV {number}, software version {}.", &number[14..]),
            "16 digits: type, serial and software version; it has no check digit",
        )
        .value(Value::Number {
            digits: number.clone(),
            check_digit_right: None,
        }),
        _ => return None,
    };
    Some(
        draft
            .weaker(boost)
            .caution("identifies one device: leave the serial part out of what is published"),
    )
}
