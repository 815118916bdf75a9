//! A reader's own check: a bundle worked out again and compared with what was published.
//!
//! In: a bundle's folder, and the folder of the report if it is at hand. Out: what agrees and what differs, in words.
//! Not here: making a bundle (`bundle`).

use crate::bundle::{self, FINDINGS, List};
use crate::{Problem, Watch, dossier, examine, keeping};
use methods::{Finding, Findings};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use store::{limits, opener};

/// What to check.
#[derive(Debug, Clone, Default)]
pub struct VerifyOptions {
    /// The bundle's folder.
    pub bundle: PathBuf,
    /// The folder of the report that it belongs to, if it is at hand.
    pub report: Option<PathBuf>,
}

/// How a bundle came out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Verified {
    /// What was compared and is equal, one sentence each.
    pub agrees: Vec<String>,
    /// What differs, one sentence each; empty if the report follows from the bundle.
    pub differs: Vec<String>,
    /// Sum over the bundle; equal to the one that its publisher gives, if it is that bundle.
    pub fingerprint: String,
}

/// Works a bundle out again.
///
/// # Errors
/// A folder that is no bundle; a record in it that cannot be read.
pub fn verify(options: &VerifyOptions, watch: &dyn Watch) -> Result<Verified, Problem> {
    let folder = options.bundle.as_path();
    if opener::kind(&folder.join(bundle::LIST))?.is_none() {
        let message = format!(
            "{} is no bundle: there is no {} in it",
            crate::shown(folder),
            bundle::LIST
        );
        let remedy = "name the folder bundle/ of a report";
        return Err(Problem::missing(message, remedy).at(folder));
    }
    let bytes = opener::read_inside(folder, bundle::LIST, limits::FINDINGS)?;
    let list: List = serde_json::from_slice(&bytes)
        .ok()
        .filter(|list: &List| list.format == bundle::FORMAT)
        .ok_or_else(|| {
            Problem::refused(
                format!(
                    "{} is no list of a bundle",
                    crate::shown(folder.join(bundle::LIST))
                ),
                "fetch the bundle again, or check it with the version that wrote it",
            )
            .at(folder)
        })?;
    let mut verified = Verified {
        fingerprint: bundle::sum(&bytes),
        ..Verified::default()
    };
    files(folder, &list, &mut verified)?;
    let published = read(folder)?;
    let dossier = dossier::open(folder, watch)?;
    let others = bundle::others(folder, &list)?;
    let found = examine::findings(folder, &dossier, &[], &others, watch)?;
    let compared = compare(&published, &found);
    verified.agrees.extend(compared.agrees);
    verified.differs.extend(compared.differs);
    if let Some(report) = &options.report {
        same_report(report, &published, &mut verified)?;
    }
    Ok(verified)
}

fn read(folder: &Path) -> Result<Findings, Problem> {
    let path = folder.join(FINDINGS);
    let bytes = opener::read_inside(folder, FINDINGS, limits::FINDINGS)?;
    let text = String::from_utf8_lossy(&bytes);
    report::read_findings(&text).map_err(|e| {
        let message = format!("{}: {e}", crate::shown(&path));
        Problem::refused(message, "fetch the file again from its publisher").at(&path)
    })
}

/// Compares every file with its sum.
fn files(folder: &Path, list: &List, verified: &mut Verified) -> Result<(), Problem> {
    let mut same = 0;
    for (path, sum) in &list.files {
        // The text and what was found stand beside the files of the dossier.
        let most = keeping::most(path).unwrap_or(limits::PHOTOGRAPH);
        match opener::read_inside(folder, path, most) {
            Ok(bytes) if bundle::sum(&bytes) == *sum => same += 1,
            Ok(_) => verified
                .differs
                .push(format!("{path} was changed after it was published.")),
            Err(e) => verified
                .differs
                .push(format!("{path} cannot be read: {}.", e.reason())),
        }
    }
    for inside in ["photos", "logs", "recordings", "catalogue"] {
        for name in opener::names_inside(folder, inside)? {
            let path = format!("{inside}/{}", name.to_string_lossy());
            if !list.files.contains_key(&path) {
                let path = record::visible(&path);
                verified
                    .differs
                    .push(format!("{path} does not belong to the bundle."));
            }
        }
    }
    let all = list.files.len();
    verified
        .agrees
        .push(format!("{same} of {all} files are as they were published."));
    Ok(())
}

/// Compares findings one by one.
pub(crate) fn compare(published: &Findings, found: &Findings) -> Verified {
    let mut verified = Verified::default();
    let named = |findings: &Findings| -> BTreeMap<String, Finding> {
        let all = findings.findings.iter().cloned();
        all.map(|f| (f.id.to_string(), f)).collect()
    };
    let (before, now) = (named(published), named(found));
    let (mut same, mut figures) = (0, 0);
    for (id, finding) in &before {
        match now.get(id) {
            None => verified.differs.push(format!(
                "“{}” is published and does not follow from the record.",
                finding.title
            )),
            Some(again) if again == finding => {
                same += 1;
                figures += finding.figures.len();
            }
            Some(again) => differences(finding, again, &mut verified.differs),
        }
    }
    for (_, finding) in now.iter().filter(|(id, _)| !before.contains_key(*id)) {
        verified.differs.push(format!(
            "“{}” follows from the record and is not published.",
            finding.title
        ));
    }
    if published.product != found.product {
        verified
            .differs
            .push("The product has another name.".into());
    }
    let of = before.len();
    verified.agrees.push(format!(
        "{same} of {of} findings follow from the record as published, with {figures} figures."
    ));
    verified
}

/// Says how a finding differs from the published one.
fn differences(published: &Finding, found: &Finding, differs: &mut Vec<String>) {
    let title = &published.title;
    let before = differs.len();
    if published.sentence != found.sentence {
        differs.push(format!(
            "“{title}”: published is “{}”; the record gives “{}”.",
            published.sentence, found.sentence
        ));
    }
    if published.verdict != found.verdict {
        let word = |finding: &Finding| finding.verdict.map_or("none", report::verdict_words);
        differs.push(format!(
            "“{title}”: the published verdict is {}; the record gives {}.",
            word(published),
            word(found)
        ));
    }
    for figure in &published.figures {
        let again = found.figures.iter().find(|f| f.key == figure.key);
        match again {
            None => differs.push(format!("“{title}”: {} is not in the record.", figure.name)),
            Some(again) if again != figure => differs.push(format!(
                "“{title}”: {} is published as {}; the record gives {}.",
                figure.name, figure.text, again.text
            )),
            Some(_) => {}
        }
    }
    if differs.len() == before {
        differs.push(format!(
            "“{title}”: its evidence, tables or notes are not those that the record gives."
        ));
    }
}

/// Compares the findings of the bundle with those that stand beside the report.
fn same_report(
    report: &Path,
    published: &Findings,
    verified: &mut Verified,
) -> Result<(), Problem> {
    let beside = read(report)?;
    if beside == *published {
        let same = "The findings beside the report are those of the bundle.";
        verified.agrees.push(same.into());
    } else {
        let other = "The findings beside the report are not those of the bundle.";
        verified.differs.push(other.into());
    }
    let html = opener::read_inside(report, "report.html", limits::PHOTOGRAPH)?;
    let printed = verified.fingerprint.as_bytes();
    if html.windows(printed.len()).any(|window| window == printed) {
        verified
            .agrees
            .push("The report prints the fingerprint of this bundle.".into());
    } else {
        let other =
            "The report does not print the fingerprint of this bundle: it belongs to another one.";
        verified.differs.push(other.into());
    }
    Ok(())
}
