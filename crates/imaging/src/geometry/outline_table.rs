//! The known package outlines, and what they are called.
//!
//! Out: size, leads and kind of each. Outlines that look the same from above and have as many leads are one row
//! of `data/packages.csv`; `data/README.md` says where its sizes are from and under which licence they come.
//! Not here: which of them a body fits (`package_outline`).

use std::sync::OnceLock;

/// One known package outline; the longer side of the body first, leads left out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outline {
    /// What such bodies are called ("QFN").
    pub family: String,
    /// What kind of part comes in it.
    pub kind: OutlineKind,
    /// Number of pins, an exposed pad not counted.
    pub pins: Option<u32>,
    /// Whether a pad lies below the body.
    pub exposed_pad: bool,
    /// Length, mm.
    pub length_mm: f64,
    /// Width, mm.
    pub width_mm: f64,
    /// Pitch of the pins, mm.
    pub pitch_mm: Option<f64>,
    /// Least and greatest length, mm.
    pub length_limits: Option<[f64; 2]>,
    /// Least and greatest width, mm.
    pub width_limits: Option<[f64; 2]>,
    /// Number of the outline drawing; empty if not known.
    pub drawing: String,
    /// Where the sizes are from.
    pub source: String,
    /// What of it was read, and what stands from memory.
    pub status: String,
}

/// Kinds of parts that outlines are made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum OutlineKind {
    /// Semiconductors with leads, pads or balls.
    #[default]
    Package,
    /// Diodes with two leads.
    Diode,
    /// Resistors, capacitors, small inductors with two ends of metal.
    Chip,
    /// Tantalum capacitors, moulded.
    Tantalum,
    /// Crystals and oscillators.
    Crystal,
}

impl Outline {
    /// Returns the outline in words: "QFN, 48 leads, 6 × 6 mm, pitch 0.4 mm, exposed pad".
    pub fn words(&self) -> String {
        let of = match self.family.as_str() {
            "BGA" | "WLCSP" => "balls",
            "LGA" | "crystal" => "pads",
            _ => "leads",
        };
        let counted = matches!(self.kind, OutlineKind::Package | OutlineKind::Crystal);
        let pins = self.pins.filter(|_| counted);
        let mut words = vec![self.family.clone()];
        words.extend(pins.map(|n| format!("{n} {of}")));
        words.push(format!("{} × {} mm", self.length_mm, self.width_mm));
        words.extend(self.pitch_mm.map(|pitch| format!("pitch {pitch} mm")));
        words.extend(self.exposed_pad.then(|| "exposed pad".into()));
        words.join(", ")
    }
}

/// Returns the table of known outlines.
pub fn outlines() -> &'static [Outline] {
    static TABLE: OnceLock<Vec<Outline>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let rows = include_str!("data/packages.csv").lines().skip(1);
        rows.filter_map(outline).collect()
    })
}

fn outline(row: &str) -> Option<Outline> {
    let cells: Vec<&str> = row.split(',').collect();
    let number = |i: usize| cells.get(i)?.parse::<f64>().ok();
    let pair = |i: usize| Some([number(i)?, number(i + 1)?]);
    let text = |i: usize| cells.get(i).map(ToString::to_string).unwrap_or_default();
    Some(Outline {
        family: text(0),
        kind: match *cells.get(1)? {
            "package" => OutlineKind::Package,
            "diode" => OutlineKind::Diode,
            "chip" => OutlineKind::Chip,
            "tantalum" => OutlineKind::Tantalum,
            "crystal" => OutlineKind::Crystal,
            _ => return None,
        },
        pins: cells.get(2)?.parse().ok(),
        exposed_pad: *cells.get(3)? == "1",
        length_mm: number(4)?,
        width_mm: number(5)?,
        pitch_mm: number(6),
        length_limits: pair(7),
        width_limits: pair(9),
        drawing: text(11),
        source: text(12),
        status: text(13),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_table_is_read() {
        let rows = include_str!("data/packages.csv").lines().count() - 1;
        assert_eq!(outlines().len(), rows);
        assert_eq!(rows, 392);
        assert!(
            outlines()
                .iter()
                .all(|o| o.length_mm >= o.width_mm && o.width_mm > 0.0)
        );
        assert_eq!(
            outlines()
                .iter()
                .filter(|o| o.length_limits.is_some())
                .count(),
            203
        );
    }

    /// JEDEC publication 95 names bodies by letters; words of one maker or one program are none of them.
    #[test]
    fn outlines_are_named_in_words_and_each_once() {
        let mut words: Vec<String> = outlines().iter().map(Outline::words).collect();
        for text in &words {
            assert!(!text.contains('_') && !text.contains("EP"), "{text}");
            let odd = ["LFCSP", "MLF", "MLP", "UFQFPN", "HVSON", "UMAX", "LLP"];
            assert!(!odd.iter().any(|o| text.contains(o)), "{text}");
        }
        assert!(words.contains(&"QFN, 48 leads, 6 × 6 mm, pitch 0.4 mm, exposed pad".into()));
        let count = words.len();
        words.sort();
        words.dedup();
        assert_eq!(words.len(), count);
    }
}
