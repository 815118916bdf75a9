//! A bundle: what a reader needs to work a report out again, without anything private.
//!
//! In: a dossier as it may be published, its findings, its photographs, the known parts. Out: files: the record
//! with private text withheld, photographs without notes and with private regions filled, logs without private text,
//! recordings as they came, the rows of the catalogue that have a part in the findings, the findings, and a list of
//! all of them with their sums.
//! Not here: writing them (`publish`), working them out again (`verify`).

mod logs;

use crate::imaging_problem::Work;
use crate::verify::compare;
use crate::{At, Problem, Watch, known, photographs};
use catalogue::Catalogue;
use cost::book::{Book, Entry, Kind};
use imaging::pixels::Encoding;
use methods::{Findings, Known, Others, Recorded};
use record::{AnyFile, Dossier, Photo, Private};
use repair::times::Times;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use store::{OutputFile, limits, opener};

/// The list of a bundle's files.
pub(crate) const LIST: &str = "bundle.json";
/// The findings in it.
pub(crate) const FINDINGS: &str = "findings.json";
/// What its publisher’s library held of other products that were published.
const OTHERS: &str = "others.json";
/// The known parts in it.
const PARTS: &str = "catalogue/known-parts.csv";
/// The times of acts in it.
const TIMES: &str = "catalogue/times.csv";
/// The prices in it.
const PRICES: &str = "catalogue/prices.csv";
/// Version of the list.
pub(crate) const FORMAT: u32 = 1;
/// JPEG quality of its photographs: no reader sees a difference.
const QUALITY: u8 = 92;

/// What a bundle holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct List {
    /// [`FORMAT`].
    pub(crate) format: u32,
    /// Version of the program that wrote it.
    pub(crate) version: String,
    /// SHA-256 of every file by its path, hexadecimal.
    pub(crate) files: BTreeMap<String, String>,
}

/// A bundle made, and what it is known by.
pub(crate) struct Bundle {
    pub(crate) files: Vec<OutputFile>,
    /// Sum over its list, and so over all of it.
    pub(crate) fingerprint: String,
}

/// Returns the sum of bytes, hexadecimal.
pub(crate) fn sum(bytes: &[u8]) -> String {
    let mut text = String::new();
    for byte in Sha256::digest(bytes) {
        // Writing to a String cannot fail.
        let _ = write!(text, "{byte:02x}");
    }
    text
}

/// Makes the bundle of a dossier as it may be published; `private` is looked for in what lies beside it.
///
/// # Errors
/// A record that would not give the same findings again.
pub(crate) fn make(
    folder: &Path,
    (dossier, private): (&Dossier, &Private),
    findings: &Findings,
    leaving_out: &BTreeSet<String>,
    (catalogues, others): (&[PathBuf], &Others),
    watch: &dyn Watch,
) -> Result<Bundle, Problem> {
    let mut public = dossier.clone();
    let mut files = Vec::new();
    for photo in &mut public.photos {
        let hidden = leaving_out.contains(&photo.id);
        let bytes = picture(folder, dossier, photo, hidden);
        photo.file = format!("{}.jpg", photo.id);
        // One that cannot be read has been named already; readers of the bundle miss it as those of the report do.
        if let Ok(bytes) = bytes {
            files.push(file(&format!("photos/{}", photo.file), bytes));
        }
    }
    let recorded = logs::put(folder, &mut public, private, &mut files, watch)?;
    for recording in &public.recordings {
        let path = format!("recordings/{}", recording.file);
        if let Ok(bytes) = opener::read_inside(folder, &path, limits::RECORDING) {
            add_once(&mut files, &path, bytes);
        }
    }
    let text = public.to_toml();
    let told = report::json(findings);
    let all = known::parts(Some(folder), catalogues, watch)?;
    let named = all
        .parts()
        .iter()
        .filter(|p| told.contains(p.name.as_str()));
    let used: Catalogue = named.cloned().collect();
    let prices = prices(&known::prices(Some(folder), catalogues, watch)?, &told);
    let times = times(&known::times(Some(folder), catalogues, watch)?);
    let differs = |parts: &Catalogue| {
        differs(
            &text,
            (parts, &prices, &times),
            (&recorded, others),
            findings,
        )
    };
    let parts = match differs(&used) {
        None => used,
        // A part that is named nowhere may still have made another one less likely.
        Some(_) => match differs(&all) {
            None => all,
            Some(how) => {
                return Err(Problem::new(
                    crate::Kind::Internal,
                    format!("the record as it would be published gives other findings: {how}"),
                    "publish without a bundle, and report this with the dossier",
                ));
            }
        },
    };
    files.push(file(store::TEXT, text.into_bytes()));
    files.push(file(PARTS, table(&parts).into_bytes()));
    if !prices.is_empty() {
        files.push(file(PRICES, prices.into_bytes()));
    }
    if !times.is_empty() {
        files.push(file(TIMES, times.into_bytes()));
    }
    if others.products.is_some() {
        let text = serde_json::to_vec_pretty(others).expect("texts and numbers have a JSON form");
        files.push(file(OTHERS, text));
    }
    files.push(file(FINDINGS, told.into_bytes()));
    let list = List {
        format: FORMAT,
        version: env!("CARGO_PKG_VERSION").into(),
        files: files
            .iter()
            .map(|f| (f.path.clone(), sum(&f.bytes)))
            .collect(),
    };
    let list = serde_json::to_vec_pretty(&list).expect("texts and numbers have a JSON form");
    let fingerprint = sum(&list);
    files.push(file(LIST, list));
    Ok(Bundle { files, fingerprint })
}

