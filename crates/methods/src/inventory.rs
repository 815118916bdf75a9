//! What is in there: by role, by kind, by board; connectors and fasteners; the parts list.
//!
//! In: the items of a dossier. Out: findings, and [`presence`] for claims that something is present.
//! Not here: whether a presence claim holds (`claims`); prices.
//!
//! Counts multiply along the tree: two assemblies with three screws each hold six. Nothing is measured
//! here, so there is no uncertainty beyond the certainty of an identity.
//! Page: `docs/methods/inventory.md`.

mod presence;

pub use presence::{Match, Presence, presence};

use crate::markings::{self, Known};
use crate::mass::tree::in_order;
use crate::{Detail, Finding, Method, PartRow};
use record::{Certainty, Dossier, Evidence, Item, ItemKind};
use std::collections::BTreeMap;

/// Answers what a dossier's product consists of.
pub fn examine(dossier: &Dossier, known: &Known) -> Vec<Finding> {
    let mut findings = vec![
        parts_list(dossier, known),
        by_kind(dossier),
        by_role(dossier),
    ];
    findings.extend(joints(dossier));
    findings
}

/// Returns the number of `item` in the whole product: counts multiplied up the tree.
pub fn total_count(dossier: &Dossier, item: &Item) -> u32 {
    let mut count = item.count;
    let mut at = item.parent.as_deref();
    // No chain of parents is longer than the list of items.
    for _ in 0..dossier.items.len() {
        let Some(parent) = at.and_then(|id| dossier.item(id)) else {
            break;
        };
        count = count.saturating_mul(parent.count);
        at = parent.parent.as_deref();
    }
    count
}

/// Returns the word for a kind of item.
pub fn kind_word(kind: ItemKind) -> &'static str {
    match kind {
        ItemKind::Product => "product",
        ItemKind::Assembly => "assembly",
        ItemKind::Board => "board",
        ItemKind::Flex => "flexible circuit",
        ItemKind::Connector => "connector",
        ItemKind::Part => "part",
        ItemKind::Cell => "cell",
        ItemKind::Coil => "coil",
        ItemKind::Antenna => "antenna",
        ItemKind::Transducer => "transducer",
        ItemKind::Sensor => "sensor",
        ItemKind::Fastener => "fastener",
        ItemKind::Adhesive => "adhesive",
        ItemKind::Shell => "shell",
        ItemKind::Cable => "cable",
        ItemKind::Other => "other",
    }
}

/// Returns the word for a certainty.
pub fn certainty_word(certainty: Certainty) -> &'static str {
    match certainty {
        Certainty::Read => "read",
        Certainty::Inferred => "inferred",
        Certainty::Assumed => "assumed",
    }
}

fn places(item: &Item) -> Vec<String> {
    let mut found = vec![format!("items.{}", item.id)];
    let identity = item.part.as_ref().and_then(|p| p.identity.as_ref());
    let all = item
        .evidence
        .iter()
        .chain(identity.into_iter().flat_map(|i| &i.evidence));
    for Evidence(place) in all {
        if !found.contains(place) {
            found.push(place.clone());
        }
    }
    found
}

/// The board, flexible circuit or assembly that an item sits on.
fn carrier<'d>(dossier: &'d Dossier, item: &'d Item) -> Option<&'d Item> {
    dossier.item(item.parent.as_deref()?)
}

fn row(dossier: &Dossier, item: &Item) -> PartRow {
    let part = item.part.as_ref();
    let identity = part.and_then(|p| p.identity.as_ref());
    let mut ratings: Vec<String> = part
        .map(|p| {
            p.ratings
                .iter()
                .map(|(name, v)| format!("{} {v}", name.replace('-', " ")))
                .collect()
        })
        .unwrap_or_default();
    if let Some(cell) = &item.cell {
        let printed = [&cell.capacity, &cell.nominal_voltage, &cell.energy];
        ratings.extend(printed.into_iter().flatten().map(ToString::to_string));
    }
    if let Some(fastener) = &item.fastener {
        ratings.push(fastener.sort.clone());
        ratings.extend(fastener.drive.clone());
    }
    PartRow {
        item: item.id.clone(),
        name: item.name.clone(),
        kind: kind_word(item.kind).to_string(),
        on: carrier(dossier, item).map_or_else(String::new, |c| c.name.clone()),
        count: total_count(dossier, item),
        role: item.role.clone().unwrap_or_default(),
        marking: part.map(|p| p.marking.join(" / ")).unwrap_or_default(),
        package: part.and_then(|p| p.package.clone()).unwrap_or_default(),
        identity: identity.map(|i| i.name.clone()).unwrap_or_default(),
        maker: identity.and_then(|i| i.maker.clone()).unwrap_or_default(),
        certainty: identity
            .map(|i| certainty_word(i.certainty).to_string())
            .unwrap_or_default(),
        probability: None,
        ratings: ratings.join("; "),
        evidence: places(item),
    }
}

