//! Markings as they are met: kinds of wear, what stands beside the name, what else is known.
//!
//! In: a world and a seed. Out: [`Case`]s, in shares that are known (`posterior` uses the same).

use super::channel::{Channel, Rates};
use super::names::{Known, LOT_LETTERS, World, equal_packages};
use super::text::{Letter, Seen, Segment, Spelled, character, is_capital, is_digit, letter};
use super::{Random, names};
use marking::Clues;

/// Where a name stands among other texts; shares of each for a kind of wear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    Alone,
    /// A lot or date after a space.
    Beside,
    /// A lot or date in the next line.
    Below,
    /// A lot or date in the line before.
    Above,
    /// Maker, name, date.
    Three,
    /// The name goes on in the next line.
    Split,
}

pub const LAYOUTS: [Layout; 6] = [
    Layout::Alone,
    Layout::Beside,
    Layout::Below,
    Layout::Above,
    Layout::Three,
    Layout::Split,
];

/// A kind of wear.
#[derive(Debug, Clone)]
pub struct Cause {
    pub name: &'static str,
    /// Share among the markings of parts.
    pub share: f64,
    pub layouts: [f64; 6],
    pub channel: Channel,
}

const LIGHT: Rates = Rates {
    confused: 0.04,
    unreadable: 0.01,
    ..Rates::NONE
};

/// Kinds of wear of part numbers; codes come besides.
pub fn causes() -> Vec<Cause> {
    let alone = [0.85, 0.0, 0.12, 0.03, 0.0, 0.0];
    let list: [(&str, f64, [f64; 6], Rates); 10] = [
        ("clean", 0.10, [0.7, 0.0, 0.25, 0.05, 0.0, 0.0], Rates::NONE),
        (
            "confused glyphs",
            0.17,
            alone,
            Rates {
                confused: 0.35,
                unreadable: 0.03,
                either: 0.05,
                ..Rates::NONE
            },
        ),
        (
            "scratched",
            0.13,
            alone,
            Rates {
                scratched: true,
                ..LIGHT
            },
        ),
        (
            "rubbed ends",
            0.10,
            alone,
            Rates {
                rubbed: 0.6,
                ..LIGHT
            },
        ),
        (
            "lot beside",
            0.13,
            [0.0, 1.0, 0.0, 0.0, 0.0, 0.0],
            Rates {
                confused: 0.1,
                ..Rates::NONE
            },
        ),
        ("other lines", 0.09, [0.0, 0.0, 0.3, 0.1, 0.4, 0.2], LIGHT),
        (
            "typing slips",
            0.10,
            alone,
            Rates {
                lost: 0.04,
                doubled: 0.03,
                exchanged: 0.04,
                beside: 0.04,
                ..Rates::NONE
            },
        ),
        (
            "maker's prefix",
            0.06,
            alone,
            Rates {
                prefix_dropped: 0.5,
                prefix_added: 0.3,
                ..LIGHT
            },
        ),
        (
            "suffix",
            0.06,
            alone,
            Rates {
                suffix_dropped: 0.6,
                suffix_added: 0.3,
                ..LIGHT
            },
        ),
        (
            "several",
            0.06,
            [0.4, 0.3, 0.3, 0.0, 0.0, 0.0],
            Rates {
                confused: 0.2,
                unreadable: 0.03,
                scratched: true,
                suffix_dropped: 0.2,
                lost: 0.01,
                ..Rates::NONE
            },
        ),
    ];
    let made = list.into_iter().map(|(name, share, layouts, rates)| Cause {
        name,
        share: share * (1.0 - CODES),
        layouts,
        channel: Channel::new(rates),
    });
    made.collect()
}

/// Share of top-marking codes among the markings of listed parts.
pub const CODES: f64 = 0.07;
/// Shares of a code alone, with a lot letter, with a letter and a digit.
pub const CODE_LOTS: [f64; 3] = [0.3, 0.4, 0.3];
/// How often a code is read with one letter confused as in the pictures.
pub const CODE_RATES: Rates = Rates {
    confused: 0.15,
    ..Rates::NONE
};

/// What is the truth about a marking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Truth {
    /// Number in `World::listed`.
    Listed(usize),
    /// Number in `World::held`.
    Held(usize),
    /// A sister of a listed part, in one place another, sharp.
    Sister,
    /// A code that no part has.
    NoCode,
}

