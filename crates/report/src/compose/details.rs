//! Tables and drawings that a finding brings along.

use super::{Page, diagrams};
use crate::words::Words as _;
use crate::{Block, RowMark, anchor, svg};
use methods::words::how_sure;
use methods::{
    Between, Cell, Chart, Column, Detail, Finding, MassRow, PartRow, PartWay, StepRow, Table,
};
use quantity::{COVERED, digits, units};
use record::Place;

pub(super) fn blocks(page: &mut Page<'_>, of: &Finding, detail: &Detail, blocks: &mut Vec<Block>) {
    match detail {
        Detail::Masses { rows } => masses(page, of, rows, blocks),
        Detail::Power(map) => diagrams::power(page, of, map, blocks),
        Detail::Signals(map) => diagrams::signals(page, of, map, blocks),
        Detail::Parts { rows } => parts(page, of, rows, blocks),
        Detail::Steps { rows } => steps(page, of, rows, blocks),
        // Drawn over the photograph itself.
        Detail::Marks { .. } => {}
        // Marked in the diagram of power.
        Detail::Way(_) => {}
        Detail::Ways { ways } => self::ways(page, of, ways, blocks),
        Detail::Table(table) | Detail::Rows { table, .. } => self::table(page, of, table, blocks),
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

/// Draws the ways to spare parts by themselves; returns the drawing and the same in words, none where there is no way.
pub fn ways_drawing(ways: &[PartWay]) -> Option<(String, String)> {
    svg::ways(ways)
}

fn ways(page: &mut Page<'_>, of: &Finding, ways: &[PartWay], blocks: &mut Vec<Block>) {
    let Some((svg, alternative)) = ways_drawing(ways) else {
        return;
    };
    blocks.push(Block::Drawing {
        id: page.anchor(anchor("drawing", &of.id.to_string())),
        caption: WAYS.into(),
        alternative,
        svg,
        upright: None,
    });
}

/// What is drawn of the ways.
pub const WAYS: &str = "The way to each spare part, step by step; read from its end it is the way back. A bar before a \
    step: the tool is changed. Tinted: needs new material to go back. A cross: something breaks or cannot be undone.";

/// Draws a chart by itself; returns the drawing and the same in words, none where there is nothing to draw.
pub fn chart_drawing(chart: &Chart) -> Option<(String, String)> {
    svg::chart(chart)
}

/// Draws a chart.
pub(super) fn chart(page: &mut Page<'_>, id: &str, chart: &Chart, blocks: &mut Vec<Block>) {
    let Some((svg, alternative)) = chart_drawing(chart) else {
        return;
    };
    blocks.push(Block::Drawing {
        id: page.anchor(anchor("drawing", id)),
        caption: chart.caption.clone(),
        alternative,
        svg,
        upright: svg::chart_upright(chart),
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
    match row.certainty {
        Some(by) => Cell::words(how_sure(Some(by), row.probability)),
        None => Cell::Nothing,
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
