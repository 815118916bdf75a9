//! What a publisher owes the reader: who paid, where the sample came from, whose photographs, how many samples.

use crate::{Block, Document};
use record::{Dossier, Photo};

/// Returns what is disclosed, one sentence each; the number of samples always.
pub fn disclosure(dossier: &Dossier) -> Vec<String> {
    let product = &dossier.product;
    let mut said = Vec::new();
    if let Some(disclosure) = &product.disclosure {
        let mut say = |words: &str, what: &Option<String>| {
            said.extend(what.as_ref().map(|what| format!("{words}: {what}.")));
        };
        say("Paid by", &disclosure.paid_by);
        say("The sample came from", &disclosure.sample_from);
        say("Photographs", &disclosure.photographs_by);
    }
    let others = product.samples.len();
    said.push(match others {
        0 => "One sample was opened; others of the same product may differ.".into(),
        1 => "One sample was opened; a second one is on record where the text says so.".into(),
        _ => format!("One sample was opened; {others} more are on record where the text says so."),
    });
    said
}

/// Returns who took a photograph, where somebody is named.
pub fn credit<'a>(dossier: &'a Dossier, photo: &'a Photo) -> Option<&'a str> {
    let all = dossier.product.disclosure.as_ref();
    let all = all.and_then(|d| d.photographs_by.as_deref());
    photo.credit.as_deref().or(all)
}

/// Says in the report how a reader can work it out again from the bundle with this fingerprint.
pub fn name_bundle(document: &mut Document, fingerprint: &str) {
    if let Some(last) = document.sections.last_mut() {
        last.blocks.push(Block::Paragraph(format!(
            "All of this can be worked out again from the bundle beside it: underlid verify bundle. \
             Its fingerprint is {fingerprint}."
        )));
    }
}
