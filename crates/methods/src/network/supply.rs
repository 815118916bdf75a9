//! What is printed, or else known, about the supply of a path.
//!
//! In: a contact or cell that power comes from. Out: its ratings, and the one used as supply.
//! Not here: following the path.

use super::chain::Supply;
use super::stage::cell_voltage;
use crate::Case;
use crate::assumed;
use crate::cells::is_cell;
use crate::ledger::Ledger;
use quantity::{Dimension, Origin, Rating, Sheet, Stated};
use record::{Contact, ContactKind, Item, Place};

/// One electrical rating with where it is printed.
#[derive(Debug, Clone)]
pub(crate) struct Printed {
    pub(crate) rating: Rating,
    /// In words ("label bottom").
    pub(crate) by: String,
    /// Where that stands.
    pub(crate) place: Place,
}

impl Printed {
    /// Returns the printed power, or volts × amperes, in W.
    pub(crate) fn watts(&self) -> Option<f64> {
        let product =
            || Some(self.rating.voltage.as_ref()?.si() * self.rating.current.as_ref()?.si());
        self.rating.power.as_ref().map(Stated::si).or_else(product)
    }
    /// Makes the supply terms of this rating.
    pub(crate) fn supply<'s>(
        &self,
        sheet: &'s Sheet,
        contact: &Item,
        ledger: &mut Ledger,
    ) -> Supply<'s> {
        let mut term = |stated: &Option<Stated>, dimension: Dimension, word: &str| {
            let name = format!("rated {word} of {}", contact.name);
            ledger.nominal(
                sheet,
                name,
                stated.as_ref()?,
                dimension,
                Origin::Label,
                self.place.clone(),
            )
        };
        Supply {
            volts: term(&self.rating.voltage, Dimension::VOLTAGE, "voltage"),
            amps: term(&self.rating.current, Dimension::CURRENT, "current"),
            watts: term(&self.rating.power, Dimension::POWER, "power"),
        }
    }
}

/// Returns what is printed about the input of a contact: its own rating, labels, claims.
pub(crate) fn ratings(case: &Case<'_>, contact: &Item) -> Vec<Printed> {
    let own = contact
        .contact
        .iter()
        .filter_map(|c: &Contact| c.rating.clone())
        .map(|rating| Printed {
            rating,
            by: format!("rating of {}", contact.name),
            place: Place::item(&contact.id).at("contact.rating"),
        });
    let labels = case.dossier.product.labels.iter().filter_map(|label| {
        let rating = label
            .input
            .clone()
            .filter(|_| label.contact.as_deref() == Some(contact.id.as_str()))?;
        Some(Printed {
            rating,
            by: label.place.clone(),
            place: Place::label(&label.id),
        })
    });
    let claims = case.lookup().input_claims(&contact.id).iter();
    let claims = claims.filter_map(|claim| {
        let rating = claim.rating.clone()?;
        Some(Printed {
            rating,
            by: claim.printed.clone(),
            place: Place::claim(&claim.id),
        })
    });
    own.chain(labels).chain(claims).collect()
}

/// Returns the rating with the most power; the first of equals.
pub(crate) fn strongest(ratings: &[Printed]) -> Option<&Printed> {
    ratings.iter().rev().max_by(|a, b| {
        let size = |p: &Printed| {
            p.watts()
                .or_else(|| p.rating.voltage.as_ref().map(Stated::si))
                .unwrap_or(0.0)
        };
        size(a).total_cmp(&size(b))
    })
}

/// Makes the supply at the start of a path: the strongest rating, the cell's own voltage, what the
/// links before it say, or the default of a socket.
pub(crate) fn supply_at<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    start: &Item,
    ledger: &mut Ledger,
) -> Supply<'s> {
    if is_cell(start) {
        return Supply {
            volts: Some(cell_voltage(sheet, start, ledger)),
            ..Supply::default()
        };
    }
    let ratings = ratings(case, start);
    let mut supply =
        strongest(&ratings).map_or_else(Supply::default, |p| p.supply(sheet, start, ledger));
    if supply.volts.is_none() {
        supply.volts = upstream_volts(sheet, case, start, ledger);
    }
    let socket = start
        .contact
        .as_ref()
        .is_some_and(|c| c.kind == ContactKind::Socket);
    if supply.volts.is_none()
        && socket
        && case
            .network()
            .after(start)
            .all(|(_, l)| l.voltage.is_none())
    {
        let row = &assumed::SOCKET_VOLTAGE;
        let why = format!(
            "supply at {}: {} assumed because nothing is printed; state `contact.rating` of {} to change it",
            start.name,
            row.text(),
            start.id
        );
        let name = format!("default voltage at {}", start.name);
        supply.volts = Some(ledger.laid_down(sheet, name, row, why));
    }
    supply
}

/// Looks back along the links for a stated voltage, as far as the last converter.
fn upstream_volts<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    start: &Item,
    ledger: &mut Ledger,
) -> Option<quantity::Term<'s>> {
    let mut at = start;
    for _ in 0..case.dossier.items.len() {
        let (before, link) = case.network().before(at).next()?;
        let name = format!("voltage at {}", start.name);
        if let Some(stated) = &link.voltage {
            let place = case.link_place(link).at("voltage");
            return ledger.fact(
                sheet,
                name,
                stated,
                Dimension::VOLTAGE,
                Origin::Measured,
                place,
            );
        }
        if let Some(stated) = before
            .converts
            .as_ref()
            .and_then(|c| c.output_voltage.as_ref())
        {
            let place = Place::item(&before.id).at("converts.output-voltage");
            return ledger.fact(
                sheet,
                name,
                stated,
                Dimension::VOLTAGE,
                Origin::DataSheet,
                place,
            );
        }
        if is_cell(before) {
            return Some(cell_voltage(sheet, before, ledger));
        }
        at = before;
    }
    None
}
