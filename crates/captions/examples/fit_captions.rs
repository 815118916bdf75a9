//! Fits what each feature is worth, on films that are made up and garbled by the letter.
//!
//! Out: the numbers for `choose`, printed. The films for judging are made by hand (`tests/kept_out`) and never seen
//! here.

#![allow(clippy::unwrap_used, reason = "an example fails by panicking")]

use captions::{ENGLISH, FEATURES, Format, Kind, Term, Vocabulary, candidates, choose_by, read};
use std::ops::Range;

/// Numbers that repeat (SplitMix64, Steele, Lea, Flood 2014).
struct Chance(u64);

impl Chance {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % n as u64) as usize
    }

    fn pick<'a, T: ?Sized>(&mut self, list: &[&'a T]) -> &'a T {
        list[self.below(list.len())]
    }
}

struct Film {
    text: Vec<String>,
    /// Where cues begin.
    cues: Vec<usize>,
    terms: Vec<Term>,
    existing: Vec<String>,
    truth: Vec<(Range<usize>, usize)>,
}

const DIGITS: [&str; 10] = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
];
const TENS: [&str; 10] = [
    "", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];
const LETTERS: [&str; 26] = [
    "ay",
    "bee",
    "see",
    "dee",
    "ee",
    "eff",
    "gee",
    "aitch",
    "eye",
    "jay",
    "kay",
    "ell",
    "em",
    "en",
    "oh",
    "pea",
    "cue",
    "are",
    "ess",
    "tea",
    "you",
    "vee",
    "double you",
    "ex",
    "why",
    "zed",
];

fn name(chance: &mut Chance) -> String {
    let onsets = [
        "b", "d", "f", "k", "l", "m", "n", "p", "r", "s", "t", "v", "st", "tr", "gr", "pl", "qu",
        "ch",
    ];
    let ends = [
        "n", "r", "x", "l", "s", "tek", "core", "dyne", "ton", "vex", "m", "tronics", "max", "",
    ];
    let mut word: String = (0..1 + chance.below(2))
        .map(|_| {
            chance.pick(&onsets).to_string()
                + chance.pick(&["a", "e", "i", "o", "u", "ea", "or", "an"])
        })
        .collect();
    word += chance.pick(&onsets);
    word += chance.pick(&["a", "e", "i", "o", "u"]);
    word += chance.pick(&ends);
    word[..1].to_uppercase() + &word[1..]
}

fn part(chance: &mut Chance) -> String {
    let letters: String = (0..1 + chance.below(3))
        .map(|_| char::from(b'A' + chance.below(26) as u8))
        .collect();
    let digits: String = (0..2 + chance.below(4))
        .map(|_| char::from(b'0' + chance.below(10) as u8))
        .collect();
    let end = if chance.below(3) == 0 {
        chance.pick(&["A", "C", "Q", "R"])
    } else {
        ""
    };
    letters + &digits + end
}

const UNITS: [(&str, &str, &[&str]); 8] = [
    ("V", "volts", &["bolts", "vaults", "votes", "fault"]),
    ("A", "amps", &["ants", "lamps", "amp's"]),
    (
        "mAh",
        "milliamp hours",
        &["million powers", "milliamp ours", "milly amp hours"],
    ),
    ("W", "watts", &["what's", "what", "wants"]),
    ("Ω", "ohms", &["homes", "owns"]),
    ("g", "grams", &["grahams", "crams"]),
    ("mm", "millimetres", &["milli meters", "miller meters"]),
    ("kHz", "kilohertz", &["kilo hurts", "killer hertz"]),
];

/// Things that are counted and sound a little like a unit.
const COUNTED: [&str; 8] = [
    "bolts", "votes", "homes", "ants", "lamps", "wants", "miles", "grandmas",
];

fn digits_said(digits: &str, chance: &mut Chance) -> String {
    if chance.below(3) == 0 {
        return digits.to_string();
    }
    let values: Vec<usize> = digits.bytes().map(|b| usize::from(b - b'0')).collect();
    let (mut words, mut at) = (Vec::new(), 0);
    while at < values.len() {
        let pair = values.get(at + 1).copied();
        match pair {
            Some(ones) if values[at] > 1 && chance.below(2) == 0 => {
                words.push(TENS[values[at]].to_string());
                if ones > 0 {
                    words.push(DIGITS[ones].to_string());
                }
                at += 2;
                continue;
            }
            Some(ones) if ones == values[at] && chance.below(2) == 0 => {
                words.push(format!("double {}", DIGITS[ones]));
                at += 2;
                continue;
            }
            _ => words.push(match (values[at], chance.below(6)) {
                (0, 0..4) => "oh".to_string(),
                (1, 0) => "won".to_string(),
                (2, 0) => "to".to_string(),
                (4, 0) => "for".to_string(),
                (n, _) => DIGITS[n].to_string(),
            }),
        }
        at += 1;
    }
    words.join(" ")
}

