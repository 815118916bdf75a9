//! Films made by hand, for judging: never used for fitting.
//!
//! Out: films as WebVTT with what should be found. Every garble was written down by ear, one at a time, not made by a
//! rule. Names are invented.

#![allow(dead_code, reason = "the test and the example each use a part")]

mod fifth;
mod fourth;
mod second;
mod third;

pub(crate) use fifth::FIFTH;
pub(crate) use fourth::FOURTH;
pub(crate) use second::SECOND;
pub(crate) use third::THIRD;

use captions::{Captions, Format, Kind, Term, read};
use std::ops::Range;

/// One mention that should be corrected.
pub(crate) struct Mention {
    /// Its words in the film.
    pub(crate) words: Range<usize>,
    /// The term as written.
    pub(crate) written: &'static str,
    /// How it was garbled, or what it is.
    pub(crate) kind: &'static str,
}

/// A film and its truth.
pub(crate) struct Film {
    /// As read.
    pub(crate) captions: Captions,
    /// What should be corrected.
    pub(crate) mentions: Vec<Mention>,
}

/// Films made together.
pub(crate) struct Set {
    /// Kind, written, and garbles.
    terms: &'static [(Kind, &'static str, &'static [&'static str])],
    /// Part numbers that exist beside them.
    siblings: &'static [&'static str],
    /// How a garble is set into speech.
    frames: &'static [(&'static str, &'static str)],
    /// Speech in which nothing is wrong, each sentence said once.
    right: &'static [&'static str],
}

/// The first set. Rules were mended after looking at its slips, so it tells less than the others.
pub(crate) const FIRST: Set = Set {
    terms: TERMS,
    siblings: SIBLINGS,
    frames: FRAMES,
    right: RIGHT,
};

