//! Prints how markings worn by a process of its own are read, by kind of wear, beside the ceiling.
//!
//! usage: kept_out SEED [markings] [FOLDER|invented] [costs.toml] [misses|cases|pairs|queries]
//! FOLDER holds symbol libraries (Debian's package kicad-symbols: /usr/share/kicad/symbols); a file of that
//! place is a list of names with a heading. `queries` prints the markings of listed parts as the peers of
//! benches/marking.sh take them.

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

/// Parts of a list of names, each in a package; `known_from` is its place in the list.
fn names(file: &str) -> Vec<catalogue::Part> {
    let text = std::fs::read_to_string(file).unwrap_or_else(|e| fail(&format!("{file}: {e}")));
    let packages = ["SOIC-8", "LQFP-64", "SOT-23-5"];
    let part = |(at, name): (usize, &str)| catalogue::Part {
        name: name.to_string(),
        packages: vec![packages[at % 3].to_string()],
        pins: Some([8, 64, 5][at % 3]),
        known_from: at.to_string(),
        ..catalogue::Part::default()
    };
    text.lines().skip(1).enumerate().map(part).collect()
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
        file if std::path::Path::new(file).is_file() => Some(names(file)),
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
    eprintln!(
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
        Some("queries") => {
            println!("query,truth,index,errors");
            let listed = cases::cases(&world, &cases::causes(), 2 * count, &mut Random::new(seed))
                .into_iter()
                .filter_map(|case| match case.truth {
                    // The list has no codes.
                    cases::Truth::Listed(i) if case.cause != "code" => {
                        Some((case.written(), world.listed[i].row?))
                    }
                    _ => None,
                });
            for (written, row) in listed.take(count) {
                let part = &world.parts[row];
                println!("{written},{},{},", part.name, part.known_from);
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
