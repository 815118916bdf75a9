//! The volume of a cell from its size.
//!
//! In: a cell's readings or recorded sizes. Out: its volume as a term with the sizes as inputs.
//! A reading wins over a recorded size. Round forms: π/4 · diameter² · height; others: the product of
//! three sides, which for a pouch takes the body, not the folded seam.

use crate::basis;
use quantity::{Dimension, Input, Origin, Sheet, Source, Stated, Term, Unit};
use record::{Dossier, Item, ReadingSubject};

/// Volume, and what could be said about the sizes on the way.
pub(super) struct Volume<'s> {
    /// The volume; `None` where sizes are missing.
    pub(super) term: Option<Term<'s>>,
    /// Names of the sizes that are missing.
    pub(super) missing: Vec<&'static str>,
    /// Sizes recorded on the item that its readings contradict.
    pub(super) remarks: Vec<String>,
    /// Diameter and height in metres of a round cell.
    pub(super) round: Option<(f64, f64)>,
}

/// Returns whether a form is round.
pub(super) fn is_round(item: &Item) -> bool {
    let form = item.cell.as_ref().map_or("", |c| c.form.as_str());
    matches!(form, "cylindrical" | "button" | "coin")
}

struct Side<'d> {
    name: &'static str,
    /// Words it may be recorded under, first choice first.
    words: &'d [&'static str],
}

/// Finds the volume of a cell.
pub(super) fn volume<'s>(sheet: &'s Sheet, dossier: &Dossier, item: &Item) -> Volume<'s> {
    let sides: &[Side<'_>] = if is_round(item) {
        &[
            Side {
                name: "diameter",
                words: &["diameter", "width"],
            },
            Side {
                name: "height",
                words: &["height", "length", "thickness"],
            },
        ]
    } else {
        &[
            Side {
                name: "thickness",
                words: &["thickness", "height"],
            },
            Side {
                name: "width",
                words: &["width"],
            },
            Side {
                name: "length",
                words: &["length"],
            },
        ]
    };
    let mut found = Vec::new();
    let mut volume = Volume {
        term: None,
        missing: Vec::new(),
        remarks: Vec::new(),
        round: None,
    };
    for side in sides {
        match one(sheet, dossier, item, side, &mut volume.remarks) {
            Some(term) => found.push(term),
            None => volume.missing.push(side.name),
        }
    }
    if !volume.missing.is_empty() {
        return volume;
    }
    let cubic = basis::unit("cm³");
    volume.term = match found.as_slice() {
        [(diameter, d), (height, h)] => {
            volume.round = Some((*d, *h));
            let source = Source {
                origin: Origin::Standard,
                evidence: Vec::new(),
                note: "area of a circle over its diameter squared".to_string(),
            };
            let plain = Unit::coherent(Dimension::NONE);
            let quarter = sheet.input(Input::exact(
                "π/4",
                std::f64::consts::FRAC_PI_4,
                plain,
                source,
            ));
            Some((quarter * diameter.powi(2) * *height).named("volume", &cubic))
        }
        [(a, _), (b, _), (c, _)] => Some((*a * *b * *c).named("volume", &cubic)),
        _ => None,
    };
    volume
}

/// One side: the mean of nothing, the first reading, or the recorded size.
fn one<'s>(
    sheet: &'s Sheet,
    dossier: &Dossier,
    item: &Item,
    side: &Side<'_>,
    remarks: &mut Vec<String>,
) -> Option<(Term<'s>, f64)> {
    let recorded: Option<(&str, &Stated)> = side
        .words
        .iter()
        .find_map(|w| item.size.get(*w).map(|s| (*w, s)));
    let reading = side
        .words
        .iter()
        .filter_map(|w| subject(w))
        .find_map(|what| basis::readings_of(dossier, &item.id, what).next());
    if let Some(reading) = reading.filter(|r| usable(&r.value)) {
        if let Some((word, size)) = recorded
            && (size.si() / reading.value.si() - 1.0).abs() > 0.05
        {
            remarks.push(format!(
                "The recorded {word} ({size}) and reading '{}' ({}) differ by more than 5 %; the reading is \
                 used.",
                reading.id, reading.value
            ));
        }
        let term = sheet.input(basis::reading_input(dossier, reading, side.name));
        return Some((term, reading.value.si()));
    }
    let (word, size) = recorded.filter(|(_, s)| usable(s))?;
    let path = format!("items.{}.size.{word}", item.id);
    let input = basis::stated_input(side.name, size, Origin::Measured, &path, &item.evidence);
    Some((sheet.input(input), size.si()))
}

fn usable(size: &Stated) -> bool {
    size.dimension() == quantity::Dimension::LENGTH && size.si() > 0.0 && size.si().is_finite()
}

fn subject(word: &str) -> Option<ReadingSubject> {
    Some(match word {
        "length" => ReadingSubject::Length,
        "width" => ReadingSubject::Width,
        "height" => ReadingSubject::Height,
        "thickness" => ReadingSubject::Thickness,
        "diameter" => ReadingSubject::Diameter,
        _ => return None,
    })
}
