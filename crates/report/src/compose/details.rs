//! Tables and drawings that a finding brings along.

use super::Page;
use crate::words::{Words as _, percent};
use crate::{Block, RowMark, anchor, svg};
use methods::{
    Between, Cell, Chart, Column, Detail, Finding, MassRow, PartRow, PowerMap, StepRow, Table,
};
use quantity::{COVERED, digits, units};
use record::{Dossier, Place};

pub(super) fn blocks(page: &mut Page<'_>, of: &Finding, detail: &Detail, blocks: &mut Vec<Block>) {
    match detail {
        Detail::Masses { rows } => masses(page, of, rows, blocks),
        Detail::Power(map) => power(page, of, map, blocks),
        Detail::Parts { rows } => parts(page, of, rows, blocks),
        Detail::Steps { rows } => steps(page, of, rows, blocks),
        // Drawn over the photograph itself.
        Detail::Marks { .. } => {}
        Detail::Table(table) => self::table(page, of, table, blocks),
        Detail::Chart(chart) => self::chart(page, &of.id.to_string(), chart, blocks),
    }
}

fn table(page: &mut Page<'_>, of: &Finding, table: &Table, blocks: &mut Vec<Block>) {
    let rows = table.rows.iter().map(|row| {
        let mark = RowMark {
            link: row.first().and_then(|cell| link(page, cell)),
            ..RowMark::default()
        };
        (row.clone(), mark)
    });
    let rows = rows.collect();
    let id = of.id.to_string();
    page.table(&id, &table.caption, table.columns.clone(), rows, blocks);
}

/// Returns the anchor that a cell leads to: that of the item it names.
fn link(page: &Page<'_>, cell: &Cell) -> Option<String> {
    match cell {
        Cell::Place { place, .. } => item_link(page, place.item_id()?),
        _ => None,
    }
}

/// Draws a chart.
pub(super) fn chart(page: &mut Page<'_>, id: &str, chart: &Chart, blocks: &mut Vec<Block>) {
    let Some((svg, alternative)) = svg::chart(chart) else {
        return;
    };
    blocks.push(Block::Drawing {
        id: page.anchor(anchor("drawing", id)),
        caption: chart.caption.clone(),
        alternative,
        svg,
    });
}

fn masses(page: &mut Page<'_>, of: &Finding, rows: &[MassRow], blocks: &mut Vec<Block>) {
    let cells = rows
        .iter()
        .map(|row| {
            let [measured, half_measured] = value_and_half(row.measured);
            let [adjusted, half_adjusted] = value_and_half(row.adjusted);
            let remark = match (row.flagged, row.inferred) {
                (true, _) => "disagrees with the others",
                (false, true) => "not weighed, inferred",
                (false, false) => "",
            };
            (
                vec![
                    page.dossier
                        .item(&row.item)
                        .map_or_else(|| Cell::words(&row.name), Cell::item),
                    measured,
                    half_measured,
                    adjusted,
                    half_adjusted,
                    row.z.map_or(Cell::Nothing, |z| Cell::number(z, 1)),
                    Cell::words(remark),
                ],
                RowMark {
                    link: item_link(page, &row.item),
                    depth: row.depth,
                    ..RowMark::default()
                },
            )
        })
        .collect();
    let grams = |heading: &str| Column::in_unit(heading, units::gram());
    let columns = vec![
        Column::place("Item"),
        grams("Weighed"),
        grams("±"),
        grams("Adjusted"),
        grams("±"),
        Column::number("Test statistic"),
        Column::words("Remark"),
    ];
    let caption = "Masses per item, as weighed and after adjustment; ± is half the 95 % interval";
    page.table(&of.id.to_string(), caption, columns, cells, blocks);
}

/// Returns a mass and half its 95 % interval, both g, as two cells with the same decimals; a mass comes
/// with its standard uncertainty.
pub(crate) fn value_and_half(mass: Option<(f64, f64)>) -> [Cell; 2] {
    mass.map_or([Cell::Nothing, Cell::Nothing], |(mass, u)| {
        let half = COVERED * u;
        let decimals = digits::decimals(half).unwrap_or_else(|| digits::carried(mass));
        [
            Cell::measured(mass, u, units::gram()),
            Cell::number(half, decimals),
        ]
    })
}

fn item_link(page: &Page<'_>, item: &str) -> Option<String> {
    page.dossier.item(item).map(|i| anchor("item", &i.id))
}

/// Draws the power path; returns the drawing and the same in words.
pub fn power_drawing(dossier: &Dossier, map: &PowerMap) -> (String, String) {
    let map = &with_roles(dossier, map);
    let names: Vec<(String, String)> = map
        .nodes
        .iter()
        .filter_map(|n| n.group.clone())
        .map(|group| {
            let item = dossier.item(&group);
            (
                group.clone(),
                item.map_or_else(|| group.clone(), |i| i.name.clone()),
            )
        })
        .collect();
    let group_name = |id: &str| {
        names
            .iter()
            .find(|(group, _)| group == id)
            .map_or_else(|| id.into(), |(_, n)| n.clone())
    };
    let name = |id: &str| {
        map.nodes
            .iter()
            .find(|n| n.item == id)
            .map_or_else(|| id.to_string(), |n| n.name.clone())
    };
    let mut alternative = String::from("Power flows:");
    for edge in &map.edges {
        let label = if edge.label.is_nothing() {
            String::new()
        } else {
            format!(" ({})", edge.label.printed())
        };
        let binds = if edge.binds {
            ", which limits the path"
        } else {
            ""
        };
        alternative += &format!(
            " from {} to {}{label}{binds};",
            name(&edge.from),
            name(&edge.to)
        );
    }
    let binding: Vec<&str> = map
        .nodes
        .iter()
        .filter(|n| n.binds)
        .map(|n| n.name.as_str())
        .collect();
    if binding.is_empty() {
        alternative.push_str(" no limit is known to bind.");
    } else {
        alternative += &format!(" the limit is set by {}.", binding.join(", "));
    }
    (svg::power(map, &group_name, &alternative), alternative)
}

