//! An invented dossier, findings and a report about it, with every kind of content once.
#![allow(dead_code, reason = "each test file uses its own part")]

use methods::{
    Axis, Between, Cell, Chart, Column, Detail, Division, Finding, Findings, Form, Judgement,
    KeyedFigure, Limits, Mark, MassRow, Missing, OpenReason, OpenWay, PartRow, PartWay, PathRole,
    Point, PowerEdge, PowerMap, PowerNode, Series, StepRow, Verdict, WayStanding, WayStep, word,
};
use quantity::{Figure, FigureInput, Interval, Locator, Origin, Source, Unit};
use record::{Action, Certainty, Dossier, ItemKind, Place, Undo};
use report::{
    Block, Document, PhotoRegion, Picture, RowMark, Section, Shown, Table, Target, finding_anchor,
    photo_anchor,
};
use serde_json::json;

/// A sentence found again in the extracted text.
pub(crate) const SENTENCE: &str = "The cell stores 4.62 Wh, which the label states as 4.6 Wh.";

/// One figure with working and inputs.
pub(crate) fn energy() -> Figure {
    let input = |name: &str, text: &str, share: f64, evidence: &[&str]| FigureInput {
        name: name.into(),
        text: text.into(),
        source: Source {
            origin: Origin::Label,
            evidence: evidence.iter().map(|e| Locator::new(*e)).collect(),
            note: String::new(),
        },
        variance_share: share,
    };
    Figure {
        name: "energy".into(),
        value: 4.62,
        standard_uncertainty: 0.07,
        degrees_of_freedom: None,
        interval: Interval {
            probability: 0.95,
            low: 4.48,
            high: 4.76,
        },
        unit: Unit::parse("Wh").unwrap(),
        text: "4.62 Wh ± 0.07 Wh".into(),
        working: vec![
            "energy = capacity × nominal voltage = 1200 mAh × 3.85 V = 4.62 Wh ± 0.07 Wh".into(),
        ],
        inputs: vec![
            input(
                "capacity",
                "1200 mAh ± 17 mAh",
                0.93,
                &["photo:cell#label", "items.cell.cell.capacity"],
            ),
            input(
                "nominal voltage",
                "3.85 V ± 0.02 V",
                0.07,
                &["items.cell.cell.nominal-voltage"],
            ),
        ],
        notes: vec!["The label states no tolerance; 2 % is assumed.".into()],
        method: "first order".into(),
    }
}

/// An empty finding with an id, a method and a title.
pub(crate) fn finding(id: &str, title: &str, sentence: &str) -> Finding {
    Finding {
        id: id.parse().unwrap(),
        title: title.into(),
        about: None,
        verdict: None,
        conformance: None,
        told_in: None,
        judgement: Some(Judgement {
            meaning: Some("a mass of 1 g to 2 g".into()),
            found: Cell::measured(1.5, 0.1, Unit::parse("g").unwrap()),
            how: "weighed".into(),
            limits: Some(Limits {
                unit: Unit::parse("g").unwrap(),
                low: Some(1.0),
                high: None,
                tolerance: 0.5,
                granted: "2 % granted".into(),
            }),
            open: Some(OpenReason::NotMeasured),
            why: "for a reason".into(),
        }),
        sentence: sentence.into(),
        figures: Vec::new(),
        details: Vec::new(),
        evidence: Vec::new(),
        missing: Vec::new(),
        assumptions: Vec::new(),
        sources: Vec::new(),
        cautions: Vec::new(),
        unused: Vec::new(),
    }
}

fn part(item: &str, identity: &str, marking: &str) -> PartRow {
    PartRow {
        item: item.into(),
        name: format!("part {item}"),
        kind: ItemKind::Part,
        on: "main board".into(),
        count: methods::Cell::count(2),
        role: "charger".into(),
        marking: marking.into(),
        package: "QFN-16".into(),
        identity: identity.into(),
        maker: "Orrin Semi".into(),
        certainty: Some(Certainty::Read),
        probability: Some(0.973),
        ratings: Cell::stated(&"0.5 A".parse().unwrap()).named("charge current limit"),
        evidence: vec![Place::region("cell", "label")],
    }
}

