//! Things of known size and measures in photographs: enough points, inside the picture, with the sizes
//! their shape needs, in a photo that has something of known size.

use super::Check;
use super::pictures::{Sizes, inside, point};
use crate::tree::{Node, Value};
use crate::{MeasureSubject, ON_A_SIDE, ReferenceShape};
use serde::Deserialize;
use serde::de::IntoDeserializer;
use serde::de::value::{Error, StrDeserializer};
use std::collections::BTreeMap;

/// Checks one thing of known size.
pub(super) fn reference(check: &mut Check<'_>, node: &Node, size: Option<(u32, u32)>) {
    points(check, node, size);
    let Some(shape) = node.text("shape").and_then(word::<ReferenceShape>) else {
        return;
    };
    let (least, most, needs): (usize, usize, &[&str]) = match shape {
        ReferenceShape::Distance => (2, 2, &["length"]),
        ReferenceShape::Rectangle => (4, 4, &["length", "width"]),
        ReferenceShape::Ruler => (2, usize::MAX, &[]),
        ReferenceShape::Grid => (2, usize::MAX, &["pitch", "columns"]),
        ReferenceShape::Unknown => (0, usize::MAX, &[]),
    };
    let name = node.text("shape").unwrap_or_default();
    let outline = shape == ReferenceShape::Rectangle;
    count(check, node, name, (least, most), outline);
    for key in needs {
        if node.get(key).is_none() {
            lacks(check, node, name, key);
        }
    }
    let marks = node.list("marks");
    if shape == ReferenceShape::Ruler {
        let marked = node.list("at").len();
        match node.get("marks") {
            None if node.get("pitch").is_none() => lacks(check, node, name, "marks"),
            Some(list) if !marks.is_empty() && marks.len() != marked => check.report(
                &list.span,
                format!("there are {marked} points and {} marks", marks.len()),
                "give one mark for each point, in the same order",
            ),
            _ => {}
        }
    }
}

/// Checks every measure.
pub(super) fn measures(check: &mut Check<'_>, root: &Node, sizes: &Sizes) {
    let photos: BTreeMap<&str, &Node> = root
        .list("photos")
        .iter()
        .filter_map(|p| Some((p.text("id")?, p)))
        .collect();
    let mut earlier: BTreeMap<&str, &Node> = BTreeMap::new();
    for node in root.list("measures") {
        let photo = node.text("photo").and_then(|id| photos.get(id));
        points(
            check,
            node,
            node.text("photo").and_then(|id| sizes.get(id)).copied(),
        );
        if let (Some(photo), Some(place)) = (photo, node.get("photo"))
            && photo.get("scale").is_none()
            && photo.list("references").is_empty()
        {
            check.report(
                &place.span,
                "nothing of known size is marked in this photo",
                "add `scale` or [[photos.references]] to the photo",
            );
        }
        if let Some(what) = node.text("what").and_then(word::<MeasureSubject>) {
            subject(check, node, what);
        }
        if let Some(photo) = photo {
            region(check, node, photo);
        }
        replaced(check, node, &earlier);
        if let Some(id) = node.text("id") {
            earlier.entry(id).or_insert(node);
        }
    }
}

/// Points, steps and item that a measure needs.
fn subject(check: &mut Check<'_>, node: &Node, what: MeasureSubject) {
    count(check, node, what.word(), what.points(), what.is_outline());
    if !what.sizes().is_empty() && node.get("item").is_none() {
        lacks(check, node, what.word(), "item");
    }
    let Some(list) = node.get("steps") else {
        return;
    };
    let steps: Vec<i64> = node
        .list("steps")
        .iter()
        .filter_map(|n| match n.value {
            crate::tree::Value::Whole(n) => Some(n),
            _ => None,
        })
        .collect();
    if what != MeasureSubject::Pitch {
        check.report(
            &list.span,
            format!("a measure of {} has no steps", what.word()),
            "remove `steps`, or write what = \"pitch\"",
        );
    } else if steps.len() != node.list("at").len()
        || steps.first() != Some(&0)
        || steps.windows(2).any(|w| w[0] >= w[1])
    {
        check.report(
            &list.span,
            "the steps do not count the row from its first point",
            "give one number for each point, rising from 0",
        );
    }
}

