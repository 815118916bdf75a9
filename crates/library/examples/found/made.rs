//! Invented dossiers of 60 parts, 8 claims and 10 steps, as frequent as their rank says (Zipf): text and index.

use jiff::civil::date;
use jiff::{Span, Timestamp};
use library::{
    Compared, DossierId, FigureRange, Indexed, NewDossier, Part, Person, Revision, Thing,
    ThingKind, Verdicts, Whole,
};
use record::{Certainty, Place};
use std::fmt::Write as _;

const PARTS: usize = 60;

/// `SplitMix64`, as in `benches/peers/peer_common.py`.
pub(crate) struct Random(pub(crate) u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
    pub(crate) fn below(&mut self, n: u64) -> u64 {
        (self.unit() * n as f64) as u64
    }
    /// A rank below `n`, as frequent as one over itself.
    pub(crate) fn rank(&mut self, n: u64) -> u64 {
        ((n as f64).powf(self.unit()) as u64 - 1).min(n - 1)
    }
}

/// An invented word; one number, one word.
pub(crate) fn word(number: u64) -> String {
    let mut random = Random(number ^ 0x5EED);
    let syllables = 2 + random.below(2);
    let mut text = String::new();
    for _ in 0..syllables {
        text.push(char::from(b"bdfgklmnprstvwz"[random.below(15) as usize]));
        text.push(char::from(b"aeiou"[random.below(5) as usize]));
        if random.below(2) == 0 {
            text.push(char::from(b"lmnrst"[random.below(6) as usize]));
        }
    }
    text
}

pub(crate) fn name(number: u64) -> String {
    let word = word(number);
    word[..1].to_uppercase() + &word[1..]
}

pub(crate) fn maker(rank: u64) -> String {
    name(1_000_000 + rank)
}

/// Makers give their parts names that begin alike.
pub(crate) fn part(rank: u64) -> (String, u64) {
    let mut random = Random(2_000_000 + rank);
    let maker = random.rank(300);
    let letters = maker_letters(maker);
    let digits = 100 + random.below(9900);
    let tail = char::from(b'A' + random.below(26) as u8);
    (format!("{letters}{digits}{tail}"), maker)
}

fn maker_letters(maker: u64) -> String {
    word(1_000_000 + maker)[..3].to_uppercase()
}

pub(crate) const ROLES: [&str; 24] = [
    "charger",
    "motion sensor",
    "processor",
    "radio",
    "touch controller",
    "voltage regulator",
    "light driver",
    "amplifier",
    "microphone",
    "flash memory",
    "protection",
    "cell gauge",
    "clamp",
    "crystal",
    "antenna switch",
    "level shifter",
    "power switch",
    "hall sensor",
    "temperature sensor",
    "pressure sensor",
    "display driver",
    "codec",
    "filter",
    "coil driver",
];
const PACKAGES: [&str; 8] = [
    "QFN-16", "SOT-23-5", "DFN-10", "LGA-8", "QFN-48", "SOT-23-6", "WLCSP-12", "DFN-6",
];

fn sentence(random: &mut Random, words: u64) -> String {
    let words: Vec<String> = (0..words).map(|_| word(random.rank(20_000))).collect();
    words.join(" ")
}

/// What is indexed of a dossier of this number.
pub(crate) fn indexed(number: u64) -> Indexed {
    let mut random = Random(3_000_000 + number);
    let mut things = Vec::new();
    let plain = |kind, id: String, text, place| Thing {
        kind,
        id,
        text,
        place: Some(place),
        part: None,
    };
    for n in 0..8 {
        let id = format!("c{n}");
        let place = Place::claim(&id);
        things.push(plain(ThingKind::Claim, id, sentence(&mut random, 6), place));
    }
    for n in 0..10 {
        let id = format!("s{n}");
        let place = Place::step(&id);
        things.push(plain(ThingKind::Step, id, sentence(&mut random, 7), place));
    }
    for n in 0..PARTS {
        let (name, by) = part(random.rank(50_000));
        let id = format!("p{n}");
        let mut first = name.clone();
        if random.below(6) == 0 {
            let at = random.below(first.len() as u64) as usize;
            let doubt = if random.below(2) == 0 { "?" } else { "[8B]" };
            first.replace_range(at..=at, doubt);
        }
        let lot = format!(
            "{}{}",
            20 + random.below(7),
            word(random.below(9000))[..2].to_uppercase()
        );
        things.push(Thing {
            kind: ThingKind::Item,
            text: sentence(&mut random, 2),
            place: Some(Place::item(&id)),
            part: Some(Part {
                name,
                marking: vec![first, lot],
                maker: maker(by),
                role: ROLES[random.rank(24) as usize].to_string(),
                package: PACKAGES[random.below(8) as usize].to_string(),
                certainty: Some(Certainty::Read),
            }),
            id,
        });
    }
    let mut figure = |kind: &str, dimension: &str, most: f64| {
        let middle = most * random.unit();
        FigureRange::of(kind, dimension, middle * 0.95, middle * 1.05)
    };
    let mut figures = vec![
        figure("run-time", "time", 144_000.0),
        figure("charging-time", "time", 14_400.0),
    ];
    for _ in 0..12 {
        figures.push(figure("mass", "mass", 0.3));
    }
    let mut count = || random.rank(12) as u32;
    Indexed {
        revision: 1,
        product: format!("{} {}", name(4_000_000 + number), 1 + number % 9),
        maker: maker(number % 250),
        model: format!("M{number}"),
        category: format!("{} lamp", word(5_000_000 + number % 40)),
        things,
        verdicts: Verdicts {
            holds: count(),
            fails: count(),
            undecided: count(),
            needs_evidence: count(),
        },
        figures,
        rests: Vec::new(),
        compared: compared(number),
    }
}