fn misheard(word: &str, chance: &mut Chance) -> String {
    let swaps = [
        ("b", "p"),
        ("d", "t"),
        ("f", "v"),
        ("m", "n"),
        ("k", "g"),
        ("s", "z"),
        ("i", "e"),
        ("a", "u"),
        ("o", "or"),
        ("e", "ea"),
        ("qu", "kw"),
        ("ch", "sh"),
        ("x", "cks"),
        ("v", "b"),
        ("r", "w"),
        ("t", "p"),
        ("ea", "ee"),
        ("an", "am"),
    ];
    let mut word = word.to_lowercase();
    for _ in 0..1 + chance.below(3) {
        let (a, b) = swaps[chance.below(swaps.len())];
        let (a, b) = if chance.below(2) == 0 { (a, b) } else { (b, a) };
        word = word.replacen(a, b, 1);
    }
    if chance.below(5) == 0 && word.len() > 4 {
        let at = 1 + chance.below(word.len() - 2);
        word.remove(at);
    }
    if chance.below(3) == 0 && word.len() > 4 {
        word.insert(2 + chance.below(word.len() - 3), ' ');
    }
    word
}

fn garbled(term: &Term, chance: &mut Chance) -> String {
    match term.kind {
        Kind::Quantity => {
            let (number, unit) = term.written.split_once(' ').unwrap();
            let (_, right, wrong) = UNITS.iter().find(|u| u.0 == unit).unwrap();
            let (whole, rest) = number.split_once('.').unwrap_or((number, ""));
            let drop_point = !rest.is_empty() && chance.below(3) == 0;
            let number = match (rest, drop_point, chance.below(2)) {
                ("", ..) => digits_said(whole, chance),
                (_, true, _) => format!("{whole}{rest}"),
                (_, _, 0) => number.to_string(),
                _ => format!(
                    "{} point {}",
                    digits_said(whole, chance),
                    digits_said(rest, chance)
                ),
            };
            let unit = if drop_point {
                right
            } else {
                chance.pick(wrong)
            };
            format!("{number} {unit}")
        }
        Kind::Part => {
            let style = chance.below(3);
            let mut words: Vec<String> = Vec::new();
            let mut digits = String::new();
            for c in term.written.chars().chain([' ']) {
                if c.is_ascii_digit() {
                    digits.push(c);
                    continue;
                }
                if !digits.is_empty() {
                    words.push(digits_said(&std::mem::take(&mut digits), chance));
                }
                if c != ' ' {
                    let heard = match (c, chance.below(8)) {
                        ('B', 0) => 'D',
                        ('D', 0) => 'T',
                        ('M', 0) => 'N',
                        ('P', 0) => 'B',
                        ('V', 0) => 'Z',
                        ('C', 0) => 'Z',
                        (c, _) => c,
                    };
                    words.push(match style {
                        0 => heard.to_string(),
                        _ => LETTERS[usize::from(heard as u8 - b'A')].to_string(),
                    });
                }
            }
            words.join(if style == 0 && chance.below(3) == 0 {
                ""
            } else {
                " "
            })
        }
        _ => term
            .written
            .split(' ')
            .map(|w| misheard(w, chance))
            .collect::<Vec<_>>()
            .join(" "),
    }
}

/// Words of the dictionary that are heard like a term, or like the first and second half of its name.
struct Alike {
    whole: Vec<String>,
    halves: [Vec<String>; 2],
}

/// What of the dictionary sounds like each term.
fn alike(terms: &[Term], dictionary: &captions::Captions) -> Vec<Alike> {
    let mut asked: Vec<Term> = Vec::new();
    for term in terms {
        let middle = term.written.len() / 2;
        let halves = term.written.split_at_checked(middle).unwrap_or(("", ""));
        for written in [term.written.as_str(), halves.0, halves.1] {
            let written = if matches!(term.kind, Kind::Maker) {
                written
            } else {
                ""
            };
            asked.push(Term {
                written: written.into(),
                kind: Kind::Maker,
                ..term.clone()
            });
        }
    }
    let vocabulary = Vocabulary::new(&asked, &[], &ENGLISH);
    let mut found = vec![Vec::new(); asked.len()];
    for candidate in candidates(dictionary, &vocabulary) {
        if candidate.words.len() == 1 {
            found[candidate.term].push(dictionary.words[candidate.words.start].text.clone());
        }
    }
    let mut found = found.into_iter();
    let mut next = || found.next().unwrap_or_default();
    terms
        .iter()
        .map(|_| Alike {
            whole: next(),
            halves: [next(), next()],
        })
        .collect()
}

