//! The JSON of the findings and its published schema.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod specimen;
mod support;

use methods::{Detail, FigureKey, FindingId};
use record::Place;
use report::{findings_schema, json};
use serde_json::Value;
use std::collections::BTreeSet;

/// Checks a value against the part of JSON Schema that the format uses, noting every property met.
fn check(
    root: &Value,
    schema: &Value,
    value: &Value,
    at: &str,
    met: &mut BTreeSet<String>,
) -> Result<(), String> {
    let map = schema.as_object().ok_or("a schema is not an object")?;
    for (word, rule) in map {
        match word.as_str() {
            "$ref" => {
                let name = rule
                    .as_str()
                    .and_then(|r| r.strip_prefix("#/$defs/"))
                    .ok_or("strange $ref")?;
                let target = root["$defs"]
                    .get(name)
                    .ok_or(format!("no definition {name}"))?;
                check(root, target, value, &format!("{at}:{name}"), met)?;
            }
            "type" => {
                let fits = match rule.as_str().unwrap() {
                    "object" => value.is_object(),
                    "array" => value.is_array(),
                    "string" => value.is_string(),
                    "number" => value.is_number(),
                    "integer" => value.is_u64(),
                    "boolean" => value.is_boolean(),
                    "null" => value.is_null(),
                    other => return Err(format!("unknown type {other}")),
                };
                if !fits {
                    return Err(format!("{at}: {value} is no {rule}"));
                }
            }
            "enum" if !rule.as_array().unwrap().contains(value) => {
                return Err(format!("{at}: {value} is none of {rule}"));
            }
            "const" if rule != value => return Err(format!("{at}: {value} is not {rule}")),
            "minimum" if value.as_f64() < rule.as_f64() => {
                return Err(format!("{at}: {value} < {rule}"));
            }
            "maximum" if value.as_f64() > rule.as_f64() => {
                return Err(format!("{at}: {value} > {rule}"));
            }
            "items" => {
                for item in value.as_array().into_iter().flatten() {
                    check(root, rule, item, &format!("{at}[]"), met)?;
                }
            }
            "minItems" | "maxItems" => {
                let (length, limit) = (
                    value.as_array().map_or(0, Vec::len) as u64,
                    rule.as_u64().unwrap(),
                );
                if (word == "minItems" && length < limit) || (word == "maxItems" && length > limit)
                {
                    return Err(format!("{at}: {length} entries"));
                }
            }
            "anyOf" | "oneOf" => {
                let mut problems = Vec::new();
                let mut fitting = 0;
                for option in rule.as_array().unwrap() {
                    let mut seen = BTreeSet::new();
                    match check(root, option, value, at, &mut seen) {
                        Ok(()) => {
                            fitting += 1;
                            met.extend(seen);
                        }
                        Err(problem) => problems.push(problem),
                    }
                }
                if fitting == 0 || (word == "oneOf" && fitting > 1) {
                    return Err(format!("{at}: {fitting} fit: {}", problems.join(" | ")));
                }
            }
            "properties" => {
                for (name, rule) in rule.as_object().unwrap() {
                    if let Some(value) = value.get(name) {
                        let owner = at.rsplit([':', '.', '[']).next().unwrap_or_default();
                        met.insert(format!("{owner}.{name}"));
                        check(root, rule, value, &format!("{at}.{name}"), met)?;
                    }
                }
            }
            "required" => {
                for name in rule.as_array().unwrap() {
                    if value.get(name.as_str().unwrap()).is_none() {
                        return Err(format!("{at}: {name} is missing"));
                    }
                }
            }
            "additionalProperties" => {
                for name in value.as_object().into_iter().flat_map(|o| o.keys()) {
                    if map["properties"].get(name).is_none() {
                        return Err(format!("{at}: '{name}' is not in the schema"));
                    }
                }
            }
            // Patterns are of these names alone, and the types themselves say what fits.
            "pattern" => {
                let text = value.as_str().unwrap_or_default();
                let fits = match at.rsplit(':').next() {
                    Some("FindingId") => text.parse::<FindingId>().is_ok(),
                    Some("FigureKey") => text.parse::<FigureKey>().is_ok(),
                    Some("Place") => text.parse::<Place>().is_ok(),
                    _ => false,
                };
                if !fits {
                    return Err(format!("{at}: {value} does not fit"));
                }
            }
            "$schema" | "title" | "description" | "$defs" | "enum" | "const" | "minimum"
            | "maximum" => {}
            other => return Err(format!("the check does not know '{other}'")),
        }
    }
    Ok(())
}

#[test]
fn findings_follow_the_schema_and_use_every_part_of_it() {
    let schema = findings_schema();
    let mut met = BTreeSet::new();
    // The real ones, and those that have something of everything.
    for findings in [&support::lamp().1, &specimen::findings()] {
        let value: Value = serde_json::from_str(&json(findings)).unwrap();
        check(&schema, &schema, &value, "", &mut met).unwrap();
    }
    let (lamp, first) = (&support::lamp().1, report::Edition::first(None));
    let none = methods::Findings {
        findings: Vec::new(),
        ..lamp.clone()
    };
    let edition = first.next(&none, lamp, None, None);
    // The version after it tells what was corrected earlier.
    let later = edition.next(lamp, &none, None, None);
    for edition in [&edition, &later] {
        let value = report::published_json(lamp, Some(edition));
        let value: Value = serde_json::from_str(&value).unwrap();
        check(&schema, &schema, &value, "", &mut met).unwrap();
    }
    let mut described = BTreeSet::new();
    for (name, definition) in schema["$defs"].as_object().unwrap() {
        for property in definition["properties"]
            .as_object()
            .into_iter()
            .flat_map(|o| o.keys())
        {
            described.insert(format!("{name}.{property}"));
        }
    }
    assert_eq!(met, described);
}

