//! Numbers in cells: pins, and lengths in millimetres.
//!
//! In: the text of a cell. Out: the number, or why it is refused. A decimal comma is taken where
//! it cannot be mistaken for a thousands separator.

use crate::remark::shown;
use crate::table_cell::Fault;

/// Most pins a part can have here; the largest packages made have fewer than 7,000.
pub(crate) const MOST_PINS: u32 = 20_000;

/// Longest body side and pitch accepted, mm.
pub(crate) const LONGEST_MM: f64 = 1_000.0;

/// Reads a number of pins: digits, with or without the word "pins" after them.
pub(crate) fn pins(text: &str) -> Result<u32, Fault> {
    let remedy = "write a whole number above 0";
    let bare = text.trim();
    let bare = ["pins", "pin", "Pins", "Pin"]
        .iter()
        .find_map(|word| bare.strip_suffix(word))
        .unwrap_or(bare)
        .trim_end_matches([' ', '-']);
    let count: u32 = bare
        .parse()
        .map_err(|_| Fault::new(format!("{} is not a number of pins", shown(text)), remedy))?;
    if count == 0 || count > MOST_PINS {
        return Err(Fault::new(
            format!("a part with {count} pins is not believed"),
            format!("write 1 to {MOST_PINS}"),
        ));
    }
    Ok(count)
}

/// Reads a length in mm, the unit written or not.
pub(crate) fn length(text: &str) -> Result<f64, Fault> {
    let bare = text.trim();
    let bare = bare.strip_suffix("mm").unwrap_or(bare).trim_end();
    let remedy = "write millimetres as a plain number, for example 0.5";
    let refused = || Fault::new(format!("{} is not a length in mm", shown(text)), remedy);
    if bare.is_empty()
        || !bare
            .bytes()
            .all(|b| b.is_ascii_digit() || matches!(b, b'.' | b','))
    {
        return Err(refused());
    }
    let pointed = match bare.split_once(',') {
        None => bare.to_string(),
        Some((whole, rest)) if !rest.contains([',', '.']) && !whole.contains('.') => {
            if rest.len() == 3 && !whole.trim_start_matches('0').is_empty() {
                return Err(Fault::new(
                    format!("{} may mean thousands or thousandths", shown(text)),
                    "write a decimal point",
                ));
            }
            format!("{whole}.{rest}")
        }
        Some(_) => return Err(refused()),
    };
    let value: f64 = pointed.parse().map_err(|_| refused())?;
    if !(value > 0.0 && value <= LONGEST_MM) {
        return Err(Fault::new(
            format!("a length of {} mm is not believed", shown(bare)),
            format!("write more than 0 and at most {LONGEST_MM} mm"),
        ));
    }
    Ok(value)
}

/// Reads two lengths in mm, the longer first in the answer. A third one, the height, is passed
/// over.
pub(crate) fn body(text: &str) -> Result<[f64; 2], Fault> {
    let sides: Vec<&str> = text.split(['x', 'X', '×', '*']).collect();
    if !(2..=3).contains(&sides.len()) {
        return Err(Fault::new(
            format!("{} is not a length and a width", shown(text)),
            "write both in mm, for example 4.9 x 3.9",
        ));
    }
    if let Some(height) = sides.get(2) {
        length(height)?;
    }
    let (a, b) = (length(sides[0])?, length(sides[1])?);
    Ok([a.max(b), a.min(b)])
}
