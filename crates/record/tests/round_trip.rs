//! Any dossier that can be stated is written, read back the same, and written the same again.

#![allow(
    clippy::unwrap_used,
    reason = "a test may stop where its ground is missing"
)]

use proptest::prelude::*;
use quantity::{Origin, Rating, Stated};
use record::*;
use std::collections::BTreeMap;

/// Turns drawn numbers and texts into a dossier whose references hold.
struct Maker<'a> {
    numbers: std::iter::Cycle<std::slice::Iter<'a, u32>>,
    texts: std::iter::Cycle<std::slice::Iter<'a, String>>,
}

impl Maker<'_> {
    fn below(&mut self, n: u32) -> u32 {
        self.numbers.next().map_or(0, |x| x % n)
    }
    fn text(&mut self) -> String {
        self.texts.next().cloned().unwrap_or_default()
    }
    fn maybe<T>(&mut self, make: impl FnOnce(&mut Self) -> T) -> Option<T> {
        (self.below(2) == 1).then(|| make(self))
    }
    fn some<T>(&mut self, most: u32, mut make: impl FnMut(&mut Self, u32) -> T) -> Vec<T> {
        (0..self.below(most + 1)).map(|i| make(self, i)).collect()
    }
    fn stated(&mut self, unit: &str) -> Stated {
        let (whole, part) = (self.below(90) + 1, self.below(10));
        let text = match self.below(5) {
            0 => format!("{whole}.{part} {unit}"),
            1 => format!("{whole}.{part} ± 0.5 {unit}"),
            2 => format!("up to {whole} {unit}"),
            3 => format!("≥ {whole}.{part} {unit}"),
            _ => format!("{whole}-{} {unit}", whole + 3),
        };
        Stated::parse(&text).unwrap()
    }
    fn item_id(&mut self, items: u32) -> String {
        format!("item-{}", self.below(items))
    }
    fn evidence(&mut self) -> Vec<Evidence> {
        let text = self.text();
        self.some(2, |_, i| Evidence(format!("text:{i} {text}")))
    }
    fn moment(&mut self, hour: u32) -> record::Moment {
        let zone = ["+02:00", "-05:30", "+00:00"][self.below(3) as usize];
        format!("2026-03-0{hour}T0{hour}:{:02}:07{zone}", self.below(60))
            .parse()
            .unwrap()
    }
    fn count(&mut self) -> Count {
        [
            Count::NotStated,
            Count::Unknown,
            Count::Of(self.below(3) + 1),
        ][self.below(3) as usize]
    }

    fn origin(&mut self) -> Origin {
        [
            Origin::Label,
            Origin::DataSheet,
            Origin::Estimated,
            Origin::Measured,
        ][self.below(4) as usize]
    }
}

fn log(m: &mut Maker<'_>, i: u32, items: u32) -> Log {
    let column = |column: u32, unit: &str| LogColumn {
        column,
        unit: unit.into(),
    };
    Log {
        id: format!("log-{i}"),
        file: "charge.csv".into(),
        what: [LogKind::Charge, LogKind::Discharge, LogKind::Unknown][m.below(3) as usize],
        seat: [LogSeat::Cell, LogSeat::Socket, LogSeat::Output][m.below(3) as usize],
        item: format!("item-{}", m.below(items)),
        from: m.maybe(|m| [LogStart::Empty, LogStart::Full][m.below(2) as usize]),
        mode: m.maybe(Maker::text),
        instrument: m.maybe(|_| "scale".into()),
        started: None,
        origin: m.maybe(Maker::origin),
        columns: m.maybe(|m| LogColumns {
            delimiter: m.maybe(|_| LogDelimiter::Semicolon),
            decimal: m.maybe(|_| LogDecimal::Comma),
            header: m.maybe(|_| 1),
            first_row: 2,
            sign: m.maybe(|_| LogSign::Turned),
            interval: m.maybe(|_| Stated::parse("1 s").unwrap()),
            time: Some(LogTime {
                column: 1,
                form: LogTimeForm::Number,
                unit: Some("s".into()),
                clock: m.maybe(|_| 5),
            }),
            voltage: m.maybe(|_| column(2, "mV")),
            current: Some(column(3, "A")),
            power: None,
            charge: m.maybe(|_| column(4, "mAh")),
            energy: None,
            temperature: m.maybe(|_| column(6, "°C")),
        }),
        evidence: Vec::new(),
        note: m.maybe(Maker::text),
    }
}

