//! What an instrument that types like a keyboard sent: what it may be, and where it may go.
//!
//! In: the characters, a dossier, its findings, the item under the hand. Out: each place that they may go to, the
//! likeliest first, with the edits that put them there. Nothing is written here.
//! Not here: telling an instrument from a person (the pages do, by the times of the keys); how a quantity is read
//! (`quantity`); check digits (`codes`).
//! Source: what scales and calipers send (`ST,GS,+  41.13 g`), common practice, from memory.

use crate::{free_id, read, takings};
use methods::Findings;
use methods::words::Words as _;
use quantity::{Dimension, Stated};
use record::{Dossier, Edit, Instrument, Item, Place, Position, ReadingSubject};
use serde_json::{Map, Value as Json, json};

/// One place that an arrival may go to.
#[derive(Debug, Clone, PartialEq)]
pub struct Destination {
    /// The place in words: "length of U5, digital caliper".
    pub says: String,
    /// What speaks against it.
    pub note: Option<String>,
    /// The edits that put it there.
    pub edits: Vec<Edit>,
    /// Of an identifier: what it is, by a check digit that agrees.
    pub code: Option<String>,
}

/// Most items that are offered a mass beside what is asked for.
const MOST_UNWEIGHED: usize = 6;
/// Digits without a point from which on they are a code and no reading.
const CODE: usize = 7;

/// Tells where an arrival may go.
pub fn destinations(
    dossier: &Dossier,
    findings: &Findings,
    text: &str,
    held: Option<&str>,
) -> Vec<Destination> {
    let text = text.trim();
    let mut found: Vec<(bool, bool, Destination)> = Vec::new();
    if let Some(value) = value(text, None) {
        for subject in subjects(dossier, findings, held) {
            found.extend(readings(dossier, &subject, &value));
        }
    }
    found.sort_by_key(|(noted, digits, _)| (*noted, *digits));
    let mut found: Vec<Destination> = found.into_iter().map(|(_, _, one)| one).collect();
    if let Some(code) = identifier(text) {
        match code.code {
            Some(_) => found.insert(0, code),
            None => found.push(code),
        }
    }
    found
}

/// Returns the instruments that read a kind of quantity, the one used last for it first.
pub fn instruments_for<'d>(dossier: &'d Dossier, what: &str) -> Vec<&'d Instrument> {
    let Some(usual) = example_of(what).and_then(|e| Stated::parse(&e).ok()) else {
        return Vec::new();
    };
    let last = dossier.readings.iter().rev();
    let last = last.filter(|reading| json!(reading.what) == json!(what));
    let last: Vec<&str> = last.filter_map(|r| r.instrument.as_deref()).collect();
    // A clock that shows minutes reads no milliseconds.
    let fits = |i: &&Instrument| {
        let resolution = i.resolution.as_ref();
        resolution.is_some_and(|r| r.dimension() == usual.dimension() && r.si() <= usual.si())
    };
    let mut fitting: Vec<&Instrument> = dossier.instruments.iter().filter(fits).collect();
    fitting.sort_by_key(|i| {
        let used = last.iter().position(|id| *id == i.id);
        used.unwrap_or(usize::MAX)
    });
    fitting
}

/// Returns the characters of an instrument as a value, with this unit where they have none; none where they are no
/// quantity.
pub fn value(text: &str, unit: Option<&str>) -> Option<String> {
    let start = text.find(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '−'))?;
    let (prefix, figure) = text.split_at(start);
    let is_prefix = |c: char| c.is_ascii_uppercase() || matches!(c, ',' | ' ' | ':' | '=');
    if !prefix.chars().all(is_prefix) || prefix.ends_with(|c: char| c.is_ascii_uppercase()) {
        return None;
    }
    let (sign, digits) = match figure.strip_prefix(['+', '-', '−']) {
        Some(rest) if figure.starts_with('+') => ("", rest),
        Some(rest) => ("-", rest),
        None => ("", figure),
    };
    let digits = digits.trim();
    let end = digits.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')));
    let (number, own) = digits.split_at(end.unwrap_or(digits.len()));
    // A display does not group digits: its one comma is the decimal sign.
    let number = match number.matches([',', '.']).count() {
        0 | 1 => number.replace(',', "."),
        _ => return None,
    };
    let whole = number.split('.').next().unwrap_or_default();
    let kept = whole.trim_start_matches('0');
    let kept = if kept.is_empty() { "0" } else { kept };
    let number = number.replacen(whole, kept, 1);
    let value = match (own.trim(), unit) {
        ("", None) => format!("{sign}{number}"),
        ("", Some(unit)) => format!("{sign}{number} {unit}"),
        (own, _) => format!("{sign}{number} {own}"),
    };
    Stated::parse(&value).ok().map(|_| value)
}

