//! What a publisher owes the reader: who paid, where the sample came from, whose photographs, how many samples.

use crate::words::counted;
use crate::{Block, Document};
use record::{Dossier, Photo};

/// Returns what is disclosed, one sentence each; the number of samples always.
pub fn disclosure(dossier: &Dossier) -> Vec<String> {
    let product = &dossier.product;
    let mut said = payment(dossier);
    let by = product
        .disclosure
        .as_ref()
        .and_then(|d| d.photographs_by.as_ref());
    said.extend(by.map(|by| format!("Photographs: {by}.")));
    said.push(match product.samples.len() {
        0 => "One sample was opened; others of the same product may differ.".into(),
        n => format!(
            "One sample was opened; {} on record where the text says so.",
            counted(n, "more is", "more are")
        ),
    });
    said
}

/// Returns who paid and where the sample came from, as far as that is on record.
fn payment(dossier: &Dossier) -> Vec<String> {
    let Some(disclosure) = &dossier.product.disclosure else {
        return Vec::new();
    };
    let say = |words: &str, what: &Option<String>| Some(format!("{words}: {}.", what.as_ref()?));
    let paid = say("Paid by", &disclosure.paid_by);
    let from = say("The sample came from", &disclosure.sample_from);
    [paid, from].into_iter().flatten().collect()
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