fn dossier(numbers: &[u32], texts: &[String]) -> Dossier {
    let m = &mut Maker {
        numbers: numbers.iter().cycle(),
        texts: texts.iter().cycle(),
    };
    let items = m.below(7) + 2;
    let steps = m.some(4, step(items));
    let step_ids: Vec<String> = steps.iter().map(|s| s.id.clone()).collect();
    let readings = m.some(4, |m, i| reading(m, i, items, &step_ids));
    let correlations = if readings.len() > 1 {
        m.some(1, |m, _| correlation(m))
    } else {
        Vec::new()
    };
    let photos = m.some(2, |m, i| photo(m, i, items));
    let measures = match photos.first() {
        Some(photo) if photo.has_reference() => m.some(3, |m, i| measure(m, i, &photo.id, items)),
        _ => Vec::new(),
    };
    Dossier {
        format: 1,
        product: product(m, items),
        instruments: vec![Instrument {
            id: "scale".into(),
            name: m.text(),
            resolution: m.maybe(|_| Stated::parse("0.01 g").unwrap()),
            accuracy: m.maybe(|_| Stated::parse("0.5 %").unwrap()),
            repeatability: m.maybe(|_| Stated::parse("0.004 g").unwrap()),
            calibrated: m.maybe(Maker::text),
            note: m.maybe(Maker::text),
        }],
        photos,
        claims: m.some(4, |m, i| claim(m, i, items)),
        items: (0..items).map(|i| item(m, i)).collect(),
        links: m.some(3, |m, i| Link {
            from: "item-0".into(),
            to: format!("item-{}", 1 + i % (items - 1)),
            kind: if m.below(2) == 0 {
                LinkKind::Power
            } else {
                LinkKind::Signal
            },
            net: m.maybe(Maker::text),
            voltage: m.maybe(|m| m.stated("V")),
            current_limit: m.maybe(|m| m.stated("mA")),
            not_seen: m.some(2, |m, _| protection(m)),
            evidence: m.evidence(),
            note: m.maybe(Maker::text),
        }),
        films: m.some(2, |m, i| Film {
            id: format!("film-{i}"),
            title: m.maybe(Maker::text),
            length: m.maybe(|m| FilmTime::of_ms(m.below(9_000_000) as u64)),
            clips: vec![Clip {
                name: "A1.mp4".into(),
                at: FilmTime::of_ms(m.below(90_000) as u64),
                clock: "2026-01-02T14:05:00+01:00".parse().unwrap(),
            }],
            cuts: m.some(2, |m, _| {
                let from = m.below(90_000) as u64;
                Cut {
                    clip: "A1.mp4".into(),
                    from: FilmTime::of_ms(from),
                    to: FilmTime::of_ms(from + 1500),
                }
            }),
        }),
        pronunciations: m.some(2, |m, _| Pronunciation {
            word: m.text(),
            said: vec![m.text()],
            ipa: m.maybe(Maker::text),
        }),
        caption_rulings: m.some(2, |m, _| CaptionRuling {
            file: "film.vtt".into(),
            before: m.text(),
            after: m.text(),
            accepted: m.below(2) == 0,
        }),
        past_rulings: m.some(2, |m, _| PastRuling {
            file: "lamp.html".into(),
            part: m.text(),
            accepted: m.below(2) == 0,
        }),
        modes: m.some(2, |m, _| Mode {
            name: m.text(),
            complete: m.maybe(|m| m.below(2) == 0),
            share: m.maybe(|_| Stated::parse("20 %").unwrap()),
            evidence: m.evidence(),
            note: m.maybe(Maker::text),
        }),
        steps,
        readings,
        recordings: m.some(2, |m, i| recording(m, i, items)),
        measures,
        correlations,
        cost: m.maybe(|m| CostAsked {
            volume: m.maybe(|m| m.below(9) + 1),
            currency: m.maybe(|_| "USD".to_string()),
            trade_margin: m.maybe(|_| Stated::parse("40 %").unwrap()),
            tax: m.maybe(|_| Stated::parse("19 %").unwrap()),
            note: m.maybe(Maker::text),
        }),
        prices: m.some(2, |m, _| ItemPrice {
            of: m.item_id(items),
            each: m.stated("EUR"),
            within: m.maybe(|_| Stated::parse("20 %").unwrap()),
            confidence: PriceConfidence::List,
            date: m.maybe(|_| "2026-02-20".parse().unwrap()),
            source: m.maybe(Maker::text),
            note: m.maybe(Maker::text),
        }),
        rates: m.some(2, |m, _| ExchangeRate {
            of: "CNY".into(),
            is: Stated::parse("0.13 EUR").unwrap(),
            within: m.maybe(|_| Stated::parse("3 %").unwrap()),
            date: "2026-02-20".parse().unwrap(),
            source: m.maybe(Maker::text),
        }),
        repair: m.maybe(|m| RepairAsked {
            product: m.maybe(|_| RepairProduct::Tablet),
            exempt: m.maybe(|_| BatteryExemption::None),
            last_sold: m.maybe(|_| "2030-02-20".parse().unwrap()),
            lacks: m.some(2, |_, _| SpareClass::Hinge),
            points_spares: m.maybe(|_| 3.0),
            points_software: m.maybe(|_| 5.0),
            points_information: m.maybe(|_| 1.0),
            part_weights: m.maybe(|_| vec![10.0; 10]).unwrap_or_default(),
            read_batteries: m.maybe(Maker::text),
            read_phones: m.maybe(Maker::text),
            read_index: m.maybe(Maker::text),
            note: m.maybe(Maker::text),
        }),
        repair_facts: m.some(2, |m, _| RepairFact {
            what: RepairFactKind::Spare,
            of: m.maybe(|m| m.item_id(items)),
            is: Some(YesNo::Yes),
            until: m.maybe(|_| "2031-02-20".parse().unwrap()),
            price: m.maybe(|m| m.stated("EUR")),
            to: m.maybe(|_| RepairAudience::Repairers),
            source: m.text(),
            date: "2026-02-20".parse().unwrap(),
            evidence: m.evidence(),
            note: m.maybe(Maker::text),
        }),
        logs: m.some(2, |m, i| log(m, i, items)),
    }
}