/// Kind, written, and garbles: by sound, split or merged, letters or numbers as words.
const TERMS: &[(Kind, &str, &[&str])] = &[
    (
        Kind::Maker,
        "Veltronic",
        &[
            "vell tronic",
            "fell tronic",
            "veltronik",
            "well tronics",
            "vel tonic",
        ],
    ),
    (
        Kind::Maker,
        "Nordkap",
        &["nord cap", "north cap", "nord kap", "nor cap", "nordcap"],
    ),
    (
        Kind::Maker,
        "Quillon",
        &["quill on", "kwillon", "quillan", "quill in", "quilon"],
    ),
    (
        Kind::Maker,
        "Harrowgate Semiconductor",
        &[
            "harrow gate semiconductor",
            "harrogate semi conductor",
            "harrowgate semi connector",
            "arrow gate semiconductor",
        ],
    ),
    (
        Kind::Maker,
        "Sunfeld Micro",
        &[
            "sun felt micro",
            "sunfield micro",
            "son felt micro",
            "sunfeld mike row",
        ],
    ),
    (
        Kind::Maker,
        "Tessaro",
        &[
            "tessera oh",
            "tess arrow",
            "tessarow",
            "the sarrow",
            "tesaro",
        ],
    ),
    (
        Kind::Maker,
        "Branimir",
        &["brani mere", "bran a mere", "branameer", "branimeer"],
    ),
    (
        Kind::Maker,
        "Pelikor Power",
        &[
            "pelly core power",
            "pelicore power",
            "peli core power",
            "belly core power",
        ],
    ),
    (Kind::Maker, "KTX", &["kay tea ex", "k t x", "katie ex"]),
    (
        Kind::Name,
        "Schottky",
        &["shot key", "shotkey", "shottky", "scott key"],
    ),
    (
        Kind::Name,
        "buck converter",
        &[
            "book converter",
            "buck convertor",
            "bug converter",
            "buck inverter",
        ],
    ),
    (
        Kind::Name,
        "thermistor",
        &["thermister", "thermos store", "fermistor", "therm mister"],
    ),
    (
        Kind::Name,
        "Orlanda Trail",
        &[
            "or lander trail",
            "orlando trail",
            "our lander trail",
            "orlander trial",
        ],
    ),
    (
        Kind::Name,
        "Marabex",
        &["mara becks", "marrow bex", "mirabex", "marabecks"],
    ),
    (
        Kind::Part,
        "VT4056",
        &[
            "vee tea forty fifty six",
            "vt 4056",
            "v t four oh five six",
            "vee t 4056",
            "bt4056",
            "VT forty fifty-six",
        ],
    ),
    (
        Kind::Part,
        "NK25896",
        &[
            "en kay two five eight nine six",
            "n k 25896",
            "mk25896",
            "en k twenty five eight ninety six",
            "NK two five eight nine six",
        ],
    ),
    (
        Kind::Part,
        "QL163",
        &[
            "queue ell one sixty three",
            "cue l 163",
            "ql one six three",
            "q l one sixty-three",
            "cue el 163",
        ],
    ),
    (
        Kind::Part,
        "HG7755B",
        &[
            "aitch gee double seven double five b",
            "h g 7755 b",
            "hg seventy seven fifty five bee",
            "HG 7755 bee",
            "age g 7755b",
        ],
    ),
    (
        Kind::Part,
        "TSR1200",
        &[
            "tea ess are twelve hundred",
            "t s r one thousand two hundred",
            "tsr 1200",
            "tea s r 1200",
            "TSR one two double oh",
        ],
    ),
    (
        Kind::Part,
        "MARA315",
        &[
            "mara three fifteen",
            "marra 315",
            "mara three one five",
            "mirror 315",
        ],
    ),
    (
        Kind::Quantity,
        "3.62 V",
        &[
            "three point six two bolts",
            "362 volts",
            "3.62 bolts",
            "three point six two vaults",
            "tree point six two volts",
        ],
    ),
    (
        Kind::Quantity,
        "38.42 Wh",
        &[
            "38.42 what hours",
            "thirty eight point four two what ours",
            "3842 watt hours",
            "thirty-eight point four to watt hours",
        ],
    ),
    (
        Kind::Quantity,
        "640 mAh",
        &[
            "640 million powers",
            "six forty milliamp ours",
            "six hundred and forty million hours",
            "640 milli amp powers",
        ],
    ),
    (
        Kind::Quantity,
        "83.4 g",
        &[
            "83.4 grahams",
            "834 grams",
            "eighty three point four grahams",
            "83.4 crams",
        ],
    ),
    (
        Kind::Quantity,
        "155 mΩ",
        &[
            "155 million homes",
            "one fifty five milli homes",
            "155 milli owns",
            "one hundred and fifty five milly ohms",
        ],
    ),
    (
        Kind::Quantity,
        "1.5 A",
        &[
            "1.5 ants",
            "one point five ants",
            "15 amps",
            "won point five amps",
        ],
    ),
    (
        Kind::Quantity,
        "2.4 kHz",
        &[
            "2.4 killer hertz",
            "two point four kilo hurts",
            "24 kilohertz",
            "to point four kilohertz",
        ],
    ),
    (
        Kind::Quantity,
        "12.7 mm",
        &[
            "12.7 mill metres",
            "127 millimetres",
            "twelve point seven miller meters",
            "12.7 milla metres",
        ],
    ),
];

/// Part numbers that exist beside the terms.
const SIBLINGS: &[&str] = &[
    "VT4057", "NK25895", "QL168", "HG7756B", "TSR1250", "MARA316",
];

/// How a garble is set into speech.
const FRAMES: &[(&str, &str)] = &[
    (
        "Underneath the shield we can see",
        "and next to it a row of capacitors.",
    ),
    (
        "According to the label this is",
        "but I would like to check that.",
    ),
    ("So this one here is marked", "which surprised me a little."),
    ("Remember that we had", "in the last video too."),
    ("They went with", "instead of something cheaper."),
    ("If I read it right it says", "on the side of the case."),
    ("The meter agrees, it is", "give or take."),
    ("My guess was", "before I opened it."),
];

