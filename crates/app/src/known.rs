//! Known parts for a command: catalogue files named by the user, and those a dossier brings.
//!
//! In: paths. Out: a merged catalogue; rows that were refused are told and do not stop the work.
//! Not here: what a row means (`catalogue`).

mod own;
mod ready;

use crate::shown;
use crate::{Problem, Remedy, Watch};
use catalogue::{Catalogue, Loss, Registry, Remark, Row};
use cost::book::Book;
use methods::Known;
use repair::times::Times;
use std::path::{Path, PathBuf};
use store::{limits, opener};

/// Refused rows told one by one before the rest is only counted.
const TOLD: usize = 5;

/// The folder of a dossier in which its catalogues lie.
pub(crate) const BROUGHT: &str = "catalogue";

/// Reads one catalogue file.
///
/// # Errors
/// A file that cannot be read at all.
pub(crate) fn read_file(path: &Path) -> Result<(Vec<Row>, Vec<Remark>), Problem> {
    let bytes = opener::read(path, limits::CATALOGUE)?;
    let read = catalogue::read(&bytes, &shown(path));
    Ok((read.rows, read.remarks))
}

/// Reads one price book; none where a file is no price book by its name.
///
/// # Errors
/// A file that cannot be read at all.
pub(crate) fn read_book(path: &Path) -> Result<Option<cost::book::Read>, Problem> {
    if !own::is_one::<Book>(path) {
        return Ok(None);
    }
    let bytes = opener::read(path, limits::CATALOGUE)?;
    Ok(Some(cost::book::read(&bytes, &shown(path))))
}

/// Reads one table of times; none where a file is no such table by its name.
///
/// # Errors
/// A file that cannot be read at all.
pub(crate) fn read_times(path: &Path) -> Result<Option<repair::times::Read>, Problem> {
    if !own::is_one::<Times>(path) {
        return Ok(None);
    }
    let bytes = opener::read(path, limits::CATALOGUE)?;
    Ok(Some(repair::times::read(&bytes, &shown(path))))
}

/// A catalogue file that was read.
struct Source<'a> {
    /// As it is called to the user.
    shown: String,
    bytes: Vec<u8>,
    /// Where the user named it; files that a dossier brings may be empty.
    named: Option<&'a Path>,
}

/// Reads the catalogue files of a dossier (`catalogue/*.csv`, by name) and then those named, later ones
/// correcting earlier ones, and makes them ready for reading markings. What was made of large ones is kept
/// (`ready`).
///
/// # Errors
/// A file that cannot be read at all, or leads out of the dossier's folder; one that was named and of which every
/// row was refused.
pub(crate) fn load(
    dossier: Option<&Path>,
    named: &[PathBuf],
    watch: &dyn Watch,
) -> Result<Known, Problem> {
    all_of(sources(dossier, named, watch)?, watch)
}

/// As [`load`], with the catalogue files that a dossier brings given by path and bytes.
///
/// # Errors
/// As [`load`].
pub(crate) fn load_brought(
    brought: Vec<(String, Vec<u8>)>,
    named: &[PathBuf],
    watch: &dyn Watch,
) -> Result<Known, Problem> {
    let brought = brought.into_iter().map(|(path, bytes)| Source {
        shown: shown(&path),
        bytes,
        named: None,
    });
    let mut all: Vec<Source<'_>> = brought.collect();
    all.extend(sources(None, named, watch)?);
    all_of(all, watch)
}

/// Makes catalogues, price books and tables of times ready.
fn all_of(sources: Vec<Source<'_>>, watch: &dyn Watch) -> Result<Known, Problem> {
    let (sources, tables) = own::parted::<Times>(sources);
    let (catalogues, books) = own::parted::<Book>(sources);
    let book = own::merged(books, watch)?;
    let times = own::merged(tables, watch)?;
    Ok(ready::ready(catalogues, watch)?
        .with_prices(book)
        .with_times(times))
}

/// Reads the tables of times among the same files as [`load`].
///
/// # Errors
/// As [`load`].
pub(crate) fn times(
    dossier: Option<&Path>,
    named: &[PathBuf],
    watch: &dyn Watch,
) -> Result<Times, Problem> {
    let (_, tables) = own::parted::<Times>(sources(dossier, named, watch)?);
    own::merged(tables, watch)
}

/// Reads the price books among the same files as [`load`].
///
/// # Errors
/// As [`load`].
pub(crate) fn prices(
    dossier: Option<&Path>,
    named: &[PathBuf],
    watch: &dyn Watch,
) -> Result<Book, Problem> {
    let (_, books) = own::parted::<Book>(sources(dossier, named, watch)?);
    own::merged(books, watch)
}

/// Returns whether a file inside a dossier is one of its catalogues.
pub(crate) fn is_catalogue(path: &str) -> bool {
    let path = Path::new(path);
    path.parent() == Some(Path::new(BROUGHT)) && is_csv(path)
}

/// Reads the same files and merges them, as the parts they tell.
///
/// # Errors
/// As [`load`].
pub(crate) fn parts(
    dossier: Option<&Path>,
    named: &[PathBuf],
    watch: &dyn Watch,
) -> Result<Catalogue, Problem> {
    let (sources, _) = own::parted::<Times>(sources(dossier, named, watch)?);
    let (catalogues, _) = own::parted::<Book>(sources);
    Ok(merged(catalogues)?.0)
}

