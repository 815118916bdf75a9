//! A small invented dossier with findings written by hand, for the tests of this crate.

#![allow(dead_code, reason = "each test file uses a part of it")]

use methods::{
    Detail, Finding, Findings, KeyedFigure, MassRow, Missing, PartRow, PowerEdge, PowerMap,
    PowerNode, StepRow, Verdict, Word,
};
use quantity::{
    Figure, FigureInput, Interval, Locator, Origin, Sense, Source, Spread, Stated, Unit,
};
use record::*;
use report::Photographs;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The smallest PNG header that tells a size (640 × 480); the pixels do not matter here.
pub(crate) fn png() -> Arc<[u8]> {
    let mut bytes = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".to_vec();
    bytes.extend([0, 0, 2, 0x80, 0, 0, 1, 0xe0, 8, 2, 0, 0, 0]);
    bytes.into()
}

pub(crate) fn photographs() -> Photographs {
    Photographs {
        files: BTreeMap::from([
            ("lid.png".to_string(), png()),
            ("odd.bin".to_string(), Arc::from(&b"no picture"[..])),
        ]),
        left_out: BTreeMap::new(),
    }
}

pub(crate) fn stated(text: &str, value: f64, unit: &str) -> Stated {
    Stated {
        text: text.into(),
        sense: Sense::Exactly,
        value,
        unit: Unit::parse(unit).unwrap(),
        spread: Spread::None,
        last_digit: 1.0,
        margin: false,
    }
}

fn evidence(of: &[&str]) -> Vec<Evidence> {
    of.iter().map(|e| Evidence((*e).into())).collect()
}

fn item(id: &str, name: &str, kind: ItemKind, parent: Option<&str>) -> Item {
    Item {
        id: id.into(),
        name: name.into(),
        kind,
        parent: parent.map(Into::into),
        count: record::Count::Of(1),
        role: None,
        role_origin: None,
        designator: None,
        spare: None,
        material: None,
        size: BTreeMap::new(),
        part: None,
        cell: None,
        fastener: None,
        contact: None,
        converts: None,
        loads: Vec::new(),
        provides_origin: None,
        provides: Vec::new(),
        evidence: evidence(&["photo:lid#cell"]),
        note: None,
    }
}

fn claim(id: &str, text: &str, kind: ClaimKind, value: Option<Stated>) -> Claim {
    Claim {
        id: id.into(),
        text: text.into(),
        printed: "front of box".into(),
        says: Subject::default(),
        kind,
        value,
        rating: None,
        names: None,
        role: None,
        maker: None,
        at_voltage: None,
        our_reading: false,
        after: None,
        tolerance: None,
        evidence: evidence(&["label:rating"]),
        note: None,
    }
}

pub(crate) fn dossier() -> Dossier {
    let mut items = vec![
        item("all", "Brimlamp", ItemKind::Product, None),
        item("cradle", "Cradle & <base>", ItemKind::Assembly, Some("all")),
        item("lamp", "Lamp", ItemKind::Assembly, Some("all")),
        item("cell.a", "Cradle cell", ItemKind::Cell, Some("cradle")),
        item("socket", "Socket", ItemKind::Connector, Some("cradle")),
        item(
            "charger",
            "Charger with a name that is rather long",
            ItemKind::Part,
            Some("cradle"),
        ),
    ];
    items[3].cell = Some(CellFacts {
        capacity: Some(stated("1200 mAh", 1200.0, "mAh")),
        energy: None,
        nominal_voltage: Some(stated("3.85 V", 3.85, "V")),
        limit_voltage: None,
        cutoff_voltage: None,
        charge_current: None,
        series: None,
        parallel: None,
        rechargeable: None,
        lithium_content: None,
        condition: None,
        form: "pouch".into(),
        chemistry: Some("Li-ion".into()),
        origin: Some(Origin::Label),
        held: Some("pull tab".into()),
        connected: Some("soldered wires".into()),
    });
    Dossier {
        format: methods::FINDINGS_FORMAT,
        product: Product {
            name: "Brimlamp <2> & co".into(),
            maker: "Invented \"Works\"".into(),
            model: Some("BL-2".into()),
            hardware_revision: None,
            firmware: None,
            condition: None,
            samples: Vec::new(),
            category: Some("lamp".into()),
            market: None,
            made: None,
            bought: None,
            opened: "2026-10-05".parse().unwrap(),
            analyst: Some("M. Example".into()),
            price: None,
            identifiers: vec![],
            labels: vec![LabelText {
                id: "rating".into(),
                place: "underneath".into(),
                text: "INPUT 9 V\nLOT <7>\u{7}".into(),
                input: None,
                output: None,
                contact: None,
                evidence: evidence(&["photo:lid#label"]),
            }],
            accessories: vec![Accessory {
                name: "Cable".into(),
                count: record::Count::Of(1),
                note: None,
            }],
            note: None,
            complete: false,
            invented: true,
        },
        instruments: vec![Instrument {
            id: "scale".into(),
            name: "pocket scale".into(),
            resolution: Some(stated("0.01 g", 0.01, "g")),
            accuracy: None,
            repeatability: None,
            calibrated: None,
            note: None,
        }],
        photos: vec![
            Photo {
                id: "lid".into(),
                file: "lid.png".into(),
                caption: "Lid, inside <b>".into(),
                pixels: None,
                scale: None,
                references: vec![],
                camera: None,
                regions: vec![
                    region("cell", Some("cell.a"), None),
                    region("label", None, Some("rating label")),
                ],
                after: None,
                taken: None,
                note: None,
            },
            Photo {
                id: "odd".into(),
                file: "odd.bin".into(),
                caption: "Not a picture".into(),
                pixels: None,
                scale: None,
                references: vec![],
                camera: None,
                regions: vec![],
                after: Some("open".into()),
                taken: None,
                note: None,
            },
        ],
        claims: vec![
            claim(
                "weight",
                "Weighs 120 g",
                ClaimKind::Mass,
                Some(stated("120 g", 120.0, "g")),
            ),
            claim(
                "energy",
                "4.6 Wh <cell>",
                ClaimKind::Energy,
                Some(stated("4.6 Wh", 4.6, "Wh")),
            ),
            claim(
                "time",
                "Up to 40 h",
                ClaimKind::RunTime,
                Some(stated("40 h", 40.0, "h")),
            ),
            claim("dry", "Rainproof", ClaimKind::Ingress, None),
        ],
        items,
        modes: Vec::new(),
        links: vec![],
        steps: vec![step("open", Action::Pry), step("lift", Action::Lift)],
        readings: vec![Reading {
            id: "whole".into(),
            item: "all".into(),
            what: ReadingSubject::Mass,
            mode: None,
            value: stated("131.2 g", 131.2, "g"),
            instrument: Some("scale".into()),
            pieces: None,
            tare: None,
            started: None,
            stopped: None,
            before: Some("open".into()),
            after: None,
            without: vec![],
            evidence: evidence(&["photo:lid"]),
            note: None,
        }],
        measures: vec![],
        correlations: vec![],
    }
}

