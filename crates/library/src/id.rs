//! Names of dossiers, windows and people, checked where they are made.

use serde::{Deserialize, Serialize};
use std::fmt;

/// Letters and digits of which no two look alike in a monospaced face.
const DIGITS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

/// Most characters of a name that comes from outside.
const LONGEST: usize = 64;

/// Why a text is no id.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{text}” is no {what}: 1 to {LONGEST} small letters, digits and -")]
pub struct IdFault {
    what: &'static str,
    text: String,
}

fn checked(text: &str, what: &'static str) -> Result<String, IdFault> {
    let fits = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if text.is_empty() || text.len() > LONGEST || !text.chars().all(fits) {
        let text = record::visible(&text.chars().take(LONGEST).collect::<String>());
        return Err(IdFault { what, text });
    }
    Ok(text.to_string())
}

/// What a dossier is called in a library; it never changes.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct DossierId(String);

impl DossierId {
    /// Makes an id of 60 random bits from the system.
    ///
    /// # Errors
    /// Where the system has no random numbers.
    pub fn random() -> Result<Self, getrandom::Error> {
        let mut bytes = [0; 12];
        getrandom::fill(&mut bytes)?;
        let digit = |byte: &u8| char::from(DIGITS[usize::from(byte % 32)]);
        Ok(Self(bytes.iter().map(digit).collect()))
    }

    /// The id as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// One window of a browser, or one run of a program: whoever numbers its lists of edits.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct ClientId(String);

impl ClientId {
    /// The id as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

macro_rules! id {
    ($name:ident, $what:literal) => {
        impl TryFrom<String> for $name {
            type Error = IdFault;
            fn try_from(text: String) -> Result<Self, IdFault> {
                checked(&text, $what).map(Self)
            }
        }
        impl std::str::FromStr for $name {
            type Err = IdFault;
            fn from_str(text: &str) -> Result<Self, IdFault> {
                checked(text, $what).map(Self)
            }
        }
        impl From<$name> for String {
            fn from(id: $name) -> String {
                id.0
            }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}
id!(DossierId, "id of a dossier");
id!(ClientId, "id of a window");

/// Who does something, as it is shown in the history.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(from = "String", into = "String")]
pub struct Person(String);

impl Person {
    /// The name as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl From<String> for Person {
    fn from(name: String) -> Self {
        Self(record::visible(name.trim()).chars().take(LONGEST).collect())
    }
}

impl From<&str> for Person {
    fn from(name: &str) -> Self {
        Self::from(name.to_string())
    }
}

impl From<Person> for String {
    fn from(person: Person) -> String {
        person.0
    }
}

impl fmt::Display for Person {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
