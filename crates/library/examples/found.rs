//! Makes a library of invented dossiers and times finding in it, for `benches/library.sh`.
//!
//! usage: `found make FOLDER DOSSIERS` or `found ask FOLDER DOSSIERS` or `found rows FOLDER DOSSIERS CSV`
//!
//! Each dossier has 60 parts, 8 claims and 10 steps; makers, parts, roles and words are invented and as frequent as
//! their rank says (Zipf). `make` goes through the public interface, one save a dossier. `ask` prints one line of JSON:
//! milliseconds at the 50th and 95th of a hundred by kind of question, bytes of the file. `rows` writes who holds which
//! part, and what a hundred questions about parts found, for another program to be held against.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "an example reads its arguments, writes files, is timed and ends where something is wrong"
)]

use jiff::civil::date;
use jiff::{Span, Timestamp};
use library::{
    Across, Beside, Compared, FigureRange, Find, Indexed, Library, Part, Person, ROWS, Thing,
    ThingKind, Verdicts, Which, Whole,
};
use record::{Certainty, Place};
use std::fmt::Write as _;
use std::path::Path;
use std::time::Instant;

const PARTS: usize = 60;
const QUESTIONS: u64 = 100;

/// `SplitMix64`, as in `benches/peers/peer_common.py`.
struct Random(u64);

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
    fn below(&mut self, n: u64) -> u64 {
        (self.unit() * n as f64) as u64
    }
    /// A rank below `n`, as frequent as one over itself.
    fn rank(&mut self, n: u64) -> u64 {
        ((n as f64).powf(self.unit()) as u64 - 1).min(n - 1)
    }
}