fn table(parts: &Catalogue) -> String {
    catalogue::write_in_order(parts.parts())
}

/// Reads what a bundle says of other products; that there is no library where it says nothing.
///
/// # Errors
/// A file that is no such list.
pub(crate) fn others(folder: &Path, list: &List) -> Result<Others, Problem> {
    if !list.files.contains_key(OTHERS) {
        return Ok(Others::unknown());
    }
    let bytes = opener::read_inside(folder, OTHERS, limits::FINDINGS)?;
    serde_json::from_slice(&bytes).map_err(|e| {
        let path = folder.join(OTHERS);
        let message = format!("{}: {e}", crate::shown(&path));
        Problem::refused(message, "fetch the file again from its publisher").at(&path)
    })
}

/// Writes the rows of a price book that may have a part in the findings: of parts, classes and modules those that are
/// named there, so that no other price leaves the house.
fn prices(book: &Book, told: &str) -> String {
    let named = |row: &&Entry| match row.kind {
        Kind::Part | Kind::Class | Kind::Module => told.contains(row.name.as_str()),
        _ => true,
    };
    let rows: Vec<&Entry> = book.rows().iter().filter(named).collect();
    match rows.is_empty() {
        true => String::new(),
        false => cost::book::write(rows),
    }
}

/// Writes a table of times; empty where there is none.
fn times(times: &Times) -> String {
    match times.is_empty() {
        true => String::new(),
        false => repair::times::write(times.rows()),
    }
}

/// Adds a file that several entries may name.
fn add_once(files: &mut Vec<OutputFile>, path: &str, bytes: Vec<u8>) {
    if files.iter().all(|other| other.path != path) {
        files.push(file(path, bytes));
    }
}

fn file(path: &str, bytes: Vec<u8>) -> OutputFile {
    OutputFile {
        path: path.into(),
        bytes,
    }
}

/// Works the findings out from the texts as they are written; says how they differ, if they do.
fn differs(
    text: &str,
    (parts, prices, times): (&Catalogue, &str, &str),
    (recorded, others): (&Recorded, &Others),
    findings: &Findings,
) -> Option<String> {
    let dossier = match record::read_text(text, store::TEXT, &AnyFile) {
        Ok(dossier) => dossier,
        Err(problems) => return Some(problems.to_string()),
    };
    let mut read = Catalogue::default();
    read.merge(catalogue::read(table(parts).as_bytes(), PARTS).rows);
    let book = match prices {
        "" => Book::default(),
        prices => cost::book::read(prices.as_bytes(), PRICES).book,
    };
    let times = match times {
        "" => Times::default(),
        times => repair::times::read(times.as_bytes(), TIMES).times,
    };
    let known = Known::new(read).with_prices(book).with_times(times);
    let go_on = |_| std::ops::ControlFlow::Continue(());
    let found = methods::examine_among(&dossier, &known, recorded, others, &go_on);
    let compared = compare(findings, &found.ok()?);
    compared.differs.into_iter().next()
}

/// Returns the photograph as it is seen, its private regions filled, as a file without notes. Of one that is left
/// out everything is filled: its size is what findings rest on.
fn picture(
    folder: &Path,
    dossier: &Dossier,
    photo: &Photo,
    hidden: bool,
) -> Result<Vec<u8>, Problem> {
    let mut seen = photographs::upright(folder, &photo.file)?;
    let whole = [0, 0, seen.picture.width, seen.picture.height];
    let masks = match hidden {
        true => vec![whole],
        false => photographs::published::private(dossier, &photo.file),
    };
    callout::withhold(&mut seen.picture, &masks);
    seen.encode(Encoding::Jpeg(QUALITY)).map_err(|e| {
        let path = folder.join(photographs::inside(&photo.file));
        Problem::of_imaging(Work::Decode(&path, e.remedy()), &e, At::Path(path.clone()))
    })
}
