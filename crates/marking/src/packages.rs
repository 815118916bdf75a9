//! Package names that mean the same.
//!
//! In: a package as a catalogue or an analyst calls it. Out: one word for all names of an outline.
//! Source: `packages.toml`, which names the registered outlines.
//! Not here: families of packages (`vocabulary`).

use crate::vocabulary::plain;
use serde::Deserialize;
use std::collections::BTreeMap;

/// The table of equal names.
pub(crate) const BUILT_IN: &str = include_str!("../packages.toml");

/// Equal names of packages.
#[derive(Debug, Clone)]
pub(crate) struct Packages {
    /// Letters of a name, by those of which they are a kind.
    kinds: BTreeMap<String, String>,
    /// Whole names.
    equal: BTreeMap<String, String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    kinds: BTreeMap<String, Vec<String>>,
    read: BTreeMap<String, Vec<String>>,
    equal: BTreeMap<String, Vec<String>>,
}

impl Default for Packages {
    fn default() -> Self {
        let table: Table = toml_edit::de::from_str(BUILT_IN).expect("the built-in table is tested");
        let by_name = |all: BTreeMap<String, Vec<String>>| {
            let rows = all.into_iter().flat_map(|(name, others)| {
                let name = plain(&name);
                others.into_iter().map(move |o| (plain(&o), name.clone()))
            });
            rows.collect::<BTreeMap<String, String>>()
        };
        let mut kinds = by_name(table.kinds);
        kinds.extend(by_name(table.read));
        Self {
            kinds,
            equal: by_name(table.equal),
        }
    }
}

impl Packages {
    /// Returns one word for all names of a package; the number of exposed pads does not count.
    pub(crate) fn word(&self, package: &str) -> String {
        let pad = |piece: &&str| {
            let digits = piece.strip_suffix("EP").or(piece.strip_suffix("ep"));
            !digits.is_some_and(|n| n.chars().all(|c| c.is_ascii_digit()))
        };
        let pieces = package.split(|c: char| !c.is_alphanumeric());
        let name = plain(&pieces.filter(pad).collect::<String>());
        if let Some(equal) = self.equal.get(&name) {
            return equal.clone();
        }
        let letters = name.find(|c: char| !c.is_alphabetic());
        let (kind, rest) = name.split_at(letters.unwrap_or(name.len()));
        match self.kinds.get(kind) {
            Some(of) => format!("{of}{rest}"),
            None => name,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_one_outline_are_one_word() {
        let packages = Packages::default();
        let one = |names: &[&str]| {
            let mut words: Vec<String> = names.iter().map(|n| packages.word(n)).collect();
            words.dedup();
            assert_eq!(words.len(), 1, "{names:?}: {words:?}");
        };
        one(&["PDIP-8", "DIP-8", "dil 8", "CDIP8"]);
        one(&["VQFN-16", "WQFN-16", "UQFN16", "HVQFN-16-1EP", "QFN-16"]);
        one(&["LFCSP-16", "MLF-16", "QFN-16"]);
        one(&["TO-236", "SOT-23", "SOT-23-3", "TO-236AB"]);
        one(&["SC-70-5", "SOT-353"]);
        one(&["SO-8", "SOIC-8"]);
        assert_ne!(packages.word("QFN-16"), packages.word("QFN-20"));
        assert_ne!(packages.word("SOT-23-5"), packages.word("SOT-23"));
        assert_ne!(packages.word("DFN-8"), packages.word("QFN-8"));
    }

    #[test]
    fn no_name_means_two_outlines() {
        let table: Table = toml_edit::de::from_str(BUILT_IN).unwrap();
        let words = table.kinds.values().chain(table.read.values());
        for (heads, others) in [
            (table.kinds.keys(), words.flatten().collect::<Vec<_>>()),
            (table.equal.keys(), table.equal.values().flatten().collect()),
        ] {
            let mut others: Vec<&String> = others.into_iter().chain(heads).collect();
            let count = others.len();
            others.sort_unstable();
            others.dedup();
            assert_eq!(others.len(), count);
        }
    }
}
