//! What a film of a dossier may speak of.
//!
//! In: a dossier as it may be published, known parts. Out: terms with their places in the record; part numbers that
//! exist beside them. Not here: how any of it sounds (`captions`).
//!
//! A term stands once, with the first place that tells it: names and makers, parts, then quantities of claims,
//! readings, labels, cells, ratings and steps.

use captions::{ENGLISH, Kind, Term};
use methods::{Case, Known};
use quantity::{Rating, Spread, Stated};
use record::{Dossier, Item, Place};
use std::collections::HashSet;

/// A candidate of a marking that nobody decided is a term from this probability on.
const LIKELY: f64 = 0.05;
/// Words that a term has at most; longer ones are sentences.
const MOST_WORDS: usize = 5;
/// Letters from which on one word of a role is told apart from everyday speech.
const LONG_ROLE: usize = 6;

/// The terms of a dossier, and part numbers that exist beside them.
pub(super) fn of(dossier: &Dossier, known: &Known) -> (Vec<Term>, Vec<String>) {
    let mut terms = Terms::default();
    terms.product(dossier);
    let case = Case::new(dossier, known);
    for assessed in case.assessments().all() {
        if assessed.identity().is_some() {
            continue;
        }
        let place = Place::item(&assessed.item.id).at("part.marking");
        let likely = assessed.answer.candidates.iter();
        for candidate in likely.filter(|c| c.probability >= LIKELY) {
            if let Some(part) = known.parts().get(candidate.part) {
                terms.add(Kind::Part, &part.name, &place);
                terms.add(Kind::Maker, &part.maker, &place);
            }
        }
    }
    for item in &dossier.items {
        terms.item(item, known);
    }
    for pronunciation in &dossier.pronunciations {
        let place = Place::dossier().at("pronunciations");
        let digits = pronunciation.word.bytes().any(|b| b.is_ascii_digit());
        let kind = if digits { Kind::Part } else { Kind::Name };
        terms.add(kind, &pronunciation.word, &place);
    }
    for claim in &dossier.claims {
        let place = Place::claim(&claim.id);
        for name in claim.names.iter().chain(&claim.role) {
            terms.named(name, &place);
        }
        terms.add_some(
            Kind::Maker,
            claim.maker.as_deref(),
            &place.clone().at("maker"),
        );
    }
    terms.quantities(dossier);
    for term in &mut terms.list {
        let own = dossier.pronunciations.iter();
        let own = own.filter(|p| p.word == term.written);
        term.said = own.flat_map(|p| p.said.clone()).collect();
    }
    let existing = known.parts().iter();
    let existing = existing.flat_map(|p| std::iter::once(&p.name).chain(&p.aliases));
    (terms.list, existing.cloned().collect())
}

#[derive(Default)]
struct Terms {
    list: Vec<Term>,
    seen: HashSet<String>,
}

impl Terms {
    fn add(&mut self, kind: Kind, written: &str, place: &Place) {
        let words: Vec<&str> = written.split_whitespace().collect();
        let written = words.join(" ");
        let says =
            written.chars().any(char::is_alphanumeric) && !written.contains(record::WITHHELD);
        if !says || words.len() > MOST_WORDS || !self.seen.insert(written.clone()) {
            return;
        }
        self.list.push(Term {
            kind,
            written,
            said: Vec::new(),
            place: place.to_string(),
        });
    }

    fn add_some(&mut self, kind: Kind, written: Option<&str>, place: &Place) {
        if let Some(written) = written {
            self.add(kind, written, place);
        }
    }

    /// A part number where it holds digits, a name otherwise.
    fn named(&mut self, written: &str, place: &Place) {
        if written.bytes().any(|b| b.is_ascii_digit()) {
            self.add(Kind::Part, written, place);
        } else {
            self.role(written, place);
        }
    }

    /// What something does, unless anybody says it every day: `seal` is near `cell`.
    fn role(&mut self, role: &str, place: &Place) {
        let several = role.split_whitespace().count() > 1;
        let lower = role.to_lowercase();
        let everyday = || {
            ENGLISH
                .everyday
                .split_ascii_whitespace()
                .any(|w| w == lower)
        };
        if several || (role.len() >= LONG_ROLE && !everyday()) {
            self.add(Kind::Name, role, place);
        }
    }

