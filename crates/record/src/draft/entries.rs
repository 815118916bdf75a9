//! Entries of lists, and blocks of lines: add, remove, move.

use super::fits::fits_entry;
use super::patch::Patches;
use super::spot::{Reach, Target, View};
use super::{brackets, put};
use crate::Place;
use crate::edit::{EditError, Position};
use crate::grammar::{Kind, Table};
use crate::layout::{Form, Id, Layout, TOP};
use crate::place::{Segment, Tree};
use serde_json::Value as Json;
use std::ops::Range;

/// Where a block of lines goes.
pub(super) enum Where {
    /// Behind the statement that ends here.
    Behind(usize),
    /// In front of the statement whose comments start here.
    Before(usize),
}

/// Adds an entry to a list.
pub(super) fn add(
    view: &View<'_>,
    to: &Place,
    entry: &Json,
    position: &Position,
) -> Result<(Place, Patches), EditError> {
    let Target::Value(kind @ Kind::Tables(table)) = view.target(to)? else {
        return Err(EditError::WrongPlace {
            at: to.clone(),
            wanted: "a list of entries",
        });
    };
    fits_entry(table, entry, to)?;
    let name = crate::place::name_of(table, entry);
    if table.natural == ["id"] && !name[0].is_empty() {
        free(view, to, table, &name[0])?;
    }
    let (patches, at) = match view.reach(to)? {
        Reach::Missing(..) => {
            slot(view, to, table, position, None)?;
            let list = Json::Array(vec![entry.clone()]);
            (put::put(view, to, kind, &list)?, 0)
        }
        Reach::Found(list) => {
            let at = slot(view, to, table, position, None)?;
            let in_line = view.node(list).form == Form::Array;
            let text = put::entry_text(table, entry, in_line);
            (insert(view, to, list, at, &text)?, at)
        }
    };
    let now = View::of(view.grammar, &patches.text).entry_at(to, table, at);
    Ok((now.unwrap_or_else(|| to.clone()), patches))
}

/// Refuses an id that another entry of the list has.
pub(super) fn free(
    view: &View<'_>,
    list: &Place,
    table: &Table,
    id: &str,
) -> Result<(), EditError> {
    let nodes = view.tree(list).and_then(Tree::elements).unwrap_or_default();
    if nodes
        .iter()
        .any(|n| crate::place::name_of(table, n) == [id])
    {
        let name = crate::place::Name::first(vec![id.to_string()]);
        return Err(EditError::Taken {
            at: list.clone().with(Segment::Entry(name)),
        });
    }
    Ok(())
}

/// Returns the position that an entry gets in a list, `moved` left out of the count.
fn slot(
    view: &View<'_>,
    list: &Place,
    table: &Table,
    position: &Position,
    moved: Option<usize>,
) -> Result<usize, EditError> {
    let nodes = view.tree(list).and_then(Tree::elements).unwrap_or_default();
    let count = nodes.len() - usize::from(moved.is_some());
    match position {
        Position::First => Ok(0),
        Position::Last => Ok(count),
        Position::After(other) => {
            let (of, _, at) = view.entry(other)?;
            if of != *list
                || Some(at) == moved
                || of.segments().is_none()
                || table.natural.is_empty()
            {
                return Err(EditError::WrongPlace {
                    at: other.clone(),
                    wanted: "another entry of the same list",
                });
            }
            Ok(at + 1 - usize::from(moved.is_some_and(|moved| moved < at)))
        }
    }
}

/// Puts the text of an entry into a list at a position.
fn insert(
    view: &View<'_>,
    at: &Place,
    list: Id,
    position: usize,
    text: &str,
) -> Result<Patches, EditError> {
    let node = view.node(list);
    match node.form {
        Form::Array => Ok(view.change(brackets::insert(view, list, position, text))),
        Form::List => {
            let place = match position.checked_sub(1) {
                None => before(view, node.elements[0]),
                Some(previous) => behind(view, node.elements[previous]),
            };
            Ok(view.change(vec![view.block(place, text)]))
        }
        _ => Err(EditError::WrongPlace {
            at: at.clone(),
            wanted: "a list as the text is written",
        }),
    }
}

