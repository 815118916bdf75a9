//! Edits as data: for undo, for programs, for the wire.
//!
//! In: nothing. Out: [`Edit`], what came of one ([`Applied`]) and why one is refused ([`EditError`]).
//! Not here: making them (`draft`).
//!
//! As JSON: `{"do": "set", "at": "items.lamp.part.marking", "new": ["OK41"], "old": ["OK4?"]}`.

use crate::{Place, PlaceError};
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::Value as Json;

/// One change of the text of a dossier. Values are JSON with the keys of the format.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Edit {
    /// Sets a value; tables that are missing on the way are made. A new id is a renaming.
    Set {
        /// The value, a table of facts, or a whole list.
        at: Place,
        /// What it becomes; `null` removes it.
        new: Json,
        /// What it has to be before, `null` for not given; anything if left out.
        #[serde(
            default,
            deserialize_with = "given",
            skip_serializing_if = "Option::is_none"
        )]
        old: Option<Json>,
    },
    /// Adds an entry to a list. It may still lack keys.
    Add {
        /// The list (`items`, `items.lamp.loads`).
        to: Place,
        /// The entry.
        entry: Json,
        /// Where in the list.
        #[serde(default)]
        position: Position,
    },
    /// Removes a value, a table, an entry or a whole list, with the comments right above it.
    Remove {
        /// What to remove.
        at: Place,
        /// What it has to be before; anything if left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        old: Option<Json>,
    },
    /// Moves an entry within its list, with its comments.
    Move {
        /// The entry.
        at: Place,
        /// Where to.
        position: Position,
    },
    /// Gives an entry another id and follows every reference to it; to an entry without id, other
    /// values of the keys that tell it apart; to a named quantity, another name.
    Rename {
        /// The entry or the named quantity.
        at: Place,
        /// The new id, name or values.
        to: NewName,
    },
    /// Puts text back as it was: the inverse of any other edit.
    Restore {
        /// What the edit was about.
        at: Place,
        /// The pieces of text, in the order of the text.
        text: Vec<Splice>,
    },
}

/// Where an entry comes to stand in its list.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Position {
    /// In front of all.
    First,
    /// Behind all.
    #[default]
    Last,
    /// Right behind this entry.
    After(Place),
}

/// What an entry is to be called.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum NewName {
    /// An id, or the value of the one key that tells it apart.
    One(String),
    /// The values of several keys (of a link: from, to, kind, net).
    Several(Vec<String>),
}

/// A piece of text in place of another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Splice {
    /// Where it stands.
    pub at: Tie,
    /// What has to stand there.
    pub old: String,
    /// What takes its place.
    pub new: String,
}

/// Where a piece of text stands, by the addresses of statements (or of entries and tables in line), so
/// that it is found again after other edits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Tie {
    /// The piece begins so many bytes from the start of a unit that is in it.
    At {
        /// The brackets that it stands in; empty for none.
        within: String,
        /// The unit.
        unit: Mark,
    },
    /// No unit is in the piece; it stands between two.
    Between {
        /// The brackets that it stands in; empty for none.
        within: String,
        /// The unit that ends in front of it, and how many bytes before it begins.
        after: Option<Mark>,
        /// The unit that begins behind it; the offset is negative, or 0.
        before: Option<Mark>,
        /// Bytes from the start of what it stands in, for want of units.
        from: usize,
        /// The header that it stands under, and which of several with the same address.
        under: Option<(String, usize)>,
    },
}

/// A number of bytes from a unit of the text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// The address of the unit, as a place is printed.
    pub unit: String,
    /// Which of several units with the same address, from 0.
    pub number: usize,
    /// Bytes.
    pub offset: isize,
}

/// What came of an edit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Applied {
    /// Where what was edited is found now; for something removed, where it was.
    pub at: Place,
    /// The edit that undoes it. Where later edits were undone first it gives the text back byte for
    /// byte; where others stay, it is made all the same, unless they changed the same entry.
    pub inverse: Edit,
}

/// Why an edit is refused. The text is then unchanged.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EditError {
    /// The place is not one of the format.
    #[error(transparent)]
    NoPlace(#[from] PlaceError),
    /// Nothing in the text has this place.
    #[error("there is no {at}")]
    NothingThere {
        /// The place.
        at: Place,
    },
    /// This edit cannot be made at a place of this kind.
    #[error("{at} is not {wanted}")]
    WrongPlace {
        /// The place.
        at: Place,
        /// What would be needed.
        wanted: &'static str,
    },
    /// The value cannot stand there.
    #[error("{at} must be {wanted}, found {found}")]
    WrongValue {
        /// The place.
        at: Place,
        /// What would be needed.
        wanted: String,
        /// What was given.
        found: String,
    },
    /// A key that the table does not have.
    #[error("{at} has no key `{key}`")]
    UnknownKey {
        /// The table.
        at: Place,
        /// The key.
        key: String,
    },
    /// Another hand was faster: the value is not what the edit expects.
    #[error("{at} is {present} by now")]
    Changed {
        /// The place.
        at: Place,
        /// What stands there at present; `null` for nothing.
        present: Json,
    },
    /// The edit cannot be undone any more.
    #[error("{at} was changed meanwhile: {why}")]
    Meanwhile {
        /// What the edit was about.
        at: Place,
        /// What is otherwise by now.
        why: String,
    },
    /// The id or name is taken already.
    #[error("{at} is there already")]
    Taken {
        /// The entry that has it.
        at: Place,
    },
    /// The id holds other characters than ids may.
    #[error("\"{id}\" is no id: write letters, digits, - and _, a letter or digit first")]
    BadId {
        /// The id.
        id: String,
    },
    /// The text around the place is written in a way in which the edit cannot be put.
    #[error("{at} cannot be edited as the text is written: {why}")]
    Layout {
        /// The place.
        at: Place,
        /// What the parser says.
        why: String,
    },
}

impl EditError {
    /// Returns the place that it is about, if that is one of the format.
    pub fn place(&self) -> Option<&Place> {
        match self {
            Self::NoPlace(_) | Self::BadId { .. } => None,
            Self::NothingThere { at }
            | Self::WrongPlace { at, .. }
            | Self::WrongValue { at, .. }
            | Self::UnknownKey { at, .. }
            | Self::Changed { at, .. }
            | Self::Meanwhile { at, .. }
            | Self::Taken { at }
            | Self::Layout { at, .. } => Some(at),
        }
    }
}

/// Tells `null` from nothing given.
fn given<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<Json>, D::Error> {
    Json::deserialize(deserializer).map(Some)
}
