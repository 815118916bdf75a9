//! A table of times as a table again.
//!
//! In: rows. Out: CSV that reads back as the same rows; cells that a spreadsheet would take for formulas are guarded.

use super::{Entry, Per, Way};
use record::Action;

/// Writes rows with their headings, in seconds.
pub fn write<'a>(rows: impl IntoIterator<Item = &'a Entry>) -> String {
    let mut text = "action,tool,per,way,category,seconds,source\n".to_string();
    for row in rows {
        let cells = [
            action(row),
            row.tool.clone(),
            if row.per == Per::Fastener {
                "fastener"
            } else {
                ""
            }
            .to_string(),
            if row.way == Way::Back { "back" } else { "" }.to_string(),
            row.category.clone(),
            row.seconds.to_string(),
            row.source.clone(),
        ];
        text.push_str(&cells.map(|cell| quoted(&cell)).join(","));
        text.push('\n');
    }
    text
}

fn action(row: &Entry) -> String {
    let word = |action: Action| {
        serde_json::to_value(action)
            .ok()?
            .as_str()
            .map(String::from)
    };
    match row.per {
        Per::ToolChange => "tool change".to_string(),
        Per::Act | Per::Fastener => row
            .action
            .and_then(word)
            .unwrap_or_else(|| "any".to_string()),
    }
}

fn quoted(cell: &str) -> String {
    let cell = catalogue::escaped_formula(cell);
    format!("\"{}\"", cell.replace('"', "\"\""))
}
