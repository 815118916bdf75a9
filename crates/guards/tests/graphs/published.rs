//! 82 cases worked out with networkx 3.6.1 and, independently, by walking every path.
//!
//! Source: `tests/published/protection_graphs.csv`, with the definitions that decide it; each row was computed there
//! by maximum flow, node-disjoint paths, node connectivity and by removing every smaller subset (up to 20 inner items).

use crate::drawn::{ask, link, word};
use crate::plain::Plain;
use guards::{Answer, Cut, Function, Graph, Hazard, MOST_CUTS};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

fn hazard(words: &str) -> Hazard {
    match words {
        "over-voltage" => Hazard::OverVoltage,
        "electrostatic discharge" => Hazard::ElectrostaticDischarge,
        "reverse current" => Hazard::ReverseCurrent,
        "over-charge" => Hazard::OverCharge,
        "over-discharge" => Hazard::OverDischarge,
        "over-temperature" => Hazard::OverTemperature,
        "short circuit" => Hazard::ShortCircuit,
        "over-current" => Hazard::OverCurrent,
        other => panic!("{other} is no hazard"),
    }
}

/// The words of the table; what is none of them (an enable input) is no function.
fn function(word: &str) -> Option<Function> {
    Some(match word {
        "ovp" => Function::OverVoltageSwitch,
        "clamp" => Function::Clamp,
        "esd" => Function::Discharge,
        "fuse" => Function::Fuse,
        "ptc" => Function::ResettableFuse,
        "ocp" => Function::CurrentLimit,
        "scp" => Function::ShortCircuit,
        "rblock" => Function::ReverseBlocking,
        "cv" => Function::ChargeRegulation,
        "ovc" => Function::OverCharge,
        "uvd" => Function::OverDischarge,
        "ot" => Function::OverTemperature,
        _ => return None,
    })
}

struct Row {
    id: String,
    cells: BTreeMap<String, String>,
}

impl Row {
    fn cell(&self, name: &str) -> &str {
        &self.cells[name]
    }
    fn list(&self, name: &str) -> Vec<String> {
        self.cell(name)
            .split_whitespace()
            .map(String::from)
            .collect()
    }
    fn hazard(&self) -> Hazard {
        hazard(self.cell("hazard"))
    }
    fn graph(&self) -> Graph {
        let mut graph = Graph::default();
        self.list("edges").iter().for_each(|l| link(&mut graph, l));
        for (item, functions) in self
            .list("items_with_functions")
            .iter()
            .map(|i| i.split_once(':').unwrap())
        {
            functions
                .split('+')
                .filter_map(function)
                .for_each(|f| graph.does(item, f));
        }
        for (element, net) in self
            .list("shunts")
            .iter()
            .map(|s| s.split_once('@').unwrap())
        {
            graph.shunt(element, net);
        }
        for item in self.list("not_identified") {
            self.hazard()
                .answered_by()
                .iter()
                .for_each(|f| graph.may(&item, *f));
        }
        self.list("ground").iter().for_each(|g| graph.ground(g));
        graph
    }
    fn answer(&self) -> Answer {
        ask(
            &self.graph(),
            self.hazard(),
            &self.list("sources"),
            &self.list("targets"),
        )
    }
    fn plain(&self) -> Plain {
        let mut out: BTreeSet<String> = self
            .list("shunts")
            .iter()
            .map(|s| s.split_once('@').unwrap().0.to_string())
            .collect();
        if self.cell("loop") == "0" {
            out.extend(self.list("ground"));
        }
        let guards: BTreeSet<String> = self.list("guard_items").into_iter().collect();
        Plain {
            links: self.list("edges"),
            sources: self.list("sources"),
            targets: self.list("targets"),
            may: self
                .list("not_identified")
                .into_iter()
                .filter(|i| !guards.contains(i))
                .collect(),
            guards,
            out,
        }
    }
}

