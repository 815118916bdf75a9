//! What is reached on texts that nothing was fitted on: other sentences, other shapes of names and numbers, pages with
//! tables and lists, captions. The seeds were chosen after the last change of tables and weights.
//!
//! Aims: part numbers at precision 0.95 and recall 0.85, makers at 0.9 and 0.8.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod scoring;

use past::Format;
use scoring::{Chance, Sample, score, told};
use std::fmt::Write as _;

const JOBS: [&str; 18] = [
    "step-down converter",
    "hall switch",
    "MEMS microphone",
    "NOR flash",
    "real-time clock",
    "motor driver",
    "power-path charger",
    "USB bridge",
    "gyroscope",
    "op-amp",
    "gate driver",
    "temperature sensor",
    "audio codec",
    "EEPROM",
    "Wi-Fi module",
    "proximity sensor",
    "main processor",
    "low-dropout regulator",
];

/// Names of two or three syllables, some of two words, some with a sign between.
fn firm(chance: &mut Chance) -> String {
    let syllable = |chance: &mut Chance| {
        let onset = chance.one(&[
            "b", "d", "f", "g", "j", "k", "l", "m", "n", "p", "r", "s", "t", "v", "tr", "st", "fl",
            "sh",
        ]);
        let vowel = chance.one(&["a", "e", "i", "o", "u", "ei", "ou"]);
        let coda = chance.one(&["", "n", "r", "l", "s", "nt", "x"]);
        format!("{onset}{vowel}{coda}")
    };
    let mut name = |n: usize| {
        let text: String = (0..n).map(|_| syllable(chance)).collect();
        let mut letters = text.chars();
        let first = letters.next().unwrap().to_uppercase().to_string();
        first + letters.as_str()
    };
    let (one, other) = (name(2), name(3));
    match chance.below(6) {
        0 => format!("{one} Technologies"),
        1 => format!("{one} & {other}"),
        2 => other,
        3 => format!("{one} Integrated"),
        _ => one,
    }
}

/// Numbers that begin with digits, with a small letter, with stroke or dash, with packaging, with letters inside.
fn number(chance: &mut Chance) -> String {
    const ALL: &str = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    match chance.below(8) {
        0 => format!(
            "{}{}{}",
            chance.number(2),
            chance.letters("BCDEGHJLPQSTXYZ", 3),
            chance.number(3)
        ),
        1 => format!(
            "{}{}{}",
            chance.letters("nxt", 1),
            chance.letters(ALL, 2),
            chance.number(5)
        ),
        2 => format!(
            "{}{}-{}{}",
            chance.letters(ALL, 3),
            chance.number(4),
            chance.letters(ALL, 3),
            chance.number(1)
        ),
        3 => format!(
            "{}{}{}{}{}",
            chance.letters("BGJKQWZ", 1),
            chance.number(2),
            chance.letters(ALL, 1),
            chance.number(3),
            chance.letters(ALL, 4)
        ),
        4 => format!(
            "{}{}{}/TR",
            chance.letters(ALL, 2),
            chance.number(4),
            chance.letters(ALL, 2)
        ),
        5 => format!(
            "{}{}{}#{}",
            chance.letters(ALL, 4),
            chance.number(4),
            chance.letters(ALL, 1),
            chance.letters(ALL, 2)
        ),
        6 => format!(
            "{}{}{}",
            chance.letters("GJKQWYZ", 1),
            chance.number(4),
            chance.letters(ALL, 2)
        ),
        _ => format!("{}{}", chance.letters("KQWZXY", 2), chance.number(4)),
    }
}

