//! How it was found: rules of judgement, publications used.

use super::Page;
use crate::{Block, Section};

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = vec![
        Block::Paragraph(
            "Every figure is computed once, from named inputs; its value, its uncertainty and the \
             working printed with it come from the same formula. ± is half the 95 % interval, with one \
             digit, two where it begins with 1, and the value ends where it does (GUM, 7.2.6). Where \
             the halves differ by more than 15 %, both ends are printed."
                .into(),
        ),
        Block::Paragraph(
            "A statement holds, fails or stays undecided by the probability that it is true given \
             the readings (JCGM 106). Where evidence is missing, the finding says what to measure."
                .into(),
        ),
    ];
    let disclosed = super::disclosure(page.dossier);
    // The first page says it already; here it takes one paragraph.
    blocks.push(Block::Paragraph(disclosed.join(" ")));
    let credits = page.dossier.photos.iter().filter_map(|photo| {
        let by = photo.credit.as_ref()?;
        Some(format!("“{}”: photograph by {by}.", photo.caption))
    });
    let credits: Vec<String> = credits.collect();
    if !credits.is_empty() {
        blocks.push(Block::List(credits));
    }
    let set_in = page.photographs.typefaces.set_in();
    blocks.extend(set_in.map(Block::Paragraph));
    let mut sources: Vec<String> = Vec::new();
    for source in page.findings.findings.iter().flat_map(|f| &f.sources) {
        if !sources.contains(source) {
            sources.push(source.clone());
        }
    }
    let mut working = super::intake::record(page);
    if !sources.is_empty() {
        working.push(Block::Heading(
            "Publications and common practice used".into(),
        ));
        working.push(Block::List(sources));
    }
    Section {
        id: "section-method".into(),
        title: "Method, disclosure, version".into(),
        blocks,
        working,
    }
}
