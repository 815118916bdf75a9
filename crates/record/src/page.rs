//! The tables of `docs/dossier.md`, made from the grammar so that the page cannot drift.

use crate::count::UNKNOWN;
use crate::grammar::{Kind, Names, ROOT, Table};
use std::fmt::Write as _;

/// Returns one Markdown table per table of the text, in the order they are written.
pub(crate) fn reference() -> String {
    reference_of(&ROOT)
}

pub(crate) fn reference_of(grammar: &Table) -> String {
    let mut out = String::new();
    section(&mut out, grammar, "At the top");
    out
}

fn section(out: &mut String, table: &Table, title: &str) {
    let _ = writeln!(out, "### {title}\n\n{}.\n", sentence(table.doc));
    out.push_str("| key | | value | meaning |\n| --- | --- | --- | --- |\n");
    for key in table.keys {
        let need = if key.required { "required" } else { "" };
        let _ = writeln!(
            out,
            "| `{}` | {need} | {} | {} |",
            key.name,
            cell(&words(&key.kind)),
            cell(key.doc)
        );
    }
    out.push('\n');
    for key in table.keys {
        match &key.kind {
            Kind::Table(inner) => section(out, inner, &format!("`[{}]`", inner.name)),
            Kind::Tables(inner) => section(out, inner, &format!("`[[{}]]`", inner.name)),
            Kind::Inline(inner) => section(out, inner, &format!("`{} = {{ … }}`", key.name)),
            Kind::Words(words) => {
                let _ = writeln!(out, "Words of `{}`:\n", key.name);
                for word in *words {
                    let _ = writeln!(out, "- `{}`: {}", word.word, word.doc);
                }
                out.push('\n');
            }
            Kind::Named(names) => named(out, names, key.name),
            _ => {}
        }
    }
}

fn named(out: &mut String, names: &Names, key: &str) {
    let more = if names.open {
        " (others are allowed)"
    } else {
        ""
    };
    let _ = writeln!(out, "Names of `{key}`{more}:\n");
    for name in names.known {
        let _ = writeln!(
            out,
            "- `{}`: {}, such as \"{}\"",
            name.name, name.doc, name.asked.example
        );
    }
    out.push('\n');
}

/// Returns what may stand under a key, in words.
fn words(kind: &Kind) -> String {
    match kind {
        Kind::Text | Kind::Note => "text".into(),
        Kind::Marking => "marking line".into(),
        Kind::Id(_) => "id".into(),
        Kind::Ref(ids) => format!("id of {}", ids.table()),
        Kind::RegionOf(_) => "id of [[photos.regions]]".into(),
        Kind::Evidence => "evidence".into(),
        Kind::FileIn(_) => "file name".into(),
        Kind::Date => "date".into(),
        Kind::Moment => format!(
            "date and time with offset, such as {}",
            crate::moment::EXAMPLE
        ),
        Kind::FilmTime => format!("time of a film, such as \"{}\"", crate::film_time::EXAMPLE),
        Kind::Quantity(asked) => format!("{}, such as \"{}\"", asked.word, asked.example),
        Kind::Rating => "rating, such as \"5 V ⎓ 2 A\"".into(),
        Kind::Words(_) => "one of the words below".into(),
        Kind::Count => format!("whole number from 1, or \"{UNKNOWN}\""),
        Kind::Whole { least } => format!("whole number, {least} or more"),
        Kind::Number { low, high } if *high >= 1e6 => format!("number, {low} or more"),
        Kind::Number { low, high } => format!("number from {low} to {high}"),
        Kind::Boolean => "true or false".into(),
        Kind::List(element) => match element {
            Kind::Words(words) => {
                let all: Vec<String> = words.iter().map(|w| format!("`{}`", w.word)).collect();
                format!("list of: {}", all.join(", "))
            }
            _ => format!("list: {}", words(element)),
        },
        Kind::Row(element, length) => format!("list of {length}: {}", words(element)),
        Kind::Table(inner) | Kind::Inline(inner) => format!("table `{}`", inner.name),
        Kind::Tables(inner) => format!("tables `[[{}]]`", inner.name),
        Kind::Named(_) => "quantities by the names below".into(),
    }
}

fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// Keeps text from breaking the Markdown table.
fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}
