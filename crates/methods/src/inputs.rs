//! From values in the record to inputs of a derivation.
//!
//! In: a dossier and one of its readings, ratings or figures. Out: [`quantity::Input`]s that know
//! their unit, their uncertainty and the places they come from.
//! Not here: any formula; any decision; how a distribution is chosen from an origin (`quantity`).
//!
//! Part of an instrument's limit of error is common to everything read with it: that is why
//! [`Correlations`] gives readings of the same instrument a common part, while the rounding of the
//! display is each reading's own.

use crate::assumed;
use crate::distinct::Distinct;
use quantity::{
    Accuracy, Dimension, Distribution, Figure, Input, Locator, Origin, Source, Spread, Stated, Unit,
};
use record::{Dossier, Evidence, Instrument, Item, Place, Reading, ReadingSubject};
use std::collections::HashMap;

/// Returns the unit with a symbol that the methods themselves use (`g`, `Wh`, `mA`).
pub fn unit(symbol: &str) -> Unit {
    Unit::parse(symbol).expect("the methods only name units that the quantity crate knows")
}

/// Returns one hour, to turn a rate per hour into a current.
pub(crate) fn hour() -> Input {
    let source = Source {
        origin: Origin::Standard,
        evidence: Vec::new(),
        note: String::new(),
    };
    Input::exact("one hour", 1.0, unit("h"), source)
}

/// Returns the readings of one property of one item, in the order of the record.
pub fn readings_of<'d>(
    dossier: &'d Dossier,
    item: &'d str,
    what: ReadingSubject,
) -> impl Iterator<Item = &'d Reading> {
    dossier
        .readings
        .iter()
        .filter(move |r| r.item == item && r.what == what)
}

/// Returns what the reading's instrument can tell apart and how far it may be off, in SI; `None`
/// where no instrument is named or nothing is known of it.
pub fn accuracy(dossier: &Dossier, reading: &Reading) -> Option<Accuracy> {
    reading_accuracy(instrument(dossier, reading), reading)
}

/// Returns the instrument that a reading was taken with.
fn instrument<'d>(dossier: &'d Dossier, reading: &Reading) -> Option<&'d Instrument> {
    dossier.instrument(reading.instrument.as_deref()?)
}

/// As [`accuracy_of`], for the instrument with an id.
pub fn instrument_accuracy(
    dossier: &Dossier,
    instrument: &str,
    dimension: Dimension,
) -> Option<Accuracy> {
    accuracy_of(dossier.instrument(instrument)?, dimension)
}

/// Returns the accuracy of an instrument for quantities of `dimension`, in SI. Figures of another
/// dimension are not used; a limit of error in % is a fraction of the reading.
pub fn accuracy_of(instrument: &Instrument, dimension: Dimension) -> Option<Accuracy> {
    // Differences: a resolution of 0.1 °C is 0.1 K, not 273.25 K.
    let width = |s: &Stated| s.value * s.unit.factor();
    let fits = |s: &&Stated| s.dimension() == dimension;
    let limit = instrument.accuracy.as_ref();
    let found = Accuracy {
        resolution: instrument.resolution.as_ref().filter(fits).map(width),
        absolute: limit.filter(fits).map(width),
        relative: limit
            .filter(|s| s.dimension().is_none() && !dimension.is_none())
            .map(Stated::si),
    };
    (found != Accuracy::default()).then_some(found)
}

/// Returns the places a reading rests on: `reading:ID`, then where it is seen.
pub fn reading_evidence(reading: &Reading) -> Vec<Place> {
    seen(Place::reading(&reading.id), &reading.evidence)
}

/// Returns a place and, behind it, where what stands there is seen.
pub fn seen(place: Place, evidence: &[Evidence]) -> Vec<Place> {
    let evidence = evidence.iter().map(Place::from);
    std::iter::once(place).chain(evidence).collect()
}

/// Returns places as a derivation keeps them.
pub fn locators(places: &[Place]) -> Vec<Locator> {
    places.iter().map(Locator::from).collect()
}

/// Returns the places that a derivation kept.
pub fn places(locators: &[Locator]) -> impl Iterator<Item = Place> {
    locators.iter().map(Place::from)
}

