//! Makes a library of invented dossiers and times finding in it, for `benches/library.sh`.
//!
//! usage: `found make LIBRARY DOSSIERS`, `found fill LIBRARY DOSSIERS`, `found ask LIBRARY DOSSIERS`,
//! `found rows LIBRARY DOSSIERS CSV`
//!
//! LIBRARY is a folder or, with the feature `team`, the address of a PostgreSQL. `make` saves and indexes one dossier
//! after another, each waiting for the disk; `fill` puts thousands into one transaction, and a test of the library shows
//! that the rows are the same. `ask` prints one line of JSON: milliseconds at the 50th and 95th of a hundred by kind of question, by
//! the clock and in processor time, bytes of the file. `rows` writes who holds which part, and what a hundred questions about parts found, for another
//! program to be held against.

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

mod clock;
mod made;

use clock::{Begun, Times};
use library::{
    Across, AcrossAnswer, Beside, Find, Keeper as _, Library, Person, ROWS, Rows, Which,
};
use made::{ROLES, Random, at, indexed, maker, name, new, part, text, word};
use std::fmt::Write as _;
use std::path::Path;
use std::sync::Arc;
use std::time::Instant;

const QUESTIONS: u64 = 100;

/// Dossiers of one transaction.
const AT_ONCE: u64 = 2000;

/// The same in PostgreSQL, where every change of one row within a transaction leaves a version that is passed over.
const AT_ONCE_TEAM: u64 = 50;

async fn make(library: &Library, dossiers: u64) {
    let begun = Instant::now();
    let by = Person::from("generator");
    let (mut saving, mut indexing) = (0.0, 0.0);
    for number in 0..dossiers {
        let indexed = indexed(number);
        let text = text(&indexed);
        let start = Instant::now();
        let id = library
            .create(&text, Vec::new(), &by, at(number))
            .await
            .unwrap();
        saving += start.elapsed().as_secs_f64();
        let start = Instant::now();
        library.index(&id, &indexed).await.unwrap();
        indexing += start.elapsed().as_secs_f64();
    }
    let per = |seconds: f64| 1e3 * seconds / dossiers as f64;
    println!(
        "{{\"dossiers\":{dossiers},\"seconds\":{:.1},\"save_ms\":{:.2},\"index_ms\":{:.2}}}",
        begun.elapsed().as_secs_f64(),
        per(saving),
        per(indexing)
    );
}

