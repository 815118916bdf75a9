//! Masses: what each piece weighs.

use super::Page;
use methods::{Detail, Method};

pub(super) fn section(page: &mut Page<'_>) -> crate::Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let is_told = |detail: &Detail| matches!(detail, Detail::Chart(_));
    page.answers(
        |f| f.method() == Method::Mass,
        is_told,
        &mut blocks,
        &mut working,
    );
    crate::Section {
        id: "section-masses".into(),
        title: "What it weighs".into(),
        blocks,
        working,
    }
}