/// Speech in which nothing is wrong.
const RIGHT: &[&str] = &[
    "There are five bolts holding the frame and they all come out easily.",
    "The votes are in and most of you wanted to see the inside first.",
    "What ours lacks is a proper seal around the button.",
    "Homes with old wiring will not notice the difference at all.",
    "This cap points north, so the polarity is easy to read.",
    "The VT4057 sits right beside it and does the same for the other cell.",
    "I compared it with the NK25895 from last year.",
    "Do not confuse it with the QL168, that one has a different pinout.",
    "The TSR1250 would have been the better choice for this load.",
    "We saw the MARA316 in the larger model of the same year.",
    "It draws 3.7 volts at the start and drops to 3.4 volts later.",
    "About 2.9 amps go in and roughly half of that comes out.",
    "The manual says 640 hours, which is a strange number to print.",
    "The buck stops here, as they say, and the converter is next.",
    "Nobody answers the phone when you call the company about spare parts.",
    "I bought this one on the market for forty pounds and it arrived in three days.",
    "The screws are very small, so keep a magnet near your hand.",
    "Under the foam there is a second battery that nobody mentioned.",
    "We lift the board with a thin blade and go slowly around the edge.",
    "One of the ribbon cables was torn when it came, and I am sorry about that.",
    "An arrow on the gate shows which way it opens.",
    "She said the trail was muddy and the watch survived it well.",
    "Key shot of the day: the whole thing fits into a match box.",
    "On the quill there is a small tip made of brass.",
    "The Veltronic chip and the Nordkap one sit on the same rail.",
    "It is the VT4056, no question about it.",
    "We measured 3.62 V and then 38.42 watt hours in total.",
    "The thermistor reads fine, and the buck converter is silent.",
    "Sixty three of these were made before they changed the mould.",
    "Four or five of you asked to see it again, so here it is.",
    "You are going to want a hair dryer and some patience for this glue.",
    "The power button feels soft and the speaker is too loud.",
    "Are you ready for what comes next, because I was not.",
    "They sell a hundred thousand of them every month in one town alone.",
    "A cell like this should be handled with care and never be bent.",
    "Please tell me below whether the sound was better this time.",
    "There were ants in the box, and I am not joking about that.",
    "Grahams is the shop around the corner where I get my tools.",
    "The scott on the team, who built the rig, could not be here today.",
    "Owing to the thick layer of paint the copper hardly shows.",
];

impl Set {
    /// The terms as the caller gives them.
    fn terms(&self) -> Vec<Term> {
        let term = |(kind, written, _): &(Kind, &str, &[&str])| Term {
            kind: *kind,
            written: (*written).to_string(),
            said: Vec::new(),
            place: format!("items.{written}"),
        };
        self.terms.iter().map(term).collect()
    }

    /// The siblings as the caller gives them.
    fn siblings(&self) -> Vec<String> {
        self.siblings.iter().map(|s| (*s).to_string()).collect()
    }

    /// Films in which every garble stands once, among right speech.
    fn films(&self) -> Vec<Film> {
        (0..6).map(|number| self.film(number)).collect()
    }

    fn film(&self, number: usize) -> Film {
        let mut file = String::from("WEBVTT\n");
        let (mut mentions, mut word, mut cue) = (Vec::new(), 0, 0);
        let mut say = |text: &str, word: &mut usize| {
            let (minute, second) = (cue / 12, cue % 12 * 5);
            file += &format!(
                "\n{minute:02}:{second:02}.000 --> {minute:02}:{:02}.500\n{text}\n",
                second + 4
            );
            cue += 1;
            *word += text.split_whitespace().count();
        };
        for (t, (kind, written, garbles)) in self.terms.iter().enumerate() {
            let Some(garble) = garbles.get(number) else {
                continue;
            };
            let (before, after) = self.frames[(t * 3 + number) % self.frames.len()];
            let start = word + before.split_whitespace().count();
            mentions.push(Mention {
                words: start..start + garble.split_whitespace().count(),
                written,
                kind: kind_of(*kind, garble),
            });
            say(&format!("{before} {garble} {after}"), &mut word);
        }
        for sentence in self.right.iter().skip(number).step_by(6) {
            say(sentence, &mut word);
        }
        Film {
            captions: read(file.as_bytes(), Format::WebVtt).unwrap(),
            mentions,
        }
    }
}

