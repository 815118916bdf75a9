//! What a part number looks like.
//!
//! In: a word. Out: how much its shape speaks for a part number, in logits. Not here: words beside it (`hints`),
//! figures and standards (`kinds`).
//! Source: common practice: a prefix of letters, a number, and suffixes for variant, package and reel.

/// Longest part number, characters.
const LONGEST: usize = 26;

/// How much a shape speaks for a part number; `None` where it cannot be one.
pub(crate) fn shape(word: &str) -> Option<f64> {
    let fits = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '/' | '.' | '+' | '#');
    if !word.chars().all(fits) || word.len() > LONGEST {
        return None;
    }
    let core: Vec<char> = word.chars().filter(char::is_ascii_alphanumeric).collect();
    let digits = core.iter().filter(|c| c.is_ascii_digit()).count();
    let letters = core.len() - digits;
    if digits == 0 || letters == 0 || core.len() < 4 || word.matches(['.', '/']).count() > 2 {
        return None;
    }
    let mut score = match digits {
        1 => -1.5,
        2 => 0.1,
        _ => 1.0,
    };
    let lead = core.iter().take_while(|c| c.is_ascii_alphabetic()).count();
    score += match lead {
        0 => -0.1,
        1 => 0.3,
        2..=5 => 0.8,
        _ => -0.8,
    };
    let lower = core.iter().filter(|c| c.is_ascii_lowercase()).count();
    let lower_lead = core.iter().take_while(|c| c.is_ascii_lowercase()).count();
    let worded = core.first().is_some_and(char::is_ascii_uppercase)
        && core
            .iter()
            .skip(1)
            .take_while(|c| c.is_ascii_lowercase())
            .count()
            >= 2;
    score += match lower {
        0 => 0.6,
        n if n == letters => -1.2,
        n if n == lower_lead && n <= 2 => 0.4,
        n if n <= 2 => 0.2,
        _ if worded => -1.0,
        _ => -0.3,
    };
    if core.len() >= 7 {
        score += 0.4;
    }
    if lead > 0 && core.last().is_some_and(char::is_ascii_alphabetic) {
        score += 0.3;
    }
    let runs = core
        .windows(2)
        .filter(|w| w[0].is_ascii_digit() != w[1].is_ascii_digit());
    if runs.count() >= 3 {
        score += 0.3;
    }
    if word.contains('+') {
        score -= 0.5;
    }
    Some(score)
}
