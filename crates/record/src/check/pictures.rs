//! Photographs: the file is there, scale points differ, regions lie inside the picture, things of known
//! size have their points and sizes.

use super::{Check, nearest};
use crate::files::refuse_path;
use crate::tree::{Node, Value};
use crate::{Content, PathState};
use std::collections::BTreeMap;

/// Width and height of each photo where known, by its id.
pub(super) type Sizes = BTreeMap<String, (u32, u32)>;

/// Checks every photo. Returns the sizes of their pictures.
pub(super) fn photos(check: &mut Check<'_>, root: &Node) -> Sizes {
    let mut sizes = Sizes::new();
    one_hero(check, root);
    for photo in root.list("photos") {
        let found = photo.get("file").and_then(|file| look(check, file));
        let stated = photo
            .get("pixels")
            .and_then(|node| pixels(check, node, found));
        let size = found.or(stated);
        if let (Some(id), Some(size)) = (photo.text("id"), size) {
            sizes.entry(id.to_string()).or_insert(size);
        }
        for reference in photo.list("references") {
            super::measures::reference(check, reference, size);
        }
        if let Some(scale) = photo.get("scale") {
            self::scale(check, scale, size);
        }
        for region in photo.list("regions") {
            self::region(check, region, size);
        }
    }
    sizes
}

/// Reports all photographs but the first that are to open the report.
fn one_hero(check: &mut Check<'_>, root: &Node) {
    let marks = root
        .list("photos")
        .iter()
        .filter_map(|photo| photo.get("hero"));
    let mut set = marks.filter(|mark| matches!(mark.value, Value::Boolean(true)));
    set.next();
    for second in set {
        check.report(
            &second.span,
            "another photograph opens the report already",
            "set `hero` for one photograph alone",
        );
    }
}

/// Adds the size of its picture to every photo that does not state it.
pub(super) fn note_sizes(dossier: &mut serde_json::Value, sizes: &Sizes) {
    let Some(photos) = dossier.get_mut("photos").and_then(|p| p.as_array_mut()) else {
        return;
    };
    for photo in photos.iter_mut().filter_map(|p| p.as_object_mut()) {
        let size = photo.get("id").and_then(|id| sizes.get(id.as_str()?));
        if let Some((width, height)) = size.copied() {
            photo
                .entry("pixels")
                .or_insert_with(|| serde_json::json!([width, height]));
        }
    }
}

/// Compares the size written with that of the file; returns it.
fn pixels(check: &mut Check<'_>, node: &Node, found: Option<(u32, u32)>) -> Option<(u32, u32)> {
    let (width, height) = point(Some(node))?;
    if let Some(found) = found
        && (f64::from(found.0), f64::from(found.1)) != (width, height)
    {
        check.report(
            &node.span,
            format!("the picture has {} × {} pixels", found.0, found.1),
            format!(
                "write pixels = [{}, {}], or name the other file",
                found.0, found.1
            ),
        );
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole numbers of 1 or more, and saturating by the language's rule"
    )]
    Some((width as u32, height as u32))
}

/// Looks the picture up and returns its size where known.
fn look(check: &mut Check<'_>, file: &Node) -> Option<(u32, u32)> {
    let name = file.as_text().filter(|name| refuse_path(name).is_none())?;
    match check.files.look(&format!("photos/{name}")) {
        PathState::File {
            content: Content::Other(is),
            ..
        } => {
            check.report(
                &file.span,
                format!("photos/{} is {is}, not a picture", crate::visible(name)),
                "put the photograph there: JPEG, PNG, WebP, TIFF or GIF",
            );
            None
        }
        PathState::File { size, .. } => size,
        fault => {
            super::places::tell(check, fault, "photos", name, &file.span.clone());
            None
        }
    }
}

fn scale(check: &mut Check<'_>, scale: &Node, size: Option<(u32, u32)>) {
    let (from, to) = (point(scale.get("from")), point(scale.get("to")));
    if let (Some(from), Some(to), Some(node)) = (from, to, scale.get("to"))
        && from == to
    {
        check.report(
            &node.span,
            "the two points of the scale are the same",
            "give two points as far apart as the picture allows",
        );
    }
    for key in ["from", "to"] {
        if let Some(node) = scale.get(key) {
            inside(check, node, size);
        }
    }
}

/// Reports a point outside the picture.
pub(super) fn inside(check: &mut Check<'_>, node: &Node, size: Option<(u32, u32)>) {
    if let (Some((x, y)), Some((width, height))) = (point(Some(node)), size)
        && (x > f64::from(width) || y > f64::from(height))
    {
        check.report(
            &node.span,
            format!("the point lies outside the picture of {width} × {height} pixels"),
            "give x and y in pixels from the top left corner",
        );
    }
}

pub(super) fn point(node: Option<&Node>) -> Option<(f64, f64)> {
    let Value::List(nodes) = &node?.value else {
        return None;
    };
    let number = |node: &Node| match node.value {
        #[allow(clippy::cast_precision_loss, reason = "pixels stay far below 2^53")]
        Value::Whole(n) => Some(n as f64),
        Value::Number(x) => Some(x),
        _ => None,
    };
    match nodes.as_slice() {
        [x, y] => Some((number(x)?, number(y)?)),
        _ => None,
    }
}

fn region(check: &mut Check<'_>, region: &Node, size: Option<(u32, u32)>) {
    let Some(node) = region.get("rect") else {
        return;
    };
    let numbers: Option<Vec<i64>> = region
        .list("rect")
        .iter()
        .map(|n| {
            if let Value::Whole(n) = n.value {
                Some(n)
            } else {
                None
            }
        })
        .collect();
    let Some(&[left, top, width, height]) = numbers.as_deref() else {
        return;
    };
    if width == 0 || height == 0 {
        check.report(
            &node.span,
            "the region has no area",
            "write left, top, width, height in pixels",
        );
        return;
    }
    let Some((picture_width, picture_height)) = size else {
        return;
    };
    if left.saturating_add(width) > i64::from(picture_width)
        || top.saturating_add(height) > i64::from(picture_height)
    {
        check.report(
            &node.span,
            format!(
                "the region leads out of the picture of {picture_width} × {picture_height} pixels"
            ),
            "write left, top, width, height in pixels from the top left corner",
        );
    }
}

/// Returns the name in a folder nearest to the one written.
pub(super) fn nearest_file(check: &Check<'_>, folder: &str, name: &str) -> Option<String> {
    let names = check.files.names(folder);
    nearest(name, names.iter().map(String::as_str)).map(str::to_string)
}
