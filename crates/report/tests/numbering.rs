//! Every form of a report has the same numbers for its figures, tables and findings, and counts what it lists.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

mod support;

use report::{Block, Document, Numbering, finding_anchor, html};
use std::collections::BTreeSet;

fn tables(document: &Document) -> impl Iterator<Item = (&str, &str)> {
    let blocks = document.sections.iter().flat_map(|s| s.all());
    blocks.filter_map(|block| match block {
        Block::Table(table) => Some((table.id.as_str(), table.caption.as_str())),
        Block::Claims(claims) => Some((claims.id.as_str(), claims.caption.as_str())),
        _ => None,
    })
}

#[test]
fn numbers_run_from_one_through_what_every_reader_reads_and_then_through_the_rest() {
    let document = support::document();
    let numbering = Numbering::of(document);
    let all: BTreeSet<usize> = tables(document)
        .map(|(id, _)| numbering.of_table(id))
        .collect();
    assert_eq!(all, (1..=tables(document).count()).collect());
    let count = |blocks: &[Block]| {
        let is_table = |b: &&Block| matches!(b, Block::Table(_) | Block::Claims(_));
        blocks.iter().filter(is_table).count()
    };
    let told: usize = document.sections.iter().map(|s| count(&s.blocks)).sum();
    assert!(told > 5);
    for section in &document.sections {
        for (blocks, is_told) in [(&section.blocks, true), (&section.working, false)] {
            for block in blocks {
                if let Block::Table(table) = block {
                    assert_eq!(
                        numbering.of_table(&table.id) <= told,
                        is_told,
                        "{}",
                        table.caption
                    );
                }
            }
        }
    }
}

#[test]
fn the_page_prints_the_numbers_of_the_document() {
    let document = support::document();
    let numbering = Numbering::of(document);
    let page = html(document);
    for (id, _) in tables(document) {
        let table = page.split(&format!("id=\"{id}\"")).nth(1).unwrap();
        let caption = format!("<b>Table {}. </b>", numbering.of_table(id));
        let first = table.find("<b>Table ").unwrap();
        assert!(table[first..].starts_with(&caption), "{id}: {caption}");
    }
    let findings = document.sections.iter().flat_map(|s| &s.working);
    let findings = findings.filter_map(|block| match block {
        Block::Finding(finding) => Some(finding),
        _ => None,
    });
    let mut seen = 0;
    for finding in findings {
        let anchor = finding_anchor(&finding.id);
        let number = numbering.entry(&anchor).unwrap();
        let article = page.split(&format!("id=\"{anchor}\"")).nth(1).unwrap();
        let heading = &article[..article.find("</h").unwrap()];
        assert!(
            heading.contains(&format!(">{number}<")),
            "{number}: {heading}"
        );
        seen += 1;
    }
    assert!(seen > 50);
}

/// The sentence before the table of what is open counts its rows, and what an earlier form listed twice stands once.
#[test]
fn what_is_open_is_counted_as_it_is_listed() {
    let document = support::document();
    let open = document
        .sections
        .iter()
        .find(|s| s.id == "section-open")
        .unwrap();
    let (mut said, mut rows) = (String::new(), Vec::new());
    for block in &open.blocks {
        match block {
            Block::Paragraph(text) => said.clone_from(text),
            Block::Table(table) => rows = table.printed().collect(),
            _ => {}
        }
    }
    let count = |until: &str| rows.iter().filter(|row| row[3].starts_with(until)).count();
    let words = [
        (count("before step"), "before step 22"),
        (count("at any time"), "at any time"),
        (count("not on this"), "on this sample any more"),
    ];
    for (n, until) in words {
        let n = methods::words::spelt(n);
        let mut part = said.split([',', '.']).flat_map(|p| p.split(" and "));
        let part = part.find(|p| p.contains(until)).unwrap();
        let part = part.trim().to_lowercase();
        assert!(part.starts_with(&n), "{n}: {said}");
    }
    let asked: BTreeSet<&String> = rows.iter().map(|row| &row[1]).collect();
    assert_eq!(asked.len(), rows.len(), "{asked:#?}");
    // A claim that is decided is no open question.
    let decided = ["Charges in 75 min", "10 minutes give", "38 g light"];
    for row in &rows {
        assert!(
            !decided.iter().any(|claim| row[0].contains(claim)),
            "{row:?}"
        );
    }
}

/// No step and no chip shows a stand-in for its photograph, however many pictures the page carries.
#[test]
fn crops_are_shown_before_photographs_are() {
    let (dossier, findings) = support::lamp();
    let mut photographs = support::photographs();
    let one = photographs.files.values().next().unwrap().clone();
    // Four photographs of more than half a page's room each, a small crop at every step.
    let mut large = one.clone();
    large.preview.bytes = vec![0xff; 1_200_000].into();
    for photo in &dossier.photos {
        photographs.files.insert(photo.file.clone(), large.clone());
    }
    let mut small = one.preview.clone();
    small.bytes = vec![0x11; 9000].into();
    for step in &dossier.steps {
        photographs
            .crops
            .insert(record::Place::step(&step.id), small.clone());
    }
    let page = html(&report::compose(dossier, findings, &photographs));
    let strip = page.split("class=\"strip\"").nth(1).unwrap();
    let strip = &strip[..strip.find("</ol>").unwrap()];
    assert!(strip.matches("<img src=\"data:").count() > 5);
    assert!(!strip.contains("hatched"), "a step hides its photograph");
    assert!(!page.contains("see photograph"));
}

#[test]
fn failures_stand_first_in_every_table() {
    let order = ["fails", "undecided", "needs evidence", "holds"];
    let mut seen = 0;
    for section in &support::document().sections {
        for block in &section.blocks {
            let Block::Table(table) = block else { continue };
            let ranks: Vec<usize> = table
                .printed()
                .filter_map(|row| {
                    let mut words = row.iter().rev();
                    words.find_map(|cell| order.iter().position(|o| o == cell))
                })
                .collect();
            assert!(ranks.is_sorted(), "{}: {ranks:?}", table.caption);
            seen += ranks.len();
        }
    }
    assert!(seen > 20);
}