fn parts_list(dossier: &Dossier, known: &Known) -> Finding {
    let mut finding = Finding::new(Method::Inventory, "inventory.parts", "What is in it?");
    let probabilities = markings::probabilities(dossier, known);
    let mut rows = Vec::new();
    let mut sure: BTreeMap<Certainty, u32> = BTreeMap::new();
    let (mut electronic, mut unnamed) = (0, Vec::new());
    for (item, _) in in_order(dossier) {
        if matches!(item.kind, ItemKind::Product | ItemKind::Assembly) {
            continue;
        }
        if let Some(part) = &item.part {
            electronic += 1;
            match &part.identity {
                Some(identity) => *sure.entry(identity.certainty).or_default() += 1,
                None => unnamed.push(item.name.clone()),
            }
        }
        finding.add_evidence(item.evidence.iter().map(|e| e.0.clone()));
        let probability = probabilities.get(item.id.as_str()).copied();
        rows.push(PartRow {
            probability,
            ..row(dossier, item)
        });
    }
    let of = |c| sure.get(&c).copied().unwrap_or(0);
    let pieces = rows.iter().map(|r| r.count).fold(0, u32::saturating_add);
    finding.sentence = format!(
        "{} entries, {pieces} pieces. Of {electronic} electronic parts {} are identified by their marking, {} \
         by inference, {} by assumption, {} not at all.",
        rows.len(),
        of(Certainty::Read),
        of(Certainty::Inferred),
        of(Certainty::Assumed),
        unnamed.len(),
    );
    if !unnamed.is_empty() {
        finding
            .unused
            .push(format!("Not identified: {}.", unnamed.join(", ")));
    }
    for (item, part) in dossier
        .items
        .iter()
        .filter_map(|i| i.part.as_ref().map(|p| (i, p)))
    {
        if let Some(identity) = part
            .identity
            .as_ref()
            .filter(|i| i.certainty == Certainty::Assumed)
        {
            finding.assume(format!(
                "'{}' is assumed to be {}{}. Change 'identity' of item '{}' when more is known.",
                item.name,
                identity.name,
                identity
                    .because
                    .as_ref()
                    .map(|b| format!(" ({b})"))
                    .unwrap_or_default(),
                item.id,
            ));
        }
    }
    finding.details.push(Detail::Parts { rows });
    finding
}

/// Counts of entries and pieces under one heading.
type Count = (usize, u32);

fn count_up<K: Ord>(counts: &mut BTreeMap<K, Count>, key: K, pieces: u32) {
    let entry = counts.entry(key).or_default();
    entry.0 += 1;
    entry.1 = entry.1.saturating_add(pieces);
}

fn table(
    caption: &str,
    heading: &str,
    counts: impl IntoIterator<Item = (String, Count)>,
) -> Detail {
    Detail::Table {
        caption: caption.to_string(),
        columns: vec![
            heading.to_string(),
            "Entries".to_string(),
            "Pieces".to_string(),
        ],
        rows: counts
            .into_iter()
            .map(|(name, (entries, pieces))| vec![name, entries.to_string(), pieces.to_string()])
            .collect(),
    }
}

fn by_kind(dossier: &Dossier) -> Finding {
    let mut finding = Finding::new(
        Method::Inventory,
        "inventory.kinds",
        "What kinds of things, and where?",
    );
    let mut kinds: BTreeMap<ItemKind, Count> = BTreeMap::new();
    // In order of the record, so that boards appear as the analyst met them.
    let mut boards: Vec<(String, Count)> = Vec::new();
    for (item, _) in in_order(dossier) {
        let pieces = total_count(dossier, item);
        count_up(&mut kinds, item.kind, pieces);
        finding.add_evidence(item.evidence.iter().map(|e| e.0.clone()));
        let carrier =
            carrier(dossier, item).filter(|c| matches!(c.kind, ItemKind::Board | ItemKind::Flex));
        if let Some(board) = carrier {
            match boards.iter_mut().find(|(id, _)| *id == board.id) {
                Some((_, count)) => {
                    count.0 += 1;
                    count.1 = count.1.saturating_add(pieces);
                }
                None => boards.push((board.id.clone(), (1, pieces))),
            }
        }
    }
    let of = |kind| kinds.get(&kind).map_or(0, |c| c.1);
    finding.sentence = format!(
        "{}, {}, {}, {}; {} on boards or flexible circuits.",
        counted(of(ItemKind::Board), "board", "boards"),
        counted(of(ItemKind::Flex), "flexible circuit", "flexible circuits"),
        counted(of(ItemKind::Cell), "cell", "cells"),
        counted(of(ItemKind::Fastener), "fastener", "fasteners"),
        counted(
            boards.iter().map(|(_, c)| c.1).fold(0, u32::saturating_add),
            "piece",
            "pieces"
        ),
    );
    finding.details.push(table(
        "By kind",
        "Kind",
        kinds
            .into_iter()
            .map(|(k, c)| (kind_word(k).to_string(), c)),
    ));
    if !boards.is_empty() {
        let named = boards
            .into_iter()
            .map(|(id, c)| (dossier.item(&id).map_or(id.clone(), |i| i.name.clone()), c));
        finding.details.push(table("By board", "Board", named));
    }
    finding
}

