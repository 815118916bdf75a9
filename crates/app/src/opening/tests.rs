//! Steps begun and finished in the demonstration's and in small dossiers, as text.

use super::*;
use methods::Known;
use record::{AnyFile, Draft, read_step};
use std::ops::ControlFlow;

const DEMO: &str = include_str!("../../../../demo/lamp/dossier.toml");

struct Bench(Draft);

impl Bench {
    fn of(text: &str) -> Self {
        Self(Draft::parse(text, "dossier.toml").expect("it reads"))
    }

    fn dossier(&self) -> Dossier {
        self.0.check(&AnyFile).expect("it checks")
    }

    fn make(&mut self, edits: &[Edit]) {
        for edit in edits {
            self.0.apply(edit).expect("it can be made");
        }
    }

    fn findings(&self) -> Findings {
        let go_on = |_: methods::Progress| ControlFlow::Continue(());
        methods::examine(&self.dossier(), &Known::default(), &go_on).expect("nothing stops it")
    }
}

const AT: &str = "2026-03-01T14:05:00+01:00";
const LATER: &str = "2026-03-01T14:09:12+01:00";

#[test]
fn a_step_runs_until_it_is_stopped_and_is_done_only_then() {
    let mut bench = Bench::of(DEMO);
    let proposal = read_step("unclip touch strip", &bench.dossier()).remove(0);
    let id = proposal.entry["id"].as_str().expect("an id").to_string();
    bench.make(&start(&bench.dossier(), &proposal, AT));
    let dossier = bench.dossier();
    assert_eq!(running(&dossier).map(|s| s.id.as_str()), Some(id.as_str()));
    // Behind what was done, before what is planned.
    let order: Vec<&str> = dossier.steps.iter().map(|s| s.id.as_str()).collect();
    assert_eq!(order[order.len() - 2..], [id.as_str(), "cut-lens"]);
    bench.make(&stop(&id, LATER));
    let dossier = bench.dossier();
    let step = dossier.step(&id).expect("it is there");
    assert!(step.done && running(&dossier).is_none());
    assert_eq!(step.took().expect("a time").text, "4.2 min");
    // Who stops it second is told.
    let again = stop(&id, LATER);
    assert!(bench.0.apply(&again[0]).is_err());
}

#[test]
fn a_planned_time_is_no_reading_of_the_step() {
    let mut bench = Bench::of(DEMO);
    let planned = read_step("saw lens", &bench.dossier()).remove(0);
    assert_eq!(planned.planned.as_deref(), Some("cut-lens"));
    bench.make(&start(&bench.dossier(), &planned, AT));
    bench.make(&stop("cut-lens", LATER));
    let dossier = bench.dossier();
    let took = dossier
        .step("cut-lens")
        .and_then(|step| step.took().map(|t| t.text.clone()));
    assert_eq!(took.as_deref(), Some("4.2 min"));
}

/// The saw parts what the delay to a touch and the mass of the ring are taken on.
#[test]
fn what_a_planned_step_ends_is_told_with_the_claim_that_needs_it() {
    let bench = Bench::of(DEMO);
    let ends = ends(&bench.dossier(), &bench.findings(), "cut-lens");
    let whys: Vec<&str> = ends
        .iter()
        .flat_map(|t| t.why.iter().map(|why| why.words.as_str()))
        .collect();
    assert!(
        whys.contains(&"“Answers a touch within 50 ms.”"),
        "{whys:?}"
    );
    let delay = ends
        .iter()
        .find_map(|t| t.reading.as_ref().filter(|r| r.what == "delay"));
    assert!(delay.is_some(), "{ends:?}");
}

#[test]
fn cautions_of_a_step_are_those_of_the_method() {
    let bench = Bench::of(DEMO);
    let said = cautions(&bench.findings(), "heat-front");
    assert!(
        said.iter().any(|text| text.contains("Hot surfaces")),
        "{said:?}"
    );
    assert!(cautions(&bench.findings(), "nothing").is_empty());
}

#[test]
fn what_is_still_in_place_beside_the_thing_may_come_free() {
    let text = DEMO.replace("\ndone = false\n", "\n");
    let plain = Bench::of(&text).dossier();
    let step = plain.step("lift-lamp-main").expect("it is there");
    let named = may_come_free(&plain, step);
    let ids: Vec<&str> = named.iter().map(|i| i.id.as_str()).collect();
    assert!(!ids.contains(&"lamp-cell"), "a step freed it: {ids:?}");
    assert!(ids.contains(&"lamp-mcu"), "it is on the board: {ids:?}");
}

#[test]
fn chapters_follow_the_clock() {
    let text = DEMO
        .replacen("id = \"part-lamp\"\n", "id = \"part-lamp\"\nstarted = 2026-03-01T14:05:00+01:00\nstopped = 2026-03-01T14:05:06+01:00\n", 1)
        .replacen("id = \"peel-foot\"\n", "id = \"peel-foot\"\nstarted = 2026-03-01T14:06:00+01:00\nstopped = 2026-03-01T15:08:00+01:00\n", 1)
        .replace("Peel the rubber foot off", "Peel the <rubber> foot & off");
    let chapters = chapters(&Bench::of(&text).dossier());
    let vtt = chapters_vtt(&chapters, 10);
    assert_eq!(
        vtt,
        "WEBVTT\n\n1\n00:00:10.000 --> 00:00:16.000\nTake the lamp off the magnet of the cradle.\n\n2\n\
         00:01:10.000 --> 01:03:10.000\nPeel the &lt;rubber&gt; foot &amp; off from one corner; six screws appear.\n"
    );
}

#[test]
fn moments_are_those_the_record_reads() {
    let at: ZonedDateTime = "2026-03-01T14:05:00.7+01:00[+01:00]"
        .parse()
        .expect("a time");
    assert_eq!(moment(&at), AT);
    assert!(moment(&at).parse::<Moment>().is_ok());
}