/// What a reading would be of.
struct Subject<'d> {
    item: &'d Item,
    what: ReadingSubject,
    mode: Option<String>,
    before: Option<String>,
}

/// What may be measured next: the sizes and the mass of what is under the hand, what is asked for, what is not weighed.
fn subjects<'d>(dossier: &'d Dossier, findings: &Findings, held: Option<&str>) -> Vec<Subject<'d>> {
    use ReadingSubject::{Diameter, Height, Length, Mass, Thickness, Width};
    let of = |item: &'d Item, what| Subject {
        item,
        what,
        mode: None,
        before: None,
    };
    let mut found = Vec::new();
    if let Some(item) = held.and_then(|id| dossier.item(id)) {
        let sizes = [Length, Width, Height, Thickness, Diameter, Mass];
        found.extend(sizes.map(|what| of(item, what)));
    }
    for taking in takings(dossier, findings) {
        let wanted = taking.reading.as_ref().filter(|_| taking.is_open());
        let Some(wanted) = wanted else { continue };
        let what = serde_json::from_value(json!(wanted.what)).ok();
        let Some((item, what)) = dossier.item(&wanted.item).zip(what) else {
            continue;
        };
        found.push(Subject {
            item,
            what,
            mode: wanted.mode.clone(),
            before: taking
                .before
                .as_ref()
                .and_then(Place::entry_id)
                .map(String::from),
        });
    }
    let weighed = |item: &Item| {
        let mut readings = dossier.readings.iter();
        readings.any(|r| r.what == Mass && r.item == item.id)
    };
    let unweighed = dossier.items.iter();
    let unweighed = unweighed.filter(|item| item.part.is_none() && !weighed(item));
    found.extend(unweighed.take(MOST_UNWEIGHED).map(|item| of(item, Mass)));
    let mut once: Vec<Subject<'d>> = Vec::new();
    for subject in found {
        let same = |s: &Subject<'_>| {
            s.item.id == subject.item.id && s.what == subject.what && s.mode == subject.mode
        };
        if !once.iter().any(same) {
            once.push(subject);
        }
    }
    once
}

/// The readings that a value may be of a subject, each with whether something speaks against it and whether its
/// decimals are not those of the instrument.
fn readings(
    dossier: &Dossier,
    subject: &Subject<'_>,
    value: &str,
) -> Vec<(bool, bool, Destination)> {
    let word = json!(subject.what);
    let word = word.as_str().unwrap_or_default();
    let (Some(dimension), Ok(stated)) = (dimension_of(word), Stated::parse(value)) else {
        return Vec::new();
    };
    let bare = stated.unit.symbol().is_empty();
    if !bare && stated.dimension() != dimension || bare && is_code(value) {
        return Vec::new();
    }
    let fitting = instruments_for(dossier, word);
    let mut found: Vec<(bool, bool, Destination)> = Vec::new();
    for instrument in &fitting {
        let Some(resolution) = &instrument.resolution else {
            continue;
        };
        let unit = resolution.unit.symbol();
        let with_unit = match bare {
            true => format!("{value} {unit}"),
            false => value.to_string(),
        };
        let Ok(read) = Stated::parse(&with_unit) else {
            continue;
        };
        let step = resolution.si().abs();
        let digit = (read.last_digit * read.unit.factor()).abs();
        let finer = digit < 0.99 * step;
        let note =
            finer.then(|| format!("it has more decimals than the instrument shows ({resolution})"));
        let same_digits = (digit / step - 1.0).abs() < 0.01;
        let says = format!("{}, {}", named(subject), instrument.name);
        found.push((
            finer,
            !same_digits,
            Destination {
                says,
                note,
                edits: vec![edit(dossier, subject, &with_unit, Some(&instrument.id))],
                code: None,
            },
        ));
        if !bare {
            return found;
        }
    }
    if fitting.is_empty() {
        let unit = example_of(word).and_then(|e| Stated::parse(&e).ok());
        let Some(unit) = unit else { return found };
        let with_unit = match bare {
            true => format!("{value} {}", unit.unit.symbol()),
            false => value.to_string(),
        };
        let note = bare.then(|| "no instrument says the unit".to_string());
        found.push((
            note.is_some(),
            true,
            Destination {
                says: format!("{} as {with_unit}", named(subject)),
                note,
                edits: vec![edit(dossier, subject, &with_unit, None)],
                code: None,
            },
        ));
    }
    found
}

