//! Primary and secondary of invented mains supplies. Right answers by hand.

use guards::{Graph, Sides, sides};

fn supply(more: &[(&str, &str)]) -> Sides {
    let mut graph = Graph::default();
    let links = [
        ("mains", "fuse"),
        ("fuse", "bridge"),
        ("bridge", "switch"),
        ("switch", "transformer"),
        ("transformer", "rectifier"),
        ("rectifier", "socket"),
        ("rectifier", "regulator"),
        ("regulator", "opto"),
        ("opto", "switch"),
        ("bridge", "y-capacitor"),
        ("y-capacitor", "rectifier"),
    ];
    for (a, b) in links.iter().chain(more) {
        graph.link(a, b);
    }
    sides(
        &graph,
        &["mains"],
        &["socket", "shell"],
        &["transformer", "opto", "y-capacitor"],
    )
}

#[test]
fn both_sides_and_what_crosses_are_named() {
    let found = supply(&[]);
    assert_eq!(found.primary, ["bridge", "fuse", "mains", "switch"]);
    assert_eq!(found.secondary, ["rectifier", "regulator", "socket"]);
    assert_eq!(found.crossing, ["opto", "transformer", "y-capacitor"]);
    assert!(found.breach.is_empty());
}

#[test]
fn a_way_past_the_separation_is_drawn() {
    let found = supply(&[("bridge", "sense"), ("sense", "regulator")]);
    assert_eq!(
        found.breach,
        [
            "mains",
            "fuse",
            "bridge",
            "sense",
            "regulator",
            "rectifier",
            "socket"
        ]
    );
}

#[test]
fn power_direction_does_not_separate() {
    // A resistor from the secondary back to the primary carries a dangerous voltage out all the same.
    let found = supply(&[("regulator", "resistor"), ("resistor", "switch")]);
    assert_eq!(found.breach.first().map(String::as_str), Some("mains"));
    assert_eq!(found.breach.last().map(String::as_str), Some("socket"));
    assert!(found.secondary.is_empty());
}
