//! Sound: what it takes off a noise, and how late it answers.

use super::Page;
use methods::{Detail, Method};

pub(super) fn section(page: &mut Page<'_>) -> crate::Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    page.answers(
        |f| f.method() == Method::Sound,
        |detail| matches!(detail, Detail::Chart(_)),
        &mut blocks,
        &mut working,
    );
    crate::Section {
        id: "section-sound".into(),
        title: "What it does to sound".into(),
        blocks,
        working,
    }
}
