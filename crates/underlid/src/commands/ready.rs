//! `underlid ready`: what is missing before a report is published.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen;
use app::{ExamineOptions, Gap};
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
    let text = match format {
        Format::Json => {
            let gaps: Vec<_> = readiness.gaps.iter().map(json).collect();
            let answer = serde_json::json!({ "missing": gaps, "disclosure": readiness.disclosure });
            format!("{answer:#}")
        }
        Format::Text => {
            let mut text = String::new();
            for gap in &readiness.gaps {
                text += &format!(
                    "{}: {}\n  at {}\n  try: {}\n",
                    gap.about, gap.message, gap.place, gap.remedy
                );
            }
            let count = readiness.gaps.len();
            text += &match count {
                0 => "Ready to publish.\n".into(),
                1 => "\n1 thing is missing.\n".into(),
                _ => format!("\n{count} things are missing.\n"),
            };
            text += "The report discloses:\n";
            for said in &readiness.disclosure {
                text += &format!("  {said}\n");
            }
            text
        }
    };
    screen::print_as(format, &text)?;
    if readiness.gaps.is_empty() {
        Ok(())
    } else {
        Err(Failure::Answered)
    }
}

fn json(gap: &Gap) -> serde_json::Value {
    serde_json::json!({
        "about": gap.about, "place": gap.place.to_string(), "message": gap.message, "remedy": gap.remedy,
    })
}
