//! Limits along paths, label arithmetic, voltages.

use super::{answers, dossier, figure, finding, near};
use methods::{Detail, PathRole, Verdict, power};

const ROOT: &str = "[[items]]\nid = \"set\"\nname = \"Sample\"\nkind = \"product\"\n";

/// A socket, a linear charger and a cell.
fn linear(volts: &str, amps: &str, cell: &str) -> String {
    format!(
        r#"
[[items]]
id = "set"
name = "Sample"
kind = "product"
[[items]]
id = "socket"
name = "socket"
kind = "connector"
parent = "set"
contact = {{ kind = "socket", rating = "{volts} ⎓ 2 A" }}
[[items]]
id = "charger"
name = "charger"
kind = "part"
parent = "set"
converts = {{ kind = "linear-charger", output-current-limit = "{amps}" }}
[[items]]
id = "cell"
name = "cell"
kind = "cell"
parent = "set"
cell = {{ capacity = "600 mAh", nominal-voltage = "{cell}", form = "pouch" }}
[[links]]
from = "socket"
to = "charger"
kind = "power"
[[links]]
from = "charger"
to = "cell"
kind = "power"
"#
    )
}

/// Source: efficiency of a linear charger = V cell ÷ V in, as the same current flows in and out
/// (quiescent current ignored); rows computed from this relation.
#[test]
fn a_linear_charger_passes_current_so_its_efficiency_is_the_ratio_of_voltages() {
    for (volts, cell, percent) in [
        ("5.0 V", "3.0 V", 60.00),
        ("5.0 V", "3.6 V", 72.00),
        ("5.0 V", "3.7 V", 74.00),
        ("5.0 V", "3.85 V", 77.00),
        ("5.0 V", "4.2 V", 84.00),
        ("9.0 V", "3.7 V", 41.11),
    ] {
        let findings = answers(power::examine, &dossier(&linear(volts, "0.8 A", cell)));
        let path = finding(&findings, "power.path.socket.charger.cell/items.cell");
        let into = figure(path, "greatest power into cell").value;
        let taken = figure(path, "power taken at socket").value;
        near(100.0 * into / taken, percent, 1e-4);
    }
}

/// Source: a published battery-charger tutorial: 0.8 A from 5 V into a cell of 4.2 V to 2.5 V heats
/// the charger with 0.6 W to 2.0 W; computed 0.64 W and 2.00 W.
#[test]
fn heat_in_a_linear_charger_matches_the_published_example() {
    for (cell, watts) in [("4.2 V", 0.64), ("2.5 V", 2.00)] {
        let findings = answers(power::examine, &dossier(&linear("5 V", "0.8 A", cell)));
        let path = finding(&findings, "power.path.socket.charger.cell/items.cell");
        near(figure(path, "heat in charger").value, watts, 1e-9);
    }
}

#[track_caller]
fn label(rating: &str) -> (Verdict, String) {
    let tables = format!(
        "{ROOT}[[product.labels]]\nid = \"l\"\nplace = \"base\"\ntext = \"rating\"\ninput = \"{rating}\"\n"
    );
    let findings = answers(power::examine, &dossier(&tables));
    let found = finding(&findings, "power.label.input/label:l");
    (found.verdict.expect("a verdict"), found.sentence.clone())
}

/// Sources: IEC 63002:2021, 4.4 (0.5 A, 0.9 A, 1.5 A, 3.0 A at 5 V: 2.5 W, 4.5 W, 7.5 W, 15 W); published
/// worked example of the power rules (50 W: 3 A at 5 V, 9 V and 15 V, 2.5 A at 20 V); extended range
/// 28 V, 36 V, 48 V at 5 A: 140 W, 180 W, 240 W.
#[test]
fn published_ratings_agree_with_volts_times_amperes() {
    for rating in [
        "5 V ⎓ 0.5 A, 2.5 W",
        "5 V ⎓ 0.9 A, 4.5 W",
        "5 V ⎓ 1.5 A, 7.5 W",
        "5 V ⎓ 3.0 A, 15 W",
        "9 V ⎓ 3 A, 27 W",
        "15 V ⎓ 3 A, 45 W",
        "20 V ⎓ 2.5 A, 50 W",
        "28 V ⎓ 5 A, 140 W",
        "36 V ⎓ 5 A, 180 W",
        "48 V ⎓ 5 A, 240 W",
        "9 V ⎓ 1.67 A, 15 W",
        "5 V ⎓ 0.5 A, 3 W",
    ] {
        assert_eq!(label(rating).0, Verdict::Holds, "{rating}");
    }
}

#[test]
fn a_printed_power_beyond_rounding_fails() {
    let (verdict, sentence) = label("9.0 V ⎓ 1.50 A, 18 W");
    assert_eq!(verdict, Verdict::Fails);
    assert!(
        sentence.contains("13.5\u{202f}W, but 18 W is printed"),
        "{sentence}"
    );
}