fn region(id: &str, item: Option<&str>, caption: Option<&str>) -> Region {
    Region {
        id: id.into(),
        rect: [10, 20, 100, 50],
        item: item.map(Into::into),
        outline: false,
        caption: caption.map(Into::into),
    }
}

fn step(id: &str, action: Action) -> Step {
    Step {
        id: id.into(),
        action,
        text: format!("{id} the base"),
        on: None,
        tool: None,
        temperature: None,
        duration: None,
        started: None,
        stopped: None,
        fasteners: vec![],
        fastener_count: None,
        after: None,
        frees: vec!["cell.a".into()],
        destroys: vec![],
        undo: Undo::Yes,
        hazards: vec![Hazard::LithiumCell],
        done: true,
        evidence: vec![],
        note: None,
    }
}

pub(crate) fn figure(name: &str, value: f64, u: f64, unit: &str) -> KeyedFigure {
    let figure = Figure {
        name: name.into(),
        value,
        standard_uncertainty: u,
        degrees_of_freedom: Some(9.0),
        interval: Interval {
            probability: 0.95,
            low: value - 2.0 * u,
            high: value + 2.0 * u,
        },
        unit: Unit::parse(unit).unwrap(),
        text: format!("{value} {unit} ± {u} {unit}"),
        working: vec![
            "energy = capacity × nominal voltage".into(),
            "energy = 1200 mAh × 3.85 V".into(),
        ],
        inputs: vec![FigureInput {
            name: "capacity".into(),
            text: "1200 mAh".into(),
            source: Source {
                origin: Origin::Label,
                evidence: [
                    "items.\"cell.a\".cell.capacity",
                    "photo:lid#label",
                    "log:charge.csv",
                    "text:a publication",
                    "items.nowhere.cell.capacity",
                ]
                .map(Locator::new)
                .to_vec(),
                note: "printed on the cell".into(),
            },
            variance_share: 0.97,
        }],
        notes: vec![],
        method: "first order".into(),
    };
    let what: Word = name.replace(' ', "-").parse().unwrap();
    KeyedFigure {
        key: what.into(),
        figure,
    }
}

pub(crate) fn finding(id: &str, about: Option<&str>, verdict: Option<Verdict>) -> Finding {
    Finding {
        id: id.parse().unwrap(),
        title: format!("Question {id} <i>"),
        about: about.map(|a| a.parse().unwrap()),
        verdict,
        conformance: verdict.map(|_| 0.31),
        sentence: format!("The sentence of {id}, \"quoted\" & <tagged>."),
        figures: vec![],
        details: vec![],
        evidence: vec![
            Place::reading("whole"),
            Place::claim("weight"),
            Place::step("open").at("tool"),
        ],
        missing: vec![],
        assumptions: vec!["tolerance 5 %, change it in `claims.tolerance`".into()],
        sources: vec!["JCGM 106:2012".into()],
        cautions: vec!["Do not pierce the cell; follow local rules.".into()],
        unused: vec!["reading x: no unit".into()],
    }
}

