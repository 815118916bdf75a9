//! Which kinds of statement a sentence may be, by its figures and words.

use super::Words;
use super::figures::Figure;
use crate::ClaimKind;
use quantity::{Dimension, Sense};
use serde_json::{Map, Value as Json, json};
use std::ops::Range;

/// A statement without the thing it is about.
pub(super) struct Stated {
    pub(super) kind: ClaimKind,
    pub(super) entry: Map<String, Json>,
    pub(super) says: Vec<String>,
    pub(super) rests_on: Vec<Range<usize>>,
}

impl Stated {
    pub(super) fn of(kind: ClaimKind, rests_on: Vec<Range<usize>>) -> Self {
        let mut stated = Self {
            kind,
            entry: Map::new(),
            says: Vec::new(),
            rests_on,
        };
        stated.says.push(name(kind).to_string());
        stated
    }

    fn with(mut self, key: &str, value: impl Into<Json>) -> Self {
        self.entry.insert(key.to_string(), value.into());
        self
    }

    fn figure(kind: ClaimKind, figure: &Figure) -> Self {
        let key = match figure.rating || is_rated(kind) {
            true => "rating",
            false => "value",
        };
        let mut stated = Self::of(kind, vec![figure.at.clone()]).with(key, figure.text.as_str());
        stated.says.insert(0, sense(figure));
        stated
    }

    fn names(kind: ClaimKind, text: &str, at: Range<usize>) -> Self {
        let named = &text[at.clone()];
        let mut stated = Self::of(kind, vec![at]).with("names", named);
        stated.says.insert(0, named.to_string());
        stated
    }
}

fn is_rated(kind: ClaimKind) -> bool {
    matches!(
        kind,
        ClaimKind::Input | ClaimKind::Output | ClaimKind::Cable
    )
}

/// Returns what a kind is called in a sentence.
fn name(kind: ClaimKind) -> &'static str {
    match kind {
        ClaimKind::Mass => "mass",
        ClaimKind::Capacity => "capacity",
        ClaimKind::Energy => "energy",
        ClaimKind::Input => "electrical input",
        ClaimKind::Output => "electrical output",
        ClaimKind::Cable => "rating of a cable",
        ClaimKind::Power => "power",
        ClaimKind::LuminousFlux => "light given out",
        ClaimKind::ViewAngle => "angle of view",
        ClaimKind::Resolution => "number of picture elements",
        ClaimKind::Bands => "radio bands",
        ClaimKind::RunTime => "run time",
        ClaimKind::ChargingTime => "charging time",
        ClaimKind::QuickCharge => "minutes of charging for hours of use",
        ClaimKind::Recharges => "recharges",
        ClaimKind::Dimension => "a size",
        ClaimKind::NoiseReduction => "depth of noise reduction",
        ClaimKind::Delay => "delay",
        ClaimKind::Ingress => "ingress protection",
        ClaimKind::Part => "a part that is there",
        ClaimKind::Interface => "an interface that is there",
        ClaimKind::Radio => "a radio standard",
        ClaimKind::Function => "a function that is there",
        ClaimKind::Repair => "that it can be replaced or repaired",
        ClaimKind::First => "being the first",
        ClaimKind::Leading => "being foremost",
        ClaimKind::Slogan => "nothing to test",
        ClaimKind::Unknown => "not known",
    }
}

/// Says a figure with its sense: `at most 75 min`.
fn sense(figure: &Figure) -> String {
    if figure.rating {
        return figure.text.clone();
    }
    let stated = &figure.stated;
    let value = stated.quantity();
    match stated.sense {
        Sense::Exactly => format!("{value}"),
        Sense::About => format!("about {value}"),
        Sense::UpTo => format!("at most {value}"),
        Sense::AtLeast => format!("at least {value}"),
        Sense::Between => stated.text.clone(),
    }
}

/// Returns the statements that a sentence may make, the likeliest first.
pub(super) fn stated(text: &str, words: &Words, figures: &[Figure]) -> Vec<Stated> {
    let mut read = Vec::new();
    read.extend(first(text, words));
    read.extend(ingress(text));
    read.extend(quick_charge(words, figures));
    read.extend(named(text, words));
    for figure in figures {
        let kinds = of_figure(words, figure);
        read.extend(kinds.into_iter().map(|kind| {
            let stated = Stated::figure(kind, figure);
            match kind {
                ClaimKind::Dimension => dimension(words, stated),
                _ => stated,
            }
        }));
    }
    read.extend(part(text, words));
    read.extend(repair(words, figures));
    read.extend(function(text, words, figures));
    read
}

