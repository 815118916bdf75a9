//! Measures as terms of one sheet. Those of one photograph share its doubt, those of one thing its points.

use super::{Side, Sight, Taken};
use imaging::geometry::{OnSheet, Spot};
use quantity::{Sheet, Term};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// A sheet with the photographs that measures on it were taken from.
pub struct Desk<'s> {
    sheet: &'s Sheet,
    planes: RefCell<BTreeMap<String, Rc<OnSheet<'s>>>>,
    spots: RefCell<BTreeMap<String, Rc<[Spot<'s>]>>>,
}

impl<'s> Desk<'s> {
    /// Starts with no photograph on the sheet.
    pub fn new(sheet: &'s Sheet) -> Self {
        Self {
            sheet,
            planes: RefCell::default(),
            spots: RefCell::default(),
        }
    }

    /// Returns one side of a thing measured on a photograph as a term.
    ///
    /// # Errors
    /// Why it has no answer.
    pub fn term(
        &self,
        photo: &str,
        sight: &Sight,
        taken: &Taken<'_>,
        side: &Side,
    ) -> Result<Term<'s>, String> {
        let on = self.on(photo, sight);
        let spots = self.spots(&on, photo, taken)?;
        let name = format!("{} of {}", side.name, taken.name);
        on.measure(&name, &side.measure, &spots)
            .map_err(|e| e.to_string())
    }

    fn on(&self, photo: &str, sight: &Sight) -> Rc<OnSheet<'s>> {
        let mut planes = self.planes.borrow_mut();
        let on = planes
            .entry(photo.to_string())
            .or_insert_with(|| Rc::new(sight.plane.on(self.sheet, &[format!("photo:{photo}")])));
        Rc::clone(on)
    }

    fn spots(
        &self,
        on: &OnSheet<'s>,
        photo: &str,
        taken: &Taken<'_>,
    ) -> Result<Rc<[Spot<'s>]>, String> {
        let key = format!("{photo} {}", taken.evidence.join(" "));
        if let Some(known) = self.spots.borrow().get(&key) {
            return Ok(Rc::clone(known));
        }
        let lifted = taken
            .lift
            .as_ref()
            .map(|lift| on.lift(lift))
            .transpose()
            .map_err(|e| e.to_string())?;
        let mut spots = Vec::new();
        for (n, click) in taken.clicks.iter().enumerate() {
            let name = format!("point {}", n + 1);
            let spot = on
                .spot_seen(&name, *click, &taken.evidence)
                .map_err(|e| e.to_string())?;
            spots.push(match lifted {
                Some(lifted) => on.raised(&name, spot, lifted),
                None => spot,
            });
        }
        let spots: Rc<[Spot<'s>]> = spots.into();
        self.spots.borrow_mut().insert(key, Rc::clone(&spots));
        Ok(spots)
    }
}
