//! Findings are written and read back: equal, with keys in one case, and refused where they are not ours.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

use methods::{FigureId, Findings, Known, word};
use quantity::{Interval, Unit};
use record::Dossier;
use report::{findings_schema, json, read_findings};
use serde_json::Value;
use std::collections::BTreeSet;
use std::ops::ControlFlow;
use std::path::Path;

#[path = "../../methods/tests/support/grown.rs"]
mod grown;

fn lamp() -> Dossier {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    store::open(&folder).unwrap()
}

fn examined(dossier: &Dossier) -> Findings {
    let goes_on = |_| ControlFlow::Continue(());
    methods::examine(dossier, &Known::default(), &goes_on).unwrap()
}

fn starter() -> Dossier {
    record::read_text(
        include_str!("../../record/src/starter.toml"),
        "starter.toml",
        &record::AnyFile,
    )
    .unwrap()
}

/// Names that try to pass for something else: quotes, dots, strokes, spaces, the words between a figure
/// and its finding, two modes that differ in what would be left out of a file name.
fn nasty() -> Dossier {
    let text = r#"
format = 1
[product]
name = "p"
maker = "m"
opened = 2026-01-01
[[photos]]
id = "a"
file = "a.png"
caption = "a"
pixels = [4000, 3000]
scale = { from = [0, 0], to = [1000, 0], length = "50.0 mm" }
[[photos]]
id = "b"
file = "b.png"
caption = "a"
pixels = [4000, 3000]
scale = { from = [0, 0], to = [1000, 0], length = "50.0 mm" }
[[measures]]
id = "a"
photo = "a"
item = "a"
what = "length"
at = [[100, 100], [400, 100]]
[[measures]]
id = "b"
photo = "a"
item = "a"
what = "length"
at = [[100, 300], [401, 300]]
[[measures]]
id = "c"
photo = "a"
item = "a"
what = "length"
at = [[100, 500], [402, 500]]
[[measures]]
id = "d"
photo = "a"
what = "distance"
at = [[100, 700], [402, 700]]
[[measures]]
id = "e"
photo = "b"
item = "a"
what = "length"
at = [[100, 700], [402, 700]]
[[claims]]
id = "a"
text = "runs 5 h"
printed = "box"
kind = "run-time"
value = "5 h"
says = { item = "a", mode = "a" }
[[claims]]
id = "b"
text = "runs 5 h"
printed = "box"
kind = "run-time"
value = "5 h"
says = { item = "a", mode = "a" }
[[claims]]
id = "c"
text = "holds 100 mAh"
printed = "box"
kind = "capacity"
value = "100 mAh"
says = { item = "a" }
[[items]]
id = "p"
name = "a"
kind = "product"
[[items]]
id = "a"
name = "a"
kind = "cell"
parent = "p"
cell = { form = "pouch", chemistry = "Li-ion", capacity = "100 mAh", nominal-voltage = "3.7 V" }
[[items]]
id = "a-b"
name = "a"
kind = "board"
parent = "p"
[[items.loads]]
mode = "low light"
current = "3 mA"
[[items.loads]]
mode = "low.light"
current = "4 mA"
[[items.loads]]
mode = "low/light\" of \\ mass.balance"
current = "5 mA"
[[items.loads]]
mode = "Low light"
current = "6 mA"
[[items.loads]]
mode = "low light"
current = "7 mA"
[[items.loads]]
mode = "a"
current = "7 mA"
[[items]]
id = "b"
name = "a"
kind = "board"
parent = "p"
[[items.loads]]
mode = "a"
current = "7 mA"
[[items]]
id = "c"
name = "a"
kind = "connector"
parent = "p"
contact = { kind = "socket", rating = "5 V ⎓ 1 A" }
[[links]]
from = "c"
to = "a-b"
kind = "power"
current-limit = "1 A"
[[links]]
from = "c"
to = "a-b"
kind = "power"
current-limit = "2 A"
[[links]]
from = "c"
to = "a"
kind = "power"
current-limit = "1 A"
[[links]]
from = "a"
to = "a-b"
kind = "power"
voltage = "3.7 V"
[[links]]
from = "a"
to = "b"
kind = "power"
[[readings]]
id = "a"
item = "a"
what = "charge"
value = "98 mAh"
[[readings]]
id = "b"
item = "a"
what = "charge"
value = "97 mAh"
[[readings]]
id = "c"
item = "p"
what = "mass"
value = "20.0 g"
"#;
    record::read_text(text, "nasty.toml", &record::AnyFile).unwrap_or_else(|e| panic!("{e}"))
}

