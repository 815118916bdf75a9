//! Precedence and least effort, against a published and an independently solved example.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use methods::opening::plan::{Act, Problem};

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
/// label-correcting search agree (table in `published/opening`).
#[test]
fn the_least_way_to_every_part() {
    let problem = torch();
    let table = include_str!("published/opening/disassembly_andor.csv");
    let mut checked = 0;
    for line in table.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let target = NAMES.iter().position(|n| *n == cells[0]).unwrap();
        let plan = problem.least_to(target).unwrap();
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

/// Source: as above: 71 feasible sequences, least 44.5 s (31 of them), most 47.5 s; 26 sets, 36 states,
/// 56 edges.
#[test]
fn every_way_to_take_all_apart() {
    let problem = torch();
    near(problem.least_to_all().unwrap().time_s, 44.5);
    let orders = problem.orders().unwrap();
    near(orders.feasible, 71.0);
    near(orders.cheapest, 31.0);
    near(orders.least_s, 44.5);
    near(orders.most_s, 47.5);
    assert_eq!(
        (orders.sets, orders.states, orders.transitions),
        (26, 36, 56)
    );
}

/// Source: pen example of Ullman, The Mechanical Design Process, section 11.5: five connections, 3
/// before 4 and 1 before 5. Linear extensions 5!/(2·2) = 30, by networkx 3.6 as well.
#[test]
fn the_pen_has_thirty_orders() {
    let needs: [&[&[usize]]; 5] = [&[], &[], &[], &[&[2]], &[&[0]]];
    let forward = Problem {
        acts: needs.iter().map(|n| act("hand", 1.0, n)).collect(),
        tool_change_s: 0.0,
        start_tool: "hand".into(),
    };
    near(forward.orders().unwrap().feasible, 30.0);
    let reversed: [&[&[usize]]; 5] = [&[&[4]], &[], &[&[3]], &[], &[]];
    let backward = Problem {
        acts: reversed.iter().map(|n| act("hand", 1.0, n)).collect(),
        ..forward.clone()
    };
    near(backward.orders().unwrap().feasible, 30.0);
    // The published order 2, 3, 4, 1, 5 is one of them: each act is ready when its turn comes.
    let mut done: Vec<usize> = Vec::new();
    for number in [2, 3, 4, 1, 5] {
        let needs = &forward.acts[number - 1].needs;
        assert!(needs.is_empty() || needs.iter().any(|s| s.iter().all(|n| done.contains(n))));
        done.push(number - 1);
    }
}

#[test]
fn acts_that_wait_for_each_other_have_no_way() {
    let problem = Problem {
        acts: vec![act("hand", 1.0, &[&[1]]), act("hand", 1.0, &[&[0]])],
        tool_change_s: 1.0,
        start_tool: "hand".into(),
    };
    assert!(problem.least_to(0).is_none());
    assert!(problem.least_to_all().is_none());
}
