//! A line of text as what is to be found: `maker:Threndova OXT7 run-time>20h fails:>0`.
//!
//! In: the line as typed, also while it is being typed. Out: a [`Find`], or the word that cannot be read and what to
//! write instead.
//!
//! | written | asks for |
//! | --- | --- |
//! | `charger`, `"motion sensor"` | words that begin so, anywhere |
//! | `part:OXT7`, `maker:`, `role:`, `category:` | words there |
//! | `marking:TH31`, `TH31?`, `Q[8B]D2` | a marking that may begin so |
//! | `fails:2`, `fails:>0`, `holds>3`, `undecided:`, `needs-evidence:` | so many findings that came out so |
//! | `run-time>20h`, `mass:40..60g` | a figure of that kind |
//!
//! A key without a value is passed over, since the value is about to be typed; a word before `:` that is no key is a
//! word like any other.

use super::fold::words;
use super::wanted::{Counted, Find, Judged, Ranged};
use quantity::Stated;
use record::marking::{Glyph, Seen};

/// A word that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{word}”: {message}")]
pub struct FindError {
    /// The word as typed.
    pub word: String,
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// What to write instead.
    pub remedy: &'static str,
}

const COUNT_REMEDY: &str = "write a number: fails:2, or fails:>0";
const FIGURE_REMEDY: &str = "write a value with its unit: run-time>20h, or mass:40..60g";
const MARKING_REMEDY: &str =
    "write ? for a character that cannot be read, and [8B] for one of several";

impl Find {
    /// Reads a line.
    ///
    /// # Errors
    /// The first word that begins like a count, a figure or a marking and is none.
    pub fn read(line: &str) -> Result<Self, FindError> {
        let mut find = Self::default();
        for word in split(line) {
            let visible = || record::visible(&word);
            let fault = |message: String, remedy| FindError {
                word: visible(),
                message,
                remedy,
            };
            let Some((name, sign, value)) = keyed(&word) else {
                if is_marking(&word) {
                    let seen = Seen::parse(&word);
                    add_marking(&mut find, seen.map_err(|e| fault(e.message, e.remedy))?);
                } else {
                    find.words.extend(words(&word));
                }
                continue;
            };
            if value.is_empty() {
                continue;
            }
            let list = match name {
                "part" => Some(&mut find.part),
                "maker" => Some(&mut find.maker),
                "role" => Some(&mut find.role),
                "category" => Some(&mut find.category),
                _ => None,
            };
            if let Some(list) = list.filter(|_| sign == Sign::Is) {
                list.extend(words(value));
            } else if name == "marking" && sign == Sign::Is {
                let seen = Seen::parse(value).map_err(|e| fault(e.message, MARKING_REMEDY))?;
                add_marking(&mut find, seen);
            } else if let Some(judged) = judged(name) {
                let counted = counted(judged, sign, value);
                let counted = counted.ok_or_else(|| fault("no count".into(), COUNT_REMEDY))?;
                find.verdicts.push(counted);
            } else if let Some(ranged) = ranged(name, sign, value) {
                find.figures.push(ranged);
            } else if sign == Sign::Is {
                find.words.extend(words(&word));
            } else {
                return Err(fault("no value with a unit".into(), FIGURE_REMEDY));
            }
        }
        Ok(find)
    }
}

/// Takes a line apart at spaces outside quotes; the quotes themselves go.
fn split(line: &str) -> Vec<String> {
    let mut parts = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' | '“' | '”' => quoted = !quoted,
            c if c.is_whitespace() && !quoted => parts.push(String::new()),
            c => parts.last_mut().expect("there is a first part").push(c),
        }
    }
    parts.retain(|part| !part.is_empty());
    parts
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sign {
    Is,
    Above,
    From,
    Below,
    UpTo,
}

/// Takes `fails:>0` and `run-time>=20h` apart; `None` for a word without a sign behind a name.
fn keyed(word: &str) -> Option<(&str, Sign, &str)> {
    let end = word.find([':', '>', '<', '=', '≥', '≤'])?;
    let (name, rest) = word.split_at(end);
    let is_name = |c: char| c.is_ascii_lowercase() || c == '-';
    if name.is_empty() || !name.chars().all(is_name) {
        return None;
    }
    let rest = rest.strip_prefix(':').unwrap_or(rest);
    let signs = [
        (">=", Sign::From),
        ("≥", Sign::From),
        ("<=", Sign::UpTo),
        ("≤", Sign::UpTo),
        (">", Sign::Above),
        ("<", Sign::Below),
        ("=", Sign::Is),
    ];
    let signed = signs
        .iter()
        .find_map(|(text, sign)| Some((*sign, rest.strip_prefix(text)?)));
    let (sign, value) = signed.unwrap_or((Sign::Is, rest));
    Some((name, sign, value.trim()))
}