/// An invented word; one number, one word.
fn word(number: u64) -> String {
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

fn name(number: u64) -> String {
    let word = word(number);
    word[..1].to_uppercase() + &word[1..]
}

fn maker(rank: u64) -> String {
    name(1_000_000 + rank)
}

/// Makers give their parts names that begin alike.
fn part(rank: u64) -> (String, u64) {
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

const ROLES: [&str; 24] = [
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
fn indexed(number: u64) -> Indexed {
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
fn text(indexed: &Indexed) -> String {
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

async fn make(folder: &Path, dossiers: u64) {
    let library = Library::open(folder).await.unwrap();
    let begun = Instant::now();
    let by = Person::from("generator");
    let (mut saving, mut indexing) = (0.0, 0.0);
    for number in 0..dossiers {
        let indexed = indexed(number);
        let text = text(&indexed);
        let at = Timestamp::from_second(number as i64).unwrap();
        let start = Instant::now();
        let id = library.create(&text, Vec::new(), &by, at).await.unwrap();
        saving += start.elapsed().as_secs_f64();
        let start = Instant::now();
        library.index(&id, &indexed).await.unwrap();
        indexing += start.elapsed().as_secs_f64();
    }
    library.close().await;
    let per = |seconds: f64| 1e3 * seconds / dossiers as f64;
    println!(
        "{{\"dossiers\":{dossiers},\"seconds\":{:.1},\"save_ms\":{:.2},\"index_ms\":{:.2}}}",
        begun.elapsed().as_secs_f64(),
        per(saving),
        per(indexing)
    );
}

/// A hundred questions of a kind about a library of this many dossiers.
fn questions(kind: &str, dossiers: u64) -> Vec<String> {
    let mut random = Random(7_000_000 + kind.len() as u64 * 131 + u64::from(kind.as_bytes()[0]));
    (0..QUESTIONS)
        .map(|_| {
            let r = &mut random;
            match kind {
                "word" => word(r.rank(20_000)),
                "two words" => format!("{} {}", word(r.rank(20_000)), word(r.rank(20_000))),
                "beginning" => {
                    let word = word(r.rank(20_000));
                    word[..(2 + r.below(3) as usize).min(word.len())].to_string()
                }
                "product" => name(4_000_000 + r.below(dossiers)),
                "part number" => format!("part:{}", part(r.rank(50_000)).0),
                "marking in doubt" => {
                    let mut text = part(r.rank(50_000)).0;
                    let at = r.below(text.len() as u64) as usize;
                    text.replace_range(at..=at, if r.below(2) == 0 { "?" } else { "[8B0D]" });
                    format!("marking:{text}")
                }
                "maker and role" => format!(
                    "maker:{} role:\"{}\"",
                    maker(r.rank(300)),
                    ROLES[r.rank(24) as usize]
                ),
                "figure" => {
                    let hours = r.below(38);
                    format!("run-time:{hours}..{}h", hours + 1)
                }
                "figure and word" => format!("{} run-time>{}h", word(r.rank(20_000)), r.below(38)),
                "verdict" => format!("fails:>{}", r.below(12)),
                _ => String::new(),
            }
        })
        .collect()
}

const KINDS: [&str; 11] = [
    "word",
    "two words",
    "beginning",
    "product",
    "part number",
    "marking in doubt",
    "maker and role",
    "figure",
    "figure and word",
    "verdict",
    "list",
];

async fn ask(folder: &Path, dossiers: u64) {
    let library = Library::open_existing(folder).await.unwrap();
    let mut told = String::new();
    let mut all = Vec::new();
    for kind in KINDS {
        let mut times = Vec::new();
        let mut hits = 0;
        for line in questions(kind, dossiers) {
            let find = Find::read(&line).unwrap();
            let start = Instant::now();
            hits += library.find(&find).await.unwrap().hits.len();
            times.push(1e3 * start.elapsed().as_secs_f64());
        }
        all.extend_from_slice(&times);
        let (half, most) = (quantile(&mut times, 0.5), quantile(&mut times, 0.95));
        write!(
            told,
            "\"{kind}\":{{\"p50_ms\":{half:.2},\"p95_ms\":{most:.2},\"hits\":{hits}}},"
        )
        .unwrap();
    }
    let (half, most) = (quantile(&mut all, 0.5), quantile(&mut all, 0.95));
    let mut random = Random(9_000_000);
    let (mut times, mut touched) = (Vec::new(), 0);
    for _ in 0..QUESTIONS {
        let name = part(random.rank(50_000)).0;
        let start = Instant::now();
        touched += library.touched_by(&[name]).await.unwrap().len();
        times.push(1e3 * start.elapsed().as_secs_f64());
    }
    let (touched_half, touched_most) = (quantile(&mut times, 0.5), quantile(&mut times, 0.95));
    write!(told, "\"touched by\":{{\"p50_ms\":{touched_half:.2},\"p95_ms\":{touched_most:.2},\"hits\":{touched}}},").unwrap();
    across(&library, &mut told).await;
    let start = Instant::now();
    let heads = library.heads(Which::Present).await.unwrap().len();
    let whole = 1e3 * start.elapsed().as_secs_f64();
    write!(
        told,
        "\"every head\":{{\"ms\":{whole:.2},\"hits\":{heads}}},"
    )
    .unwrap();
    library.close().await;
    let bytes = std::fs::metadata(folder.join(ROWS)).unwrap().len();
    println!(
        "{{\"dossiers\":{dossiers},{told}\"all\":{{\"p50_ms\":{half:.2},\"p95_ms\":{most:.2}}},\"file_mb\":{:.1}}}",
        bytes as f64 / 1e6
    );
}

/// A hundred questions across products of each kind, and products beside a hundred.
async fn across(library: &Library, told: &mut String) {
    let mut random = Random(9_500_000);
    for kind in ["supplied", "begun", "over", "over in class", "classes", "mark", "peers"] {
        let (mut times, mut rows) = (Vec::new(), 0);
        for _ in 0..QUESTIONS {
            let r = random.rank(300);
            let class = format!("{} lamp", word(5_000_000 + r % 40));
            let id = library.heads(Which::Present).await.unwrap()[0].id.clone();
            let start = Instant::now();
            let asked = match kind {
                "supplied" => Some(Across::Supplied(maker(r))),
                "begun" => Some(Across::Begun(maker(r)[..2].to_string())),
                "over" => Some(Across::Over("energy-per-mass".into(), None)),
                "over in class" => Some(Across::Over("mass".into(), Some(class.clone()))),
                "classes" => Some(Across::Classes),
                _ => None,
            };
            if let Some(asked) = asked {
                rows += format!("{:?}", library.across(&asked).await.unwrap()).len();
            } else if kind == "mark" {
                library.peers_mark(&id).await.unwrap();
            } else {
                let beside = Beside {
                    dossier: id,
                    category: class,
                    maker: maker(r),
                    parts: vec![part(r).0],
                    most: 500,
                };
                rows += library.peers(&beside).await.unwrap().peers.len();
            }
            times.push(1e3 * start.elapsed().as_secs_f64());
        }
        let (half, most) = (quantile(&mut times, 0.5), quantile(&mut times, 0.95));
        write!(
            told,
            "\"{kind}\":{{\"p50_ms\":{half:.2},\"p95_ms\":{most:.2},\"size\":{rows}}},"
        )
        .unwrap();
    }
}

fn quantile(times: &mut [f64], at: f64) -> f64 {
    times.sort_by(f64::total_cmp);
    times[((times.len() - 1) as f64 * at).round() as usize]
}

/// Writes who holds which part, and for a hundred parts the products found with it, the one indexed last first.
async fn rows(folder: &Path, dossiers: u64, csv: &Path) {
    let mut sightings = String::from("turn,product,part\n");
    for number in 0..dossiers {
        let indexed = indexed(number);
        for part in indexed
            .things
            .iter()
            .filter_map(|thing| thing.part.as_ref())
        {
            writeln!(sightings, "{number},{},{}", indexed.product, part.name).unwrap();
        }
    }
    std::fs::write(csv.join("sightings.csv"), sightings).unwrap();
    let library = Library::open_existing(folder).await.unwrap();
    let mut found = String::new();
    let mut times = Vec::new();
    let mut random = Random(8_000_000);
    for _ in 0..QUESTIONS {
        let name = part(random.rank(50_000)).0;
        let start = Instant::now();
        let with = library.with_part(&name, 20).await.unwrap();
        times.push(1e3 * start.elapsed().as_secs_f64());
        let products: Vec<&str> = with.hits.iter().map(|hit| hit.product.as_str()).collect();
        writeln!(found, "{name},{}", products.join(";")).unwrap();
    }
    std::fs::write(csv.join("found.csv"), found).unwrap();
    println!(
        "{{\"with_part_p50_ms\":{:.3},\"with_part_p95_ms\":{:.3}}}",
        quantile(&mut times, 0.5),
        quantile(&mut times, 0.95)
    );
}

#[tokio::main]
async fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match arguments.as_slice() {
        ["make", folder, dossiers] => make(Path::new(folder), dossiers.parse().unwrap()).await,
        ["ask", folder, dossiers] => ask(Path::new(folder), dossiers.parse().unwrap()).await,
        ["rows", folder, dossiers, csv] => {
            rows(Path::new(folder), dossiers.parse().unwrap(), Path::new(csv)).await
        }
        _ => {
            eprintln!(
                "usage: found make FOLDER DOSSIERS | found ask FOLDER DOSSIERS | found rows FOLDER DOSSIERS CSV"
            );
            std::process::exit(2);
        }
    }
}
