//! Repair: the way to each spare part and back, what cannot be undone, what rules ask.

use super::Page;
use super::summary::is_ended;
use crate::Section;
use methods::{Detail, Finding, Method, Table};

/// Tables of the finding on spare parts that stand behind; the first is the one that every reader sees.
const SHOWN: usize = 1;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let question = |f: &Finding| f.id.question.as_str().to_string();
    let belongs = |f: &Finding| {
        let opens = f.method() == Method::Opening && question(f) != "sequence" && !is_ended(f);
        opens || f.method() == Method::Repair
    };
    // The ways themselves are long; their times and tools stand in the sentences and in the table of spare parts.
    let first = |of: Method, asks: &str| -> Vec<&Table> {
        let tables = page.of(of).filter(|f| question(f) == asks).flat_map(|f| {
            let tables = f.details.iter().filter_map(|detail| match detail {
                Detail::Table(table) => Some(table),
                _ => None,
            });
            tables.take(SHOWN)
        });
        tables.collect()
    };
    let told: Vec<&Table> = ["spares", "battery", "phone", "index"]
        .into_iter()
        .flat_map(|asks| first(Method::Repair, asks))
        .collect();
    let is_told = |detail: &Detail| match detail {
        Detail::Table(table) => told.contains(&table),
        Detail::Chart(_) | Detail::Ways { .. } => true,
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
