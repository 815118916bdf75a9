//! Times of cues.
//!
//! In: a line. Out: milliseconds from the beginning of the film, and what stands after the times. Not here: whether
//! they make sense together. Source: WebVTT, "collect a WebVTT timestamp"; SubRip has no standard.

/// Two times in milliseconds and the rest of their line.
pub(crate) type Times<'a> = (u64, u64, &'a str);

const BLANK: [char; 3] = [' ', '\t', '\u{c}'];

/// `start --> end` as WebVTT reads it.
pub(crate) fn webvtt_times(line: &str) -> Option<Times<'_>> {
    both(line, webvtt_time)
}

/// `start --> end` as SubRip files have it: hours always, a comma (or, found in practice, a full stop).
pub(crate) fn subrip_times(line: &str) -> Option<Times<'_>> {
    both(line, subrip_time)
}

fn both(line: &str, time: fn(&str) -> Option<(u64, &str)>) -> Option<Times<'_>> {
    let (start, rest) = time(line.trim_start_matches(BLANK))?;
    let rest = rest.trim_start_matches(BLANK).strip_prefix("-->")?;
    let (end, rest) = time(rest.trim_start_matches(BLANK))?;
    Some((start, end, rest))
}

fn digits(text: &str) -> (&str, &str) {
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    text.split_at(end)
}

/// Exactly so many digits.
fn exactly(text: &str, count: usize) -> Option<(u64, &str)> {
    let (number, rest) = digits(text);
    (number.len() == count).then_some(())?;
    Some((number.parse().ok()?, rest))
}

fn webvtt_time(text: &str) -> Option<(u64, &str)> {
    let (first, rest) = digits(text);
    let value: u64 = first.parse().ok()?;
    let (second, rest) = exactly(rest.strip_prefix(':')?, 2)?;
    let must_be_hours = first.len() != 2 || value > 59;
    let (hours, minutes, seconds, rest) = match rest.strip_prefix(':') {
        Some(rest) => {
            let (third, rest) = exactly(rest, 2)?;
            (value, second, third, rest)
        }
        None if must_be_hours => return None,
        None => (0, value, second, rest),
    };
    let (thousandths, rest) = exactly(rest.strip_prefix('.')?, 3)?;
    Some((milliseconds(hours, minutes, seconds, thousandths)?, rest))
}

fn subrip_time(text: &str) -> Option<(u64, &str)> {
    let (hours, rest) = digits(text);
    let (minutes, rest) = exactly(rest.strip_prefix(':')?, 2)?;
    let (seconds, rest) = exactly(rest.strip_prefix(':')?, 2)?;
    let (thousandths, rest) = exactly(rest.strip_prefix([',', '.'])?, 3)?;
    let hours = hours.parse().ok()?;
    Some((milliseconds(hours, minutes, seconds, thousandths)?, rest))
}

fn milliseconds(hours: u64, minutes: u64, seconds: u64, thousandths: u64) -> Option<u64> {
    (minutes < 60 && seconds < 60).then_some(())?;
    let minutes = hours.checked_mul(60)?.checked_add(minutes)?;
    let seconds = minutes.checked_mul(60)?.checked_add(seconds)?;
    seconds.checked_mul(1000)?.checked_add(thousandths)
}
