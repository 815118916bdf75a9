//! `underlid tasks`: what is left to do for the author.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen;
use app::{ExamineOptions, Task};
use record::{Place, visible};
use serde_json::{Value as Json, json};
use std::path::{Path, PathBuf};

pub(crate) fn run(
    folder: Option<PathBuf>,
    catalogues: Vec<PathBuf>,
    pictures: Option<&Path>,
    format: Format,
) -> Result<(), Failure> {
    let folder = folder::of(folder)?;
    let options = ExamineOptions { folder, catalogues };
    let examined = app::examine(&options, &Terminal)?;
    let found = app::tasks(&examined.dossier, &examined.findings);
    let crops = match pictures {
        Some(into) => app::task_pictures(
            &options.folder,
            &examined.dossier,
            &found.tasks,
            into,
            &Terminal,
        )?,
        None => Vec::new(),
    };
    match format {
        Format::Json => {
            let tasks: Vec<Json> = found.tasks.iter().map(|t| json(t, &crops)).collect();
            let late: Vec<Json> = found.too_late.iter().map(|t| json(t, &crops)).collect();
            let answer = json!({ "tasks": tasks, "too-late": late });
            screen::print_json(&answer)
        }
        Format::Text => {
            let mut text = match found.tasks.len() {
                0 => "Nothing is left to do.\n".to_string(),
                1 => "1 thing is left to do:\n".to_string(),
                n => format!("{n} things are left to do:\n"),
            };
            for task in &found.tasks {
                text += &line(task, &crops, pictures);
            }
            if !found.too_late.is_empty() {
                text += "Can no longer be done on this sample:\n";
            }
            for task in &found.too_late {
                text += &format!("- {}\n", too_late(task));
            }
            screen::print(&text)
        }
    }
}

/// The crops that belong to a task.
fn files<'c>(task: &Task, crops: &'c [(Place, String)]) -> Vec<&'c str> {
    let own = crops
        .iter()
        .filter(|(place, _)| task.look_at.contains(place));
    own.map(|(_, file)| file.as_str()).collect()
}

/// Writes a task for programs.
pub(super) fn json(task: &Task, crops: &[(Place, String)]) -> Json {
    json!({
        "what": task.what, "how": task.how, "before": task.before, "about": task.about,
        "look-at": task.look_at, "pictures": files(task, crops), "marking": task.marking,
        "package": task.package,
    })
}

/// Says what to do, how finely and until when.
pub(super) fn pending(task: &Task) -> String {
    let mut text = visible(&task.what);
    if let Some(how) = &task.how {
        text += &format!(", to {}", visible(how));
    }
    if let Some(step) = &task.before {
        let id = step.entry_id().unwrap_or_default();
        text += &format!("; before step {}", visible(id));
    }
    text
}

/// Says what can no longer be done, and what ended it.
pub(super) fn too_late(task: &Task) -> String {
    let step = task.before.as_ref().and_then(|step| step.entry_id());
    let ended = step.map(|id| format!("; step {} has ended it", visible(id)));
    visible(&task.what) + &ended.unwrap_or_default()
}

fn line(task: &Task, crops: &[(Place, String)], folder: Option<&Path>) -> String {
    let mut text = format!("- {}\n", pending(task));
    if !task.look_at.is_empty() {
        let places: Vec<String> = task.look_at.iter().map(ToString::to_string).collect();
        text += &format!("    look at {}\n", visible(&places.join(", ")));
    }
    for file in files(task, crops) {
        let path = folder.unwrap_or(Path::new("")).join(file);
        text += &format!("    crop {}\n", screen::shown(&path));
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
