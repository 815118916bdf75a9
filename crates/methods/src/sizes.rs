//! The size of an item: read on an instrument, measured on a photograph, or stated with it, in this order.
//!
//! In: a dossier, an item, the name of a size. Out: an input on its own, or a term of a sheet on which the
//! sizes of one photograph share its doubt. Not here: what sizes mean.

use crate::basis::{self, unit};
use crate::sight::{Desk, Side, Sight, Taken};
use quantity::{Dimension, Distribution, Input, Origin, Sheet, Source, Stated, Term};
use record::{Dossier, Item, MeasureSubject, PhotoMeasure, Reading, ReadingSubject};

/// Where a size is from.
#[derive(Debug, Clone, Copy)]
pub enum From<'d> {
    /// Read on an instrument.
    Reading(&'d Reading),
    /// Measured on a photograph.
    Measure(&'d PhotoMeasure),
    /// Stated with the item.
    Stated(&'d Stated),
}

/// Returns the subject of a size by its name (`length`).
pub fn subject(name: &str) -> Option<ReadingSubject> {
    Some(match name {
        "length" => ReadingSubject::Length,
        "width" => ReadingSubject::Width,
        "height" => ReadingSubject::Height,
        "thickness" => ReadingSubject::Thickness,
        "diameter" => ReadingSubject::Diameter,
        _ => return None,
    })
}

/// Returns where the size of an item is from; `None` where nothing is recorded of it.
pub fn source<'d>(dossier: &'d Dossier, item: &'d Item, name: &str) -> Option<From<'d>> {
    let what = subject(name)?;
    let usable =
        |s: &Stated| s.dimension() == Dimension::LENGTH && s.si().is_finite() && s.si() > 0.0;
    basis::readings_of(dossier, &item.id, what)
        .find(|r| usable(&r.value))
        .map(From::Reading)
        .or_else(|| measure_of(dossier, &item.id, what).map(From::Measure))
        .or_else(|| item.size.get(name).filter(|s| usable(s)).map(From::Stated))
}

/// Returns the measure in force that gives a size of an item.
fn measure_of<'d>(
    dossier: &'d Dossier,
    item: &str,
    what: ReadingSubject,
) -> Option<&'d PhotoMeasure> {
    dossier
        .current_measures()
        .find(|m| m.item.as_deref() == Some(item) && m.what.sizes().contains(&what))
}

/// Returns the pitch of a row on an item, mm, as measured on a photograph.
pub fn pitch_mm(dossier: &Dossier, item: &Item) -> Option<f64> {
    let measure = dossier
        .current_measures()
        .find(|m| m.item.as_deref() == Some(item.id.as_str()) && m.what == MeasureSubject::Pitch)?;
    let (_, _, side) = measured(dossier, measure, "pitch")?;
    Some(side.found.value)
}

/// Returns the size as an input of its own; `None` where nothing usable is recorded of it.
pub fn input(dossier: &Dossier, item: &Item, name: &str) -> Option<Input> {
    let label = format!("{name} of {}", item.name);
    match source(dossier, item, name)? {
        From::Reading(reading) => Some(basis::reading_input(dossier, reading, &label)),
        From::Measure(measure) => {
            let (_, taken, side) = measured(dossier, measure, name)?;
            let law = Distribution::Normal {
                mean: side.found.value * 1e-3,
                sd: side.found.uncertainty * 1e-3,
            };
            let source = Source {
                origin: Origin::Measured,
                evidence: taken.evidence,
                note: "measured on a photograph".to_string(),
            };
            Some(Input::distributed(label, law, unit("mm"), source))
        }
        From::Stated(stated) => Some(stated_input(item, name, stated)),
    }
}

/// Returns the size that is recorded without any photograph: read on an instrument or stated with the item.
pub fn recorded(dossier: &Dossier, item: &Item, name: &str) -> Option<Input> {
    let label = format!("{name} of {}", item.name);
    if let Some(reading) = basis::readings_of(dossier, &item.id, subject(name)?).next() {
        return Some(basis::reading_input(dossier, reading, &label));
    }
    Some(stated_input(item, name, item.size.get(name)?))
}

fn stated_input(item: &Item, name: &str, stated: &Stated) -> Input {
    let label = format!("{name} of {}", item.name);
    let path = format!("items.{}.size.{name}", item.id);
    basis::stated_input(&label, stated, Origin::Measured, &path, &item.evidence)
}

/// A size on a sheet.
pub struct Size<'s, 'd> {
    /// The size.
    pub term: Term<'s>,
    /// Its value, m.
    pub si: f64,
    /// Where it is from.
    pub from: From<'d>,
    /// Places in the record.
    pub evidence: Vec<String>,
}

/// Sizes of items on one sheet.
pub struct Sizes<'s, 'd> {
    sheet: &'s Sheet,
    dossier: &'d Dossier,
    desk: Desk<'s>,
}

impl<'s, 'd> Sizes<'s, 'd> {
    /// Starts with nothing on the sheet.
    pub fn new(sheet: &'s Sheet, dossier: &'d Dossier) -> Self {
        Self {
            sheet,
            dossier,
            desk: Desk::new(sheet),
        }
    }

    /// Returns where the size of an item is from; `None` where nothing usable is recorded of it.
    pub fn source(&self, item: &'d Item, name: &str) -> Option<From<'d>> {
        source(self.dossier, item, name)
    }

    /// Returns the size of an item as a term; `None` where nothing usable is recorded of it.
    pub fn of(&self, item: &'d Item, name: &str) -> Option<Size<'s, 'd>> {
        let dossier = self.dossier;
        let from = source(dossier, item, name)?;
        if let From::Measure(measure) = from {
            let (sight, taken, side) = measured(dossier, measure, name)?;
            let term = self.desk.term(&measure.photo, &sight, &taken, &side).ok()?;
            return Some(Size {
                term,
                si: side.found.value * 1e-3,
                from,
                evidence: taken.evidence,
            });
        }
        let input = input(dossier, item, name)?;
        let (si, evidence) = (input.distribution.mean(), input.source.evidence.clone());
        Some(Size {
            term: self.sheet.input(input),
            si,
            from,
            evidence,
        })
    }
}

/// Works out the side of a measure that has a name.
fn measured<'d>(
    dossier: &'d Dossier,
    measure: &'d PhotoMeasure,
    name: &str,
) -> Option<(Sight, Taken<'d>, Side)> {
    let sight = Sight::of(dossier.photo(&measure.photo)?).ok()?;
    let taken = Taken::of(dossier, measure, &sight).ok()?;
    let side = taken.sides.iter().find(|s| s.name == name)?.clone();
    Some((sight, taken, side))
}
