//! Claims decided by logs, and predictions from a cell fitted to one.
//!
//! Source of the logs: `crates/logs/tests/published/charging_spm_*.csv`, charges of a single-particle model by PyBaMM
//! 26.10.1.1 (parameter set Chen2020, 5 Ah nominal, to 4.2 V and C/20): no curve of an equivalent circuit, so none of our
//! own; times, charge and energy are those of its summary. Three rows without current are added, in which the charger has
//! ended the charge.

#![allow(
    clippy::disallowed_methods,
    reason = "a test reads the logs that lie beside the crate that reads them"
)]

use super::{dossier, figure, finding, near};
use logs::{Log, Options, read_text};
use methods::{Detail, Finding, Findings, Known, Recorded, Recording, Verdict};
use record::Dossier;
use std::fmt::Write as _;
use std::ops::ControlFlow;
use std::sync::Arc;

/// Seconds to the end, Ah and Wh of the charge at 1C: the summary beside the log.
const END_S: f64 = 5508.761774;
const CHARGE_AH: f64 = 5.084091;
const ENERGY_WH: f64 = 19.789568;

fn text(run: &str) -> String {
    let path = format!(
        "{}/../logs/tests/published/charging_spm_{run}.csv",
        env!("CARGO_MANIFEST_DIR")
    );
    std::fs::read_to_string(path).unwrap()
}

/// The log as a meter that shows a row a minute goes on after the charger has ended it, between two rows.
fn ended(run: &str) -> String {
    let text = text(run);
    let (rows, end) = text.trim_end().rsplit_once('\n').unwrap();
    let end: f64 = end.split(',').next().unwrap().parse().unwrap();
    let mut text = format!("{rows}\n");
    for k in 1..=3 {
        let t = ((end / 60.0).floor() + f64::from(k)) * 60.0;
        writeln!(text, "{t},0.0,4.18,{CHARGE_AH},{ENERGY_WH}").unwrap();
    }
    text
}

/// The rows of a log up to a time.
fn until(text: &str, seconds: f64) -> String {
    let early = |line: &&str| {
        let t = line.split(',').next().unwrap().parse::<f64>();
        t.map_or(true, |t| t <= seconds)
    };
    text.lines()
        .filter(early)
        .fold(String::new(), |all, line| all + line + "\n")
}

fn read(text: &str) -> Log {
    read_text(
        text.as_bytes(),
        "charge.csv",
        &Options::default(),
        &mut |_| true,
    )
    .unwrap()
}

/// A product that charges one cell, whose print is 4 % low.
fn product(log: &str, claims: &str) -> Dossier {
    dossier(&format!(
        r#"
[[instruments]]
id = "meter"
name = "meter"
accuracy = "0.2 %"
[[items]]
id = "set"
name = "Sample"
kind = "product"
[[items]]
id = "socket"
name = "socket"
kind = "connector"
parent = "set"
contact = {{ kind = "socket", rating = "5 V ⎓ 6 A" }}
[[items]]
id = "charger"
name = "U1"
kind = "part"
parent = "set"
role = "charger"
converts = {{ kind = "switched-charger", output-current-limit = "5 A" }}
[[items]]
id = "cell"
name = "cell"
kind = "cell"
parent = "set"
cell = {{ capacity = "4.9 Ah", nominal-voltage = "3.6 V", limit-voltage = "4.2 V", cutoff-voltage = "2.6 V", form = "cylindrical", chemistry = "lithium-ion" }}
[[links]]
from = "socket"
to = "charger"
kind = "power"
[[links]]
from = "charger"
to = "cell"
kind = "power"
[[logs]]
id = "charge"
file = "charge.csv"
item = "cell"
instrument = "meter"
{log}
{claims}"#
    ))
}

const AT_CELL: &str = "what = \"charge\"\nseat = \"cell\"\nfrom = \"empty\"";

fn claim(id: &str, kind: &str, value: &str, more: &str) -> String {
    format!(
        "[[claims]]\nid = \"{id}\"\ntext = \"{value}\"\nprinted = \"box\"\nkind = \"{kind}\"\nvalue = \"{value}\"\n{more}\n"
    )
}

fn examined(dossier: &Dossier, text: &str) -> Findings {
    let mut recorded = Recorded::none();
    let log = &dossier.logs[0];
    recorded.put("charge", Recording::of(read(text), log.seat).map(Arc::new));
    let goes_on = |_| ControlFlow::Continue(());
    methods::examine_with(dossier, &Known::default(), &recorded, &goes_on).unwrap()
}

