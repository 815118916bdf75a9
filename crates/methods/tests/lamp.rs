//! Mass, cell, inventory and opening on the demonstration dossier: invented data with known answers.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "support/answers.rs"]
mod support;

use methods::presence::{Match, presence};
use methods::{Case, Detail, Finding, Known, Verdict, cell, claims, inventory, mass, opening};
use record::{ClaimKind, Dossier, Place};
use std::path::Path;
use support::answers;

fn lamp() -> Dossier {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    store::open(&folder).expect("the demonstration dossier checks clean")
}

fn named<'f>(findings: &'f [Finding], id: &str) -> &'f Finding {
    findings
        .iter()
        .find(|f| f.id.to_string() == id)
        .expect("the finding is there")
}

/// The shell was copied from a slip as 21.46 g for 24.16 g.
#[test]
fn the_miscopied_weighing_is_found() {
    let findings = answers(mass::examine, &lamp());
    let balance = named(&findings, "mass.balance");
    assert_eq!(balance.verdict, Some(Verdict::Fails));
    let sentence = &balance.sentence;
    assert!(
        sentence.contains(
            "The base shell was noted at 21.46\u{202f}g; the others agree on 24.16\u{202f}g"
        ),
        "{sentence}"
    );
    assert!(
        balance
            .missing
            .iter()
            .any(|m| m.measure.contains("the base shell again"))
    );
    let solution = mass::adjusted(&lamp());
    let aside: Vec<&str> = solution
        .set_aside
        .iter()
        .map(|&j| solution.weighings[j].reading.as_str())
        .collect();
    assert_eq!(aside, ["m-cradle-base-shell"]);
    let (shell, _) = solution.of("cradle-base-shell").unwrap();
    assert!((shell - 24.16).abs() < 0.03, "{shell}");
    let (lamp, u) = solution.of("lamp").unwrap();
    assert!((lamp - 41.13).abs() < 0.02 && u < 0.02, "{lamp} ± {u}");
}

#[test]
fn an_inferred_mass_is_the_sum_of_what_it_holds() {
    let findings = answers(mass::examine, &lamp());
    let pieces = named(&findings, "mass.pieces");
    let [Detail::Chart(chart), Detail::Masses { rows }] = pieces.details.as_slice() else {
        panic!("no masses")
    };
    let set = rows.iter().find(|r| r.item == "set").unwrap();
    let (mass, u) = set.adjusted.unwrap();
    assert!(set.inferred && set.measured.is_none());
    let figure = &pieces.figures[0];
    assert!(
        (figure.value - mass).abs() < 1e-9,
        "{} and {mass}",
        figure.value
    );
    assert!(
        (figure.standard_uncertainty - u).abs() < 1e-6,
        "{} and {u}",
        figure.standard_uncertainty
    );
    assert!(
        figure.working[0].contains("Lamp + Cradle"),
        "{:?}",
        figure.working
    );
    let shell = rows.iter().find(|r| r.item == "cradle-base-shell").unwrap();
    assert!(shell.flagged && shell.adjusted.is_some());
    // The chart shows the same: the whole first, its parts with their whiskers.
    let whole = &chart.series[0].points[0];
    assert_eq!((whole.value, whole.level), (mass, 0));
    assert!((whole.high.unwrap() - whole.low.unwrap() - 2.0 * 1.959_963_985 * u).abs() < 1e-8);
    assert!(chart.series[0].points.iter().all(|p| p.level <= 2));
}

#[test]
fn both_cells_are_believable() {
    let findings = answers(cell::examine, &lamp());
    assert_eq!(findings.len(), 2);
    for finding in &findings {
        assert_eq!(
            finding.verdict,
            Some(Verdict::Holds),
            "{}",
            finding.sentence
        );
        assert!(finding.cautions.iter().any(|c| c.contains("punctured")));
        assert!(finding.sources.iter().any(|s| s.contains("from memory")));
    }
}

