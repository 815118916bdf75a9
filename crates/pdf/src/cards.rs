//! Chips and steps as data for the template.

use super::data::Writer;
use report::{ChipCard, Chips, Crop, Panel, Strip};
use serde_json::{Value, json};

/// Writes the chips.
pub(super) fn chips(writer: &mut Writer<'_>, chips: &Chips) -> Value {
    let cards: Vec<Value> = chips.cards.iter().map(|card| chip(writer, card)).collect();
    json!({ "kind": "chips", "anchor": writer.once(&chips.id), "cards": cards })
}

fn chip(writer: &mut Writer<'_>, card: &ChipCard) -> Value {
    json!({
        "anchor": writer.once(&card.anchor),
        "crop": crop(writer, card.crop.as_ref()),
        "name": card.part_number,
        "count": card.count,
        "maker": card.maker,
        "role": card.role,
        "does": card.does,
        "level": card.certainty.level,
        "sure": card.certainty.words,
        "marking": card.marking.join(" "),
        "seats": card.seats.iter().map(|s| s.words.as_str()).collect::<Vec<_>>(),
    })
}

fn crop(writer: &mut Writer<'_>, crop: Option<&Crop>) -> Value {
    let Some(crop) = crop else {
        return Value::Null;
    };
    let Some(file) = writer.file(super::pictures::photograph(&crop.picture)) else {
        return Value::Null;
    };
    json!({
        "file": file,
        "alternative": crop.alternative,
        "bar": crop.bar.as_ref().map(|(share, words)| json!({ "share": share, "words": words })),
    })
}

/// Writes the opening.
pub(super) fn strip(writer: &mut Writer<'_>, strip: &Strip) -> Value {
    let panels: Vec<Value> = strip.panels.iter().map(|p| panel(writer, p)).collect();
    json!({ "kind": "strip", "anchor": writer.once(&strip.id), "panels": panels })
}

fn panel(writer: &mut Writer<'_>, panel: &Panel) -> Value {
    let steps: Vec<Value> = panel
        .steps
        .iter()
        .map(|step| {
            json!({
                "anchor": step.anchor.as_deref().and_then(|a| writer.once(a)),
                "number": step.number.to_string(),
                "text": step.text,
                "with": step.with,
                "frees": step.frees,
                "cautions": step.cautions,
                "planned": step.planned,
            })
        })
        .collect();
    json!({ "crop": crop(writer, panel.picture.as_ref()), "steps": steps })
}
