//! Dossiers drawn at random.

use super::dense::piece_rows;
use super::{dossier, item};
use quantity::Stated;
use record::{Correlation, Dossier, Instrument, ItemKind, Reading, ReadingSubject};

/// Draws without a pattern that matters here (the generator of Numerical Recipes, 7.1, constants of Knuth).
pub(super) struct Draw(pub(super) u64);

impl Draw {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(super) fn below(&mut self, n: usize) -> usize {
        (self.next() * n as f64) as usize
    }

    fn chance(&mut self, p: f64) -> bool {
        self.next() < p
    }
}

fn instrument(id: &str, resolution: &str, accuracy: Option<&str>) -> Instrument {
    Instrument {
        id: id.to_string(),
        name: id.to_string(),
        resolution: Some(Stated::parse(resolution).unwrap()),
        accuracy: accuracy.map(|a| Stated::parse(a).unwrap()),
        repeatability: None,
        calibrated: None,
        note: None,
    }
}

pub(super) fn reading(id: String, item: &str, value: &str, scale: Option<&str>) -> Reading {
    Reading {
        id,
        item: item.to_string(),
        what: ReadingSubject::Mass,
        mode: None,
        value: Stated::parse(value).unwrap(),
        instrument: scale.map(String::from),
        pieces: None,
        tare: None,
        started: None,
        stopped: None,
        before: None,
        after: None,
        without: Vec::new(),
        private: false,
        evidence: Vec::new(),
        note: None,
    }
}

/// A tree of up to 30 items, weighed here and there, alone, together and with pieces missing, on three
/// scales, with gross errors and stated correlations.
pub(super) fn random(seed: u64) -> Dossier {
    let mut draw = Draw(seed.wrapping_mul(0x9E37_79B9).wrapping_add(12_345));
    draw.next();
    let n = 3 + draw.below(28);
    let kinds = [
        ItemKind::Assembly,
        ItemKind::Assembly,
        ItemKind::Board,
        ItemKind::Part,
        ItemKind::Shell,
    ];
    let mut items = vec![item("i0", ItemKind::Product, None, 1)];
    for i in 1..n {
        let reach = if draw.chance(0.5) { i } else { i.min(4) };
        let parent = format!("i{}", draw.below(reach));
        let count = if draw.chance(0.2) {
            2 + draw.below(4) as u32
        } else {
            1
        };
        items.push(item(
            &format!("i{i}"),
            kinds[draw.below(5)],
            Some(&parent),
            count,
        ));
    }
    let mut dossier = dossier(items);
    dossier.instruments = vec![
        instrument("fine", "0.001 g", Some("0.003 g")),
        instrument("pocket", "0.01 g", Some("0.03 g")),
        instrument("kitchen", "0.1 g", Some("0.05 %")),
    ];
    let rows = piece_rows(&dossier);
    let truth: Vec<f64> = rows[0].iter().map(|_| 0.2 + 20.0 * draw.next()).collect();
    let share = 0.3 + 0.7 * draw.next();
    for i in 0..n {
        while draw.chance(share) && dossier.readings.len() < 24 {
            let pieces = if draw.chance(0.2) {
                1 + draw.below(4) as u32
            } else {
                1
            };
            let mut without = Vec::new();
            while draw.chance(0.2) {
                without.push(format!("i{}", draw.below(n)));
            }
            let (scale, half, digits) = [
                (Some("fine"), 0.003, 3),
                (Some("pocket"), 0.02, 2),
                (Some("pocket"), 0.02, 2),
                (Some("kitchen"), 0.1, 1),
                (None, 0.02, 2),
            ][draw.below(5)];
            let mut probe = reading(String::new(), &format!("i{i}"), "1 g", None);
            (probe.pieces, probe.without) = (Some(pieces), without.clone());
            let on_scale = row_of(&dossier, &rows, &probe);
            let mut mass: f64 = on_scale.iter().zip(&truth).map(|(n, m)| n * m).sum();
            mass += half * (2.0 * draw.next() - 1.0);
            if draw.chance(0.05) {
                mass += 2.0 * draw.next();
            }
            let id = format!("r{}", dossier.readings.len());
            let text = if draw.chance(0.1) {
                format!("{mass:.3} ± 0.015 g")
            } else {
                format!("{mass:.digits$} g")
            };
            let mut taken = reading(id, &format!("i{i}"), &text, scale);
            (taken.pieces, taken.without) = (probe.pieces, probe.without);
            // Of equal readings none is the wrong one, and which is set aside is arbitrary.
            let is_equal = |r: &Reading| {
                r.value == taken.value
                    && r.instrument == taken.instrument
                    && row_of(&dossier, &rows, r) == on_scale
            };
            if !dossier.readings.iter().any(is_equal) {
                dossier.readings.push(taken);
            }
        }
    }
    let m = dossier.readings.len();
    for _ in 0..draw.below(3) {
        if m > 1 {
            dossier.correlations.push(Correlation {
                between: [format!("r{}", draw.below(m)), format!("r{}", draw.below(m))],
                coefficient: 0.9 * draw.next() - 0.2,
                because: None,
            });
        }
    }
    dossier
}

/// The pieces on the scale, by the rule of the record: nothing is taken out twice.
pub(super) fn row_of(dossier: &Dossier, rows: &[Vec<f64>], reading: &Reading) -> Vec<f64> {
    let at = |id: &str| dossier.items.iter().position(|i| i.id == id).unwrap();
    let pieces = f64::from(reading.pieces.unwrap_or(1));
    let mut row: Vec<f64> = rows[at(&reading.item)].iter().map(|x| x * pieces).collect();
    for gone in &reading.without {
        let count = f64::from(dossier.items[at(gone)].count.at_least());
        for (x, y) in row.iter_mut().zip(&rows[at(gone)]) {
            *x = (*x - count * pieces * y).max(0.0);
        }
    }
    row
}
