//! All findings as JSON, and back.
//!
//! In: findings, or their text. Out: indented JSON in the order of the fields, so that two runs can
//! be compared line by line; or the same findings, equal to the last bit. The format is described by
//! [`findings_schema`](crate::findings_schema). Not here: files; comparing findings.

use crate::Edition;
use methods::{FINDINGS_FORMAT, FigureId, Finding, FindingId, Findings};
use serde::{Deserialize, Serialize};
use std::collections::HashSet;

/// Why a text holds no findings that can be used.
#[derive(Debug, thiserror::Error)]
pub enum FindingsError {
    /// It does not follow the format.
    #[error("the findings cannot be read: {0}; write them anew with `underlid publish`")]
    Form(#[from] serde_json::Error),
    /// It has the form of another version.
    #[error(
        "the findings have format {0}, and format {FINDINGS_FORMAT} is read here; write them anew \
         with `underlid publish`"
    )]
    Format(u32),
    /// Two findings cannot be told apart.
    #[error("the finding {0} is there twice; leave one out")]
    FindingTwice(Box<FindingId>),
    /// Two figures cannot be told apart.
    #[error("the figure {0} is there twice; leave one out")]
    FigureTwice(Box<FigureId>),
}

/// The text, as written.
#[derive(Serialize)]
struct Written<'a> {
    format: u32,
    product: &'a str,
    edition: Option<&'a Edition>,
    findings: &'a [Finding],
}

/// The text, as read.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Text {
    format: u32,
    product: String,
    #[serde(default)]
    edition: Option<Edition>,
    findings: Vec<Finding>,
}

/// Returns all findings as indented JSON with a final line break.
pub fn json(findings: &Findings) -> String {
    published_json(findings, None)
}

/// As [`json`], with the version that they were published as.
pub fn published_json(findings: &Findings, edition: Option<&Edition>) -> String {
    let written = Written {
        format: findings.format,
        product: &findings.product,
        edition,
        findings: &findings.findings,
    };
    let mut text = serde_json::to_string_pretty(&written)
        .expect("findings are structs, lists and numbers, which all have a JSON form");
    text.push('\n');
    text
}

/// Reads the findings that [`json`] wrote.
///
/// # Errors
/// Text of another form or version; keys that the format does not have; two findings, or two figures
/// of a finding, with the same identity.
pub fn read_findings(text: &str) -> Result<Findings, FindingsError> {
    Ok(read_published(text)?.0)
}

/// As [`read_findings`], with the version that they were published as, where it says one.
///
/// # Errors
/// As [`read_findings`].
pub fn read_published(text: &str) -> Result<(Findings, Option<Edition>), FindingsError> {
    #[derive(Deserialize)]
    struct Head {
        format: u32,
    }
    let Head { format } = serde_json::from_str(text)?;
    if format != FINDINGS_FORMAT {
        return Err(FindingsError::Format(format));
    }
    let Text {
        format,
        product,
        edition,
        findings,
    } = serde_json::from_str(text)?;
    let findings = Findings {
        format,
        product,
        findings,
    };
    let mut met = HashSet::new();
    for finding in &findings.findings {
        if !met.insert(&finding.id) {
            return Err(FindingsError::FindingTwice(Box::new(finding.id.clone())));
        }
        let mut keys = HashSet::new();
        for figure in &finding.figures {
            if !keys.insert(&figure.key) {
                return Err(FindingsError::FigureTwice(Box::new(FigureId {
                    finding: finding.id.clone(),
                    key: figure.key.clone(),
                })));
            }
        }
    }
    Ok((findings, edition))
}
