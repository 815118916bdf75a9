//! What else is known about the part, as odds.
//!
//! [`Clues`] are what was noted of one part on a board; a [`Factor`] says for one clue the log-odds
//! that this part, rather than any part, is here.
//! Not here: weighing them against the catalogue (`attributes`), the prices of the text (`model`).

use std::fmt;

/// What is known about the part besides its marking. What is not known stays empty.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Clues {
    /// Package outline ("QFN-16").
    pub package: Option<String>,
    /// Number of pins.
    pub pins: Option<u32>,
    /// Sides of the body in any order, mm.
    pub body_mm: Option<[f64; 2]>,
    /// Pitch of the pins, mm.
    pub pitch_mm: Option<f64>,
    /// Maker, from a logo or a line of the marking.
    pub maker: Option<String>,
    /// Roles that something on this board must have and nothing found so far has.
    pub roles_missing: Vec<String>,
    /// How often each part was seen beside the neighbours of this one, in earlier dossiers.
    pub seen_before: Vec<SeenBefore>,
}

/// A part seen with the same neighbours.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeenBefore {
    /// Part number.
    pub name: String,
    /// How often.
    pub count: u32,
}

/// Which clue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ClueKind {
    /// Package outline.
    Package,
    /// Number of pins.
    Pins,
    /// Size of the body.
    Body,
    /// Pitch of the pins.
    Pitch,
    /// Maker.
    Maker,
    /// Role still missing.
    Role,
    /// Seen before with these neighbours.
    SeenBefore,
    /// Room for the text on the package.
    Room,
}

/// One clue weighed for one candidate.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    /// Which clue.
    pub clue: ClueKind,
    /// Log-odds, nats; positive speaks for the candidate.
    pub log_odds: f64,
}

impl fmt::Display for Factor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = match self.clue {
            ClueKind::Package => "package",
            ClueKind::Pins => "pins",
            ClueKind::Body => "body size",
            ClueKind::Pitch => "pitch",
            ClueKind::Maker => "maker",
            ClueKind::Role => "role",
            ClueKind::SeenBefore => "seen before with these neighbours",
            ClueKind::Room => "room for the text",
        };
        let says = match (self.log_odds >= 0.0, self.clue) {
            (true, ClueKind::Pins) => "agree",
            (false, ClueKind::Pins) => "contradict",
            (true, _) => "agrees",
            (false, _) => "contradicts",
        };
        write!(f, "{name} {says}: {:+.1}", self.log_odds)
    }
}
