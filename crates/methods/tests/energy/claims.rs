//! Every kind of claim, with each verdict it can get.

use super::{examine, examine_with, finding};
use methods::{Finding, Verdict, VerdictCounts, verdict_counts};
use record::Place;

/// A device with a socket, a linear charger, a cell, a radio and two modes of use.
const DEVICE: &str = r#"
[[instruments]]
id = "scale"
name = "scale"
resolution = "0.01 g"
accuracy = "0.03 g"
[[items]]
id = "set"
name = "Sample"
kind = "product"
[[items]]
id = "socket"
name = "socket"
kind = "connector"
parent = "set"
contact = { kind = "socket", rating = "5 V ⎓ 1 A" }
[[items]]
id = "charger"
name = "U1"
kind = "part"
parent = "set"
role = "charger"
part = { ratings = { input-absolute-maximum = "7 V" } }
converts = { kind = "linear-charger", output-current-limit = "300 ± 3 mA" }
[[items]]
id = "cell"
name = "cell"
kind = "cell"
parent = "set"
cell = { capacity = "600 mAh", nominal-voltage = "3.7 V", form = "pouch" }
[[items]]
id = "radio"
name = "U2"
kind = "part"
parent = "set"
role = "processor"
provides = ["IEEE 802.15.4"]
part = { identity = { name = "TH-KARN2", maker = "Threndova", certainty = "read" } }
loads = [{ mode = "low", current = "20.0 mA", origin = "measured" }, { mode = "high", current = "150 mA", origin = "measured" }]
[[items]]
id = "motion"
name = "U3"
kind = "part"
parent = "set"
role = "motion sensor"
part = { identity = { name = "TH310", certainty = "inferred" } }
[[items]]
id = "seal"
name = "seal"
kind = "adhesive"
parent = "set"
[[links]]
from = "socket"
to = "charger"
kind = "power"
[[links]]
from = "charger"
to = "cell"
kind = "power"
[[links]]
from = "cell"
to = "radio"
kind = "power"
[[modes]]
name = "low"
complete = true
[[modes]]
name = "high"
complete = true
[[steps]]
id = "open"
action = "pry"
text = "Pry the shell open."
destroys = ["seal"]
undo = "no"
[[readings]]
id = "mass"
item = "set"
what = "mass"
value = "41.32 g"
instrument = "scale"
[[readings]]
id = "width"
item = "set"
what = "width"
value = "52.00 ± 0.10 mm"
[[readings]]
id = "charge"
item = "cell"
what = "charge"
value = "605 ± 2 mAh"
"#;

#[track_caller]
fn judge(claim: &str, more: &str) -> Finding {
    let text = format!(
        "{DEVICE}{more}\n[[claims]]\nid = \"c\"\nour-reading = true\ntext = \"as printed\"\nprinted = \"box\"\n{claim}\n"
    );
    finding(&examine(&text).findings, "claims.verdict/claims.c").clone()
}

#[track_caller]
fn check(claim: &str, expected: Verdict) -> Finding {
    check_with(claim, "", expected)
}

#[track_caller]
fn check_with(claim: &str, more: &str, expected: Verdict) -> Finding {
    let found = judge(claim, more);
    assert_eq!(
        found.verdict,
        Some(expected),
        "{claim}: {} {:?}",
        found.sentence,
        found.unused
    );
    assert!(found.evidence.contains(&Place::claim("c")));
    let open = matches!(expected, Verdict::Undecided | Verdict::NeedsEvidence);
    assert_eq!(
        open,
        !found.missing.is_empty(),
        "{claim}: {:?}",
        found.missing
    );
    if found.conformance.is_some() {
        assert!(
            !found.figures.is_empty() && !found.sources.is_empty() && !found.assumptions.is_empty()
        );
        assert!(found.figures.iter().all(|f| !f.working.is_empty()));
    }
    found
}

const HOLDS: Verdict = Verdict::Holds;
const FAILS: Verdict = Verdict::Fails;
const UNDECIDED: Verdict = Verdict::Undecided;
const NEEDS: Verdict = Verdict::NeedsEvidence;

