//! Words with digits that are no part numbers.
//!
//! In: a word. Out: whether it is a figure with a unit, a date, a resolution, the name of a standard, a package, a
//! designator, a pin, a thread, a version, a file. Not here: what speaks for a part number (`shape`, `hints`).
//! Source: common practice; the lists are our own.

use crate::lists::{List, listed};

/// Units as they stand behind digits.
static UNITS: List = List::new(|| listed(include_str!("lists/kinds-units.txt")));

/// Standards, interfaces and formats whose numbers follow their name.
static STANDARDS: List = List::new(|| listed(include_str!("lists/kinds-standards.txt")));

/// Package outlines.
static PACKAGES: List = List::new(|| listed(include_str!("lists/kinds-packages.txt")));

/// Letters of designators on boards.
static DESIGNATORS: List = List::new(|| listed(include_str!("lists/kinds-designators.txt")));

/// Whether a word with digits is surely none.
pub(crate) fn is_no_part(word: &str) -> bool {
    let lower = word.to_lowercase();
    is_path(&lower)
        || is_figure(&lower)
        || is_date(&lower)
        || is_version(&lower)
        || is_thread(&lower)
        || is_designator(word)
        || numbered(&lower, &STANDARDS, 6)
        || numbered(&lower, &PACKAGES, 4)
        || is_cell(word)
        || is_word_with_number(word)
}

fn is_path(lower: &str) -> bool {
    const ENDS: &[&str] = &[
        ".jpg", ".jpeg", ".png", ".gif", ".webp", ".svg", ".pdf", ".html", ".htm", ".zip", ".mp4",
        ".mov", ".csv", ".txt", ".bin", ".stl", ".step", ".md", ".com", ".org", ".net", ".hex",
        ".wav", ".raw", ".dng", ".heic",
    ];
    let hex = lower.len() >= 6 && lower.chars().all(|c| c.is_ascii_hexdigit()) && lower.len() >= 12;
    lower.contains("//")
        || lower.contains('@')
        || lower.starts_with("www.")
        || lower.starts_with("0x")
        || lower.contains('_')
        || hex
        || lower.matches('/').count() > 1
        || ENDS.iter().any(|end| lower.ends_with(end))
}

/// Digits with a unit, one size by another, a value with its unit as point, a count with a word.
fn is_figure(lower: &str) -> bool {
    let lower = lower.trim_start_matches(['+', '-', '±', '~', '$', '€', '£', 'ø', '⌀', '×']);
    let digits = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let head = lower.trim_start_matches(digits);
    let lead = &lower[..lower.len() - head.len()];
    if lead.is_empty() {
        return false;
    }
    if head.is_empty() {
        return true;
    }
    let of_sizes = |by: char| {
        lower.split(by).count() > 1
            && lower.split(by).all(|side| {
                let unit = side.trim_start_matches(digits);
                side.len() > unit.len() && (unit.is_empty() || is_unit(unit))
            })
    };
    let as_point = {
        let mut letters = head.chars();
        let letter = letters.next();
        let behind = letters.as_str();
        lead.len() <= 3
            && (1..=2).contains(&behind.len())
            && behind.chars().all(|c| c.is_ascii_digit())
            && letter.is_some_and(|c| {
                matches!(
                    c,
                    'v' | 'r' | 'k' | 'm' | 'n' | 'p' | 'u' | 'µ' | 'a' | 'f' | 'h' | 'w'
                )
            })
    };
    // 1080p60, 4k60; 1990s; 3-axis, 2-layer, 10-bit.
    let rate = head.strip_prefix(['p', 'i', 'k']).is_some_and(|rest| {
        !rest.is_empty() && rest.len() <= 3 && rest.chars().all(|c| c.is_ascii_digit())
    });
    let counted = head.strip_prefix('-').is_some_and(|rest| {
        let word = rest.trim_end_matches(|c: char| c.is_ascii_digit());
        !word.is_empty()
            && (word.len() >= 3 || is_unit(word))
            && word.chars().all(|c| c.is_alphabetic() || c == '-')
    });
    is_unit(head)
        || of_sizes('x')
        || of_sizes('×')
        || of_sizes('-')
        || of_sizes('/')
        || as_point
        || rate
        || counted
}

fn is_unit(text: &str) -> bool {
    let text = text
        .trim_start_matches('-')
        .trim_end_matches(['²', '³', '.']);
    UNITS.contains(text)
        || text
            .split_once('/')
            .is_some_and(|(a, b)| UNITS.contains(a) && !b.is_empty() && b.len() <= 3)
}

fn is_date(lower: &str) -> bool {
    const MONTHS: &[&str] = &[
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
    ];
    let digits = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
    let quarter = |text: &str| {
        let leads = [
            ("q", 1),
            ("h", 1),
            ("cw", 2),
            ("kw", 2),
            ("wk", 2),
            ("w", 2),
            ("fy", 4),
        ];
        leads.iter().any(|(lead, most)| {
            text.strip_prefix(lead)
                .is_some_and(|n| digits(n) && n.len() <= *most)
        })
    };
    let month = |text: &str| {
        let word: String = text.chars().filter(|c| c.is_alphabetic()).collect();
        MONTHS
            .iter()
            .any(|m| word.starts_with(m) && word.len() <= 9)
            && text.chars().filter(char::is_ascii_digit).count() <= 4
            && text.len() <= 9
    };
    // 2024-W12, 2024W12, 2024-03-01T14:00.
    let stamp = lower.len() >= 6
        && lower.starts_with(['1', '2'])
        && lower.get(..4).is_some_and(digits)
        && lower.get(4..).is_some_and(|rest| {
            let rest = rest.trim_start_matches('-');
            rest.strip_prefix('w')
                .is_some_and(|n| digits(n) && n.len() <= 2)
                || rest
                    .split(['-', 't', '/'])
                    .all(|n| digits(n) && n.len() <= 2)
        });
    quarter(lower) || month(lower) || stamp
}