/// A table with every kind of cell.
pub(crate) fn every_cell() -> methods::Table {
    let mut quantity = Cell::measured(1.234, 0.056, Unit::parse("Wh").unwrap());
    if let Cell::Quantity(value) = &mut quantity {
        value.interval = Some(Interval {
            probability: 0.95,
            low: 1.12,
            high: 1.35,
        });
    }
    let cells = [
        Cell::Nothing,
        Cell::words("charger"),
        Cell::count(4_u32),
        Cell::number(-0.16, 2),
        Cell::number(0.5, 1).signed(),
        Cell::number(12.5, 1).at_least(),
        quantity,
        Cell::stated(&"1200 mAh".parse().unwrap()),
        Cell::Date {
            first: "2026-07-06".parse().unwrap(),
            last: "2026-07-12".parse().unwrap(),
        },
        Cell::date("2026-10-05".parse().unwrap()),
        Cell::probability(0.046),
        Cell::verdict(Verdict::Undecided),
        Cell::place("items.cell".parse().unwrap(), "Cell"),
        Cell::probability(0.5).named("QFN-16"),
        Cell::names(["a", "b"]),
        Cell::list([Cell::count(1_u32), Cell::count(2_u32)], Between::Semicolon),
    ];
    methods::Table {
        caption: "By role".into(),
        columns: vec![
            Column::words("Role"),
            Column::in_unit("Mass", Unit::parse("g").unwrap()),
        ],
        rows: cells.map(|cell| vec![cell, Cell::Nothing]).to_vec(),
    }
}

/// A chart of two series over an axis.
pub(crate) fn chart() -> Chart {
    let axis = |quantity: &str, unit: &str| Axis {
        quantity: quantity.into(),
        unit: Unit::parse(unit).unwrap(),
    };
    let series = |words: &str, values: [f64; 4]| Series {
        words: words.into(),
        points: values
            .iter()
            .zip([0.0, 10.0, 20.0, 30.0])
            .map(|(value, at)| Point {
                at: Some(at),
                low: Some(value - 0.05),
                high: Some(value + 0.05),
                limit: Some(4.2),
                place: Some("items.cell".parse().unwrap()),
                ..Point::new("charging", *value)
            })
            .collect(),
    };
    Chart {
        caption: "Charging".into(),
        form: Form::Lines,
        values: axis("voltage", "V"),
        over: Some(axis("time", "min")),
        series: vec![
            series("lamp", [3.1, 3.7, 4.0, 4.2]),
            series("cradle", [3.4, 3.6, 3.9, 4.1]),
        ],
        divisions: vec![
            Division {
                at: 0.0,
                words: "constant current".into(),
            },
            Division {
                at: 24.0,
                words: "constant voltage".into(),
            },
        ],
    }
}

