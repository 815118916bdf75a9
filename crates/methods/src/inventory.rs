//! What is in there: by role, by kind, by board; connectors and fasteners; the parts list.
//!
//! In: the items of a case. Out: findings.
//! Not here: whether a presence claim holds (`claims`); prices.
//!
//! Counts multiply along the tree: two assemblies with three screws each hold six. Nothing is measured
//! here, so there is no uncertainty beyond the certainty of an identity.
//! Page: `docs/methods/inventory.md`.

mod outside;

use crate::distinct::Distinct;
use crate::inputs::item_evidence;
use crate::words::{Tally, Words as _, counted, listed, the_start};
use crate::{
    Answer, Between, Cancelled, Case, Cell, Column, Detail, Finding, Method, PartRow, Table,
};
use record::{Certainty, Item, ItemKind, Place};
use std::collections::{BTreeMap, HashMap};

/// Answers what a dossier's product consists of.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let mut findings = vec![parts_list(case)?, by_kind(case)?, by_role(case)?];
    findings.extend(joints(case)?);
    findings.extend(outside::examine(case)?);
    Ok(findings)
}

/// Returns the name of the board, flexible circuit or assembly that an item sits on.
fn carrier_name(case: &Case<'_>, item: &Item) -> String {
    let carrier = case.tree().parent(&item.id);
    carrier.map_or_else(String::new, |c| c.name.clone())
}

fn row(case: &Case<'_>, item: &Item) -> PartRow {
    let part = item.part.as_ref();
    let identity = part.and_then(|p| p.identity.as_ref());
    let rated = part.into_iter().flat_map(|p| &p.ratings);
    let mut ratings: Vec<Cell> = rated
        .map(|(name, stated)| Cell::stated(stated).named(name.replace('-', " ")))
        .collect();
    if let Some(cell) = &item.cell {
        let printed = [&cell.capacity, &cell.nominal_voltage, &cell.energy];
        ratings.extend(printed.into_iter().flatten().map(Cell::stated));
    }
    if let Some(fastener) = &item.fastener {
        ratings.push(Cell::words(&fastener.sort));
        ratings.extend(fastener.drive.iter().map(Cell::words));
    }
    PartRow {
        item: item.id.clone(),
        name: item.name.clone(),
        kind: item.kind,
        on: carrier_name(case, item),
        count: Cell::pieces(case.tree().count(item)),
        role: item.role.clone().unwrap_or_default(),
        marking: part.map(|p| p.marking.join(" / ")).unwrap_or_default(),
        package: part.and_then(|p| p.package.clone()).unwrap_or_default(),
        identity: identity.map(|i| i.name.clone()).unwrap_or_default(),
        maker: identity.and_then(|i| i.maker.clone()).unwrap_or_default(),
        certainty: identity.map(|i| i.certainty),
        probability: case.assessments().probability(item),
        ratings: Cell::list(ratings, Between::Semicolon),
        evidence: item_evidence(item),
    }
}

fn parts_list(case: &Case<'_>) -> Result<Finding, Cancelled> {
    let mut finding = Finding::new(Method::Inventory, word!("parts"), "The parts in it");
    let (mut rows, mut places) = (Vec::new(), Distinct::default());
    let mut sure: BTreeMap<Certainty, u32> = BTreeMap::new();
    let (mut pieces, mut unseen) = (Tally::default(), 0);
    let (mut electronic, mut unnamed) = (0, Vec::new());
    for (item, _) in case.tree().in_order() {
        case.go_on()?;
        if matches!(item.kind, ItemKind::Product | ItemKind::Assembly) {
            continue;
        }
        if let Some(part) = &item.part {
            electronic += 1;
            match &part.identity {
                // What is said to be read from a marking that nobody recorded is not identified by it.
                Some(identity)
                    if identity.certainty == Certainty::Read && part.marking.is_empty() =>
                {
                    unseen += 1;
                }
                Some(identity) => *sure.entry(identity.certainty).or_default() += 1,
                None => unnamed.push(item.name.clone()),
            }
        }
        places.extend(item.evidence.iter().map(Place::from));
        pieces.add(case.tree().count(item));
        rows.push(row(case, item));
    }
    finding.add_evidence(places);
    let of = |c| sure.get(&c).copied().unwrap_or(0);
    finding.sentence = format!(
        "{}, {}. Of {} {} read from their marking, {}{} inferred, {} assumed, {}{} not identified.",
        counted(rows.len(), "kind of part", "kinds of parts"),
        pieces.of("piece", "pieces"),
        counted(electronic, "electronic part", "electronic parts"),
        counted(of(Certainty::Read), "was", "were"),
        match unseen {
            0 => String::new(),
            n => format!("{n} from one that is not on record, "),
        },
        of(Certainty::Inferred),
        of(Certainty::Assumed),
        match of(Certainty::Unknown) {
            0 => String::new(),
            n => format!("{n} in a way that was not noted, "),
        },
        unnamed.len(),
    );
    if !unnamed.is_empty() {
        finding
            .unused
            .push(format!("Not identified: {}.", unnamed.join(", ")));
    }
    let assumed = assumptions(case);
    finding.assumptions.extend(assumed);
    finding.details.push(Detail::Parts { rows });
    Ok(finding)
}