/// A measure of an outline names a region of its photo, and the item seen there.
fn region(check: &mut Check<'_>, node: &Node, photo: &Node) {
    let (Some(place), Some(id)) = (node.get("region"), node.text("region")) else {
        return;
    };
    let regions = photo.list("regions");
    match regions.iter().find(|r| r.text("id") == Some(id)) {
        None => {
            let near = super::nearest(id, regions.iter().filter_map(|r| r.text("id")));
            check.report(
                &place.span,
                format!(
                    "the photo \"{}\" has no region with the id \"{}\"",
                    photo.text("id").unwrap_or_default(),
                    crate::source::excerpt(id)
                ),
                near.map_or_else(
                    || "add it under [[photos.regions]], or correct the id".to_string(),
                    |near| format!("write \"{near}\""),
                ),
            );
        }
        Some(region) => {
            if let (Some(seen), Some(measured)) = (region.text("item"), node.text("item"))
                && seen != measured
            {
                check.report(
                    &place.span,
                    format!("the region shows \"{seen}\", but \"{measured}\" is measured"),
                    "name the region of this item, or correct the item",
                );
            }
        }
    }
}

/// A measure replaces one above it, of the same thing.
fn replaced(check: &mut Check<'_>, node: &Node, earlier: &BTreeMap<&str, &Node>) {
    let Some(place) = node.get("replaces") else {
        return;
    };
    let Some(id) = place.as_text() else { return };
    match earlier.get(id) {
        Some(old)
            if (old.text("item"), old.text("what")) != (node.text("item"), node.text("what")) =>
        {
            check.report(
                &place.span,
                format!("\"{id}\" measured something else"),
                "a measure replaces one of the same item and size",
            );
        }
        // What no id has is told as a reference that leads nowhere.
        None if check.is_declared(id) => check.report(
            &place.span,
            format!("\"{id}\" does not stand above this measure"),
            "write the newer measure below the one it replaces",
        ),
        _ => {}
    }
}

/// Every point lies in the picture, no two are the same, and each has its uncertainty where they are snapped.
fn points(check: &mut Check<'_>, node: &Node, size: Option<(u32, u32)>) {
    let list = node.list("at");
    let snapped = node.list("snapped");
    if let Some(place) = node.get("snapped").filter(|_| snapped.len() != list.len()) {
        check.report(
            &place.span,
            format!(
                "there are {} points and {} uncertainties",
                list.len(),
                snapped.len()
            ),
            "give three numbers for each point, in the same order, or remove `snapped`",
        );
    }
    for numbers in snapped {
        let first = match &numbers.value {
            Value::List(numbers) => numbers.first().map(|n| &n.value),
            _ => None,
        };
        let is_least = match first {
            Some(Value::Number(x)) => *x >= 0.001,
            Some(Value::Whole(n)) => *n > 0,
            _ => true,
        };
        if !is_least {
            check.report(
                &numbers.span,
                "the uncertainty of a point is not above zero".to_string(),
                "write at least 0.001 first",
            );
        }
    }
    for (n, place) in list.iter().enumerate() {
        inside(check, place, size);
        let here = point(Some(place));
        if here.is_some() && list[..n].iter().any(|p| point(Some(p)) == here) {
            check.report(
                &place.span,
                "this point is in the list already",
                "mark each point once",
            );
        }
    }
}

/// Checks the number of points; of an `outline` they may lie on its sides.
fn count(
    check: &mut Check<'_>,
    node: &Node,
    name: &str,
    (least, most): (usize, usize),
    outline: bool,
) {
    let (found, Some(list)) = (node.list("at").len(), node.get("at")) else {
        return;
    };
    let place = node.get("on-sides");
    let on_sides = place.is_some_and(|p| matches!(p.value, crate::tree::Value::Boolean(true)));
    if let Some(place) = place.filter(|_| on_sides && !outline) {
        check.report(
            &place.span,
            format!("\"{name}\" has no sides"),
            "remove `on-sides`; only outlines are marked on their sides",
        );
        return;
    }
    let each = if on_sides { ON_A_SIDE } else { 1 };
    if found % each == 0 && (least..=most).contains(&(found / each)) {
        return;
    }
    let wanted = match (on_sides, least == most) {
        (false, true) => format!("exactly {least} points"),
        (false, false) => format!("at least {least} points"),
        (true, true) => format!("exactly {ON_A_SIDE} points on each of {least} sides"),
        (true, false) => format!("{ON_A_SIDE} points on each of at least {least} sides"),
    };
    check.report(
        &list.span,
        format!(
            "{found} {} given",
            if found == 1 { "point is" } else { "points are" }
        ),
        format!("mark {wanted} for \"{name}\""),
    );
}

fn lacks(check: &mut Check<'_>, node: &Node, name: &str, key: &str) {
    check.report_lack(
        &node.span,
        key,
        format!("\"{name}\" needs `{key}`"),
        format!("add {key} = …"),
    );
}

/// Reads a word of a closed list as its type; `None` for others, which are told where the key is checked.
fn word<'a, T: Deserialize<'a>>(text: &'a str) -> Option<T> {
    let reader: StrDeserializer<'a, Error> = text.into_deserializer();
    T::deserialize(reader).ok()
}
