//! The size of an item: read on an instrument, measured on a photograph, or stated with it, in this order.
//!
//! In: a dossier's sizes ([`Sources`]), an item, the name of a size. Out: an input on its own, or a term of a sheet on which the
//! sizes of one photograph share its doubt. Not here: what sizes mean.

use crate::inputs::{self, unit};
use crate::photogrammetry::{MeasurementSheet, Photographs};
use quantity::{Dimension, Distribution, Input, Origin, Sheet, Source, Stated, Term};
use record::{Dossier, Item, MeasureSubject, PhotoMeasure, Place, Reading, ReadingSubject};
use std::collections::HashMap;

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

/// Whether a reading is one of a size.
fn is_size(what: ReadingSubject) -> bool {
    use ReadingSubject as R;
    matches!(
        what,
        R::Length | R::Width | R::Height | R::Thickness | R::Diameter
    )
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

/// Where the sizes of a dossier are from: its readings and photographs, looked up without a search.
#[derive(Debug)]
pub struct Sources<'d> {
    dossier: &'d Dossier,
    photographs: Photographs<'d>,
    /// Readings of sizes by item, in the order of the record.
    readings: HashMap<&'d str, Vec<&'d Reading>>,
}

impl<'d> Sources<'d> {
    /// Sorts what a dossier records of sizes.
    pub fn of(dossier: &'d Dossier) -> Self {
        let mut readings: HashMap<&str, Vec<&Reading>> = HashMap::new();
        for reading in dossier.readings.iter().filter(|r| is_size(r.what)) {
            readings.entry(&reading.item).or_default().push(reading);
        }
        Self {
            dossier,
            photographs: Photographs::of(dossier),
            readings,
        }
    }

    /// Returns the photographs.
    pub fn photographs(&self) -> &Photographs<'d> {
        &self.photographs
    }

    /// Returns where the size of an item is from; `None` where nothing is recorded of it.
    pub fn source(&self, item: &'d Item, name: &str) -> Option<From<'d>> {
        let what = subject(name)?;
        let usable =
            |s: &Stated| s.dimension() == Dimension::LENGTH && s.si().is_finite() && s.si() > 0.0;
        let mut measures = self.photographs.of_item(&item.id).iter();
        self.readings(item, what)
            .find(|r| usable(&r.value))
            .map(From::Reading)
            .or_else(|| {
                let measure = measures.find(|m| m.what.sizes().contains(&what))?;
                Some(From::Measure(measure))
            })
            .or_else(|| item.size.get(name).filter(|s| usable(s)).map(From::Stated))
    }

    fn readings(
        &self,
        item: &Item,
        what: ReadingSubject,
    ) -> impl Iterator<Item = &'d Reading> + use<'_, 'd> {
        let found = self.readings.get(item.id.as_str());
        let all = found.map_or(&[][..], Vec::as_slice).iter().copied();
        all.filter(move |r| r.what == what)
    }

    /// Returns the pitch of a row on an item, mm, as measured on a photograph.
    pub fn pitch_mm(&self, item: &Item) -> Option<f64> {
        let mut measures = self.photographs.of_item(&item.id).iter();
        let measure = measures.find(|m| m.what == MeasureSubject::Pitch)?;
        let (_, _, side) = self.photographs.measured(measure, "pitch")?;
        Some(side.found.value)
    }

    /// Returns the size as an input of its own; `None` where nothing usable is recorded of it.
    pub fn input(&self, item: &'d Item, name: &str) -> Option<Input> {
        let label = format!("{name} of {}", item.name);
        match self.source(item, name)? {
            From::Reading(reading) => Some(inputs::reading_input(self.dossier, reading, &label)),
            From::Measure(measure) => {
                let (_, taken, side) = self.photographs.measured(measure, name)?;
                let law = Distribution::Normal {
                    mean: side.found.value * 1e-3,
                    sd: side.found.uncertainty * 1e-3,
                };
                let source = Source {
                    origin: Origin::Measured,
                    evidence: inputs::locators(&taken.evidence),
                    note: "measured on a photograph".to_string(),
                };
                Some(Input::distributed(label, law, unit("mm"), source))
            }
            From::Stated(stated) => Some(stated_input(item, name, stated)),
        }
    }

    /// Returns the size that is recorded without any photograph: read on an instrument or stated with the
    /// item.
    pub fn recorded(&self, item: &Item, name: &str) -> Option<Input> {
        let label = format!("{name} of {}", item.name);
        if let Some(reading) = self.readings(item, subject(name)?).next() {
            return Some(inputs::reading_input(self.dossier, reading, &label));
        }
        Some(stated_input(item, name, item.size.get(name)?))
    }
}

fn stated_input(item: &Item, name: &str, stated: &Stated) -> Input {
    let label = format!("{name} of {}", item.name);
    let place = Place::item(&item.id).at("size").at_key(name);
    inputs::stated_input(&label, stated, Origin::Measured, place, &item.evidence)
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
    pub evidence: Vec<Place>,
}

/// Sizes of items on one sheet.
pub struct Sizes<'s, 'c, 'd> {
    sheet: &'s Sheet,
    sources: &'c Sources<'d>,
    desk: MeasurementSheet<'s>,
}

impl<'s, 'c, 'd> Sizes<'s, 'c, 'd> {
    /// Starts with nothing on the sheet.
    pub fn new(sheet: &'s Sheet, sources: &'c Sources<'d>) -> Self {
        Self {
            sheet,
            sources,
            desk: MeasurementSheet::new(sheet),
        }
    }

    /// Returns where the size of an item is from; `None` where nothing usable is recorded of it.
    pub fn source(&self, item: &'d Item, name: &str) -> Option<From<'d>> {
        self.sources.source(item, name)
    }

    /// Returns the size of an item as a term; `None` where nothing usable is recorded of it.
    pub fn of(&self, item: &'d Item, name: &str) -> Option<Size<'s, 'd>> {
        let from = self.source(item, name)?;
        if let From::Measure(measure) = from {
            let (seen, taken, side) = self.sources.photographs.measured(measure, name)?;
            let terms = self
                .desk
                .terms(&measure.photo, &seen.photo_plane, taken)
                .ok()?;
            let term = terms.iter().zip(&taken.sides).find(|(_, s)| s.name == name);
            return Some(Size {
                term: *term?.0,
                si: side.found.value * 1e-3,
                from,
                evidence: taken.evidence.clone(),
            });
        }
        let input = self.sources.input(item, name)?;
        let si = input.distribution.mean();
        let evidence = inputs::places(&input.source.evidence).collect();
        Some(Size {
            term: self.sheet.input(input),
            si,
            from,
            evidence,
        })
    }
}
