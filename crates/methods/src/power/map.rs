//! The power path as a diagram.

use crate::cells::is_cell;
use crate::{Case, PowerEdge, PowerMap, PowerNode};
use quantity::Stated;
use record::{ConversionKind, Item};
use std::collections::BTreeSet;

/// Items and links that bind some path.
#[derive(Debug, Default)]
pub(crate) struct Bindings {
    pub(crate) items: BTreeSet<String>,
    pub(crate) links: BTreeSet<(String, String)>,
}

/// Draws every item on a power link, in the order of the record.
pub(crate) fn draw(case: &Case<'_>, bindings: &Bindings) -> PowerMap {
    let nodes = case
        .network()
        .items()
        .map(|item| PowerNode {
            item: item.id.clone(),
            name: name(case, item),
            sort: sort(case, item).to_string(),
            group: case.tree().part_of(&item.id).map(|i| i.id.clone()),
            limits: limits(item),
            binds: bindings.items.contains(&item.id),
        })
        .collect();
    let edges = case
        .network()
        .links()
        .iter()
        .map(|link| {
            let mut parts: Vec<String> = link.net.iter().cloned().collect();
            parts.extend(link.voltage.iter().map(Stated::to_string));
            parts.extend(link.current_limit.iter().map(|s| format!("≤ {s}")));
            PowerEdge {
                from: link.from.clone(),
                to: link.to.clone(),
                label: parts.join(", "),
                binds: bindings
                    .links
                    .contains(&(link.from.clone(), link.to.clone())),
            }
        })
        .collect();
    PowerMap { nodes, edges }
}

fn name(case: &Case<'_>, item: &Item) -> String {
    match case.tree().pieces(item) {
        0 | 1 => item.name.clone(),
        n => format!("{} × {n}", item.name),
    }
}

fn limits(item: &Item) -> Vec<String> {
    let mut texts = Vec::new();
    if let Some(rating) = item.contact.as_ref().and_then(|c| c.rating.as_ref()) {
        texts.push(rating.text.clone());
    }
    if let Some(c) = &item.converts {
        let mut add = |word: &str, stated: &Option<Stated>| {
            texts.extend(stated.iter().map(|s| format!("{word} {s}")));
        };
        add("in ≤", &c.input_current_limit);
        add("out ≤", &c.output_current_limit);
        add("out ≤", &c.output_power_limit);
        add("out", &c.output_voltage);
        add("efficiency", &c.efficiency);
    }
    if let Some(part) = &item.part {
        for (key, word) in [
            ("charge-current-limit", "charge ≤"),
            ("over-voltage-threshold", "opens above"),
            ("input-absolute-maximum", "stands"),
        ] {
            texts.extend(part.ratings.get(key).map(|s| format!("{word} {s}")));
        }
    }
    if let Some(cell) = item.cell.as_ref().filter(|_| is_cell(item)) {
        texts.extend(cell.capacity.iter().map(Stated::to_string));
        texts.extend(cell.charge_current.iter().map(|s| format!("charge ≤ {s}")));
    }
    texts.extend(
        item.loads
            .iter()
            .map(|l| format!("{}: {}", l.mode, l.current)),
    );
    texts
}

/// Returns the word for what the item does on the path.
fn sort(case: &Case<'_>, item: &Item) -> &'static str {
    if item.contact.is_some() {
        "contact"
    } else if is_cell(item) {
        "cell"
    } else if let Some(conversion) = &item.converts {
        if conversion.kind == ConversionKind::Switch {
            "pass"
        } else {
            "converter"
        }
    } else if case.network().ends(item) {
        "load"
    } else {
        "pass"
    }
}
