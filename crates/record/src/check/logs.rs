//! Logs: the file is there, and its columns give a time and a current.

use super::Check;
use crate::PathState;
use crate::files::refuse_path;
use crate::grammar::LOGS;
use crate::tree::Node;
use quantity::{Dimension, Unit};

/// Checks every log.
pub(super) fn logs(check: &mut Check<'_>, root: &Node) {
    for log in root.list("logs") {
        if let Some(file) = log.get("file") {
            look(check, file);
        }
        if let Some(columns) = log.get("columns") {
            self::columns(check, columns);
        }
    }
}

fn look(check: &mut Check<'_>, file: &Node) {
    let Some(name) = file.as_text().filter(|name| refuse_path(name).is_none()) else {
        return;
    };
    match check.files.look(&format!("{LOGS}/{name}")) {
        PathState::File { .. } => {}
        fault => super::places::tell(check, fault, LOGS, name, &file.span.clone()),
    }
}

/// What each column may hold.
const DIMENSIONS: [(&str, Dimension); 5] = [
    ("voltage", Dimension::VOLTAGE),
    ("current", Dimension::CURRENT),
    ("power", Dimension::POWER),
    ("charge", Dimension::CHARGE),
    ("energy", Dimension::ENERGY),
];

fn columns(check: &mut Check<'_>, columns: &Node) {
    if check.partial {
        return;
    }
    if columns.get("time").is_none() && columns.get("interval").is_none() {
        check.report(
            &columns.span,
            "no column holds the time, and no interval between rows is given",
            "write time = { column = 1, form = \"number\", unit = \"s\" }, or interval = \"1 s\"",
        );
    }
    if columns.get("current").is_none() && columns.get("power").is_none() {
        check.report(
            &columns.span,
            "no column holds a current or a power",
            "write current = { column = 3, unit = \"A\" }",
        );
    }
    if let Some(time) = columns.get("time")
        && time.text("form") == Some("number")
        && !matches!(time.text("unit"), Some("s" | "ms" | "min" | "h" | "d"))
    {
        check.report(
            &time.span,
            "the time is a number and its unit is none of s, ms, min, h, d",
            "write unit = \"s\" in `time`",
        );
    }
    for (key, dimension) in DIMENSIONS {
        let Some(node) = columns.get(key).and_then(|column| column.get("unit")) else {
            continue;
        };
        let Some(text) = node.as_text() else { continue };
        if Unit::parse(text)
            .ok()
            .is_none_or(|unit| unit.dimension() != dimension)
        {
            check.report(
                &node.span,
                format!(
                    "\"{}\" is no unit of {dimension}",
                    crate::source::excerpt(text)
                ),
                "write the unit that the file has, such as V, mA, W, mAh or Wh",
            );
        }
    }
}