#[test]
fn a_mass_is_held_against_its_tolerance() {
    let found = check("kind = \"mass\"\nsays = {}\nvalue = \"38 g\"", FAILS);
    assert!(
        found
            .sentence
            .contains("a mass of 37.24 to 38.76\u{202f}g (we allow 2\u{202f}%). It weighs 41.32 ±\u{202f}0.03\u{202f}g. The claim fails"),
        "{}",
        found.sentence
    );
    assert!(
        found
            .sentence
            .ends_with("The claim fails by 2.56\u{202f}g."),
        "{}",
        found.sentence
    );
    check("kind = \"mass\"\nsays = {}\nvalue = \"41 g\"", HOLDS);
    check("kind = \"mass\"\nsays = {}\nvalue = \"up to 42 g\"", HOLDS);
    check(
        "kind = \"mass\"\nsays = {}\nvalue = \"up to 41.32 g\"",
        UNDECIDED,
    );
    check("kind = \"mass\"\nsays = {}\nvalue = \"40-41 g\"", FAILS);
    check(
        "kind = \"mass\"\nsays = {}\nvalue = \"41 g\"\ntolerance = \"0.1 g\"",
        FAILS,
    );
    check(
        "kind = \"mass\"\nsays = {}\nvalue = \"41 g\"\ntolerance = \"2 %\"",
        HOLDS,
    );
    check(
        "kind = \"mass\"\nsays = { item = \"seal\" }\nvalue = \"1 g\"",
        NEEDS,
    );
}

#[test]
fn a_dimension_needs_a_reading() {
    check(
        "kind = \"dimension\"\nsays = { dimension = \"width\" }\nvalue = \"52 mm\"",
        HOLDS,
    );
    check(
        "kind = \"dimension\"\nsays = { dimension = \"width\" }\nvalue = \"50 mm\"",
        FAILS,
    );
    let open = check(
        "kind = \"dimension\"\nsays = { dimension = \"width\" }\nvalue = \"≤ 52.02 mm\"",
        UNDECIDED,
    );
    assert!(
        open.missing[0]
            .resolution
            .as_deref()
            .unwrap()
            .contains("±\u{202f}0.02\u{202f}mm or less"),
        "{:?}",
        open.missing
    );
    check(
        "kind = \"dimension\"\nsays = { dimension = \"height\" }\nvalue = \"10 mm\"",
        NEEDS,
    );
}

#[test]
fn capacity_and_energy_are_held_against_the_cell() {
    check(
        "kind = \"capacity\"\nsays = { item = \"cell\" }\nvalue = \"600 mAh\"",
        HOLDS,
    );
    check(
        "kind = \"capacity\"\nsays = { item = \"cell\" }\nvalue = \"700 mAh\"",
        FAILS,
    );
    check(
        "kind = \"capacity\"\nsays = { item = \"cell\" }\nvalue = \"≥ 605 mAh\"",
        UNDECIDED,
    );
    check(
        "kind = \"capacity\"\nsays = { item = \"seal\" }\nvalue = \"600 mAh\"",
        NEEDS,
    );
    check(
        "kind = \"energy\"\nsays = { item = \"cell\" }\nvalue = \"2.25 Wh\"",
        HOLDS,
    );
    check(
        "kind = \"energy\"\nsays = { item = \"cell\" }\nvalue = \"2.9 Wh\"",
        FAILS,
    );
}

#[test]
fn a_run_time_is_timed_or_computed() {
    let low = "kind = \"run-time\"\nsays = { mode = \"low\" }";
    check(&format!("{low}\nvalue = \"up to 28 h\""), HOLDS);
    check(&format!("{low}\nvalue = \"up to 40 h\""), FAILS);
    check(&format!("{low}\nvalue = \"at least 30.25 h\""), UNDECIDED);
    check(
        "kind = \"run-time\"\nsays = { mode = \"party\" }\nvalue = \"8 h\"",
        NEEDS,
    );
    // Without a mode the best one counts: 30 h low, not 4 h high.
    check(
        "kind = \"run-time\"\nsays = {}\nvalue = \"up to 28 h\"",
        HOLDS,
    );
    // A timed run beats the computation.
    let timed = "[[readings]]\nid = \"t\"\nitem = \"set\"\nwhat = \"run-time\"\nmode = \"low\"\nvalue = \"25.0 ± 0.1 h\"";
    let found = check_with(&format!("{low}\nvalue = \"up to 28 h\""), timed, FAILS);
    assert!(
        found.sentence.contains("ran for 25.00"),
        "{}",
        found.sentence
    );
}

