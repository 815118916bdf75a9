//! Every figure of a claim stands in its verbatim text.
//!
//! In: the text as printed and the figures of `value`, `rating` and `after`. Out: a problem for each
//! figure that the text does not print, unless the claim says that the figure is our reading.
//! Digits count with either decimal sign and with grouping; so do English number words, fractions
//! ("half an hour", "one and a half") and words of repetition ("twice"). A figure in another unit
//! counts where the text gives the unit beside it ("half an hour" for 30 min).
//! Not here: whether the figure fits the kind of claim (`claims`).

use super::Check;
use super::claims::stated;
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
            let lacking = read
                .unwrap_or_default()
                .iter()
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

impl Printed {
    fn of(text: &str) -> Self {
        let mut found = Vec::new();
        let lower = text.to_lowercase().replace('\u{2212}', "-");
        for (number, rest) in digits(&lower) {
            found.push((number, unit_at(text, rest)));
        }
        found.extend(words(&lower));
        Self(found)
    }

    fn holds(&self, number: f64, unit: &Unit) -> bool {
        let si = unit.to_si(number);
        self.0.iter().any(|(printed, theirs)| {
            same(*printed, number)
                || theirs.as_ref().is_some_and(|theirs| {
                    theirs.dimension() == unit.dimension() && same(theirs.to_si(*printed), si)
                })
        })
    }
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
    let mut add = |text: String| {
        if let Ok(number) = text.parse::<f64>()
            && !all.contains(&number)
        {
            all.push(number);
        }
    };
    let plain: String = run.chars().filter(|c| !matches!(c, ' ' | '\'')).collect();
    add(plain.replace(',', ""));
    add(plain.replace('.', "").replace(',', "."));
    add(plain.replace(['.', ','], ""));
    for piece in run.split(' ') {
        add(piece.replace(',', ""));
        add(piece.replace(',', "."));
    }
    all
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
    Unit::parse(&word)
        .ok()
        .or_else(|| Unit::parse(word.trim_end_matches('.')).ok())
}

const ONES: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 8] = [
    "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];
const REPEATED: [(&str, f64); 8] = [
    ("once", 1.0),
    ("twice", 2.0),
    ("thrice", 3.0),
    ("single", 1.0),
    ("double", 2.0),
    ("triple", 3.0),
    ("pair", 2.0),
    ("dozen", 12.0),
];

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
    if let Some(n) = ONES.iter().position(|w| *w == word) {
        return Part::Number(n as f64);
    }
    if let Some(n) = TENS.iter().position(|w| *w == word) {
        return Part::Number(10.0 * (n as f64 + 2.0));
    }
    if let Some((_, n)) = REPEATED.iter().find(|(w, _)| *w == word) {
        return Part::Number(*n);
    }
    match word {
        "hundred" => Part::Times(100.0),
        "thousand" => Part::Times(1000.0),
        "million" => Part::Times(1e6),
        "half" | "½" => Part::Share(0.5),
        "quarter" | "quarters" | "¼" => Part::Share(0.25),
        "third" | "thirds" => Part::Share(1.0 / 3.0),
        "a" | "an" | "and" | "of" => Part::Joint,
        _ => Part::Other,
    }
}

/// Returns the numbers in words, with the unit that follows or stands inside ("an hour and a half").
fn words(text: &str) -> Vec<(f64, Option<Unit>)> {
    let words: Vec<&str> = text
        .split(|c: char| !(c.is_alphanumeric() || matches!(c, '½' | '¼')))
        .filter(|w| !w.is_empty())
        .collect();
    let mut found = Vec::new();
    for start in 0..words.len() {
        let (mut total, mut current, mut seen) = (0.0, 0.0, false);
        let mut unit = None;
        let mut article = false;
        for word in &words[start..] {
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
                    article = matches!(*word, "a" | "an");
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
        ] {
            assert!(
                !Printed::of(text).holds(number, &Unit::parse(unit).unwrap()),
                "{text}"
            );
        }
    }
}
