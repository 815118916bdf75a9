//! The power path as a diagram.

use crate::cells::is_cell;
use crate::inputs::{tidy, unit};
use crate::network::{Path, is_unknown_stage};
use crate::{Between, Case, Cell, PathRole, PowerEdge, PowerMap, PowerNode};
use quantity::Stated;
use record::{ConversionKind, Item};
use std::collections::{BTreeMap, BTreeSet};

/// Items and links that bind some path.
#[derive(Debug, Default)]
pub(crate) struct Bindings {
    pub(crate) items: BTreeSet<String>,
    pub(crate) links: BTreeSet<(String, String)>,
    /// The most that flows over the last link of a path, by its ends.
    flows: BTreeMap<(String, String), Flow>,
}

/// What flows at most.
#[derive(Debug, Clone, Copy)]
struct Flow {
    /// A.
    amps: f64,
    /// W, where the voltage is known.
    watts: Option<f64>,
}

impl Bindings {
    /// Notes what a path brings to its end; of several paths over one link the one that brings most counts.
    pub(crate) fn reaches(&mut self, path: &Path<'_>, amps: f64, watts: Option<f64>) {
        let Some(link) = path.links.last() else {
            return;
        };
        let ends = (link.from.clone(), link.to.clone());
        let most = self.flows.entry(ends).or_insert(Flow { amps, watts });
        if amps > most.amps {
            *most = Flow { amps, watts };
        }
    }
}

/// Draws every item on a power link, in the order of the record.
pub(crate) fn draw(case: &Case<'_>, bindings: &Bindings) -> PowerMap {
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
    let edges = case
        .network()
        .links()
        .iter()
        .map(|link| {
            let net = link.net.iter().map(Cell::words);
            let voltage = link.voltage.iter().map(Cell::stated);
            let limit = link
                .current_limit
                .iter()
                .map(|s| Cell::stated(s).named("≤"));
            let ends = (link.from.clone(), link.to.clone());
            let flow = bindings.flows.get(&ends);
            let amps = flow.map(|f| Cell::quantity(tidy(f.amps), unit("A")).named("at most"));
            let watts = flow.and_then(|f| f.watts);
            let watts = watts.map(|w| Cell::quantity(tidy(w), unit("W")));
            let said = net.chain(voltage).chain(limit).chain(amps).chain(watts);
            PowerEdge {
                from: link.from.clone(),
                to: link.to.clone(),
                label: Cell::list(said, Between::Comma),
                binds: bindings.links.contains(&ends),
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

fn limits(item: &Item) -> Vec<Cell> {
    let mut cells = Vec::new();
    let mut add = |name: &str, stated: Option<&Stated>| {
        cells.extend(stated.map(|s| Cell::stated(s).named(name)));
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
        add("stands", part.ratings.get("input-absolute-maximum"));
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
