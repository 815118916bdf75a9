//! The volume of a cell from its size.
//!
//! In: the sizes of a cell. Out: its volume as a term with the sizes as inputs.
//! Round forms: π/4 · diameter² · height; others: the product of
//! three sides, which for a pouch takes the body, not the folded seam.

use crate::assumed;
use crate::inputs;
use crate::sizes::{From, Sizes, Sources};
use quantity::{Dimension, Input, Origin, Sheet, Source, Term, Unit};
use record::Item;

/// Volume, and what could be said about the sizes on the way.
pub(crate) struct Volume<'s> {
    /// The volume; `None` where sizes are missing.
    pub(crate) term: Option<Term<'s>>,
    /// Names of the sizes that are missing.
    pub(crate) missing: Vec<&'static str>,
    /// Sizes recorded on the item that its readings contradict.
    pub(crate) remarks: Vec<String>,
    /// Diameter and height in metres of a round cell.
    pub(crate) round: Option<(f64, f64)>,
}

/// Returns whether a form is round.
pub(crate) fn is_round(item: &Item) -> bool {
    let form = item.cell.as_ref().map_or("", |c| c.form.as_str());
    matches!(form, "cylindrical" | "button" | "coin")
}

struct BodySide<'d> {
    name: &'static str,
    /// Words it may be recorded under, first choice first.
    words: &'d [&'static str],
}

/// Finds the volume of a cell.
pub(crate) fn volume<'s, 'd>(
    sheet: &'s Sheet,
    sources: &Sources<'d>,
    item: &'d Item,
) -> Volume<'s> {
    let sides: &[BodySide<'_>] = if is_round(item) {
        &[
            BodySide {
                name: "diameter",
                words: &["diameter", "width"],
            },
            BodySide {
                name: "height",
                words: &["height", "length", "thickness"],
            },
        ]
    } else {
        &[
            BodySide {
                name: "thickness",
                words: &["thickness", "height"],
            },
            BodySide {
                name: "width",
                words: &["width"],
            },
            BodySide {
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
    let sizes = Sizes::new(sheet, sources);
    for side in sides {
        match one(&sizes, item, side, &mut volume.remarks) {
            Some(term) => found.push(term),
            None => volume.missing.push(side.name),
        }
    }
    if !volume.missing.is_empty() {
        return volume;
    }
    let cubic = inputs::unit("cm³");
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

/// One side under the first of its words that anything is recorded under, what was measured first.
fn one<'s, 'd>(
    sizes: &Sizes<'s, '_, 'd>,
    item: &'d Item,
    side: &BodySide<'_>,
    remarks: &mut Vec<String>,
) -> Option<(Term<'s>, f64)> {
    let sources: Vec<_> = side
        .words
        .iter()
        .filter_map(|word| Some((*word, sizes.source(item, word)?)))
        .collect();
    let (word, _) = sources
        .iter()
        .find(|(_, from)| !matches!(from, From::Stated(_)))
        .or(sources.first())?;
    let size = sizes.of(item, word)?;
    let stated = side
        .words
        .iter()
        .find_map(|word| Some((*word, item.size.get(*word)?)));
    let measured = match size.from {
        From::Reading(reading) => format!("reading '{}' ({})", reading.id, reading.value),
        From::Measure(measure) => format!("measure '{}' ({:.2} mm)", measure.id, size.si * 1e3),
        From::Stated(_) => return Some((size.term, size.si)),
    };
    if let Some((word, stated)) = stated
        && (stated.si() / size.si - 1.0).abs() > assumed::SIZE_DISAGREES.si()
    {
        remarks.push(format!(
            "The recorded {word} ({stated}) and {measured} differ by more than {}; what was measured is used.",
            assumed::SIZE_DISAGREES.text()
        ));
    }
    Some((size.term, size.si))
}