fn named(subject: &Subject<'_>) -> String {
    let item = subject.item;
    let name = item.designator.as_ref().unwrap_or(&item.name);
    let mode = subject.mode.as_ref().map(|mode| format!(", {mode}"));
    let what = subject.what.words();
    format!("{what} of {name}{}", mode.unwrap_or_default())
}

fn edit(dossier: &Dossier, subject: &Subject<'_>, value: &str, with: Option<&str>) -> Edit {
    let what = json!(subject.what);
    let words = format!("{} {}", what.as_str().unwrap_or_default(), subject.item.id);
    let id = free_id(&record::id_of(&words), |id| {
        dossier.readings.iter().any(|reading| reading.id == id)
    });
    let mut entry = Map::new();
    entry.insert("id".into(), json!(id));
    entry.insert("item".into(), json!(subject.item.id));
    entry.insert("what".into(), what);
    entry.insert("value".into(), json!(value));
    let others = [
        ("mode", subject.mode.as_deref()),
        ("before", subject.before.as_deref()),
        ("instrument", with),
    ];
    for (key, word) in others {
        if let Some(word) = word {
            entry.insert(key.into(), json!(word));
        }
    }
    Edit::Add {
        to: Place::list_of_readings(),
        entry: Json::Object(entry),
        position: Position::Last,
    }
}

/// Returns whether characters are digits of a code rather than a reading.
fn is_code(text: &str) -> bool {
    text.len() >= CODE && text.chars().all(|c| c.is_ascii_digit())
}

/// A code as an identifier of the product.
fn identifier(text: &str) -> Option<Destination> {
    let known = read::identifier(text);
    let is_word = |c: char| c.is_ascii_alphanumeric() || "-./:()".contains(c);
    let like_a_code =
        text.len() >= CODE && text.chars().all(is_word) && text.chars().any(|c| c.is_ascii_digit());
    if known.is_none() && !like_a_code {
        return None;
    }
    let right = known
        .as_ref()
        .filter(|known| known.check_digit == Some(true));
    let kind = right.map_or("code as scanned", |known| known.kind.as_str());
    Some(Destination {
        says: format!("identifiers, as {kind}"),
        note: known
            .as_ref()
            .filter(|known| known.check_digit == Some(false))
            .map(|known| known.meaning.clone()),
        edits: vec![Edit::Add {
            to: Place::product().at("identifiers"),
            entry: json!({ "kind": kind, "text": text }),
            position: Position::Last,
        }],
        code: right.map(|known| known.kind.clone()),
    })
}

/// Returns an example of a kind of reading.
fn example_of(what: &str) -> Option<String> {
    let forms = record::forms();
    let form = forms.iter().find(|form| form.word == "reading")?;
    let mut entry = Map::new();
    entry.insert("what".to_string(), what.into());
    let field = form.field("value")?;
    Some(form.example(field, &entry))
}

fn dimension_of(what: &str) -> Option<Dimension> {
    let example = Stated::parse(&example_of(what)?).ok()?;
    Some(example.dimension())
}

#[cfg(test)]
mod tests;
