//! What a dossier says in public.
//!
//! In: a dossier with private parts. Out: the same without them. Everything that is published is made from that,
//! so that no output needs to know what is private.
//! Not here: private regions of photographs, whose pixels are filled where pictures are written; the text of logs,
//! which is looked through with [`Private`] where they are published.
//!
//! The text of a private number and the private parts of a label are looked for in every text of the record, in
//! capitals or not, with blanks and hyphens or without: who withholds a serial number does not want it in a
//! caption. A private reading is left out, and so is every mention of it.

use crate::grammar::{Key, Kind, ROOT, Table};
use crate::{Dossier, Place};
use serde_json::{Map, Value as Json};

/// What stands in place of private text, whatever its length.
pub const WITHHELD: &str = "[withheld]";
/// The same in a marking, where brackets mean something: one character that cannot be read.
const UNREADABLE: &str = "?";
/// Characters from which on a private text is looked for inside longer words too.
const LONG: usize = 4;

impl Dossier {
    /// Returns whether something in it is private, regions of photographs aside.
    pub fn has_private_text(&self) -> bool {
        self.product.identifiers.iter().any(|i| i.private)
            || self.product.labels.iter().any(|l| !l.private.is_empty())
            || self.readings.iter().any(|r| r.private)
    }

    /// Returns the dossier as it may be published: private text withheld, private readings left out.
    #[must_use]
    pub fn published(&self) -> Self {
        if !self.has_private_text() {
            return self.clone();
        }
        let mut public = self.clone();
        let gone: Vec<String> = self
            .readings
            .iter()
            .filter(|r| r.private)
            .map(|r| r.id.clone())
            .collect();
        public.readings.retain(|r| !r.private);
        public
            .correlations
            .retain(|c| !c.between.iter().any(|id| gone.contains(id)));
        let mut secrets = self.private().secrets;
        let places: Vec<Place> = gone.iter().map(|id| Place::reading(id)).collect();
        secrets.extend(places.iter().filter_map(|place| {
            let mut secret = Secret::new(&place.to_string())?;
            secret.inside_words = false;
            Some(secret)
        }));
        let Ok(Json::Object(mut values)) = serde_json::to_value(&public) else {
            return public;
        };
        let hide = Hide {
            secrets: &secrets,
            places: &places,
        };
        hide.table(&ROOT, &mut values);
        let mut hidden: Self = serde_json::from_value(Json::Object(values))
            .expect("only texts change, and to texts that are not empty");
        for label in &mut hidden.product.labels {
            label.private.clear();
        }
        hidden
    }

    /// Returns the texts that may not be published: private numbers, and the private parts of labels.
    #[must_use]
    pub fn private(&self) -> Private {
        let product = &self.product;
        let numbers = product.identifiers.iter().filter(|i| i.private);
        let parts = product.labels.iter().flat_map(|l| &l.private);
        let texts = numbers.map(|i| &i.text).chain(parts);
        Private {
            secrets: texts.filter_map(|text| Secret::new(text)).collect(),
        }
    }
}

/// The private texts of a dossier, to be looked for in what lies beside its record.
#[derive(Debug, Clone, Default)]
pub struct Private {
    secrets: Vec<Secret>,
}

impl Private {
    /// Returns whether there is none.
    pub fn is_empty(&self) -> bool {
        self.secrets.is_empty()
    }

    /// Returns a text with [`WITHHELD`] in place of them; nothing where none is in it.
    pub fn withheld_from(&self, text: &str) -> Option<String> {
        let hidden = without(text, &self.secrets, WITHHELD);
        (hidden != text).then_some(hidden)
    }
}

/// A text to look for.
#[derive(Debug, Clone)]
struct Secret {
    /// Its characters, lower case, without what joins them.
    characters: Vec<char>,
    /// Whether it is looked for inside longer words.
    inside_words: bool,
}

impl Secret {
    fn new(text: &str) -> Option<Self> {
        let characters: Vec<char> = folded(text).map(|(_, _, c)| c).collect();
        (!characters.is_empty()).then_some(Self {
            inside_words: characters.len() >= LONG,
            characters,
        })
    }
}

/// Characters that tell texts apart, with the bytes they come from.
fn folded(text: &str) -> impl Iterator<Item = (usize, usize, char)> {
    text.char_indices()
        .filter(|(_, c)| !(c.is_whitespace() || "-‐‑–_".contains(*c)))
        .flat_map(|(at, c)| c.to_lowercase().map(move |l| (at, at + c.len_utf8(), l)))
}

struct Hide<'a> {
    secrets: &'a [Secret],
    /// Places that are no longer there.
    places: &'a [Place],
}

impl Hide<'_> {
    fn table(&self, grammar: &Table, values: &mut Map<String, Json>) {
        for Key { name, kind, .. } in grammar.keys {
            if let Some(value) = values.get_mut(*name) {
                self.value(kind, value);
            }
        }
    }

    fn value(&self, kind: &Kind, value: &mut Json) {
        match (kind, value) {
            (Kind::Text | Kind::Note, Json::String(text)) => {
                *text = without(text, self.secrets, WITHHELD)
            }
            (Kind::Marking, Json::String(text)) => *text = without(text, self.secrets, UNREADABLE),
            (Kind::List(Kind::Evidence), Json::Array(list)) => {
                list.retain(|place| !place.as_str().is_some_and(|p| self.names(p)));
            }
            (Kind::List(kind) | Kind::Row(kind, _), Json::Array(list)) => {
                list.iter_mut().for_each(|value| self.value(kind, value));
            }
            (Kind::Table(grammar) | Kind::Inline(grammar), Json::Object(values)) => {
                self.table(grammar, values);
            }
            (Kind::Tables(grammar), Json::Array(list)) => {
                let tables = list.iter_mut().filter_map(Json::as_object_mut);
                tables.for_each(|values| self.table(grammar, values));
            }
            _ => {}
        }
    }

    fn names(&self, place: &str) -> bool {
        let place = place.parse::<Place>();
        place.is_ok_and(|place| self.places.iter().any(|gone| place.is_within(gone)))
    }
}

/// Returns a text with something else in place of secrets.
fn without(text: &str, secrets: &[Secret], instead: &str) -> String {
    let characters: Vec<(usize, usize, char)> = folded(text).collect();
    let mut hidden = vec![false; characters.len()];
    for secret in secrets {
        let length = secret.characters.len();
        let windows = characters.windows(length).enumerate();
        let found = windows.filter(|(_, window)| {
            let same = window.iter().map(|(_, _, c)| c).eq(&secret.characters);
            same && (secret.inside_words || stands_alone(text, window))
        });
        let found: Vec<usize> = found.map(|(at, _)| at).collect();
        for at in found {
            hidden[at..at + length].fill(true);
        }
    }
    let mut out = String::with_capacity(text.len());
    let mut written = 0;
    let mut at = 0;
    while at < characters.len() {
        if !hidden[at] {
            at += 1;
            continue;
        }
        let run = hidden[at..].iter().take_while(|h| **h).count();
        let (from, to) = (characters[at].0, characters[at + run - 1].1);
        out += &text[written..from];
        out += instead;
        written = to;
        at += run;
    }
    out + &text[written..]
}

/// Whether no letter, digit or hyphen stands right before or after.
fn stands_alone(text: &str, window: &[(usize, usize, char)]) -> bool {
    let (Some(first), Some(last)) = (window.first(), window.last()) else {
        return false;
    };
    let before = text[..first.0].chars().next_back();
    let after = text[last.1..].chars().next();
    let joins = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || "-_".contains(c));
    !joins(before) && !joins(after)
}
