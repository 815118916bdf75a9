//! Block diagrams of power and of signals, and the same in words.
//!
//! In: the maps that findings bring. Out: a drawing and a table each. What hangs on the same arrow, with nothing
//! behind it, is one box. Not here: how boxes are set and drawn (`svg`).

use super::Page;
use crate::svg::{BlockBox, BlockWire};
use crate::{Block, RowMark, anchor, svg};
use methods::{
    Between, Cell, Column, Detail, Finding, Method, OpenWay, PathRole, PowerEdge, PowerMap,
    PowerNode, SignalMap, WayStanding,
};
use record::Dossier;
use std::collections::BTreeMap;

/// Said of what limits a path.
const LIMITS: &str = "limits the path";

/// Groups of a diagram in the order in which they are met, by item id.
#[derive(Default)]
struct Groups<'a>(Vec<&'a str>);

impl<'a> Groups<'a> {
    fn number(&mut self, group: Option<&'a str>) -> Option<usize> {
        let group = group?;
        let at = self.0.iter().position(|known| *known == group);
        Some(at.unwrap_or_else(|| {
            self.0.push(group);
            self.0.len() - 1
        }))
    }

    fn names(&self, dossier: &Dossier) -> Vec<String> {
        let name = |id: &&str| {
            dossier
                .item(id)
                .map_or_else(|| id.to_string(), |i| i.name.clone())
        };
        self.0.iter().map(name).collect()
    }
}

/// Draws where power flows.
pub(super) fn power(page: &mut Page<'_>, of: &Finding, map: &PowerMap, blocks: &mut Vec<Block>) {
    if map.nodes.is_empty() {
        return;
    }
    let ways: Vec<&OpenWay> = page.of(Method::Protection).flat_map(open_ways).collect();
    let diagram = power_diagram(page.dossier, map, &ways, None);
    let id = page.anchor(anchor("drawing", &of.id.to_string()));
    blocks.push(Block::Drawing {
        id,
        caption: "How power runs: on each arrow its net, volts, and the most amperes and watts that pass. What is \
                  framed heavily limits its path. A broken arrow lies on a way on which nothing on record stops a hazard."
            .into(),
        svg: diagram.svg(),
        upright: diagram.upright(),
        alternative: diagram.alternative,
    });
}

/// Draws where power flows; returns the drawing, and the same for a narrow page where that is another. Where an item is
/// chosen, its box is marked, and each box tells its items.
///
/// `ways` are those on which nothing on record stops a hazard: the arrows on them are broken and say so.
pub fn power_drawing(
    dossier: &Dossier,
    map: &PowerMap,
    ways: &[&OpenWay],
    chosen: Option<&str>,
) -> (String, Option<String>) {
    let diagram = power_diagram(dossier, map, ways, chosen);
    (diagram.svg(), diagram.upright())
}

fn power_diagram(
    dossier: &Dossier,
    map: &PowerMap,
    ways: &[&OpenWay],
    chosen: Option<&str>,
) -> svg::Diagram {
    let name = |id: &str| power_name(dossier, map, id);
    let alternative = power_in_words(map, &name) + &ways_in_words(ways, &name);
    let merged = merged(map);
    let mut groups = Groups::default();
    let boxes: Vec<BlockBox> = merged
        .iter()
        .map(|nodes| BlockBox {
            names: nodes
                .iter()
                .map(|n| match nodes.len() {
                    1 => with_role(dossier, &n.item, &n.name),
                    _ => n.name.clone(),
                })
                .collect(),
            sort: sort(nodes[0].sort).to_string(),
            lines: match nodes.as_slice() {
                [one] => limits(one),
                _ => Vec::new(),
            },
            filled: nodes[0].sort == PathRole::Cell,
            is_open: nodes[0].sort == PathRole::Unknown,
            heavy: nodes.iter().any(|n| n.binds).then_some(LIMITS),
            group: groups.number(nodes[0].group.as_deref()),
            is_elsewhere: false,
            walked: chosen.map(|chosen| {
                let items: Vec<&str> = nodes.iter().map(|n| n.item.as_str()).collect();
                (items.join(" "), items.contains(&chosen))
            }),
        })
        .collect();
    let at = |id: &str| merged.iter().position(|m| m[0].item == id);
    let wires: Vec<BlockWire> = map
        .edges
        .iter()
        .filter_map(|edge| {
            Some(BlockWire {
                from: merged
                    .iter()
                    .position(|m| m.iter().any(|n| n.item == edge.from))?,
                to: at(&edge.to)?,
                words: [
                    [&edge.net, &edge.volts, &edge.limit].as_slice(),
                    &[&edge.amps, &edge.watts],
                ]
                .map(line)
                .into_iter()
                .filter(|line| !line.is_empty())
                .chain(open_on(ways, edge))
                .collect(),
                heavy: edge.binds.then_some(LIMITS),
                broken: open_on(ways, edge).is_some(),
            })
        })
        .collect();
    svg::Diagram {
        boxes,
        wires,
        groups: groups.names(dossier),
        alternative,
    }
}

