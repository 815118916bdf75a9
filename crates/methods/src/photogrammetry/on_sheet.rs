//! Measures as terms of one sheet. Those of one photograph share its doubt, those of one thing its points.

use super::{Measurement, PhotoPlane};
use crate::inputs::locators;
use imaging::geometry::PlaneOnSheet;
use quantity::{Sheet, Term};
use record::Place;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// A sheet with the photographs that measures on it were taken from.
pub struct MeasurementSheet<'s> {
    sheet: &'s Sheet,
    planes: RefCell<BTreeMap<String, Rc<PlaneOnSheet<'s>>>>,
    /// By the places that the things are measured at.
    things: RefCell<BTreeMap<Vec<Place>, Rc<[Term<'s>]>>>,
}

impl<'s> MeasurementSheet<'s> {
    /// Starts with no photograph on the sheet.
    pub fn new(sheet: &'s Sheet) -> Self {
        Self {
            sheet,
            planes: RefCell::default(),
            things: RefCell::default(),
        }
    }

    /// Returns every side of a thing measured on a photograph as a term, in the order of `taken.sides`.
    ///
    /// # Errors
    /// Why it has no answer.
    pub fn terms(
        &self,
        photo: &str,
        photo_plane: &PhotoPlane,
        taken: &Measurement<'_>,
    ) -> Result<Rc<[Term<'s>]>, String> {
        if let Some(known) = self.things.borrow().get(&taken.evidence) {
            return Ok(Rc::clone(known));
        }
        let on = self.on(photo, photo_plane);
        let marks = on
            .marks(&taken.clicks, Some(&taken.lift), &locators(&taken.evidence))
            .map_err(|e| e.to_string())?;
        let wanted: Vec<_> = taken
            .sides
            .iter()
            .map(|s| (format!("{} of {}", s.name, taken.name), &s.measure, s.found))
            .collect();
        let terms = on.measure(&marks, &wanted).map_err(|e| e.to_string())?;
        let terms: Rc<[Term<'s>]> = terms.into();
        let place = taken.evidence.clone();
        self.things.borrow_mut().insert(place, Rc::clone(&terms));
        Ok(terms)
    }

    fn on(&self, photo: &str, photo_plane: &PhotoPlane) -> Rc<PlaneOnSheet<'s>> {
        let mut planes = self.planes.borrow_mut();
        let on = planes.entry(photo.to_string()).or_insert_with(|| {
            let place = (&Place::photo(photo)).into();
            Rc::new(photo_plane.plane.on(self.sheet, &[place]))
        });
        Rc::clone(on)
    }
}
