//! What a new part is called, for readers and in the record.

use crate::free_id;
use record::Item;

/// What names a part.
pub(super) struct Named<'a> {
    pub(super) role: Option<&'a str>,
    pub(super) designator: Option<&'a str>,
    pub(super) called: Option<&'a str>,
    pub(super) id: &'a str,
}

/// The name of a part: what it does and the reference printed beside it; before that is known, what it is.
pub(super) fn name(of: &Named<'_>) -> String {
    let first = match (of.role, of.called) {
        (Some(role), _) => capital(role),
        (None, Some(called)) => called.to_string(),
        (None, None) => "Part".to_string(),
    };
    match of.designator {
        Some(designator) => format!("{first} {designator}"),
        None if of.role.is_none() && of.called.is_none() => {
            capital(&of.id.replace(['-', '_'], " "))
        }
        None => first,
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// The id of a new part: by the reference printed beside it, else by its marking, else by number.
pub(super) fn id(
    parent: &str,
    designator: Option<&str>,
    marking: &[String],
    items: &[Item],
) -> String {
    let is_taken = |id: &str| items.iter().any(|item| item.id == id);
    let wanted = match designator.map(slug).filter(|id| !id.is_empty()) {
        Some(designator) => format!("{parent}-{designator}"),
        None => marking.first().map(|line| slug(line)).unwrap_or_default(),
    };
    match wanted.is_empty() {
        true => {
            let numbered = (1..).map(|n| format!("part-{n}"));
            let mut free = numbered.filter(|id| !is_taken(id));
            free.next().unwrap_or_default()
        }
        false => free_id(&wanted, is_taken),
    }
}

/// Letters and digits of a text, small.
pub(in crate::plates) fn slug(text: &str) -> String {
    let plain = text.chars().map(|c| match c {
        c if c.is_ascii_alphanumeric() => c.to_ascii_lowercase(),
        _ => '-',
    });
    let plain: String = plain.collect();
    let words = plain.split('-').filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("-")
}

pub(in crate::plates) fn filled(text: Option<&str>) -> Option<&str> {
    text.map(str::trim).filter(|text| !text.is_empty())
}