/// Moves an entry within its list.
pub(super) fn shift(
    view: &View<'_>,
    at: &Place,
    position: &Position,
) -> Result<(Place, Patches), EditError> {
    let (list, table, from) = view.entry(at)?;
    let to = slot(view, &list, table, position, Some(from))?;
    if to == from {
        return Ok((at.clone(), Patches::none(view.text)));
    }
    let id = view.found(&list)?;
    let element = view.node(id).elements[from];
    if view.node(id).form == Form::Array {
        let patches = view.change(brackets::shift(view, id, from, to));
        let now = View::of(view.grammar, &patches.text).entry_at(&list, table, to);
        return Ok((now.unwrap_or_else(|| at.clone()), patches));
    }
    let text = block_of(view, element);
    let taken = remove(view, at)?;
    let without = View::of(view.grammar, &taken.text);
    let id = without.found(&list)?;
    let put = insert(&without, at, id, to, &text)?;
    let now = View::of(view.grammar, &put.text).entry_at(&list, table, to);
    Ok((now.unwrap_or_else(|| at.clone()), taken.then(put)))
}

/// Returns the lines of a node, with the comments above them.
fn block_of(view: &View<'_>, id: Id) -> String {
    let newline = view.layout.newline;
    let mut out = String::new();
    for run in view.layout.runs(id) {
        let range = lines(&view.layout, &run);
        if !out.is_empty() {
            out.push_str(newline);
        }
        out.push_str(&view.text[range]);
        if !out.ends_with('\n') {
            out.push_str(newline);
        }
    }
    out
}

fn lines(layout: &Layout, run: &Range<usize>) -> Range<usize> {
    layout.statements[run.start].lead..layout.statements[run.end - 1].end
}

/// Removes whatever is at a place.
pub(super) fn remove(view: &View<'_>, at: &Place) -> Result<Patches, EditError> {
    if let Target::Top = view.target(at)? {
        return Err(EditError::WrongPlace {
            at: at.clone(),
            wanted: "something that can be removed",
        });
    }
    let id = view.found(at)?;
    let Some(brackets) = view.node(id).brackets else {
        let runs = view.layout.runs(id);
        return Ok(view.change(runs.iter().map(|run| cut(view, run)).collect()));
    };
    let parts = &view.node(brackets).parts;
    let inside = |n: &usize| view.layout.is_within(parts[*n].node, id);
    let mut these = (0..parts.len()).filter(inside);
    match (these.next(), these.next()) {
        (Some(only), None) => Ok(view.change(brackets::remove(view, brackets, only))),
        (Some(first), Some(_)) => {
            // A table of dotted keys in line goes key by key.
            let taken = view.change(brackets::remove(view, brackets, first));
            let rest = remove(&View::of(view.grammar, &taken.text), at)?;
            Ok(taken.then(rest))
        }
        _ => Err(EditError::NothingThere { at: at.clone() }),
    }
}

/// Returns the range of a run to take out: a block under a header takes the blank lines behind it
/// along, or at the end of the text those in front.
fn cut(view: &View<'_>, run: &Range<usize>) -> (Range<usize>, String) {
    let mut range = lines(&view.layout, run);
    if view.layout.statements[run.start].is_header {
        let rest = &view.text[range.end..];
        let mut blank = 0;
        for line in rest.split_inclusive('\n') {
            if !line.trim().is_empty() {
                break;
            }
            blank += line.len();
        }
        range.end += blank;
        if range.end == view.text.len() {
            let kept = view.text[..range.start].trim_end();
            let keep = view.text[kept.len()..].find('\n').map_or(0, |n| n + 1);
            range.start = range.start.min(kept.len() + keep);
        }
    }
    (range, String::new())
}