fn is_version(lower: &str) -> bool {
    let rest = ["version", "ver", "rev", "v", "fw", "hw", "build", "release"]
        .iter()
        .find_map(|lead| {
            lower
                .strip_prefix(lead)
                .map(|rest| rest.trim_start_matches(['.', '-']))
        });
    let dotted = |text: &str| {
        text.starts_with(|c: char| c.is_ascii_digit())
            && text
                .chars()
                .all(|c| c.is_ascii_digit() || matches!(c, '.' | 'x' | 'a' | 'b' | 'c' | 'r'))
    };
    rest.is_some_and(|rest| {
        dotted(rest) && (rest.len() <= 2 || rest.contains('.') && rest.len() <= 6)
    }) || lower.matches('.').count() >= 2 && dotted(lower)
}

/// Threads and bits: M3x8, M2.5, T5.
fn is_thread(lower: &str) -> bool {
    let Some(rest) = lower.strip_prefix(['m', 't']) else {
        return false;
    };
    rest.len() <= 7
        && rest.starts_with(|c: char| c.is_ascii_digit())
        && rest.trim_end_matches("mm").split(['x', '×']).all(|n| {
            !n.is_empty()
                && n.len() <= 4
                && n.chars().filter(char::is_ascii_digit).count() <= 2
                && n.chars().all(|c| c.is_ascii_digit() || c == '.')
        })
}

fn is_designator(word: &str) -> bool {
    let number = word.trim_start_matches(|c: char| c.is_ascii_uppercase());
    let letters = &word[..word.len() - number.len()];
    let number = number.trim_end_matches(['A', 'B', 'C', 'D']);
    !number.is_empty()
        && number.len() <= 3
        && number.chars().all(|c| c.is_ascii_digit())
        && DESIGNATORS.contains(letters)
}

/// One of the names, then at most so many digits and what follows a standard: a part, a year, one letter.
fn numbered(lower: &str, names: &List, most: usize) -> bool {
    let at = lower
        .find(|c: char| c.is_ascii_digit())
        .unwrap_or(lower.len());
    let (name, rest) = lower.split_at(at);
    let name = name.trim_end_matches(['-', '.', '/']);
    if !rest.is_empty() && names.contains(name) {
        let tail = rest.trim_start_matches(|c: char| c.is_ascii_digit());
        let digits = rest.len() - tail.len();
        let letters = tail.chars().take_while(char::is_ascii_alphabetic).count();
        // A short name is one with few digits: PA12, H.264; PA63740 is none.
        let few = match name.len() {
            1 => digits <= 3 && rest.len() <= 4,
            2 => {
                digits <= most.max(3)
                    && (digits <= 3 || matches!(name, "en" | "ul" | "bs" | "gb" | "rs"))
            }
            _ => digits <= most,
        };
        return few && letters <= 1 || digits <= 2 && letters <= 2 && rest.len() <= 5;
    }
    // USB-C-3.2, QFN-16-EP: the name is one of several pieces.
    lower.split('-').next().is_some_and(|first| {
        first != lower
            && first.len() >= 3
            && names.contains(first)
            && lower.len() <= first.len() + most + 4
    })
}

/// Round and cylindrical cells: CR2032, LR44, ICR18650, LFP… (IEC 60086-3, IEC 61960).
fn is_cell(word: &str) -> bool {
    let number = word.trim_start_matches(|c: char| c.is_ascii_uppercase());
    let letters = &word[..word.len() - number.len()];
    let number = number.trim_end_matches(|c: char| c.is_ascii_uppercase());
    const LEADS: &[&str] = &[
        "CR", "BR", "LR", "SR", "PR", "FR", "ML", "VL", "LIR", "ICR", "INR", "IMR", "IFR", "NCR",
    ];
    LEADS.contains(&letters)
        && (2..=6).contains(&number.len())
        && number.chars().all(|c| c.is_ascii_digit())
}

/// An ordinary word with a small number behind it: part2, step-3, Chapter4; or before it: 3D.
fn is_word_with_number(word: &str) -> bool {
    let letters: Vec<char> = word.chars().filter(|c| c.is_alphabetic()).collect();
    let digits = word.chars().filter(char::is_ascii_digit).count();
    let behind = word.trim_end_matches(|c: char| c.is_ascii_digit());
    let lower_tail = letters.iter().skip(1).filter(|c| c.is_lowercase()).count();
    (digits <= 2
        && letters.len() >= 3
        && lower_tail + 1 >= letters.len()
        && behind.len() < word.len())
        || (digits <= 1 && letters.len() <= 2 && word.chars().count() <= 3)
}
