//! The catalogues that markings are made from: the open symbol set as installed, or an invented one.

use super::Random;
use super::text::{Letter, Spelled, letter};
use catalogue::Part;
use std::collections::{BTreeMap, HashSet};

/// Share of the names asked for that are taken out of the catalogue.
const HELD: f64 = 0.1;
/// Share of the small parts that have a top-marking code.
const CODED: f64 = 0.3;
/// Names with more letters are not asked for.
const LONGEST: usize = 18;

/// A part that markings are made of.
#[derive(Debug, Clone)]
pub struct Known {
    /// Row of the catalogue; `None` when it was taken out.
    pub row: Option<usize>,
    pub name: Spelled,
    pub packages: Vec<String>,
    pub pins: u32,
    pub codes: Vec<Vec<Letter>>,
}

/// A catalogue, and what is asked of it.
#[derive(Debug, Clone)]
pub struct World {
    pub parts: Vec<Part>,
    pub listed: Vec<Known>,
    pub held: Vec<Known>,
    /// Numbers in `listed` of parts with a code.
    pub coded: Vec<usize>,
    /// All names of the catalogue, as spelled.
    pub spelled: HashSet<Vec<Letter>>,
    pub all_packages: Vec<String>,
    /// How many names that are asked for are spelled alike.
    pub alike: BTreeMap<Vec<Letter>, usize>,
}

impl World {
    pub fn new(all: Vec<Part>, random: &mut Random) -> Self {
        let mut out = Self {
            parts: Vec::new(),
            listed: Vec::new(),
            held: Vec::new(),
            coded: Vec::new(),
            spelled: HashSet::new(),
            all_packages: Vec::new(),
            alike: BTreeMap::new(),
        };
        let mut last = None;
        for mut part in all {
            let name = Spelled::of(&part.name);
            let mut known = Known {
                row: None,
                packages: part.packages.clone(),
                pins: part.pins.unwrap_or(0),
                codes: Vec::new(),
                name,
            };
            let asked = is_asked_for(&part, &known.name);
            if asked && random.happens(HELD) {
                out.held.push(known);
                continue;
            }
            if asked && part.packages.iter().all(|p| is_small(p)) && random.happens(CODED) {
                let code = match last.take() {
                    Some(code) if random.happens(0.1) => code,
                    _ => code(random),
                };
                part.codes = vec![code.as_str().into()];
                known.codes = vec![code.chars().filter_map(letter).collect()];
                last = Some(code);
                out.coded.push(out.listed.len());
            }
            known.row = Some(out.parts.len());
            out.spelled.insert(known.name.letters.clone());
            if asked {
                out.all_packages.extend(part.packages.iter().cloned());
                *out.alike.entry(known.name.letters.clone()).or_default() += 1;
                out.listed.push(known);
            }
            out.parts.push(part);
        }
        out
    }
}

fn is_asked_for(part: &Part, name: &Spelled) -> bool {
    let usual = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '.';
    let ends_known = !part.packages.is_empty() && part.pins.is_some();
    ends_known
        && (5..=LONGEST).contains(&name.len())
        && part.name.chars().all(usual)
        && part.name.chars().any(|c| c.is_ascii_digit())
}

fn is_small(package: &str) -> bool {
    [
        "SOT-23", "SOT-323", "SOT-353", "SOT-363", "SC-70", "SOD-", "TSOT-23", "DFN-6", "WSON-6",
    ]
    .iter()
    .any(|small| package.starts_with(small))
}

/// Two to four letters and digits.
pub fn code(random: &mut Random) -> String {
    let n = 2 + random.weighted(&[0.2, 0.5, 0.3]);
    (0..n).map(|_| code_character(random)).collect()
}

/// Digit 0.4, one of 24 letters 0.6.
fn code_character(random: &mut Random) -> char {
    if random.happens(0.4) {
        (b'0' + random.below(10) as u8) as char
    } else {
        random.one(&LOT_LETTERS)
    }
}

/// −ln of how many codes of a text there are, by the same shares.
pub fn code_probability(text: &[Letter]) -> f64 {
    let length = match text.len() {
        2 => 0.2,
        3 => 0.5,
        4 => 0.3,
        _ => return 0.0,
    };
    let each = |l: &Letter| if *l < 10 { 0.04 } else { 0.6 / 24.0 };
    length * text.iter().map(each).product::<f64>()
}