/// Findings with every kind of detail.
pub(crate) fn findings() -> Findings {
    let mut cell = finding("cell.cell", "Energy of the cell", SENTENCE);
    cell.about = Some("items.cell".parse().unwrap());
    cell.verdict = Some(Verdict::Holds);
    cell.figures = vec![KeyedFigure {
        key: word!("energy").into(),
        figure: energy(),
    }];
    cell.evidence = vec![
        Place::region("cell", "label"),
        "text:a printed table".parse().unwrap(),
    ];
    cell.assumptions = vec!["The printed capacity is typical.".into()];
    cell.cautions =
        vec!["A lithium cell burns when pierced, bent or heated. Follow local rules.".into()];
    cell.sources = vec!["IEC 61960-3:2017, 5.3.1 (rated capacity)".into()];
    cell.unused = vec!["The voltage reading: it was taken under load.".into()];
    let mut weight = finding(
        "claims.weight",
        "“Weighs 28 g”",
        "The product weighs 28.43 g: the claim fails.",
    );
    weight.about = Some("claims.weight".parse().unwrap());
    weight.verdict = Some(Verdict::Fails);
    weight.conformance = Some(0.004);
    weight.missing = vec![Missing {
        measure: "weigh the sealed product".into(),
        resolution: Some("0.01 g".into()),
        before_step: Some(Place::step("open")),
        too_late: true,
        settles: None,
    }];
    let mut mass = finding("mass.balance", "Masses", "The weighings agree.");
    mass.details = vec![Detail::Masses {
        rows: vec![
            MassRow {
                item: "product".into(),
                name: "product".into(),
                depth: 0,
                parent: None,
                measured: Some((28.43, 0.012)),
                adjusted: Some((28.428, 0.0081)),
                z: Some(-0.4),
                flagged: false,
                inferred: false,
            },
            MassRow {
                item: "shell".into(),
                name: "shell".into(),
                depth: 1,
                parent: Some("product".into()),
                measured: None,
                adjusted: Some((11.2, 0.02)),
                z: None,
                flagged: false,
                inferred: true,
            },
        ],
    }];
    let mut parts = finding("inventory.parts", "Parts", "Two kinds of part.");
    parts.details = vec![
        Detail::Parts {
            rows: vec![part("u1", "OS4411B", "=4411B / 07?"), part("u2", "", "-")],
        },
        Detail::Way(OpenWay {
            hazard: "Over-voltage".into(),
            items: vec!["items.cell".into()],
            standing: WayStanding::NotSeen,
        }),
        Detail::Ways {
            ways: vec![PartWay {
                item: "cell".into(),
                name: "Cell".into(),
                steps: vec![WayStep {
                    number: 1,
                    step: "pry".into(),
                    tool: "opening pick".into(),
                    changes_tool: true,
                    undo: Undo::WithNewMaterial,
                    breaks: vec!["Seal".into()],
                    renews: vec!["seal".into()],
                }],
            }],
        },
        Detail::Marks {
            photo: "lid".into(),
            marks: vec![Mark {
                measure: "lid-width".into(),
                item: Some("cell".into()),
                words: "Cell: width 12.0 mm ± 0.1 mm".into(),
                line: vec![[1.0, 1.0], [2.5, 1.0]],
                points: vec![[1.0, 1.0], [2.5, 1.0]],
            }],
        },
        Detail::Table(every_cell()),
        Detail::Chart(chart()),
    ];
    let mut power = finding("power.path", "Power path", "The charger binds.");
    power.details = vec![Detail::Power(PowerMap {
        nodes: vec![PowerNode {
            item: "socket".into(),
            name: "socket".into(),
            sort: PathRole::Contact,
            group: None,
            limits: vec![Cell::quantity(2.0, Unit::parse("A").unwrap()).named("≤")],
            binds: true,
        }],
        edges: vec![PowerEdge {
            from: "socket".into(),
            to: "cell".into(),
            net: Cell::words("VBUS"),
            volts: Cell::quantity(5.0, Unit::parse("V").unwrap()),
            limit: Cell::Nothing,
            amps: Cell::quantity(0.5, Unit::parse("A").unwrap()).named("at most"),
            watts: Cell::quantity(2.5, Unit::parse("W").unwrap()),
            binds: false,
        }],
    })];
    let mut opening = finding("opening.steps", "Opening", "One step.");
    opening.details = vec![Detail::Steps {
        rows: vec![StepRow {
            number: 1,
            step: "open".into(),
            action: Action::Pry,
            text: "Lift the lid.".into(),
            tool: "pick".into(),
            temperature: Cell::stated(&"60 °C".parse().unwrap()),
            duration_min: Some(2.5),
            fasteners: methods::Cell::count(4),
            frees: vec!["lid".into()],
            destroys: Vec::new(),
            undo: Undo::Yes,
            cautions: vec!["A cell lies below.".into()],
        }],
    }];
    Findings {
        format: methods::FINDINGS_FORMAT,
        product: "Tarn 3".into(),
        findings: vec![mass, cell, power, parts, opening, weight],
    }
}

/// A dossier to go with the findings.
pub(crate) fn dossier() -> Dossier {
    serde_json::from_value(json!({
        "format": 1,
        "product": {
            "name": "Tarn 3", "maker": "Velden Works", "opened": "2026-03-14",
            "analyst": "A. Example", "invented": true,
        },
        "instruments": [{ "id": "scale", "name": "pocket scale", "resolution": "0.01 g" }],
        "claims": [{
            "id": "weight", "text": "Weighs 28 g", "printed": "front of box", "says": {},
            "kind": "mass", "value": "28 g", "evidence": ["photo:cell"],
        }],
        "items": [
            { "id": "product", "name": "product", "kind": "product" },
            { "id": "cell", "name": "cell", "kind": "cell", "parent": "product", "cell": {
                "form": "pouch", "chemistry": "Li-ion", "capacity": "1200 mAh",
                "nominal-voltage": "3.85 V", "energy": "4.6 Wh",
            } },
        ],
        "steps": [{ "id": "open", "action": "pry", "text": "Lift the lid.", "undo": "yes", "temperature": "60 °C" }],
        "readings": [{
            "id": "whole", "item": "product", "what": "mass", "value": "28.430 g", "instrument": "scale",
        }],
    }))
    .unwrap()
}

/// A red PNG of 4 × 3 pixels.
pub(crate) const PNG: &[u8] = include_bytes!("red.png");

