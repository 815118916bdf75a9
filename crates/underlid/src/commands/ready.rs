//! `underlid ready`: what is missing before a report is published.

use super::tasks;
use crate::arguments::Format;
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen;
use app::{ExamineOptions, Gap, Readiness, Task};
use serde_json::{Value as Json, json};
use std::path::PathBuf;

pub(crate) fn run(
    named: Option<PathBuf>,
    catalogues: Vec<PathBuf>,
    format: Format,
) -> Result<(), Failure> {
    let readiness = app::ready(
        &ExamineOptions {
            folder: folder::of(named)?,
            catalogues,
        },
        &Terminal,
    )?;
    match format {
        Format::Json => screen::print_json(&json(&readiness))?,
        Format::Text => screen::print(&text(&readiness))?,
    }
    if readiness.gaps.is_empty() {
        Ok(())
    } else {
        Err(Failure::Answered)
    }
}

fn json(readiness: &Readiness) -> Json {
    let gap = |gap: &Gap| {
        json!({
            "about": gap.about, "place": gap.place.to_string(), "message": gap.message,
            "remedy": gap.remedy,
        })
    };
    let tasks = |all: &[Task]| all.iter().map(|t| tasks::json(t, &[])).collect::<Vec<_>>();
    json!({
        "missing": readiness.gaps.iter().map(gap).collect::<Vec<_>>(),
        "pending": tasks(&readiness.pending),
        "too-late": tasks(&readiness.too_late),
        "disclosure": readiness.disclosure,
    })
}

fn text(readiness: &Readiness) -> String {
    let mut text = String::new();
    if !readiness.gaps.is_empty() {
        text += "Before publishing:\n";
    }
    for gap in &readiness.gaps {
        text += &format!(
            "- {}: {}\n    at {}\n    try: {}\n",
            gap.about, gap.message, gap.place, gap.remedy
        );
    }
    let mut list = |heading: &str, lines: Vec<String>| {
        if !lines.is_empty() {
            text += &format!("{heading}:\n");
        }
        for line in lines {
            text += &format!("- {line}\n");
        }
    };
    list(
        "Open in the report, and still to be had before a planned step",
        readiness.pending.iter().map(tasks::pending).collect(),
    );
    list(
        "Open in the report, and no longer to be had on this sample",
        readiness.too_late.iter().map(tasks::too_late).collect(),
    );
    text += "The report discloses:\n";
    for said in &readiness.disclosure {
        text += &format!("- {said}\n");
    }
    text + &match readiness.gaps.len() {
        0 => "Ready to publish.\n".to_string(),
        1 => "1 thing is missing.\n".to_string(),
        count => format!("{count} things are missing.\n"),
    }
}
