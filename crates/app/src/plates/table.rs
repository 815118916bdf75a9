//! The parts on a photograph as rows: where each is, what was seen of it, what it is, how large, what it does.
//!
//! In: a dossier under the hand, one of its photographs. Out: rows in reading order.

use super::Plate;
use super::bodies::{holds_others, in_rows};
use crate::Problem;
use crate::desk::View;
use methods::{Case, assessment};
use record::{Certainty, Item, Region};

/// A part on a photograph.
#[derive(Debug, Clone, PartialEq)]
pub struct PartRow<'v> {
    /// Where it is seen.
    pub region: &'v Region,
    /// What is recorded of it.
    pub item: &'v Item,
    /// Length and width as printed, mm; none where nothing is known of it.
    pub size: Option<String>,
    /// How sure its identity is, in a word; none for what carries no part facts.
    pub sure: Option<&'static str>,
    /// Whether something of it is open: no identity, a doubtful one, characters that were not read.
    pub open: bool,
}

/// Returns the parts on a photograph: rows of regions from top to bottom, each from left to right.
///
/// # Errors
/// No such photograph.
pub fn table<'v>(view: &'v View, photo: &str) -> Result<Vec<PartRow<'v>>, Problem> {
    let plate = Plate::of(view, photo)?;
    let case = Case::new(&view.dossier, &view.known);
    let regions = plate.photo.regions.iter();
    let mut rows: Vec<PartRow<'v>> = regions
        .filter_map(|region| {
            let item = view.dossier.item(region.item.as_deref()?)?;
            (!holds_others(item)).then(|| row(&case, region, item))
        })
        .collect();
    in_rows(&mut rows, |row| {
        let [x, y, _, h] = row.region.rect.map(f64::from);
        [x, y + h / 2.0, h]
    });
    Ok(rows)
}

fn row<'v>(case: &Case<'v>, region: &'v Region, item: &'v Item) -> PartRow<'v> {
    let size = assessment::body_mm(case, item).map(|[(length, u), (width, v)]| {
        let decimals = quantity::decimals_beside(length, 1.96 * u.max(v), &[]).unwrap_or(2);
        format!("{length:.decimals$} × {width:.decimals$}")
    });
    let part = item.part.as_ref();
    let identity = part.and_then(|p| p.identity.as_ref());
    let sure = part.map(|_| match identity.map(|i| i.certainty) {
        Some(Certainty::Read) => "read",
        Some(Certainty::Inferred) => "inferred",
        Some(Certainty::Assumed) => "assumed",
        Some(Certainty::Unknown) => "not said",
        None => "open",
    });
    let unread = part.is_some_and(|p| p.marking.iter().any(|l| l.contains(['?', '[', '~'])));
    let open = unread || matches!(sure, Some("open" | "inferred" | "assumed" | "not said"));
    PartRow {
        region,
        item,
        size,
        sure,
        open,
    }
}
