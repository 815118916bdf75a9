//! Sums over many photographs.
//!
//! In: what was found on each. Out: rows of a table, by way and kind of size. Not here: bounds (`main.rs`). An
//! interval is the value ± 1.96 standard uncertainties.

use crate::desk::{Desk, EdgePoint, Found, Size, WAYS};
use std::collections::BTreeMap;
use std::fmt::Write;

/// Standard deviations in half an interval of 95 % of the normal law.
const HALF: f64 = 1.959_964;

/// What was found in one way of one kind of size.
#[derive(Debug, Default)]
pub(crate) struct Row {
    pub(crate) found: Vec<Found>,
    pub(crate) refused: Vec<String>,
}

impl Row {
    /// Share of the intervals that hold the truth.
    pub(crate) fn coverage(&self) -> f64 {
        let held = |f: &&Found| (f.value - f.truth).abs() <= HALF * f.uncertainty;
        self.found.iter().filter(held).count() as f64 / self.found.len() as f64
    }

    /// Share of the things without an answer.
    pub(crate) fn refusals(&self) -> f64 {
        let refused = self.refused.len() as f64;
        refused / (refused + self.things())
    }

    /// Things with an answer; a body has two sides.
    fn things(&self) -> f64 {
        self.found.len() as f64
    }

    /// The value below which a share of the results lies.
    pub(crate) fn share_below(&self, share: f64, value: impl Fn(&Found) -> f64) -> f64 {
        quantile(self.found.iter().map(value).collect(), share)
    }

    fn line(&self) -> String {
        let n = self.found.len() as f64;
        let bias = self
            .found
            .iter()
            .map(|f| f.value / f.truth - 1.0)
            .sum::<f64>()
            / n;
        let mm = |f: &Found| (f.value - f.truth).abs();
        let px = |f: &Found| (f.value - f.truth).abs() / f.mm_per_px;
        format!(
            "{n} | {:.1} % | {:.1} % | {:+.2} % | {:.3} | {:.3} | {:.2} | {:.2} | {:.3} |",
            100.0 * self.refusals(),
            100.0 * self.coverage(),
            100.0 * bias,
            self.share_below(0.5, mm),
            self.share_below(0.95, mm),
            self.share_below(0.5, px),
            self.share_below(0.95, px),
            self.share_below(0.5, |f| 2.0 * HALF * f.uncertainty),
        )
    }
}

fn quantile(mut values: Vec<f64>, share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let last = values.len().saturating_sub(1) as f64;
    values
        .get((share * last).round() as usize)
        .copied()
        .unwrap_or(f64::NAN)
}

/// Everything found on many photographs.
#[derive(Debug, Default)]
pub(crate) struct Tally {
    rows: BTreeMap<(&'static str, Size), Row>,
    edges: Vec<EdgePoint>,
}

impl Tally {
    pub(crate) fn add(&mut self, desk: Desk) {
        self.edges.extend(desk.edges);
        for one in desk.results {
            let row = self.rows.entry((one.way, one.size)).or_default();
            match one.found {
                Ok(found) => row.found.extend(found),
                Err(why) => {
                    let sides = if one.size == Size::Body { 2 } else { 1 };
                    let why = format!("{:?}: {why}", one.kind);
                    row.refused.extend(std::iter::repeat_n(why, sides));
                }
            }
        }
    }

    /// Returns one row.
    pub(crate) fn row(&self, way: &str, size: Size) -> Option<&Row> {
        let mut rows = self.rows.iter();
        rows.find(|((w, s), _)| *w == way && *s == size)
            .map(|(_, r)| r)
    }

    /// Writes the sizes as a table.
    pub(crate) fn sizes(&self) -> String {
        let mut text = String::from(
            "| marks | size | n | refused | coverage of 95 % | bias | median error, mm | 95 % of errors within, mm | median, px | 95 %, px | median width of the interval, mm |\n\
             |---|---|---|---|---|---|---|---|---|---|---|\n",
        );
        for way in &WAYS {
            for size in [Size::Length, Size::Body, Size::Circle] {
                if let Some(row) = self.row(way.name, size) {
                    let _ = writeln!(text, "| {} | {size:?} | {}", way.name, row.line());
                }
            }
        }
        text
    }

    /// Writes where snapped points came to lie, by kind of thing.
    pub(crate) fn edges(&self) -> String {
        let mut kinds: BTreeMap<_, Vec<&EdgePoint>> = BTreeMap::new();
        for edge in &self.edges {
            kinds.entry(edge.kind).or_default().push(edge);
        }
        let mut text = String::from(
            "| snapped edge of | points | within 1.96 u | mean, px outwards | median, px | 95 %, px | beyond 2 px | median u, px |\n\
             |---|---|---|---|---|---|---|---|\n",
        );
        for (kind, points) in kinds {
            let n = points.len() as f64;
            let share = |test: &dyn Fn(&EdgePoint) -> bool| {
                100.0 * points.iter().filter(|p| test(p)).count() as f64 / n
            };
            let off = |q: f64| quantile(points.iter().map(|p| p.off_px.abs()).collect(), q);
            let _ = writeln!(
                text,
                "| {kind:?} | {n} | {:.1} % | {:+.2} | {:.2} | {:.2} | {:.1} % | {:.2} |",
                share(&|p| p.off_px.abs() <= HALF * p.within_px),
                points.iter().map(|p| p.off_px).sum::<f64>() / n,
                off(0.5),
                off(0.95),
                share(&|p| p.off_px.abs() > 2.0),
                quantile(points.iter().map(|p| p.within_px).collect(), 0.5),
            );
        }
        text
    }

    /// Writes why there were no answers, with their number.
    pub(crate) fn refusals(&self) -> String {
        let mut reasons: BTreeMap<(&str, &str), usize> = BTreeMap::new();
        for ((way, _), row) in &self.rows {
            for why in &row.refused {
                *reasons.entry((way, why)).or_default() += 1;
            }
        }
        let mut text = String::new();
        for ((way, why), n) in reasons {
            let _ = writeln!(text, "{n} × {way}: {why}");
        }
        text
    }
}