fn product(m: &mut Maker<'_>, items: u32) -> Product {
    Product {
        name: m.text(),
        maker: m.text(),
        model: m.maybe(Maker::text),
        hardware_revision: m.maybe(Maker::text),
        firmware: m.maybe(Maker::text),
        condition: m.maybe(Maker::text),
        category: m.maybe(Maker::text),
        market: m.maybe(Maker::text),
        family: m.maybe(Maker::text),
        released: Some(jiff::civil::date(2025, 1, 2)),
        made: m.maybe(|_| "2026-01-10".parse().unwrap()),
        bought: m.maybe(|_| "2026-02-20".parse().unwrap()),
        opened: "2026-03-01".parse().unwrap(),
        analyst: m.maybe(Maker::text),
        price: m.maybe(|m| Price {
            paid: m.stated("EUR"),
            tax_included: m.maybe(|m| m.below(2) == 0),
            seller: m.maybe(Maker::text),
        }),
        disclosure: m.maybe(|m| Disclosure {
            paid_by: m.maybe(Maker::text),
            sample_from: m.maybe(Maker::text),
            photographs_by: m.maybe(Maker::text),
        }),
        identifiers: m.some(2, |m, _| Identifier {
            kind: m.text(),
            text: m.text(),
            private: m.below(2) == 0,
            evidence: m.evidence(),
        }),
        labels: m.some(2, |m, i| LabelText {
            id: format!("label-{i}"),
            place: m.text(),
            text: m.text(),
            private: Vec::new(),
            input: m.maybe(|_| Rating::parse("9 V ⎓ 1.67 A").unwrap()),
            output: m.maybe(|_| Rating::parse("5V/2A").unwrap()),
            contact: m.maybe(|m| m.item_id(items)),
            evidence: m.evidence(),
        }),
        accessories: m.some(2, |m, _| Accessory {
            name: m.text(),
            count: m.count(),
            note: m.maybe(Maker::text),
        }),
        samples: m.some(1, |m, i| Sample {
            name: format!("sample {i}"),
            bought: m.maybe(|_| "2026-02-21".parse().unwrap()),
            hardware_revision: m.maybe(Maker::text),
            firmware: m.maybe(Maker::text),
            condition: m.maybe(Maker::text),
            differs: m.some(2, |m, _| m.text()),
            evidence: m.evidence(),
            note: m.maybe(Maker::text),
        }),
        note: m.maybe(Maker::text),
        complete: m.below(2) == 0,
        invented: m.below(2) == 0,
    }
}

