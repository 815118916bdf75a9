//! Judges proof-reading on films made by hand: precision, recall by kind, false changes, calibration, every slip.

#![allow(clippy::unwrap_used, reason = "an example fails by panicking")]

#[path = "../tests/kept_out/mod.rs"]
mod kept_out;

fn main() {
    for (name, set) in [
        ("first set", kept_out::FIRST),
        ("second set", kept_out::SECOND),
        ("third set", kept_out::THIRD),
        ("fourth set", kept_out::FOURTH),
        ("fifth set", kept_out::FIFTH),
    ] {
        println!("== {name}");
        show(&kept_out::judged(&set));
    }
}

fn show(score: &kept_out::Score) {
    for slip in &score.slips {
        println!("{slip}");
    }
    println!(
        "{} words, {} mentions, {} applied, {} right",
        score.words, score.mentions, score.applied, score.right
    );
    println!(
        "precision {:.3}, recall {:.3}, false changes per 1,000 words {:.2}, calibration error {:.3} over {}",
        score.precision(),
        score.recall(),
        score.false_per_thousand(),
        score.calibration_error(),
        score.stated.len(),
    );
    for (kind, (found, all)) in &score.kinds {
        println!("{kind}: {found} of {all}");
    }
}