/// Whether a plain word is written as a marking in which something was read and something was not.
fn is_marking(word: &str) -> bool {
    let doubtful = word.contains(['?', '~']) || (word.contains('[') && word.contains(']'));
    let read = |seen: Seen| {
        let mut glyphs = seen.lines.iter().flat_map(|line| &line.glyphs);
        glyphs.any(|glyph| matches!(glyph, Glyph::Read(_) | Glyph::OneOf(_)))
    };
    doubtful && Seen::parse(word).is_ok_and(read)
}

fn add_marking(find: &mut Find, seen: Seen) {
    let marking = find.marking.get_or_insert_with(Seen::default);
    marking.lines.extend(seen.lines);
}

fn judged(name: &str) -> Option<Judged> {
    match name {
        "holds" => Some(Judged::Holds),
        "fails" => Some(Judged::Fails),
        "undecided" => Some(Judged::Undecided),
        "needs-evidence" => Some(Judged::NeedsEvidence),
        _ => None,
    }
}

fn counted(judged: Judged, sign: Sign, value: &str) -> Option<Counted> {
    let (least, most) = match value.split_once("..") {
        Some((low, high)) if sign == Sign::Is => (low.parse().ok()?, high.parse().ok()?),
        _ => {
            let number: u32 = value.parse().ok()?;
            match sign {
                Sign::Is => (number, number),
                Sign::Above => (number.checked_add(1)?, u32::MAX),
                Sign::From => (number, u32::MAX),
                Sign::Below => (0, number.checked_sub(1)?),
                Sign::UpTo => (0, number),
            }
        }
    };
    Some(Counted {
        judged,
        least,
        most,
    })
}

/// Reads a figure and what it is compared with. Above and from are one: a figure is a range, and no range ends at a
/// value without reaching it.
fn ranged(kind: &str, sign: Sign, value: &str) -> Option<Ranged> {
    let (low, high) = match value.split_once("..") {
        Some((low, high)) if sign == Sign::Is => {
            let high = Stated::parse(high).ok()?;
            // The unit may stand once, behind the second.
            let low = Stated::parse(low)
                .ok()
                .filter(|low| low.dimension() == high.dimension());
            let own = || value.split_once("..").map(|(low, _)| low);
            let low =
                low.or_else(|| Stated::parse(&format!("{} {}", own()?, high.unit.symbol())).ok())?;
            (low, high)
        }
        _ => {
            let one = Stated::parse(value).ok()?;
            (one.clone(), one)
        }
    };
    let (low_si, high_si) = (low.low_si(), high.high_si());
    let (low_si, high_si) = match sign {
        Sign::Is => (low_si, high_si),
        Sign::Above | Sign::From => (low_si, f64::MAX),
        Sign::Below | Sign::UpTo => (f64::MIN, high_si),
    };
    Some(Ranged {
        kind: kind.to_string(),
        dimension: high.dimension().to_string(),
        low: low_si,
        high: high_si,
    })
}

#[cfg(test)]
mod tests {
    use super::{Find, split};

    #[test]
    fn what_is_being_typed_is_no_mistake() {
        for line in [
            "maker:",
            "maker:Thr",
            "run-time>",
            "fails:>",
            "\"motion sen",
            "a:b",
            "http://x",
            ":",
            ">3",
            "TH[8",
        ] {
            assert!(Find::read(line).is_ok(), "{line}");
        }
    }

    #[test]
    fn what_cannot_be_read_is_named_with_its_remedy() {
        for (line, word) in [
            ("lamp fails:>x", "fails:>x"),
            ("run-time>20", ""),
            ("mass>heavy", "mass>heavy"),
            ("marking:a]", "marking:a]"),
        ] {
            let read = Find::read(line);
            assert_eq!(
                read.err().map(|e| e.word).unwrap_or_default(),
                word,
                "{line}"
            );
        }
    }

    #[test]
    fn quotes_keep_words_together() {
        assert_eq!(
            split("role:\"motion sensor\" a  b"),
            ["role:motion sensor", "a", "b"]
        );
    }

    #[test]
    fn units_may_stand_once() {
        let once = Find::read("mass:40..60g").unwrap();
        let twice = Find::read("mass:\"40 g..60 g\"").unwrap();
        assert_eq!(once, twice);
        assert!(
            (once.figures[0].low - 0.04).abs() < 1e-12
                && (once.figures[0].high - 0.06).abs() < 1e-12
        );
    }
}
