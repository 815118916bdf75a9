//! Prints how well worn markings of an installed symbol set are read, as in docs/marking.md.
//!
//! usage: wear_table FOLDER [markings] [costs.toml] [misses]
//! FOLDER holds symbol libraries (Debian's package kicad-symbols: /usr/share/kicad/symbols).

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files, and is timed"
)]

#[path = "../tests/common/mod.rs"]
mod common;

use common::measure::{self, Half, Measured, Task, by_distance, measure, rivals};
use common::symbol_set;
use common::wear::Wear;
use marking::Costs;

const SEED: u64 = 2;

fn fail(message: &str) -> ! {
    eprintln!("{message}");
    std::process::exit(2)
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let Some(folder) = args.first() else {
        fail("usage: wear_table FOLDER [markings] [costs.toml] [misses]")
    };
    let number = |i: usize, otherwise| {
        args.get(i)
            .map_or(otherwise, |n| n.parse().unwrap_or(otherwise))
    };
    let (count, misses) = (number(1, 5000), number(3, 0));
    let costs = match args.get(2) {
        Some(path) => {
            let text =
                std::fs::read_to_string(path).unwrap_or_else(|e| fail(&format!("{path}: {e}")));
            Costs::parse(&text).unwrap_or_else(|e| fail(&e.to_string()))
        }
        None => Costs::default(),
    };
    let parts = symbol_set::read(folder).unwrap_or_else(|e| fail(&e));
    println!(
        "{} parts, {} of them asked for (package and pins known, a part number)\n",
        parts.len(),
        parts.iter().filter(|p| symbol_set::is_asked_for(p)).count()
    );
    for (wear, title) in [
        (Wear::Worn, "worn"),
        (Wear::Rubbed, "rubbed"),
        (Wear::Otherwise, "worn otherwise"),
        (Wear::Mistyped, "mistyped"),
        (Wear::AnyEdit, "any edit"),
    ] {
        let task = measure::task(&parts, Half::Measured, wear, count, SEED);
        let text = measure(&task, costs.clone(), false);
        let clues = measure(&task, costs.clone(), true);
        print(&task, title, &text, &clues);
        for line in clues.examples.iter().take(misses) {
            println!("{line}");
        }
        for line in text.examples.iter().take(misses) {
            println!("text: {line}");
        }
    }
}

fn print(task: &Task, title: &str, text: &Measured, clues: &Measured) {
    println!(
        "## {title}: {} markings, {} names of the measured half, {} of the markings of names not in the catalogue\n",
        task.asked.len(),
        task.names,
        task.asked.len() - text.inside
    );
    println!("| | text alone | package and pins known |\n| --- | --- | --- |");
    let row = |what: &str, of: &dyn Fn(&Measured) -> String| {
        println!("| {what} | {} | {} |", of(text), of(clues))
    };
    let percent = |x: f64| format!("{:.2} %", 100.0 * x);
    row("recall at 1", &|m| percent(m.recall(m.first)));
    row("recall at 10", &|m| percent(m.recall(m.ten)));
    row("mean reciprocal rank", &|m| {
        format!("{:.4}", m.mean_reciprocal_rank())
    });
    row("calibration error, first candidate", &|m| {
        format!("{:.4}", m.top.error())
    });
    row("calibration error, parts in the catalogue", &|m| {
        format!("{:.4}", m.top_inside.error())
    });
    row("calibration error, every candidate", &|m| {
        format!("{:.4}", m.each.error())
    });
    row("mean P(none of these), so", &|m| {
        format!("{:.3}", m.none_outside)
    });
    row("mean P(none of these), not so", &|m| {
        format!("{:.3}", m.none_inside)
    });
    row("mean -ln P(truth)", &|m| format!("{:.4}", m.loss));
    row("lost by guessing among equally good parts", &|m| {
        percent(m.tied / m.inside.max(1) as f64)
    });
    row("misses at 1", &|m| (m.inside - m.first).to_string());
    for (i, what) in [
        "same when folded",
        "looks the same",
        "beginning of the other",
        "another name",
    ]
    .into_iter()
    .enumerate()
    {
        row(&format!("first instead: {what}"), &|m| {
            m.misses[i].to_string()
        });
    }
    row("another name, no further from what was read", &|m| {
        m.as_near.to_string()
    });
    let few = task.asked.len().min(1000);
    let (plain, plain_clues) = (by_distance(task, few, false), by_distance(task, few, true));
    println!(
        "| plain edit distance: recall at 1 | {} | {} |",
        percent(plain.0),
        percent(plain_clues.0)
    );
    println!(
        "| plain edit distance: recall at 10 | {} | {} |",
        percent(plain.1),
        percent(plain_clues.1)
    );
    let (a, b) = (rivals(task, false), rivals(task, true));
    for (i, what) in [
        "the same when folded",
        "the same but for look-alikes",
        "the beginning of it or the reverse",
    ]
    .into_iter()
    .enumerate()
    {
        println!(
            "| names asked for with a rival: {what} | {} | {} |",
            a[i], b[i]
        );
    }
    println!("\nFirst candidate, text alone:\n\n{}", text.top.rows());
    println!(
        "First candidate, package and pins known:\n\n{}",
        clues.top.rows()
    );
}
