//! Worn markings of names, made from a seed in ways that differ on purpose.
//!
//! [`Wear::Worn`] is the wear that the cost table was written for. [`Wear::Otherwise`] is made of
//! other look-alikes, in other shares, and of damage that the first one does not know.
//! [`Wear::Rubbed`], [`Wear::Mistyped`] and [`Wear::AnyEdit`] are never fitted on: prices are only
//! judged by them.

use super::field::{self, Cause};
use super::{DIGITS, Dice, LETTERS};
use std::fmt::Write as _;

/// Which generator.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wear {
    /// One to three errors: 70 of 100 look-alikes, 15 ends deleted, with and without a note that
    /// something is rubbed away there, 15 characters unreadable or one of several.
    Worn,
    /// The same with 50 look-alikes, 15 ends deleted, up to two characters each, and 35 characters
    /// unreadable or one of several.
    Rubbed,
    /// One to three errors, fewer more often: other look-alikes, any character for any other, losses
    /// and insertions inside, suffix or prefix dropped; a split over two lines, a date line below,
    /// small letters, hyphens dropped, spaces put in.
    Otherwise,
    /// The wear of the speed bench: one to three errors, 70 of 100 look-alikes, 15 last characters
    /// dropped, 15 letters or digits put in anywhere.
    Mistyped,
    /// One to three edits, fewer more often, each anywhere: of 100, 25 any other letter or digit, 20
    /// put in, 20 lost, 10 neighbours exchanged, 25 unreadable.
    AnyEdit,
    /// As markings come from boards, each cause as often as it is expected.
    Field,
    /// The same by one cause.
    Cause(Cause),
}

impl Wear {
    /// Those on which prices may be fitted.
    pub const FITTED: [Self; 3] = [Self::Worn, Self::Otherwise, Self::Field];
    /// Those by which they are only judged.
    pub const JUDGED: [Self; 3] = [Self::Rubbed, Self::Mistyped, Self::AnyEdit];
}

#[derive(Debug, Clone, Copy)]
enum Spot {
    Read(char),
    Any,
    OneOf(char, char),
}

const LOOK: [&str; 7] = ["0ODQ", "1IL7", "5S", "8B3", "2Z", "6G", "UV"];
const OTHER_LOOK: [&str; 16] = [
    "0O", "8B", "5S", "1I", "2Z", "6G", "0D", "6C", "EF", "PR", "MN", "4A", "VY", "KX", "7T", "3B",
];

fn look(c: char, groups: &[&str], dice: &mut Dice) -> Option<char> {
    let of: Vec<char> = groups
        .iter()
        .filter(|g| g.contains(c))
        .flat_map(|g| g.chars())
        .filter(|x| *x != c)
        .collect();
    (!of.is_empty()).then(|| dice.pick(&of))
}

/// Makes one marking of a name, in the notation of the record.
pub fn marking(name: &str, wear: Wear, dice: &mut Dice) -> String {
    match wear {
        Wear::Worn => worn(name, 70, 10, 1, dice),
        Wear::Rubbed => worn(name, 50, 20, 2, dice),
        Wear::Otherwise => otherwise(name, dice),
        Wear::Mistyped => mistyped(name, dice),
        Wear::AnyEdit => any_edit(name, dice),
        Wear::Field => field::marking(name, Cause::any(dice), dice),
        Wear::Cause(cause) => field::marking(name, cause, dice),
    }
}

fn any_character(dice: &mut Dice) -> char {
    let at = dice.below(DIGITS.len() + LETTERS.len());
    DIGITS.iter().chain(LETTERS).copied().nth(at).unwrap_or('0')
}

fn mistyped(name: &str, dice: &mut Dice) -> String {
    let mut spots = printed(name, dice);
    for _ in 0..1 + dice.below(3) {
        match dice.below(100) {
            0..70 => swap_one(&mut spots, &LOOK, dice),
            70..85 if spots.len() > 4 => drop(spots.pop()),
            _ => {
                let at = dice.below(spots.len() + 1);
                spots.insert(at, Spot::Read(any_character(dice)));
            }
        }
    }
    written(&spots, false, false)
}

fn any_edit(name: &str, dice: &mut Dice) -> String {
    let mut spots = printed(name, dice);
    for _ in 0..[1, 1, 1, 2, 2, 3][dice.below(6)] {
        let at = dice.below(spots.len());
        match dice.below(100) {
            0..25 => spots[at] = Spot::Read(any_character(dice)),
            25..45 => spots.insert(at, Spot::Read(any_character(dice))),
            45..65 if spots.len() > 4 => drop(spots.remove(at)),
            65..75 if at > 0 => spots.swap(at - 1, at),
            _ => spots[at] = Spot::Any,
        }
    }
    written(&spots, false, false)
}

