//! From every earlier form of the text to the present one.
//!
//! In: a text with its format number. Out: the text in the present form, comments and order kept.
//! Not here: faults; a text that is not TOML, or is of a later form, comes back as it is and is told
//! by the checker.
//!
//! A change of the form adds one to [`FORMAT`] and one function to [`STEPS`]. A key that may be left
//! out is no change of the form.

use crate::FORMAT;
use crate::layout::{Layout, TOP};
use std::borrow::Cow;

/// Brings a text from one form to the next; the format number is written by the caller.
type Step = fn(&str) -> String;

/// The first leads from form 1 to form 2, and so on.
const STEPS: &[Step] = &[];

/// The present form is the one that the last step leads to.
const _: () = assert!(STEPS.len() + 1 == FORMAT as usize);

/// Returns the text in the present form. Comments and order stay.
pub fn upgrade(text: &str) -> Cow<'_, str> {
    upgrade_by(STEPS, text)
}

fn upgrade_by<'t>(steps: &[Step], text: &'t str) -> Cow<'t, str> {
    let mut text = Cow::Borrowed(text);
    let Some(found) = form(steps, &text) else {
        return text;
    };
    for (n, step) in steps.iter().enumerate().skip(found - 1) {
        let next = step(&text);
        text = Cow::Owned(numbered(&next, n + 2));
    }
    text
}

/// Returns the form of a text that a step leads on from.
fn form(steps: &[Step], text: &str) -> Option<usize> {
    if steps.is_empty() {
        return None;
    }
    let document: toml_edit::DocumentMut = text.parse().ok()?;
    let found = document.get("format")?.as_integer()?;
    usize::try_from(found)
        .ok()
        .filter(|form| (1..=steps.len()).contains(form))
}

/// Writes the format number.
fn numbered(text: &str, form: usize) -> String {
    let layout = Layout::of(text);
    let Some(id) = layout.child(TOP, "format") else {
        return text.to_string();
    };
    let mut out = text.to_string();
    out.replace_range(layout.node(id).span.clone(), &form.to_string());
    out
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test may stop where its ground is missing"
    )]

    use super::*;

    /// The text of each form, kept as it was when the form came to be.
    const KEPT: &[&str] = &[include_str!("../tests/forms/1.toml")];

    #[test]
    fn every_earlier_form_reads() {
        assert_eq!(KEPT.len(), FORMAT as usize);
        for &text in KEPT {
            let read = crate::read_text(text, "dossier.toml", &crate::AnyFile);
            assert!(read.is_ok(), "{}", read.unwrap_err());
            let draft = crate::Draft::parse(text, "dossier.toml").unwrap();
            assert_eq!(draft.original(), text);
        }
    }

    #[test]
    fn steps_follow_one_another_and_keep_comments() {
        let steps: &[Step] = &[
            |text| text.replace("maker =", "brand ="),
            |text| text.replace("brand = ", "brands = "),
        ];
        let first = "# mine\nformat = 1 # the form\n[product]\nmaker = \"x\" # as printed\n";
        let third = "# mine\nformat = 3 # the form\n[product]\nbrands = \"x\" # as printed\n";
        assert_eq!(upgrade_by(steps, first), third);
        let second = first
            .replace("format = 1", "format = 2")
            .replace("maker", "brand");
        assert_eq!(upgrade_by(steps, &second), third);
        assert_eq!(upgrade_by(steps, third), third);
    }

    #[test]
    fn what_has_no_known_form_is_left_alone() {
        let steps: &[Step] = &[|text| text.replace('x', "y")];
        for text in [
            "format = 9\nx = 1",
            "x = 1",
            "format = \"1\"\nx = 1",
            "format = 1\nx =",
        ] {
            assert_eq!(upgrade_by(steps, text), text);
        }
        assert_eq!(upgrade_by(steps, "format = 1\nx = 1"), "format = 2\ny = 1");
    }
}
