//! Where a product stands: ranks told no finer than they are known, nearest products with reasons, first sightings.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use jiff::civil::date;
use methods::{
    Detail, Finding, Form, Known, Method, Other, OtherPart, Others, Recorded, Trait, TraitKind,
    examine_among,
};
use record::AnyFile;
use std::ops::ControlFlow;

fn slab(grams: &str) -> record::Dossier {
    let text = format!(
        r#"format = 1
[product]
name = "Slab"
maker = "Ondrelkamp"
category = "power bank"
opened = 2024-05-01
released = 2024-03-04

[[items]]
id = "it"
name = "Slab"
kind = "product"

[[items]]
id = "chip"
name = "Chip"
kind = "part"
parent = "it"
role = "charger"
[items.part]
marking = ["KX-12"]
[items.part.identity]
name = "KX-12"
maker = "Oskvale"
certainty = "read"
evidence = ["text:the chip"]

[[readings]]
id = "weighed"
item = "it"
what = "mass"
value = "{grams}"

[[readings]]
id = "across"
item = "it"
what = "thickness"
value = "20 mm +- 0.1 mm"
"#
    );
    record::read_text(&text, "dossier.toml", &AnyFile)
        .unwrap_or_else(|problems| panic!("{problems}"))
}

fn other(n: usize, grams: f64, mm: f64, part: &str) -> Other {
    let figure = |what, value, uncertainty| Trait {
        what,
        value,
        uncertainty,
    };
    Other {
        id: n.to_string(),
        product: format!("Pebble {n}"),
        maker: "Tarnholt".into(),
        category: "power bank".into(),
        market: String::new(),
        family: String::new(),
        released: Some(date(2020, 1, 1)),
        there: date(2020, 1, 1),
        traits: vec![
            figure(TraitKind::Mass, grams / 1e3, 5e-5),
            figure(TraitKind::Thickness, mm / 1e3, 5e-5),
        ],
        parts: vec![OtherPart {
            name: part.into(),
            maker: "Oskvale".into(),
            role: "charger".into(),
            read: true,
        }],
    }
}

fn told(dossier: &record::Dossier, others: Others) -> Vec<Finding> {
    let goes_on = |_| ControlFlow::Continue(());
    let (known, recorded) = (Known::default(), Recorded::none());
    let found = examine_among(dossier, &known, &recorded, &others, &goes_on).unwrap();
    let all = found.findings.into_iter();
    all.filter(|f| f.method() == Method::Standing).collect()
}

fn of<'f>(findings: &'f [Finding], question: &str) -> &'f Finding {
    let named = |f: &&Finding| f.id.to_string().contains(question);
    findings.iter().find(named).unwrap()
}

fn thirteen() -> Others {
    let grams = |n: usize| 150.0 + 10.0 * n as f64;
    Others::of((1..=13).map(|n| other(n, grams(n), 30.0 + n as f64, "TH-310")).collect())
}

#[test]
fn nothing_is_told_without_a_library_or_without_others() {
    assert!(told(&slab("175 g +- 0.1 g"), Others::unknown()).is_empty());
    assert!(told(&slab("175 g +- 0.1 g"), Others::of(Vec::new())).is_empty());
}

/// 160 and 170 g are less: the third lightest of fourteen.
#[test]
fn a_rank_is_told_by_words_as_far_as_it_is_known() {
    let findings = told(&slab("175 g +- 0.1 g"), thirteen());
    let says = &of(&findings, "figures").sentence;
    assert!(says.contains("third lightest of 14"), "{says}");
    assert!(says.contains("the thinnest of 14"), "{says}");
    assert!(says.contains("13 other products of its class"), "{says}");
    let unsure = told(&slab("175 g +- 8 g"), thirteen());
    let says = &of(&unsure, "figures").sentence;
    assert!(says.contains("second to fourth lightest of 14"), "{says}");
}

/// One of fourteen is the least or the greatest of one of two figures in 1 − (1 − 2/14)² = 26.5 % of cases.
#[test]
fn what_chance_does_is_told_beside_every_record() {
    let findings = told(&slab("175 g +- 0.1 g"), thirteen());
    let says = &of(&findings, "figures").sentence;
    assert!(says.contains(&format!("27{}%", quantity::GAP)), "{says}");
    assert!(says.contains("none of it is more than chance may do"), "{says}");
    // Among 199 others the thinnest is so by chance once in a hundred times, even as one of two figures.
    let many = (1..=199).map(|n| other(n, 100.0 + n as f64, 30.0, "TH-310")).collect();
    let findings = told(&slab("175 g +- 0.1 g"), Others::of(many));
    let says = &of(&findings, "figures").sentence;
    assert!(says.contains("beyond chance is its thickness"), "{says}");
}