fn verdict(findings: &Findings, id: &str) -> Option<Verdict> {
    finding(&findings.findings, &format!("claims.verdict/claims.{id}")).verdict
}

fn log(findings: &Findings) -> &Finding {
    finding(&findings.findings, "power.log/logs.charge")
}

#[test]
fn a_log_from_empty_to_full_decides_times_and_capacity() {
    let claims = [
        claim("slow", "charging-time", "≤ 100 min", ""),
        claim("fast", "charging-time", "≤ 80 min", ""),
        claim("holds", "capacity", "≥ 5000 mAh", ""),
        claim("more", "capacity", "≥ 5200 mAh", ""),
    ];
    let dossier = product(AT_CELL, &claims.concat());
    let findings = examined(&dossier, &ended("1C"));
    let said = log(&findings);
    let time = figure(said, "time logged");
    assert!(
        time.interval.low * 60.0 <= END_S && END_S <= time.interval.high * 60.0,
        "{time:?}"
    );
    near(
        figure(said, "charge logged").value,
        CHARGE_AH * 1000.0,
        1e-3,
    );
    near(figure(said, "energy logged").value, ENERGY_WH, 1e-3);
    assert_eq!(verdict(&findings, "slow"), Some(Verdict::Holds));
    assert_eq!(verdict(&findings, "fast"), Some(Verdict::Fails));
    assert_eq!(verdict(&findings, "holds"), Some(Verdict::Holds));
    assert_eq!(verdict(&findings, "more"), Some(Verdict::Fails));
    let evidence = &finding(&findings.findings, "claims.verdict/claims.fast").evidence;
    assert!(
        evidence.iter().any(|e| e.to_string() == "logs.charge"),
        "{evidence:?}"
    );
    // Voltage and current, each with the fitted circuit over it and the phases named.
    let charts = said.details.iter().filter_map(|d| match d {
        Detail::Chart(chart) => Some(chart),
        _ => None,
    });
    let charts: Vec<_> = charts.collect();
    assert_eq!(charts.len(), 2);
    for chart in charts {
        assert_eq!(chart.series.len(), 2, "{}", chart.caption);
        let names: Vec<&str> = chart.divisions.iter().map(|d| d.words.as_str()).collect();
        assert_eq!(names, ["constant current", "constant voltage", "idle"]);
    }
}

/// Without any log the same claims rest on what is printed, and the print of a maker proves nothing.
#[test]
fn without_a_log_a_print_proves_no_capacity() {
    let claims = claim("holds", "capacity", "≥ 4900 mAh", "");
    let dossier = product(AT_CELL, &claims);
    let goes_on = |_| ControlFlow::Continue(());
    let findings = methods::examine(&dossier, &Known::default(), &goes_on).unwrap();
    assert_ne!(verdict(&findings, "holds"), Some(Verdict::Holds));
    assert_eq!(log(&findings).verdict, Some(Verdict::NeedsEvidence));
}

#[test]
fn a_log_from_elsewhere_or_from_nobody_knows_where_decides_nothing() {
    let claims = claim("fast", "charging-time", "≤ 80 min", "")
        + &claim("holds", "capacity", "≥ 5000 mAh", "");
    let stated = [
        "what = \"charge\"\nseat = \"cell\"\nfrom = \"empty\"\norigin = \"data-sheet\"",
        "what = \"charge\"\nseat = \"cell\"",
        "what = \"unknown\"\nseat = \"cell\"\nfrom = \"empty\"",
    ];
    for stated in stated {
        let findings = examined(&product(stated, &claims), &ended("1C"));
        assert_ne!(
            verdict(&findings, "holds"),
            Some(Verdict::Holds),
            "{stated}"
        );
        let told = finding(&findings.findings, "claims.verdict/claims.fast");
        assert!(!told.sentence.contains("logged"), "{}", told.sentence);
    }
}