/// What a finding draws reads back as it was: every table, chart and row.
#[test]
fn details_read_back_as_they_were_written() {
    let details = |findings: &methods::Findings| -> Vec<Detail> {
        let all = findings.findings.iter();
        all.flat_map(|f| f.details.clone()).collect()
    };
    let written = [details(&support::lamp().1), details(&specimen::findings())].concat();
    let text = serde_json::to_string(&written).unwrap();
    let read: Vec<Detail> = serde_json::from_str(&text).unwrap();
    assert!(written.len() > 40);
    for (read, written) in read.iter().zip(&written) {
        assert_eq!(read, written);
    }
}

#[test]
fn what_does_not_follow_the_schema_is_noticed() {
    let schema = findings_schema();
    let good: Value = serde_json::from_str(&json(&specimen::findings())).unwrap();
    let refused = |change: &dyn Fn(&mut Value)| {
        let mut bad = good.clone();
        change(&mut bad);
        assert!(check(&schema, &schema, &bad, "", &mut BTreeSet::new()).is_err());
    };
    refused(&|v| v["findings"][0]["verdict"] = "maybe".into());
    refused(&|v| v["findings"][0]["extra"] = 1.into());
    refused(&|v| v["findings"][0]["id"] = "weather.rain".into());
    refused(&|v| v["findings"][1]["evidence"][0] = "nowhere.x".into());
    refused(&|v| v["findings"][1]["figures"][0]["key"] = "Energy".into());
    refused(&|v| v["findings"][1]["figures"][0]["unit"] = Value::Null);
    refused(&|v| v["findings"][0]["details"][0]["detail"] = "weights".into());
    refused(&|v| {
        v["findings"][0].as_object_mut().unwrap().remove("sentence");
    });
}

#[test]
fn every_word_of_the_methods_is_in_the_schema() {
    use methods::Verdict;
    use quantity::Origin;
    let schema = findings_schema();
    let listed = |name: &str| schema["$defs"][name]["enum"].as_array().unwrap().clone();
    let words = |all: Vec<Value>, name: &str| assert_eq!(all, listed(name));
    let pattern = schema["$defs"]["FindingId"]["pattern"].as_str().unwrap();
    let names: Vec<&str> = methods::METHODS.iter().map(|m| m.name).collect();
    assert_eq!(
        pattern.split(['(', ')']).nth(1),
        Some(names.join("|").as_str())
    );
    let verdicts = [
        Verdict::Holds,
        Verdict::Fails,
        Verdict::Undecided,
        Verdict::NeedsEvidence,
    ];
    words(
        verdicts
            .iter()
            .map(|m| serde_json::to_value(m).unwrap())
            .collect(),
        "Verdict",
    );
    let origins = [
        Origin::Label,
        Origin::Measured,
        Origin::DataSheet,
        Origin::Estimated,
        Origin::Standard,
        Origin::Assumed,
        Origin::Derived,
        Origin::Unknown,
    ];
    words(
        origins
            .iter()
            .map(|m| serde_json::to_value(m).unwrap())
            .collect(),
        "Origin",
    );
    // Words of the record are those of its own schema, whatever their order.
    let record = record::schema();
    for (name, table, key) in [
        ("ItemKind", "items", "kind"),
        ("Certainty", "items.part.identity", "certainty"),
        ("Action", "steps", "action"),
        ("Undo", "steps", "undo"),
    ] {
        let theirs = record["$defs"][table]["properties"][key]["oneOf"]
            .as_array()
            .unwrap();
        let theirs: BTreeSet<String> = theirs.iter().map(|w| w["const"].to_string()).collect();
        let ours: BTreeSet<String> = listed(name).iter().map(ToString::to_string).collect();
        assert_eq!(ours, theirs, "{name}");
    }
}

/// Each method asked alone, from the last to the first, on a case of its own: put in the order of the
/// day, the answers are to the byte those of one run.
#[test]
fn the_text_does_not_depend_on_the_order_of_the_work() {
    let (dossier, findings) = support::lamp();
    let mut asked: Vec<Vec<methods::Finding>> = Vec::new();
    for method in methods::METHODS.iter().rev() {
        let recorded = support::recorded(dossier);
        let case = methods::Case::new(dossier, support::known()).with_logs(&recorded);
        asked.push((method.examine)(&case).unwrap());
    }
    let in_order = methods::Findings {
        findings: asked.into_iter().rev().flatten().collect(),
        ..findings.clone()
    };
    let (once, alone) = (json(findings), json(&in_order));
    assert!(once == alone, "the answers differ");
    assert!(once.ends_with("}\n"));
}
