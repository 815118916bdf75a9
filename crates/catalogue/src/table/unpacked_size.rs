//! How large a workbook becomes when it is unfolded, found by unfolding it.
//!
//! In: the bytes of a ZIP archive. Out: a refusal where its entries together become larger than is borne. What the
//! archive says about its sizes is not asked: it can say anything. Every entry is inflated to nowhere, and no
//! further than to the limit, so that the check itself is bounded.

use crate::table_cell::Fault;
use std::io::{Cursor, Read};
use zip::ZipArchive;

/// Most bytes a workbook may hold when unfolded.
const LARGEST: u64 = 1 << 30;
/// Bytes that any workbook may hold when unfolded, however small it is.
const SMALL: u64 = 64 << 20;
/// Above that, bytes that may come out of each byte. Sheets of parts give 5 to 30, repetitive ones up to 100
/// (`common practice`); deflated data can give 1032 (RFC 1951).
const MOST_SWELL: u64 = 200;

/// Refuses a workbook that becomes too large.
pub(super) fn refuse_too_large(bytes: &[u8]) -> Result<(), Fault> {
    let most = (bytes.len() as u64 * MOST_SWELL).clamp(SMALL, LARGEST);
    // An archive that cannot be read is refused by the reader of workbooks, with its reason.
    let Ok(mut archive) = ZipArchive::new(Cursor::new(bytes)) else {
        return Ok(());
    };
    let mut sum = 0_u64;
    for number in 0..archive.len() {
        let Ok(mut entry) = archive.by_index(number) else {
            continue;
        };
        sum += inflated(&mut entry, most - sum);
        if sum >= most {
            return Err(Fault::new(
                format!(
                    "the workbook of {} kB unfolds to more than {} MB",
                    bytes.len().div_ceil(1000),
                    most >> 20
                ),
                "save the sheet with the parts alone, or as CSV UTF-8",
            ));
        }
    }
    Ok(())
}

/// Counts the bytes that come out, up to `most`; a damaged entry counts as far as it goes.
fn inflated(entry: &mut impl Read, most: u64) -> u64 {
    let mut buffer = vec![0; 1 << 16];
    let mut count = 0;
    while count < most {
        match entry.read(&mut buffer) {
            Ok(0) | Err(_) => break,
            Ok(n) => count += n as u64,
        }
    }
    count.min(most)
}