fn item(m: &mut Maker<'_>, i: u32) -> Item {
    let kinds = [
        ItemKind::Board,
        ItemKind::Part,
        ItemKind::Cell,
        ItemKind::Fastener,
        ItemKind::Shell,
    ];
    let kind = if i == 0 {
        ItemKind::Product
    } else {
        kinds[m.below(5) as usize]
    };
    Item {
        id: format!("item-{i}"),
        name: m.text(),
        kind,
        parent: (i > 0).then(|| m.item_id(i)),
        count: m.count(),
        role: m.maybe(Maker::text),
        role_origin: None,
        designator: m.maybe(Maker::text),
        spare: m.maybe(Maker::text),
        spare_class: m.maybe(|_| SpareClass::BackCover),
        material: m.maybe(Maker::text),
        layers: m.maybe(|m| m.below(8) + 1),
        size: ["diameter", "length", "width"]
            .into_iter()
            .filter_map(|n| m.maybe(|m| (n.to_string(), m.stated("mm"))))
            .collect(),
        part: (kind == ItemKind::Part).then(|| part(m)),
        cell: (kind == ItemKind::Cell).then(|| CellFacts {
            capacity: m.maybe(|m| m.stated("mAh")),
            energy: m.maybe(|m| m.stated("Wh")),
            nominal_voltage: m.maybe(|_| Stated::parse("3.8 V").unwrap()),
            limit_voltage: m.maybe(|_| Stated::parse("4.35 V").unwrap()),
            cutoff_voltage: m.maybe(|_| Stated::parse("3.0 V").unwrap()),
            charge_current: m.maybe(|m| m.stated("mA")),
            form: "pouch".into(),
            series: m.maybe(|m| m.below(3) + 1),
            parallel: m.maybe(|m| m.below(3) + 1),
            rechargeable: m.maybe(|m| m.below(2) == 0),
            lithium_content: m.maybe(|m| m.stated("g")),
            condition: m.maybe(|_| CellCondition::Swollen),
            chemistry: m.maybe(Maker::text),
            origin: m.maybe(Maker::origin),
            held: m.maybe(Maker::text),
            connected: m.maybe(Maker::text),
        }),
        fastener: (kind == ItemKind::Fastener).then(|| Fastener {
            sort: "press fit".into(),
            drive: m.maybe(Maker::text),
            reusable: m.maybe(|m| m.below(2) == 0),
        }),
        contact: m.maybe(|m| Contact {
            kind: ContactKind::PortHole,
            rating: m.maybe(|_| Rating::parse("5 V ⎓ 2 A").unwrap()),
            shares_with: m.some(1, |_, _| "item-0".to_string()),
            shared_limit: m.maybe(|m| m.stated("W")),
        }),
        converts: m.maybe(|m| Conversion {
            kind: ConversionKind::SwitchedCharger,
            output_voltage: m.maybe(|m| m.stated("V")),
            efficiency: m.maybe(|_| Stated::parse("88 %").unwrap()),
            output_current_limit: m.maybe(|m| m.stated("mA")),
            input_current_limit: m.maybe(|m| m.stated("A")),
            output_power_limit: m.maybe(|m| m.stated("W")),
            quiescent_current: m.maybe(|m| m.stated("µA")),
            origin: m.maybe(Maker::origin),
        }),
        loads: m.some(2, |m, _| Load {
            mode: m.text(),
            current: m.stated("mA"),
            duty: m.maybe(|_| Stated::parse("10 %").unwrap()),
            origin: m.maybe(Maker::origin),
            instrument: m.maybe(|_| "scale".to_string()),
            evidence: m.evidence(),
        }),
        provides: m.some(3, |m, _| m.text()),
        provides_origin: m.maybe(|_| ProvidesOrigin::Maker),
        protects: m.some(2, |m, _| protection(m)),
        protects_origin: m.maybe(|_| ProvidesOrigin::DataSheet),
        in_return_of: m.some(1, |_, _| "item-0".to_string()),
        evidence: m.evidence(),
        note: m.maybe(Maker::text),
    }
}

