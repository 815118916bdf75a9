//! Every figure of a claim stands in its verbatim text.
//!
//! In: the text as printed and the figures of `value`, `rating` and `after`. Out: a problem for each
//! figure that the text does not print, unless the claim says that the figure is our reading.
//! Digits of any script count with either decimal sign and with grouping; so do number words, fractions
//! ("half an hour", "one and a half") and words of repetition ("twice"). Where the text gives a unit beside
//! a figure, the figure counts in that unit: "half an hour" is 30 min, "30 h" is not.
//! Not here: whether the figure fits the kind of claim (`claims`).

use super::Check;
use super::claims::stated;
use super::number_words::{factor, numbers, plain, share};
use crate::grammar::claim_measure;
use crate::tree::{Node, Value};
use quantity::{Rating, Spread, Stated, Unit};

/// Relative distance within which two figures are the same after a change of unit.
const SAME: f64 = 1e-9;

pub(super) fn figures(check: &mut Check<'_>, root: &Node) {
    for claim in root.list("claims") {
        let Some(text) = claim.text("text") else {
            continue;
        };
        let ours = claim
            .get("our-reading")
            .is_some_and(|node| matches!(node.value, Value::Boolean(true)));
        if ours {
            continue;
        }
        let printed = Printed::of(text);
        // Of other claims `after` is a condition that we assume, not what they print.
        let quick = claim.text("kind") == Some("quick-charge");
        for key in ["value", "rating", "after"] {
            if key == "after" && !quick {
                continue;
            }
            let Some(node) = claim.get(key) else { continue };
            let read = if key == "rating" {
                let rating = node.as_text().and_then(|t| Rating::parse(t).ok());
                rating.map(|r| r.figures().cloned().collect::<Vec<_>>())
            } else {
                stated(node).map(|s| vec![s])
            };
            // A value of the wrong dimension is told already (`claims`).
            let asked = claim.text("kind").and_then(claim_measure);
            let fits =
                |s: &&Stated| key != "value" || asked.is_none_or(|a| a.sort.accepts(s.dimension()));
            let lacking = read
                .unwrap_or_default()
                .iter()
                .filter(fits)
                .flat_map(ends)
                .find(|(number, unit)| !printed.holds(*number, unit));
            if let Some((number, unit)) = lacking {
                check.report(
                    &node.span,
                    format!("the text of the claim does not print {}", shown(number, &unit)),
                    "write the figure as printed, or set our-reading = true where the text gives none",
                );
            }
        }
    }
}

fn shown(number: f64, unit: &Unit) -> String {
    format!("{number} {}", unit.symbol()).trim_end().to_string()
}

/// Returns the figures that a statement writes: both ends of a range, or its value.
fn ends(stated: &Stated) -> Vec<(f64, Unit)> {
    let numbers = match stated.spread {
        Spread::Range { low, high } => vec![low, high],
        _ => vec![stated.value],
    };
    numbers
        .into_iter()
        .map(|n| (n, stated.unit.clone()))
        .collect()
}

/// The figures that a text prints, each with its unit where one stands beside it.
struct Printed(Vec<(f64, Option<Unit>)>);

/// Units that are also ordinary words or letters; beside a figure they may mean nothing.
const WORDS_TOO: [&str; 8] = ["a", "in", "at", "t", "d", "x", "m", "C"];

impl Printed {
    fn of(text: &str) -> Self {
        let text: String = text.chars().map(plain).collect();
        let mut found = Vec::new();
        for (number, rest) in digits(&text) {
            let unit = unit_at(&text, rest);
            found.extend(minutes_behind(&text, number, rest, unit.as_ref()));
            found.push((number, unit.filter(|u| !WORDS_TOO.contains(&u.symbol()))));
        }
        found.extend(words(&text.to_lowercase()));
        Self(found)
    }

    fn holds(&self, number: f64, unit: &Unit) -> bool {
        let si = unit.to_si(number);
        self.0.iter().any(|(printed, theirs)| match theirs {
            Some(theirs) if theirs.dimension() == unit.dimension() => {
                same(theirs.to_si(*printed), si)
            }
            // A count may be followed by anything ("3 h" is no count, "2 x" is).
            Some(_) => false,
            None => same(*printed, number),
        })
    }
}

/// "1 h 30 min": the figure with the minutes behind it.
fn minutes_behind(
    text: &str,
    hours: f64,
    rest: usize,
    unit: Option<&Unit>,
) -> Option<(f64, Option<Unit>)> {
    let hour = Unit::parse("h")
        .ok()
        .filter(|h| unit.is_some_and(|u| u == h))?;
    let behind = text.get(rest..)?.trim_start();
    let behind = behind.trim_start_matches(char::is_alphabetic).trim_start();
    let length = behind
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(behind.len());
    let minutes: f64 = behind[..length].parse().ok().filter(|m| *m < 60.0)?;
    let word: String = behind[length..]
        .trim_start()
        .chars()
        .take_while(|c| c.is_alphabetic())
        .collect();
    let minute = matches!(
        word.to_lowercase().as_str(),
        "" | "m" | "min" | "mins" | "minutes" | "minuten" | "minuti"
    );
    minute.then_some((hours + minutes / 60.0, Some(hour)))
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME * a.abs().max(b.abs())
}

