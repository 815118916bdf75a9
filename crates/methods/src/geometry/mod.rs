//! How big is it? What photographs with things of known size in view say.
//!
//! In: photographs with a scale or references, measures taken on them, regions that are outlines of items.
//! Out: for each photograph what was measured, with its working, the sizes of the record that it contradicts,
//! and the package outlines that fit.
//! Not here: pixels, the fit of the plane (`imaging::geometry`); marks to results (`photogrammetry`).
//! Page: `docs/methods/geometry.md`.

mod compare;
mod packages;

pub use packages::is_semiconductor;

use crate::assumed;
use crate::inputs::places;
use crate::photogrammetry::{Measurement, MeasurementSheet, OnPhoto, Seen};
use crate::sizes::Sources;
use crate::{
    Answer, Case, Cell, Column, Detail, FigureKey, Finding, Mark, Method, Table, Verdict, Word,
};
use compare::{Compared, compare};
use quantity::Sheet;
use record::Place;
use std::collections::BTreeSet;

/// Differences beyond so many standard uncertainties contradict (JCGM 100:2008, 6.2: k = 3 for about
/// 99.7 %).
const FAR: f64 = assumed::CONTRADICTION.number();

/// Answers for every photograph on which something was measured.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let mut findings = Vec::new();
    for on in case.sizes().photographs().all() {
        case.go_on()?;
        findings.extend(one(case.sizes(), on));
    }
    Ok(findings)
}

/// Returns what tells the size of a thing apart: the item, or else where it was marked. Where the same
/// size of one item was measured before, the mark is named too.
fn figure_key(finding: &Finding, taken: &Measurement<'_>, name: &str) -> FigureKey {
    let what: Word = name.parse().unwrap_or(word!("size"));
    let mark = taken.evidence.first().cloned();
    let item = taken.item.map(|item| Place::item(&item.id));
    let of = item.or_else(|| mark.clone());
    let mut key = FigureKey {
        of,
        ..FigureKey::from(what)
    };
    if finding.figures.iter().any(|f| f.key == key) {
        key.words.extend(mark.map(|place| place.to_string()));
    }
    key
}

fn one(sources: &Sources<'_>, on: &OnPhoto<'_>) -> Option<Finding> {
    let photo = on.photo;
    if !photo.has_reference() || !on.is_marked() {
        return None;
    }
    let title = format!("Do the sizes agree with the record? {}", photo.caption);
    let mut finding =
        Finding::new(Method::Geometry, word!("sizes"), title).about(Place::photo(&photo.id));
    finding.add_evidence([Place::photo(&photo.id)]);
    let seen = match on.seen() {
        Ok(seen) => seen,
        Err(why) => {
            finding.sentence = format!("The photograph “{}” gives no measure.", photo.caption);
            finding.unused.push(why.clone());
            return Some(finding);
        }
    };
    let photo_plane = &seen.photo_plane;
    finding.unused.extend(seen.unused.iter().cloned());
    let sheet = Sheet::new();
    let desk = MeasurementSheet::new(&sheet);
    let mut count = Count::default();
    let (mut rows, mut marks) = (Vec::new(), Vec::new());
    for taken in &seen.taken {
        let compared = compare(sources, taken);
        for (n, c) in compared.iter().enumerate() {
            let against = count.add(taken, c);
            // The working of what was marked by hand is always shown, of outlines where it matters.
            if taken.id.is_some() || against {
                let name = format!("{} of {}", c.side.name, taken.name);
                match desk.terms(&photo.id, photo_plane, taken) {
                    Ok(terms) => {
                        let key = figure_key(&finding, taken, c.side.name);
                        finding.add_result(key, &name, sheet.figure(terms[n]));
                    }
                    Err(why) => finding.unused.push(format!("{name}: {why}")),
                }
            }
            if against {
                let recorded = c.recorded.iter();
                finding.add_evidence(recorded.flat_map(|i| places(&i.source.evidence)));
            }
        }
        finding.add_evidence(taken.evidence.iter().cloned());
        marks.extend(mark(taken, &compared));
        rows.extend(table_rows(taken, &compared));
    }
    finding.verdict = count.verdict();
    finding.sentence = count.sentence();
    finding.details.push(Detail::Table(Table {
        caption: format!("Sizes in “{}”", photo.caption),
        columns: vec![
            Column::place("Thing"),
            Column::words("Size"),
            Column::quantity("In the photograph"),
            Column::quantity("Recorded otherwise"),
            Column::number("Difference, in standard uncertainties"),
            Column::words("Package outlines that fit"),
        ],
        rows,
    }));
    finding
        .details
        .extend((!marks.is_empty()).then(|| Detail::Marks {
            photo: photo.id.clone(),
            marks,
        }));
    heights(seen, &mut finding);
    for (old, taken, newer) in on.replaced(photo_plane) {
        let gave = taken.map_or_else(|why| why, |taken| gave(&compare(sources, &taken)));
        finding.unused.push(format!(
            "{} gave {gave}; the thing was measured again as '{}'",
            Place::measure(&old.id),
            newer.id
        ));
    }
    for note in photo_plane.notes() {
        finding.assume(note);
    }
    finding.assume(format!(
        "A difference beyond {FAR} standard uncertainties contradicts. Mark a thing closer, or measure it with \
         an instrument, to change this."
    ));
    finding.cite(
        "R. Hartley and A. Zisserman, Multiple View Geometry, 2nd ed. (2004), 4.4 (normalised direct linear \
         transformation) and 7.4 (radial distortion).",
    );
    finding.cite("JCGM 100:2008 (GUM), 5.1.2 (propagation) and 6.2 (k = 3).");
    Some(finding)
}