/// Returns the kinds that a figure may be of by its dimension and the words beside it.
fn of_figure(words: &Words, figure: &Figure) -> Vec<ClaimKind> {
    use ClaimKind as K;
    let input = || match () {
        () if words.begins(&["output", "out"]) => vec![K::Output, K::Input],
        () if words.begins(&["cable", "lead"]) => vec![K::Cable, K::Input],
        () => vec![K::Input, K::Output],
    };
    let of = figure.stated.dimension();
    match () {
        () if figure.rating => input(),
        () if of == Dimension::MASS => vec![K::Mass],
        () if of == Dimension::CHARGE => vec![K::Capacity],
        () if of == Dimension::ENERGY => vec![K::Energy],
        () if of == Dimension::TIME => of_time(words, figure),
        () if of == Dimension::LENGTH => vec![K::Dimension],
        () if of == Dimension::LEVEL => vec![K::NoiseReduction],
        () if of == Dimension::LUMINOUS_FLUX => vec![K::LuminousFlux],
        () if of == Dimension::POWER && words.begins(&["charg", "input", "output"]) => {
            let mut kinds = input();
            kinds.push(K::Power);
            kinds
        }
        () if of == Dimension::POWER => vec![K::Power, K::Input],
        () => of_number(words, figure),
    }
}

fn of_time(words: &Words, figure: &Figure) -> Vec<ClaimKind> {
    use ClaimKind as K;
    /// A delay is told in less than this, seconds.
    const DELAY: f64 = 5.0;
    let short = figure.stated.high_si() < DELAY;
    let waits = words.begins(&["delay", "latenc", "answer", "respon", "lag", "react"]);
    if short || waits {
        return vec![K::Delay];
    }
    if words.begins(&["charg", "recharg"]) {
        return vec![K::ChargingTime, K::RunTime];
    }
    vec![K::RunTime, K::ChargingTime]
}

fn of_number(words: &Words, figure: &Figure) -> Vec<ClaimKind> {
    use ClaimKind as K;
    let unit = figure.stated.unit.symbol();
    match unit {
        "°" | "rad" => vec![K::ViewAngle],
        "px" => vec![K::Resolution],
        "" | "pcs" if words.begins(&["recharg", "charge", "refill"]) => vec![K::Recharges],
        _ => Vec::new(),
    }
}

/// Minutes of charging that give hours of use.
fn quick_charge(words: &Words, figures: &[Figure]) -> Option<Stated> {
    let times: Vec<&Figure> = figures
        .iter()
        .filter(|f| f.stated.dimension() == Dimension::TIME)
        .collect();
    let [first, second] = times.as_slice() else {
        return None;
    };
    let gives = words.begins(&["giv", "charg", "for", "deliver", "add", "plug"]);
    if !gives {
        return None;
    }
    let (after, value) = match first.stated.si() <= second.stated.si() {
        true => (first, second),
        false => (second, first),
    };
    let mut stated =
        Stated::figure(ClaimKind::QuickCharge, value).with("after", after.text.as_str());
    stated
        .says
        .insert(1, format!("after {}", after.stated.quantity()));
    stated.rests_on.push(after.at.clone());
    Some(stated)
}

/// An ingress code: IP and two digits or X, perhaps a letter (IEC 60529).
fn ingress(text: &str) -> Option<Stated> {
    let is_code = |word: &str| {
        let word = word.as_bytes();
        let digits = |b: u8| b.is_ascii_digit() || b == b'X';
        matches!(word.len(), 4..=6)
            && word.starts_with(b"IP")
            && word[2..4].iter().all(|b| digits(*b))
            && word[4..].iter().all(u8::is_ascii_uppercase)
    };
    let mut words = text.split(|c: char| !c.is_ascii_alphanumeric());
    let code = words.find(|word| is_code(word))?;
    let at = text.find(code)?;
    Some(Stated::names(ClaimKind::Ingress, text, at..at + code.len()))
}

/// Standards and sockets that are named by open standards, longest first.
const NAMED: &[(ClaimKind, &[&str])] = &[
    (
        ClaimKind::Bands,
        &["dual-band", "dual band", "tri-band", "tri band"],
    ),
    (
        ClaimKind::Radio,
        &[
            "ieee 802.15.4",
            "ieee 802.11",
            "bluetooth",
            "wi-fi",
            "wifi",
            "zigbee",
            "thread",
            "nfc",
            "uwb",
            "ultra-wideband",
            "lte",
            "5g",
            "gnss",
            "lora",
            "dect",
        ],
    ),
    (
        ClaimKind::Interface,
        &[
            "usb-c",
            "usb type-c",
            "usb c",
            "usb-a",
            "usb",
            "hdmi",
            "displayport",
            "ethernet",
            "headphone jack",
            "i2c",
            "qi",
        ],
    ),
];

/// What a sentence names by an open standard, with the number behind it (`5.3`, `3.2`).
fn named(text: &str, words: &Words) -> Vec<Stated> {
    let found = NAMED.iter().filter_map(|(kind, names)| {
        let mut at = words.any(names)?;
        let rest = &text[at.end..];
        let number = rest.trim_start_matches(' ');
        let digits = number
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(number.len());
        let version = number[..digits].trim_end_matches('.');
        // A unit behind the number makes it a figure of its own.
        let alone = number[digits..]
            .trim_start()
            .chars()
            .next()
            .is_none_or(|c| !c.is_alphabetic());
        if !version.is_empty() && alone {
            at.end += rest.len() - number.len() + version.len();
        }
        Some(Stated::names(*kind, text, at))
    });
    found.collect()
}

