//! Texts that the tables and weights were fitted on: articles in plain text and Markdown. What is reached on others
//! stands in `kept_out.rs`.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod scoring;

use past::Format;
use scoring::{Chance, Sample, score, told};

const UPPER: &str = "ABCDEFGHKLMNPRSTVWXZ";
const ROLES: [&str; 16] = [
    "charger",
    "linear charger",
    "buck converter",
    "motion sensor",
    "touch controller",
    "microcontroller",
    "flash memory",
    "audio amplifier",
    "LED driver",
    "load switch",
    "protection IC",
    "fuel gauge",
    "accelerometer",
    "Bluetooth transceiver",
    "voltage regulator",
    "battery charger",
];

fn maker(chance: &mut Chance) -> String {
    let begin = chance.one(&[
        "Hal", "Nor", "Vel", "Tand", "Brim", "Osk", "Quen", "Pell", "Zor", "Kest", "Mur", "Dray",
    ]);
    let end = chance.one(&[
        "vik", "dane", "mora", "itec", "onic", "ross", "holm", "era", "unda", "ex",
    ]);
    let tail = chance.one(&["", "", "", "", " Semiconductor", " Devices", " Micro"]);
    format!("{begin}{end}{tail}")
}

fn part(chance: &mut Chance) -> String {
    let letters = 1 + chance.below(4);
    let digits = 3 + chance.below(3);
    let tail = chance.below(4);
    let mut part =
        chance.letters(UPPER, letters) + &chance.number(digits) + &chance.letters(UPPER, tail);
    if chance.below(5) == 0 {
        part += &format!("-{}.{}", 1 + chance.below(5), chance.below(9));
    }
    part
}

fn noise(chance: &mut Chance, product: &str) -> String {
    let n = chance.number(2);
    match chance.below(15) {
        0 => format!("The cell holds {n}0mAh at 3.8V and weighs 11.4g."),
        1 => format!(
            "The film was shot in 1080p60 on 2024-0{}-1{}.",
            1 + chance.below(9),
            chance.below(9)
        ),
        2 => "It charges over USB-C 2.0 and meets IEC62368 and EN55032.".into(),
        3 => format!("The {product} costs {n} EUR and comes in a small box."),
        4 => format!(
            "Four M2.5x8 screws hold the lid; R{n} and C{n} sit close to U{}.",
            1 + chance.below(9)
        ),
        5 => format!("The serial number is SN{}.", chance.number(8)),
        6 => format!("Inside the {product} there is more glue than I had hoped."),
        7 => "It is rated IP67 and carries the usual marks.".into(),
        8 => format!("The firmware is V1.{n} and the board says Rev2."),
        9 => "Two 4k7 resistors and a 100nF capacitor stand in QFN-16 neighbourhood.".into(),
        10 => format!(
            "Version 2 of this article corrects the weight, {n}.{} g.",
            chance.below(9)
        ),
        11 => format!("Model number {} is printed on the label.", part(chance)),
        12 => "The radio speaks 802.11n and BT5.2.".into(),
        13 => format!("The {product} lasts for {n} hours."),
        _ => "Nothing rattles, and nothing smells.".into(),
    }
}

fn said(chance: &mut Chance, part: &str, maker: &str, role: &str) -> (String, bool, bool) {
    match chance.below(14) {
        0 => (
            format!("Charging and more is done by {maker}'s {part}, a {role}."),
            true,
            true,
        ),
        1 => (
            format!("The {role} is the {part} from {maker}."),
            true,
            true,
        ),
        2 => (
            format!("Next to it sits the {maker} {part} {role}."),
            true,
            true,
        ),
        3 => (format!("The {part} is a {role} by {maker}."), true, true),
        4 => (
            format!("{maker} makes the {role}, marked {part}."),
            true,
            true,
        ),
        5 => (format!("The {role} is marked {part}."), false, true),
        6 => (format!("A {role} ({part}) keeps it going."), false, true),
        7 => (format!("There is a {part} from {maker}."), true, false),
        8 => (
            format!("The {role}, a {part}, is made by {maker}."),
            true,
            true,
        ),
        9 => (
            format!("The chip marked {part} is a {role}. It comes from {maker}."),
            true,
            true,
        ),
        10 => (format!("{part} ({maker}): {role}"), true, true),
        11 => (format!("- {role}: {maker} {part}"), true, true),
        12 => (
            format!("Under the tape I found the {role}, {maker}'s {part}."),
            true,
            true,
        ),
        _ => (
            format!("The {part} chip is soldered beside the coil."),
            false,
            false,
        ),
    }
}

fn sample(seed: u64) -> Sample {
    let chance = &mut Chance(seed);
    let brand = maker(chance);
    let brand = brand.split(' ').next().unwrap();
    let product = match chance.below(3) {
        0 => format!("{brand} {}-{}", chance.letters(UPPER, 2), chance.number(3)),
        1 => format!("{brand} Glow {}", chance.number(1)),
        _ => format!("{brand} {}{}", chance.letters(UPPER, 2), chance.number(4)),
    };
    let mut text = format!("# Inside the {product}\n\n");
    let mut parts = Vec::new();
    let makers: Vec<String> = (0..3).map(|_| maker(chance)).collect();
    for _ in 0..5 + chance.below(6) {
        if chance.below(2) == 0 {
            text += &noise(chance, &product);
        } else {
            let (part, maker) = (part(chance), makers[chance.below(3)].clone());
            let role = ROLES[chance.below(ROLES.len())];
            let (sentence, has_maker, has_role) = said(chance, &part, &maker, role);
            if sentence.starts_with('-') {
                text += "\n";
            }
            text += &sentence;
            let kept = |has: bool, text: &str| if has { text.to_string() } else { String::new() };
            parts.push((part, kept(has_maker, &maker), kept(has_role, role)));
        }
        text += chance.one(&[" ", "\n\n", "\n"]);
    }
    Sample {
        text,
        format: Format::Markdown,
        parts,
        known: Vec::new(),
    }
}

#[test]
fn fitted_texts_are_read() {
    let samples: Vec<Sample> = (0..400).map(sample).collect();
    let scores = score(&samples);
    told("fitted", &scores);
    assert!(
        scores.parts.precision() >= 0.95 && scores.parts.recall() >= 0.85,
        "{scores:?}"
    );
    assert!(
        scores.makers.precision() >= 0.9 && scores.makers.recall() >= 0.8,
        "{scores:?}"
    );
}
