//! Repair: the way to each spare part, and what cannot be undone.

use super::Page;
use super::summary::is_ended;
use crate::Section;
use methods::{Detail, Finding, Method};

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let question = |f: &Finding| f.id.question.as_str().to_string();
    let belongs =
        |f: &Finding| f.method() == Method::Opening && question(f) != "sequence" && !is_ended(f);
    // The ways themselves are long; their times and tools stand in the sentences and in the table of spare parts.
    let spares: Vec<String> = page
        .of(Method::Opening)
        .filter(|f| matches!(question(f).as_str(), "spares" | "undo"))
        .flat_map(|f| &f.details)
        .filter_map(|detail| match detail {
            Detail::Table(table) => Some(table.caption.clone()),
            _ => None,
        })
        .collect();
    let is_told = |detail: &Detail| match detail {
        Detail::Table(table) => spares.contains(&table.caption),
        Detail::Chart(_) => true,
        _ => false,
    };
    page.answers(belongs, is_told, &mut blocks, &mut working);
    Section {
        id: "section-repair".into(),
        title: "Can it be repaired?".into(),
        blocks,
        working,
    }
}
