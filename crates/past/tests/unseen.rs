//! A third kind of text, written after the tables and weights were done: terse notes, questions to readers, long
//! sentences of several parts. Numbers are made by other rules again.
//!
//! Judged before anything was changed for it, it gave part numbers at precision 1.000 and recall 0.962, makers at 1.000
//! and 0.634: makers between brackets behind a role, and "is behind", were not read yet. Makers that only a sentence
//! further on names ("the first is …") still are not.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod scoring;

use past::Format;
use scoring::{Chance, Sample, score, told};

const DUTIES: [&str; 12] = [
    "humidity sensor",
    "stepper driver",
    "boost converter",
    "DAC",
    "light sensor",
    "ideal diode controller",
    "radio transceiver",
    "watchdog timer",
    "SRAM",
    "speaker amplifier",
    "battery monitor",
    "level shifter",
];

fn house(chance: &mut Chance) -> String {
    let one = chance.one(&[
        "Aldern", "Bryck", "Corvane", "Dolmet", "Estrik", "Farrow", "Gundel", "Hexley", "Ilvar",
        "Jorund", "Kallow", "Lumbert",
    ]);
    let two = chance.one(&[
        "",
        "",
        " Silicon",
        " Microsystems",
        " Electronics",
        " & Sons",
        " Labs",
    ]);
    format!("{one}{two}")
}

fn code(chance: &mut Chance) -> String {
    const ALL: &str = "ABCDEFGHJKLMNPQRSTUVWXYZ";
    match chance.below(6) {
        0 => format!(
            "{}{}{}",
            chance.letters("ABFGJKLMNPTX", 2),
            chance.number(2),
            chance.letters(ALL, 2) + &chance.number(2)
        ),
        1 => format!(
            "{}{}-{}",
            chance.letters(ALL, 3),
            chance.number(3),
            chance.number(2)
        ),
        2 => format!("{}{}", chance.letters("GJKLNQXYZ", 1), chance.number(5)),
        3 => format!(
            "{}{}{}",
            chance.letters(ALL, 5),
            chance.number(3),
            chance.letters(ALL, 1)
        ),
        4 => format!(
            "{}{}{}-{}",
            chance.letters("GKLNQX", 2),
            chance.number(4),
            chance.letters(ALL, 1),
            chance.letters(ALL, 2)
        ),
        _ => format!("{}{}", chance.letters("KLGXNQ", 3), chance.number(4)),
    }
}

fn chatter(chance: &mut Chance, product: &str) -> String {
    let n = chance.number(2);
    match chance.below(12) {
        0 => format!("Cost me {n} EUR, took 3 h, used up two T5 bits."),
        1 => "Who puts an M1.6x4 screw under a label? Nobody sane.".into(),
        2 => format!("I measured {n}.2mW in standby and 1A2 at the peak, 5V in."),
        3 => format!("So the {product} is out of its shell; the lid broke at 14N."),
        4 => format!(
            "Sticker: S/N {}{}, 2022-11, IPX5.",
            chance.letters("XYZ", 2),
            chance.number(7)
        ),
        5 => "Certified to IEC60335-1 and UL2089, or so the leaflet says.".into(),
        6 => format!("Watch it in 4K60 or read on; {n}MB of pictures follow."),
        7 => "Everything else is 0402 and 0603, a few 10uH coils, one 2x5 header.".into(),
        8 => format!("A reader wrote that the {product} of 2021 used another board, V2.1."),
        9 => "R107 and C44 are missing, JP2 is open, U12 is not fitted.".into(),
        10 => "Next week: the same again with Wi-Fi6 and USB4.".into(),
        _ => {
            format!("Postscript of 3 May 2023: {n} people asked for the STL files, see part2.stl.")
        }
    }
}

fn note(chance: &mut Chance, codes: &[(String, String, &str)]) -> (String, Vec<(bool, bool)>) {
    let (a, am, ar) = &codes[0];
    let (b, bm, br) = &codes[1];
    match chance.below(10) {
        0 => (format!("{ar}: {a}, {am}."), vec![(true, true)]),
        1 => (
            format!("Guess what the {ar} is? Yes, {am}'s {a} again."),
            vec![(true, true)],
        ),
        2 => (
            format!("With a {a} as {ar} and a {b} as {br}, both from {bm}, the board is full."),
            vec![(false, true), (true, true)],
        ),
        3 => (
            format!("Two chips share the bus: the {a} ({ar}, {am}) and the {b} ({br}, {bm})."),
            vec![(true, true), (true, true)],
        ),
        4 => (
            format!("Spotted: one {am} {a}, which is a {ar}, hidden below the foam."),
            vec![(true, true)],
        ),
        5 => (
            format!("The {br} was hard to read, but {b} it is."),
            vec![(false, false), (false, true)],
        ),
        6 => (
            format!("{am} is also behind the {ar}; the print says {a}."),
            vec![(true, true)],
        ),
        7 => (
            format!("Nice touch: a proper {ar}, the {a}, rather than a resistor."),
            vec![(false, true)],
        ),
        8 => (
            format!("Anyone who has data on the {a}? It looks like a {ar} made by {am}."),
            vec![(true, false)],
        ),
        _ => (
            format!(
                "Left of it, {a}. Right of it, {b}. The first is {am}'s {ar}, the second I do not know."
            ),
            vec![(true, true), (false, false)],
        ),
    }
}

fn sample(seed: u64) -> Sample {
    let chance = &mut Chance(seed);
    let product = format!(
        "{} {}",
        house(chance).split(' ').next().unwrap(),
        chance.one(&["One", "Mini 3", "HX20", "T450", "Go"])
    );
    let mut body = Vec::new();
    let mut parts = Vec::new();
    for _ in 0..5 + chance.below(5) {
        if chance.below(5) < 2 {
            body.push(chatter(chance, &product));
            continue;
        }
        let codes: Vec<(String, String, &str)> = (0..2)
            .map(|_| (code(chance), house(chance), DUTIES[chance.below(12)]))
            .collect();
        let (text, says) = note(chance, &codes);
        for ((part, maker, role), (has_maker, has_role)) in codes.iter().zip(says) {
            if text.contains(part.as_str()) {
                let kept =
                    |has: bool, text: &str| if has { text.to_string() } else { String::new() };
                parts.push((part.clone(), kept(has_maker, maker), kept(has_role, role)));
            }
        }
        body.push(text);
    }
    let html = chance.below(2) == 0;
    let text = match html {
        true => {
            let inside: Vec<String> = body
                .iter()
                .map(|b| format!("<p>{}</p>", b.replace('&', "&amp;")))
                .collect();
            format!(
                "<title>{product}, opened</title><h1>{product}, opened</h1><div class=post>{}</div>",
                inside.join("\n")
            )
        }
        false => format!("{product}, opened\n\n{}", body.join("\n\n")),
    };
    Sample {
        text,
        format: if html { Format::Html } else { Format::Plain },
        parts,
        known: Vec::new(),
    }
}

#[test]
fn texts_of_a_third_kind_are_read() {
    let samples: Vec<Sample> = (91_000..91_400).map(sample).collect();
    let scores = score(&samples);
    told("a third kind", &scores);
    assert!(
        scores.parts.precision() >= 0.95 && scores.parts.recall() >= 0.85,
        "{scores:?}"
    );
    assert!(
        scores.makers.precision() >= 0.9 && scores.makers.recall() >= 0.8,
        "{scores:?}"
    );
}