pub(crate) fn mass_row(item: &str, name: &str, depth: usize, mass: f64) -> MassRow {
    MassRow {
        item: item.into(),
        name: name.into(),
        depth,
        parent: None,
        measured: Some((mass, 0.01)),
        adjusted: Some((mass, 0.02)),
        z: Some(0.4),
        flagged: false,
        inferred: false,
    }
}

pub(crate) fn power_node(item: &str, name: &str, sort: &str, group: Option<&str>) -> PowerNode {
    PowerNode {
        item: item.into(),
        name: name.into(),
        sort: sort.into(),
        group: group.map(Into::into),
        limits: vec!["≤ 0.50 A".into()],
        binds: item == "charger",
    }
}

pub(crate) fn power_map() -> PowerMap {
    let edge = |from: &str, to: &str, label: &str| PowerEdge {
        from: from.into(),
        to: to.into(),
        label: label.into(),
        binds: false,
    };
    PowerMap {
        nodes: vec![
            power_node("socket", "Socket", "contact", Some("cradle")),
            power_node("coil", "Coil & <receiver>", "contact", Some("cradle")),
            power_node("charger", "Charger", "converter", Some("cradle")),
            power_node("cell.a", "Cradle cell", "cell", Some("cradle")),
            power_node("lamp", "Lamp charger", "converter", Some("lamp")),
            power_node("led", "Light", "load", None),
        ],
        edges: vec![
            edge("socket", "charger", "9 V, ≤ 2.0 A"),
            edge("coil", "charger", "5 V"),
            edge("charger", "cell.a", "≤ 0.50 A"),
            edge("cell.a", "lamp", "5 V, step up"),
            edge("lamp", "led", ""),
            edge("led", "gone", "nowhere"),
        ],
    }
}

pub(crate) fn findings() -> Findings {
    let claim = |id: &str, verdict| {
        finding(
            &format!("claims.verdict/claims.{id}"),
            Some(&format!("claims.{id}")),
            Some(verdict),
        )
    };
    let mut weight = claim("weight", Verdict::Fails);
    weight.figures = vec![figure("mass", 131.2, 0.03, "g")];
    let mut energy = claim("energy", Verdict::Holds);
    energy.figures = vec![figure("energy", 4.62, 0.07, "Wh")];
    let mut time = claim("time", Verdict::Undecided);
    time.figures = vec![figure("run time", 38.0, 3.0, "h")];
    let mut dry = claim("dry", Verdict::NeedsEvidence);
    dry.missing = vec![Missing {
        measure: "spray test".into(),
        resolution: Some("10 min".into()),
        before_step: Some(Place::step("open")),
        too_late: false,
    }];
    let mut mass = finding("mass.all", Some("items.all"), None);
    let mut rows = vec![
        mass_row("all", "Brimlamp", 0, 131.2),
        mass_row("cradle", "Cradle & <base>", 1, 90.0),
        mass_row("cell.a", "Cradle cell", 2, 40.0),
        mass_row("lamp", "Lamp", 1, 41.2),
    ];
    rows[1].flagged = true;
    rows[3].inferred = true;
    mass.details = vec![Detail::Masses { rows }];
    let mut cell = finding("cell.a", Some("items.\"cell.a\""), None);
    cell.figures = vec![figure("energy", 4.62, 0.07, "Wh")];
    let mut power = finding("power.socket", Some("items.socket"), None);
    power.details = vec![Detail::Power(power_map())];
    let mut inventory = finding("inventory.parts", None, None);
    inventory.details = vec![
        Detail::Parts {
            rows: vec![part_row()],
        },
        Detail::Table {
            caption: "Counts by role".into(),
            columns: vec!["Role".into(), "Count".into()],
            rows: vec![vec!["charger".into(), "1".into()], vec!["short row".into()]],
        },
    ];
    let mut opening = finding("opening.order", None, None);
    opening.details = vec![Detail::Steps {
        rows: vec![step_row(1, "open"), step_row(2, "lift")],
    }];
    Findings {
        format: methods::FINDINGS_FORMAT,
        product: "Brimlamp".into(),
        findings: vec![
            mass, cell, power, inventory, opening, weight, energy, time, dry,
        ],
    }
}

fn part_row() -> PartRow {
    PartRow {
        item: "charger".into(),
        name: "Charger".into(),
        kind: "part".into(),
        on: "Cradle".into(),
        count: 1,
        role: "charger".into(),
        marking: "QX? / 12".into(),
        package: "QFN-16".into(),
        identity: "QX8".into(),
        maker: "Invented".into(),
        certainty: "inferred".into(),
        probability: None,
        ratings: String::new(),
        evidence: vec![Place::region("lid", "cell")],
    }
}

fn step_row(number: usize, id: &str) -> StepRow {
    StepRow {
        number,
        step: id.into(),
        action: "pry".into(),
        text: "Pry the base".into(),
        tool: "pick".into(),
        temperature: String::new(),
        duration_min: Some(2.0),
        fasteners: 0,
        frees: vec!["Cradle cell".into()],
        destroys: vec![],
        undo: "yes".into(),
        cautions: vec!["Cell still in place.".into()],
    }
}
