//! How near two sounds are.
//!
//! In: sounds as bytes (see `sound`). Out: the cost of taking one for another, and a bound on it. Not here: which words
//! make which sound. Sources: pairs of letters that are mixed up, Cole and Fanty 1990; voicing survives noise, place
//! does not, Miller and Nicely 1955 (from memory); the sizes of the costs are our own.

/// Sounds that take part, in the order of the tables below.
const PHONES: &[u8] = b"aeiouAIOWYypbtdkgfvszSZCJTmnNlrwjh";

/// What one sound costs in place of another.
pub(crate) struct Costs {
    swap: Vec<[f32; 128]>,
    lone: [f32; 128],
}

impl Costs {
    pub(crate) fn new() -> Self {
        let mut lone = [0.9; 128];
        let mut swap = vec![[9.0; 128]; 128];
        for &a in PHONES {
            for &b in PHONES {
                swap[usize::from(a)][usize::from(b)] = phone_cost(a, b);
            }
        }
        for (n, row) in swap.iter_mut().enumerate() {
            row[n] = 0.0;
        }
        for &a in b"aeiou" {
            lone[usize::from(a)] = 0.5;
        }
        for &a in b"hjwr" {
            lone[usize::from(a)] = 0.55;
        }
        for &a in b"AIOWYyszdt" {
            lone[usize::from(a)] = 0.75;
        }
        for &a in b"0123456789" {
            lone[usize::from(a)] = 9.0;
        }
        lone[usize::from(b'.')] = 0.7;
        Self { swap, lone }
    }

    /// The cost of hearing one sound as another; none above `most`. Only cells near the diagonal can matter, as every
    /// step away from it and back costs [`LEAST_LONE`] (Ukkonen 1985).
    pub(crate) fn between(&self, a: &[u8], b: &[u8], most: f32, row: &mut Vec<f32>) -> Option<f32> {
        let steps = (most / LEAST_LONE) as usize;
        let (longer, shorter) = (
            b.len().saturating_sub(a.len()),
            a.len().saturating_sub(b.len()),
        );
        let right = steps.checked_sub(shorter)?.midpoint(longer);
        let left = steps.checked_sub(longer)?.midpoint(shorter);
        row.clear();
        row.resize(b.len() + 1, f32::INFINITY);
        row[0] = 0.0;
        for (n, &y) in b.iter().take(right).enumerate() {
            row[n + 1] = row[n] + self.lone[usize::from(y & 127)];
        }
        for (i, &x) in a.iter().enumerate() {
            let x = usize::from(x & 127);
            let (swap, alone) = (&self.swap[x], self.lone[x]);
            let first = (i + 1).saturating_sub(left);
            let last = (i + 1 + right).min(b.len());
            let start = first.max(1);
            let mut corner = row[start - 1];
            row[start - 1] = if first == 0 {
                corner + alone
            } else {
                f32::INFINITY
            };
            let mut before = row[start - 1];
            let mut least = before;
            for (&y, cell) in b[start - 1..last].iter().zip(&mut row[start..=last]) {
                let y = usize::from(y & 127);
                let cost = (corner + swap[y])
                    .min(*cell + alone)
                    .min(before + self.lone[y]);
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
const LEAST_LONE: f32 = 0.5;

/// How many vowels, obstruents, nasals and liquids a sound has.
pub(crate) fn shape(sound: &[u8]) -> [u8; 4] {
    let mut counts = [0_u8; 4];
    for &phone in sound {
        let class = match phone {
            b'a' | b'e' | b'i' | b'o' | b'u' | b'A' | b'I' | b'O' | b'W' | b'Y' | b'y' => 0,
            b'm' | b'n' | b'N' => 2,
            b'l' | b'r' | b'w' | b'j' => 3,
            b'0'..=b'9' | b'.' => continue,
            _ => 1,
        };
        counts[class] = counts[class].saturating_add(1);
    }
    counts
}

/// No more than [`Costs::between`] of two sounds with these shapes: what is left over in a class is alone (0.5 or
/// more) or stands for one of another class (0.9 or more, for two).
pub(crate) fn least_cost(a: [u8; 4], b: [u8; 4]) -> f32 {
    let (mut over, mut under) = (0_u16, 0_u16);
    for (x, y) in a.into_iter().zip(b) {
        over += u16::from(x.saturating_sub(y));
        under += u16::from(y.saturating_sub(x));
    }
    let paired = over.min(under);
    0.9 * f32::from(paired) + 0.5 * f32::from(over.max(under) - paired)
}

fn phone_cost(a: u8, b: u8) -> f32 {
    if a == b {
        return 0.0;
    }
    let vowel = |p: u8| b"aeiouAIOWYy".contains(&p);
    match (vowel(a), vowel(b)) {
        (true, true) => {
            let close = [
                b"ae", b"ei", b"ao", b"ou", b"iI", b"eA", b"oO", b"uO", b"aO", b"ai", b"Yy", b"oW",
                b"eI", b"au",
            ];
            if near(&close, a, b) { 0.25 } else { 0.5 }
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
                0.3
            } else if same_manner {
                0.6
            } else {
                0.9
            }
        }
        _ => 1.1,
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
                let cost = costs.between(&a, &b, 99.0, &mut Vec::new()).unwrap();
                assert!(least_cost(shape(&a), shape(&b)) <= cost + 1e-4);
                for most in [0.5, 1.2, 2.0, 3.3] {
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
                    9.0,
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
            assert!(
                cost(unit, near) <= 1.0,
                "{unit} {near} {}",
                cost(unit, near)
            );
            assert!(cost(unit, near) < cost(unit, "panel"), "{unit}");
        }
        assert_eq!(cost("cell", "sell"), 0.0);
        assert_eq!(
            costs.between(b"elem358", b"elem385", 3.0, &mut Vec::new()),
            None
        );
        assert_eq!(
            costs.between(b"elem358", b"elem358", 0.0, &mut Vec::new()),
            Some(0.0)
        );
    }
}
