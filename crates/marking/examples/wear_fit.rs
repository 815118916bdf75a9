//! Fits the cost table on worn markings of one half of the names of an installed symbol set.
//!
//! usage: wear_fit FOLDER [markings] [rounds] [prefixes [costs.toml [way]]]
//! Every price whose key has one of the prefixes (`variant-,lost`) is moved by steps that halve, and a move is kept when it lowers the mean of
//! −ln P(truth) over the ways of wear, with and without package and pins. The table is printed.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files, and is timed"
)]

#[path = "../tests/common/mod.rs"]
mod common;

use common::measure::{Half, Measured, Task, measure, task};
use common::symbol_set;
use common::wear::Wear;
use marking::{CostTable, Costs};

const SEED: u64 = 1;

type Place = fn(&mut CostTable) -> &mut f64;

/// What the ways of wear tell about; the other prices stay.
const PLACES: [(&str, Place, f64); 32] = [
    ("lost", |t| &mut t.inside.lost, 1.0),
    ("extra", |t| &mut t.inside.extra, 1.0),
    ("other", |t| &mut t.inside.other, 1.0),
    ("placeholder", |t| &mut t.inside.placeholder, 0.5),
    ("rubbed-open", |t| &mut t.ends.rubbed_open, 0.5),
    ("rubbed-each", |t| &mut t.ends.rubbed_each, 0.3),
    ("gap-empty", |t| &mut t.ends.gap_empty, 0.5),
    ("gap-each", |t| &mut t.ends.gap_each, 0.3),
    ("prefix-dropped", |t| &mut t.ends.prefix_dropped, 0.5),
    ("suffix-dropped", |t| &mut t.ends.suffix_dropped, 0.5),
    ("added-open", |t| &mut t.ends.added_open, 0.7),
    ("added-each", |t| &mut t.ends.added_each, 0.5),
    ("split", |t| &mut t.lines.split, 0.5),
    ("unknown-share", |t| &mut t.prior.unknown_share, 0.04),
    ("variant-share", |t| &mut t.prior.variant_share, 0.1),
    ("variant-place", |t| &mut t.prior.variant_place, 0.8),
    ("variant-ending", |t| &mut t.prior.variant_ending, 0.8),
    ("variant-inside", |t| &mut t.prior.variant_inside, 0.8),
    ("variant-added", |t| &mut t.prior.variant_added, 0.8),
    (
        "variant-added-each",
        |t| &mut t.prior.variant_added_each,
        0.5,
    ),
    ("exchanged", |t| &mut t.inside.exchanged, 1.0),
    ("miscounted", |t| &mut t.inside.miscounted, 0.8),
    ("space", |t| &mut t.lines.space, 0.5),
    ("glued", |t| &mut t.lines.glued, 0.5),
    ("worn", |t| &mut t.prior.unworn_share, 0.1),
    ("variant-same", |t| &mut t.prior.variant_same, 0.8),
    ("package-equal", |t| &mut t.clues.package_equal, 0.8),
    ("package-family", |t| &mut t.clues.package_family, 0.8),
    ("package-other", |t| &mut t.clues.package_other, 1.0),
    ("pins-equal", |t| &mut t.clues.pins_equal, 0.8),
    ("pins-pad", |t| &mut t.clues.pins_pad, 0.8),
    ("pins-other", |t| &mut t.clues.pins_other, 1.0),
];

fn fail(message: &str) -> ! {
    eprintln!("{message}");
    std::process::exit(2)
}

/// Share of parts nobody listed that prices are fitted for: it is not known, and lies between a
/// twentieth and a third.
const ABSENT: f64 = 0.15;

/// Mean of −ln P(truth), of which a share stands for parts that nobody listed. `None` when the table
/// is refused.
fn loss(table: &CostTable, tasks: &[Task]) -> Option<f64> {
    let costs = Costs::new(table.clone()).ok()?;
    let each = |task: &Task| {
        let both = [false, true].map(|clues| measure(task, costs.clone(), clues));
        let of = |m: &Measured| (1.0 - ABSENT) * m.loss_inside + ABSENT * m.loss_outside;
        both.iter().map(of).sum::<f64>()
    };
    Some(tasks.iter().map(each).sum::<f64>() / (2 * tasks.len()) as f64)
}

/// Recall at 1, calibration error (all, parts in the catalogue), for text alone and with clues.
fn show(table: &CostTable, tasks: &[Task]) {
    let Ok(costs) = Costs::new(table.clone()) else {
        return;
    };
    for task in tasks {
        for clues in [false, true] {
            let m = measure(task, costs.clone(), clues);
            eprintln!(
                "recall {:.4} {:.4}, calibration {:.4} {:.4}, none {:.3} {:.3}, loss {:.4}",
                m.recall(m.first),
                m.recall(m.ten),
                m.top.error(),
                m.top_inside.error(),
                m.none_outside,
                m.none_inside,
                m.loss
            );
        }
    }
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let Some(folder) = args.first() else {
        fail("usage: wear_fit FOLDER [markings] [rounds] [prefixes [costs.toml [way]]]")
    };
    let number = |i: usize, otherwise| {
        args.get(i)
            .map_or(otherwise, |n| n.parse().unwrap_or(otherwise))
    };
    let parts = symbol_set::read(folder).unwrap_or_else(|e| fail(&e));
    let named = |wear: &Wear| args.get(5).is_none_or(|name| format!("{wear:?}") == *name);
    let tasks: Vec<Task> = Wear::FITTED
        .into_iter()
        .filter(named)
        .map(|wear| task(&parts, Half::Fitted, wear, number(1, 1000), SEED))
        .collect();
    let prefixes: Vec<&str> = args.get(3).map_or("", String::as_str).split(',').collect();
    let fitted = |key: &str| prefixes.iter().any(|p| key.starts_with(p));
    let start = match args.get(4) {
        Some(path) => {
            let text =
                std::fs::read_to_string(path).unwrap_or_else(|e| fail(&format!("{path}: {e}")));
            Costs::parse(&text).unwrap_or_else(|e| fail(&e.to_string()))
        }
        None => Costs::default(),
    };
    let mut table = start.table().clone();
    let mut least = loss(&table, &tasks).unwrap_or(f64::INFINITY);
    eprintln!("{least:.5}");
    show(&table, &tasks);
    for round in 0..number(2, 3) {
        let scale = 0.5_f64.powi(i32::try_from(round).unwrap_or(0));
        for (name, place, step) in PLACES.into_iter().filter(|p| fitted(p.0)) {
            for sign in [1.0, -1.0] {
                let mut moved = table.clone();
                *place(&mut moved) += sign * step * scale;
                let Some(now) = loss(&moved, &tasks) else {
                    continue;
                };
                if now < least {
                    (table, least) = (moved, now);
                    eprintln!("{least:.5} {name} {:.3}", place(&mut table));
                    break;
                }
            }
        }
        let pairs = table.look_alike.keys().filter(|p| fitted(p));
        let pairs: Vec<String> = pairs.cloned().collect();
        for pair in pairs {
            for sign in [1.0, -1.0] {
                let mut moved = table.clone();
                moved
                    .look_alike
                    .entry(pair.clone())
                    .and_modify(|p| *p += sign * 0.4 * scale);
                let Some(now) = loss(&moved, &tasks) else {
                    continue;
                };
                if now < least {
                    (table, least) = (moved, now);
                    eprintln!("{least:.5} {pair} {:.2}", table.look_alike[&pair]);
                    break;
                }
            }
        }
    }
    show(&table, &tasks);
    print!("{}", table.to_toml());
}