/// Makes an input from a reading: spread as written, or else the instrument's resolution and limit
/// of error. The value is the one on the display, for all `pieces` together.
pub fn reading_input(dossier: &Dossier, reading: &Reading, name: &str) -> Input {
    input_read_on(instrument(dossier, reading), reading, name)
}

/// As [`reading_input`], with the instrument that it was taken with: less the tare, and with the
/// repeatability of the instrument.
pub fn input_read_on(instrument: Option<&Instrument>, reading: &Reading, name: &str) -> Input {
    let mut note = match instrument {
        Some(instrument) => format!("read on {}", instrument.name),
        None => "instrument not stated".to_string(),
    };
    let mut value = reading.value.clone();
    let mut more = Vec::new();
    if let Some(tare) = taken_off(reading) {
        value.value -= tare.si() / value.unit.factor();
        let own = Input::stated("tare", tare, None, source(Vec::new()));
        more.push(own.distribution.sd());
        note.push_str(&format!(", {} less {tare}", reading.value));
    }
    if value.spread == Spread::None {
        more.extend(instrument.and_then(|i| repeatability(i, reading)));
    }
    if limit_is_assumed(instrument, reading) {
        note.push_str(&format!(
            ", limit of error {} assumed",
            assumed::SCALE_DIGITS.text()
        ));
    }
    let places = Source {
        note,
        ..source(locators(&reading_evidence(reading)))
    };
    let input = Input::stated(name, &value, reading_accuracy(instrument, reading), places);
    more.retain(|sd| *sd > 0.0);
    if more.is_empty() {
        return input;
    }
    let squares: f64 = more.iter().map(|sd| sd * sd).sum();
    let law = Distribution::Normal {
        mean: input.distribution.mean(),
        sd: (input.distribution.sd().powi(2) + squares).sqrt(),
    };
    Input::distributed(name, law, input.unit, input.source)
}

fn source(evidence: Vec<Locator>) -> Source {
    Source {
        origin: Origin::Measured,
        evidence,
        note: String::new(),
    }
}

/// Returns what is to be taken off the value of a reading, where that leaves something.
fn taken_off(reading: &Reading) -> Option<&Stated> {
    let tare = reading.tare.as_ref()?;
    let fits = tare.dimension() == reading.value.dimension();
    let leaves = reading.what != ReadingSubject::Mass || tare.si() < reading.value.si();
    (fits && leaves).then_some(tare)
}

/// Returns whether the tare of a reading leaves nothing of its value.
pub fn tare_is_impossible(reading: &Reading) -> bool {
    reading.tare.is_some() && taken_off(reading).is_none()
}

/// Returns the standard deviation of repeated readings, SI.
fn repeatability(instrument: &Instrument, reading: &Reading) -> Option<f64> {
    let stated = instrument.repeatability.as_ref()?;
    if stated.dimension().is_none() && !reading.value.dimension().is_none() {
        return Some(stated.si().abs() * reading.value.si().abs());
    }
    let fits = stated.dimension() == reading.value.dimension();
    fits.then(|| stated.value.abs() * stated.unit.factor())
}

/// Returns whether the limit of error of a reading is assumed: it is a mass, and neither the reading nor
/// its instrument says how far it may be off.
pub fn limit_is_assumed(instrument: Option<&Instrument>, reading: &Reading) -> bool {
    let dimension = reading.value.dimension();
    let stated = instrument.and_then(|i| accuracy_of(i, dimension));
    dimension == Dimension::MASS
        && reading.value.spread == Spread::None
        && stated.is_none_or(|a| a.absolute.is_none() && a.relative.is_none())
}

/// Returns what the instrument of a reading can tell apart and how far it may be off, in SI: of a scale that
/// does not say, some digits of its display.
fn reading_accuracy(instrument: Option<&Instrument>, reading: &Reading) -> Option<Accuracy> {
    let stated = instrument.and_then(|i| accuracy_of(i, reading.value.dimension()));
    if !limit_is_assumed(instrument, reading) {
        return stated;
    }
    let own = reading.value.last_digit.abs() * reading.value.unit.factor();
    let digit = stated.and_then(|a| a.resolution).unwrap_or(own);
    Some(Accuracy {
        resolution: Some(digit),
        absolute: Some(assumed::SCALE_DIGITS.number() * digit),
        relative: None,
    })
}

