//! Tables and drawings that a finding brings along.

use super::Page;
use crate::words::{decimal, percent, with_uncertainty};
use crate::{Block, RowMark, anchor, svg};
use methods::{Detail, Finding, MassRow, PartRow, PowerMap, StepRow};
use record::Place;

pub(super) fn blocks(page: &mut Page<'_>, of: &Finding, detail: &Detail, blocks: &mut Vec<Block>) {
    match detail {
        Detail::Masses { rows } => masses(page, of, rows, blocks),
        Detail::Power(map) => power(page, of, map, blocks),
        Detail::Parts { rows } => parts(page, of, rows, blocks),
        Detail::Steps { rows } => steps(page, of, rows, blocks),
        // Drawn over the photograph itself.
        Detail::Marks { .. } => {}
        Detail::Table {
            caption,
            columns,
            rows,
        } => {
            let numeric: Vec<bool> = (0..columns.len())
                .map(|c| rows.iter().all(|r| r.get(c).is_none_or(|t| is_number(t))))
                .collect();
            let columns: Vec<(&str, bool)> =
                columns.iter().map(String::as_str).zip(numeric).collect();
            let rows = rows
                .iter()
                .map(|r| (r.clone(), RowMark::default()))
                .collect();
            page.table(&of.id.to_string(), caption, &columns, rows, blocks);
        }
    }
}

/// Whether a cell is set like a number: a figure, perhaps with a unit, or nothing.
fn is_number(text: &str) -> bool {
    let first = text.trim_start_matches(['−', '-', '+', '±', '<', '>', '≤', '≥', '~', ' ']);
    text.is_empty() || text == "—" || first.starts_with(|c: char| c.is_ascii_digit())
}

fn masses(page: &mut Page<'_>, of: &Finding, rows: &[MassRow], blocks: &mut Vec<Block>) {
    if let Some((svg, alternative)) = svg::masses(rows) {
        let id = page.anchor(anchor("drawing", &of.id.to_string()));
        let caption = "Adjusted masses, part of the whole; whiskers show ± one standard \
                       uncertainty of each piece."
            .into();
        blocks.push(Block::Drawing {
            id,
            caption,
            alternative,
            svg,
        });
    }
    let cells = rows
        .iter()
        .map(|row| {
            let (measured, u_measured) = pair(row.measured);
            let (adjusted, u_adjusted) = pair(row.adjusted);
            let remark = match (row.flagged, row.inferred) {
                (true, _) => "disagrees with the others",
                (false, true) => "not weighed, inferred",
                (false, false) => "",
            };
            let indent = "\u{2003}".repeat(row.depth.min(8));
            (
                vec![
                    format!("{indent}{}", row.name),
                    measured,
                    u_measured,
                    adjusted,
                    u_adjusted,
                    row.z.map(|z| decimal(z, 1)).unwrap_or_default(),
                    remark.into(),
                ],
                RowMark {
                    link: item_link(page, &row.item),
                    ..RowMark::default()
                },
            )
        })
        .collect();
    let columns = [
        ("Item", false),
        ("Weighed, g", true),
        ("u, g", true),
        ("Adjusted, g", true),
        ("u, g", true),
        ("Test statistic", true),
        ("Remark", false),
    ];
    let caption = "Masses per item, as weighed and after adjustment; u is the standard uncertainty";
    page.table(&of.id.to_string(), caption, &columns, cells, blocks);
}

fn pair(value: Option<(f64, f64)>) -> (String, String) {
    value
        .map(|(x, u)| with_uncertainty(x, u))
        .unwrap_or_default()
}

fn item_link(page: &Page<'_>, item: &str) -> Option<String> {
    page.dossier.item(item).map(|i| anchor("item", &i.id))
}

