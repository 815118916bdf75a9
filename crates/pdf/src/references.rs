//! Numbers of findings in the working ("W4.2"), and the pages where they stand.
//!
//! In: the document; the working once it is laid out. Out: what the report prints and leads to.
//! Not here: how a reference looks.

use report::{Block, Document, finding_anchor};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use typst_layout::PagedDocument;

/// Where the working of each finding stands, by its anchor.
#[derive(Debug, Default)]
pub(super) struct References {
    numbers: BTreeMap<String, String>,
    pages: BTreeMap<String, usize>,
}

impl References {
    /// Numbers the findings by section and place; no page is known.
    pub(super) fn none(document: &Document) -> Self {
        let mut numbers = BTreeMap::new();
        let sections = document.sections.iter().filter(|s| !s.working.is_empty());
        for (section, part) in (1..).zip(sections) {
            let findings = part.working.iter().filter_map(|block| match block {
                Block::Finding(finding) => Some(finding_anchor(&finding.id)),
                _ => None,
            });
            for (n, anchor) in (1..).zip(findings) {
                numbers
                    .entry(anchor)
                    .or_insert_with(|| format!("W{section}.{n}"));
            }
        }
        Self {
            numbers,
            pages: BTreeMap::new(),
        }
    }

    /// The same, with the pages of the working.
    pub(super) fn with_pages(document: &Document, pages: &BTreeMap<String, usize>) -> Self {
        Self {
            pages: pages.clone(),
            ..Self::none(document)
        }
    }

    /// Returns the number of the finding with this anchor.
    pub(super) fn number(&self, anchor: &str) -> Option<&str> {
        self.numbers.get(anchor).map(String::as_str)
    }

    /// Returns number and address of a finding; nothing where its page is not known.
    pub(super) fn data(&self, anchor: &str) -> Value {
        match (self.number(anchor), self.pages.get(anchor)) {
            (Some(number), Some(page)) => {
                json!({ "number": number, "address": format!("working.pdf#page={page}") })
            }
            _ => Value::Null,
        }
    }
}

/// Returns the page of each anchor.
pub(super) fn pages(document: &PagedDocument) -> BTreeMap<String, usize> {
    use typst::introspection::Introspector as _;
    let introspector = document.introspector();
    let labelled = introspector.query_labelled();
    let places = labelled.iter().filter_map(|content| {
        let label = content.label()?.resolve().to_string();
        Some((label, introspector.page(content.location()?)?.get()))
    });
    places.collect()
}