#[test]
fn a_charging_time_is_bound_by_the_charge_current() {
    check(
        "kind = \"charging-time\"\nsays = { item = \"cell\" }\nvalue = \"75 min\"",
        FAILS,
    );
    // The tail of a charge is assumed: it refutes, it proves nothing.
    check(
        "kind = \"charging-time\"\nsays = { item = \"cell\" }\nvalue = \"up to 4 h\"",
        UNDECIDED,
    );
    check(
        "kind = \"charging-time\"\nsays = { item = \"cell\" }\nvalue = \"2.5 h\"",
        UNDECIDED,
    );
    check(
        "kind = \"charging-time\"\nsays = { item = \"seal\" }\nvalue = \"2.5 h\"",
        NEEDS,
    );
}

#[test]
fn minutes_for_hours_follow_from_charge_and_draw() {
    // 300 mA for 10 min is 50 mAh, which lasts 2.5 h at 20 mA.
    let quick = "kind = \"quick-charge\"\nsays = { mode = \"low\" }\nafter = \"10 min\"";
    check(&format!("{quick}\nvalue = \"at least 2 h\""), HOLDS);
    check(&format!("{quick}\nvalue = \"at least 3 h\""), FAILS);
    check(&format!("{quick}\nvalue = \"at least 2.50 h\""), UNDECIDED);
    check(
        "kind = \"quick-charge\"\nsays = { mode = \"party\" }\nafter = \"10 min\"\nvalue = \"2 h\"",
        NEEDS,
    );
}

#[test]
fn recharges_follow_the_chain() {
    let claim = |value: &str| {
        format!(
            "{}\n[[claims]]\nid = \"c\"\ntext = \"{value} recharges\"\nprinted = \"box\"\nsays = {{ item = \"case\" }}\nkind = \"recharges\"\nvalue = \"{value}\"\n",
            super::runtime::chain("kind = \"linear-charger\"", 1, false)
        )
    };
    for (value, verdict) in [("2", HOLDS), ("3", FAILS), ("at least 2.16", UNDECIDED)] {
        let findings = examine(&claim(value));
        let found = finding(&findings.findings, "claims.verdict/claims.c");
        assert_eq!(found.verdict, Some(verdict), "{}", found.sentence);
    }
    check("kind = \"recharges\"\nsays = {}\nvalue = \"3\"", NEEDS);
}

#[test]
fn an_input_rating_is_held_against_label_and_maxima() {
    // The label repeats it, which tests nothing.
    let same = check(
        "kind = \"input\"\nsays = { item = \"socket\" }\nrating = \"5 V ⎓ 1 A\"",
        NEEDS,
    );
    assert!(
        same.sentence.contains("repeated, not tested"),
        "{}",
        same.sentence
    );
    let found = check(
        "kind = \"input\"\nsays = { item = \"socket\" }\nrating = \"9 V ⎓ 2 A\"",
        FAILS,
    );
    assert!(
        found.sentence.contains("the charger U1 withstands 7 V"),
        "{}",
        found.sentence
    );
    check(
        "kind = \"input\"\nsays = { item = \"socket\" }\nrating = \"5 V ⎓ 2 A\"",
        FAILS,
    );
    check(
        "kind = \"input\"\nsays = { item = \"seal\" }\nrating = \"5 V ⎓ 2 A\"",
        NEEDS,
    );
}

#[test]
fn noise_reduction_and_delay_need_readings() {
    check(
        "kind = \"noise-reduction\"\nsays = {}\nvalue = \"≥ 35 dB\"",
        NEEDS,
    );
    let delay = check(
        "kind = \"delay\"\nsays = {}\nvalue = \"up to 50 ms\"",
        NEEDS,
    );
    assert_eq!(delay.missing[0].before_step, Some(Place::step("open")));
    assert!(delay.missing[0].too_late);
    let level = "[[readings]]\nid = \"n\"\nitem = \"set\"\nwhat = \"noise-reduction\"\nvalue = \"36 ± 0.5 dB\"";
    check_with(
        "kind = \"noise-reduction\"\nsays = {}\nvalue = \"≥ 35 dB\"",
        level,
        HOLDS,
    );
    check_with(
        "kind = \"noise-reduction\"\nsays = {}\nvalue = \"≥ 40 dB\"",
        level,
        FAILS,
    );
    check_with(
        "kind = \"noise-reduction\"\nsays = {}\nvalue = \"≥ 36 dB\"",
        level,
        UNDECIDED,
    );
}