fn all() -> Vec<(&'static str, Findings)> {
    let lamp = lamp();
    vec![
        ("starter", examined(&starter())),
        ("grown", examined(&grown::grown(&lamp, 3))),
        ("lamp", examined(&lamp)),
        ("nasty", examined(&nasty())),
    ]
}

#[test]
fn findings_read_back_equal() {
    for (name, findings) in all() {
        let text = json(&findings);
        let back = read_findings(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
        for (a, b) in findings.findings.iter().zip(&back.findings) {
            assert_eq!(a, b, "{name}");
        }
        assert!(back == findings, "{name}");
        assert_eq!(json(&back), text, "{name}");
        assert!(!findings.findings.is_empty(), "{name}");
    }
}

#[test]
fn what_has_no_end_reads_back_without_end() {
    let mut findings = examined(&lamp());
    let figure = findings
        .findings
        .iter_mut()
        .find_map(|f| f.figures.first_mut());
    let figure = &mut figure.unwrap().figure;
    figure.standard_uncertainty = f64::INFINITY;
    figure.interval = Interval {
        probability: 0.95,
        low: f64::NEG_INFINITY,
        high: f64::INFINITY,
    };
    let text = json(&findings);
    assert!(text.contains("\"standard-uncertainty\": null"));
    assert!(read_findings(&text).unwrap() == findings);
}

#[test]
fn no_two_findings_and_no_two_figures_have_one_identity() {
    for (name, findings) in all() {
        let (mut ids, mut anchors) = (BTreeSet::new(), BTreeSet::new());
        let mut figures = BTreeSet::new();
        for finding in &findings.findings {
            let text = finding.id.to_string();
            assert_eq!(text.parse().as_ref(), Ok(&finding.id), "{name}");
            assert!(
                anchors.insert(report::finding_anchor(&finding.id)),
                "{name}: {text}"
            );
            assert!(ids.insert(text.clone()), "{name}: {text}");
            for figure in &finding.figures {
                let id = FigureId {
                    finding: finding.id.clone(),
                    key: figure.key.clone(),
                };
                let text = id.to_string();
                assert_eq!(text.parse().as_ref(), Ok(&id), "{name}");
                assert!(figures.insert(text.clone()), "{name}: {text}");
            }
        }
        assert_eq!(ids.len(), findings.findings.len(), "{name}");
        assert_eq!(figures.is_empty(), name == "starter", "{name}");
    }
}

#[test]
fn the_nasty_names_are_met() {
    let findings = examined(&nasty());
    let ids: Vec<String> = findings.findings.iter().map(|f| f.id.to_string()).collect();
    for wanted in [
        r#"runtime.mode."low light"/items.a"#,
        r#"runtime.mode."low.light"/items.a"#,
        r#"runtime.mode."low/light\" of \\ mass.balance"/items.a"#,
        "claims.verdict/claims.a",
        "geometry.sizes/photo:a",
    ] {
        assert!(ids.iter().any(|id| id == wanted), "{wanted}: {ids:#?}");
    }
    let sizes = findings
        .findings
        .iter()
        .find(|f| f.id.to_string() == "geometry.sizes/photo:a");
    let keys: Vec<String> = sizes
        .unwrap()
        .figures
        .iter()
        .map(|f| f.key.to_string())
        .collect();
    assert_eq!(
        keys,
        [
            "length/items.a",
            r#"length."measure:b"/items.a"#,
            r#"length."measure:c"/items.a"#,
            "distance/measure:d",
        ]
    );
}

#[test]
fn loads_and_links_keep_their_address_when_their_order_changes() {
    let mut dossier = nasty();
    let told = |dossier: &Dossier| -> BTreeSet<String> {
        let findings = examined(dossier).findings;
        let all = findings.iter().flat_map(|f| f.evidence.clone());
        all.map(|place| place.to_string()).collect()
    };
    let before = told(&dossier);
    let load = r#"items.a-b.loads."low.light".current"#;
    assert!(before.contains(load), "{before:#?}");
    assert!(before.contains("links.a,b,power"), "{before:#?}");
    dossier.links.reverse();
    for item in &mut dossier.items {
        item.loads.reverse();
    }
    let after = told(&dossier);
    assert_eq!(before, after);
}

#[test]
fn keys_are_written_in_one_case() {
    fn walk(value: &Value, at: &str, seen: &mut usize) {
        match value {
            Value::Object(map) => {
                for (key, value) in map {
                    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
                    assert!(key.chars().all(plain), "{at}.{key}");
                    *seen += 1;
                    walk(value, &format!("{at}.{key}"), seen);
                }
            }
            Value::Array(values) => values.iter().for_each(|v| walk(v, at, seen)),
            _ => {}
        }
    }
    let mut seen = 0;
    walk(
        &serde_json::to_value(examined(&lamp())).unwrap(),
        "",
        &mut seen,
    );
    assert!(seen > 1000, "{seen}");
    let schema = findings_schema();
    let mut described = 0;
    for (name, definition) in schema["$defs"].as_object().unwrap() {
        for key in definition["properties"]
            .as_object()
            .into_iter()
            .flat_map(|o| o.keys())
        {
            described += 1;
            assert!(
                !key.contains(|c: char| c == '_' || c.is_uppercase()),
                "{name}.{key}"
            );
        }
    }
    assert!(described > 80, "{described}");
}

#[test]
fn what_is_not_ours_is_refused_with_the_reason() {
    let findings = examined(&lamp());
    let good: Value = serde_json::from_str(&json(&findings)).unwrap();
    let with_figure = findings
        .findings
        .iter()
        .position(|f| f.figures.len() > 1)
        .unwrap();
    let refused = |why: &str, change: &dyn Fn(&mut Value)| {
        let mut bad = good.clone();
        change(&mut bad);
        let error = read_findings(&bad.to_string()).unwrap_err().to_string();
        assert!(error.contains(why), "{why}: {error}");
    };
    let at = with_figure;
    refused("format 1", &|v| v["format"] = 1.into());
    refused("missing field `format`", &|v| {
        v.as_object_mut().unwrap().remove("format");
    });
    refused("unknown field `extra`", &|v| v["extra"] = 1.into());
    refused("unknown field `method`", &|v| {
        v["findings"][0]["method"] = "mass".into()
    });
    refused("unknown field `key-of`", &|v| {
        v["findings"][at]["figures"][0]["key-of"] = 1.into()
    });
    refused("unknown field `sigma`", &|v| {
        v["findings"][at]["figures"][0]["figure"]["sigma"] = 1.into();
    });
    refused("unknown field `extra`", &|v| {
        v["findings"][0]["details"][0]["extra"] = 1.into()
    });
    refused("no method", &|v| {
        v["findings"][0]["id"] = "weather.rain".into()
    });
    refused("is not a place", &|v| {
        v["findings"][0]["evidence"][0] = "nowhere.x".into()
    });
    refused("furlong", &|v| {
        v["findings"][at]["figures"][0]["figure"]["unit"] = "furlong".into();
    });
    refused("is there twice", &|v| {
        let first = v["findings"][0].clone();
        v["findings"].as_array_mut().unwrap().push(first);
    });
    refused("is there twice", &|v| {
        let key = v["findings"][at]["figures"][0]["key"].clone();
        v["findings"][at]["figures"][1]["key"] = key;
    });
    refused("line 1", &|v| v["findings"] = 3.into());
}

#[test]
fn units_read_back() {
    for symbol in [
        "", "g", "mAh", "Wh/kg", "Wh/L", "mm²", "°C", "%", "wk", "dB", "µA", "EUR",
    ] {
        let unit = Unit::parse(symbol).unwrap();
        let text = serde_json::to_string(&unit).unwrap();
        assert_eq!(
            serde_json::from_str::<Unit>(&text).unwrap(),
            unit,
            "{symbol}"
        );
    }
    assert_eq!(word!("energy").to_string(), "energy");
}

#[test]
fn the_published_schema_is_that_of_the_program() {
    let published = include_str!("../../../docs/findings.schema.json");
    let published: Value = serde_json::from_str(published).unwrap();
    assert!(
        published == findings_schema(),
        "write it anew: underlid schema findings > docs/findings.schema.json"
    );
}
