//! Parts from identities that analysts confirmed in dossiers.
//!
//! In: [`ConfirmedPart`] identities, and the catalogue as it is. Out: rows that add what the catalogue
//! does not know, and why the rest was left out. Nothing known is overwritten: where a dossier and
//! the catalogue differ, a remark says so. So the same dossiers harvested again change nothing.
//! Not here: reading dossiers (`record`; the command joins the two).
//!
//! Only an identity that was read from its marking is harvested; what was inferred or assumed would
//! come back as proof of itself.

use crate::columns::{COLUMNS, Kind};
use crate::table_cell::{self, tidy};
use crate::{Catalogue, Part, Remark, Row, TopCode, top_code};
use std::collections::BTreeMap;

/// Longest line that can be a top-marking code, in characters.
const LONGEST_CODE: usize = 6;

/// What an analyst decided a part is, and what was seen of it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ConfirmedPart {
    /// Part number.
    pub name: String,
    /// Maker; empty when not known.
    pub maker: String,
    /// Whether the identity was read from the marking (certainty `read`).
    pub was_read: bool,
    /// Package outline.
    pub package: String,
    /// Number of pins.
    pub pins: Option<u32>,
    /// Length and width of the body, mm.
    pub size_mm: Option<[f64; 2]>,
    /// What it does.
    pub role: String,
    /// Lines of the marking, as they were seen.
    pub marking: Vec<String>,
    /// Ratings by name, as text with unit.
    pub ratings: BTreeMap<String, String>,
    /// Where the ratings are from.
    pub ratings_origin: String,
    /// Part numbers on the same board that were read from their markings too.
    pub neighbours: Vec<String>,
    /// Dossier and item, for example `dossier nivalet-cradle, item U3`.
    pub known_from: String,
}

/// What a harvest brings.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Harvest {
    /// Rows for [`Catalogue::merge`]. Their lines are the places of the identities, from 1.
    pub rows: Vec<Row>,
    /// Identities left out, and values that differ from those known.
    pub remarks: Vec<Remark>,
}

/// Harvests identities into rows.
///
/// ```
/// use catalogue::{Catalogue, ConfirmedPart, harvest};
/// let mut parts = Catalogue::default();
/// let seen = [ConfirmedPart {
///     name: "NHF2104".into(),
///     was_read: true,
///     marking: vec!["4A7".into()],
///     known_from: "dossier nivalet-cradle, item U3".into(),
///     ..Default::default()
/// }];
/// parts.merge(harvest(&parts, &seen).rows);
/// assert_eq!(parts.parts()[0].codes[0].text, "4A7");
/// assert!(harvest(&parts, &seen).rows.is_empty());
/// ```
pub fn harvest(catalogue: &Catalogue, identities: &[ConfirmedPart]) -> Harvest {
    let mut known = catalogue.clone();
    let mut harvest = Harvest::default();
    for (line, identity) in (1..).zip(identities) {
        let from = tidy(&identity.known_from);
        if !identity.was_read {
            harvest.remarks.push(Remark::note(
                &from,
                0,
                format!(
                    "{} was not read from a marking",
                    crate::remark::shown(&identity.name)
                ),
                "it is not harvested; read its marking first",
            ));
            continue;
        }
        let seen = part(identity).tidied();
        let row = Row {
            file: from.clone(),
            line,
            part: news(&known, seen, &from, &mut harvest.remarks),
            cleared: Vec::new(),
            own: Vec::new(),
        };
        let merged = known.merge([row.clone()]);
        if merged.added + merged.corrected > 0 {
            harvest.rows.push(row);
        }
        harvest.remarks.extend(merged.remarks);
    }
    harvest
}

fn part(identity: &ConfirmedPart) -> Part {
    Part {
        name: identity.name.clone(),
        maker: identity.maker.clone(),
        codes: code(identity)
            .map(|text| TopCode::on(text, &identity.package))
            .into_iter()
            .collect(),
        packages: vec![identity.package.clone()],
        pins: identity.pins,
        body_mm: identity.size_mm,
        role: identity.role.clone(),
        ratings: identity.ratings.clone(),
        ratings_origin: identity.ratings_origin.clone(),
        seen_with: identity.neighbours.clone(),
        known_from: identity.known_from.clone(),
        ..Part::default()
    }
}

/// Returns the marking as a top-marking code: one short line, fully legible, that is not a piece
/// of the part number. Of longer markings a program cannot tell the code from a date or a lot.
fn code(identity: &ConfirmedPart) -> Option<String> {
    let mut lines = identity.marking.iter().map(|line| tidy(line));
    let line = lines.next()?;
    if lines.next().is_some() {
        return None;
    }
    let legible = !line.is_empty()
        && line
            .chars()
            .all(|c| c.is_alphanumeric() || matches!(c, '-' | '.' | '/'));
    let fold = |text: &str| text.to_lowercase().replace([' ', '-'], "");
    let short = line.chars().count() <= LONGEST_CODE;
    let piece = fold(&identity.name).contains(&fold(&line));
    (legible && short && !piece).then_some(line)
}

/// Keeps of a part what the catalogue does not know; lists become the known list and what is new.
fn news(known: &Catalogue, mut seen: Part, from: &str, remarks: &mut Vec<Remark>) -> Part {
    let maker = seen.maker.to_lowercase();
    let candidates: Vec<&Part> = known
        .named(&seen.name)
        .filter(|p| maker.is_empty() || p.maker.is_empty() || p.maker.to_lowercase() == maker)
        .collect();
    let own = |p: &&&Part| p.maker.to_lowercase() == maker;
    let Some(old) = candidates.iter().find(own).or(candidates.first()).copied() else {
        return seen;
    };
    for column in COLUMNS
        .iter()
        .filter(|c| !matches!(c.name, "name" | "maker"))
    {
        match column.kind {
            Kind::List(get, edit) => {
                let mut union = get(old).clone();
                for item in get(&seen) {
                    if !union.contains(item) {
                        union.push(item.clone());
                    }
                }
                *edit(&mut seen) = union;
            }
            Kind::Codes(get, edit) => {
                let mut union = get(old).clone();
                top_code::add(&mut union, get(&seen).clone());
                *edit(&mut seen) = union;
            }
            Kind::Ratings(get, edit) => {
                let mut union = get(old).clone();
                for (name, value) in get(&seen) {
                    let before = union.entry(name.clone()).or_insert_with(|| value.clone());
                    if before != value {
                        remarks.push(differs(
                            &seen,
                            &format!("rating {name}"),
                            before,
                            value,
                            from,
                        ));
                    }
                }
                *edit(&mut seen) = union;
            }
            _ => {
                let (before, now) = (
                    table_cell::text(column, old),
                    table_cell::text(column, &seen),
                );
                if before.is_empty() {
                    continue;
                }
                // Size is measured and the catalogue has the nominal one; where an entry is known
                // from may differ each time.
                let expected = matches!(column.name, "body_mm" | "known_from" | "role");
                if !now.is_empty() && now != before && !expected {
                    remarks.push(differs(&seen, column.name, &before, &now, from));
                }
                table_cell::clear(column, &mut seen);
            }
        }
    }
    seen
}

fn differs(part: &Part, what: &str, before: &str, now: &str, from: &str) -> Remark {
    Remark::note(
        from,
        0,
        format!(
            "{}: {what} is {} in the catalogue and {} in the dossier",
            part.name,
            crate::remark::shown(before),
            crate::remark::shown(now)
        ),
        "the catalogue was kept; correct the one that is wrong",
    )
}