#[test]
fn a_rating_far_above_the_path_is_explained() {
    let findings = answers(power::examine, &dossier(&linear("9 V", "0.30 A", "3.7 V")));
    let path = finding(&findings, "power.path.socket.charger.cell/items.cell");
    assert!(
        path.sentence
            .contains("the charge current limit of the charger limits it"),
        "{}",
        path.sentence
    );
    assert!(
        path.sentence.contains("6.7 times the 2.7\u{202f}W"),
        "{}",
        path.sentence
    );
    assert!(
        path.sentence.contains("not a charging speed"),
        "{}",
        path.sentence
    );
    let Some(Detail::Power(map)) = finding(&findings, "power.map").details.first() else {
        panic!("no map")
    };
    let binds: Vec<&str> = map
        .nodes
        .iter()
        .filter(|n| n.binds)
        .map(|n| n.item.as_str())
        .collect();
    assert_eq!(binds, ["charger"]);
    let sorts: Vec<PathRole> = map.nodes.iter().map(|n| n.sort).collect();
    assert_eq!(
        sorts,
        [PathRole::Contact, PathRole::Converter, PathRole::Cell]
    );
}

/// Closed form: a switched charger of 90 % carries 2 A at 5 V as 0.9 × 5 ÷ 3.6 × 2 A = 2.5 A.
#[test]
fn a_switched_charger_passes_energy() {
    let tables = linear("5 V", "3 A", "3.6 V").replace(
        "kind = \"linear-charger\"",
        "kind = \"switched-charger\", efficiency = \"90 %\"",
    );
    let findings = answers(power::examine, &dossier(&tables));
    let path = finding(&findings, "power.path.socket.charger.cell/items.cell");
    near(path.figures[0].value, 2.5, 1e-9);
    near(figure(path, "power taken at socket").value, 10.0, 1e-9);
    assert!(
        path.sentence
            .contains("the rated current of the socket limits it"),
        "{}",
        path.sentence
    );
}

#[test]
fn equal_devices_share_what_the_path_passes() {
    let tables = linear("5 V", "0.25 A", "3.7 V").replace(
        "[[items]]\nid = \"charger\"\nname = \"charger\"\nkind = \"part\"\nparent = \"set\"",
        "[[items]]\nid = \"bud\"\nname = \"bud\"\nkind = \"assembly\"\nparent = \"set\"\ncount = 2\n[[items]]\nid = \"charger\"\nname = \"charger\"\nkind = \"part\"\nparent = \"bud\"",
    ).replace("kind = \"cell\"\nparent = \"set\"", "kind = \"cell\"\nparent = \"bud\"");
    let findings = answers(power::examine, &dossier(&tables));
    let path = finding(&findings, "power.path.socket.charger.cell/items.cell");
    near(path.figures[0].value, 0.5, 1e-9);
    let charge = finding(&findings, "power.charge/items.cell");
    near(
        charge.figures[0].value * charge.figures[0].unit.factor(),
        0.25,
        1e-9,
    );
}

#[track_caller]
fn voltage(volts: &str, ratings: &str) -> Verdict {
    let tables = linear(volts, "0.3 A", "3.7 V").replace(
        "converts = { kind = \"linear-charger\"",
        &format!("part = {{ ratings = {{ {ratings} }} }}\nconverts = {{ kind = \"linear-charger\""),
    );
    let findings = answers(power::examine, &dossier(&tables));
    finding(&findings, "power.voltage/items.socket")
        .verdict
        .expect("a verdict")
}

#[test]
fn a_printed_voltage_is_held_against_what_parts_stand() {
    assert_eq!(
        voltage("5 V", "input-absolute-maximum = \"7 V\""),
        Verdict::Holds
    );
    assert_eq!(
        voltage("9 V", "input-absolute-maximum = \"7 V\""),
        Verdict::Fails
    );
    assert_eq!(
        voltage(
            "9 V",
            "input-absolute-maximum = \"28 V\", over-voltage-threshold = \"6.5 V\""
        ),
        Verdict::Fails
    );
    assert_eq!(
        voltage("5 V", "efficiency = \"74 %\""),
        Verdict::NeedsEvidence
    );
}

#[test]
fn the_least_charging_time_is_capacity_over_current() {
    let findings = answers(power::examine, &dossier(&linear("5 V", "0.3 A", "3.7 V")));
    let charge = finding(&findings, "power.charge/items.cell");
    near(
        figure(charge, "least charging time of cell").value,
        2.0,
        1e-9,
    );
    assert!(!charge.cautions.is_empty());
}

#[test]
fn a_record_without_links_says_what_is_missing() {
    let findings = answers(power::examine, &dossier(ROOT));
    assert_eq!(findings[0].verdict, Some(Verdict::NeedsEvidence));
    assert!(!findings[0].missing.is_empty());
}

/// A charger of 1 A is one of 1000 mA: the interval is that of its kind, not of the digits.
#[test]
fn the_writing_of_a_limit_changes_no_interval() {
    let of = |limit: &str| {
        let findings = answers(power::examine, &dossier(&linear("5 V", limit, "3.7 V")));
        let charge = finding(&findings, "power.charge/items.cell");
        let figure = &charge.figures[0];
        let factor = figure.unit.factor();
        (figure.value * factor, figure.standard_uncertainty * factor)
    };
    let (value, u) = of("1 A");
    // Rectangular, ± 10 %: 0.1 A ÷ √3.
    near(u, 0.1 / 3.0_f64.sqrt(), 1e-9);
    for limit in ["1000 mA", "1.0 A", "1.000 A", "1000000 µA"] {
        let (other, of_other) = of(limit);
        near(other, value, 1e-12);
        near(of_other, u, 1e-9);
    }
}
