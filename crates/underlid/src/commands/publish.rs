//! `underlid publish`: the report folder.

use super::{examine_with_progress, open};
use crate::failure::Failure;
use crate::screen::shown;
use crate::{photographs, progress, screen};
use record::visible;
use std::path::{Path, PathBuf};
use store::{Output, OutputFile};

const REPORT: Output = Output {
    kind: "report",
    unmarked: &[
        "report.html",
        "report.pdf",
        "workbook.xlsx",
        "parts.csv",
        "findings.json",
    ],
};

pub(crate) fn run(
    folder: &Path,
    into: Option<&Path>,
    catalogues: &[PathBuf],
) -> Result<(), Failure> {
    let default = folder.join("report");
    publish(folder, into.unwrap_or(&default), catalogues)
}

/// Examines the dossier in `folder`, writes its report to `into` and prints the summary.
pub(crate) fn publish(folder: &Path, into: &Path, catalogues: &[PathBuf]) -> Result<(), Failure> {
    REPORT.may_fill(into)?;
    let dossier = open(folder)?;
    let photographs = photographs::for_publication(folder, &dossier);
    let findings = examine_with_progress(folder, &dossier, catalogues)?;

    progress::stage("composing the report");
    let document = report::compose(&dossier, &findings, &photographs);
    progress::stage("setting HTML");
    let html = report::html(&document);
    progress::stage("setting PDF");
    let pages = pdf::pdf(&document).map_err(|e| Failure::Outside {
        message: format!("cannot set the PDF: {e}"),
        remedy: "check that every photograph opens in a picture viewer".to_string(),
    })?;
    progress::stage("filling the spreadsheet");
    let workbook = report::xlsx(&dossier, &findings).map_err(|e| Failure::Outside {
        message: format!("cannot fill the spreadsheet: {e}"),
        remedy: "shorten the text named above; a cell holds 32,767 characters".to_string(),
    })?;
    let files = [
        ("report.html", html.into_bytes()),
        ("report.pdf", pages),
        ("workbook.xlsx", workbook),
        ("parts.csv", report::parts_csv(&findings).into_bytes()),
        ("findings.json", report::json(&findings).into_bytes()),
    ]
    .map(|(path, bytes)| OutputFile {
        path: path.to_string(),
        bytes,
    });
    REPORT.write(into, &files)?;

    screen::print_marked(&report::terminal(&dossier, &findings, screen::width()))?;
    let mut summary = format!("\nReport in {}:\n", shown(into));
    for file in &files {
        summary.push_str(&format!(
            "  {:<14} {:>7}\n",
            file.path,
            size(file.bytes.len())
        ));
    }
    for (file, why) in &photographs.left_out {
        summary.push_str(&format!("Not shown: photos/{}: {why}\n", visible(file)));
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
