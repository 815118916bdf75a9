//! What is asked: a marking and what else is known of the part. A line break in the text is one on the part.

use crate::Problem;
use marking::Clues;
use quantity::{Dimension, Stated};
use record::marking::Seen;
use record::steers;

/// A marking and its clues.
#[derive(Debug)]
pub struct Question {
    /// The marking as it was asked, its line breaks as in the notation.
    pub text: String,
    /// As seen.
    pub seen: Seen,
    /// What else is known.
    pub clues: Clues,
}

/// What a question may say besides the marking, as text.
#[derive(Debug, Clone, Copy, Default)]
pub struct CluesAsText<'a> {
    /// Package outline.
    pub package: Option<&'a str>,
    /// Number of pins.
    pub pins: Option<u32>,
    /// Body, length x width with a unit.
    pub size: Option<&'a str>,
    /// Pitch of the pins with its unit.
    pub pitch: Option<&'a str>,
    /// Maker.
    pub maker: Option<&'a str>,
    /// What it does here.
    pub role: Option<&'a str>,
}

impl Question {
    /// Reads a question.
    ///
    /// # Errors
    /// What cannot be read, and what to write instead.
    pub fn new(text: &str, words: &CluesAsText<'_>) -> Result<Self, Problem> {
        let seen = seen(text)?;
        let filled = |t: &str| Some(t.trim().to_string()).filter(|t| !t.is_empty());
        let body_mm = match words.size.and_then(filled) {
            None => None,
            Some(size) => Some(sides(&size)?),
        };
        let pitch_mm = match words.pitch.and_then(filled) {
            None => None,
            Some(pitch) => Some(millimetres(&pitch)?),
        };
        Ok(Self {
            text: lines(text).join("|"),
            seen,
            clues: Clues {
                package: words.package.and_then(filled),
                pins: words.pins,
                body_mm,
                pitch_mm,
                maker: words.maker.and_then(filled),
                roles_missing: words.role.and_then(filled).into_iter().collect(),
                ..Clues::default()
            },
        })
    }
}

/// Reads a marking. Characters that do not show were not seen: what copies a marking from a page may put some
/// between the others.
fn seen(text: &str) -> Result<Seen, Problem> {
    let visible: String = text
        .chars()
        .filter(|c| !steers(*c) || c.is_control())
        .collect();
    Seen::of_lines(&lines(&visible)).map_err(|(line, e)| {
        let place = match line {
            0 => format!("character {}", e.at + 1),
            n => format!("character {} of line {}", e.at + 1, n + 1),
        };
        Problem::unfit(
            format!("the marking “{text}”: {} ({place})", e.message),
            e.remedy.to_string(),
        )
    })
}

/// The lines of a text, without the blank ones at its ends.
pub(super) fn lines(text: &str) -> Vec<&str> {
    let ends = |c: char| matches!(c, '\n' | '\r');
    let text = text.trim_matches(ends);
    text.split('\n')
        .flat_map(|line| line.strip_suffix('\r').unwrap_or(line).split('\r'))
        .collect()
}

/// Reads `3.0 x 3.0 mm`; a unit after the second side holds for both.
fn sides(text: &str) -> Result<[f64; 2], Problem> {
    let wrong = || {
        Problem::unfit(
            format!("“{text}” is not a size of a body"),
            "write length x width with a unit, such as \"3.0 x 3.0 mm\"".to_string(),
        )
    };
    let (a, b) = text.split_once(['x', 'X', '×']).ok_or_else(wrong)?;
    let b_mm = millimetres(b).map_err(|_| wrong())?;
    let a_mm = millimetres(a)
        .or_else(|_| {
            let unit: String = b
                .trim()
                .chars()
                .skip_while(|c| !c.is_alphabetic())
                .collect();
            millimetres(&format!("{} {unit}", a.trim()))
        })
        .map_err(|_| wrong())?;
    Ok([a_mm, b_mm])
}

fn millimetres(text: &str) -> Result<f64, Problem> {
    let length = Stated::parse_as(text.trim(), Dimension::LENGTH).map_err(|e| {
        Problem::unfit(
            format!("“{text}” is not a length: {}", e.message),
            "write a number with a unit, such as \"0.5 mm\"".to_string(),
        )
    })?;
    Ok(length.si() * 1e3)
}
