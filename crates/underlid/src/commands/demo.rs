//! `underlid demo`: the invented product, from record to report.

use super::publish;
use crate::arguments::Format;
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::{Dated, PublishOptions};
use std::path::Path;

pub(crate) fn run(into: &Path, open: bool, format: Format) -> Result<(), Failure> {
    let demo = app::write_demo(into, &Terminal)?;
    let options = PublishOptions {
        folder: demo.folder.clone(),
        into: Some(into.join("report")),
        bundle: true,
        film: true,
        dated: Some(Dated::today(None)),
        ..PublishOptions::default()
    };
    publish::published(&options, open, format)?;
    if format == Format::Json {
        return Ok(());
    }
    let at = shown(&demo.folder);
    let mut text = format!(
        "\nEverything in it is invented. Open {}/report/report.html, then edit\n\
         {at}/dossier.toml and run: underlid publish {at}",
        shown(into),
    );
    if demo.kept {
        text += &format!(
            "\n\nThis report is made from {at} as it was found, with your edits if there are any.\n\
             For a fresh one: underlid demo --into another-folder"
        );
    }
    screen::print(&text)
}