#[test]
fn presence_is_as_certain_as_the_identity() {
    check(
        "kind = \"radio\"\nsays = {}\nnames = \"IEEE 802.15.4\"",
        HOLDS,
    );
    check("kind = \"part\"\nsays = {}\nnames = \"TH-KARN2\"", HOLDS);
    check("kind = \"part\"\nsays = {}\nnames = \"TH310\"", UNDECIDED);
    check(
        "kind = \"interface\"\nsays = {}\nnames = \"inductive charging\"",
        NEEDS,
    );
    check(
        "kind = \"function\"\nsays = {}\nnames = \"ambient light sensing\"",
        NEEDS,
    );
}

#[test]
fn what_a_complete_record_does_not_list_is_absent() {
    let claim = "kind = \"radio\"\nsays = {}\nnames = \"ISO/IEC 14443\"";
    let judge_in = |product: &str| {
        let text = format!(
            "{DEVICE}\n[[claims]]\nid = \"c\"\nour-reading = true\ntext = \"as printed\"\nprinted = \"box\"\n{claim}\n"
        );
        finding(
            &examine_with(product, &text).findings,
            "claims.verdict/claims.c",
        )
        .clone()
    };
    assert_eq!(judge_in("").verdict, Some(NEEDS));
    // The charger of the device has no identity: it might be the radio.
    let open = judge_in("complete = true");
    assert_eq!(open.verdict, Some(UNDECIDED), "{}", open.sentence);
    assert!(open.sentence.contains("1 of them is not identified"));
    assert!(!open.missing.is_empty());
    let text = DEVICE.replace(
        "part = { ratings = { input-absolute-maximum = \"7 V\" } }",
        "part = { identity = { name = \"TH-C1\", certainty = \"read\" } }",
    );
    let text = format!(
        "{text}\n[[claims]]\nid = \"c\"\nour-reading = true\ntext = \"as printed\"\nprinted = \"box\"\n{claim}\n"
    );
    let absent = finding(
        &examine_with("complete = true", &text).findings,
        "claims.verdict/claims.c",
    )
    .clone();
    assert_eq!(absent.verdict, Some(FAILS), "{}", absent.sentence);
    assert!(absent.missing.is_empty());
    assert!(absent.evidence.contains(&Place::product().at("complete")));
}

#[test]
fn ingress_and_being_first_need_evidence_from_elsewhere() {
    check("kind = \"ingress\"\nsays = {}\nnames = \"IP54\"", NEEDS);
    check("kind = \"first\"\nsays = {}\nnames = \"radar\"", NEEDS);
}

#[test]
fn a_planned_step_is_not_too_late() {
    let planned = DEVICE.replace("undo = \"no\"", "undo = \"no\"\ndone = false");
    let text = format!(
        "{planned}\n[[claims]]\nid = \"c\"\ntext = \"within 50 ms\"\nprinted = \"box\"\nkind = \"delay\"\nsays = {{}}\nvalue = \"up to 50 ms\"\n"
    );
    let findings = examine(&text).findings;
    let missing = &finding(&findings, "claims.verdict/claims.c").missing[0];
    assert_eq!(missing.before_step, Some(Place::step("open")));
    assert!(!missing.too_late);
}

#[test]
fn verdicts_are_counted_over_claims_only() {
    let text = format!(
        "{DEVICE}\n[[claims]]\nid = \"a\"\ntext = \"38 g\"\nprinted = \"box\"\nkind = \"mass\"\nsays = {{}}\nvalue = \"38 g\"\n[[claims]]\nid = \"b\"\ntext = \"b\"\nprinted = \"box\"\nkind = \"ingress\"\nsays = {{}}\nnames = \"IP54\"\n"
    );
    let counts = verdict_counts(&examine(&text).findings);
    assert_eq!(
        counts,
        VerdictCounts {
            holds: 0,
            fails: 1,
            undecided: 0,
            needs_evidence: 1
        }
    );
}