/// Masses fall by 4 g a year, with noise; energies follow them.
fn compared(number: u64) -> Compared {
    let mut random = Random(6_000_000 + number);
    let days = random.below(3650);
    let released = date(2015, 1, 1).saturating_add(Span::new().days(days as i64));
    let mass = 0.2 - 0.004 * days as f64 / 365.25 + 0.02 * random.unit();
    let figure = |kind: &str, value: f64| Whole {
        kind: kind.to_string(),
        value,
        uncertainty: value * 1e-3,
    };
    Compared {
        released: Some(released),
        there: Some(released),
        figures: vec![
            figure("mass", mass),
            figure("energy", 4e5 * mass),
            figure("energy-per-mass", 4e5 * (1.0 + random.unit())),
        ],
        ..Compared::default()
    }
}

/// The text of the dossier that this is indexed of.
pub(crate) fn text(indexed: &Indexed) -> String {
    let mut text = String::from("format = 1\n\n[product]\n");
    let q = |text: &str| toml_string(text);
    let product = [
        ("name", &indexed.product),
        ("maker", &indexed.maker),
        ("model", &indexed.model),
        ("category", &indexed.category),
    ];
    for (key, value) in product {
        writeln!(text, "{key} = {}", q(value)).unwrap();
    }
    text += "opened = 2026-03-01\n";
    text += "\n[[items]]\nid = \"product\"\nname = \"the product\"\nkind = \"product\"\n";
    for thing in &indexed.things {
        let id = q(&thing.id);
        match (&thing.part, thing.kind) {
            (Some(part), _) => {
                let lines: Vec<String> = part.marking.iter().map(|line| q(line)).collect();
                write!(
                    text,
                    "\n[[items]]\nid = {id}\nname = {}\nkind = \"part\"\nparent = \"product\"\nrole = {}\n\n[items.part]\n\
                     marking = [{}]\npackage = {}\nidentity = {{ name = {}, maker = {}, certainty = \"read\" }}\n",
                    q(&thing.text), q(&part.role), lines.join(", "), q(&part.package), q(&part.name), q(&part.maker)
                ).unwrap();
            }
            (None, ThingKind::Claim) => write!(text, "\n[[claims]]\nid = {id}\ntext = {}\nprinted = \"box\"\nkind = \"slogan\"\n", q(&thing.text)).unwrap(),
            (None, _) => write!(text, "\n[[steps]]\nid = {id}\naction = \"pry\"\ntext = {}\non = \"product\"\nundo = \"yes\"\n", q(&thing.text)).unwrap(),
        }
    }
    text
}

fn toml_string(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

/// When the dossier of this number is kept.
pub(crate) fn at(number: u64) -> Timestamp {
    Timestamp::from_second(number as i64).unwrap()
}

/// The dossier of this number as [`library::Library::create`] would make it of its text.
pub(crate) fn new(number: u64, indexed: &Indexed) -> NewDossier {
    let first = Revision::first(Person::from("generator"), at(number));
    NewDossier {
        id: DossierId::random().unwrap(),
        history: vec![(first, text(indexed))],
        name: indexed.product.clone(),
        maker: indexed.maker.clone(),
        at: at(number),
        files: Vec::new(),
        publications: Vec::new(),
    }
}
