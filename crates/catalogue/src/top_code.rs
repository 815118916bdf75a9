//! Top-marking codes, each with the package it stands on.
//!
//! In: an item of the column `codes` (`4A7 @ SOT-23-5`). Out: a [`TopCode`], and back.
//!
//! Packages too small for a part number carry a code, and one part has another code in each package,
//! while another part may have the same code in another package (`common practice` of the lists of
//! such codes, which are ordered by code and package).

use crate::table_cell::tidy;
use serde::{Deserialize, Serialize};
use std::fmt;

/// Stands between code and package.
const ON: &str = " @ ";

/// A code printed on packages too small for the part number.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct TopCode {
    /// The code.
    pub text: String,
    /// Package outline that carries it; empty when not known.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub package: String,
}

impl TopCode {
    /// Makes a code on a package.
    pub fn on(text: impl Into<String>, package: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            package: package.into(),
        }
    }

    /// Reads an item of a list; `plain` takes a piece's escapes away.
    pub(crate) fn read(item: &str, plain: impl Fn(&str) -> String) -> Self {
        let item = item.trim();
        match item.split_once(ON) {
            Some((text, package)) => Self::on(tidy(&plain(text)), tidy(&plain(package))),
            None => Self::on(tidy(&plain(item)), ""),
        }
    }

    /// Writes an item of a list; `escape` guards the signs of the list.
    pub(crate) fn item(&self, escape: impl Fn(&str) -> String) -> String {
        // An escaped sign does not stand between spaces.
        let text = escape(&self.text).replace('@', "\\@");
        if self.package.is_empty() {
            text
        } else {
            format!("{text}{ON}{}", escape(&self.package).replace('@', "\\@"))
        }
    }
}

impl From<&str> for TopCode {
    /// A code whose package is not known.
    fn from(text: &str) -> Self {
        Self::on(text, "")
    }
}

impl fmt::Display for TopCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)?;
        if self.package.is_empty() {
            return Ok(());
        }
        write!(f, "{ON}{}", self.package)
    }
}

/// Adds codes to a list: none twice, and none without package that is there with one.
pub(crate) fn add(codes: &mut Vec<TopCode>, more: impl IntoIterator<Item = TopCode>) {
    for code in more {
        if code.text.is_empty() || codes.contains(&code) {
            continue;
        }
        let same = |other: &TopCode| other.text == code.text;
        if code.package.is_empty() {
            if !codes.iter().any(same) {
                codes.push(code);
            }
            continue;
        }
        match codes.iter_mut().find(|c| same(c) && c.package.is_empty()) {
            Some(unplaced) => *unplaced = code,
            None => codes.push(code),
        }
    }
}
