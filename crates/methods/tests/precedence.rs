//! Precedence and least effort, against an example that other programs solved.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use methods::precedence::plan::{Act, Problem};

#[track_caller]
fn near(found: f64, expected: f64) {
    assert!(
        (found - expected).abs() < 1e-9,
        "found {found}, expected {expected}"
    );
}

fn act(tool: &str, time_s: f64, needs: &[&[usize]]) -> Act {
    Act {
        tool: tool.into(),
        time_s,
        needs: needs.iter().map(|s| s.to_vec()).collect(),
    }
}

/// ring 0, lens 1, reflector 2, bulb 3, tailcap 4, battery 5, spring 6, switch 7.
fn torch() -> Problem {
    Problem {
        acts: vec![
            act("hand", 6.0, &[]),
            act("suction", 4.0, &[&[0]]),
            act("hand", 3.0, &[&[1]]),
            act("hand", 5.0, &[&[2]]),
            act("hand", 7.0, &[]),
            act("hand", 2.0, &[&[4], &[0, 1, 2, 3]]),
            act("tweezers", 2.5, &[&[4, 5]]),
            act("driver", 9.0, &[&[4, 6]]),
        ],
        tool_change_s: 1.5,
        start_tool: "hand".into(),
    }
}

const NAMES: [&str; 8] = [
    "ring",
    "lens",
    "reflector",
    "bulb",
    "tailcap",
    "battery",
    "spring",
    "switch",
];

/// Source: constructed AND/OR example; brute force over permutations, networkx 3.6 Dijkstra and a
/// label-correcting search agree (table in `reference/opening`).
#[test]
fn the_least_way_to_every_part() {
    let problem = torch();
    let table = include_str!("reference/opening/disassembly_andor.csv");
    let mut checked = 0;
    for line in table.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let target = NAMES.iter().position(|n| *n == cells[0]).unwrap();
        let plan = problem.least_to(target, &problem.tools()).unwrap();
        near(plan.time_s, cells[1].parse().unwrap());
        assert_eq!(
            plan.acts.len(),
            cells[2].parse::<usize>().unwrap(),
            "{}",
            cells[0]
        );
        let sequence: Vec<&str> = plan.acts.iter().map(|&a| NAMES[a]).collect();
        assert_eq!(sequence.join(" "), cells[3]);
        checked += 1;
    }
    assert_eq!(checked, 8);
}

#[test]
fn acts_that_wait_for_each_other_have_no_way() {
    let problem = Problem {
        acts: vec![act("hand", 1.0, &[&[1]]), act("hand", 1.0, &[&[0]])],
        tool_change_s: 1.0,
        start_tool: "hand".into(),
    };
    assert!(problem.least_to(0, &problem.tools()).is_none());
}
