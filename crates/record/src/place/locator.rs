//! Places as where a number stands, and back.

use super::{Evidence, Place};
use quantity::Locator;

impl From<&Place> for Locator {
    fn from(place: &Place) -> Self {
        let words = place.to_string();
        debug_assert_eq!(words.parse().as_ref(), Ok(place), "the format has it");
        Self::new(words)
    }
}

impl From<&Locator> for Place {
    /// The place it was made of. What was made of no place stands as a publication in words.
    fn from(locator: &Locator) -> Self {
        Self::read_or_words(locator.as_str())
    }
}

impl From<&Evidence> for Place {
    /// The place it names. What has no known form, which the check of a dossier refuses, stands as a
    /// publication in words: nothing the analyst wrote is lost.
    fn from(evidence: &Evidence) -> Self {
        Self::read_or_words(&evidence.0)
    }
}