fn by_role(dossier: &Dossier) -> Finding {
    let mut finding = Finding::new(Method::Inventory, "inventory.roles", "What does what?");
    let mut roles: BTreeMap<String, (u32, Vec<String>)> = BTreeMap::new();
    let mut given: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (item, _) in in_order(dossier) {
        if let Some(role) = &item.role {
            let entry = roles.entry(role.clone()).or_default();
            entry.0 = entry.0.saturating_add(total_count(dossier, item));
            let identity = item.part.as_ref().and_then(|p| p.identity.as_ref());
            entry
                .1
                .push(identity.map_or_else(|| item.name.clone(), |i| i.name.clone()));
            finding.add_evidence(places(item));
        }
        for function in &item.provides {
            given
                .entry(function.clone())
                .or_default()
                .push(item.name.clone());
        }
    }
    finding.sentence = format!(
        "{} filled; {} given by named items.",
        counted(
            u32::try_from(roles.len()).unwrap_or(u32::MAX),
            "role is",
            "roles are"
        ),
        counted(
            u32::try_from(given.len()).unwrap_or(u32::MAX),
            "function is",
            "functions are"
        ),
    );
    finding.details.push(Detail::Table {
        caption: "By role".to_string(),
        columns: ["Role", "Pieces", "Filled by"].map(String::from).to_vec(),
        rows: roles
            .into_iter()
            .map(|(role, (pieces, by))| vec![role, pieces.to_string(), by.join(", ")])
            .collect(),
    });
    if !given.is_empty() {
        finding.details.push(Detail::Table {
            caption: "Functions, interfaces and radio standards".to_string(),
            columns: ["Function", "Given by"].map(String::from).to_vec(),
            rows: given
                .into_iter()
                .map(|(f, by)| vec![f, by.join(", ")])
                .collect(),
        });
    }
    finding
}

fn joints(dossier: &Dossier) -> Option<Finding> {
    let mut finding = Finding::new(
        Method::Inventory,
        "inventory.joints",
        "How is it held and connected together?",
    );
    let mut rows = Vec::new();
    let (mut connectors, mut drives) = (0_u32, BTreeMap::<String, u32>::new());
    let mut single_use = 0_u32;
    for (item, _) in in_order(dossier) {
        let joins = matches!(
            item.kind,
            ItemKind::Connector | ItemKind::Fastener | ItemKind::Adhesive
        );
        if !joins && item.fastener.is_none() {
            continue;
        }
        let pieces = total_count(dossier, item);
        let fastener = item.fastener.as_ref();
        if item.kind == ItemKind::Connector {
            connectors = connectors.saturating_add(pieces);
        }
        if let Some(drive) = fastener.and_then(|f| f.drive.as_ref()) {
            let n = drives.entry(drive.clone()).or_default();
            *n = n.saturating_add(pieces);
        }
        let reusable = fastener.and_then(|f| f.reusable);
        if reusable == Some(false) {
            single_use = single_use.saturating_add(pieces);
        }
        rows.push(vec![
            item.name.clone(),
            fastener
                .map_or(kind_word(item.kind), |f| f.sort.as_str())
                .to_string(),
            fastener.and_then(|f| f.drive.clone()).unwrap_or_default(),
            pieces.to_string(),
            match reusable {
                Some(true) => "yes",
                Some(false) => "no",
                None => "not stated",
            }
            .to_string(),
            carrier(dossier, item).map_or_else(String::new, |c| c.name.clone()),
        ]);
        finding.add_evidence(places(item));
    }
    if rows.is_empty() {
        return None;
    }
    let drives: Vec<String> = drives
        .into_iter()
        .map(|(d, n)| format!("{n} × {d}"))
        .collect();
    finding.sentence = format!(
        "{}; screws: {}; {} cannot be used again.",
        counted(connectors, "connector", "connectors"),
        if drives.is_empty() {
            "none recorded with a drive".to_string()
        } else {
            drives.join(", ")
        },
        single_use,
    );
    finding.details.push(Detail::Table {
        caption: "Connectors, fasteners and adhesives".to_string(),
        columns: ["Name", "Sort", "Drive", "Pieces", "Can be used again", "On"]
            .map(String::from)
            .to_vec(),
        rows,
    });
    Some(finding)
}

fn counted(n: u32, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}