#[test]
fn heat_and_pry_beside_the_cell_are_cautioned_at_their_steps() {
    let findings = answers(opening::examine, &lamp());
    let sequence = named(&findings, "opening.sequence");
    let Some(Detail::Steps { rows }) = sequence.details.first() else {
        panic!("no steps")
    };
    let at = |id: &str| rows.iter().find(|r| r.step == id).unwrap();
    for id in ["heat-front", "pry-front", "pry-cell"] {
        let cautions = &at(id).cautions;
        assert!(
            cautions
                .iter()
                .any(|c| c.contains("the lamp's cell") && c.contains("still in place")),
            "{id}: {cautions:?}"
        );
    }
    // The cradle's cell is out before its shell is heated, and the lamp is another part.
    assert!(
        !at("peel-coil")
            .cautions
            .iter()
            .any(|c| c.contains("still in place"))
    );
}

#[test]
fn the_way_to_the_cell_leaves_out_the_other_part() {
    let findings = answers(opening::examine, &lamp());
    let way = named(&findings, "opening.route/items.lamp-cell");
    assert!(
        way.sentence.contains("comes out in six steps"),
        "{}",
        way.sentence
    );
    assert!(way.sentence.contains("heat"), "{}", way.sentence);
    assert!((way.figures[0].value - 16.4).abs() < 1e-9);
}

#[test]
fn evidence_that_the_planned_cut_would_end_is_named() {
    let findings = answers(opening::examine, &lamp());
    let risk = named(&findings, "opening.evidence");
    assert!(
        risk.missing
            .iter()
            .any(|m| m.settles == Some(record::Place::claim("ingress")) && m.too_late)
    );
    let delay = risk
        .missing
        .iter()
        .find(|m| m.settles == Some(record::Place::claim("delay")))
        .unwrap();
    assert_eq!(
        (&delay.before_step, delay.too_late),
        (&Some(record::Place::step("cut-lens")), false)
    );
}

#[test]
fn presence_is_looked_up_by_function_and_part_number() {
    let dossier = lamp();
    let known = Known::default();
    let case = Case::new(&dossier, &known);
    let found = presence(&case, ClaimKind::Function, "Ambient light sensing", None);
    assert_eq!(
        (found[0].item.id.as_str(), found[0].by),
        ("lamp-light", Match::Provides)
    );
    assert!(presence(&case, ClaimKind::First, "radar", None).is_empty());
    assert!(presence(&case, ClaimKind::Part, "", None).is_empty());
    let radio = presence(&case, ClaimKind::Radio, "ieee 802.15.4", None);
    assert_eq!(radio[0].item.id, "lamp-mcu");
    assert!(radio[0].evidence.contains(&record::Place::item("lamp-mcu")));
}

#[test]
fn the_inventory_counts_along_the_tree() {
    let findings = answers(inventory::examine, &lamp());
    let parts = named(&findings, "inventory.parts");
    let Some(Detail::Parts { rows }) = parts.details.first() else {
        panic!("no parts")
    };
    assert!(rows.len() >= 40);
    let screws = rows.iter().find(|r| r.item == "lamp-screws").unwrap();
    assert_eq!(
        (&screws.count, screws.kind),
        (&methods::Cell::count(4), record::ItemKind::Fastener)
    );
}

/// Every method answers something for the starting dossier and for a dossier without items, readings
/// and steps.
#[test]
fn sparse_dossiers_are_answered() {
    let starter = record::read_text(&record::starter(), "dossier.toml", &record::AnyFile).unwrap();
    let mut bare = starter.clone();
    bare.items.clear();
    bare.readings.clear();
    bare.steps.clear();
    bare.claims.clear();
    bare.links.clear();
    for dossier in [starter, bare] {
        assert!(!answers(mass::examine, &dossier).is_empty());
        assert!(!answers(inventory::examine, &dossier).is_empty());
        assert!(!answers(opening::examine, &dossier).is_empty());
        for finding in answers(cell::examine, &dossier) {
            assert!(!finding.sentence.is_empty());
        }
    }
}

