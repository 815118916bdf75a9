//! From record and findings to the document.
//!
//! In: a dossier, its findings, the photographs' bytes. Out: a [`Document`], every piece of
//! evidence that it shows findable by anchor.
//! Not here: markup, page layout, arithmetic.

use crate::{Document, Photographs};
use methods::Findings;
use record::Dossier;
use std::collections::BTreeMap;

/// Composes the report. The same input gives the same document.
pub fn compose(dossier: &Dossier, _findings: &Findings, _photographs: &Photographs) -> Document {
    Document {
        title: dossier.product.name.clone(),
        subtitle: dossier.product.maker.clone(),
        facts: Vec::new(),
        notices: Vec::new(),
        sections: Vec::new(),
        places: BTreeMap::new(),
    }
}