/// What came out over all things measured on a photograph.
#[derive(Default)]
struct Count {
    measured: usize,
    compared: usize,
    against: Vec<String>,
}

impl Count {
    /// Counts one side; returns whether it contradicts the record.
    fn add(&mut self, taken: &Measurement<'_>, compared: &Compared<'_>) -> bool {
        self.measured += 1;
        self.compared += usize::from(compared.z.is_some());
        let against = compared.z.is_some_and(|z| z.abs() > FAR);
        if against {
            self.against.push(format!(
                "{} of {} is on record as {} and measures {}",
                compared.side.name,
                taken
                    .item
                    .map_or_else(|| taken.name.to_string(), crate::words::the),
                compared.recorded_text(),
                compared.measured_text()
            ));
        }
        against
    }

    fn verdict(&self) -> Option<Verdict> {
        (self.compared > 0).then_some(if self.against.is_empty() {
            Verdict::Holds
        } else {
            Verdict::Fails
        })
    }

    fn sentence(&self) -> String {
        let (measured, compared) = (self.measured, self.compared);
        let sizes = if measured == 1 { "size" } else { "sizes" };
        match (compared, self.against.len()) {
            (0, _) => {
                format!(
                    "{measured} {sizes} from this photograph; the record has nothing else to compare with."
                )
            }
            (_, 0) => format!(
                "{measured} {sizes} from this photograph; {compared} {} on record otherwise too and {}.",
                if compared == 1 { "is" } else { "are" },
                if compared == 1 { "agrees" } else { "agree" }
            ),
            (_, wrong) => format!(
                "{measured} {sizes} from this photograph; of {compared} on record otherwise too {wrong} {}: {}.",
                if wrong == 1 { "disagrees" } else { "disagree" },
                self.against.join("; ")
            ),
        }
    }
}

/// Every side with its value, as text.
fn gave(compared: &[Compared<'_>]) -> String {
    let texts: Vec<String> = compared
        .iter()
        .map(|c| format!("{} {}", c.side.name, c.measured_text()))
        .collect();
    texts.join(", ")
}

/// What a measure of the record marked; outlines of regions are drawn as regions.
fn mark(taken: &Measurement<'_>, compared: &[Compared<'_>]) -> Option<Mark> {
    Some(Mark {
        measure: taken.id?.to_string(),
        item: taken.item.map(|item| item.id.clone()),
        words: format!("{}: {}", taken.name, gave(compared)),
        line: taken.line(),
        points: taken.clicks.iter().map(|c| c.at).collect(),
    })
}

fn table_rows(taken: &Measurement<'_>, compared: &[Compared<'_>]) -> Vec<Vec<Cell>> {
    let thing = taken.item.map_or_else(
        || Cell::words(taken.name),
        |i| Cell::place(Place::item(&i.id), taken.name),
    );
    let outline = packages::fitting(taken, compared);
    let first = |n: usize, cell: &Cell| if n == 0 { cell.clone() } else { Cell::Nothing };
    compared
        .iter()
        .enumerate()
        .map(|(n, c)| {
            vec![
                first(n, &thing),
                Cell::words(c.side.name),
                c.measured(),
                c.recorded(),
                c.z.map_or(Cell::Nothing, |z| Cell::number(z, 1)),
                first(n, &outline),
            ]
        })
        .collect()
}

/// Says which heights are not stated, and what is taken for granted of the camera.
fn heights(seen: &Seen<'_>, finding: &mut Finding) {
    let mut said = BTreeSet::new();
    for taken in &seen.taken {
        for note in seen.photo_plane.height_notes(&taken.lift, taken.item) {
            if said.insert(note.clone()) {
                finding.assume(note);
            }
        }
    }
}