    fn product(&mut self, dossier: &Dossier) {
        let product = &dossier.product;
        let at = |key: &str| Place::product().at(key);
        self.add(Kind::Name, &product.name, &at("name"));
        self.add(Kind::Maker, &product.maker, &at("maker"));
        self.add_some(Kind::Part, product.model.as_deref(), &at("model"));
        for (number, identifier) in product.identifiers.iter().enumerate() {
            if let Some(place) = Place::identifier(product, number) {
                self.add(Kind::Part, &identifier.text, &place);
            }
        }
        for label in &product.labels {
            let place = Place::label(&label.id);
            for word in label.text.split_whitespace().filter(|w| is_number_plate(w)) {
                self.add(Kind::Part, word, &place);
            }
        }
    }

    fn item(&mut self, item: &Item, known: &Known) {
        let place = Place::item(&item.id);
        if let Some(identity) = item.part.as_ref().and_then(|p| p.identity.as_ref()) {
            let at = place.clone().at("part.identity");
            self.add(Kind::Part, &identity.name, &at.clone().at("name"));
            self.add_some(
                Kind::Maker,
                identity.maker.as_deref(),
                &at.clone().at("maker"),
            );
            for part in known.named(identity) {
                self.add(Kind::Part, &part.name, &at);
                self.add(Kind::Maker, &part.maker, &at);
            }
        }
        if let Some(role) = &item.role {
            self.role(role, &place.at("role"));
        }
    }

    fn quantities(&mut self, dossier: &Dossier) {
        for claim in &dossier.claims {
            let place = Place::claim(&claim.id);
            self.stated_some(claim.value.as_ref(), &place.clone().at("value"));
            self.stated_some(claim.after.as_ref(), &place.clone().at("after"));
            self.stated_some(claim.at_voltage.as_ref(), &place.clone().at("at-voltage"));
            self.rating(claim.rating.as_ref(), &place.clone().at("rating"));
            self.text(&claim.text, &place.at("text"));
        }
        for reading in &dossier.readings {
            self.stated(&reading.value, &Place::reading(&reading.id));
        }
        for label in &dossier.product.labels {
            let place = Place::label(&label.id);
            self.rating(label.input.as_ref(), &place);
            self.rating(label.output.as_ref(), &place);
            self.text(&label.text, &place);
        }
        for item in &dossier.items {
            self.of_item(item);
        }
        for step in &dossier.steps {
            let place = Place::step(&step.id);
            self.stated_some(step.temperature.as_ref(), &place.clone().at("temperature"));
            self.stated_some(step.duration.as_ref(), &place.at("duration"));
        }
        if let Some(price) = &dossier.product.price {
            self.stated(&price.paid, &Place::product().at("price.paid"));
        }
    }

    fn of_item(&mut self, item: &Item) {
        let place = Place::item(&item.id);
        if let Some(cell) = &item.cell {
            let at = |key: &str| place.clone().at("cell").at(key);
            self.stated_some(cell.capacity.as_ref(), &at("capacity"));
            self.stated_some(cell.energy.as_ref(), &at("energy"));
            self.stated_some(cell.nominal_voltage.as_ref(), &at("nominal-voltage"));
            self.stated_some(cell.limit_voltage.as_ref(), &at("limit-voltage"));
            self.stated_some(cell.cutoff_voltage.as_ref(), &at("cutoff-voltage"));
            self.stated_some(cell.charge_current.as_ref(), &at("charge-current"));
        }
        for (name, rating) in item.part.iter().flat_map(|p| &p.ratings) {
            self.stated(rating, &place.clone().at("part.ratings").at_key(name));
        }
        for (name, size) in &item.size {
            self.stated(size, &place.clone().at("size").at_key(name));
        }
    }

    fn rating(&mut self, rating: Option<&Rating>, place: &Place) {
        for figure in rating.into_iter().flat_map(Rating::figures) {
            self.stated(figure, place);
        }
    }

    fn stated_some(&mut self, stated: Option<&Stated>, place: &Place) {
        if let Some(stated) = stated {
            self.stated(stated, place);
        }
    }

    /// A figure as its digits are printed; the ends of a range, no uncertainty.
    fn stated(&mut self, stated: &Stated, place: &Place) {
        let unit = stated.unit.symbol();
        let told = stated.text.split(['±', '(']).next().unwrap_or_default();
        let most = if matches!(stated.spread, Spread::Range { .. }) {
            2
        } else {
            1
        };
        for (number, _) in numbers(told).take(most) {
            self.quantity(&number, unit, place);
        }
    }

    /// Figures in a sentence.
    fn text(&mut self, text: &str, place: &Place) {
        for (number, rest) in numbers(text) {
            let rest = rest
                .strip_prefix([' ', '\u{a0}', '\u{202f}'])
                .unwrap_or(rest);
            let ends = |c: char| !(c.is_alphabetic() || matches!(c, '°' | '%'));
            let unit = &rest[..rest.find(ends).unwrap_or(rest.len())];
            self.quantity(&number, unit, place);
        }
    }