async fn fill(rows: &Rows, place: &str, dossiers: u64) {
    let at_once = match place.starts_with("postgres") {
        true => AT_ONCE_TEAM,
        false => AT_ONCE,
    };
    let begun = Instant::now();
    for first in (0..dossiers).step_by(at_once as usize) {
        let numbers = first..(first + at_once).min(dossiers);
        let all: Vec<_> = numbers
            .map(|number| {
                let indexed = indexed(number);
                (new(number, &indexed), indexed)
            })
            .collect();
        rows.fill(&all).await.unwrap();
        eprintln!(
            "{} {:.0} s",
            first + all.len() as u64,
            begun.elapsed().as_secs_f64()
        );
    }
    println!(
        "{{\"dossiers\":{dossiers},\"filled_seconds\":{:.1}}}",
        begun.elapsed().as_secs_f64()
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

async fn ask(library: &Library, place: &str, dossiers: u64) {
    let mut told = String::new();
    let mut all = Times::default();
    let mut all_hits = 0;
    for kind in KINDS {
        let (mut times, mut hits) = (Times::default(), 0);
        for line in questions(kind, dossiers) {
            let find = Find::read(&line).unwrap();
            let begun = Begun::now();
            hits += library.find(&find).await.unwrap().hits.len();
            begun.end(&mut times);
        }
        all.extend(&times);
        all_hits += hits;
        times.tell(&mut told, kind, hits);
    }
    let mut random = Random(9_000_000);
    let (mut times, mut touched) = (Times::default(), 0);
    for _ in 0..QUESTIONS {
        let name = part(random.rank(50_000)).0;
        let begun = Begun::now();
        touched += library.touched_by(&[name]).await.unwrap().len();
        begun.end(&mut times);
    }
    times.tell(&mut told, "touched by", touched);
    across(library, &mut told).await;
    let (mut times, mut heads) = (Times::default(), 0);
    for _ in 0..5 {
        let begun = Begun::now();
        heads = library.heads(Which::Present).await.unwrap().len();
        begun.end(&mut times);
    }
    times.tell(&mut told, "every head", heads);
    all.tell(&mut told, "all that is typed", all_hits);
    // In PostgreSQL there is no one file.
    let bytes = std::fs::metadata(Path::new(place).join(ROWS)).map_or(0, |file| file.len());
    println!(
        "{{\"dossiers\":{dossiers},{told}\"file_mb\":{:.1}}}",
        bytes as f64 / 1e6
    );
}

/// A hundred questions across products of each kind, and products beside a hundred.
async fn across(library: &Library, told: &mut String) {
    let mut random = Random(9_500_000);
    let id = library.heads(Which::Present).await.unwrap()[0].id.clone();
    for kind in [
        "supplied",
        "begun",
        "over",
        "over in class",
        "classes",
        "mark",
        "peers",
    ] {
        let (mut times, mut rows) = (Times::default(), 0);
        for _ in 0..QUESTIONS {
            let r = random.rank(300);
            let class = format!("{} lamp", word(5_000_000 + r % 40));
            let asked = match kind {
                "supplied" => Some(Across::Supplied(maker(r))),
                "begun" => Some(Across::Begun(maker(r)[..2].to_string())),
                "over" => Some(Across::Over("energy-per-mass".into(), None)),
                "over in class" => Some(Across::Over("mass".into(), Some(class.clone()))),
                "classes" => Some(Across::Classes),
                _ => None,
            };
            let beside = Beside {
                dossier: id.clone(),
                category: class,
                maker: maker(r),
                parts: vec![part(r).0],
                most: 500,
            };
            let begun = Begun::now();
            rows += if let Some(asked) = asked {
                size(&library.across(&asked).await.unwrap())
            } else if kind == "mark" {
                library.peers_mark(&id).await.unwrap();
                1
            } else {
                library.peers(&beside).await.unwrap().peers.len()
            };
            begun.end(&mut times);
        }
        times.tell(told, kind, rows);
    }
}

fn size(answer: &AcrossAnswer) -> usize {
    match answer {
        AcrossAnswer::Supplied(rows) => rows.len(),
        AcrossAnswer::Begun(names) => names.parts.len() + names.makers.len(),
        AcrossAnswer::Over(dots, _) => dots.len(),
        AcrossAnswer::Classes(rows) => rows.len(),
    }
}

/// Writes who holds which part, and for a hundred parts the products found with it, the one indexed last first.
async fn rows(library: &Library, dossiers: u64, csv: &Path) {
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
    let mut found = String::new();
    let (mut times, mut hits) = (Times::default(), 0);
    let mut random = Random(8_000_000);
    for _ in 0..QUESTIONS {
        let name = part(random.rank(50_000)).0;
        let begun = Begun::now();
        let with = library.with_part(&name, 20).await.unwrap();
        begun.end(&mut times);
        hits += with.hits.len();
        let products: Vec<&str> = with.hits.iter().map(|hit| hit.product.as_str()).collect();
        writeln!(found, "{name},{}", products.join(";")).unwrap();
    }
    std::fs::write(csv.join("found.csv"), found).unwrap();
    let mut told = String::new();
    times.tell(&mut told, "with part", hits);
    println!("{{{}}}", told.trim_end_matches(','));
}

/// The rows of a library at a place, made where there are none.
async fn rows_at(place: &str) -> Rows {
    #[cfg(feature = "team")]
    if place.starts_with("postgres") {
        return Rows::postgres(place).await.unwrap();
    }
    std::fs::create_dir_all(place).unwrap();
    Rows::sqlite(&Path::new(place).join(ROWS)).await.unwrap()
}

#[tokio::main]
async fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let [what, place, dossiers, csv @ ..] = arguments.as_slice() else {
        eprintln!("usage: found make|fill|ask LIBRARY DOSSIERS | found rows LIBRARY DOSSIERS CSV");
        std::process::exit(2);
    };
    let dossiers = dossiers.parse().unwrap();
    let kept = rows_at(place).await;
    let objects = Arc::new(object_store::memory::InMemory::new());
    let library = Library::of(Arc::new(kept.clone()), objects);
    match (*what, csv) {
        ("make", []) => make(&library, dossiers).await,
        ("fill", []) => fill(&kept, place, dossiers).await,
        ("ask", []) => ask(&library, place, dossiers).await,
        ("rows", [csv]) => rows(&library, dossiers, Path::new(csv)).await,
        _ => panic!("it makes, fills, asks or tells rows"),
    }
    kept.close().await;
}
