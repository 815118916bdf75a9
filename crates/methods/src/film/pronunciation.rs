//! How the names of a dossier are said.

use captions::ENGLISH;
use record::{Dossier, Place};
use std::collections::BTreeSet;

/// A name and how it is said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pronounced {
    /// As it is written.
    pub word: String,
    /// In everyday words: as recorded, or letter by letter and digit by digit. None where nothing tells.
    pub said: Option<String>,
    /// In the International Phonetic Alphabet, where it is recorded.
    pub ipa: Option<String>,
    /// Whether the analyst recorded it.
    pub recorded: bool,
    /// What it is.
    pub place: Place,
}

/// Names, makers and part numbers of a dossier, each once, in the order of the record.
pub fn pronunciations(dossier: &Dossier) -> Vec<Pronounced> {
    let product = &dossier.product;
    let at = |key: &str| Place::product().at(key);
    let mut names = vec![(&product.name, at("name")), (&product.maker, at("maker"))];
    names.extend(product.model.iter().map(|model| (model, at("model"))));
    for item in &dossier.items {
        let identity = item.part.as_ref().and_then(|p| p.identity.as_ref());
        if let Some(identity) = identity {
            let place = Place::item(&item.id).at("part.identity");
            names.push((&identity.name, place.clone().at("name")));
            names.extend(
                identity
                    .maker
                    .iter()
                    .map(|m| (m, place.clone().at("maker"))),
            );
        }
    }
    for claim in &dossier.claims {
        names.extend(
            claim
                .maker
                .iter()
                .map(|m| (m, Place::claim(&claim.id).at("maker"))),
        );
    }
    let mut met = BTreeSet::new();
    names.retain(|(name, _)| !name.contains(record::WITHHELD) && met.insert(name.as_str()));
    let mut found: Vec<Pronounced> = names
        .into_iter()
        .map(|(word, place)| {
            let own = dossier.pronunciations.iter().find(|p| p.word == *word);
            let made = || {
                let said = captions::spoken(word, &[], &ENGLISH);
                (said != *word).then_some(said)
            };
            Pronounced {
                word: word.clone(),
                said: own.and_then(|p| p.said.first().cloned()).or_else(made),
                ipa: own.and_then(|p| p.ipa.clone()),
                recorded: own.is_some(),
                place,
            }
        })
        .collect();
    let others = dossier
        .pronunciations
        .iter()
        .filter(|p| !met.contains(p.word.as_str()));
    found.extend(others.map(|own| Pronounced {
        word: own.word.clone(),
        said: own.said.first().cloned(),
        ipa: own.ipa.clone(),
        recorded: true,
        place: Place::dossier().at("pronunciations"),
    }));
    found
}

/// What is said for what is written, as the sayer of sentences takes it.
pub(super) fn said(dossier: &Dossier) -> Vec<(String, String)> {
    let names = pronunciations(dossier).into_iter();
    names
        .filter_map(|name| Some((name.word, name.said?)))
        .collect()
}