/// Returns every number in digits, in each way it can be read, with the place behind it.
fn digits(text: &str) -> Vec<(f64, usize)> {
    let bytes = text.as_bytes();
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        if !bytes[at].is_ascii_digit() {
            at += 1;
            continue;
        }
        let start = at;
        while at < bytes.len()
            && (bytes[at].is_ascii_digit()
                || (matches!(bytes[at], b'.' | b',' | b' ' | b'\'')
                    && bytes.get(at + 1).is_some_and(u8::is_ascii_digit)))
        {
            at += 1;
        }
        for reading in readings(&text[start..at]) {
            found.push((reading, at));
        }
        found.extend(fraction(text, at, &text[start..at]));
    }
    found
}

/// `1/2`, and `1 1/2` as one and a half.
fn fraction(text: &str, at: usize, before: &str) -> Option<(f64, usize)> {
    let below = text[at..].strip_prefix('/')?;
    let length = below
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(below.len());
    let divisor: f64 = below[..length].parse().ok().filter(|d| *d > 0.0)?;
    let mut parts = before.rsplitn(2, ' ');
    let share = parts.next()?.parse::<f64>().ok()? / divisor;
    let whole = parts.next().map_or(Some(0.0), |w| w.parse().ok())?;
    Some((whole + share, at + 1 + length))
}

/// Reads a run of digits with points, commas and gaps: as one number in each way, and its pieces.
fn readings(run: &str) -> Vec<f64> {
    let mut all: Vec<f64> = Vec::new();
    let mut add = |text: Option<String>| {
        if let Some(number) = text.and_then(|t| t.parse::<f64>().ok())
            && !all.contains(&number)
        {
            all.push(number);
        }
    };
    for piece in std::iter::once(run).chain(run.split(' ')) {
        for (group, decimal) in [(",", '.'), (".", ','), ("'", '.'), (" ", '.'), (" ", ',')] {
            add(grouped(piece, group, decimal));
        }
    }
    all
}

/// Reads a number whose groups of three are parted by `group`; `None` where it is not one.
fn grouped(text: &str, group: &str, decimal: char) -> Option<String> {
    let (whole, rest) = text.split_once(decimal).unwrap_or((text, ""));
    let mut groups = whole.split(group);
    let first = groups.next()?;
    let rest_are_groups = groups.clone().all(|g| g.len() == 3);
    let parted = groups.next().is_some();
    let starts = first.len() <= 3 && !first.starts_with('0');
    let digits = |t: &str| t.chars().all(|c| c.is_ascii_digit());
    let whole: String = whole.split(group).collect();
    (rest_are_groups && (starts || !parted) && digits(&whole) && digits(rest))
        .then(|| format!("{whole}.{rest}"))
}

/// Returns the unit that stands at a place of the text, gaps passed over.
fn unit_at(text: &str, at: usize) -> Option<Unit> {
    let rest = text
        .get(at..)?
        .trim_start_matches([' ', '\u{a0}', '-', '\u{202f}']);
    let word: String = rest
        .chars()
        .take_while(|c| c.is_alphabetic() || matches!(c, '°' | '%' | 'µ' | '·' | '/'))
        .collect();
    if word.is_empty() {
        return None;
    }
    Unit::parse(&word)
        .ok()
        .or_else(|| Unit::parse(word.trim_end_matches(['.', '/', '·'])).ok())
}

/// What one word adds to a number in words.
enum Part {
    Number(f64),
    Times(f64),
    Share(f64),
    /// "a", "an", "and", "of", which only join.
    Joint,
    Other,
}

fn part(word: &str) -> Part {
    if let Some(n) = numbers(word).next() {
        return Part::Number(n);
    }
    if let Some(factor) = factor(word) {
        return Part::Times(factor);
    }
    if let Some(share) = share(word) {
        return Part::Share(share);
    }
    match word {
        "a" | "an" | "and" | "of" | "und" | "et" | "y" | "e" | "en" => Part::Joint,
        _ => Part::Other,
    }
}

/// Returns whether a character is a fraction or one of the ideographs that are written without gaps.
fn stands_alone(c: char) -> bool {
    matches!(c, '½' | '¼' | '¾' | '⅓' | '⅔' | '\u{3400}'..='\u{9fff}')
}

/// Splits a text into words; a fraction and an ideograph are words of their own.
fn split(text: &str) -> Vec<String> {
    let apart: String = text
        .chars()
        .flat_map(|c| {
            if stands_alone(c) {
                vec![' ', c, ' ']
            } else {
                vec![c]
            }
        })
        .collect();
    let words = apart.split(|c: char| !(c.is_alphanumeric() || stands_alone(c)));
    words.filter(|w| !w.is_empty()).map(String::from).collect()
}

