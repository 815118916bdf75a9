//! Known parts for a command: catalogue files named by the user, and those a dossier brings.
//!
//! In: paths. Out: a merged catalogue; rows that were refused are told and do not stop the work.
//! Not here: what a row means (`catalogue`).

use crate::failure::Failure;
use crate::progress;
use catalogue::{Catalogue, Loss, Registry, Remark, Row};
use std::path::{Path, PathBuf};

/// Refused rows told one by one before the rest is only counted.
const TOLD: usize = 5;

/// Reads one catalogue file.
///
/// # Errors
/// A file that cannot be read at all.
pub(crate) fn read_file(path: &Path) -> Result<(Vec<Row>, Vec<Remark>), Failure> {
    let bytes = std::fs::read(path).map_err(|e| Failure::io("read", path, &e))?;
    let read = catalogue::read(&bytes, &path.display().to_string());
    Ok((read.rows, read.remarks))
}

/// Reads catalogue files in order, later ones correcting earlier ones.
///
/// # Errors
/// A file that cannot be read at all.
pub(crate) fn load(files: &[PathBuf]) -> Result<Catalogue, Failure> {
    let mut known = Catalogue::default();
    let mut refused = Vec::new();
    for path in files {
        progress::stage(&format!("reading {}", path.display()));
        let (rows, remarks) = read_file(path)?;
        refused.extend(remarks);
        refused.extend(known.merge(rows).remarks);
    }
    refused.retain(|r| r.loss != Loss::Nothing);
    for remark in refused.iter().take(TOLD) {
        progress::stage(&format!("left out: {remark}"));
    }
    if refused.len() > TOLD {
        progress::stage(&format!(
            "left out {} more; underlid catalogue check FILES lists them all",
            refused.len() - TOLD
        ));
    }
    Ok(known)
}

/// Returns the catalogue files of a dossier (`catalogue/*.csv`, by name) and then those named.
///
/// # Errors
/// A folder that cannot be looked into.
pub(crate) fn files_of(folder: &Path, named: &[PathBuf]) -> Result<Vec<PathBuf>, Failure> {
    let inside = folder.join("catalogue");
    let mut files = Vec::new();
    if inside.is_dir() {
        let entries =
            std::fs::read_dir(&inside).map_err(|e| Failure::io("look into", &inside, &e))?;
        for entry in entries {
            let path = entry
                .map_err(|e| Failure::io("look into", &inside, &e))?
                .path();
            if path
                .extension()
                .is_some_and(|e| e.eq_ignore_ascii_case("csv"))
            {
                files.push(path);
            }
        }
        files.sort();
    }
    files.extend(named.iter().cloned());
    Ok(files)
}

/// Reads the user's own lists of hardware addresses and USB numbers.
///
/// # Errors
/// A file that cannot be read at all.
pub(crate) fn registry(addresses: &[PathBuf], usb: Option<&Path>) -> Result<Registry, Failure> {
    let mut registry = Registry::default();
    let mut refused = Vec::new();
    let bytes = |path: &Path| std::fs::read(path).map_err(|e| Failure::io("read", path, &e));
    for path in addresses {
        let (_, remarks) = registry.add_addresses(&bytes(path)?, &path.display().to_string());
        refused.extend(remarks);
    }
    if let Some(path) = usb {
        refused.extend(registry.add_usb(&bytes(path)?, &path.display().to_string()));
    }
    refused.retain(|r| r.loss != Loss::Nothing);
    for remark in refused.iter().take(TOLD) {
        progress::stage(&format!("left out: {remark}"));
    }
    Ok(registry)
}

/// Names from the user's own lists, for the reader of codes.
pub(crate) struct Names<'a>(pub(crate) &'a Registry);

impl codes::Registers for Names<'_> {
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
