//! `underlid publish`: the report folder.

use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::PublishOptions;
use record::visible;
use std::path::PathBuf;

pub(crate) fn run(
    folder: PathBuf,
    into: Option<PathBuf>,
    catalogues: Vec<PathBuf>,
    typefaces: Option<Vec<PathBuf>>,
    bundle: bool,
) -> Result<(), Failure> {
    let options = PublishOptions {
        folder,
        into,
        bundle,
        catalogues,
        typefaces,
    };
    let published = app::publish(&options, &Terminal)?;
    screen::print_marked(&report::terminal(
        &published.dossier,
        &published.findings,
        screen::width(),
    ))?;
    let mut summary = format!("\nReport in {}:\n", shown(&published.into));
    for file in published.files.iter().filter(|f| !f.path.contains('/')) {
        summary.push_str(&format!(
            "  {:<14} {:>7}\n",
            file.path,
            size(file.bytes.len())
        ));
    }
    if let Some(fingerprint) = &published.fingerprint {
        summary.push_str(&format!(
            "  bundle/ for readers: `underlid verify` works it out again\nFingerprint of the bundle: {fingerprint}\n"
        ));
    }
    for (file, why) in &published.left_out {
        summary.push_str(&format!("Not shown: photos/{}: {why}\n", visible(file)));
    }
    let typefaces = &published.typefaces;
    for said in [typefaces.set_in(), typefaces.warning()]
        .into_iter()
        .flatten()
    {
        summary.push_str(&format!("{}\n", visible(&said)));
    }
    screen::print(&summary)
}

/// Writes a file size the way a folder listing does.
fn size(bytes: usize) -> String {
    if bytes < 1_000_000 {
        format!("{} kB", bytes.div_ceil(1000))
    } else {
        format!("{}.{} MB", bytes / 1_000_000, bytes % 1_000_000 / 100_000)
    }
}
