//! What several rows say of one part, put together instead of one taking the place of another.
//!
//! In: rows of one file, or a known part and a row that adds to it. Out: one row for each part, one
//! part, and a remark on every value that cannot be kept.
//! Not here: which value holds when a later file corrects an earlier one (`catalogue`).
//!
//! Lists add up, ratings by name; in a text or number the later filled value holds. Number of pins,
//! body and pitch belong to a package: of a part that comes in several with unlike values none of
//! them is kept, because it would be wrong for the others.

use crate::columns::{COLUMNS, Column, Kind};
use crate::{Catalogue, Part, Remark, Row, TopCode, table_cell, top_code};
use std::collections::BTreeMap;

/// Parts the origins of a part that is known from several places.
const ORIGINS: &str = "; ";

/// Joins the rows of each file that speak of the same part. `known` tells whether a row without maker
/// may mean another one.
pub(crate) fn joined(
    rows: impl IntoIterator<Item = Row>,
    known: &Catalogue,
) -> (Vec<Row>, Vec<Remark>) {
    let mut out: Vec<Row> = Vec::new();
    let mut remarks = Vec::new();
    let mut places: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for mut row in rows {
        row.part = row.part.tidied();
        let same_name = places.entry(row.part.name.clone()).or_default();
        match meant(&out, same_name, &row, known) {
            Some(at) => join(&mut out[at], row, &mut remarks),
            None => {
                same_name.push(out.len());
                out.push(row);
            }
        }
    }
    (out, remarks)
}

/// Finds the row of the same file that speaks of the same part.
fn meant(out: &[Row], same_name: &[usize], row: &Row, known: &Catalogue) -> Option<usize> {
    let maker = |part: &Part| part.maker.to_lowercase();
    let wanted = maker(&row.part);
    let here = || same_name.iter().filter(|at| out[**at].file == row.file);
    if let Some(at) = here().find(|at| maker(&out[**at].part) == wanted) {
        return Some(*at);
    }
    let mut here = here();
    let (Some(only), None) = (here.next(), here.next()) else {
        return None;
    };
    let other = maker(&out[*only].part);
    // One of the two does not say by whom; it is the same part while there is no other maker.
    let sole = wanted.is_empty() || other.is_empty();
    let maker_of_both = if wanted.is_empty() { other } else { wanted };
    let mut others = known.named(&row.part.name).map(maker);
    (sole && others.all(|m| m.is_empty() || m == maker_of_both)).then_some(*only)
}

fn join(first: &mut Row, mut row: Row, remarks: &mut Vec<Remark>) {
    for part in [&mut first.part, &mut row.part] {
        place_codes(part);
    }
    for name in &row.cleared {
        if let Some(column) = crate::column(name) {
            table_cell::clear(column, &mut first.part);
        }
    }
    let before = first.part.clone();
    let lost = add(&mut first.part, &row.part);
    remarks.extend(lost.iter().map(|column| told(&row, column)));
    remarks.extend(replaced(&before, &first.part, &row));
    first.cleared.extend(row.cleared);
    first.cleared.dedup();
    for column in COLUMNS {
        // Filled after it was cleared: it is what this file says.
        if !table_cell::text(column, &first.part).is_empty() {
            first.cleared.retain(|name| *name != column.name);
        }
    }
    for (n, (heading, said)) in row.own.into_iter().enumerate() {
        match first.own.get_mut(n) {
            Some((same, cell)) if *same == heading => {
                if !said.is_empty() {
                    *cell = said;
                }
            }
            _ => first.own.push((heading, said)),
        }
    }
}

/// Says which texts and numbers two rows of one file do not agree on.
fn replaced(before: &Part, after: &Part, row: &Row) -> impl Iterator<Item = Remark> {
    let single = |column: &&Column| {
        let list = matches!(
            column.kind,
            Kind::List(..) | Kind::Codes(..) | Kind::Ratings(..)
        );
        !list && column.name != "known_from"
    };
    COLUMNS.iter().filter(single).filter_map(|column| {
        let (old, new) = (
            table_cell::text(column, before),
            table_cell::text(column, after),
        );
        let differs = !old.is_empty() && !new.is_empty() && old != new;
        differs.then(|| {
            Remark::note(
                &row.file,
                row.line,
                format!(
                    "{} has {} in an earlier row",
                    crate::remark::shown(&row.part.name),
                    crate::remark::shown(&old)
                ),
                "this row holds; correct the one that is wrong",
            )
            .at(column.name)
        })
    })
}

/// Codes of a part with one package stand on that.
pub(crate) fn place_codes(part: &mut Part) {
    if let [package] = &part.packages[..] {
        for code in part.codes.iter_mut().filter(|c| c.package.is_empty()) {
            code.package.clone_from(package);
        }
        let codes = std::mem::take(&mut part.codes);
        top_code::add(&mut part.codes, codes);
    }
}

/// Adds what is said to what is known. Returns the columns whose values belong to a package, differ
/// between packages and so are not kept.
pub(crate) fn add(known: &mut Part, said: &Part) -> Vec<&'static Column> {
    let before = known.packages.clone();
    let mut lost = Vec::new();
    for column in COLUMNS {
        match column.kind {
            Kind::List(get, edit) => {
                for item in get(said) {
                    if !get(known).contains(item) {
                        edit(known).push(item.clone());
                    }
                }
            }
            Kind::Codes(get, edit) => {
                let more: Vec<TopCode> = get(said).clone();
                top_code::add(edit(known), more);
            }
            Kind::Ratings(get, edit) => {
                let more = get(said).clone();
                edit(known).extend(more);
            }
            Kind::Pins | Kind::Body | Kind::Pitch => {
                let (old, new) = (
                    table_cell::text(column, known),
                    table_cell::text(column, said),
                );
                let elsewhere = |p: &String| !said.packages.contains(p);
                if new.is_empty() || new == old {
                    continue;
                }
                if !said.packages.is_empty() && before.iter().any(elsewhere) {
                    table_cell::clear(column, known);
                    if !old.is_empty() {
                        lost.push(column);
                    }
                } else {
                    table_cell::copy(column, said, known);
                }
            }
            Kind::Text(get, edit) => match column.name {
                "known_from" => origins(edit(known), get(said)),
                _ if get(said).is_empty() => {}
                "maker" if get(known).to_lowercase() == get(said).to_lowercase() => {}
                _ => table_cell::copy(column, said, known),
            },
        }
    }
    lost
}

fn origins(known: &mut String, said: &str) {
    if known.is_empty() {
        said.clone_into(known);
    } else if !said.is_empty() && !known.split(ORIGINS).any(|origin| origin == said) {
        known.push_str(ORIGINS);
        known.push_str(said);
    }
}

/// Says that a value is not kept.
pub(crate) fn told(row: &Row, column: &Column) -> Remark {
    Remark::note(
        &row.file,
        row.line,
        format!(
            "{} comes in several packages, and {} differs between them",
            crate::remark::shown(&row.part.name),
            column.name
        ),
        "it is not kept; the packages tell the parts apart",
    )
    .at(column.name)
}
