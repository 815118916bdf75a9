//! Ratings: volts, amperes and watts in any order and punctuation, one or several alternatives.
//!
//! In: `9 V ⎓ 1.67 A`, `5 V ⎓ 3 A / 9 V ⎓ 2 A, 18 W`, `5-20 V ⎓ 3 A, 60 W`, `5V/9V ⎓ 2A`. Out: the
//! alternatives, and a power that stands for all of them.
//! Not here: whether volts, amperes and watts fit each other.

use super::cursor::Cursor;
use super::figure::{self, FigureSetting};
use super::{ReadError, Stated};
use crate::Dimension;
use std::fmt;

/// A rating as printed: one or several alternatives, of which one is in force at a time. Displays,
/// serialises and reads back as its text.
#[derive(Debug, Clone, PartialEq)]
pub struct Rating {
    /// The text as written.
    pub text: String,
    /// The alternatives, in the order written; never empty.
    pub choices: Vec<Choice>,
    /// A power written once behind several alternatives: that of all of them.
    pub total: Option<Stated>,
}

/// One alternative of a rating. A programmable one has a range as its voltage.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choice {
    /// The voltage.
    pub voltage: Option<Stated>,
    /// The current.
    pub current: Option<Stated>,
    /// The power.
    pub power: Option<Stated>,
    /// Whether the power is written as the product of the others: `9 V × 3 A = 27 W`.
    pub product: bool,
}

/// Words between the figures of a rating that say nothing about them.
const WORDS: [&str; 12] = [
    "rating", "rated", "input", "output", "in", "out", "dc", "ac", "at", "and", "or", "x",
];

/// Marks between the figures; `–` also stands for the dashes that direct current is drawn with.
const MARKS: &str = " ⎓⎯⏤═=–-_/,;:@|·*×~∼∿⏦()";

impl Rating {
    /// Reads volts, amperes and watts in any order and usual punctuation (`⎓`, `=`, `⎯`, `/`, `,`, `;`,
    /// `DC`, `x`, `@`). A figure of the dimension that came first begins the next alternative.
    ///
    /// # Errors
    /// [`ReadError`] as for [`Stated::parse`], and where it cannot be told which figures belong together.
    pub fn parse(text: &str) -> Result<Self, ReadError> {
        read(text)
    }

    /// Makes the rating of one alternative with the text that says it.
    pub fn of(text: impl Into<String>, choice: Choice) -> Self {
        Self {
            text: text.into(),
            choices: vec![choice],
            total: None,
        }
    }

    /// Returns every figure, in the order of the alternatives.
    pub fn figures(&self) -> impl Iterator<Item = &Stated> {
        let choices = self.choices.iter();
        choices
            .flat_map(|c| [&c.voltage, &c.current, &c.power])
            .chain([&self.total])
            .flatten()
    }

    /// Returns the voltage with the highest upper end.
    pub fn highest_voltage(&self) -> Option<&Stated> {
        let volts = self.choices.iter().filter_map(|c| c.voltage.as_ref());
        volts.reduce(|a, b| if b.high_si() > a.high_si() { b } else { a })
    }

    /// Returns the greatest power in W: as printed, or else of volts × amperes at the upper ends.
    pub fn greatest_power(&self) -> Option<f64> {
        let own = self.choices.iter().filter_map(Choice::greatest_power);
        let most = own.reduce(f64::max);
        let total = self.total.as_ref().map(Stated::high_si);
        match (most, total) {
            (Some(most), Some(total)) => Some(most.min(total)),
            (most, total) => most.or(total),
        }
    }
}

impl Choice {
    /// Returns the printed power, or else volts × amperes at their upper ends, W.
    pub fn greatest_power(&self) -> Option<f64> {
        self.power
            .as_ref()
            .map(Stated::high_si)
            .or_else(|| Some(self.volt_amperes()?.1))
    }

    /// Returns volts × amperes at the lower and at the upper ends, W.
    pub fn volt_amperes(&self) -> Option<(f64, f64)> {
        let (volts, amps) = (self.voltage.as_ref()?, self.current.as_ref()?);
        Some((
            volts.low_si() * amps.low_si(),
            volts.high_si() * amps.high_si(),
        ))
    }
}

impl fmt::Display for Rating {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl serde::Serialize for Rating {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.text)
    }
}

impl<'de> serde::Deserialize<'de> for Rating {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let text = String::deserialize(d)?;
        Self::parse(&text).map_err(serde::de::Error::custom)
    }
}

/// Figures that belong together: `5V/9V ⎓ 2A` has two voltages and one current.
#[derive(Default)]
struct Group {
    /// Volts, amperes, watts, each with where it starts and ends.
    figures: [Vec<(Stated, usize, usize)>; 3],
    /// Which of them came first.
    first: usize,
    product: bool,
}

const NAMES: [&str; 3] = ["voltage", "current", "power"];