/// The same dossier with every list that order does not matter for turned round gives the same masses.
#[test]
fn masses_do_not_depend_on_the_order_of_the_record() {
    let dossier = lamp();
    let mut turned = dossier.clone();
    turned.items.reverse();
    turned.readings.reverse();
    let (a, b) = (mass::adjusted(&dossier), mass::adjusted(&turned));
    for item in &dossier.items {
        match (a.of(&item.id), b.of(&item.id)) {
            (Some((x, u)), Some((y, v))) => {
                assert!(
                    (x - y).abs() < 1e-9 && (u - v).abs() < 1e-9,
                    "{}: {x} {y}",
                    item.id
                );
            }
            (None, None) => {}
            other => panic!("{}: {other:?}", item.id),
        }
    }
}

#[test]
fn every_finding_has_an_id_of_its_own_that_reads_back() {
    let goes_on = |_| std::ops::ControlFlow::Continue(());
    let findings = methods::examine(&lamp(), &Known::default(), &goes_on).unwrap();
    let mut seen = std::collections::BTreeSet::new();
    for finding in &findings.findings {
        let text = finding.id.to_string();
        assert_eq!(text.parse().as_ref(), Ok(&finding.id), "{text}");
        assert!(seen.insert(text), "{} is there twice", finding.id);
    }
    assert!(seen.len() > 30, "{seen:?}");
}

#[test]
fn the_demonstration_does_not_contradict_itself() {
    let found = answers(methods::consistency::examine, &lamp());
    let said: Vec<&str> = found.iter().map(|f| f.sentence.as_str()).collect();
    assert!(said.is_empty(), "{said:?}");
}

/// A measurement that several findings ask for is possible until the same step in all of them: what the
/// steps end for a claim is what the claim itself says, and a weighing ends alike wherever it is asked for.
#[test]
fn until_when_something_can_be_measured_has_one_answer() {
    let dossier = lamp();
    let goes_on = |_| std::ops::ControlFlow::Continue(());
    let findings = methods::examine(&dossier, &Known::default(), &goes_on)
        .unwrap()
        .findings;
    let mut asked: std::collections::BTreeMap<String, Vec<_>> = std::collections::BTreeMap::new();
    for finding in &findings {
        for missing in &finding.missing {
            let until = (missing.before_step.clone(), missing.too_late);
            let own = dossier
                .claims
                .iter()
                .find(|c| finding.id.to_string() == format!("claims.verdict/claims.{}", c.id));
            let told = dossier
                .claims
                .iter()
                .find(|c| missing.settles == Some(record::Place::claim(&c.id)));
            // "clean and read" of a part of the claim is about that part, not about the claim.
            let about = missing.measure.starts_with("clean and magnify");
            if let Some(claim) = own.or(told).filter(|_| !about) {
                let key = format!("claim {}", claim.id);
                asked.entry(key).or_default().push(until.clone());
            }
            if let Some(weighed) = missing.measure.strip_prefix("weigh ") {
                let item = dossier
                    .items
                    .iter()
                    .find(|i| weighed.starts_with(&methods::words::the(i)));
                if let Some(item) = item {
                    asked
                        .entry(format!("weigh {}", item.id))
                        .or_default()
                        .push(until);
                }
            }
        }
    }
    let mut several = 0;
    for (what, answers) in &asked {
        several += usize::from(answers.len() > 1);
        assert!(
            answers.iter().all(|a| a == &answers[0]),
            "{what}: {answers:?}"
        );
    }
    assert!(
        several >= 2,
        "only {several} are asked for twice: {asked:?}"
    );
}

