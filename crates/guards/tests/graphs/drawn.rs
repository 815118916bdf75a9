//! Words of cases as graphs, and random ones.

use crate::plain::Plain;
use guards::{Answer, Function, Graph, Hazard, Question, Verdict};
use proptest::prelude::*;

pub(crate) fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Guarded => "guarded",
        Verdict::Unguarded => "unguarded",
        Verdict::Undecided => "undecided",
        Verdict::NoPath => "no path",
    }
}

pub(crate) fn link(graph: &mut Graph, words: &str) {
    match words.split_once('>') {
        Some((a, b)) => graph.link(a, b),
        None => {
            let (a, b) = words.split_once('-').unwrap();
            graph.tie(a, b);
        }
    }
}

pub(crate) fn ask(graph: &Graph, hazard: Hazard, sources: &[String], targets: &[String]) -> Answer {
    let sources: Vec<&str> = sources.iter().map(String::as_str).collect();
    let targets: Vec<&str> = targets.iter().map(String::as_str).collect();
    graph.answer(&Question {
        hazard,
        sources: &sources,
        targets: &targets,
    })
}

/// Answers a plain case as a case of over-voltage.
pub(crate) fn answer(plain: &Plain) -> Answer {
    let mut graph = Graph::default();
    plain.links.iter().for_each(|l| link(&mut graph, l));
    plain
        .guards
        .iter()
        .for_each(|g| graph.does(g, Function::OverVoltageSwitch));
    plain.may.iter().for_each(|g| graph.may(g, Function::Clamp));
    plain.out.iter().for_each(|g| graph.ground(g));
    ask(&graph, Hazard::OverVoltage, &plain.sources, &plain.targets)
}

/// Draws a small case with loops, links both ways, guards and parts that may be some.
pub(crate) fn cases() -> impl Strategy<Value = Plain> {
    (4_usize..10).prop_flat_map(|n| {
        let link = (0..n, 0..n, any::<bool>());
        let kind = prop::collection::vec(0_u8..8, n);
        (prop::collection::vec(link, n..3 * n), kind, 1_usize..3).prop_map(
            move |(links, kind, ends)| {
                let name = |k: usize| format!("v{k}");
                let links = links.into_iter().filter(|(a, b, _)| a != b);
                let links =
                    links.map(|(a, b, one)| format!("v{a}{}v{b}", if one { '>' } else { '-' }));
                let inner = |wanted: std::ops::Range<u8>| {
                    (1..n - 1)
                        .filter(|k| wanted.contains(&kind[*k]))
                        .map(name)
                        .collect()
                };
                let mut targets = vec![name(n - 1)];
                if ends > 1 && n > 5 {
                    targets.push(name(n - 2));
                }
                Plain {
                    links: links.collect(),
                    sources: vec![name(0)],
                    targets,
                    guards: inner(0..2),
                    may: inner(2..3),
                    ..Plain::default()
                }
            },
        )
    })
}
