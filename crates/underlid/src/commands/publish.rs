//! `underlid publish`: the report folder.

use crate::arguments::{Format, PublishArguments};
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use crate::{folder, opened};
use app::{Dated, PublishOptions, Published};
use record::visible;
use std::path::Path;

pub(crate) fn run(arguments: PublishArguments, format: Format) -> Result<(), Failure> {
    if let (Some(library), Some(into)) = (&arguments.library, &arguments.into) {
        return site(library, into, arguments.open, format);
    }
    let options = PublishOptions {
        folder: folder::of(arguments.folder)?,
        into: arguments.into,
        bundle: arguments.bundle,
        film: arguments.film,
        catalogues: arguments.catalogues,
        typefaces: arguments.typefaces,
        dated: Some(Dated::today(arguments.reason)),
    };
    published(&options, arguments.open, format)
}

/// Writes the site of a library and says what is in it.
fn site(library: &Path, into: &Path, open: bool, format: Format) -> Result<(), Failure> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(Failure::Unprinted)?;
    let site = runtime.block_on(async {
        let library = app::keeping::open(library).await?;
        let site = app::site(&library, into, &Terminal).await;
        library.close().await;
        site
    })?;
    let text = match format {
        Format::Json => {
            let answer = serde_json::json!({
                "folder": into, "reports": site.reports, "files": site.files, "not-published": site.unpublished,
            });
            format!("{answer:#}\n")
        }
        Format::Text => {
            let reports = methods::words::counted(site.reports, "report", "reports");
            let mut text = format!("Site in {}: {reports}, {} files.\n", shown(into), site.files);
            for name in &site.unpublished {
                text.push_str(&format!("Not in it, since nothing of it was published: {}\n", visible(name)));
            }
            text
        }
    };
    screen::print_as(format, &text)?;
    if open {
        opened::page(&into.join("index.html"));
    }
    Ok(())
}

/// Publishes, says what was written, and opens it if that is wanted.
pub(super) fn published(
    options: &PublishOptions,
    open: bool,
    format: Format,
) -> Result<(), Failure> {
    let published = app::publish(options, &Terminal)?;
    match format {
        Format::Text => text(&published)?,
        Format::Json => screen::print_as(format, &json(&published))?,
    }
    if open {
        opened::report(&published.into);
    }
    Ok(())
}

fn json(published: &Published) -> String {
    let files: Vec<serde_json::Value> = published
        .files
        .iter()
        .map(|file| serde_json::json!({ "path": file.path, "bytes": file.bytes.len() }))
        .collect();
    let counts = methods::verdict_counts(&published.findings.findings);
    let typefaces = &published.typefaces;
    let answer = serde_json::json!({
        "folder": published.into, "files": files, "left-out": published.left_out,
        "edition": published.edition, "typefaces": typefaces.names(), "missing": typefaces.missing, "claims": {
            "hold": counts.holds, "fail": counts.fails, "undecided": counts.undecided,
            "need-evidence": counts.needs_evidence,
        },
    });
    format!("{answer:#}\n")
}

fn text(published: &Published) -> Result<(), Failure> {
    screen::print_marked(&report::terminal(
        &published.dossier,
        &published.findings,
        screen::width(),
    ))?;
    let mut summary = format!("\nReport in {}:\n", shown(&published.into));
    if let Some(edition) = &published.edition {
        summary.push_str(&format!("{}\n", visible(&edition.sentence())));
    }
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
