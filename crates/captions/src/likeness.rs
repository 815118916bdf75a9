//! How near two sounds are.
//!
//! In: sounds as bytes (see `sound`). Out: the cost of taking one for another, and a bound on it. Not here: which words
//! make which sound. Sources: pairs of letters that are mixed up, Cole and Fanty 1990; voicing survives noise, place
//! does not, Miller and Nicely 1955 (from memory); the sizes of the costs are our own.

/// Sounds that take part, in the order of the tables below.
const PHONES: &[u8] = b"aeiouAIOWYypbtdkgfvszSZCJTmnNlrwjh";

/// Costs are counted in twentieths of a lone sound that is never dropped: whole numbers compare fast and exactly.
pub(crate) const UNIT: f64 = 20.0;

/// What one sound costs in place of another.
pub(crate) struct Costs {
    swap: Vec<[u8; 128]>,
    lone: [u8; 128],
}

impl Costs {
    pub(crate) fn new() -> Self {
        let mut lone = [18; 128];
        let mut swap = vec![[NEVER; 128]; 128];
        for &a in PHONES {
            for &b in PHONES {
                swap[usize::from(a)][usize::from(b)] = phone_cost(a, b);
            }
        }
        for (n, row) in swap.iter_mut().enumerate() {
            row[n] = 0;
        }
        for &a in b"aeiou" {
            lone[usize::from(a)] = 10;
        }
        for &a in b"hjwr" {
            lone[usize::from(a)] = 11;
        }
        for &a in b"AIOWYyszdt" {
            lone[usize::from(a)] = 15;
        }
        for &a in b"0123456789" {
            lone[usize::from(a)] = NEVER;
        }
        lone[usize::from(b'.')] = 14;
        Self { swap, lone }
    }

    /// The cost of hearing one sound as another; none above `most`. Only cells near the diagonal can matter, as every
    /// step away from it and back costs [`LEAST_LONE`] (Ukkonen 1985).
    pub(crate) fn between(&self, a: &[u8], b: &[u8], most: u32, row: &mut Vec<u32>) -> Option<u32> {
        let steps = (most / LEAST_LONE) as usize;
        let (longer, shorter) = (
            b.len().saturating_sub(a.len()),
            a.len().saturating_sub(b.len()),
        );
        let right = steps.checked_sub(shorter)?.midpoint(longer);
        let left = steps.checked_sub(longer)?.midpoint(shorter);
        row.clear();
        row.resize(b.len() + 1, BEYOND);
        row[0] = 0;
        for (n, &y) in b.iter().take(right).enumerate() {
            row[n + 1] = row[n] + u32::from(self.lone[usize::from(y & 127)]);
        }
        for (i, &x) in a.iter().enumerate() {
            let x = usize::from(x & 127);
            let (swap, alone) = (&self.swap[x], u32::from(self.lone[x]));
            let first = (i + 1).saturating_sub(left);
            let last = (i + 1 + right).min(b.len());
            let start = first.max(1);
            let mut corner = row[start - 1];
            row[start - 1] = if first == 0 { corner + alone } else { BEYOND };
            let mut before = row[start - 1];
            let mut least = before;
            for (&y, cell) in b[start - 1..last].iter().zip(&mut row[start..=last]) {
                let y = usize::from(y & 127);
                let cost = (corner + u32::from(swap[y]))
                    .min(*cell + alone)
                    .min(before + u32::from(self.lone[y]));
                corner = *cell;
                *cell = cost;
                before = cost;
                least = least.min(cost);
            }
            if least > most {
                return None;
            }
        }
        row.last().copied().filter(|cost| *cost <= most)
    }
}

/// What the cheapest sound costs alone.
pub(crate) const LEAST_LONE: u32 = 10;

/// What digits cost in place of another, and alone.
const NEVER: u8 = 180;

/// More than any cost; costs are added to it.
const BEYOND: u32 = u32::MAX / 2;

/// Which sounds there are, for a bound on the cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Shape {
    /// How many vowels, obstruents, nasals and liquids.
    classes: [u8; 4],
    /// How many consonants in all.
    consonant_count: u8,
    /// Which vowels stand once, twice, three and four times or more: eleven bits each.
    vowels: u64,
    /// Which consonants stand once and twice or more: 23 bits each.
    consonants: u64,
}

/// How many of the [`PHONES`] are vowels; they stand first.
const VOWELS: usize = 11;

/// Counts the sounds.
pub(crate) fn shape(sound: &[u8]) -> Shape {
    let mut found = Shape {
        classes: [0; 4],
        consonant_count: 0,
        vowels: 0,
        consonants: 0,
    };
    for &phone in sound {
        let Some(at) = PHONES.iter().position(|p| *p == phone) else {
            continue;
        };
        let class = match phone {
            _ if at < VOWELS => 0,
            b'm' | b'n' | b'N' => 2,
            b'l' | b'r' | b'w' | b'j' => 3,
            _ => 1,
        };
        found.classes[class] = found.classes[class].saturating_add(1);
        if at < VOWELS {
            again(&mut found.vowels, at, VOWELS, 4);
        } else {
            found.consonant_count = found.consonant_count.saturating_add(1);
            again(&mut found.consonants, at - VOWELS, PHONES.len() - VOWELS, 2);
        }
    }
    found
}

/// Sets the bit of the next time that something stands, unless that is not counted.
fn again(planes: &mut u64, at: usize, width: usize, times: usize) {
    let bits = (0..times).map(|time| 1_u64 << (at + time * width));
    if let Some(free) = bits.into_iter().find(|bit| *planes & bit == 0) {
        *planes |= free;
    }
}