    fn quantity(&mut self, number: &str, unit: &str, place: &Place) {
        let unit = unit.replace('μ', "µ").replace('\u{2126}', "Ω");
        if ENGLISH.units.iter().any(|(symbol, ..)| *symbol == unit) {
            self.add(Kind::Quantity, &format!("{number} {unit}"), place);
        }
    }
}

/// Whether a printed word is a number of a model or a part: letters and digits, and no quantity.
fn is_number_plate(word: &str) -> bool {
    let letters = word.chars().filter(|c| c.is_alphabetic()).count();
    let digits = word.chars().filter(char::is_ascii_digit).count();
    letters >= 1 && digits >= 1 && letters + digits >= 4 && Stated::parse(word).is_err()
}

/// The numbers of a text with a point for the decimal sign, each with what follows it.
fn numbers(text: &str) -> impl Iterator<Item = (String, &str)> {
    let mut rest = text;
    let mut inside_word = false;
    std::iter::from_fn(move || {
        while let Some(first) = rest.chars().next() {
            if !first.is_ascii_digit() || inside_word {
                inside_word = first.is_alphanumeric() && (inside_word || !first.is_ascii_digit());
                rest = &rest[first.len_utf8()..];
                continue;
            }
            let other = |c: char| !(c.is_ascii_digit() || c == '.' || c == ',');
            let run = &rest[..rest.find(other).unwrap_or(rest.len())];
            let run = run.trim_end_matches(['.', ',']);
            rest = &rest[run.len()..];
            return Some((with_point(run), rest));
        }
        None
    })
}

/// One comma with three digits behind it groups thousands; any other is a decimal sign.
fn with_point(number: &str) -> String {
    match number.split_once(',') {
        Some((whole, part)) if part.len() == 3 => format!("{whole}{part}"),
        Some((whole, part)) if !number.contains('.') => format!("{whole}.{part}"),
        _ => number.replace(',', ""),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;

    fn read(text: &str) -> Dossier {
        record::read_text(text, "dossier.toml", &record::AnyFile).unwrap()
    }

    fn written(dossier: &Dossier) -> Vec<String> {
        let (terms, _) = of(dossier, &Known::default());
        terms
            .iter()
            .map(|t| format!("{}: {}", t.place, t.written))
            .collect()
    }

    #[test]
    fn what_a_dossier_says_becomes_terms_each_with_its_first_place() {
        let dossier = read(
            r#"format = 1
[product]
name = "Sorvane 4"
maker = "Kelmbrand"
model = "KB-77"
opened = 2026-01-02
identifiers = [{ kind = "serial number", text = "QX99812", private = true }]
[[product.labels]]
id = "back"
place = "back"
text = "KB-77 Input 9 V ⎓ 2 A S/N QX99812"
[[claims]]
id = "t"
text = "Charges in 1,5 h, 1,200 mAh."
printed = "box"
kind = "charging-time"
value = "90 min"
[[items]]
id = "board"
name = "Board"
kind = "product"
[[items]]
id = "u1"
name = "U1"
kind = "part"
parent = "board"
role = "cell protector"
part = { identity = { name = "ZV4410", maker = "Zelvo", certainty = "read" } }
[[items]]
id = "s"
name = "Seal"
kind = "other"
parent = "board"
role = "seal"
[[readings]]
id = "r1"
item = "board"
what = "mass"
value = "83.4(2) g"
"#,
        );
        // The serial number is private and told to nobody.
        let dossier = dossier.published();
        assert_eq!(
            written(&dossier),
            [
                "product.name: Sorvane 4",
                "product.maker: Kelmbrand",
                "product.model: KB-77",
                "items.u1.part.identity.name: ZV4410",
                "items.u1.part.identity.maker: Zelvo",
                "items.u1.role: cell protector",
                "claims.t.value: 90 min",
                "claims.t.text: 1.5 h",
                "claims.t.text: 1200 mAh",
                "reading:r1: 83.4 g",
                "label:back: 9 V",
                "label:back: 2 A",
            ]
        );
    }

    #[test]
    fn numbers_inside_words_are_none() {
        let all: Vec<String> = numbers("TH310 has 3.62, 10-12 or 1,5.")
            .map(|n| n.0)
            .collect();
        assert_eq!(all, ["3.62", "10", "12", "1.5"]);
    }
}