/// A film that says every word of the dictionary, each for itself.
fn dictionary_said() -> captions::Captions {
    let mut file = String::from("WEBVTT\n");
    for word in ENGLISH.dictionary.lines() {
        file += &format!("\n00:00.000 --> 00:01.000\n{word}\n");
    }
    read(file.as_bytes(), Format::WebVtt).unwrap()
}

fn film(chance: &mut Chance, dictionary: &captions::Captions) -> Film {
    let everyday: Vec<&str> = ENGLISH.everyday.split_ascii_whitespace().collect();
    let mut terms = Vec::new();
    for n in 0..40 {
        let (kind, written) = match n % 4 {
            0 => (Kind::Maker, name(chance)),
            1 => (Kind::Name, format!("{} {}", name(chance), name(chance))),
            2 => (Kind::Part, part(chance)),
            _ => {
                let unit = UNITS[chance.below(UNITS.len())].0;
                let whole = 1 + chance.below(60);
                let rest = if chance.below(3) > 0 {
                    format!(".{}", 1 + chance.below(99))
                } else {
                    String::new()
                };
                (Kind::Quantity, format!("{whole}{rest} {unit}"))
            }
        };
        terms.push(Term {
            kind,
            written,
            said: Vec::new(),
            place: format!("t{n}"),
        });
    }
    let alike = alike(&terms, dictionary);
    let sibling = |written: &str, chance: &mut Chance| -> String {
        written
            .chars()
            .map(|c| {
                if c.is_ascii_digit() && chance.below(2) == 0 {
                    '7'
                } else {
                    c
                }
            })
            .collect()
    };
    let mut existing: Vec<String> = terms
        .iter()
        .filter(|t| t.kind == Kind::Part)
        .map(|t| sibling(&t.written, chance))
        .collect();
    existing.retain(|e| terms.iter().all(|t| t.written != *e));
    let (mut text, mut truth): (Vec<String>, Vec<_>) = (Vec::new(), Vec::new());
    let mut cues = Vec::new();
    for _ in 0..300 {
        cues.push(text.len());
        for _ in 0..3 + chance.below(12) {
            // Of plain speech, a good third are articles and the like, and one word in six is not among the
            // everyday ones.
            text.push(match chance.below(6) {
                0 => dictionary.words[chance.below(dictionary.words.len())]
                    .text
                    .clone(),
                1 | 2 => chance.pick(ENGLISH.joining).to_string(),
                _ => chance.pick(&everyday).to_string(),
            });
        }
        let number = chance.below(terms.len());
        let term = &terms[number];
        let named = matches!(term.kind, Kind::Name | Kind::Maker);
        let value = term.written.split(' ').next().unwrap_or_default();
        let like = &alike[number];
        let [first, second] = &like.halves;
        // Recognisers write words that exist: one like the name, or two like its halves.
        let real = match chance.below(4) {
            0 if !like.whole.is_empty() => Some(like.whole[chance.below(like.whole.len())].clone()),
            1 if !first.is_empty() && !second.is_empty() => Some(format!(
                "{} {}",
                first[chance.below(first.len())],
                second[chance.below(second.len())]
            )),
            _ => None,
        };
        let right = match chance.below(16) {
            // The same word, meant as it is; that two in a row happen to sound like a name is rare.
            11..=15 if real.as_ref().is_some_and(|r| !r.contains(' ')) => real.clone(),
            0 => Some(term.written.clone()),
            1 if !existing.is_empty() => Some(existing[chance.below(existing.len())].clone()),
            2 => Some(format!(
                "{} {}",
                1 + chance.below(90),
                UNITS[chance.below(8)].1
            )),
            // A count of things that sound like a unit.
            3 if term.kind == Kind::Quantity && !value.contains('.') => {
                Some(format!("{value} {}", chance.pick(&COUNTED)))
            }
            // Another word that happens to be like a name.
            3 if named => {
                let mut word = term.written.to_lowercase();
                for _ in 0..3 {
                    word = misheard(&word, chance).replace(' ', "");
                }
                Some(
                    word[..word.len() / 2 + 1].to_string()
                        + chance.pick(&["ing", "er", "ed", "ly", "al", ""]),
                )
            }
            4 => Some(name(chance).to_lowercase()),
            5 => Some(digits_said(&format!("{}", chance.below(2000)), chance)),
            _ => None,
        };
        let words = right
            .clone()
            .or(real)
            .unwrap_or_else(|| garbled(term, chance));
        let start = text.len();
        text.extend(words.split_whitespace().map(String::from));
        if right.is_none() && words != term.written {
            truth.push((start..text.len(), number));
        }
        let last = text.len() - 1;
        if chance.below(2) == 0 {
            text[last].push('.');
        }
    }
    Film {
        text,
        cues,
        terms,
        existing,
        truth,
    }
}