/// Whether no more than `most` may be [`Costs::between`] two sounds with these shapes.
///
/// What is left over in a class is alone (10 or more) or stands for one of another class (18 or more, for two). Of
/// vowels and of consonants apart, what one has and the other lacks is alone (10, 11 or more) or stands for another
/// one (5, 6 or more); one of each for the other costs as much as both alone.
#[inline]
pub(crate) fn may_be_near(a: Shape, b: Shape, most: u32) -> bool {
    let (vowels_a, vowels_b) = (u32::from(a.classes[0]), u32::from(b.classes[0]));
    let (consonants_a, consonants_b) = (u32::from(a.consonant_count), u32::from(b.consonant_count));
    if 10 * vowels_a.abs_diff(vowels_b) + 11 * consonants_a.abs_diff(consonants_b) > most {
        return false;
    }
    let (mut over, mut under) = (0_u32, 0_u32);
    for (x, y) in a.classes.into_iter().zip(b.classes) {
        over += u32::from(x.saturating_sub(y));
        under += u32::from(y.saturating_sub(x));
    }
    let paired = over.min(under);
    if 18 * paired + 10 * (over.max(under) - paired) > most {
        return false;
    }
    let (swapped, alone) = unmatched((a.vowels, vowels_a), (b.vowels, vowels_b));
    let cost = 5 * swapped + 10 * alone;
    let (swapped, alone) = unmatched((a.consonants, consonants_a), (b.consonants, consonants_b));
    cost + 6 * swapped + 11 * alone <= most
}

/// Of what one lacks and the other has, how many at least may stand for each other, and how many are alone. What is
/// counted only so often tells less, never more.
fn unmatched(a: (u64, u32), b: (u64, u32)) -> (u32, u32) {
    let (more, less) = if a.1 >= b.1 { (a, b) } else { (b, a) };
    let alone = more.1 - less.1;
    let lacks = (less.0 & !more.0).count_ones();
    let has = (more.0 & !less.0).count_ones();
    (lacks.max(has.saturating_sub(alone)), alone)
}

fn phone_cost(a: u8, b: u8) -> u8 {
    if a == b {
        return 0;
    }
    let vowel = |p: u8| b"aeiouAIOWYy".contains(&p);
    match (vowel(a), vowel(b)) {
        (true, true) => {
            let close = [
                b"ae", b"ei", b"ao", b"ou", b"iI", b"eA", b"oO", b"uO", b"aO", b"ai", b"Yy", b"oW",
                b"eI", b"au",
            ];
            if near(&close, a, b) { 5 } else { 10 }
        }
        (false, false) => {
            let close: [&[u8; 2]; 17] = [
                b"pb", b"td", b"kg", b"fv", b"sz", b"SZ", b"CJ", b"mn", b"nN", b"sS", b"zZ", b"CS",
                b"JZ", b"Tf", b"Ts", b"lr", b"vb",
            ];
            let same_manner = [&b"ptkbdg"[..], b"fvszSZTh", b"mnN", b"CJSZtd", b"lrwj"]
                .iter()
                .any(|class| class.contains(&a) && class.contains(&b));
            if near(&close, a, b) {
                6
            } else if same_manner {
                12
            } else {
                18
            }
        }
        _ => 22,
    }
}

fn near(pairs: &[&[u8; 2]], a: u8, b: u8) -> bool {
    pairs
        .iter()
        .any(|pair| **pair == [a, b] || **pair == [b, a])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::language::ENGLISH;
    use crate::sound::phones;

    #[test]
    fn the_least_cost_is_no_more_than_the_cost() {
        let costs = Costs::new();
        let words: Vec<&str> = ENGLISH
            .everyday
            .split_ascii_whitespace()
            .step_by(9)
            .collect();
        for a in &words {
            for b in &words {
                let (a, b) = (phones(a, &ENGLISH), phones(b, &ENGLISH));
                let cost = costs.between(&a, &b, 1980, &mut Vec::new()).unwrap();
                assert!(may_be_near(shape(&a), shape(&b), cost), "{a:?} {b:?}");
                for most in [10, 24, 40, 66] {
                    let near = costs.between(&a, &b, most, &mut Vec::new());
                    assert_eq!(near, Some(cost).filter(|cost| *cost <= most));
                }
            }
        }
    }

    /// Words near a unit, one phone away (reasoned from phones), and what is not near.
    #[test]
    fn likeness_costs_little_and_digits_are_never_exchanged() {
        let costs = Costs::new();
        let cost = |a: &str, b: &str| {
            costs
                .between(
                    &phones(a, &ENGLISH),
                    &phones(b, &ENGLISH),
                    180,
                    &mut Vec::new(),
                )
                .unwrap()
        };
        for (unit, near) in [
            ("volts", "bolts"),
            ("volts", "vaults"),
            ("amps", "ants"),
            ("watts", "what's"),
            ("phase", "face"),
        ] {
            assert!(cost(unit, near) <= 20, "{unit} {near} {}", cost(unit, near));
            assert!(cost(unit, near) < cost(unit, "panel"), "{unit}");
        }
        assert_eq!(cost("cell", "sell"), 0);
        assert_eq!(
            costs.between(b"elem358", b"elem385", 60, &mut Vec::new()),
            None
        );
        assert_eq!(
            costs.between(b"elem358", b"elem358", 0, &mut Vec::new()),
            Some(0)
        );
    }
}
