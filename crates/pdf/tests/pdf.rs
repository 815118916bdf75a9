//! The PDF: what every reader of the format can rely on.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "../../report/tests/specimen/mod.rs"]
mod specimen;

use pdf::{pdf, working};
use report::{Block, Numbering};
use std::io::Write as _;
use std::process::{Command, Stdio};

/// Returns the file as text where its bytes are text.
fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

#[test]
fn the_file_is_tagged_bookmarked_and_carries_its_fonts() {
    let bytes = pdf(&specimen::document(5)).unwrap();
    assert!(bytes.starts_with(b"%PDF-"));
    let text = text(&bytes);
    for needed in [
        "/StructTreeRoot",
        "/Outlines",
        "/FontFile",
        "/Lang",
        "/MarkInfo",
        "pdfuaid:part",
    ] {
        assert!(text.contains(needed), "{needed} is missing");
    }
    assert!(
        text.contains("Tarn 3"),
        "the title is missing from the metadata"
    );
    assert!(text.contains("Underlid "), "made by somebody else");
    assert!(!text.contains("(Typst "), "made by somebody else");
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    let document = specimen::document(5);
    let first = pdf(&document).unwrap();
    // Something else in between, so that the second run is not only a look into the cache.
    pdf(&specimen::document(6)).unwrap();
    assert_eq!(first, pdf(&document).unwrap());
    assert!(!text(&first).contains("/CreationDate"));
}

#[test]
fn text_of_a_dossier_is_never_markup() {
    let Some(found) = extracted(&pdf(&specimen::document(5)).unwrap()) else {
        return;
    };
    assert!(
        found.contains("#panic(\"no\") $x^2$ *bold* _it_ @ref <label>"),
        "{found}"
    );
}

#[test]
fn the_text_can_be_extracted_with_pages_captions_and_working() {
    let mut document = specimen::document(120);
    for section in &mut document.sections {
        section.working = std::mem::take(&mut section.blocks);
    }
    let Some(found) = extracted(&working(&document).unwrap()) else {
        return;
    };
    let joined = found.split_whitespace().collect::<Vec<_>>().join(" ");
    for needed in [
        specimen::SENTENCE,
        "Contents",
        "Figure 1",
        "Table 1",
        "energy = capacity × nominal voltage",
        "fails",
        "Caution.",
        "weigh the sealed product; to 0.01 g; before open",
        "The picture could not be shown",
        "page 1 of ",
    ] {
        assert!(joined.contains(needed), "'{needed}' is missing in\n{found}");
    }
    // The heading row is repeated on every page of the long table.
    let pages_of_table = found
        .split('\u{c}')
        .filter(|page| page.contains("item ") && page.contains(".25"));
    for page in pages_of_table {
        assert!(page.contains("Mass / g"), "no heading row on\n{page}");
    }
}

/// A reader of the page and one of either file speak of the same table.
#[test]
fn both_files_have_the_numbers_of_the_document() {
    let mut document = specimen::document(5);
    // One of the tables stands in the working.
    let last = document.sections.last_mut().unwrap();
    let is_table = |block: &Block| matches!(block, Block::Table(_));
    let table = last.blocks.iter().rposition(is_table).unwrap();
    let table = last.blocks.remove(table);
    last.working.push(table);
    let numbering = Numbering::of(&document);
    let mut seen = [0, 0];
    for (n, bytes) in [pdf(&document), working(&document)].into_iter().enumerate() {
        let Some(found) = extracted(&bytes.unwrap()) else {
            return;
        };
        let words: Vec<&str> = found.split_whitespace().collect();
        let found = words.join(" ");
        for section in &document.sections {
            let blocks = [&section.blocks, &section.working][n];
            for block in blocks {
                let (number, caption) = match block {
                    Block::Table(table) => (numbering.of_table(&table.id), &table.caption),
                    Block::Claims(claims) => (numbering.of_table(&claims.id), &claims.caption),
                    _ => continue,
                };
                let start: Vec<&str> = caption.split_whitespace().take(2).collect();
                let wanted = format!("Table {number} {}", start.join(" "));
                assert!(found.contains(&wanted), "{wanted} is missing");
                seen[n] += 1;
            }
        }
    }
    assert!(seen.iter().all(|n| *n > 0), "{seen:?}");
}

#[test]
fn strange_characters_and_empty_documents_do_no_harm() {
    let mut document = specimen::document(0);
    document.title = "\u{4e2d}\u{6587} \u{1f600} \u{0} \u{202e}".into();
    document.sections[0].blocks.push(Block::Paragraph(
        "Ω ≥ 5 °C, µA, Łódź, ⎓ \u{1b}[31m end".into(),
    ));
    document.sections[0].blocks.push(Block::List(Vec::new()));
    let strange = pdf(&document).unwrap();
    if let Some(found) = extracted(&strange) {
        // What no font has shows as a box. The reader used here still finds the characters, but for
        // the first, which it takes for the box itself.
        assert!(found.contains("\u{6587} \u{1f600} \u{fffd}"), "{found}");
        // The sign of direct current is drawn, and reads as the letters for it.
        assert!(found.contains("Ω ≥ 5 °C, µA, Łódź, DC"), "{found}");
        assert!(found.contains("\u{fffd}[31m end"), "{found}");
        assert!(!found.contains('\u{1b}') && !found.contains('\0'));
        assert!(found.contains("Inside") && found.contains("Caution."));
    }
    document.sections.clear();
    document.facts.clear();
    document.version.clear();
    document.subtitle.clear();
    document.title.clear();
    let empty = pdf(&document).unwrap();
    if let Some(found) = extracted(&empty) {
        // One page that still says what must be said first.
        assert!(
            found.contains("Invented data for demonstration."),
            "{found}"
        );
        assert!(!found.contains("Inside"), "{found}");
        assert_eq!(found.matches('\u{c}').count(), 1, "{found}");
    }
    assert!(empty.len() < strange.len());
}

/// Extracts the text with `pdftotext`; says so and returns none where it is not installed.
fn extracted(bytes: &[u8]) -> Option<String> {
    let started = Command::new("pdftotext")
        .args(["-layout", "-enc", "UTF-8", "-", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn();
    let Ok(mut child) = started else {
        eprintln!("skipped: pdftotext (poppler-utils) is not installed");
        return None;
    };
    let mut input = child.stdin.take().unwrap();
    let bytes = bytes.to_vec();
    let feeding = std::thread::spawn(move || input.write_all(&bytes));
    let output = child.wait_with_output().unwrap();
    feeding.join().unwrap().unwrap();
    Some(String::from_utf8(output.stdout).unwrap())
}
