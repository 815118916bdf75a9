//! Catalogues and worn markings for tests, from a seed.

#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test file and example uses some of it"
)]

pub mod measure;
pub mod similarity;
pub mod symbol_set;
pub mod wear;

use catalogue::Part;
use marking::Clues;

/// SplitMix64: G. L. Steele, D. Lea, C. H. Flood, OOPSLA 2014, figure 3.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub(crate) fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.next()) * n as u128) >> 64) as usize
    }

    pub(crate) fn pick<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }

    pub(crate) fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }
}

pub(crate) const LETTERS: &[char] = &[
    'A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'I', 'J', 'K', 'L', 'M', 'N', 'O', 'P', 'Q', 'R', 'S',
    'T', 'U', 'V', 'W', 'X', 'Y', 'Z',
];
pub(crate) const DIGITS: &[char] = &['0', '1', '2', '3', '4', '5', '6', '7', '8', '9'];
const LOOK: [&str; 7] = ["0ODQ", "1IL7", "5S", "8B3", "2Z", "6G", "UV"];

pub(crate) fn name(dice: &mut Dice) -> String {
    let mut out = String::new();
    (0..2 + dice.below(3)).for_each(|_| out.push(dice.pick(LETTERS)));
    (0..2 + dice.below(4)).for_each(|_| out.push(dice.pick(DIGITS)));
    for _ in 0..dice.below(5) {
        let letter = dice.chance(70);
        out.push(dice.pick(if letter { LETTERS } else { DIGITS }));
    }
    match dice.below(20) {
        0 => out.push_str("-TR"),
        1 => out.insert(2, 'x'),
        2 => out.push('x'),
        3 => out.push_str("/A LONGER TAIL 01"),
        _ => {}
    }
    out
}

const PACKAGES: [&str; 6] = ["QFN-16", "QFN-24", "SOT-23-5", "SOIC-8", "WLCSP-9", "DFN-8"];
const PINS: [u32; 6] = [16, 24, 5, 8, 9, 8];
const MAKERS: [&str; 4] = ["Zulmarik", "Threndova", "Oxquillon", "Bramwhist"];
const ROLES: [&str; 4] = ["charger", "motion sensor", "light driver", "switch"];

/// Families of similar names, some with aliases, codes and facts.
pub(crate) fn parts(count: usize, dice: &mut Dice) -> Vec<Part> {
    let mut out: Vec<Part> = Vec::with_capacity(count);
    while out.len() < count {
        let stem = name(dice);
        for _ in 0..1 + dice.below(3) {
            let mut part = Part {
                name: worn(&stem, 0, dice),
                ..Part::default()
            };
            if dice.chance(60) {
                let k = dice.below(PACKAGES.len());
                part.packages = vec![PACKAGES[k].to_string()];
                part.pins = Some(PINS[k]);
                part.body_mm = dice.chance(50).then_some([4.0, 3.0]);
                part.pitch_mm = dice.chance(50).then_some(0.5);
            }
            if dice.chance(50) {
                part.maker = dice.pick(&MAKERS).to_string();
                part.role = dice.pick(&ROLES).to_string();
            }
            if dice.chance(20) {
                part.aliases = vec![name(dice)];
            }
            if dice.chance(20) {
                part.codes = vec![catalogue::TopCode::on(
                    name(dice).chars().skip(2).take(3).collect::<String>(),
                    "",
                )];
            }
            out.push(part);
        }
    }
    out.truncate(count);
    out
}

/// A name with so many errors.
pub(crate) fn worn(name: &str, errors: usize, dice: &mut Dice) -> String {
    let mut chars: Vec<char> = name.chars().collect();
    for _ in 0..errors {
        if chars.is_empty() {
            break;
        }
        let at = dice.below(chars.len());
        match dice.below(10) {
            0 => {
                chars.remove(at);
            }
            1 => chars.insert(at, dice.pick(DIGITS)),
            2 => chars[at] = dice.pick(LETTERS),
            3 => {
                chars.pop();
            }
            4 => {
                chars.remove(0);
            }
            _ => {
                if let Some(group) = LOOK.iter().find(|g| g.contains(chars[at])) {
                    chars[at] = dice.pick(&group.chars().collect::<Vec<_>>());
                }
            }
        }
    }
    chars.into_iter().collect()
}

/// A marking of a name: errors, marks of the notation, more lines.
pub(crate) fn marking(name: &str, dice: &mut Dice) -> String {
    let errors = dice.below(4);
    let text = worn(name, errors, dice);
    let mut out = String::new();
    for c in text.chars() {
        match dice.below(24) {
            0 | 1 => out.push('?'),
            2 => out.push_str(&format!("[{c}B8]")),
            3 => out.push_str(&format!("[{c}WK]")),
            4 if !out.is_empty() => out.push_str(&format!(" {c}")),
            _ => out.push(c),
        }
    }
    if dice.chance(10) {
        out.insert(0, '~');
    }
    if dice.chance(15) {
        out.push('~');
    }
    match dice.below(12) {
        0 => out.push_str("|2631A"),
        1 => out = format!("{{Zulmarik}}|{out}|6K1"),
        2 => {
            let at = out.char_indices().nth(3).map_or(0, |(i, _)| i);
            if !out[..at].contains(['[', '{', '~']) && at > 0 {
                out.insert(at, '|');
            }
        }
        _ => {}
    }
    if dice.chance(5) {
        out = out
            .chars()
            .take(3)
            .filter(|c| c.is_alphanumeric())
            .collect();
    }
    out
}

pub(crate) fn clues(part: &Part, parts: &[Part], dice: &mut Dice) -> Clues {
    let mut clues = Clues::default();
    if dice.chance(30) {
        clues.package = Some(part.packages.first().cloned().unwrap_or("QFN-16".into()));
    }
    if dice.chance(30) {
        clues.pins = Some(part.pins.unwrap_or(8) + u32::from(dice.chance(20)));
    }
    if dice.chance(20) {
        clues.body_mm = Some([3.05, 3.9]);
        clues.pitch_mm = Some(0.5);
    }
    if dice.chance(20) {
        clues.maker = Some(dice.pick(&MAKERS).to_string());
        clues.roles_missing = vec![dice.pick(&ROLES).to_string()];
    }
    if dice.chance(15) {
        let name = parts[dice.below(parts.len())].name.clone();
        clues.seen_before = vec![
            marking::SeenBefore {
                name: part.name.clone(),
                count: 3,
            },
            marking::SeenBefore { name, count: 1 },
        ];
    }
    clues
}