fn sources<'a>(
    dossier: Option<&Path>,
    named: &'a [PathBuf],
    watch: &dyn Watch,
) -> Result<Vec<Source<'a>>, Problem> {
    let mut sources = Vec::new();
    if let Some(folder) = dossier {
        for relative in brought(folder)? {
            let shown = shown(folder.join(&relative));
            watch.stage(&format!("reading {shown}"));
            let bytes = opener::read_inside(folder, &relative, limits::CATALOGUE)?;
            let named = None;
            sources.push(Source {
                shown,
                bytes,
                named,
            });
        }
    }
    for path in named {
        let shown = shown(path);
        watch.stage(&format!("reading {shown}"));
        let bytes = opener::read(path, limits::CATALOGUE)?;
        let named = Some(path.as_path());
        sources.push(Source {
            shown,
            bytes,
            named,
        });
    }
    Ok(sources)
}

/// Merges catalogue files; returns what is to be told about them too.
fn merged(sources: Vec<Source<'_>>) -> Result<(Catalogue, Vec<String>), Problem> {
    let mut known = Catalogue::default();
    let (mut refused, mut told) = (Vec::new(), Vec::new());
    for source in sources {
        let read = catalogue::read(&source.bytes, &source.shown);
        drop(source.bytes);
        let mut remarks = read.remarks;
        let merged = known.merge(read.rows);
        remarks.extend(merged.remarks);
        if let Some(path) = source.named
            && merged.added + merged.corrected + merged.unchanged == 0
        {
            nothing_in(path, &remarks)?;
            told.push(format!("{} holds no part", source.shown));
        }
        refused.extend(remarks);
    }
    refused.retain(|r| r.loss != Loss::Nothing);
    told.extend(
        refused
            .iter()
            .take(TOLD)
            .map(|remark| format!("left out: {remark}")),
    );
    if refused.len() > TOLD {
        told.push(format!(
            "left out {} more; checking the catalogue lists them all",
            refused.len() - TOLD
        ));
    }
    Ok((known, told))
}

/// Refuses a file of which every row was refused; one that holds no row is none of these.
fn nothing_in(path: &Path, remarks: &[Remark]) -> Result<(), Problem> {
    let lost: Vec<&Remark> = remarks.iter().filter(|r| r.loss != Loss::Nothing).collect();
    let Some(first) = lost.first() else {
        return Ok(());
    };
    let more = match lost.len() {
        1 => String::new(),
        n => format!(" (and {} more)", n - 1),
    };
    Err(Problem::refused(
        format!(
            "nothing in the catalogue {} can be used: {first}{more}",
            shown(path)
        ),
        Remedy::CheckCatalogue(path.to_path_buf()),
    )
    .at(path))
}

/// Returns the paths of a dossier's catalogue files inside its folder, by name.
fn brought(folder: &Path) -> Result<Vec<PathBuf>, Problem> {
    let inside = Path::new(BROUGHT);
    let names = opener::names_inside(folder, inside)?;
    Ok(names
        .into_iter()
        .map(|name| inside.join(name))
        .filter(|path| is_csv(path))
        .collect())
}

fn is_csv(path: &Path) -> bool {
    path.extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("csv"))
}

/// Reads the user's own lists of hardware addresses and USB numbers.
///
/// # Errors
/// A file that cannot be read at all.
pub(crate) fn registry(
    addresses: &[PathBuf],
    usb: Option<&Path>,
    watch: &dyn Watch,
) -> Result<Registry, Problem> {
    let mut registry = Registry::default();
    let mut refused = Vec::new();
    let bytes = |path: &Path| opener::read(path, limits::REGISTRY);
    for path in addresses {
        let (_, remarks) = registry.add_addresses(&bytes(path)?, &shown(path));
        refused.extend(remarks);
    }
    if let Some(path) = usb {
        refused.extend(registry.add_usb(&bytes(path)?, &shown(path)).1);
    }
    refused.retain(|r| r.loss != Loss::Nothing);
    for remark in refused.iter().take(TOLD) {
        watch.note(&format!("left out: {remark}"));
    }
    Ok(registry)
}

/// Names from the user's own lists, for the reader of codes.
pub(crate) struct Names<'a>(pub(crate) &'a Registry);

impl codes::Registries for Names<'_> {
    fn address_block(&self, prefix: u64, bits: u8) -> Option<String> {
        let address = prefix.checked_shl(48_u32.checked_sub(u32::from(bits))?)?;
        let [_, _, bytes @ ..] = address.to_be_bytes();
        let block = self.0.vendor(&bytes)?;
        // A longer block is asked for first, under its own number of bits.
        (block.bits == bits).then(|| block.owner.to_string())
    }

    fn usb_vendor(&self, vendor: u16) -> Option<String> {
        self.0.usb(vendor, 0).vendor.map(String::from)
    }

    fn usb_product(&self, vendor: u16, product: u16) -> Option<String> {
        self.0.usb(vendor, product).product.map(String::from)
    }
}
