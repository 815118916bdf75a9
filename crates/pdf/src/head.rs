//! The head as data for the templates.
//!
//! In: a [`Head`]. Out: its texts, and the pictures it names. Not here: how anything looks.

use super::{finding, pictures};
use report::{ChipCard, Head, KeyFigure, Picture, Shot};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use typst::foundations::Bytes;

/// Turns the head into data.
pub(super) fn data(head: &Head, files: &mut BTreeMap<String, Bytes>) -> Value {
    let mut add = |picture: &Picture| add(picture, files);
    json!({
        "hero": head.hero.as_ref().map(|hero| json!({ "file": add(&hero.picture), "words": hero.caption })),
        "about": head.about,
        "judgement": head.judgement,
        "tally": head.tally.iter().map(|tally| json!({
            "verdict": finding::verdict(tally.verdict),
            "count": tally.count,
            "verb": tally.verb,
        })).collect::<Vec<_>>(),
        "notes": head.notes,
        "figures": head.figures.iter().map(figure).collect::<Vec<_>>(),
        "telling": {
            "heading": head.telling.heading,
            "rows": head.telling.rows.iter().map(|row| json!({
                "said": row.said,
                "found": row.found,
                "amount": row.amount,
                "verdict": finding::verdict(row.verdict),
            })).collect::<Vec<_>>(),
        },
        "chips": head.chips.iter().map(|chip| self::chip(chip, &mut add)).collect::<Vec<_>>(),
        "boards": head.boards.iter().map(|shot| self::shot(shot, &mut add)).collect::<Vec<_>>(),
    })
}

fn figure(figure: &KeyFigure) -> Value {
    json!({
        "name": figure.name,
        "value": figure.value,
        "unit": figure.unit,
        "what": figure.what,
        "said": figure.said,
        "verdict": figure.verdict.map(finding::verdict),
    })
}

fn chip(chip: &ChipCard, add: &mut impl FnMut(&Picture) -> Option<String>) -> Value {
    json!({
        "part": chip.part_number,
        "role": chip.role,
        "doubt": chip.certainty.doubt,
        "alternative": chip.crop.as_ref().map(|crop| crop.alternative.as_str()),
        "file": chip.crop.as_ref().and_then(|crop| add(&crop.picture)),
    })
}

fn shot(shot: &Shot, add: &mut impl FnMut(&Picture) -> Option<String>) -> Value {
    json!({ "words": shot.words, "file": add(&shot.picture) })
}

/// Adds a picture under a name of ours; none if it cannot be drawn.
fn add(picture: &Picture, files: &mut BTreeMap<String, Bytes>) -> Option<String> {
    let taken = pictures::photograph(picture)?;
    let name = format!("picture-{}.{}", files.len() + 1, taken.ending);
    files.insert(name.clone(), taken.bytes);
    Some(name)
}
