//! Prints how markings of an installed symbol set are read, cause by cause, as in docs/marking.md.
//!
//! usage: cause_table FOLDER [markings] [seed] [half] [misses] [cause]
//! `half` is `measured` (the names on which no price was fitted) or `fitted`.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files"
)]

#[path = "../tests/common/mod.rs"]
mod common;

use common::field::Cause;
use common::measure::{Half, Measured, measure, task};
use common::symbol_set;
use common::wear::Wear;
use marking::Costs;

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let Some(folder) = args.first() else {
        eprintln!("usage: cause_table FOLDER [markings] [seed] [half] [misses] [cause]");
        std::process::exit(2)
    };
    let number = |i: usize, otherwise| {
        args.get(i)
            .map_or(otherwise, |n| n.parse().unwrap_or(otherwise))
    };
    let half = match args.get(3).map(String::as_str) {
        Some("fitted") => Half::Fitted,
        _ => Half::Measured,
    };
    let parts = symbol_set::read(folder).unwrap_or_else(|error| {
        eprintln!("{error}");
        std::process::exit(2)
    });
    println!(
        "| cause | at 1 | at 10 | best possible of ties | calibration error | in the catalogue | absent | \
         P(none), so | not so | with package and pins: at 1 | at 10 | error | in the catalogue | absent |"
    );
    println!("|{}", " --- |".repeat(14));
    let causes = Cause::ALL.map(Wear::Cause).into_iter();
    let named = |wear: &Wear| {
        args.get(5)
            .is_none_or(|name| format!("{wear:?}").contains(name))
    };
    for wear in causes.chain([Wear::Field]).filter(named) {
        let task = task(&parts, half, wear, number(1, 1000), number(2, 2) as u64);
        let [text, clues] = [false, true].map(|c| measure(&task, Costs::default(), c));
        let short = |m: &Measured| {
            let share = |n: usize| 100.0 * m.recall(n);
            (
                share(m.first),
                share(m.ten),
                100.0 * (1.0 - m.tied / m.inside.max(1) as f64),
            )
        };
        let ((one, ten, tied), (c_one, c_ten, _)) = (short(&text), short(&clues));
        println!(
            "| {wear:?} | {one:.1} | {ten:.1} | {tied:.1} | {:.3} | {:.3} | {:.3} | {:.3} | {:.3} \
             | {c_one:.1} | {c_ten:.1} | {:.3} | {:.3} | {:.3} |",
            text.top.error(),
            text.top_inside.error(),
            text.absent.error(),
            text.none_outside,
            text.none_inside,
            clues.top.error(),
            clues.top_inside.error(),
            clues.absent.error(),
        );
        for lines in [&text.examples, &text.taken] {
            for line in lines.iter().take(number(4, 0)) {
                println!("  {line}");
            }
        }
    }
}