/// Says of every assumed identity how to change it.
fn assumptions(case: &Case<'_>) -> Distinct {
    let mut said = Distinct::default();
    for item in &case.dossier.items {
        let identity = item.part.as_ref().and_then(|p| p.identity.as_ref());
        let assumed = identity.filter(|i| i.certainty == Certainty::Assumed);
        if let Some(identity) = assumed {
            let because = identity.because.as_ref();
            said.push(format!(
                "{} is assumed to be {}{}.",
                the_start(item),
                identity.name,
                because.map(|b| format!(" ({b})")).unwrap_or_default(),
            ));
        }
    }
    said
}

/// Counts of entries and pieces under one heading.
type Count = (usize, Tally);

fn count_up<K: Ord>(counts: &mut BTreeMap<K, Count>, key: K, pieces: record::Count) {
    let entry = counts.entry(key).or_default();
    entry.0 += 1;
    entry.1.add(pieces);
}

fn table(
    caption: &str,
    heading: Column,
    counts: impl IntoIterator<Item = (Cell, Count)>,
) -> Detail {
    Detail::Table(Table {
        caption: caption.to_string(),
        columns: vec![heading, Column::count("Entries"), Column::count("Pieces")],
        rows: counts
            .into_iter()
            .map(|(of, (entries, pieces))| vec![of, Cell::count(entries), pieces.cell()])
            .collect(),
    })
}

fn by_kind(case: &Case<'_>) -> Result<Finding, Cancelled> {
    let mut finding = Finding::new(
        Method::Inventory,
        word!("kinds"),
        "Kinds of parts, and where they sit",
    );
    let mut kinds: BTreeMap<ItemKind, Count> = BTreeMap::new();
    // In order of the record, so that boards appear as the analyst met them.
    let mut boards: Vec<(&Item, Count)> = Vec::new();
    let mut met: HashMap<&str, usize> = HashMap::new();
    let mut places = Distinct::default();
    for (item, _) in case.tree().in_order() {
        case.go_on()?;
        let pieces = case.tree().count(item);
        count_up(&mut kinds, item.kind, pieces);
        places.extend(item.evidence.iter().map(Place::from));
        let carrier = case.tree().parent(&item.id);
        let on = carrier.filter(|c| matches!(c.kind, ItemKind::Board | ItemKind::Flex));
        if let Some(board) = on {
            let at = *met.entry(&board.id).or_insert(boards.len());
            if at == boards.len() {
                boards.push((board, Count::default()));
            }
            let count = &mut boards[at].1;
            count.0 += 1;
            count.1.add(pieces);
        }
    }
    finding.add_evidence(places);
    let of = |kind| kinds.get(&kind).map_or_else(Tally::default, |c| c.1);
    let mut on_boards = Tally::default();
    boards.iter().for_each(|(_, c)| on_boards.join(c.1));
    finding.sentence = format!(
        "{}, {}, {}, {}; {} on boards or flexible circuits.",
        of(ItemKind::Board).of("board", "boards"),
        of(ItemKind::Flex).of("flexible circuit", "flexible circuits"),
        of(ItemKind::Cell).of("cell", "cells"),
        of(ItemKind::Fastener).of("fastener", "fasteners"),
        on_boards.of("piece", "pieces"),
    );
    finding.details.push(table(
        "By kind",
        Column::words("Kind"),
        kinds.into_iter().map(|(k, c)| (Cell::words(k.words()), c)),
    ));
    if !boards.is_empty() {
        let named = boards.into_iter().map(|(board, c)| (Cell::item(board), c));
        let heading = Column::place("Board");
        finding.details.push(table("By board", heading, named));
    }
    Ok(finding)
}

