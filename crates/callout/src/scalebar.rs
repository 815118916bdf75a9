//! The scale bar: a round length of the object, drawn to scale.
//!
//! In: how long a millimetre of the object is on the page, how much room there is. Out: a length
//! from the series 1, 2, 5 and its words. Not here: where it is drawn.

/// Powers of ten from a micrometre to a hundred metres, mm.
const DECADES: [f64; 9] = [1e-3, 1e-2, 1e-1, 1.0, 1e1, 1e2, 1e3, 1e4, 1e5];

/// A length and how it is written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RoundLength {
    /// On the object, mm.
    pub(super) length_mm: f64,
    /// With unit.
    pub(super) words: String,
}

/// Returns the longest length of the series 1, 2, 5 that takes at most `room` on the page, where
/// one millimetre of the object takes `page_per_mm`; `None` outside 1 µm to 500 m.
pub(super) fn round_length(page_per_mm: f64, room: f64) -> Option<RoundLength> {
    let most = room / page_per_mm;
    let (decade, digit) = DECADES
        .iter()
        .flat_map(|d| [1.0, 2.0, 5.0].map(|digit| (*d, digit)))
        .take_while(|(d, digit)| d * digit <= most)
        .last()?;
    if most >= DECADES[DECADES.len() - 1] * 10.0 {
        return None;
    }
    let length_mm = decade * digit;
    let (value, unit) = if decade < 1.0 {
        (length_mm * 1e3, "µm")
    } else if decade < 1e3 {
        (length_mm, "mm")
    } else {
        (length_mm / 1e3, "m")
    };
    Some(RoundLength {
        length_mm,
        words: format!("{value:.0}\u{a0}{unit}"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(page_per_mm: f64, room: f64, words: Option<&str>) {
        let found = round_length(page_per_mm, room).map(|l| l.words.replace('\u{a0}', " "));
        assert_eq!(found.as_deref(), words);
    }

    #[test]
    fn lengths_come_from_the_series_and_fit() {
        check(1.0, 25.0, Some("20 mm"));
        check(1.0, 20.0, Some("20 mm"));
        check(1.0, 19.9, Some("10 mm"));
        check(1.4, 25.0, Some("10 mm"));
        check(30.0, 25.0, Some("500 µm"));
        check(250.0, 25.0, Some("100 µm"));
        check(0.01, 25.0, Some("2 m"));
        check(0.03, 25.0, Some("500 mm"));
    }

    #[test]
    fn lengths_nobody_photographs_have_no_bar() {
        check(1e9, 25.0, None);
        check(1e-9, 25.0, None);
        check(f64::NAN, 25.0, None);
    }
}