#[test]
fn under_five_products_no_order_is_told() {
    let three = (1..=3).map(|n| other(n, 200.0, 30.0, "TH-310")).collect();
    let findings = told(&slab("175 g +- 0.1 g"), Others::of(three));
    let says = &of(&findings, "figures").sentence;
    assert!(says.contains("no order is told"), "{says}");
    assert!(!says.contains("lightest"), "{says}");
}

#[test]
fn a_strip_holds_this_product_and_every_other() {
    let findings = told(&slab("175 g +- 0.1 g"), thirteen());
    let details = &of(&findings, "figures").details;
    let chart = details.iter().find_map(|d| match d {
        Detail::Chart(chart) => Some(chart),
        _ => None,
    });
    let chart = chart.unwrap();
    assert_eq!(chart.form, Form::Strips);
    assert_eq!(chart.series.len(), 2);
    for strip in &chart.series {
        assert_eq!(strip.points.len(), 14);
        let own: Vec<f64> = strip.points.iter().filter(|p| p.place.is_some()).map(|p| p.value).collect();
        assert_eq!(own, [1.0]);
    }
    // 280 g are 1.6 times 175 g.
    let mass = chart.series.iter().find(|s| s.words == "Mass").unwrap();
    assert!(mass.points.iter().any(|p| (p.value - 1.6).abs() < 1e-9));
}

#[test]
fn the_nearest_stand_with_what_sets_them_apart() {
    let mut all: Vec<Other> = (1..=5).map(|n| other(n, 500.0 * n as f64, 60.0, "TH-310")).collect();
    all.push(other(9, 176.0, 21.0, "KX-12"));
    let findings = told(&slab("175 g +- 0.1 g"), Others::of(all));
    let nearest = of(&findings, "nearest");
    assert!(nearest.sentence.contains("Pebble 9"), "{}", nearest.sentence);
    let Detail::Table(table) = &nearest.details[0] else {
        panic!("a table")
    };
    assert_eq!(table.rows.len(), 3);
    assert!(table.rows[0][2].printed().contains("thickness"), "{:?}", table.rows[0]);
    assert_eq!(table.rows[0][4].printed(), "KX-12");
    assert_eq!(table.rows[1][4].printed(), "");
}

/// 1 − 0.05^(1/13) = 0.2058; nothing is called rare by thirteen: 0.9^13 = 0.25. By 29 and more it is: 0.9^29 = 0.047.
#[test]
fn a_first_sighting_says_what_so_many_can_say() {
    let findings = told(&slab("175 g +- 0.1 g"), thirteen());
    let first = of(&findings, "first-sightings");
    assert!(first.sentence.contains("none of them can be called rare"), "{}", first.sentence);
    let Detail::Table(table) = &first.details[0] else {
        panic!("a table")
    };
    let row: Vec<String> = table.rows[0].iter().map(methods::Cell::printed).collect();
    assert_eq!(row[0], "KX-12");
    assert_eq!(row[2], "13");
    assert!(row[3].contains("21"), "{row:?}");
    let many = |n| Others::of((1..=n).map(|n| other(n, 200.0, 30.0, "TH-310")).collect());
    let rare = told(&slab("175 g +- 0.1 g"), many(29));
    assert!(of(&rare, "first-sightings").sentence.contains("can be called rare"));
    let not = told(&slab("175 g +- 0.1 g"), many(28));
    assert!(of(&not, "first-sightings").sentence.contains("none of them can be called rare"));
}

#[test]
fn siblings_of_a_family_count_once() {
    let mut all: Vec<Other> = (1..=6).map(|n| other(n, 200.0, 30.0, "TH-310")).collect();
    for sibling in &mut all[..3] {
        sibling.family = "Stones".into();
    }
    let findings = told(&slab("175 g +- 0.1 g"), Others::of(all));
    let says = &of(&findings, "figures").sentence;
    assert!(says.contains("4 other products"), "{says}");
}