/// Capitals that lots and codes use: without I and O.
pub const LOT_LETTERS: [char; 24] = [
    'A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'Q', 'R', 'S', 'T', 'U',
    'V', 'W', 'X', 'Y', 'Z',
];

/// Packages that go under several names: from JEDEC's outlines (TO-236 is SOT-23, TO-261 SOT-223,
/// TO-252 DPAK, TO-263 D2PAK) and SC-70 after JEITA; common practice.
pub fn equal_packages(package: &str) -> Vec<String> {
    let swapped = |from: &str, to: &[&str]| -> Vec<String> {
        let rest = package.strip_prefix(from);
        rest.map(|rest| to.iter().map(|t| format!("{t}{rest}")).collect())
            .unwrap_or_default()
    };
    match package {
        "SOT-23" => vec!["TO-236".into(), "SOT-23-3".into()],
        "SOT-223" => vec!["TO-261".into()],
        "SOT-363" => vec!["SC-70-6".into()],
        "SOT-353" => vec!["SC-70-5".into()],
        "TO-252-2" | "TO-252-3" => vec!["DPAK".into()],
        "TO-263-2" | "TO-263-3" => vec!["D2PAK".into()],
        p if p.starts_with("DIP-") => swapped("DIP-", &["PDIP-"]),
        p if p.starts_with("SOIC-") => swapped("SOIC-", &["SO-"]),
        p if p.starts_with("QFN-") => swapped("QFN-", &["VQFN-", "WQFN-", "HVQFN-"]),
        _ => Vec::new(),
    }
}

const ONSETS: [&str; 20] = [
    "B", "BR", "D", "DR", "F", "G", "GL", "H", "K", "KR", "L", "M", "N", "P", "R", "S", "T", "TH",
    "V", "Z",
];
const VOWELS: [&str; 6] = ["A", "E", "I", "O", "U", "Y"];
const CODAS: [&str; 8] = ["", "", "K", "L", "M", "N", "R", "X"];

/// An invented catalogue: makers with a spoken prefix, families of numbers, grades, packages.
pub fn invented(count: usize, random: &mut Random) -> Vec<Part> {
    const PACKAGES: [&str; 12] = [
        "SOIC-8", "DIP-8", "QFN-16", "QFN-24", "SOT-23", "SOT-23-5", "SOT-23-6", "TSSOP-14",
        "DFN-6", "LQFP-48", "SOT-363", "TO-252-3",
    ];
    let syllable = |random: &mut Random| {
        [random.one(&ONSETS), random.one(&VOWELS), random.one(&CODAS)].concat()
    };
    let mut prefixes: Vec<String> = (0..60).map(|_| syllable(random)).collect();
    prefixes.iter_mut().for_each(|p| p.truncate(4));
    let mut out: Vec<Part> = Vec::new();
    let mut names = HashSet::new();
    while out.len() < count {
        let prefix = prefixes[random.below(prefixes.len())].clone();
        let digits = 2 + random.weighted(&[0.2, 0.5, 0.3]);
        let least = 10_usize.pow(digits as u32 - 1);
        let mut number = least + random.below(9 * least);
        let package = random.one(&PACKAGES);
        for _ in 0..1 + random.below(6) {
            for _ in 0..1 + random.below(3) {
                let grade = ["", "", "A", "B", "C", "H"][random.below(6)];
                let tail = match random.below(6) {
                    0 => format!("-{}.{}", 1 + random.below(5), random.one(&[0, 2, 3, 5, 8])),
                    1 => format!("-{}", 1 + random.below(60)),
                    2 => random
                        .one(&["DR", "MX", "QTR", "YZ", "RGT", "PW", "Dx"])
                        .to_string(),
                    _ => String::new(),
                };
                let name = format!("{prefix}{number}{grade}{tail}");
                let package = if random.happens(0.7) {
                    package
                } else {
                    random.one(&PACKAGES)
                };
                if name.len() >= 5 && names.insert(name.clone()) {
                    let pins = package.rsplit('-').next().and_then(|n| n.parse().ok());
                    out.push(Part {
                        name,
                        packages: vec![package.to_string()],
                        pins: Some(if package == "SOT-23" {
                            3
                        } else {
                            pins.unwrap_or(3)
                        }),
                        ..Part::default()
                    });
                }
            }
            number += 1 + random.below(4);
        }
    }
    out.truncate(count);
    out
}
