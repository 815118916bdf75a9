//! What is asked: a marking and what else is known of the part.

use crate::arguments::ReadArguments;
use crate::failure::Failure;
use marking::Clues;
use quantity::{Dimension, Stated};
use record::marking::Seen;

/// A marking and its clues.
pub(in crate::commands) struct Question {
    /// As seen.
    pub(in crate::commands) seen: Seen,
    /// What else is known.
    pub(in crate::commands) clues: Clues,
}

/// What a question may say besides the marking, as text.
#[derive(Default)]
pub(super) struct Words<'a> {
    pub(super) package: Option<&'a str>,
    pub(super) pins: Option<u32>,
    pub(super) size: Option<&'a str>,
    pub(super) pitch: Option<&'a str>,
    pub(super) maker: Option<&'a str>,
    pub(super) role: Option<&'a str>,
}

impl Question {
    /// Takes a question from the command line.
    ///
    /// # Errors
    /// A marking or a length that cannot be read.
    pub(super) fn of(arguments: &ReadArguments) -> Result<Self, Failure> {
        let words = Words {
            package: arguments.package.as_deref(),
            pins: arguments.pins,
            size: arguments.size.as_deref(),
            pitch: arguments.pitch.as_deref(),
            maker: None,
            role: arguments.role.as_deref(),
        };
        Self::new(arguments.text.as_deref().unwrap_or_default(), &words)
            .map_err(|(message, remedy)| Failure::Outside { message, remedy })
    }

    /// Reads a question.
    ///
    /// # Errors
    /// What cannot be read, and what to write instead.
    pub(super) fn new(text: &str, words: &Words<'_>) -> Result<Self, (String, String)> {
        let seen = Seen::parse(text).map_err(|e| {
            (
                format!(
                    "the marking “{text}”: {} (character {})",
                    e.message,
                    e.at + 1
                ),
                e.remedy.to_string(),
            )
        })?;
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

/// Reads `3.0 x 3.0 mm`; a unit after the second side holds for both.
fn sides(text: &str) -> Result<[f64; 2], (String, String)> {
    let wrong = || {
        (
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

fn millimetres(text: &str) -> Result<f64, (String, String)> {
    let length = Stated::parse_as(text.trim(), Dimension::LENGTH).map_err(|e| {
        (
            format!("“{text}” is not a length: {}", e.message),
            "write a number with a unit, such as \"0.5 mm\"".to_string(),
        )
    })?;
    Ok(length.si() * 1e3)
}
