//! What each link carries.
//!
//! Source: closed forms. The same current enters and leaves a linear stage; a switched one passes energy,
//! I in = I out × U out ÷ (efficiency × U in); currents into branches add up (Kirchhoff's first law).

use super::{answers, dossier, finding};
use methods::{Detail, PowerMap, power};

const HEAD: &str = "[[items]]\nid = \"set\"\nname = \"Sample\"\nkind = \"product\"\n";

fn item(id: &str, rest: &str) -> String {
    let kind = if id == "cell" { "cell" } else { "part" };
    format!(
        "[[items]]\nid = \"{id}\"\nname = \"{id}\"\nkind = \"{kind}\"\nparent = \"set\"\n{rest}\n"
    )
}

fn link(from: &str, to: &str) -> String {
    format!("[[links]]\nfrom = \"{from}\"\nto = \"{to}\"\nkind = \"power\"\n")
}

const CELL: &str =
    "cell = { capacity = \"600 mAh\", nominal-voltage = \"3.6 V\", form = \"pouch\" }";
const SOCKET: &str = "contact = { kind = \"socket\", rating = \"5 V ⎓ 2 A\" }";

fn map(tables: &[String]) -> PowerMap {
    let findings = answers(
        power::examine,
        &dossier(&format!("{HEAD}{}", tables.concat())),
    );
    let Some(Detail::Power(map)) = finding(&findings, "power.map").details.first() else {
        panic!("no map")
    };
    map.clone()
}

/// What is told on the arrow between two items, narrow spaces as plain ones.
#[track_caller]
fn carries(map: &PowerMap, from: &str, to: &str) -> String {
    let edge = map.edges.iter().find(|e| e.from == from && e.to == to);
    let told = edge.expect("the link is drawn").label().printed();
    told.replace('\u{202f}', " ")
}

#[test]
fn the_same_current_enters_and_leaves_a_linear_charger() {
    let charger = "converts = { kind = \"linear-charger\", output-current-limit = \"0.5 A\" }";
    let map = map(&[
        item("socket", SOCKET),
        item("charger", charger),
        item("cell", CELL),
        link("socket", "charger"),
        link("charger", "cell"),
    ]);
    // 5 V × 0.5 A = 2.5 W in, 3.6 V × 0.5 A = 1.8 W out.
    assert_eq!(
        carries(&map, "socket", "charger"),
        "5 V, at most 0.50 A, 2.5 W"
    );
    assert!(
        carries(&map, "charger", "cell").ends_with("at most 0.50 A, 1.8 W"),
        "{}",
        carries(&map, "charger", "cell")
    );
}

#[test]
fn a_link_before_a_switched_charger_carries_what_the_energy_needs() {
    let charger = "converts = { kind = \"switched-charger\", efficiency = \"90 %\", output-current-limit = \"1 A\" }";
    let map = map(&[
        item("socket", SOCKET),
        item("switch", "role = \"switch\""),
        item("charger", charger),
        item("cell", CELL),
        link("socket", "switch"),
        link("switch", "charger"),
        link("charger", "cell"),
    ]);
    // 1 A × 3.6 V ÷ (0.9 × 5 V) = 0.8 A, on every link before the charger.
    for (from, to) in [("socket", "switch"), ("switch", "charger")] {
        let told = carries(&map, from, to);
        assert!(
            told.contains("at most 0.8") && told.contains("4.0"),
            "{told}"
        );
    }
}

/// A regulator of 0.15 A with two loads: 0.15 A each at most, and 0.15 A together.
#[test]
fn loads_behind_one_limit_do_not_add_up_beyond_it() {
    let regulator = "converts = { kind = \"linear-regulator\", output-voltage = \"3.0 V\", output-current-limit = \"0.15 A\" }";
    let map = map(&[
        item("cell", CELL),
        item("regulator", regulator),
        item("one", ""),
        item("two", ""),
        link("cell", "regulator"),
        link("regulator", "one"),
        link("regulator", "two"),
    ]);
    for (from, to) in [
        ("cell", "regulator"),
        ("regulator", "one"),
        ("regulator", "two"),
    ] {
        let told = carries(&map, from, to);
        assert!(told.contains("at most 0.15"), "{from} to {to}: {told}");
    }
}

/// Two regulators of 0.15 A and 0.10 A behind one switch: 0.25 A reach the switch, or what the switch lets pass.
#[test]
fn branches_add_up_as_far_as_what_lies_before_them_lets_them() {
    let regulator = |amps: &str| {
        format!(
            "converts = {{ kind = \"linear-regulator\", output-voltage = \"3.0 V\", output-current-limit = \"{amps}\" }}"
        )
    };
    let tables = |switch: &str| {
        [
            item("cell", CELL),
            item("switch", switch),
            item("first", &regulator("0.15 A")),
            item("second", &regulator("0.10 A")),
            item("one", ""),
            item("two", ""),
            link("cell", "switch"),
            link("switch", "first"),
            link("switch", "second"),
            link("first", "one"),
            link("second", "two"),
        ]
    };
    let open = map(&tables("role = \"switch\""));
    let told = carries(&open, "cell", "switch");
    assert!(told.contains("at most 0.25"), "{told}");
    let limited = map(&tables(
        "converts = { kind = \"switch\", output-current-limit = \"0.2 A\" }",
    ));
    let told = carries(&limited, "cell", "switch");
    assert!(
        told.contains("at most 0.2") && !told.contains("0.25"),
        "{told}"
    );
    let told = carries(&limited, "switch", "first");
    assert!(told.contains("at most 0.15"), "{told}");
}

/// 3.6 V × 1.1 mA = 4.0 mW, 3.6 V × 0.018 mA = 0.065 mW.
#[test]
fn without_a_limit_the_range_of_what_is_drawn_is_told() {
    let loads = "loads = [\n  { mode = \"standby\", current = \"0.018 mA\" },\n  { mode = \"on\", current = \"1.1 mA\" },\n]";
    let map = map(&[
        item("cell", CELL),
        item("processor", loads),
        link("cell", "processor"),
    ]);
    let told = carries(&map, "cell", "processor");
    assert!(
        told.ends_with("draws 0.018 to 1.1 mA, 0.065 to 4.0 mW"),
        "{told}"
    );
}

/// A charger of which nothing is known: no value is made up for what it passes; its contact is rated.
#[test]
fn an_unknown_charger_is_told_by_its_contact_alone() {
    let map = map(&[
        item("socket", SOCKET),
        item("charger", "converts = { kind = \"linear-charger\" }"),
        item("cell", CELL),
        link("socket", "charger"),
        link("charger", "cell"),
    ]);
    assert_eq!(carries(&map, "socket", "charger"), "5 V, at most 2 A, 10 W");
}
