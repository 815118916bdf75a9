//! Small workbooks that unfold to much: refused before they are read, whatever they say about their size.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use catalogue::{Loss, Table};
use std::io::{Cursor, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

/// An archive with one entry of so many megabytes of the same letter.
fn archive(megabytes: usize) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    archive.start_file("xl/sharedStrings.xml", options).unwrap();
    let letters = vec![b'A'; 1 << 20];
    for _ in 0..megabytes {
        archive.write_all(&letters).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

/// Changes the unpacked size that an archive states in its directory, and before the entry itself.
fn saying(archive: &[u8], size: u32) -> [Vec<u8>; 2] {
    let mut archive = archive.to_vec();
    let entry = archive
        .windows(4)
        .rposition(|bytes| bytes == b"PK\x01\x02")
        .unwrap();
    archive[entry + 24..entry + 28].copy_from_slice(&size.to_le_bytes());
    let directory_alone = archive.clone();
    archive[22..26].copy_from_slice(&size.to_le_bytes());
    [directory_alone, archive]
}

#[track_caller]
fn refused_for_its_size(bytes: &[u8]) {
    assert!(bytes.len() < 600_000, "{}", bytes.len());
    let remark = Table::from_bytes(bytes, "parts.xlsx").unwrap_err();
    let told = remark.to_string();
    assert!(
        told.contains("parts.xlsx") && told.contains("unfolds to more than"),
        "{told}"
    );
    assert!(!remark.remedy.is_empty());
}

#[test]
fn a_workbook_that_unfolds_to_a_thousand_times_its_size_is_refused() {
    refused_for_its_size(&archive(66));
}

/// The library that unpacks refuses some of them itself; either way nothing is unfolded whole.
#[test]
fn an_archive_that_lies_about_its_size_is_refused() {
    let honest = archive(66);
    for size in [1000, 0] {
        for bytes in saying(&honest, size) {
            let remark = Table::from_bytes(&bytes, "parts.xlsx").unwrap_err();
            assert_eq!(
                (remark.file.as_str(), remark.loss),
                ("parts.xlsx", Loss::File)
            );
            assert!(
                !remark.why.is_empty() && !remark.remedy.is_empty(),
                "{remark}"
            );
        }
    }
}

#[test]
fn a_workbook_of_ordinary_size_is_not_refused_for_it() {
    let remark = Table::from_bytes(&archive(8), "parts.xlsx").unwrap_err();
    assert!(!remark.to_string().contains("unfolds"), "{remark}");
}
