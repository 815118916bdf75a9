//! Photographs: the file is there, scale points differ, regions lie inside the picture.

use super::{Check, nearest};
use crate::Look;
use crate::files::refuse_path;
use crate::tree::{Node, Value};

pub(super) fn photos(check: &mut Check<'_>, root: &Node) {
    for photo in root.list("photos") {
        let size = photo.get("file").and_then(|file| look(check, file));
        if let Some(scale) = photo.get("scale") {
            self::scale(check, scale, size);
        }
        for region in photo.list("regions") {
            self::region(check, region, size);
        }
    }
}

/// Looks the picture up and returns its size where known.
fn look(check: &mut Check<'_>, file: &Node) -> Option<(u32, u32)> {
    let name = file.as_text().filter(|name| refuse_path(name).is_none())?;
    match check.files.look(&format!("photos/{name}")) {
        Look::File { size } => size,
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
    let Some((width, height)) = size else { return };
    for key in ["from", "to"] {
        if let (Some((x, y)), Some(node)) = (point(scale.get(key)), scale.get(key))
            && (x > f64::from(width) || y > f64::from(height))
        {
            check.report(
                &node.span,
                format!("the point lies outside the picture of {width} × {height} pixels"),
                "give x and y in pixels from the top left corner",
            );
        }
    }
}

fn point(node: Option<&Node>) -> Option<(f64, f64)> {
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
