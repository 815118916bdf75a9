//! All findings as JSON.
//!
//! In: findings. Out: indented JSON in the order of the fields, so that two runs can be compared
//! line by line. The format is described by [`findings_schema`](crate::findings_schema).
//! Not here: reading it back.

use methods::Findings;

/// Returns all findings as indented JSON with a final line break.
pub fn json(findings: &Findings) -> String {
    let mut text = serde_json::to_string_pretty(findings)
        .expect("findings are structs, lists and numbers, which all have a JSON form");
    text.push('\n');
    text
}