fn other_talk(chance: &mut Chance, product: &str, person: &str) -> String {
    let two = chance.number(2);
    match chance.below(20) {
        0 => {
            format!("At {two}.5 Wh the pack is nothing special, and 4.2 A was the most I ever saw.")
        }
        1 => "The display does 1920x1080 at 60Hz, and HDMI2.1 is missing.".into(),
        2 => format!("I have owned a {product} since March 2022."),
        3 => format!(
            "You open it with a T6 bit, then a PH00, then patience; {two} clips later it lets go."
        ),
        4 => "On paper it satisfies EN60950 and ISO14001, whatever that is worth here.".into(),
        5 => format!("Photos by {person}, taken with a 100mm lens."),
        6 => format!("Mine was bought from {person} for {two} dollars."),
        7 => format!("According to its sticker this is a {product}, made in week 2023-W{two}."),
        8 => "Connectors J3 and J12 are keyed, TP41 is a test pad, and Q7 gets warm.".into(),
        9 => format!(
            "Lot {} and batch B{} were recalled.",
            chance.number(6),
            chance.number(5)
        ),
        10 => "The link runs at 2Mbps over RS485, with AES256 on top.".into(),
        11 => format!("The {product} weighs {two}0g, the charger not counted."),
        12 => {
            "A 10k0 pull-up, a 22uF capacitor in 0603 and an SOT23 package make up the rest.".into()
        }
        13 => "The shell is of PA66 with FR4 behind it.".into(),
        14 => format!(
            "FCC ID 2A{}{} leads to the internal photographs.",
            chance.letters("BCDFG", 3),
            chance.number(4)
        ),
        15 => "A CR2032 keeps the time while the main cell, an 18650, is out.".into(),
        16 => {
            "Its processor is a dual Vestrel-M4F class design, the maker does not say which.".into()
        }
        17 => format!(
            "See the file board_{two}.jpg, or IMG_{}.png for the back.",
            chance.number(4)
        ),
        18 => format!(
            "Order code {} gives ten percent off.",
            chance.letters("SAVE", 4) + &two
        ),
        _ => format!("The GT{}-class rivals are heavier.", chance.number(2)),
    }
}

