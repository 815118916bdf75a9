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
        let into = figure(path, "greatest power from socket into cell").value;
        let taken = figure(path, "power taken at socket for cell").value;
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
        near(
            figure(path, "heat in charger fed from socket").value,
            watts,
            1e-9,
        );
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
    near(
        figure(path, "power taken at socket for cell").value,
        10.0,
        1e-9,
    );
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
        120.0,
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

/// A socket of 5 V and 1 A, a stage of which nothing is known, a cell of 3.7 V and 600 mAh.
fn unknown_stage() -> String {
    linear("5.0 V", "0.8 A", "3.7 V")
        .replace("5.0 V ⎓ 2 A", "5.0 V ⎓ 1 A")
        .replace(
            "converts = { kind = \"linear-charger\", output-current-limit = \"0.8 A\" }",
            "converts = { kind = \"unknown\" }",
        )
}

/// A stage that passes current lets 1 A into the cell; one that passes energy η · 5 V ÷ 3.7 V · 1 A, which for every
/// η over 0.74 is more. Both ways of the range are told, and what stays is narrower.
#[test]
fn an_unknown_stage_is_told_by_what_knowing_it_would_narrow() {
    let dossier = dossier(&unknown_stage());
    let told = power::narrowings(
        &dossier,
        &methods::Known::default(),
        &methods::Recorded::none(),
    )
    .unwrap();
    assert_eq!(told.too_many, None);
    let [narrowing] = told.found.as_slice() else {
        panic!("{told:?}");
    };
    assert_eq!(narrowing.item, "charger");
    assert!(narrowing.left < 0.95, "{narrowing:?}");
    let kinds: Vec<_> = narrowing.then.iter().map(|(kind, _)| *kind).collect();
    use record::ConversionKind::{LinearCharger, SwitchedCharger};
    assert_eq!(kinds, [LinearCharger, SwitchedCharger]);
    // The ranges are those of the same record with the stage known.
    for (kind, word) in [
        (LinearCharger, "linear-charger"),
        (SwitchedCharger, "switched-charger"),
    ] {
        let known = unknown_stage().replace("kind = \"unknown\"", &format!("kind = \"{word}\""));
        let findings = answers(power::examine, &super::dossier(&known));
        let figure = findings
            .iter()
            .filter(|f| f.id == narrowing.figure.finding)
            .flat_map(|f| &f.figures)
            .find(|f| f.key == narrowing.figure.key)
            .unwrap();
        let (low, high) = (figure.interval.low, figure.interval.high);
        let text = quantity::Figure::told(f64::midpoint(low, high), (low, high), &[], &figure.unit);
        assert!(
            narrowing.then.contains(&(kind, text.clone())),
            "{text}: {narrowing:?}"
        );
    }
}

#[test]
fn what_is_known_and_what_is_unknown_too_often_is_not_computed_over() {
    let known = dossier(&linear("5.0 V", "0.8 A", "3.7 V"));
    let told = power::narrowings(
        &known,
        &methods::Known::default(),
        &methods::Recorded::none(),
    )
    .unwrap();
    assert_eq!(told, power::Narrowings::default());
    let mut text = unknown_stage();
    for n in 0..4 {
        text = text.replace(
            "[[links]]\nfrom = \"charger\"",
            &format!(
                "[[items]]\nid = \"u{n}\"\nname = \"u{n}\"\nkind = \"part\"\nparent = \"set\"\n\
                 [[links]]\nfrom = \"socket\"\nto = \"u{n}\"\nkind = \"power\"\n\
                 [[links]]\nfrom = \"u{n}\"\nto = \"cell\"\nkind = \"power\"\n\
                 [[links]]\nfrom = \"charger\""
            ),
        );
    }
    let told = power::narrowings(
        &dossier(&text),
        &methods::Known::default(),
        &methods::Recorded::none(),
    )
    .unwrap();
    assert_eq!(told.too_many, Some(5));
}

/// Slips are named with every item where they show; what is charged and gives is no ring.
#[test]
fn slips_in_the_links_are_named_at_every_end() {
    let sound = linear("5.0 V", "0.8 A", "3.7 V");
    assert_eq!(power::mistakes(&dossier(&sound)), []);
    let link = |from: &str, to: &str| {
        format!("[[links]]\nfrom = \"{from}\"\nto = \"{to}\"\nkind = \"power\"\n")
    };
    let fed_by_cell = format!("{sound}{}", link("cell", "charger"));
    assert_eq!(power::mistakes(&dossier(&fed_by_cell)), []);
    let board = "[[items]]\nid = \"board\"\nname = \"board\"\nkind = \"board\"\nparent = \"set\"\n";
    let ring = format!(
        "{sound}{board}{}{}",
        link("charger", "board"),
        link("board", "charger")
    );
    let told = power::mistakes(&dossier(&ring));
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].at, ["charger", "board"]);
    let unfed = sound.replace(
        "from = \"charger\"\nto = \"cell\"",
        "from = \"cell\"\nto = \"charger\"",
    );
    let told = power::mistakes(&dossier(&unfed));
    assert_eq!(
        told.iter().map(|m| m.at.clone()).collect::<Vec<_>>(),
        [["cell"]],
        "{told:?}"
    );
    let two = sound.replace(
        "converts = { kind = \"linear-charger\", output-current-limit = \"0.8 A\" }",
        "converts = { kind = \"linear-charger\", output-current-limit = \"0.8 A\" }\n\
         part = { ratings = { charge-current-limit = \"0.5 A\" } }",
    );
    let told = power::mistakes(&dossier(&two));
    assert!(
        told[0].text.contains("0.8 A") && told[0].text.contains("0.5 A"),
        "{told:?}"
    );
    assert_eq!(told[0].at, ["charger"]);
}

/// Source: charges of a single-particle model, parameter set Chen2020, to C/20 (computed with
/// PyBaMM 26.10.1.1): their ends lie in the simulated interval, though the model is another.
#[test]
fn a_simulated_charge_covers_the_end_of_another_model() {
    for (amps, end_s) in [("2.5 A", 8593.320), ("5 A", 5508.762), ("10 A", 4281.043)] {
        let record = linear("5 V", amps, "3.6 V").replace("⎓ 2 A", "⎓ 20 A");
        let record = record.replace(
            "capacity = \"600 mAh\", nominal-voltage = \"3.6 V\", form = \"pouch\"",
            "capacity = \"5.084 Ah\", nominal-voltage = \"3.6 V\", limit-voltage = \"4.2 V\", form = \"cylindrical\"",
        );
        let findings = answers(power::examine, &dossier(&record));
        let charge = finding(&findings, "power.charge/items.cell");
        let full = figure(charge, "charging time of cell");
        let [low, high] = [full.interval.low, full.interval.high].map(|minutes| minutes * 60.0);
        assert!(
            low < end_s && end_s < high,
            "{amps}: {} for {end_s} s",
            full.text
        );
        assert!(
            charge.sentence.contains("is simulated"),
            "{}",
            charge.sentence
        );
    }
}

#[test]
fn more_current_never_charges_slower() {
    let minutes = |amps: &str| {
        let findings = answers(power::examine, &dossier(&linear("5 V", amps, "3.7 V")));
        figure(
            finding(&findings, "power.charge/items.cell"),
            "charging time of cell",
        )
        .value
    };
    let times = ["0.1 A", "0.2 A", "0.3 A", "0.6 A", "1.2 A"].map(minutes);
    assert!(times.is_sorted_by(|a, b| a > b), "{times:?}");
}
