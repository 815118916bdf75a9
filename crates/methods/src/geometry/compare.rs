//! One thing in a photograph against its recorded size.

use super::sight::{MARK_PX, Sight};
use crate::basis;
use imaging::geometry::{Click, Estimate, Measure, Measured};
use quantity::{Figure, Input, Sheet, SheetError, format_measured, units};
use record::{Dossier, Item, Photo, ReadingSubject, Region};

/// One side measured, and what the record says of it.
pub(super) struct Compared<'a> {
    sight: &'a Sight,
    /// Which size.
    pub(super) side: &'static str,
    /// What the figure is called.
    pub(super) name: String,
    measure: Measure,
    /// As measured in the photograph, mm.
    pub(super) measured: Measured,
    /// As recorded, as an input of a derivation.
    pub(super) recorded: Option<Input>,
    /// The same as written; empty where nothing is recorded.
    pub(super) recorded_text: String,
    /// Difference over its standard uncertainty.
    pub(super) z: Option<f64>,
    /// Places of the recorded size.
    pub(super) places: Vec<String>,
}

/// Measures an item's region and finds what is recorded of it. Round things have a diameter, others a
/// length and a width, the longer first.
pub(super) fn compare<'a>(
    dossier: &Dossier,
    sight: &'a Sight,
    region: &Region,
    item: &Item,
) -> Vec<Compared<'a>> {
    let clicks = corners(region);
    let estimate = |measure: &Measure| sight.plane.estimate(measure, &clicks, None).ok();
    let (Some(across), Some(down)) = (estimate(&Measure::Length), estimate(&Measure::Width)) else {
        return Vec::new();
    };
    let recorded = |name: &str, what| basis::size_input(dossier, item, name, what);
    if let Some(input) = recorded("diameter", ReadingSubject::Diameter) {
        // A round thing's region is a square as far as it was marked well.
        let (measure, mean) = (Measure::Length, average(across, down));
        return vec![side(sight, item, "diameter", measure, mean, Some(input))];
    }
    let swap = down.value > across.value;
    let sides = if swap {
        [(Measure::Width, down), (Measure::Length, across)]
    } else {
        [(Measure::Length, across), (Measure::Width, down)]
    };
    let mut inputs: Vec<Input> = [
        ("length", ReadingSubject::Length),
        ("width", ReadingSubject::Width),
    ]
    .into_iter()
    .filter_map(|(name, what)| recorded(name, what))
    .collect();
    if inputs.len() == 2 && inputs[0].distribution.mean() < inputs[1].distribution.mean() {
        inputs.swap(0, 1);
    }
    // With one side alone recorded nobody can tell which of the two it is.
    let both = inputs.len() == 2;
    let mut inputs = inputs.into_iter();
    ["longer side", "shorter side"]
        .into_iter()
        .zip(sides)
        .map(|(name, (measure, found))| {
            let input = if both { inputs.next() } else { None };
            side(sight, item, name, measure, found, input)
        })
        .collect()
}

fn side<'a>(
    sight: &'a Sight,
    item: &Item,
    name: &'static str,
    measure: Measure,
    found: Estimate,
    recorded: Option<Input>,
) -> Compared<'a> {
    let against = recorded.as_ref().map(|input| {
        (
            input.distribution.mean() * 1e3,
            input.distribution.sd() * 1e3,
        )
    });
    Compared {
        sight,
        side: name,
        name: format!("{name} of {} in the photograph", item.name),
        measure,
        measured: Measured::new(found.value, found.uncertainty),
        recorded_text: against.map_or_else(String::new, |(mm, u)| {
            format_measured(mm, u, &units::millimetre())
        }),
        z: against.map(|(mm, u)| (found.value - mm) / found.uncertainty.hypot(u)),
        places: recorded
            .as_ref()
            .map(|i| i.source.evidence.clone())
            .unwrap_or_default(),
        recorded,
    }
}

impl Compared<'_> {
    /// The measured size as text.
    pub(super) fn measured_text(&self) -> String {
        format_measured(
            self.measured.value,
            self.measured.uncertainty,
            &units::millimetre(),
        )
    }

    /// The measured size with its working.
    pub(super) fn figure(&self, photo: &Photo, region: &Region) -> Result<Figure, SheetError> {
        let sheet = Sheet::new();
        let evidence = [format!("photo:{}#{}", photo.id, region.id)];
        let on = self.sight.plane.on(&sheet, &evidence);
        let spots: Result<Vec<_>, _> = corners(region)
            .iter()
            .enumerate()
            .map(|(n, click)| on.spot(&format!("corner {}", n + 1), *click))
            .collect();
        let term = spots.and_then(|spots| on.measure(&self.name, &self.measure, &spots));
        match term {
            Ok(term) => sheet.figure(term),
            Err(e) => Err(SheetError::Value(e.to_string())),
        }
    }
}

/// Corners of a region around its outline, from the top left.
fn corners(region: &Region) -> [Click; 4] {
    let [x, y, w, h] = region.rect.map(f64::from);
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Click::new(x, y, MARK_PX))
}

/// Mean of two sides of one round thing; their doubt is mostly common, so it does not shrink.
fn average(a: Estimate, b: Estimate) -> Estimate {
    Estimate {
        value: (a.value + b.value) / 2.0,
        uncertainty: a.uncertainty.max(b.uncertainty),
        first_order: a.first_order.max(b.first_order),
    }
}
