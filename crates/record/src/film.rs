//! Films of the opening, how their words are said, what was decided on their captions and on texts published before.

use crate::{FilmTime, Moment};
use serde::{Deserialize, Serialize};

/// `[[films]]`: an edited film.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Film {
    /// Id.
    pub id: String,
    /// Title.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// How long it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<FilmTime>,
    /// What it was cut from.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub clips: Vec<Clip>,
    /// What was taken of which clip, in the order of the film; the one clip as it is if there are none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cuts: Vec<Cut>,
}

/// `[[films.clips]]`: what a camera recorded in one go, tied to the clock by one moment.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Clip {
    /// Name, such as that of its file.
    pub name: String,
    /// A time of the clip.
    pub at: FilmTime,
    /// What the clock of the record said then.
    pub clock: Moment,
}

/// `[[films.cuts]]`: a piece of a clip in the edited film.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Cut {
    /// The name of the clip.
    pub clip: String,
    /// Where the piece begins in the clip.
    pub from: FilmTime,
    /// Where it ends.
    pub to: FilmTime,
}

/// `[[pronunciations]]`: how a name or part number is said.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Pronunciation {
    /// As it is written.
    pub word: String,
    /// Ways to say it, spelled as everyday words.
    pub said: Vec<String>,
    /// In the International Phonetic Alphabet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ipa: Option<String>,
}

/// `[[caption-rulings]]`: what the analyst decided on a correction of captions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct CaptionRuling {
    /// File inside `captions/`.
    pub file: String,
    /// The words as they stood.
    pub before: String,
    /// The words that were proposed.
    pub after: String,
    /// Whether it is made.
    pub accepted: bool,
}

/// `[[past-rulings]]`: what the analyst decided on a part that a text published before speaks of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct PastRuling {
    /// File inside `past/`.
    pub file: String,
    /// The part number as it stands there.
    pub part: String,
    /// Whether it is taken as a part of the product.
    pub accepted: bool,
}
