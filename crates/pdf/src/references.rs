//! The numbers that a document has ("Table 3", "W4.2"), and the pages where findings stand in the working.
//!
//! In: the document; the working once it is laid out. Out: what the report prints and leads to.
//! Not here: how a reference looks.

use report::{Document, Numbering};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use typst_layout::PagedDocument;

/// The numbers of a document, and where the working of each finding stands.
#[derive(Debug, Default)]
pub(super) struct References {
    /// Figures, tables and findings.
    pub(super) numbering: Numbering,
    pages: BTreeMap<String, usize>,
}

impl References {
    /// Numbers what a document has; no page is known.
    pub(super) fn none(document: &Document) -> Self {
        Self {
            numbering: Numbering::of(document),
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

    /// Returns number and address of a finding; nothing where its page is not known.
    pub(super) fn data(&self, anchor: &str) -> Value {
        match (self.numbering.entry(anchor), self.pages.get(anchor)) {
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