fn power(page: &mut Page<'_>, of: &Finding, map: &PowerMap, blocks: &mut Vec<Block>) {
    if map.nodes.is_empty() {
        return;
    }
    let map = &with_roles(page, map);
    let names: Vec<(String, String)> = map
        .nodes
        .iter()
        .filter_map(|n| n.group.clone())
        .map(|group| (group.clone(), page.item_name(&group)))
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
        let label = if edge.label.is_empty() {
            String::new()
        } else {
            format!(" ({})", edge.label)
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
    let id = page.anchor(anchor("drawing", &of.id.to_string()));
    blocks.push(Block::Drawing {
        id,
        caption: "Power path. The element marked “limits” binds the path.".into(),
        svg: svg::power(map, &group_name, &alternative),
        alternative,
    });
    let rows = map
        .edges
        .iter()
        .map(|edge| {
            let limits = map.nodes.iter().find(|n| n.item == edge.to);
            let limits = limits.map(|n| n.limits.join("; ")).unwrap_or_default();
            let binds = edge.binds || map.nodes.iter().any(|n| n.item == edge.to && n.binds);
            (
                vec![
                    name(&edge.from),
                    name(&edge.to),
                    edge.label.clone(),
                    limits,
                    if binds {
                        "limits the path".into()
                    } else {
                        String::new()
                    },
                ],
                RowMark {
                    link: item_link(page, &edge.from),
                    ..RowMark::default()
                },
            )
        })
        .collect();
    let columns = [
        ("From", false),
        ("To", false),
        ("On the way", false),
        ("Limits at the destination", false),
        ("Remark", false),
    ];
    page.table(
        &of.id.to_string(),
        "The power path in words",
        &columns,
        rows,
        blocks,
    );
}

/// Adds to names such as "U2" what the part does, where the name does not say it.
fn with_roles(page: &Page<'_>, map: &PowerMap) -> PowerMap {
    let mut map = map.clone();
    for node in &mut map.nodes {
        let role = page
            .dossier
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
                    row.name.clone(),
                    row.kind.clone(),
                    row.on.clone(),
                    row.count.to_string(),
                    row.role.clone(),
                    row.marking.clone(),
                    row.package.clone(),
                    row.identity.clone(),
                    row.maker.clone(),
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
    let columns = [
        ("Part", false),
        ("Kind", false),
        ("On", false),
        ("Count", true),
        ("Role", false),
        ("Marking", false),
        ("Package", false),
        ("Identity", false),
        ("Maker", false),
        ("Certainty", false),
        ("Ratings", false),
    ];
    page.table(&of.id.to_string(), "Parts list", &columns, cells, blocks);
}

/// How sure an identity is: the word in the record, and what the marking makes of it.
fn certainty(row: &PartRow) -> String {
    match row.probability {
        Some(p) => format!("{}, {}", row.certainty, percent(p)),
        None => row.certainty.clone(),
    }
}

fn steps(page: &mut Page<'_>, of: &Finding, rows: &[StepRow], blocks: &mut Vec<Block>) {
    let mut cells = Vec::new();
    for row in rows {
        let recorded = page.dossier.step(&row.step);
        cells.push((
            vec![
                row.number.to_string(),
                row.action.clone(),
                row.text.clone(),
                // Beside the act itself, where nobody has to scroll for it.
                row.cautions.join(" "),
                row.tool.clone(),
                row.temperature.clone(),
                row.duration_min.map(|m| decimal(m, 1)).unwrap_or_default(),
                if row.fasteners == 0 {
                    String::new()
                } else {
                    row.fasteners.to_string()
                },
                row.frees.join(", "),
                row.destroys.join(", "),
                row.undo.clone(),
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
    let columns = [
        ("No.", true),
        ("Action", false),
        ("In words", false),
        ("Cautions", false),
        ("Tool", false),
        ("Temperature", true),
        ("Time, min", true),
        ("Fasteners", true),
        ("Frees", false),
        ("Destroys", false),
        ("Can be undone", false),
    ];
    page.table(
        &of.id.to_string(),
        "Steps of opening",
        &columns,
        cells,
        blocks,
    );
}
