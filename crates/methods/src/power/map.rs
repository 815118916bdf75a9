//! The power path as a diagram.

use super::flow::Flows;
use crate::cells::is_cell;
use crate::network::is_unknown_stage;
use crate::{Case, Cell, PathRole, PowerEdge, PowerMap, PowerNode};
use quantity::Stated;
use record::{ConversionKind, Item};
use std::collections::BTreeSet;

/// Items and links, by number, that bind some path.
#[derive(Debug, Default)]
pub(super) struct Bindings {
    pub(super) items: BTreeSet<String>,
    pub(super) links: BTreeSet<usize>,
}

/// Draws every item on a power link, in the order of the record.
pub(super) fn draw(case: &Case<'_>, bindings: &Bindings, flows: &Flows) -> PowerMap {
    let nodes = case
        .network()
        .items()
        .map(|item| PowerNode {
            item: item.id.clone(),
            name: name(case, item),
            sort: sort(case, item),
            group: case.tree().part_of(&item.id).map(|i| i.id.clone()),
            limits: limits(item),
            binds: bindings.items.contains(&item.id),
        })
        .collect();
    let links = case.network().links().iter();
    let edges = links.filter_map(|link| {
        let carried = flows.over(link.number, case.item(&link.to)?);
        let stated = link.voltage.as_ref().map(Cell::stated);
        let limit = link.current_limit.as_ref();
        Some(PowerEdge {
            from: link.from.clone(),
            to: link.to.clone(),
            net: Cell::text(link.net.as_ref()),
            volts: stated.unwrap_or(carried.volts),
            limit: limit.map_or(Cell::Nothing, |s| Cell::stated(s).named("rated")),
            amps: carried.amps,
            watts: carried.watts,
            binds: bindings.links.contains(&link.number),
        })
    });
    PowerMap {
        edges: edges.collect(),
        nodes,
    }
}

fn name(case: &Case<'_>, item: &Item) -> String {
    match case.tree().pieces(item) {
        0 | 1 => item.name.clone(),
        n => format!("{} × {n}", item.name),
    }
}

fn limits(item: &Item) -> Vec<Cell> {
    let mut cells = Vec::new();
    let mut add = |name: &str, stated: Option<&Stated>| {
        // How far a limit may lie off is in the table of what limits each path.
        let shown = if name.ends_with('≤') {
            Cell::nominal
        } else {
            Cell::stated
        };
        cells.extend(stated.map(|s| shown(s).named(name)));
    };
    if let Some(c) = &item.converts {
        add("in ≤", c.input_current_limit.as_ref());
        add("out ≤", c.output_current_limit.as_ref());
        add("out ≤", c.output_power_limit.as_ref());
        add("out", c.output_voltage.as_ref());
        add("efficiency", c.efficiency.as_ref());
    }
    if let Some(part) = &item.part {
        add("charge ≤", part.ratings.get("charge-current-limit"));
        add("opens above", part.ratings.get("over-voltage-threshold"));
        add("withstands", part.ratings.get("input-absolute-maximum"));
    }
    if let Some(cell) = item.cell.as_ref().filter(|_| is_cell(item)) {
        add("holds", cell.capacity.as_ref());
        add("charge ≤", cell.charge_current.as_ref());
    }
    for load in &item.loads {
        add(&format!("{}:", load.mode), Some(&load.current));
    }
    let rating = item.contact.as_ref().and_then(|c| c.rating.as_ref());
    let rating = rating.map(|r| Cell::words(&r.text));
    rating.into_iter().chain(cells).collect()
}

/// Returns what the item does on the path.
fn sort(case: &Case<'_>, item: &Item) -> PathRole {
    if item.contact.is_some() {
        PathRole::Contact
    } else if is_cell(item) {
        PathRole::Cell
    } else if is_unknown_stage(item) && !case.network().ends(item) {
        PathRole::Unknown
    } else if let Some(conversion) = &item.converts {
        if conversion.kind == ConversionKind::Switch {
            PathRole::Pass
        } else {
            PathRole::Converter
        }
    } else if case.network().ends(item) {
        PathRole::Load
    } else {
        PathRole::Pass
    }
}