/// Returns the open ways that a finding brings.
pub fn open_ways(finding: &Finding) -> impl Iterator<Item = &OpenWay> {
    finding.details.iter().filter_map(|detail| match detail {
        Detail::Way(way) => Some(way),
        _ => None,
    })
}

/// Returns what is said on an arrow of the open ways through it: hazards, those with nothing there first.
fn open_on(ways: &[&OpenWay], edge: &PowerEdge) -> Option<String> {
    let joins = |pair: &[String]| {
        let ends = (pair[0].as_str(), pair[1].as_str());
        let (from, to) = (edge.from.as_str(), edge.to.as_str());
        ends == (from, to) || ends == (to, from)
    };
    let through = ways.iter().filter(|way| way.items.windows(2).any(joins));
    let mut by_standing: BTreeMap<WayStanding, Vec<String>> = BTreeMap::new();
    for way in through {
        let hazards = by_standing.entry(way.standing).or_default();
        let hazard = methods::words::lower(&way.hazard);
        if !hazards.contains(&hazard) {
            hazards.push(hazard);
        }
    }
    let said = by_standing
        .into_iter()
        .map(|(standing, hazards)| format!("{}: {}", standing.word(), hazards.join(", ")));
    let said: Vec<String> = said.collect();
    (!said.is_empty()).then(|| said.join("; "))
}

/// Says the open ways in words.
fn ways_in_words(ways: &[&OpenWay], name: &dyn Fn(&str) -> String) -> String {
    let said = ways.iter().map(|way| {
        let items: Vec<String> = way.items.iter().map(|id| name(id)).collect();
        format!(
            " {}, {}: {}.",
            way.hazard,
            way.standing.word(),
            items.join(" to ")
        )
    });
    said.collect()
}

/// Says the same as the drawing, one row for each arrow.
pub(super) fn power_in_rows(
    page: &mut Page<'_>,
    of: &Finding,
    map: &PowerMap,
    blocks: &mut Vec<Block>,
) {
    let name = |id: &str| power_name(page.dossier, map, id);
    let rows = map
        .edges
        .iter()
        .map(|edge| {
            let to = map.nodes.iter().find(|n| n.item == edge.to);
            let limits = to.into_iter().flat_map(|n| n.limits.clone());
            let binds = edge.binds || to.is_some_and(|n| n.binds);
            (
                vec![
                    Cell::words(name(&edge.from)),
                    Cell::words(name(&edge.to)),
                    edge.net.clone(),
                    edge.volts.clone(),
                    edge.limit.clone(),
                    edge.amps.clone(),
                    edge.watts.clone(),
                    Cell::list(limits, Between::Semicolon),
                    Cell::words(if binds { LIMITS } else { "" }),
                ],
                RowMark {
                    link: item_link(page, &edge.from),
                    ..RowMark::default()
                },
            )
        })
        .collect();
    let columns = [
        "From",
        "To",
        "Net",
        "Volts",
        "Rated",
        "Amperes",
        "Watts",
        "Limits at the destination",
        "Remark",
    ];
    page.table(
        &of.id.to_string(),
        "The power path in words",
        columns.map(Column::words).to_vec(),
        rows,
        blocks,
    );
}

