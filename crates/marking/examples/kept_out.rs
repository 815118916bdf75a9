//! Prints how markings worn by a process of its own are read, by kind of wear, beside the ceiling.
//!
//! usage: kept_out SEED [markings] [FOLDER|invented] [costs.toml] [misses|cases|pairs]
//! FOLDER holds symbol libraries (Debian's package kicad-symbols: /usr/share/kicad/symbols).

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files"
)]

#[path = "../tests/kept_out/mod.rs"]
mod kept_out;
#[allow(dead_code, unreachable_pub, reason = "a test uses the rest of it")]
#[path = "../tests/common/similarity.rs"]
mod similarity;
#[allow(dead_code, unreachable_pub, reason = "a test uses the rest of it")]
#[path = "../tests/common/symbol_set.rs"]
mod symbol_set;

use kept_out::glyphs::Confusions;
use kept_out::{Random, cases, judge, text};
use marking::Costs;

fn fail(message: &str) -> ! {
    eprintln!("{message}");
    std::process::exit(2)
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let Some(seed) = args.first().and_then(|s| s.parse().ok()) else {
        fail(
            "usage: kept_out SEED [markings] [FOLDER|invented] [costs.toml|-] [misses|cases|pairs]",
        )
    };
    let argument = |i: usize| args.get(i).map(String::as_str);
    let count = argument(1).map_or(3400, |n| n.parse().unwrap_or(3400));
    let parts = match argument(2).unwrap_or(symbol_set::FOLDER) {
        "invented" => None,
        folder => Some(symbol_set::read(folder).unwrap_or_else(|e| fail(&e))),
    };
    let costs = match argument(3) {
        None | Some("-") => Costs::default(),
        Some(path) => {
            let text =
                std::fs::read_to_string(path).unwrap_or_else(|e| fail(&format!("{path}: {e}")));
            Costs::parse(&text).unwrap_or_else(|e| fail(&e.to_string()))
        }
    };
    let world = judge::world(parts, seed);
    println!(
        "seed {seed}, {} parts, {} asked for, {} held out, {} with a code",
        world.parts.len(),
        world.listed.len(),
        world.held.len(),
        world.coded.len()
    );
    match argument(4) {
        Some("pairs") => {
            let looks = Confusions::seen();
            for (a, b, share) in looks.pairs(60) {
                let shown = |c: usize| text::character(u8::try_from(c).unwrap_or(0));
                println!("{} taken for {}: {share:.3}", shown(a), shown(b));
            }
        }
        Some("cases") => {
            for case in cases::cases(&world, &cases::causes(), count, &mut Random::new(seed)) {
                println!(
                    "{}\t{}\t{:?}\t{:?}",
                    case.cause,
                    case.written(),
                    case.truth,
                    case.clues.package
                );
            }
        }
        more => {
            let judged = judge::judge(&world, costs, count, seed);
            println!("{}", judged.table());
            if more == Some("misses") {
                judged.misses.iter().for_each(|miss| println!("{miss}"));
            }
        }
    }
}