fn kind_of(kind: Kind, garble: &str) -> &'static str {
    match kind {
        Kind::Part => "part number",
        Kind::Quantity if !garble.contains("point") && !garble.contains('.') => {
            "quantity, point dropped or none"
        }
        Kind::Quantity => "quantity",
        _ if garble.contains(' ') => "name of several words",
        _ => "name of one word",
    }
}

/// What proof-reading made of the films.
#[derive(Default)]
pub(crate) struct Score {
    /// Words in all.
    pub(crate) words: usize,
    /// Mentions that should be corrected.
    pub(crate) mentions: usize,
    /// Corrections applied.
    pub(crate) applied: usize,
    /// Those on the right words with the right term.
    pub(crate) right: usize,
    /// Probability of every correction, applied or proposed, and whether it is right.
    pub(crate) stated: Vec<(f64, bool)>,
    /// By kind: found and all.
    pub(crate) kinds: std::collections::BTreeMap<&'static str, (usize, usize)>,
    /// What went wrong, in words.
    pub(crate) slips: Vec<String>,
}

impl Score {
    /// Share of applied corrections that are right.
    pub(crate) fn precision(&self) -> f64 {
        self.right as f64 / self.applied.max(1) as f64
    }

    /// Share of mentions corrected.
    pub(crate) fn recall(&self) -> f64 {
        self.right as f64 / self.mentions as f64
    }

    /// Wrong changes a thousand words.
    pub(crate) fn false_per_thousand(&self) -> f64 {
        1000.0 * (self.applied - self.right) as f64 / self.words as f64
    }

    /// Expected calibration error in ten bins (Guo et al. 2017).
    pub(crate) fn calibration_error(&self) -> f64 {
        calibration_error(&self.stated)
    }
}

/// Expected calibration error in ten bins (Guo et al. 2017).
pub(crate) fn calibration_error(stated: &[(f64, bool)]) -> f64 {
    let mut bins = [(0.0, 0.0); 10];
    for (p, right) in stated {
        let bin = &mut bins[((p * 10.0) as usize).min(9)];
        *bin = (bin.0 + p, bin.1 + f64::from(u8::from(*right)));
    }
    bins.iter()
        .map(|(p, right)| f64::abs(p - right))
        .sum::<f64>()
        / stated.len() as f64
}

/// Proof-reads all films of a set.
pub(crate) fn judged(set: &Set) -> Score {
    let vocabulary = captions::Vocabulary::new(&set.terms(), &set.siblings(), &captions::ENGLISH);
    let mut score = Score::default();
    for film in set.films() {
        let found = captions::proof_read(
            &film.captions,
            &vocabulary,
            &captions::Thresholds::default(),
        );
        score.words += film.captions.words.len();
        score.mentions += film.mentions.len();
        let mut seen = vec![false; film.mentions.len()];
        for (correction, words) in found.corrections.iter().zip(&found.words) {
            let hit = film
                .mentions
                .iter()
                .position(|m| m.words == *words && m.written == correction.after);
            score.stated.push((correction.probability, hit.is_some()));
            let line = format!(
                "{} -> {} {:.3}",
                correction.before, correction.after, correction.probability
            );
            if correction.applied {
                score.applied += 1;
                score.right += usize::from(hit.is_some());
                if let Some(hit) = hit {
                    seen[hit] = true;
                } else {
                    score.slips.push(format!("wrong: {line}"));
                }
            } else {
                score
                    .slips
                    .push(format!("proposed ({}): {line}", hit.is_some()));
            }
        }
        for (mention, seen) in film.mentions.iter().zip(seen) {
            let kind = score.kinds.entry(mention.kind).or_default();
            *kind = (kind.0 + usize::from(seen), kind.1 + 1);
            if !seen {
                let heard: Vec<&str> = film.captions.words[mention.words.clone()]
                    .iter()
                    .map(|w| w.text.as_str())
                    .collect();
                score
                    .slips
                    .push(format!("missed: {} ({})", heard.join(" "), mention.written));
            }
        }
    }
    score
}