/// A photograph of the size of [`PNG`].
fn shown(media_type: &'static str, bytes: &[u8]) -> Shown {
    let picture = Picture {
        bytes: bytes.into(),
        media_type,
        size: [4, 3],
    };
    Shown {
        size: [4, 3],
        preview: picture.clone(),
        full: picture,
        path: "photos/P01-cell.jpg".into(),
    }
}

/// A report with every kind of block; `rows` lines in its long table.
pub(crate) fn document(rows: usize) -> Document {
    let findings = findings();
    let mut blocks = vec![
        Block::Paragraph("Markup of any kind stays text: #panic(\"no\") $x^2$ *bold* _it_ @ref <label> \\ // ` = # 9 V ⎓ 1.67 A.".into()),
        Block::Heading("Cell".into()),
    ];
    blocks.extend(findings.findings.iter().cloned().map(|mut f| {
        f.details.clear();
        Block::Finding(Box::new(f))
    }));
    let picture = |media_type, bytes: &[u8]| Block::Photo {
        anchor: photo_anchor("cell"),
        caption: "The cell and its label".into(),
        shown: shown(media_type, bytes),
        callouts: None,
        regions: vec![PhotoRegion {
            anchor: "region-label".into(),
            words: "label of the cell".into(),
            rect: [1, 1, 2, 1],
            item: None,
            traces: Vec::new(),
        }],
    };
    let svg = r##"<svg xmlns="http://www.w3.org/2000/svg" width="300" height="80" viewBox="0 0 300 80"><rect width="300" height="80" fill="#eee"/><text x="10" y="40" font-family="system-ui, sans-serif" font-size="14">5 V ⎓ 2 A, socket</text></svg>"##;
    let long = Table {
        id: "table-long".into(),
        caption: "Readings".into(),
        columns: vec![
            Column::words("Item"),
            Column::in_unit("Mass", Unit::parse("g").unwrap()),
            Column::verdict("Verdict"),
        ],
        rows: (1..=rows)
            .map(|n| {
                vec![
                    Cell::words(format!("item {n}")),
                    Cell::number(n as f64 + 0.25, 2),
                    Cell::verdict(Verdict::Fails),
                ]
            })
            .collect(),
        marks: (1..=rows)
            .map(|n| RowMark {
                anchor: Some(format!("item-{n}")),
                link: Some(finding_anchor(&"cell.cell".parse().unwrap())),
                evidence: vec![Place::region("cell", "label")],
                ..RowMark::default()
            })
            .collect(),
    };
    let wide = Table {
        id: "table-wide".into(),
        caption: "Parts".into(),
        columns: (0..12)
            .map(|n| Column::words(format!("Column {n}")))
            .collect(),
        rows: vec![
            (0..12)
                .map(|n| Cell::words(format!("cell {n} with some words")))
                .collect();
            30
        ],
        marks: Vec::new(),
    };
    Document {
        typefaces: Default::default(),
        corrected: Default::default(),
        head: Default::default(),
        version: "opened 14 March 2026".into(),
        title: "Tarn 3".into(),
        subtitle: "Velden Works, model VW-T3, opened 2026-03-14".into(),
        facts: vec![
            ("Maker".into(), "Velden Works".into()),
            ("Opened".into(), "2026-03-14".into()),
        ],
        notices: vec!["Invented data for demonstration.".into()],
        sections: vec![
            Section {
                id: "section-inside".into(),
                title: "Inside".into(),
                blocks,
                working: Vec::new(),
            },
            Section {
                id: "section-tables".into(),
                title: "Tables and pictures".into(),
                blocks: vec![
                    Block::Caution("Heat next to a cell. Follow local rules.".into()),
                    Block::List(vec!["first".into(), "second".into()]),
                    picture("image/png", PNG),
                    Block::Drawing {
                        id: "drawing-power".into(),
                        caption: "Power path".into(),
                        alternative: "A socket.".into(),
                        svg: svg.into(),
                        upright: None,
                    },
                    Block::Table(long),
                    Block::Table(wide),
                    picture("image/png", b"not a picture"),
                ],
                working: Vec::new(),
            },
        ],
        places: [
            (
                "photo:cell#label",
                "region-label",
                "photograph: label of the cell",
            ),
            ("photo:cell", &photo_anchor("cell"), "photograph: the cell"),
            ("items.cell.cell.capacity", "nowhere", "record: capacity"),
        ]
        .into_iter()
        .map(|(evidence, anchor, words)| {
            (
                evidence.parse().unwrap(),
                Target {
                    anchor: anchor.to_owned(),
                    words: words.to_owned(),
                },
            )
        })
        .collect(),
    }
}