/// The first half of a charge, through which the meter was taken off: the cell fitted to it predicts when it is full.
#[test]
fn half_a_log_predicts_the_whole_charge() {
    let claims = claim("full", "charging-time", "≤ 150 min", "");
    let dossier = product(AT_CELL, &claims);
    let findings = examined(&dossier, &until(&text("1C"), END_S / 2.0));
    let charge = finding(&findings.findings, "power.charge/items.cell");
    let time = figure(charge, "charging time of cell");
    let seconds = |minutes: f64| minutes * time.unit.factor();
    let (low, high) = (seconds(time.interval.low), seconds(time.interval.high));
    assert!(
        low <= END_S && END_S <= high,
        "{low} to {high}: {}",
        charge.sentence
    );
    assert!(high - low < 0.6 * END_S, "{low} to {high}");
    assert!(
        charge
            .assumptions
            .iter()
            .any(|a| a.contains("fitted to the log charge")),
        "{:?}",
        charge.assumptions
    );
    // Resistances are no longer those of any cell.
    assert!(
        !charge
            .assumptions
            .iter()
            .any(|a| a.contains("voltage drop at once"))
    );
}

/// A meter at the socket tells the power that was taken, and no capacity.
#[test]
fn a_log_at_a_socket_tells_the_power_and_the_time() {
    let at_socket =
        ended("1C")
            .lines()
            .skip(1)
            .fold("t_s,current_a,voltage_v\n".to_string(), |all, line| {
                let cells: Vec<f64> = line.split(',').map(|c| c.parse().unwrap()).collect();
                // A switched charger of 90 % at 5 V.
                let amperes = cells[1] * cells[2] / 0.9 / 5.0;
                all + &format!("{},{amperes},5.0\n", cells[0])
            });
    let claims = [
        claim("watts", "power", "≥ 20 W", "says = { item = \"socket\" }"),
        claim("slow", "charging-time", "≤ 100 min", ""),
        claim("holds", "capacity", "≥ 5000 mAh", ""),
    ];
    let stated = "what = \"charge\"\nseat = \"socket\"\nfrom = \"empty\"";
    let mut dossier = product(stated, &claims.concat());
    dossier.logs[0].item = "socket".into();
    let findings = examined(&dossier, &at_socket);
    assert_eq!(verdict(&findings, "watts"), Some(Verdict::Holds));
    assert_eq!(verdict(&findings, "slow"), Some(Verdict::Holds));
    assert_ne!(verdict(&findings, "holds"), Some(Verdict::Holds));
    // The charge takes its most where the current is full and the voltage highest: 5 A at 4.2 V.
    near(
        figure(log(&findings), "highest mean power over 60 seconds").value,
        21.0 / 0.9,
        0.01,
    );
}

/// The charge taken backwards is a discharge of the same length.
#[test]
fn a_discharge_in_use_tells_run_time_and_capacity() {
    let header = "t_s,current_a,voltage_v\n".to_string();
    let rows: Vec<String> = ended("1C").lines().skip(1).map(String::from).collect();
    let last = rows.len() - 4;
    let cells = |row: &str| -> Vec<f64> { row.split(',').map(|c| c.parse().unwrap()).collect() };
    let length = cells(&rows[last])[0];
    let mut backwards = header;
    for row in rows[..=last].iter().rev() {
        let c = cells(row);
        let _ = writeln!(backwards, "{},{},{}", length - c[0], -c[1], c[2]);
    }
    for k in 1..=3 {
        let _ = writeln!(backwards, "{},0.0,2.9", length + f64::from(k) * 10.0);
    }
    let stated = "what = \"discharge\"\nseat = \"cell\"\nfrom = \"full\"\nmode = \"on\"\ncolumns = { first-row = 2, header = 1, sign = \"as-written\", time = { column = 1, form = \"number\", unit = \"s\" }, current = { column = 2, unit = \"A\" }, voltage = { column = 3, unit = \"V\" } }";
    let claims = [
        claim("long", "run-time", "≥ 1.4 h", ""),
        claim("longer", "run-time", "≥ 1.8 h", ""),
        claim("other", "run-time", "≥ 1.4 h", "says = { mode = \"low\" }"),
        claim("holds", "capacity", "≥ 5000 mAh", ""),
    ];
    let findings = examined(&product(stated, &claims.concat()), &backwards);
    assert_eq!(
        verdict(&findings, "long"),
        Some(Verdict::Holds),
        "{:?}",
        log(&findings).sentence
    );
    assert_eq!(verdict(&findings, "longer"), Some(Verdict::Fails));
    assert_ne!(verdict(&findings, "other"), Some(Verdict::Holds));
    assert_eq!(verdict(&findings, "holds"), Some(Verdict::Holds));
}
