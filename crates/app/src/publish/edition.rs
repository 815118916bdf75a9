//! Which version a publication is.
//!
//! In: a day, a reason, what was published before. Out: an [`Edition`].

use crate::{Watch, shown};
use jiff::civil::Date;
use methods::Findings;
use report::Edition;
use std::path::Path;
use store::{limits, opener};

/// When a version is published, and why it corrects the one before.
#[derive(Debug, Clone, Default)]
pub struct Dated {
    /// The day.
    pub day: Option<Date>,
    /// Why, in the author's words.
    pub reason: Option<String>,
    /// Whether it is a version of its own even where it gives the same again.
    pub always_next: bool,
}

impl Dated {
    /// Today, by the clock of this machine.
    pub fn today(reason: Option<String>) -> Self {
        Self {
            day: Some(jiff::ZonedDateTime::now().date()),
            reason: reason.filter(|reason| !reason.trim().is_empty()),
            always_next: false,
        }
    }
}

/// Returns the version that findings are published as. What was published before and gives the same again stays that
/// version, unless a reason is given. A report of another product is no earlier version of this one.
pub(super) fn edition(
    dated: &Dated,
    earlier: Option<&(Findings, Edition)>,
    findings: &Findings,
) -> Edition {
    let of_it = |(before, _): &&(Findings, Edition)| before.product == findings.product;
    let Some((before, earlier)) = earlier.filter(of_it) else {
        return Edition::first(dated.day);
    };
    if before == findings && dated.reason.is_none() && !dated.always_next {
        return earlier.clone();
    }
    earlier.next(before, findings, dated.day, dated.reason.clone())
}

/// Reads what was published in a folder before; nothing where it holds none that can be read.
pub(super) fn earlier(into: &Path, watch: &dyn Watch) -> Option<(Findings, Edition)> {
    let bytes = opener::read_inside(into, "findings.json", limits::FINDINGS).ok()?;
    match report::read_published(&String::from_utf8_lossy(&bytes)) {
        // A report without a version was the first.
        Ok((findings, edition)) => {
            Some((findings, edition.unwrap_or_else(|| Edition::first(None))))
        }
        Err(e) => {
            let path = shown(into.join("findings.json"));
            watch.note(&format!(
                "versions begin anew, as {path} cannot be compared: {e}"
            ));
            None
        }
    }
}