/// Returns the numbers in words, with the unit that follows or stands inside ("an hour and a half").
fn words(text: &str) -> Vec<(f64, Option<Unit>)> {
    let words = split(text);
    let mut found = Vec::new();
    // A word that is a number in two languages counts as either.
    for word in &words {
        found.extend(numbers(word).skip(1).map(|n| (n, None)));
    }
    for start in 0..words.len() {
        let (mut total, mut current, mut seen) = (0.0, 0.0, false);
        let mut unit = None;
        let mut article = false;
        let mut rest = words[start..].iter();
        // "1½": digits count here only before a fraction.
        if let Ok(whole) = words[start].parse::<u32>()
            && words.get(start + 1).is_some_and(|w| share(w).is_some())
        {
            current = f64::from(whole);
            rest.next();
        }
        for word in rest {
            match part(word) {
                Part::Number(n) => {
                    current += n;
                    seen = true;
                }
                Part::Times(n) => {
                    current = f64::max(current, 1.0) * n;
                    total += current;
                    current = 0.0;
                    seen = true;
                }
                Part::Share(share) => {
                    current = if current > 0.0 && share < 0.5 {
                        current * share
                    } else {
                        current + share
                    };
                    seen = true;
                }
                Part::Joint => {
                    article = matches!(word.as_str(), "a" | "an");
                    continue;
                }
                Part::Other => {
                    let Ok(here) = Unit::parse(word) else { break };
                    // "an hour and a half": the unit comes first and counts once.
                    if unit.is_some() {
                        break;
                    }
                    if !seen && !article {
                        break;
                    }
                    if !seen {
                        current += 1.0;
                        seen = true;
                    }
                    found.push((total + current, Some(here.clone())));
                    unit = Some(here);
                    continue;
                }
            }
            found.push((total + current, unit.clone()));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_found_in_digits_and_words() {
        for (text, number, unit) in [
            ("Runs for ten hours", 10.0, "h"),
            ("Full in half an hour", 30.0, "min"),
            ("Full in an hour and a half", 90.0, "min"),
            ("one and a half hours", 1.5, "h"),
            ("10,000 mAh", 10_000.0, "mAh"),
            ("6,500 mAh (5 V)", 5.0, "V"),
            ("1,5 h", 1.5, "h"),
            ("1 1/2 h", 1.5, "h"),
            ("30–36 h", 36.0, "h"),
            ("twenty-five recharges", 25.0, ""),
            ("charges it twice", 2.0, ""),
            ("two hundred lumens", 200.0, "lm"),
            ("three quarters of an hour", 45.0, "min"),
            ("Input 9V⎓2A", 2.0, "A"),
            ("10 000 mAh", 10_000.0, "mAh"),
            ("0.5 kg", 500.0, "g"),
            ("120° view", 120.0, "°"),
            ("1½ hours", 1.5, "h"),
            ("1½ hours", 90.0, "min"),
            ("1 h 30 min", 90.0, "min"),
            ("1 h 30 min", 1.5, "h"),
            ("10\u{202f}000 mAh", 10_000.0, "mAh"),
            ("10.000 mAh", 10_000.0, "mAh"),
            ("Zwei volle Ladungen", 2.0, ""),
            ("eine halbe Stunde", 0.5, ""),
            ("Trois recharges", 3.0, ""),
            ("可充电三次", 3.0, ""),
            ("４０ h", 40.0, "h"),
            ("٤٠ h", 40.0, "h"),
            ("5-20 V, 3 A", 20.0, "V"),
            ("5-20 V, 3 A", 5.0, "V"),
            ("30–36 h", 30.0, "h"),
        ] {
            let unit = Unit::parse(unit).unwrap_or_else(|_| Unit::parse("1").unwrap());
            assert!(Printed::of(text).holds(number, &unit), "{text}");
        }
    }

    #[test]
    fn what_is_not_printed_is_not_found() {
        for (text, number, unit) in [
            ("Up to 33 dB", 38.0, "dB"),
            ("Lasts all day", 24.0, "h"),
            ("10 hours", 10.5, "h"),
            ("Half the weight", 30.0, "min"),
            ("10 h", 10.0 * 60.0 + 1.0, "min"),
            ("15 W", 18.0, "W"),
            // The number stands there, with another unit.
            ("30 h", 30.0, "min"),
            ("Runs 30 h with 5 W", 5.0, "h"),
            ("33 dB, up to 38 h", 38.0, "dB"),
            // A comma before one or two digits is no group.
            ("0,5 h", 5.0, "h"),
            ("2,40 A", 240.0, "A"),
            ("9 V ⎓ 2 A", 18.0, "W"),
        ] {
            assert!(
                !Printed::of(text).holds(number, &Unit::parse(unit).unwrap()),
                "{text}"
            );
        }
    }
}
