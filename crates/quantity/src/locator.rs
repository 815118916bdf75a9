//! Where a number stands, in the words of its owner.

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::sync::Arc;

/// Where a number stands, in the words of whoever keeps it: opaque to this crate, and cheap to copy
/// from an input to every figure that rests on it.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Locator(Arc<str>);

impl Locator {
    /// Makes a locator of its owner's words.
    pub fn new(words: impl Into<Arc<str>>) -> Self {
        Self(words.into())
    }

    /// Returns its owner's words.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Locator {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl Serialize for Locator {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for Locator {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer).map(Self::new)
    }
}
