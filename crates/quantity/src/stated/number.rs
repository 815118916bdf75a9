//! Reading numbers: decimal point or comma, digit groups, powers of ten, concise uncertainty.
//!
//! One comma before exactly three digits (`1,234`) has two readings and is refused with both; one
//! point is always the decimal point. Digit groups are parted by spaces, apostrophes, or by
//! whichever of point and comma does not mark the decimals.

use super::ReadError;
use super::cursor::Cursor;
use crate::glyph::superscript_digit;

/// A number as written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Number {
    pub(super) value: f64,
    /// Place value of the last digit.
    pub(super) last_digit: f64,
    /// `(2)`: the standard uncertainty in the last digits.
    pub(super) standard: Option<f64>,
}

/// Returns whether a number starts here.
pub(super) fn starts(cursor: &Cursor) -> bool {
    let sign = usize::from(matches!(cursor.peek(), Some('-' | '–' | '+')));
    cursor.digit_at(sign)
        || (matches!(cursor.ahead(sign), Some('.' | ',')) && cursor.digit_at(sign + 1))
}

/// Reads a number.
pub(super) fn read(cursor: &mut Cursor) -> Result<Number, ReadError> {
    if !starts(cursor) {
        return Err(missing(cursor));
    }
    let start = cursor.i;
    let negative = matches!(cursor.peek(), Some('-' | '–'));
    cursor.i += usize::from(negative || cursor.peek() == Some('+'));
    let groups = groups(cursor);
    let (whole, fraction) = decimals(cursor, start, &groups)?;
    let mut power = exponent(cursor).unwrap_or(0);
    let standard = concise(cursor);
    power = power.saturating_add(exponent(cursor).unwrap_or(0));
    power = power.saturating_add(times_power_of_ten(cursor).unwrap_or(0));

    let place = power.saturating_sub(i32::try_from(fraction.len()).unwrap_or(i32::MAX));
    let parse = |text: String| text.parse::<f64>().unwrap_or(f64::NAN);
    let value = parse(format!("{whole}.{fraction}e{power}"));
    let standard = standard.map(|digits| parse(format!("{digits}e{place}")));
    let last_digit = parse(format!("1e{place}"));
    let zero = whole.bytes().chain(fraction.bytes()).all(|b| b == b'0');
    let usable = value.is_finite()
        && (zero || value.is_normal())
        && last_digit.is_normal()
        && standard.is_none_or(f64::is_finite);
    if !usable {
        return Err(cursor.error(
            start,
            "the number is too large or too small to compute with",
        ));
    }
    Ok(Number {
        value: if negative { -value } else { value },
        last_digit,
        standard,
    })
}

fn missing(cursor: &Cursor) -> ReadError {
    match cursor.peek() {
        None => cursor.error(cursor.i, "a number is missing; write for example 620 mAh"),
        Some('¼'..='¾' | '⅐'..='⅞') => {
            cursor.error_ahead("fractions are not read; write a decimal number such as 0.5 mm")
        }
        Some(_) => cursor.error_ahead(format!(
            "expected a number, found '{}'; write for example 620 mAh",
            cursor.excerpt()
        )),
    }
}

/// A run of digits and the mark before it.
struct Group {
    mark: char,
    digits: String,
}

/// Takes digits with the marks between them. Spaces and apostrophes are taken only where groups
/// of three stand on both sides; so they never part two numbers wrongly.
fn groups(cursor: &mut Cursor) -> Vec<Group> {
    let mut groups = vec![Group {
        mark: '^',
        digits: digits(cursor),
    }];
    let mut in_decimals = false;
    while let Some(mark @ ('.' | ',' | ' ' | '\'' | '’')) = cursor.peek() {
        let run = (1..=4).take_while(|&n| cursor.digit_at(n)).count();
        let previous = groups.last().map_or(0, |g| g.digits.len());
        let grouping = matches!(mark, ' ' | '\'' | '’');
        let next_is_mark = matches!(cursor.ahead(1 + run), Some('.' | ',' | '(' | '/'))
            && cursor.digit_at(2 + run);
        let taken = match (grouping, in_decimals) {
            (false, _) => run > 0,
            (true, false) => {
                run == 3 && (previous == 3 || (groups.len() == 1 && (1..3).contains(&previous)))
            }
            (true, true) => (1..=3).contains(&run) && previous == 3 && !next_is_mark,
        };
        if !taken {
            // A full stop after a number: `5. mm`.
            if mark == '.' && groups.len() == 1 && matches!(cursor.ahead(1), None | Some(' ')) {
                cursor.i += 1;
            }
            break;
        }
        cursor.i += 1;
        in_decimals |= !grouping;
        groups.push(Group {
            mark: if grouping { ' ' } else { mark },
            digits: digits(cursor),
        });
    }
    groups
}

fn digits(cursor: &mut Cursor) -> String {
    let start = cursor.i;
    while cursor.digit_at(0) {
        cursor.i += 1;
    }
    cursor.since(start)
}

