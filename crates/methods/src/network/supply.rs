//! What is printed, or else known, about the supply of a path.
//!
//! In: a contact or cell that power comes from. Out: its ratings; what it may offer, one entry for each
//! alternative of the strongest rating. A claim on the box is no supply.
//! Not here: following the path.

use super::chain::Supply;
use super::stage::cell_voltage;
use crate::Case;
use crate::assumed;
use crate::cells::is_cell;
use crate::grounds::Grounds;
use quantity::{Choice, Dimension, Origin, Rating, Sheet, Spread, Stated, Term};
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
    /// Makes the supply terms of one alternative; of a range the upper end, which allows the most.
    pub(crate) fn supply<'s>(
        &self,
        sheet: &'s Sheet,
        contact: &Item,
        choice: &Choice,
        grounds: &mut Grounds,
    ) -> Supply<'s> {
        let mut term = |stated: Option<&Stated>, dimension: Dimension, word: &str| {
            let name = format!("rated {word} of {}", contact.name);
            let top = upper_end(stated?);
            let place = self.place.clone();
            grounds.nominal(sheet, name, &top, dimension, Origin::Label, place)
        };
        let volts = choice.voltage.as_ref();
        let amps = choice.current.as_ref();
        // Beside one voltage and its current, watts may be a second figure; only where the voltage is a
        // range, or the watts stand for several alternatives, do they limit.
        let ranges = volts.is_some_and(|v| matches!(v.spread, Spread::Range { .. }));
        let watts = choice
            .power
            .as_ref()
            .filter(|_| ranges || amps.is_none())
            .or(self.rating.total.as_ref());
        let shared = contact
            .contact
            .as_ref()
            .and_then(|c| c.shared_limit.as_ref());
        Supply {
            volts: term(volts, Dimension::VOLTAGE, "voltage"),
            amps: term(amps, Dimension::CURRENT, "current"),
            watts: term(watts, Dimension::POWER, "power"),
            shared: term(shared, Dimension::POWER, "shared power"),
        }
    }
}

/// Returns a figure at its upper end.
fn upper_end(stated: &Stated) -> Stated {
    let mut top = stated.clone();
    top.value = stated.high_si() / stated.unit.factor();
    top
}

/// Returns what is printed on the product about the input of a contact: its own rating, labels.
pub(crate) fn ratings(case: &Case<'_>, contact: &Item) -> Vec<Printed> {
    let own = contact
        .contact
        .iter()
        .filter_map(|c: &Contact| c.rating.clone())
        .map(|rating| Printed {
            rating,
            by: format!("rating of {}", crate::words::the(contact)),
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
    own.chain(labels).collect()
}

/// As [`ratings`], with what the maker claims about the contact.
pub(crate) fn ratings_and_claims(case: &Case<'_>, contact: &Item) -> Vec<Printed> {
    let claims = case.lookup().input_claims(&contact.id).iter();
    let claims = claims.filter_map(|claim| {
        let rating = claim.rating.clone()?;
        Some(Printed {
            rating,
            by: claim.printed.clone(),
            place: Place::claim(&claim.id),
        })
    });
    ratings(case, contact).into_iter().chain(claims).collect()
}

/// Returns the rating with the most power; the first of equals.
pub(crate) fn strongest(ratings: &[Printed]) -> Option<&Printed> {
    ratings.iter().rev().max_by(|a, b| {
        let size = |p: &Printed| {
            p.rating
                .greatest_power()
                .or_else(|| p.rating.highest_voltage().map(Stated::si))
                .unwrap_or(0.0)
        };
        size(a).total_cmp(&size(b))
    })
}

/// Makes the supplies that the start of a path may offer, one at a time: the alternatives of the strongest
/// rating, the cell's own voltage, what the links before it say, or the default of a socket.
pub(crate) fn offers<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    start: &Item,
) -> Vec<(Supply<'s>, Grounds)> {
    let mut grounds = Grounds::default();
    if is_cell(start) {
        let supply = Supply {
            volts: Some(cell_voltage(sheet, start, &mut grounds)),
            ..Supply::default()
        };
        return vec![(supply, grounds)];
    }
    let ratings = ratings(case, start);
    let Some(printed) = strongest(&ratings) else {
        let supply = completed(sheet, case, start, Supply::default(), &mut grounds);
        return vec![(supply, grounds)];
    };
    let choices = printed.rating.choices.iter();
    choices
        .map(|choice| {
            let mut grounds = Grounds::default();
            let supply = printed.supply(sheet, start, choice, &mut grounds);
            let supply = completed(sheet, case, start, supply, &mut grounds);
            (supply, grounds)
        })
        .collect()
}

/// Gives a supply without a voltage the one that is known or the default.
fn completed<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    start: &Item,
    mut supply: Supply<'s>,
    grounds: &mut Grounds,
) -> Supply<'s> {
    if supply.volts.is_none() {
        supply.volts = upstream_volts(sheet, case, start, grounds);
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
        supply.volts = Some(grounds.laid_down(sheet, name, row, why));
    }
    supply
}

/// Looks back along the links for a stated voltage, as far as the last converter.
fn upstream_volts<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    start: &Item,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    let mut at = start;
    for _ in 0..case.dossier.items.len() {
        let (before, link) = case.network().before(at).next()?;
        let name = format!("voltage at {}", start.name);
        if let Some(stated) = &link.voltage {
            let place = case.link_place(link).at("voltage");
            return grounds.fact(
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
            return grounds.rated(
                sheet,
                &name,
                stated,
                &assumed::REGULATED_VOLTAGE,
                Dimension::VOLTAGE,
                Origin::DataSheet,
                place,
            );
        }
        if is_cell(before) {
            return Some(cell_voltage(sheet, before, grounds));
        }
        at = before;
    }
    None
}