fn read(text: &str) -> Result<Rating, ReadError> {
    let mut cursor = Cursor::new(text);
    let mut groups: Vec<Group> = Vec::new();
    let mut bare: Option<(usize, usize)> = None;
    loop {
        let gap = cursor.i;
        skip(&mut cursor);
        if cursor.at_end() {
            break;
        }
        let equals = cursor.since(gap).contains('=');
        let start = cursor.i;
        let mut figure = figure::read(&mut cursor, FigureSetting::Rating)?;
        let at = cursor.bytes(start, cursor.i);
        figure.text = text.get(at).unwrap_or_default().trim().to_string();
        let Some(which) = sort(&cursor, start, &figure, &mut bare)? else {
            continue;
        };
        let begins = groups.last().is_none_or(|g| {
            let others = (0..3).any(|k| k != which && !g.figures[k].is_empty());
            which == g.first && others
        });
        if begins {
            groups.push(Group {
                first: which,
                ..Group::default()
            });
        }
        let end = cursor.i;
        if let Some(group) = groups.last_mut() {
            group.product |= which == 2 && equals;
            group.figures[which].push((figure, start, end));
        }
    }
    if let Some((from, to)) = bare {
        return Err(without_unit(&cursor, from, to));
    }
    if groups.is_empty() {
        cursor.i = 0;
        let message = "no volts, amperes or watts are written; write for example 9 V ⎓ 1.67 A";
        return Err(cursor.error_ahead(message));
    }
    let mut rating = Rating {
        text: text.trim().to_string(),
        choices: Vec::new(),
        total: None,
    };
    for group in groups {
        spread_out(&cursor, group, &mut rating)?;
    }
    common_power(&mut rating);
    Ok(rating)
}

/// Makes alternatives of a group: a figure written once counts for all of them, a power as their total.
fn spread_out(cursor: &Cursor, group: Group, rating: &mut Rating) -> Result<(), ReadError> {
    let Group {
        figures, product, ..
    } = group;
    let count = figures[0].len().max(1);
    for (which, found) in figures.iter().enumerate().skip(1) {
        if found.len() > 1 && found.len() != count {
            let ((first, ..), (second, from, to)) = (&found[0], &found[1]);
            return Err(ReadError {
                at: cursor.bytes(*from, *to),
                message: format!(
                    "two values of {} and one voltage ({} and {}); write each with its voltage: \
                     5 V ⎓ 3 A / 9 V ⎓ 2 A",
                    NAMES[which], first.text, second.text
                ),
            });
        }
    }
    let nth = |which: usize, k: usize| {
        let found = &figures[which];
        let one = if found.len() == 1 {
            found.first()
        } else {
            found.get(k)
        };
        one.map(|(stated, ..)| stated.clone())
    };
    let shared = count > 1 && figures[2].len() == 1;
    for k in 0..count {
        rating.choices.push(Choice {
            voltage: nth(0, k),
            current: nth(1, k),
            power: nth(2, k).filter(|_| !shared),
            product,
        });
    }
    if shared {
        rating.total = nth(2, 0);
    }
    Ok(())
}

/// A power that stands behind the last of several alternatives alone is that of all.
fn common_power(rating: &mut Rating) {
    let Some((last, before)) = rating.choices.split_last_mut() else {
        return;
    };
    let alone = !before.is_empty() && before.iter().all(|c| c.power.is_none());
    if alone && rating.total.is_none() && !last.product {
        rating.total = last.power.take();
    }
    // `18 W` behind a bar of its own is no alternative.
    let empty = |c: &Choice| c.voltage.is_none() && c.current.is_none() && c.power.is_none();
    if rating.choices.len() > 1 {
        rating.choices.retain(|c| !empty(c));
    }
}

fn without_unit(cursor: &Cursor, from: usize, to: usize) -> ReadError {
    let message = "a number in a rating has no unit; write for example 9 V ⎓ 1.67 A";
    ReadError {
        at: cursor.bytes(from, to),
        message: message.to_string(),
    }
}

/// Skips marks and words between figures.
fn skip(cursor: &mut Cursor) {
    loop {
        while cursor.peek().is_some_and(|c| MARKS.contains(c)) {
            cursor.i += 1;
        }
        if !WORDS.iter().any(|word| cursor.eat_phrase(word)) {
            return;
        }
    }
}

/// Tells volts (0), amperes (1) and watts (2); frequencies (`50/60 Hz`) are read and left out.
fn sort(
    cursor: &Cursor,
    start: usize,
    figure: &Stated,
    bare: &mut Option<(usize, usize)>,
) -> Result<Option<usize>, ReadError> {
    let which = match figure.dimension() {
        Dimension::VOLTAGE => 0,
        Dimension::CURRENT => 1,
        Dimension::POWER => 2,
        Dimension::FREQUENCY => {
            *bare = None;
            return Ok(None);
        }
        Dimension::NONE if figure.unit.symbol().is_empty() => {
            return match bare.replace((start, cursor.i)) {
                Some((from, to)) => Err(without_unit(cursor, from, to)),
                None => Ok(None),
            };
        }
        other => {
            let message = format!(
                "a rating holds volts, amperes and watts, not {other} ({}); write for example 9 V ⎓ 1.67 A",
                figure.text
            );
            return Err(cursor.error(start, message));
        }
    };
    match *bare {
        Some((from, to)) => Err(without_unit(cursor, from, to)),
        None => Ok(Some(which)),
    }
}
