//! The typefaces a text needs beyond the packed ones.
//!
//! In: texts and the bytes of installed typefaces. Out: the fewest of them that have what the packed ones lack,
//! and the characters that none has. Text that the packed typefaces have asks for nothing.

use crate::packed::packed;
use crate::script;
use rustybuzz::ttf_parser;
use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

/// Most characters that a warning names one by one.
const MOST_NAMED: usize = 12;

/// One typeface in a file.
#[derive(Clone)]
pub struct Typeface {
    /// Its family, as it names itself.
    pub name: String,
    /// The whole file.
    pub bytes: Arc<[u8]>,
    /// Which of the faces of a collection.
    pub index: u32,
}

impl Typeface {
    /// Returns the typefaces in a file: one, several of a collection, none where the bytes are no typeface.
    pub fn all(bytes: &Arc<[u8]>) -> Vec<Self> {
        let count = ttf_parser::fonts_in_collection(bytes).unwrap_or(1);
        (0..count.min(64))
            .filter_map(|index| {
                let face = ttf_parser::Face::parse(bytes, index).ok()?;
                Some(Self {
                    name: family(&face),
                    bytes: Arc::clone(bytes),
                    index,
                })
            })
            .collect()
    }

    /// Returns the typeface ready for shaping.
    pub(crate) fn face(&self) -> Option<rustybuzz::Face<'_>> {
        rustybuzz::Face::from_slice(&self.bytes, self.index)
    }

    /// Returns which of the characters it has.
    fn covers(&self, wanted: &BTreeSet<char>) -> BTreeSet<char> {
        let Ok(face) = ttf_parser::Face::parse(&self.bytes, self.index) else {
            return BTreeSet::new();
        };
        wanted
            .iter()
            .copied()
            .filter(|c| face.glyph_index(*c).is_some_and(|id| id.0 != 0))
            .collect()
    }

    /// Returns how far it is from an upright text face of usual weight and width; less is better.
    fn oddity(&self) -> u32 {
        let Ok(face) = ttf_parser::Face::parse(&self.bytes, self.index) else {
            return u32::MAX;
        };
        let weight = u32::from(face.weight().to_number().abs_diff(400)) / 100;
        let width = u32::from(face.width().to_number().abs_diff(5));
        let odd = |is: bool, by: u32| if is { by } else { 0 };
        let sans = self.name.contains("Sans") || self.name.contains("Hei");
        weight
            + width
            + odd(face.is_italic() || face.is_oblique(), 8)
            + odd(face.is_monospaced() || self.name.contains("Mono"), 2)
            + odd(!sans, 1)
    }
}

/// Two typefaces are equal when their files are.
impl PartialEq for Typeface {
    fn eq(&self, other: &Self) -> bool {
        self.index == other.index && self.bytes == other.bytes
    }
}

impl Eq for Typeface {}

impl fmt::Debug for Typeface {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({} bytes)", self.name, self.bytes.len())
    }
}

fn family(face: &ttf_parser::Face<'_>) -> String {
    let name = |wanted: u16| {
        face.names()
            .into_iter()
            .filter(|n| n.name_id == wanted && n.is_unicode())
            // English first, where a typeface has its name in several languages.
            .min_by_key(|n| n.language_id != 0x0409)
            .and_then(|n| n.to_string())
    };
    name(ttf_parser::name_id::TYPOGRAPHIC_FAMILY)
        .or_else(|| name(ttf_parser::name_id::FAMILY))
        .unwrap_or_else(|| "a typeface without a name".to_string())
}

/// What a text is set in besides the packed typefaces.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Typefaces {
    /// Typefaces that have what the packed ones lack; the one with most characters first.
    pub added: Vec<Typeface>,
    /// Characters that no typeface has.
    pub missing: BTreeSet<char>,
}