/// A sentence; whether it says maker and role.
fn prose(chance: &mut Chance, part: &str, firm: &str, job: &str) -> (String, bool, bool) {
    match chance.below(16) {
        0 => (
            format!("Flip the board over and a {part} greets you, {firm}'s {job}."),
            true,
            true,
        ),
        1 => (
            format!("As {job} they chose the {part}, which {firm} builds."),
            true,
            true,
        ),
        2 => (
            format!("Power for all of this passes through a {job} of {firm} ({part})."),
            true,
            true,
        ),
        3 => (
            format!("What looked like a sensor from afar turned out to be {firm}'s {part}."),
            true,
            false,
        ),
        4 => (
            format!("{firm} supplies the {job} here: the {part}."),
            true,
            true,
        ),
        5 => (
            format!("A {part} by {firm} serves as the {job}."),
            true,
            true,
        ),
        6 => (
            format!("The {job} carries the marking {part}."),
            false,
            true,
        ),
        7 => (
            format!("I could read {part} on the {job}, courtesy of {firm}."),
            true,
            true,
        ),
        8 => (
            format!("Right in the middle: a {firm} {job} of type {part}."),
            true,
            true,
        ),
        9 => (format!("The {job} ({firm} {part}) gets hot."), true, true),
        10 => (
            format!("There is also a {part}. This chip is made by {firm} and works as a {job}."),
            true,
            false,
        ),
        11 => (
            format!("For the {job}, {firm} delivered the {part}."),
            true,
            true,
        ),
        12 => (
            format!("Its {job} reads {part}; nothing else is printed there."),
            false,
            true,
        ),
        13 => (
            format!("Both the coil and the {part} ({job}) were glued down."),
            false,
            true,
        ),
        14 => (
            format!("The datasheet of the {part} promises a quiet {job}."),
            false,
            true,
        ),
        _ => (format!("{firm}'s {job} {part} sits below."), true, true),
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
}

fn sample(seed: u64) -> Sample {
    let chance = &mut Chance(seed);
    let brand = firm(chance);
    let brand = brand.split(' ').next().unwrap().to_string();
    let person = format!(
        "{} {}",
        chance.one(&["Jana", "Piet", "Ida", "Tom"]),
        firm(chance).split(' ').next().unwrap()
    );
    let product = match chance.below(3) {
        0 => format!("{brand} {}{}", chance.letters("MPSX", 1), chance.number(3)),
        1 => format!("{brand} Air {}", chance.number(1)),
        _ => format!(
            "{brand} {}{}{}",
            chance.letters("KLMT", 2),
            chance.number(3),
            chance.letters("BEX", 1)
        ),
    };
    let firms: Vec<String> = (0..4).map(|_| firm(chance)).collect();
    let mut parts = Vec::new();
    let mut blocks: Vec<String> = Vec::new();
    let row =
        |chance: &mut Chance, parts: &mut Vec<(String, String, String)>, said: (bool, bool)| {
            let (part, firm, job) = (
                number(chance),
                firms[chance.below(4)].clone(),
                JOBS[chance.below(JOBS.len())],
            );
            let kept = |has: bool, text: &str| if has { text.to_string() } else { String::new() };
            parts.push((part.clone(), kept(said.0, &firm), kept(said.1, job)));
            (part, firm, job)
        };
    let kind = chance.below(4);
    for _ in 0..4 + chance.below(6) {
        if chance.below(5) < 2 {
            blocks.push(other_talk(chance, &product, &person));
            continue;
        }
        let (part, firm, job) = row(chance, &mut parts, (false, false));
        let (sentence, has_firm, has_job) = prose(chance, &part, &firm, job);
        let last = parts.last_mut().unwrap();
        if has_firm {
            last.1 = firm;
        }
        if has_job {
            last.2 = job.to_string();
        }
        blocks.push(sentence);
    }
    let (text, format) = match kind {
        0 => {
            // A page with a table and a list of what else was seen.
            let mut page = format!(
                "<!doctype html><html><head><title>{product}: what is in it</title><style>p{{margin:0}}</style></head>\n<body><h1>{product}: what is in it</h1>\n"
            );
            for block in &blocks {
                let _ = writeln!(page, "<p>{}</p>", escaped(block));
            }
            page += "<h2>Chips</h2>\n<table><tr><th>Designator</th><th>Part number</th><th>Manufacturer</th><th>Function</th></tr>\n";
            for n in 1..=3 {
                let (part, firm, job) = row(chance, &mut parts, (true, true));
                let _ = writeln!(
                    page,
                    "<tr><td>U{n}</td><td><code>{part}</code></td><td>{}</td><td>{job}</td></tr>",
                    escaped(&firm)
                );
            }
            page += "</table>\n<ul>";
            for _ in 0..2 {
                let (part, firm, job) = row(chance, &mut parts, (true, true));
                let _ = writeln!(
                    page,
                    "<li><b>{part}</b> &ndash; {job} from {}</li>",
                    escaped(&firm)
                );
            }
            (
                page + "</ul><script>var A1234B = 'KX9999';</script></body></html>",
                Format::Html,
            )
        }
        1 => {
            let mut film = String::from("WEBVTT\n\nNOTE made by hand\n\n");
            let mut clock = 0;
            for block in &blocks {
                let said: Vec<&str> = block.split(' ').collect();
                for piece in said.chunks(7) {
                    let _ = write!(
                        film,
                        "00:{:02}:{:02}.000 --> 00:{:02}:{:02}.900\n{}\n\n",
                        clock / 60,
                        clock % 60,
                        (clock + 2) / 60,
                        (clock + 2) % 60,
                        piece.join(" ")
                    );
                    clock += 3;
                }
                clock += chance.below(8);
            }
            (film, Format::WebVtt)
        }
        2 => {
            let mut text = format!("---\ntitle: \"{product} taken apart\"\n---\n\n");
            for block in &blocks {
                text += block;
                text += chance.one(&[" ", "\n\n", "\n"]);
            }
            text += "\n\n| Chip | Role | Maker |\n|---|---|---|\n";
            for _ in 0..3 {
                let (part, firm, job) = row(chance, &mut parts, (true, true));
                let _ = writeln!(text, "| `{part}` | {job} | {firm} |");
            }
            (text, Format::Markdown)
        }
        _ => {
            let mut text = format!("{product} taken apart\n\n");
            text += &blocks.join(chance.one(&[" ", "\n\n", "\n"]));
            (text, Format::Plain)
        }
    };
    Sample {
        text,
        format,
        parts,
        known: Vec::new(),
    }
}

/// The seeds of this file.
const SEEDS: std::ops::Range<u64> = 4_410_000..4_410_400;

#[test]
fn texts_made_otherwise_are_read() {
    let samples: Vec<Sample> = SEEDS.map(sample).collect();
    let scores = score(&samples);
    told("kept out", &scores);
    assert!(
        scores.parts.precision() >= 0.95 && scores.parts.recall() >= 0.85,
        "{scores:?}"
    );
    assert!(
        scores.makers.precision() >= 0.9 && scores.makers.recall() >= 0.8,
        "{scores:?}"
    );
}