/// How likely each truth is to be met, and how many of a hundred markings are made of it.
pub const MET: [f64; 4] = [0.90, 0.05, 0.04, 0.01];
pub const MADE: [f64; 4] = [0.82, 0.09, 0.07, 0.02];

pub fn stratum(truth: Truth) -> usize {
    match truth {
        Truth::Listed(_) => 0,
        Truth::Held(_) => 1,
        Truth::Sister => 2,
        Truth::NoCode => 3,
    }
}

/// One marking.
#[derive(Debug, Clone)]
pub struct Case {
    pub truth: Truth,
    pub cause: &'static str,
    /// Lines, each of segments between spaces.
    pub lines: Vec<Vec<Segment>>,
    pub clues: Clues,
}

impl Case {
    /// As an analyst writes it down.
    pub fn written(&self) -> String {
        let line = |segments: &Vec<Segment>| -> String {
            let texts: Vec<String> = segments.iter().map(Segment::written).collect();
            texts.join(" ")
        };
        let lines: Vec<String> = self.lines.iter().map(line).collect();
        lines.join("|")
    }
}

/// Makes so many markings.
pub fn cases(world: &World, causes: &[Cause], count: usize, random: &mut Random) -> Vec<Case> {
    let code_channel = Channel::new(CODE_RATES);
    (0..count)
        .map(|_| case(world, causes, &code_channel, random))
        .collect()
}

fn case(world: &World, causes: &[Cause], code_channel: &Channel, random: &mut Random) -> Case {
    match random.weighted(&MADE) {
        0 if random.happens(CODES) => {
            let i = random.one(&world.coded);
            let known = &world.listed[i];
            let seen = code_channel.draw(&lettered(&known.codes[0], random), random);
            Case {
                truth: Truth::Listed(i),
                cause: "code",
                lines: vec![vec![seen]],
                clues: clues(world, known, 0.8, random),
            }
        }
        0 => {
            let i = random.below(world.listed.len());
            let (cause, lines) = worn(causes, &world.listed[i].name, random);
            let clues = clues(world, &world.listed[i], 0.5, random);
            Case {
                truth: Truth::Listed(i),
                cause,
                lines,
                clues,
            }
        }
        1 => {
            let i = random.below(world.held.len());
            let (_, lines) = worn(causes, &world.held[i].name, random);
            let clues = clues(world, &world.held[i], 0.5, random);
            Case {
                truth: Truth::Held(i),
                cause: "held out",
                lines,
                clues,
            }
        }
        2 => {
            let (of, text) = sister(world, random);
            let layouts = causes[0].layouts;
            Case {
                truth: Truth::Sister,
                cause: "sister, sharp",
                lines: laid_out(
                    Segment::read(&text),
                    LAYOUTS[random.weighted(&layouts)],
                    random,
                ),
                clues: clues(world, &world.listed[of], 0.5, random),
            }
        }
        _ => {
            let code: Vec<Letter> = names::code(random).chars().filter_map(letter).collect();
            let like = random.one(&world.coded);
            let seen = Segment::read(&lettered(&code, random).letters);
            Case {
                truth: Truth::NoCode,
                cause: "code, unlisted",
                lines: vec![vec![seen]],
                clues: clues(world, &world.listed[like], 0.8, random),
            }
        }
    }
}

fn worn(
    causes: &[Cause],
    name: &Spelled,
    random: &mut Random,
) -> (&'static str, Vec<Vec<Segment>>) {
    let shares: Vec<f64> = causes.iter().map(|c| c.share).collect();
    let cause = &causes[random.weighted(&shares)];
    let layout = LAYOUTS[random.weighted(&cause.layouts)];
    let seen = cause.channel.draw(name, random);
    (cause.name, laid_out(seen, layout, random))
}

/// A code and what follows it without a space.
fn lettered(code: &[Letter], random: &mut Random) -> Spelled {
    let mut out = Spelled {
        letters: code.to_vec(),
        hyphen: vec![false; code.len()],
    };
    let more = random.weighted(&CODE_LOTS);
    if more >= 1 {
        out.push(letter(random.one(&LOT_LETTERS)).unwrap_or(0), false);
    }
    if more == 2 {
        out.push(random.below(10) as Letter, false);
    }
    out
}

/// Places of a name that a sister part may have otherwise: digits, and the last letter.
pub fn sister_places(name: &Spelled) -> Vec<usize> {
    let last = name.len().saturating_sub(1);
    let may = |i: &usize| is_digit(name.letters[*i]) || *i == last && is_capital(name.letters[*i]);
    (0..name.len()).filter(may).collect()
}