fn protection(m: &mut Maker<'_>) -> Protection {
    use Protection::{Clamp, None, OverCharge, ReverseCurrent, Unknown};
    [Clamp, OverCharge, ReverseCurrent, None, Unknown][m.below(5) as usize]
}

fn part(m: &mut Maker<'_>) -> PartFacts {
    PartFacts {
        marking: m.some(3, |m, i| format!("K{i}?[8B]{}", m.below(999))),
        package: m.maybe(Maker::text),
        pins: m.maybe(|m| m.below(99) + 1),
        identity: m.maybe(|m| Identity {
            name: m.text(),
            maker: m.maybe(Maker::text),
            certainty: Certainty::Inferred,
            because: m.maybe(Maker::text),
            evidence: m.evidence(),
        }),
        ratings: m
            .maybe(|m| BTreeMap::from([("clamping-voltage".to_string(), m.stated("V"))]))
            .unwrap_or_default(),
        ratings_origin: m.maybe(Maker::origin),
    }
}

fn step(items: u32) -> impl FnMut(&mut Maker<'_>, u32) -> Step {
    move |m, i| Step {
        id: format!("step-{i}"),
        action: Action::Unclip,
        text: m.text(),
        on: m.maybe(|m| m.item_id(items)),
        tool: m.maybe(Maker::text),
        temperature: m.maybe(|m| m.stated("°C")),
        duration: m.maybe(|m| m.stated("min")),
        started: m.maybe(|m| m.moment(1)),
        stopped: m.maybe(|m| m.moment(2)),
        fasteners: m.some(1, |m, _| m.item_id(items)),
        fastener_count: m.maybe(|m| m.below(9) + 1),
        after: m.maybe(|m| {
            if i == 0 {
                Vec::new()
            } else {
                vec![format!("step-{}", m.below(i))]
            }
        }),
        frees: m.some(1, |m, _| m.item_id(items)),
        destroys: m.some(1, |m, _| m.item_id(items)),
        undo: Undo::WithNewMaterial,
        only_way: m.below(2) == 0,
        renews: m.some(2, |m, _| m.text()),
        renewal: m.maybe(|_| Renewal::WithPart),
        tool_class: m.maybe(|_| ToolClass::SuppliedWithProduct),
        environment: m.maybe(|_| Environment::Workshop),
        skill: m.maybe(|_| Skill::NotFeasible),
        hazards: m.some(1, |_, _| Hazard::LithiumCell),
        done: m.below(2) == 0,
        evidence: m.evidence(),
        note: m.maybe(Maker::text),
    }
}

fn reading(m: &mut Maker<'_>, i: u32, items: u32, steps: &[String]) -> Reading {
    Reading {
        id: format!("reading-{i}"),
        item: m.item_id(items),
        what: ReadingSubject::Mass,
        mode: m.maybe(Maker::text),
        value: m.stated("g"),
        instrument: m.maybe(|_| "scale".to_string()),
        pieces: m.maybe(|_| 1),
        tare: m.maybe(|m| m.stated("g")),
        started: m.maybe(|m| m.moment(1)),
        stopped: m.maybe(|m| m.moment(2)),
        before: steps.first().filter(|_| m.below(2) == 0).cloned(),
        after: None,
        without: Vec::new(),
        private: m.below(2) == 0,
        evidence: m.evidence(),
        note: m.maybe(Maker::text),
    }
}

fn correlation(m: &mut Maker<'_>) -> Correlation {
    Correlation {
        between: ["reading-0".into(), "reading-1".into()],
        coefficient: f64::from(m.below(2001)) / 1000.0 - 1.0,
        because: m.maybe(Maker::text),
    }
}