/// Behind the last line of a node.
pub(super) fn behind(view: &View<'_>, id: Id) -> Where {
    let last = view.layout.runs(id).last().map(|run| run.end - 1);
    Where::Behind(last.map_or(0, |n| view.layout.statements[n].end))
}

/// In front of the first line of a node.
pub(super) fn before(view: &View<'_>, id: Id) -> Where {
    let first = view.layout.runs(id).first().map(|run| run.start);
    Where::Before(first.map_or(view.text.len(), |n| view.layout.statements[n].lead))
}

/// Behind the last table that the format writes before `key` at the top.
pub(super) fn after_sibling(view: &View<'_>, key: &str) -> Where {
    let keys = view.grammar.keys;
    let own = keys
        .iter()
        .position(|k| k.name == key)
        .unwrap_or(keys.len());
    let above = keys[..own].iter().rev();
    let there = above.filter_map(|k| view.layout.child(TOP, k.name));
    // A key without a header of its own stands above all headers.
    let last = there
        .filter_map(|id| view.layout.runs(id).last().map(|run| run.end - 1))
        .max();
    let body = view.layout.last_of_body(TOP);
    match last.max(body) {
        Some(n) => Where::Behind(view.layout.statements[n].end),
        None => view
            .layout
            .statements
            .first()
            .map_or(Where::Behind(view.text.len()), |s| Where::Before(s.lead)),
    }
}

impl View<'_> {
    /// Returns the text with some ranges changed.
    pub(super) fn change(&self, changes: Vec<(Range<usize>, String)>) -> Patches {
        Patches::of(self.text, changes)
    }

    /// Puts a line below a statement, indented like it; without one, in front of everything.
    pub(super) fn line_after(&self, last: Option<usize>, line: &str) -> (Range<usize>, String) {
        let newline = self.layout.newline;
        let Some(last) = last.map(|n| &self.layout.statements[n]) else {
            let first = self.layout.statements.first();
            return match first {
                Some(first) => (first.lead..first.lead, format!("{line}{newline}{newline}")),
                None => {
                    let end = self.text.len();
                    let gap = if self.text.is_empty() || self.text.ends_with('\n') {
                        ""
                    } else {
                        newline
                    };
                    (end..end, format!("{gap}{line}{newline}"))
                }
            };
        };
        let start = &self.text[last.start..];
        let indent = &start[..start.len() - start.trim_start_matches([' ', '\t']).len()];
        let end = last.end;
        let new = if self.text[..end].ends_with('\n') {
            format!("{indent}{line}{newline}")
        } else {
            format!("{newline}{indent}{line}")
        };
        (end..end, new)
    }

    /// Puts a block of lines somewhere, with blank lines around it.
    pub(super) fn block(&self, place: Where, block: &str) -> (Range<usize>, String) {
        let newline = self.layout.newline;
        let block = with_breaks(block, newline);
        match place {
            Where::Before(at) => (at..at, format!("{block}{newline}")),
            Where::Behind(at) => {
                let close = if at == 0 || self.text[..at].ends_with('\n') {
                    ""
                } else {
                    newline
                };
                let open = if at == 0 { "" } else { newline };
                let next = self.text[at..].lines().next();
                let gap = if next.is_some_and(|l| !l.trim().is_empty()) {
                    newline
                } else {
                    ""
                };
                (at..at, format!("{close}{open}{block}{gap}"))
            }
        }
    }
}

/// Gives the lines of a block the breaks of the text; those inside values stay.
fn with_breaks(block: &str, newline: &str) -> String {
    if newline == "\n" || block.contains('\r') {
        return block.to_string();
    }
    let layout = Layout::of(block);
    let ends: Vec<usize> = layout.statements.iter().map(|s| s.end - 1).collect();
    let mut out = String::new();
    let mut at = 0;
    for line in block.split_inclusive('\n') {
        let end = at + line.len() - 1;
        if ends.contains(&end) || line == "\n" && !layout.is_inside(at) {
            out.push_str(line.trim_end_matches('\n'));
            out.push_str(newline);
        } else {
            out.push_str(line);
        }
        at += line.len();
    }
    out
}