/// Roles of parts that makers name.
const ROLES: &[&str] = &[
    "motion sensor",
    "light sensor",
    "image sensor",
    "pressure sensor",
    "temperature sensor",
    "sensor",
    "processor",
    "microcontroller",
    "controller",
    "charger",
    "amplifier",
    "microphone",
    "speaker",
    "driver",
    "motor",
    "radio",
    "antenna",
    "display",
    "memory",
    "flash",
    "chip",
];

/// A part by its number, its role or its maker.
fn part(text: &str, words: &Words) -> Option<Stated> {
    let number = text
        .split_whitespace()
        .map(|word| word.trim_matches(|c: char| ".,;:!?()\"“”".contains(c)));
    let mut number = number.filter(|word| is_part_number(word));
    let role = words.any(ROLES);
    if let Some(number) = number.next() {
        let at = text.find(number)?;
        let mut stated = Stated::names(ClaimKind::Part, text, at..at + number.len());
        if let Some(role) = role {
            stated = stated.with("role", &words.lower[role]);
        }
        return Some(stated);
    }
    let role = role?;
    let name = words.lower[role.clone()].to_string();
    let mut stated = Stated::of(ClaimKind::Part, vec![role.clone()]).with("role", name.as_str());
    stated.says.insert(0, name);
    // A word in front with a capital letter, not the first of the sentence by custom alone, is the maker.
    let before = text[..role.start].trim_end();
    let maker = before.rsplit(' ').next().filter(|word| is_name(word));
    if let Some(maker) = maker {
        stated.says.insert(0, maker.to_string());
        stated = stated.with("maker", maker);
    }
    Some(stated)
}

/// Being the first with a part, or with what follows "with".
fn first(text: &str, words: &Words) -> Option<Stated> {
    words.find("first")?;
    if let Some(part) = part(text, words) {
        let mut first = Stated {
            kind: ClaimKind::First,
            ..part
        };
        first.says.insert(0, "the first".to_string());
        return Some(first);
    }
    let with = words.any(&["with a", "with an", "with"])?;
    let rest = text[with.end..].trim();
    let named = rest.trim_end_matches(['.', '!']);
    let at = with.end + text[with.end..].find(named)?;
    (!named.is_empty()).then(|| Stated::names(ClaimKind::First, text, at..at + named.len()))
}

/// Letters and digits mixed, at least four, capital letters only: `TH-KARN2`, `OXT7`.
fn is_part_number(word: &str) -> bool {
    let long = word.chars().filter(char::is_ascii_alphanumeric).count() >= 4;
    let fits = |c: char| c.is_ascii_uppercase() || c.is_ascii_digit() || c == '-';
    let has = |test: fn(&char) -> bool| word.chars().any(|c| test(&c));
    long && word.chars().all(fits)
        && has(char::is_ascii_uppercase)
        && has(char::is_ascii_digit)
        && word.starts_with(|c: char| c.is_ascii_uppercase())
        && !word.starts_with("IP")
}

fn is_name(word: &str) -> bool {
    const COMMON: &[&str] = &[
        "the", "a", "an", "with", "new", "our", "built-in", "smart", "dual",
    ];
    let rest = word.chars().skip(1).all(|c| c.is_alphabetic() || c == '-');
    word.chars().next().is_some_and(char::is_uppercase)
        && word.chars().count() > 2
        && rest
        && !COMMON.contains(&word.to_lowercase().as_str())
}

/// Which side a length is of.
fn dimension(words: &Words, mut stated: Stated) -> Stated {
    const SIDES: &[(&str, &[&str])] = &[
        ("thickness", &["thin", "thick", "slim", "thickness"]),
        ("width", &["wide", "width", "across"]),
        ("height", &["high", "tall", "height"]),
        ("diameter", &["diameter", "⌀", "ø", "round"]),
        ("length", &["long", "length"]),
    ];
    let side = SIDES.iter().find(|(_, names)| words.any(names).is_some());
    let side = side.map_or("unknown", |(side, _)| side);
    if side != "unknown" {
        stated.says[1] = side.to_string();
    }
    stated.with("says", json!({ "dimension": side }))
}

/// That something can be replaced or repaired, without a figure.
fn repair(words: &Words, figures: &[Figure]) -> Option<Stated> {
    let says = words.begins(&["replac", "repair", "exchang", "swap", "serviceab"]);
    (says && figures.is_empty()).then(|| Stated::of(ClaimKind::Repair, Vec::new()))
}

/// A function that is named without a figure: the sentence as it stands.
fn function(text: &str, words: &Words, figures: &[Figure]) -> Option<Stated> {
    let does = words.begins(&[
        "control",
        "detect",
        "wireless",
        "touch",
        "alarm",
        "timer",
        "mode",
        "tracking",
        "dimm",
        "wake",
        "app",
        "voice",
        "itself",
        "automatic",
        "auto",
    ]);
    if !does || !figures.is_empty() {
        return None;
    }
    let named = text.trim().trim_end_matches(['.', '!']);
    let at = text.find(named)?;
    Some(Stated::names(
        ClaimKind::Function,
        text,
        at..at + named.len(),
    ))
}