fn photo(m: &mut Maker<'_>, i: u32, items: u32) -> Photo {
    Photo {
        id: format!("photo-{i}"),
        file: format!("board {i}.jpg"),
        caption: m.text(),
        credit: m.maybe(Maker::text),
        hero: i == 0 && m.below(2) == 0,
        scale: m.maybe(|m| ScaleReference {
            from: [f64::from(m.below(999)) / 4.0, 0.0],
            to: [300.0, f64::from(m.below(999)) / 8.0],
            length: m.stated("mm"),
        }),
        pixels: m.maybe(|_| [4000, 3000]),
        camera: m.maybe(|m| PhotoCamera {
            distance: m.maybe(|m| m.stated("mm")),
            equivalent_focal_length: m.maybe(|m| m.stated("mm")),
            distortion: m.maybe(|_| Stated::parse("0.3 %").unwrap()),
            tilt: m.maybe(|_| Stated::parse("2°").unwrap()),
        }),
        references: m.some(3, reference),
        regions: m.some(2, |m, i| Region {
            id: format!("region-{i}"),
            rect: [m.below(999), m.below(999), m.below(99) + 1, m.below(99) + 1],
            item: m.maybe(|m| m.item_id(items)),
            outline: m.below(2) == 0,
            height: m.maybe(|m| m.stated("mm")),
            private: m.below(2) == 0,
            caption: m.maybe(Maker::text),
        }),
        after: None,
        taken: m.maybe(|m| m.moment(1)),
        note: m.maybe(Maker::text),
    }
}

fn point(m: &mut Maker<'_>, n: u32) -> [f64; 2] {
    [
        f64::from(100 * n + m.below(99)),
        f64::from(m.below(2999)) / 8.0,
    ]
}

fn snapped(m: &mut Maker<'_>, points: u32) -> Vec<[f64; 3]> {
    if m.below(2) == 0 {
        return Vec::new();
    }
    let mut number = || f64::from(m.below(99)) / 64.0;
    (0..points)
        .map(|_| [number() + 0.25, number() - 0.5, number()])
        .collect()
}

fn reference(m: &mut Maker<'_>, i: u32) -> Reference {
    let (shape, points) = [
        (ReferenceShape::Distance, 2),
        (ReferenceShape::Rectangle, 4),
        (ReferenceShape::Ruler, 3),
        (ReferenceShape::Grid, 6),
    ][m.below(4) as usize];
    let sized = matches!(shape, ReferenceShape::Distance | ReferenceShape::Rectangle);
    let on_sides = shape == ReferenceShape::Rectangle && m.below(2) == 0;
    let points = if on_sides { 3 * points } else { points };
    Reference {
        name: format!("thing {i}"),
        shape,
        at: (0..points).map(|n| point(m, n)).collect(),
        on_sides,
        length: sized.then(|| m.stated("mm")),
        width: (shape == ReferenceShape::Rectangle).then(|| m.stated("mm")),
        marks: if shape == ReferenceShape::Ruler {
            (0..points).map(|_| m.stated("mm")).collect()
        } else {
            Vec::new()
        },
        pitch: (shape == ReferenceShape::Grid).then(|| m.stated("mm")),
        columns: (shape == ReferenceShape::Grid).then_some(3),
        within: m.maybe(|m| f64::from(m.below(99) + 1) / 64.0),
        snapped: snapped(m, points),
    }
}

fn recording(m: &mut Maker<'_>, i: u32, items: u32) -> Recording {
    let kinds = [
        RecordingKind::Outside,
        RecordingKind::Inside,
        RecordingKind::Calibrator,
        RecordingKind::Event,
    ];
    Recording {
        id: format!("recording-{i}"),
        file: "noise.wav".into(),
        what: kinds[m.below(4) as usize],
        channel: m.maybe(|_| 2),
        switched: Some([Switched::On, Switched::Off, Switched::Unknown][m.below(3) as usize]),
        seating: m.maybe(|m| 1 + m.below(9)),
        item: m.maybe(|m| format!("item-{}", m.below(items))),
        level: Some(Stated::parse("94 dB").unwrap()),
        frequency: m.maybe(|_| 250.0),
        full_scale: m.maybe(|_| Stated::parse("120 dB").unwrap()),
        calibrator: None,
        source: None,
        farther: m.maybe(|_| Stated::parse("-0.30 ± 0.02 m").unwrap()),
        frame: Some(m.below(1000)),
        frame_rate: Some(25.0),
        instrument: m.maybe(|_| "scale".into()),
        started: None,
        heard: m.maybe(|m| Heard {
            seconds: 10.5,
            rate: 48_000,
            levels: vec![-40.25, -41.5],
            clipped: m.maybe(|_| 3),
            dropouts: m.maybe(|_| 1),
            full_scale: m.maybe(|_| 117.01),
            delay: m.maybe(|_| 0.15),
            within: m.maybe(|_| 0.000_02),
            clock: m.maybe(|_| -12.5),
            peak: m.some(3, |_, i| [f64::from(i) * 0.001, 0.5]),
            notes: m.some(2, |m, _| m.text()),
        }),
        evidence: Vec::new(),
        note: m.maybe(Maker::text),
    }
}