fn power(page: &mut Page<'_>, of: &Finding, map: &PowerMap, blocks: &mut Vec<Block>) {
    if map.nodes.is_empty() {
        return;
    }
    let (svg, alternative) = power_drawing(page.dossier, map);
    let id = page.anchor(anchor("drawing", &of.id.to_string()));
    blocks.push(Block::Drawing {
        id,
        caption: "Power path. What is framed heavily limits its path.".into(),
        svg,
        alternative,
    });
    let map = &with_roles(page.dossier, map);
    let rows = map
        .edges
        .iter()
        .map(|edge| {
            let limits = map.nodes.iter().find(|n| n.item == edge.to);
            let limits = limits.into_iter().flat_map(|n| n.limits.clone());
            let binds = edge.binds || map.nodes.iter().any(|n| n.item == edge.to && n.binds);
            (
                vec![
                    Cell::words(name(&edge.from)),
                    Cell::words(name(&edge.to)),
                    edge.label.clone(),
                    Cell::list(limits, Between::Semicolon),
                    Cell::words(if binds { "limits the path" } else { "" }),
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
        "On the way",
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

/// Adds to names such as "U2" what the part does, where the name does not say it.
fn with_roles(dossier: &Dossier, map: &PowerMap) -> PowerMap {
    let mut map = map.clone();
    for node in &mut map.nodes {
        let role = dossier
            .item(&node.item)
            .and_then(|i| i.role.as_deref())
            .unwrap_or("");
        if !role.is_empty() && !node.name.to_lowercase().contains(&role.to_lowercase()) {
            node.name = format!("{}, {role}", node.name);
        }
    }
    map
}

fn parts(page: &mut Page<'_>, of: &Finding, rows: &[PartRow], blocks: &mut Vec<Block>) {
    let cells = rows
        .iter()
        .map(|row| {
            (
                vec![
                    page.dossier
                        .item(&row.item)
                        .map_or_else(|| Cell::words(&row.name), Cell::item),
                    Cell::words(row.kind.words()),
                    Cell::words(&row.on),
                    row.count.clone(),
                    Cell::words(&row.role),
                    Cell::words(&row.marking),
                    Cell::words(&row.package),
                    Cell::words(&row.identity),
                    Cell::words(&row.maker),
                    certainty(row),
                    row.ratings.clone(),
                ],
                RowMark {
                    link: item_link(page, &row.item),
                    evidence: row.evidence.clone(),
                    ..RowMark::default()
                },
            )
        })
        .collect();
    let columns = vec![
        Column::place("Part"),
        Column::words("Kind"),
        Column::words("On"),
        Column::count("Count"),
        Column::words("Role"),
        Column::words("Marking"),
        Column::words("Package"),
        Column::words("Identity"),
        Column::words("Maker"),
        Column::words("Certainty"),
        Column::words("Ratings"),
    ];
    page.table(&of.id.to_string(), "Parts list", columns, cells, blocks);
}

/// How sure an identity is: the word in the record, and what the marking makes of it.
pub(super) fn certainty(row: &PartRow) -> Cell {
    let word = row.certainty.map_or("", |c| c.words());
    match row.probability {
        Some(p) => Cell::words(format!("{word}, {}", percent(p))),
        None => Cell::words(word),
    }
}

fn steps(page: &mut Page<'_>, of: &Finding, rows: &[StepRow], blocks: &mut Vec<Block>) {
    let mut cells = Vec::new();
    for row in rows {
        let recorded = page.dossier.step(&row.step);
        cells.push((
            vec![
                Cell::count(row.number),
                Cell::words(row.action.words()),
                Cell::words(&row.text),
                // Beside the act itself, where nobody has to scroll for it.
                Cell::list(row.cautions.iter().map(Cell::words), Between::Space),
                Cell::words(&row.tool),
                row.temperature.clone(),
                row.duration_min
                    .map_or(Cell::Nothing, |m| Cell::number(m, 1)),
                Cell::text(
                    recorded
                        .and_then(|s| super::intake::times(s.started, s.stopped))
                        .as_ref(),
                ),
                row.fasteners.clone(),
                Cell::names(&row.frees),
                Cell::names(&row.destroys),
                Cell::words(row.undo.words()),
            ],
            RowMark {
                anchor: recorded.and_then(|s| page.entry(&Place::step(&s.id))),
                evidence: recorded
                    .map(|s| super::evidence_of(&s.evidence))
                    .unwrap_or_default(),
                ..RowMark::default()
            },
        ));
    }
    let columns = vec![
        Column::count("No."),
        Column::words("Action"),
        Column::words("In words"),
        Column::words("Cautions"),
        Column::words("Tool"),
        Column::quantity("Temperature"),
        Column::in_unit("Time", units::minute()),
        Column::words("Done"),
        Column::count("Fasteners"),
        Column::words("Frees"),
        Column::words("Destroys"),
        Column::words("Can be undone"),
    ];
    page.table(
        &of.id.to_string(),
        "Steps of opening",
        columns,
        cells,
        blocks,
    );
}