fn captions_of(film: &Film) -> captions::Captions {
    let mut file = String::from("WEBVTT\n");
    let ends = film.cues.iter().skip(1).copied().chain([film.text.len()]);
    for (n, (start, end)) in film.cues.iter().zip(ends).enumerate() {
        let words = &film.text[*start..end];
        file += &format!(
            "\n{:02}:{:02}.000 --> {:02}:{:02}.900\n{}\n",
            n / 15,
            n % 15 * 4,
            n / 15,
            n % 15 * 4 + 3,
            words.join(" ")
        );
    }
    read(file.as_bytes(), Format::WebVtt).unwrap()
}

/// Logistic regression by gradient descent with a little shrinkage.
fn fitted<const N: usize>(rows: &[([f64; N], f64)], start: [f64; N]) -> [f64; N] {
    let mut worth = start;
    let mut speed = [0.0; N];
    for _ in 0..3000 {
        let mut slope = [0.0; N];
        for (features, right) in rows {
            let odds: f64 = features.iter().zip(&worth).map(|(x, w)| x * w).sum();
            let error = right - 1.0 / (1.0 + (-odds).exp());
            for (s, x) in slope.iter_mut().zip(features) {
                *s += error * x / rows.len() as f64;
            }
        }
        for n in 0..N {
            speed[n] = 0.9 * speed[n] + 0.15 * (slope[n] - 0.0003 * worth[n]);
            worth[n] += speed[n];
        }
    }
    worth
}

fn main() {
    let mut chance = Chance(1);
    let dictionary = dictionary_said();
    let films: Vec<Film> = (0..24).map(|_| film(&mut chance, &dictionary)).collect();
    let read: Vec<_> = films
        .iter()
        .map(|f| {
            (
                captions_of(f),
                Vocabulary::new(&f.terms, &f.existing, &ENGLISH),
            )
        })
        .collect();
    let is_right = |film: &Film, c: &captions::Candidate| {
        let found = film.truth.iter().any(|(at, term)| {
            *at == c.words && film.terms[*term].written == film.terms[c.term].written
        });
        f64::from(u8::from(found))
    };
    let mut rows: Vec<([f64; FEATURES], f64)> = Vec::new();
    for (film, (captions, vocabulary)) in films.iter().zip(&read) {
        rows.extend(
            candidates(captions, vocabulary)
                .iter()
                .map(|c| (c.features, is_right(film, c))),
        );
    }
    let total: usize = films.iter().map(|f| f.truth.len()).sum();
    let reachable = rows.iter().filter(|r| r.1 > 0.0).count();
    println!(
        "{} candidates, {reachable} right of {total} mentions",
        rows.len()
    );
    let worth = fitted(&rows, [0.0; FEATURES]);
    println!("WORTH {worth:.3?}");
    let mut chosen: Vec<([f64; 2], f64)> = Vec::new();
    for (film, (captions, vocabulary)) in films.iter().zip(&read) {
        for choice in choose_by(captions, vocabulary, &worth, (0.0, 1.0)) {
            chosen.push(([1.0, choice.log_odds], is_right(film, &choice.candidate)));
        }
    }
    println!("CALIBRATION {:.3?}", fitted(&chosen, [0.0, 1.0]));
    let above = |least: f64| {
        let kept: Vec<_> = chosen.iter().filter(|c| c.0[1] >= least).collect();
        let right = kept.iter().filter(|c| c.1 > 0.0).count();
        (
            right as f64 / kept.len() as f64,
            right as f64 / total as f64,
        )
    };
    for least in [0.0, 1.0, 2.0, 3.0] {
        println!(
            "log odds {least}: precision and recall {:.3?}",
            above(least)
        );
    }
}