impl Typefaces {
    /// Chooses typefaces for texts. The files are asked for only if a packed typeface lacks a character; they are
    /// taken in the order given, so that equal files give an equal choice.
    pub fn for_texts<'t, I>(
        texts: impl IntoIterator<Item = &'t str>,
        installed: impl FnOnce() -> I,
    ) -> Self
    where
        I: IntoIterator<Item = Vec<u8>>,
    {
        let mut missing = lacking(texts);
        if missing.is_empty() {
            return Self::default();
        }
        let mut candidates: Vec<(BTreeSet<char>, u32, Typeface)> = Vec::new();
        for bytes in installed() {
            for typeface in Typeface::all(&bytes.into()) {
                let covers = typeface.covers(&missing);
                if !covers.is_empty() {
                    candidates.push((covers, typeface.oddity(), typeface));
                }
            }
        }
        // Whoever is far from a text face is asked last.
        candidates.sort_by_key(|(_, oddity, _)| *oddity);
        let mut added = Vec::new();
        while !missing.is_empty() {
            let best = candidates
                .iter()
                .enumerate()
                .map(|(at, (covers, oddity, _))| {
                    let new = covers.intersection(&missing).count();
                    (new, std::cmp::Reverse((*oddity, at)))
                })
                .max();
            let Some((1.., std::cmp::Reverse((_, at)))) = best else {
                break;
            };
            let (covers, _, typeface) = candidates.swap_remove(at);
            candidates.sort_by_key(|(_, oddity, _)| *oddity);
            missing.retain(|c| !covers.contains(c));
            added.push(typeface);
        }
        Self { added, missing }
    }

    /// Returns the names of the added typefaces, each once.
    pub fn names(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for typeface in &self.added {
            if !names.contains(&typeface.name.as_str()) {
                names.push(&typeface.name);
            }
        }
        names
    }

    /// Returns in which typefaces other scripts are set, in words; `None` where the packed ones suffice.
    pub fn set_in(&self) -> Option<String> {
        (!self.added.is_empty()).then(|| {
            format!(
                "Set in {} and {}, with {} for characters that those lack.",
                packed().caption.name,
                packed().number.name,
                self.names().join(", ")
            )
        })
    }

    /// Returns which characters no typeface has and what helps; `None` where there are none.
    pub fn warning(&self) -> Option<String> {
        if self.missing.is_empty() {
            return None;
        }
        let mut named: Vec<String> = self
            .missing
            .iter()
            .take(MOST_NAMED)
            .map(|c| format!("{c} (U+{:04X}, {})", u32::from(*c), script::name(*c)))
            .collect();
        let more = self.missing.len().saturating_sub(MOST_NAMED);
        if more > 0 {
            named.push(format!("and {more} more"));
        }
        let packages: BTreeSet<&str> = self.missing.iter().map(|c| script::package(*c)).collect();
        let packages: Vec<&str> = packages.into_iter().collect();
        Some(format!(
            "No installed typeface has {}: boxes stand for them in the PDF and in pictures. Install a typeface \
             that has them (on Debian the package {}) and publish again.",
            named.join(", "),
            packages.join(" or ")
        ))
    }
}

/// Returns the characters of texts that the packed typefaces lack and that are to be seen.
fn lacking<'t>(texts: impl IntoIterator<Item = &'t str>) -> BTreeSet<char> {
    let wanted: BTreeSet<char> = texts
        .into_iter()
        .flat_map(str::chars)
        .filter(|c| !c.is_ascii() && script::is_seen(*c))
        .collect();
    let mut lacking = wanted;
    for typeface in [&packed().caption, &packed().number] {
        if lacking.is_empty() {
            break;
        }
        let has = typeface.covers(&lacking);
        lacking.retain(|c| !has.contains(c));
    }
    lacking
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn latin_text_asks_for_no_file() {
        let chosen = Typefaces::for_texts(
            ["Weight 12.3 g ± 0.1 g, 5 V ⎓ 1 A, Größe, naïve, Ω µ °C"],
            || -> Vec<Vec<u8>> { panic!("the disk was asked") },
        );
        assert_eq!(chosen, Typefaces::default());
        assert_eq!((chosen.set_in(), chosen.warning()), (None, None));
    }

    #[test]
    fn what_nobody_has_is_named_with_a_remedy() {
        let none = Typefaces::for_texts(["光 สี"], || -> Vec<Vec<u8>> { vec![vec![1, 2, 3]] });
        assert!(none.missing.contains(&'光') && none.missing.contains(&'ส'));
        let warning = none.warning().unwrap();
        for part in [
            "光 (U+5149, Han)",
            "Thai",
            "fonts-wqy-microhei",
            "fonts-noto-core",
        ] {
            assert!(warning.contains(part), "{part}: {warning}");
        }
    }

    #[test]
    fn a_typeface_that_has_nothing_wanted_is_not_taken() {
        let latin = packed().caption.bytes.to_vec();
        let chosen = Typefaces::for_texts(["光"], || vec![latin]);
        assert!(chosen.added.is_empty());
        assert_eq!(chosen.missing.len(), 1);
    }
}
