//! The parts on a photograph as rows: where each is, what was seen of it, what it is, how large, what it does.
//!
//! In: a dossier under the hand, one of its photographs. Out: rows in reading order; which parts are open; the
//! photograph to begin with.

use super::bodies::{holds_others, in_rows};
use super::{Plate, is_known};
use crate::Problem;
use crate::desk::View;
use methods::{Case, assessment};
use record::{Certainty, Dossier, Item, Photo, Region};

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
    /// What it is called: the reference printed beside it, else what its region or its name says.
    pub called: String,
    /// How many of it are seen on the photograph.
    pub seen: usize,
    /// Whether what it is taken to be is not among the known parts.
    pub unlisted: bool,
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
    let rows: Vec<PartRow<'v>> = regions
        .filter_map(|region| {
            let item = view.dossier.item(region.item.as_deref()?)?;
            (!holds_others(item)).then(|| row(view, &case, region, item))
        })
        .collect();
    // Equal parts that were counted in stand once, where the first of them was boxed.
    let mut seen: Vec<PartRow<'v>> = Vec::new();
    for row in rows {
        match seen.iter_mut().find(|other| other.item.id == row.item.id) {
            Some(first) => first.seen += 1,
            None => seen.push(row),
        }
    }
    let mut rows = seen;
    in_rows(&mut rows, |row| {
        let [x, y, _, h] = row.region.rect.map(f64::from);
        [x, y + h / 2.0, h]
    });
    Ok(rows)
}

fn row<'v>(view: &'v View, case: &Case<'v>, region: &'v Region, item: &'v Item) -> PartRow<'v> {
    let size = assessment::body_mm(case, item).map(|[(length, u), (width, v)]| {
        let decimals = quantity::decimals_beside(length, 1.96 * u.max(v), &[]).unwrap_or(2);
        format!("{length:.decimals$} × {width:.decimals$}")
    });
    PartRow {
        region,
        item,
        called: called(region, item),
        seen: 1,
        unlisted: sure(item) == Some("read") && is_known(view, item) == Some(false),
        size,
        sure: sure(item),
        open: is_open(item),
    }
}

/// What a part is called on its photograph, as it is written there: a region's id is small, what it stands for is not.
fn called(region: &Region, item: &Item) -> String {
    if let Some(designator) = &item.designator {
        return designator.clone();
    }
    let words = item.name.split_whitespace();
    let mut same = words.filter(|word| word.eq_ignore_ascii_case(&region.id));
    match (same.next(), is_reference(&region.id)) {
        (Some(word), _) => word.to_string(),
        (None, true) => region.id.to_ascii_uppercase(),
        (None, false) => item.name.clone(),
    }
}

/// Whether an id is that of a reference printed on a board: one to three letters and a number.
fn is_reference(id: &str) -> bool {
    let digits = id.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let letters = id.len() - digits.len();
    (1..=3).contains(&letters) && !digits.is_empty() && digits.chars().all(|c| c.is_ascii_digit())
}

/// How sure the identity of a part is, in a word.
fn sure(item: &Item) -> Option<&'static str> {
    let identity = item.part.as_ref()?.identity.as_ref();
    Some(match identity.map(|i| i.certainty) {
        Some(Certainty::Read) => "read",
        Some(Certainty::Inferred) => "inferred",
        Some(Certainty::Assumed) => "assumed",
        Some(Certainty::Unknown) => "not said",
        None => "open",
    })
}

/// Returns whether something of a part is open: no identity, a doubtful one, characters that were not read. What is
/// told as open anywhere is counted by this.
pub fn is_open(item: &Item) -> bool {
    let part = item.part.as_ref();
    let unread = part.is_some_and(|p| p.marking.iter().any(|l| l.contains(['?', '[', '~'])));
    unread
        || matches!(
            sure(item),
            Some("open" | "inferred" | "assumed" | "not said")
        )
}

/// Returns the photograph that shows most parts, the first where none does.
pub fn first(dossier: &Dossier) -> Option<&Photo> {
    let is_part = |region: &&Region| {
        let item = region.item.as_deref().and_then(|id| dossier.item(id));
        item.is_some_and(|item| item.part.is_some())
    };
    let parts = |photo: &Photo| photo.regions.iter().filter(is_part).count();
    let photos = dossier.photos.iter().rev();
    photos.max_by_key(|photo| parts(photo))
}
