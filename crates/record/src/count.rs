//! How many equal things there are, where that is known.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// How many equal things there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub enum Count {
    /// Nothing is said.
    #[default]
    NotStated,
    /// The analyst could not count them.
    Unknown,
    /// So many, from 1.
    Of(u32),
}

impl Count {
    /// Returns the number, where one is stated.
    pub fn number(self) -> Option<u32> {
        match self {
            Self::Of(n) => Some(n),
            Self::NotStated | Self::Unknown => None,
        }
    }

    /// Returns how many there are at least: an entry is about one thing or more.
    pub fn at_least(self) -> u32 {
        self.number().unwrap_or(1)
    }

    /// Returns whether nothing is said.
    pub fn is_not_stated(&self) -> bool {
        *self == Self::NotStated
    }
}

/// As written in the record: the word for a number that could not be found out.
pub(crate) const UNKNOWN: &str = "unknown";

impl Serialize for Count {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::NotStated => serializer.serialize_none(),
            Self::Unknown => serializer.serialize_str(UNKNOWN),
            Self::Of(n) => serializer.serialize_u32(*n),
        }
    }
}

impl<'de> Deserialize<'de> for Count {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged)]
        enum Written {
            Number(u32),
            Word(String),
        }
        match Option::<Written>::deserialize(deserializer)? {
            None => Ok(Self::NotStated),
            Some(Written::Number(n)) if n > 0 => Ok(Self::Of(n)),
            Some(Written::Word(word)) if word == UNKNOWN => Ok(Self::Unknown),
            Some(_) => Err(de::Error::custom(
                "a count is a whole number from 1, or unknown",
            )),
        }
    }
}