fn measure(m: &mut Maker<'_>, i: u32, photo: &str, items: u32) -> PhotoMeasure {
    let (what, points) = [
        (MeasureSubject::Body, 4),
        (MeasureSubject::Diameter, 8),
        (MeasureSubject::Pitch, 3),
        (MeasureSubject::Distance, 2),
    ][m.below(4) as usize];
    let pitch = what == MeasureSubject::Pitch;
    let on_sides = what == MeasureSubject::Body && m.below(2) == 0;
    let points = if on_sides { 3 * points } else { points };
    PhotoMeasure {
        id: format!("measure-{i}"),
        photo: photo.to_string(),
        item: Some(m.item_id(items)),
        region: None,
        what,
        at: (0..points).map(|n| point(m, n)).collect(),
        on_sides,
        within: m.maybe(|m| f64::from(m.below(99) + 1) / 64.0),
        snapped: snapped(m, points),
        steps: if pitch { vec![0, 1, 4] } else { Vec::new() },
        height: m.maybe(|m| m.stated("mm")),
        replaces: None,
        note: m.maybe(Maker::text),
    }
}

fn claim(m: &mut Maker<'_>, i: u32, items: u32) -> Claim {
    let (kind, value) = match m.below(4) {
        0 => (ClaimKind::Mass, Some(m.stated("g"))),
        1 => (ClaimKind::RunTime, Some(m.stated("h"))),
        2 => (ClaimKind::Input, None),
        _ => (ClaimKind::Radio, None),
    };
    Claim {
        id: format!("claim-{i}"),
        text: m.text(),
        printed: m.text(),
        says: Subject {
            item: m.maybe(|m| m.item_id(items)),
            mode: m.maybe(Maker::text),
            dimension: None,
        },
        kind,
        value,
        rating: (kind == ClaimKind::Input).then(|| Rating::parse("9 V ⎓ 2 A").unwrap()),
        names: (kind == ClaimKind::Radio).then(|| m.text()),
        role: m.maybe(Maker::text),
        maker: m.maybe(Maker::text),
        leads: m.maybe(|_| record::Lead::Thinnest),
        among: m.maybe(|_| record::Scope::Maker),
        at_voltage: m.maybe(|m| m.stated("V")),
        our_reading: true,
        after: None,
        tolerance: m.maybe(|_| Stated::parse("5 %").unwrap()),
        evidence: m.evidence(),
        note: m.maybe(Maker::text),
    }
}

/// Texts that try the quoting: quotes, backslashes, line breaks, brackets, wide characters.
fn texts() -> impl Strategy<Value = Vec<String>> {
    prop::collection::vec("[a-zA-Z\"'\\\\#=\\[\\]{},. \n\tÅµΩ⎓界𝄞]{0,24}[a-z]", 1..6)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, ..ProptestConfig::default() })]

    #[test]
    fn a_written_dossier_is_read_back_the_same(
        numbers in prop::collection::vec(any::<u32>(), 1..120),
        texts in texts(),
    ) {
        let made = dossier(&numbers, &texts);
        let text = made.to_toml();
        let read = read_text(&text, "dossier.toml", &AnyFile)
            .map_err(|p| TestCaseError::fail(format!("{p}\n{text}")))?;
        prop_assert_eq!(&read, &made);
        prop_assert_eq!(read.to_toml(), text);
    }

    /// Whatever the text, reading answers; it never panics.
    #[test]
    fn no_text_makes_reading_panic(text in "\\PC{0,200}", at in any::<prop::sample::Index>()) {
        let _ = read_text(&text, "dossier.toml", &AnyFile);
        let good = include_str!("broken/good.toml");
        let mut at = at.index(good.len());
        while !good.is_char_boundary(at) {
            at -= 1;
        }
        let broken = format!("{}{}{}", &good[..at], text, &good[at..]);
        if let Err(problems) = read_text(&broken, "dossier.toml", &AnyFile) {
            prop_assert!(!problems.0.is_empty());
            prop_assert!(!problems.to_string().is_empty());
        }
    }
}
