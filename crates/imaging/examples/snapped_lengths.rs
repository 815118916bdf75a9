//! Snapped sides and diameters in 1,000 random views each: the table of `docs/methods/geometry.md`.
//!
//! `cargo run --release -p underlid-imaging --example snapped_lengths [FIRST LAST]`; seeds 2001 to
//! 3000 if not stated, those of the table.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files, and is timed"
)]
#![allow(
    clippy::unwrap_used,
    reason = "shared with the tests, which fail by panicking"
)]

#[path = "../tests/geometry_views/chance.rs"]
mod chance;
#[path = "../tests/geometry_snap/lengths.rs"]
mod lengths;
#[path = "../tests/geometry_snap/stand.rs"]
mod stand;

fn main() {
    let seeds: Vec<u64> = std::env::args()
        .skip(1)
        .map(|v| v.parse().unwrap())
        .collect();
    let (first, last) = match seeds.as_slice() {
        [first, last] => (*first, *last),
        _ => (2001, 3000),
    };
    eprintln!("calibrating on 400 views");
    println!(
        "left out of edges and rims {:.4?} px, used {:.4?} px",
        lengths::left_out_by_calibration(),
        lengths::LEFT_OUT
    );
    println!(
        "| measure | n | not found | coverage of 95 % | median error | 95 % of errors within | median u | rms of z |"
    );
    for (lens, spread) in [("known", 0.0), ("assumed", 0.01)] {
        eprintln!("judging seeds {first} to {last}, lens {lens}");
        for row in lengths::judge(first..=last, spread) {
            println!(
                "| {}, lens {lens} | {} | {} | {:.1} % | {:.4} | {:.4} | {:.4} | {:.2} |",
                row.kind,
                row.taken,
                row.not_found,
                100.0 * row.coverage,
                row.median,
                row.within,
                row.median_uncertainty,
                row.rms_z
            );
        }
    }
}