fn rows() -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/protection_graphs.csv");
    let mut reader = csv::Reader::from_path(path).unwrap();
    let head = reader.headers().unwrap().clone();
    let rows: Vec<Row> = reader
        .records()
        .map(|r| {
            let r = r.unwrap();
            let cells = head
                .iter()
                .zip(&r)
                .map(|(k, v)| (k.to_string(), v.to_string()))
                .collect();
            Row {
                id: r[0].to_string(),
                cells,
            }
        })
        .collect();
    assert_eq!(rows.len(), 82);
    rows
}

#[test]
fn every_published_case_is_answered() {
    for row in rows() {
        let (id, answer) = (&row.id, row.answer());
        assert_eq!(word(answer.verdict), row.cell("verdict"), "{id}: verdict");
        // Shunt elements and ground are guards of their net, not items on a path.
        let elements: BTreeSet<String> = row
            .list("shunts")
            .iter()
            .map(|s| s.split_once('@').unwrap().0.to_string())
            .collect();
        let wanted: Vec<String> = row
            .list("guard_items")
            .into_iter()
            .filter(|g| !elements.contains(g))
            .collect();
        assert_eq!(answer.guards, wanted, "{id}: guards");
        assert_eq!(
            answer.witness.join(">"),
            row.cell("witness"),
            "{id}: witness"
        );
        let size = answer
            .cut
            .size()
            .map_or("none".to_string(), |k| k.to_string());
        assert_eq!(size, row.cell("cut"), "{id}: cut");
        assert_eq!(
            answer.depth.map_or(String::new(), |d| d.to_string()),
            row.cell("depth"),
            "{id}: depth"
        );
        assert_eq!(
            answer.on_every_path.join(" "),
            row.cell("on_every_path"),
            "{id}: on every path"
        );
        // Menger: as many open paths share no inner item.
        let disjoint = answer.cut.size().map_or(String::new(), |k| k.to_string());
        assert_eq!(disjoint, row.cell("disjoint_paths"), "{id}: disjoint paths");
    }
}

#[test]
fn every_set_of_places_is_the_published_one_or_a_cut() {
    let mut listed = 0;
    for row in rows() {
        let Cut::Places { sets, more } = row.answer().cut else {
            continue;
        };
        let mut text: Vec<String> = sets.iter().map(|s| s.join(" ")).collect();
        if more {
            text.push("...".to_string());
        }
        assert!(sets.len() <= MOST_CUTS);
        if !row.cell("min_cuts").is_empty() {
            assert_eq!(text.join("|"), row.cell("min_cuts"), "{}", row.id);
            listed += 1;
        }
        for set in sets {
            let mut graph = row.graph();
            for place in &set {
                graph.does(place, row.hazard().answered_by()[0]);
            }
            let closed = ask(
                &graph,
                row.hazard(),
                &row.list("sources"),
                &row.list("targets"),
            );
            assert!(
                ["guarded", "undecided"].contains(&word(closed.verdict)),
                "{}: {set:?}",
                row.id
            );
        }
    }
    assert!(listed >= 30, "only {listed} rows list their cuts");
}

#[test]
fn walking_every_path_says_the_same() {
    let mut walked = 0;
    for row in rows() {
        let plain = row.plain();
        let Some(paths) = plain.paths() else { continue };
        walked += 1;
        let (verdict, open) = plain.open(&paths);
        let answer = row.answer();
        assert_eq!(word(answer.verdict), verdict, "{}", row.id);
        assert_eq!(open.len().to_string(), row.cell("open_paths"), "{}", row.id);
        assert_eq!(
            answer.witness,
            open.first().cloned().unwrap_or_default(),
            "{}",
            row.id
        );
        let met = |p: &Vec<String>| p.iter().filter(|n| plain.guards.contains(*n)).count();
        assert_eq!(answer.depth, paths.iter().map(met).min(), "{}", row.id);
    }
    // Three of 1,048,576 paths are not walked.
    assert_eq!(walked, 79);
}