/// Decides which mark is the decimal one.
fn decimals(
    cursor: &Cursor,
    start: usize,
    groups: &[Group],
) -> Result<(String, String), ReadError> {
    let count = |mark: char| groups.iter().filter(|g| g.mark == mark).count();
    let (points, commas) = (count('.'), count(','));
    let last_mark = groups
        .iter()
        .rev()
        .map(|g| g.mark)
        .find(|m| matches!(m, '.' | ','));
    let refuse = || {
        let written = cursor.since(start);
        let written: String = written.chars().take(24).collect();
        cursor.error(
            start,
            format!("the points and commas in '{written}' do not make a number; write one decimal point and no digit groups"),
        )
    };
    let decimal = match (points, commas, last_mark) {
        (0, 0, _) | (_, _, None) => None,
        (1, 0, _) | (0, 1, _) => last_mark,
        (_, 0, _) | (0, _, _) => None,
        (_, _, Some(mark)) if count(mark) == 1 => Some(mark),
        _ => return Err(refuse()),
    };
    let mut whole = String::new();
    let mut fraction = String::new();
    let mut after = false;
    for group in groups {
        let is_decimal = Some(group.mark) == decimal;
        // Whatever is not the decimal mark parts groups of three, before the decimals only.
        let parts_groups = !is_decimal && matches!(group.mark, '.' | ',');
        let first = groups.first().map_or(0, |g| g.digits.len());
        if parts_groups && (after || group.digits.len() != 3 || !(1..=3).contains(&first)) {
            return Err(refuse());
        }
        after |= is_decimal;
        if after { &mut fraction } else { &mut whole }.push_str(&group.digits);
    }
    let lone_comma = decimal == Some(',') && groups.len() == 2;
    if lone_comma
        && fraction.len() == 3
        && (1..=3).contains(&whole.len())
        && !whole.starts_with('0')
    {
        let unit = unit_ahead(cursor);
        return Err(cursor.error(
            start,
            format!(
                "'{whole},{fraction}{unit}' is ambiguous: {whole}.{fraction}{unit} or \
                 {whole}{fraction}{unit}; write the one that is meant"
            ),
        ));
    }
    Ok((whole, fraction))
}

/// Returns the letters after a number for a message, with a space before.
fn unit_ahead(cursor: &Cursor) -> String {
    let skip = usize::from(cursor.peek() == Some(' '));
    let letters: String = (skip..skip + 12)
        .map_while(|n| cursor.ahead(n))
        .take_while(|c| c.is_alphabetic() || matches!(c, '°' | '%' | '/' | '²' | '³'))
        .collect();
    if letters.is_empty() {
        letters
    } else {
        format!(" {letters}")
    }
}

/// Takes `e-3`.
fn exponent(cursor: &mut Cursor) -> Option<i32> {
    if !matches!(cursor.peek(), Some('e' | 'E')) {
        return None;
    }
    let sign = usize::from(matches!(cursor.ahead(1), Some('+' | '-')));
    if !cursor.digit_at(1 + sign) {
        return None;
    }
    let negative = cursor.ahead(1) == Some('-');
    cursor.i += 1 + sign;
    Some(signed(negative, &digits(cursor)))
}

fn signed(negative: bool, digits: &str) -> i32 {
    // Beyond a million the number is refused as too large anyway.
    let size = digits.parse::<i32>().unwrap_or(1_000_000).min(1_000_000);
    if negative { -size } else { size }
}

/// Takes `(21)` after a number, a space before it allowed.
fn concise(cursor: &mut Cursor) -> Option<String> {
    let start = cursor.i;
    cursor.skip_spaces();
    if cursor.eat('(') {
        let found = digits(cursor);
        if !found.is_empty() && cursor.eat(')') {
            return Some(found);
        }
    }
    cursor.i = start;
    None
}

/// Takes `× 10^-3`, `x10⁻³`, `·10^3`.
pub(super) fn times_power_of_ten(cursor: &mut Cursor) -> Option<i32> {
    let start = cursor.i;
    let found = power_of_ten(cursor);
    if found.is_none() {
        cursor.i = start;
    }
    found
}

fn power_of_ten(cursor: &mut Cursor) -> Option<i32> {
    cursor.skip_spaces();
    if !matches!(cursor.peek(), Some('×' | 'x' | 'X' | '*' | '·')) {
        return None;
    }
    cursor.i += 1;
    cursor.skip_spaces();
    if !(cursor.eat('1') && cursor.eat('0')) {
        return None;
    }
    if cursor.eat('^') || (cursor.eat('*') && cursor.eat('*')) {
        let negative = cursor.eat('-');
        if !negative {
            cursor.eat('+');
        }
        let found = digits(cursor);
        return (!found.is_empty()).then(|| signed(negative, &found));
    }
    let negative = cursor.eat('⁻');
    let mut found = String::new();
    while let Some(d) = cursor.peek().and_then(superscript_digit) {
        found.push(char::from(b'0' + d));
        cursor.i += 1;
    }
    (!found.is_empty()).then(|| signed(negative, &found))
}
