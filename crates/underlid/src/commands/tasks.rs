//! `underlid tasks`: what is left to do for the author.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen;
use app::{ExamineOptions, Task};
use record::visible;
use std::path::PathBuf;

pub(crate) fn run(
    folder: Option<PathBuf>,
    catalogues: Vec<PathBuf>,
    format: Format,
) -> Result<(), Failure> {
    let folder = folder::of(folder)?;
    let examined = app::examine(&ExamineOptions { folder, catalogues }, &Terminal)?;
    let found = app::tasks(&examined.dossier, &examined.findings);
    match format {
        Format::Json => {
            let tasks: Vec<serde_json::Value> = found
                .tasks
                .iter()
                .map(|task| {
                    serde_json::json!({
                        "what": task.what, "how": task.how, "before": task.before, "about": task.about,
                        "look-at": task.look_at, "marking": task.marking, "package": task.package,
                    })
                })
                .collect();
            let answer = serde_json::json!({ "tasks": tasks, "too-late": found.too_late });
            screen::print_as(format, &format!("{answer:#}\n"))
        }
        Format::Text => {
            let mut text = match found.tasks.len() {
                0 => "Nothing is left to do.\n".to_string(),
                1 => "1 thing is left to do:\n".to_string(),
                n => format!("{n} things are left to do:\n"),
            };
            for task in &found.tasks {
                text += &line(task);
            }
            if found.too_late > 0 {
                text += &format!(
                    "{} more can no longer be done on this sample.\n",
                    found.too_late
                );
            }
            screen::print(&text)
        }
    }
}

fn line(task: &Task) -> String {
    let mut text = format!("- {}", visible(&task.what));
    if let Some(how) = &task.how {
        text += &format!(", to {}", visible(how));
    }
    if let Some(step) = &task.before {
        let id = step.entry_id().unwrap_or_default();
        text += &format!("; before step {}", visible(id));
    }
    text.push('\n');
    if !task.look_at.is_empty() {
        let places: Vec<String> = task.look_at.iter().map(ToString::to_string).collect();
        text += &format!("    look at {}\n", visible(&places.join(", ")));
    }
    if !task.marking.is_empty() {
        let package = task
            .package
            .as_ref()
            .map_or(String::new(), |p| format!(" --package \"{}\"", visible(p)));
        text += &format!(
            "    underlid read \"{}\"{package}\n",
            visible(&task.marking.join("|"))
        );
    }
    text
}