/// Draws who talks to whom.
pub(super) fn signals(page: &mut Page<'_>, of: &Finding, map: &SignalMap, blocks: &mut Vec<Block>) {
    let name = |id: &str| {
        let node = map.nodes.iter().find(|n| n.item == id);
        node.map_or_else(
            || id.to_string(),
            |n| with_role(page.dossier, &n.item, &n.name),
        )
    };
    let mut groups = Groups::default();
    let boxes: Vec<BlockBox> = map
        .nodes
        .iter()
        .map(|node| BlockBox {
            names: vec![with_role(page.dossier, &node.item, &node.name)],
            sort: node.outside.printed(),
            filled: !node.outside.is_nothing(),
            group: groups.number(node.group.as_deref()),
            ..BlockBox::default()
        })
        .collect();
    let at = |id: &str| map.nodes.iter().position(|n| n.item == id);
    let wires: Vec<BlockWire> = map
        .edges
        .iter()
        .filter_map(|edge| {
            Some(BlockWire {
                from: at(&edge.from)?,
                to: at(&edge.to)?,
                words: vec![line(&[&edge.net])],
                heavy: None,
                broken: false,
            })
        })
        .collect();
    let told = map.edges.iter().map(|edge| {
        let net = match edge.net.printed() {
            net if net.is_empty() => net,
            net => format!(" ({net})"),
        };
        format!("{} to {}{net}", name(&edge.from), name(&edge.to))
    });
    let alternative = format!("Signals run from {}.", told.collect::<Vec<_>>().join("; "));
    let diagram = svg::Diagram {
        boxes,
        wires,
        groups: groups.names(page.dossier),
        alternative,
    };
    let id = page.anchor(anchor("drawing", &of.id.to_string()));
    blocks.push(Block::Drawing {
        id,
        caption: "Who talks to whom. What faces the outside or senses it is filled; an arrow carries the name of its \
                  net where one is on record."
            .into(),
        svg: diagram.svg(),
        upright: diagram.upright(),
        alternative: diagram.alternative,
    });
}

fn power_name(dossier: &Dossier, map: &PowerMap, id: &str) -> String {
    let node = map.nodes.iter().find(|n| n.item == id);
    node.map_or_else(|| id.to_string(), |n| with_role(dossier, &n.item, &n.name))
}

fn power_in_words(map: &PowerMap, name: &dyn Fn(&str) -> String) -> String {
    let told = map.edges.iter().map(|edge| {
        let label = match edge.label().printed() {
            label if label.is_empty() => label,
            label => format!(" ({label})"),
        };
        let binds = if edge.binds {
            ", which limits the path"
        } else {
            ""
        };
        format!(
            " from {} to {}{label}{binds};",
            name(&edge.from),
            name(&edge.to)
        )
    });
    let mut words = format!("Power flows:{}", told.collect::<String>());
    let binding = map.nodes.iter().filter(|n| n.binds);
    let binding: Vec<String> = binding.map(|n| name(&n.item)).collect();
    match binding.is_empty() {
        true => words.push_str(" no limit is known to bind."),
        false => words += &format!(" the limit is set by {}.", binding.join(", ")),
    }
    words
}

/// Returns the nodes as they are drawn: what hangs on equal arrows from one node, with nothing behind, together.
fn merged(map: &PowerMap) -> Vec<Vec<&PowerNode>> {
    let arrow = |node: &PowerNode| {
        let mut into = map.edges.iter().filter(|e| e.to == node.item);
        let leads_on = map.edges.iter().any(|e| e.from == node.item);
        let plain = node.sort == PathRole::Load && !node.binds && !leads_on;
        let only = into.next().filter(|_| plain && into.next().is_none());
        only.filter(|edge| !edge.binds)
            .map(|edge| (edge.from.clone(), edge.label(), node.group.clone()))
    };
    let mut merged: Vec<Vec<&PowerNode>> = Vec::new();
    for node in &map.nodes {
        let own = arrow(node);
        let mate = merged
            .iter_mut()
            .find(|m| own.is_some() && arrow(m[0]) == own);
        match mate {
            Some(mates) => mates.push(node),
            None => merged.push(vec![node]),
        }
    }
    merged
}

/// Returns what is told, with commas between.
fn line(cells: &[&Cell]) -> String {
    let told = cells.iter().filter(|cell| !cell.is_nothing());
    told.map(|cell| cell.printed())
        .collect::<Vec<_>>()
        .join(", ")
}

fn limits(node: &PowerNode) -> Vec<String> {
    let told: Vec<String> = node.limits.iter().map(Cell::printed).collect();
    match told.is_empty() {
        true => told,
        false => vec![told.join(", ")],
    }
}

fn sort(role: PathRole) -> &'static str {
    match role {
        PathRole::Contact => "to the outside",
        PathRole::Cell => "cell",
        PathRole::Unknown => "not known what it does",
        // What the others do, their names say.
        PathRole::Converter | PathRole::Load | PathRole::Pass => "",
    }
}

/// Adds to a name such as "U2" what the part does, where the name does not say it.
fn with_role(dossier: &Dossier, item: &str, name: &str) -> String {
    let role = dossier.item(item).and_then(|i| i.role.as_deref());
    match role {
        Some(role) if name.chars().count() <= 4 => format!("{name}, {role}"),
        _ => name.to_string(),
    }
}

fn item_link(page: &Page<'_>, item: &str) -> Option<String> {
    page.dossier.item(item).map(|i| anchor("item", &i.id))
}