/// The name as printed on a part: capitals, a digit or letter where it has a placeholder.
fn printed(name: &str, dice: &mut Dice) -> Vec<Spot> {
    let capitals = name.chars().any(|c| c.is_ascii_uppercase());
    let smalls = name.chars().any(|c| c.is_ascii_lowercase() && c != 'x');
    let spots = name.chars().filter(|c| *c != '_').map(|c| {
        Spot::Read(match c {
            'x' if capitals && !smalls => {
                let digit = dice.chance(60);
                dice.pick(if digit { DIGITS } else { LETTERS })
            }
            c => c.to_ascii_uppercase(),
        })
    });
    spots.collect()
}

/// Of a hundred errors so many look-alikes and unreadable characters, 15 ends, the rest one of two.
fn worn(name: &str, look_alike: usize, unreadable: usize, most: usize, dice: &mut Dice) -> String {
    let mut spots = printed(name, dice);
    let (mut before, mut after) = (false, false);
    let errors = 1 + dice.below(3);
    for _ in 0..errors {
        let at = dice.below(spots.len());
        let roll = dice.below(100);
        if roll < look_alike {
            swap_one(&mut spots, &LOOK, dice);
        } else if roll < look_alike + unreadable {
            spots[at] = Spot::Any;
        } else if roll < 85 {
            if let Spot::Read(c) = spots[at] {
                spots[at] = match look(c, &LOOK, dice) {
                    Some(other) if dice.chance(50) => Spot::OneOf(c, other),
                    Some(other) => Spot::OneOf(other, c),
                    None => Spot::Any,
                };
            }
        } else {
            let gap = dice.chance(50);
            let front = dice.chance(25);
            for _ in 0..1 + dice.below(most) {
                if spots.len() > 3 {
                    spots.remove(if front { 0 } else { spots.len() - 1 });
                }
            }
            let side = if front { &mut before } else { &mut after };
            *side |= gap;
        }
    }
    written(&spots, before, after)
}

/// Puts a look-alike in the place of one of the characters that have one.
fn swap_one(spots: &mut [Spot], groups: &[&str], dice: &mut Dice) {
    let has = |spot: &Spot| matches!(spot, Spot::Read(c) if groups.iter().any(|g| g.contains(*c)));
    let at: Vec<usize> = (0..spots.len()).filter(|i| has(&spots[*i])).collect();
    if at.is_empty() {
        return;
    }
    let at = dice.pick(&at);
    if let Spot::Read(c) = spots[at]
        && let Some(other) = look(c, groups, dice)
    {
        spots[at] = Spot::Read(other);
    }
}

fn otherwise(name: &str, dice: &mut Dice) -> String {
    let mut spots = printed(name, dice);
    let (mut before, mut after) = (false, false);
    let errors = [1, 1, 1, 2, 2, 3][dice.below(6)];
    for _ in 0..errors {
        let at = dice.below(spots.len());
        match dice.below(20) {
            0..=9 => swap_one(&mut spots, &OTHER_LOOK, dice),
            10..=12 => spots[at] = Spot::Any,
            13 => {
                spots[at] = Spot::Read(dice.pick(if at.is_multiple_of(2) {
                    DIGITS
                } else {
                    LETTERS
                }))
            }
            14 if spots.len() > 4 => {
                spots.remove(at);
            }
            15 => spots.insert(at, Spot::Read(dice.pick(DIGITS))),
            16 | 17 => {
                let letters = spots.iter().rev();
                let is_letter = |s: &&Spot| matches!(s, Spot::Read(c) if c.is_ascii_alphabetic());
                let n = letters.take_while(is_letter).count();
                spots.truncate((spots.len() - n).max(4));
            }
            18 if spots.len() > 6 => {
                spots.drain(..2);
                before |= dice.chance(50);
            }
            _ if spots.len() > 5 => {
                spots.pop();
                after |= dice.chance(30);
            }
            _ => {}
        }
    }
    if dice.chance(30) {
        spots.retain(|s| !matches!(s, Spot::Read('-' | ' ')));
    }
    if dice.chance(10) {
        spots.insert(1 + dice.below(spots.len() - 1), Spot::Read(' '));
    }
    if dice.chance(10) {
        for spot in &mut spots {
            if let Spot::Read(c) = spot {
                c.make_ascii_lowercase();
            }
        }
    }
    let split = dice
        .chance(10)
        .then(|| 3 + dice.below(spots.len().max(6) - 5));
    let mut out = match split {
        Some(at) if at + 2 <= spots.len() => {
            let (first, second) = spots.split_at(at);
            let (first, second) = (written(first, before, false), written(second, false, after));
            format!("{first}|{second}")
        }
        _ => written(&spots, before, after),
    };
    if dice.chance(20) {
        let _ = write!(out, "|{:02}{:02}", 15 + dice.below(11), 1 + dice.below(52));
    }
    out
}

fn written(spots: &[Spot], before: bool, after: bool) -> String {
    let mut out = String::from(if before { "~" } else { "" });
    for spot in spots {
        match spot {
            Spot::Read(c) => out.push_str(&record::marking::escaped(&c.to_string())),
            Spot::Any => out.push('?'),
            Spot::OneOf(a, b) => {
                let _ = write!(out, "[{a}{b}]");
            }
        }
    }
    out.push_str(if after { "~" } else { "" });
    out
}