/// Returns the places an item rests on: the item, its evidence, the evidence of its identity.
pub fn item_evidence(item: &Item) -> Vec<Place> {
    let identity = item.part.as_ref().and_then(|p| p.identity.as_ref());
    let seen = item
        .evidence
        .iter()
        .chain(identity.into_iter().flat_map(|i| &i.evidence));
    let own = std::iter::once(Place::item(&item.id));
    let places: Distinct<Place> = own.chain(seen.map(Place::from)).collect();
    places.into_vec()
}

/// Makes an input from a figure that stands in the record at `place` (`items.cell.capacity`).
pub fn stated_input(
    name: &str,
    stated: &Stated,
    origin: Origin,
    place: Place,
    evidence: &[Evidence],
) -> Input {
    let source = Source {
        origin,
        evidence: locators(&seen(place, evidence)),
        note: String::new(),
    };
    Input::stated(name, stated, None, source)
}

/// Returns the standard uncertainty that a reading shares with all others of its instrument, in SI: the
/// common part of a constant limit of error, as a rectangular half-width. A limit in % is each reading's own:
/// it bounds the error at every load, and does not say that the errors are one factor. Zero where the value
/// is written with its own spread, because then that spread is all that is known.
pub fn shared_uncertainty(dossier: &Dossier, reading: &Reading) -> f64 {
    if reading.value.spread != Spread::None {
        return 0.0;
    }
    let Some(accuracy) = accuracy(dossier, reading) else {
        return 0.0;
    };
    let constant = accuracy.absolute.unwrap_or(0.0);
    (assumed::COMMON_PART.number() * constant * constant / 3.0).sqrt()
}

/// Returns the part of the standard uncertainty of a reading that it shares with all others of its
/// instrument, 0 to 1.
fn share(dossier: &Dossier, reading: &Reading) -> f64 {
    let total = reading_input(dossier, reading, "reading").distribution.sd();
    if total > 0.0 {
        (shared_uncertainty(dossier, reading) / total).min(1.0)
    } else {
        0.0
    }
}

/// How readings are correlated: as stated in the record, or else by the share of the common limit of
/// error if both were taken with the same instrument.
#[derive(Debug, Clone)]
pub struct Correlations<'d> {
    stated: HashMap<[&'d str; 2], f64>,
    shares: HashMap<&'d str, f64>,
}

impl<'d> Correlations<'d> {
    /// Works out the share of each of some readings.
    pub fn of(dossier: &'d Dossier, readings: impl IntoIterator<Item = &'d Reading>) -> Self {
        let mut stated = HashMap::new();
        for correlation in &dossier.correlations {
            let [a, b] = &correlation.between;
            let key = [a.as_str().min(b), a.as_str().max(b)];
            stated
                .entry(key)
                .or_insert(correlation.coefficient.clamp(-1.0, 1.0));
        }
        let shares = readings
            .into_iter()
            .map(|r| (r.id.as_str(), share(dossier, r)))
            .collect();
        Self { stated, shares }
    }

    /// Returns the correlation coefficient of two of the readings.
    pub fn between(&self, a: &Reading, b: &Reading) -> f64 {
        let (x, y) = (a.id.as_str(), b.id.as_str());
        if x == y {
            return 1.0;
        }
        if let Some(stated) = self.stated.get(&[x.min(y), x.max(y)]) {
            return *stated;
        }
        if a.instrument.is_none() || a.instrument != b.instrument {
            return 0.0;
        }
        let share = |id: &str| self.shares.get(id).copied().unwrap_or(0.0);
        share(x) * share(y)
    }
}

/// Returns every place that the inputs of a figure name, each once, in order.
pub fn figure_evidence(figure: &Figure) -> Vec<Place> {
    let all = figure.inputs.iter().flat_map(|i| &i.source.evidence);
    let each: Distinct<&Locator> = all.collect();
    let places: Distinct<Place> = each.into_iter().map(Place::from).collect();
    places.into_vec()
}

/// Rounds away the noise of binary products for print: five significant digits.
pub fn tidy(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let scale = 10_f64.powf(5.0 - value.abs().log10().ceil());
    (value * scale).round() / scale
}