/// The worn marking leaves two parts of one maker; the claim names the maker only.
#[test]
fn a_claim_on_the_maker_holds_when_all_candidates_are_of_that_maker() {
    let sensor = |name: &str, maker: &str| catalogue::Part {
        name: name.into(),
        maker: maker.into(),
        role: "motion sensor".into(),
        packages: vec!["LGA-8".into()],
        pins: Some(8),
        body_mm: Some([3.0, 2.5]),
        ..catalogue::Part::default()
    };
    let verdict = |other: &str| {
        let parts = [sensor("TH310", "Threndova"), sensor("TH31B", other)];
        let known = Known::new(parts.into_iter().collect::<catalogue::Catalogue>());
        let dossier = lamp();
        let case = Case::new(&dossier, &known);
        let findings = methods::claims::examine(&case).unwrap();
        named(&findings, "claims.verdict/claims.motion-sensor").clone()
    };
    let one = verdict("Threndova");
    assert_eq!(one.verdict, Some(Verdict::Holds), "{}", one.sentence);
    assert!(
        one.sentence
            .contains("taken to mean that a motion sensor by Threndova is in it"),
        "{}",
        one.sentence
    );
    let two = verdict("Qvistrand");
    assert_eq!(two.verdict, Some(Verdict::Undecided), "{}", two.sentence);
}

/// What is told of a sentence while it is typed is what the claim is judged by later.
#[test]
fn the_limits_of_a_claim_alone_are_those_it_is_judged_by() {
    let dossier = lamp();
    let findings = answers(claims::examine, &dossier);
    let mut with_limits = 0;
    for claim in &dossier.claims {
        let about = Some(Place::claim(&claim.id));
        let found = findings.iter().find(|f| f.about == about).unwrap();
        let judged = found.judgement.as_ref().and_then(|j| j.limits.clone());
        with_limits += usize::from(judged.is_some());
        assert_eq!(claims::limits(claim), judged, "{}", claim.id);
    }
    assert!(with_limits > 5, "{with_limits}");
}

/// The cell of the lamp is in reach from step 12 on and comes out in step 16: step 15 between them says so too, although
/// no hazard is noted there.
#[test]
fn a_cell_stays_in_reach_until_it_is_out() {
    let dossier = lamp();
    let findings = answers(opening::examine, &dossier);
    let rows = findings.iter().flat_map(|f| &f.details);
    let rows = rows.filter_map(|detail| match detail {
        Detail::Steps { rows } => Some(rows),
        _ => None,
    });
    let careful: Vec<usize> = rows
        .flatten()
        .filter(|row| {
            row.cautions
                .iter()
                .any(|c| c.starts_with("Lithium cell in reach"))
        })
        .map(|row| row.number)
        .collect();
    assert_eq!(careful, [4, 5, 12, 13, 14, 15, 16]);
}

/// What serves two claims is asked for once.
#[test]
fn a_task_stands_once() {
    let findings = answers(opening::examine, &lamp());
    let risk = named(&findings, "opening.evidence");
    let logs = risk
        .missing
        .iter()
        .filter(|m| m.measure.contains("log a full charge"));
    assert_eq!(logs.count(), 1, "{:#?}", risk.missing);
    // No numbers of its own beside those of the report's table.
    let said = &risk.sentence;
    assert!(said.contains("Step 22, still to come, ends"), "{said}");
}

/// A sentence on a run time gives the charge and the current that it follows from.
#[test]
fn run_times_tell_their_current() {
    let findings = answers(methods::runtime::examine, &lamp());
    let high = named(&findings, "runtime.mode.\"high light\"/items.lamp-cell");
    let said = high.sentence.replace('\u{202f}', " ");
    assert!(
        said.ends_with("its usable charge, 628 ± 3 mAh, at the measured 189.6 ± 0.9 mA."),
        "{said}"
    );
    let behind = findings
        .iter()
        .find(|f| f.title.contains("up to 4 h high"))
        .unwrap();
    let said = behind.sentence.replace('\u{202f}', " ");
    assert!(
        said.contains("on high light 189.6 ± 0.9 mA was measured"),
        "{said}"
    );
}
