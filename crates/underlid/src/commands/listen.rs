//! `underlid listen`: what is heard in the recordings of a dossier.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen;
use app::Listened;
use record::visible;
use serde_json::json;
use std::path::PathBuf;

pub(crate) fn run(folder: Option<PathBuf>, format: Format) -> Result<(), Failure> {
    let folder = folder::of(folder)?;
    let listened = app::listen(&folder, &Terminal)?;
    match format {
        Format::Json => screen::print_json(&json!({ "recordings": listened })),
        Format::Text => {
            if listened.is_empty() {
                return screen::print(
                    "The dossier has no recordings. Put files into recordings/ and add them under [[recordings]].\n",
                );
            }
            screen::print(&listened.iter().map(line).collect::<String>())
        }
    }
}

fn line(listened: &Listened) -> String {
    let id = visible(&listened.id);
    let Some(heard) = &listened.heard else {
        let why = listened.failed.as_deref().unwrap_or_default();
        return format!("{id}: not heard: {}\n", visible(why));
    };
    let most = heard.levels.iter().copied().fold(f64::MIN, f64::max);
    let mut text = format!(
        "{id}: {:.2} s at {} Hz, {most:.1} dB in the loudest third octave",
        heard.seconds, heard.rate
    );
    if let (Some(delay), Some(within)) = (heard.delay, heard.within) {
        text += &format!(
            ", {:.3} ms late (standard uncertainty {:.3} ms)",
            delay * 1e3,
            within * 1e3
        );
    }
    for (count, what) in [
        (heard.clipped, "cut off at full scale"),
        (heard.dropouts, "samples missing"),
    ] {
        if let Some(count) = count {
            text += &format!("; {what} in {count} places");
        }
    }
    for note in &heard.notes {
        text += &format!("; {}", visible(note));
    }
    text + "\n"
}