fn by_role(case: &Case<'_>) -> Result<Finding, Cancelled> {
    let mut finding = Finding::new(Method::Inventory, word!("roles"), "What the parts do");
    let mut roles: BTreeMap<String, (Tally, Vec<String>)> = BTreeMap::new();
    let mut places = Distinct::default();
    let mut given: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (item, _) in case.tree().in_order() {
        case.go_on()?;
        if let Some(role) = &item.role {
            let entry = roles.entry(role.clone()).or_default();
            entry.0.add(case.tree().count(item));
            let identity = item.part.as_ref().and_then(|p| p.identity.as_ref());
            entry
                .1
                .push(identity.map_or_else(|| item.name.clone(), |i| i.name.clone()));
            places.extend(item_evidence(item));
        }
        for function in &item.provides {
            given
                .entry(function.clone())
                .or_default()
                .push(item.name.clone());
        }
    }
    finding.add_evidence(places);
    finding.sentence = format!(
        "{} and {} on record.",
        counted(roles.len(), "role", "roles"),
        counted(given.len(), "function is", "functions are"),
    );
    finding.details.push(Detail::Table(Table {
        caption: "By role".to_string(),
        columns: vec![
            Column::words("Role"),
            Column::count("Pieces"),
            Column::words("Parts"),
        ],
        rows: roles
            .into_iter()
            .map(|(role, (pieces, by))| vec![Cell::words(role), pieces.cell(), Cell::names(by)])
            .collect(),
    }));
    if !given.is_empty() {
        finding.details.push(Detail::Table(Table {
            caption: "Functions, interfaces and radio standards".to_string(),
            columns: ["Function", "Given by"].map(Column::words).to_vec(),
            rows: given
                .into_iter()
                .map(|(f, by)| vec![Cell::words(f), Cell::names(by)])
                .collect(),
        }));
    }
    Ok(finding)
}

fn joints(case: &Case<'_>) -> Result<Option<Finding>, Cancelled> {
    let mut finding = Finding::new(
        Method::Inventory,
        word!("joints"),
        "How the pieces are held and connected",
    );
    let (mut rows, mut places) = (Vec::new(), Distinct::default());
    let (mut connectors, mut single_use) = (Tally::default(), Tally::default());
    let mut drives = BTreeMap::<String, Tally>::new();
    for (item, _) in case.tree().in_order() {
        case.go_on()?;
        let joins = matches!(
            item.kind,
            ItemKind::Connector | ItemKind::Fastener | ItemKind::Adhesive
        );
        if !joins && item.fastener.is_none() {
            continue;
        }
        let pieces = case.tree().count(item);
        let fastener = item.fastener.as_ref();
        if item.kind == ItemKind::Connector {
            connectors.add(pieces);
        }
        if let Some(drive) = fastener.and_then(|f| f.drive.as_ref()) {
            drives.entry(drive.clone()).or_default().add(pieces);
        }
        let reusable = fastener.and_then(|f| f.reusable);
        if reusable == Some(false) {
            single_use.add(pieces);
        }
        let carrier = case.tree().parent(&item.id);
        rows.push(vec![
            Cell::item(item),
            Cell::words(fastener.map_or(item.kind.words(), |f| f.sort.as_str())),
            Cell::text(fastener.and_then(|f| f.drive.as_ref())),
            Cell::pieces(pieces),
            Cell::words(match reusable {
                Some(true) => "yes",
                Some(false) => "no",
                None => "not stated",
            }),
            carrier.map_or(Cell::Nothing, Cell::item),
        ]);
        places.extend(item_evidence(item));
    }
    if rows.is_empty() {
        return Ok(None);
    }
    finding.add_evidence(places);
    let drives: Vec<String> = drives
        .into_iter()
        .map(|(d, n)| {
            format!(
                "{} {}",
                n.of("screw", "screws"),
                d.trim_start_matches("cross recess ")
            )
        })
        .collect();
    finding.sentence = format!(
        "{}; {}; {} be used again.",
        connectors.of("connector", "connectors"),
        if drives.is_empty() {
            "no screw is on record with its drive".to_string()
        } else {
            listed(drives)
        },
        match single_use == Tally::default() {
            true => "everything can".to_string(),
            false => format!("{} cannot", single_use.of("piece", "pieces")),
        },
    );
    finding.details.push(Detail::Table(Table {
        caption: "Connectors, fasteners and adhesives".to_string(),
        columns: vec![
            Column::place("Name"),
            Column::words("Sort"),
            Column::words("Drive"),
            Column::count("Pieces"),
            Column::words("Can be used again"),
            Column::place("On"),
        ],
        rows,
    }));
    Ok(Some(finding))
}