fn sister(world: &World, random: &mut Random) -> (usize, Vec<Letter>) {
    loop {
        let of = random.below(world.listed.len());
        let name = &world.listed[of].name;
        let places = sister_places(name);
        if name.is_open() || places.is_empty() {
            continue;
        }
        let mut text = name.letters.clone();
        let at = random.one(&places);
        text[at] = if is_digit(text[at]) {
            random.below(10) as Letter
        } else {
            10 + random.below(26) as Letter
        };
        if !world.spelled.contains(&text) {
            return (of, text);
        }
    }
}

const MAKERS: [&str; 6] = [
    "ZULMARIK",
    "THRENDOVA",
    "OXQUILLON",
    "BRAMWHIST",
    "KESTRON",
    "VIDULA",
];

fn laid_out(name: Segment, layout: Layout, random: &mut Random) -> Vec<Vec<Segment>> {
    match layout {
        Layout::Alone => vec![vec![name]],
        Layout::Beside => vec![vec![name, lot(random)]],
        Layout::Below => vec![vec![name], vec![lot(random)]],
        Layout::Above => vec![vec![lot(random)], vec![name]],
        Layout::Three => {
            let maker: Vec<Letter> = random.one(&MAKERS).chars().filter_map(letter).collect();
            vec![vec![Segment::read(&maker)], vec![name], vec![date(random)]]
        }
        Layout::Split if name.seen.len() >= 5 => {
            let at = 2 + random.below(name.seen.len() - 3);
            let (a, b) = name.split(at);
            vec![vec![a], vec![b]]
        }
        Layout::Split => vec![vec![name]],
    }
}

/// Share of dates among lots and dates.
const DATES: f64 = 0.4;

fn date(random: &mut Random) -> Segment {
    let (year, week) = (random.below(26), 1 + random.below(52));
    let digits = [year / 10, year % 10, week / 10, week % 10].map(|d| d as Letter);
    Segment::read(&digits)
}

fn lot(random: &mut Random) -> Segment {
    if random.happens(DATES) {
        return date(random);
    }
    let n = 3 + random.below(4);
    let text: Vec<Letter> = (0..n)
        .map(|_| match random.happens(0.5) {
            true => random.below(10) as Letter,
            false => letter(random.one(&LOT_LETTERS)).unwrap_or(0),
        })
        .collect();
    Segment::read(&text)
}

/// Probability of a text as a lot or date.
pub fn lot_probability(segment: &Segment) -> f64 {
    let mut text = Vec::new();
    for seen in &segment.seen {
        match seen {
            Seen::Read(l) => text.push(*l),
            _ => return 0.0,
        }
    }
    let each = |l: &Letter| match *l {
        l if is_digit(l) => 0.05,
        l if LOT_LETTERS.contains(&character(l)) => 0.5 / 24.0,
        _ => 0.0,
    };
    let lot = if (3..=6).contains(&text.len()) {
        0.25 * text.iter().map(each).product::<f64>()
    } else {
        0.0
    };
    let is_date = text.len() == 4 && text.iter().all(|l| is_digit(*l)) && {
        let (year, week) = (text[0] * 10 + text[1], text[2] * 10 + text[3]);
        year < 26 && (1..=52).contains(&week)
    };
    let date = if is_date { 1.0 / (26.0 * 52.0) } else { 0.0 };
    DATES * date + (1.0 - DATES) * lot
}

/// Shares of a package under another of its names, and of a wrong one; of pins with the pad counted.
pub const RENAMED: f64 = 0.35;
pub const WRONG: f64 = 0.03;
pub const PAD: f64 = 0.1;

fn clues(world: &World, known: &Known, given: f64, random: &mut Random) -> Clues {
    let mut out = Clues::default();
    if !random.happens(given) {
        return out;
    }
    let mut package = known.packages[random.below(known.packages.len())].clone();
    if random.happens(0.8) {
        let pad = package.contains("FN") && random.happens(PAD);
        out.pins = Some(known.pins + u32::from(pad));
    }
    if random.happens(WRONG) {
        package = world.all_packages[random.below(world.all_packages.len())].clone();
    } else {
        let others = equal_packages(&package);
        if !others.is_empty() && random.happens(RENAMED) {
            package = others[random.below(others.len())].clone();
        }
    }
    out.package = Some(package);
    out
}
