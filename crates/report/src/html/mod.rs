//! The document as one self-contained HTML file.
//!
//! In: a [`Document`]. Out: valid HTML 5 that needs neither network nor its own script; every figure opens
//! to its working; every link to evidence leads to a place in the same file. Beside it lie the photographs in full
//! size; a page with many shows the later ones from there.
//! Not here: what is said, and in which order.

mod blocks;
mod cards;
mod claims;
mod finding;
mod head;
mod pictures;
mod script;
mod scripts;
mod sheet;
mod style;

pub use sheet::sheet_html;

/// Faces and colours, the same for the report and for every other page.
pub mod look {
    pub use super::style::{DARK, EMBEDDED, FACES, Face, LIGHT, Scheme};
}

use crate::words::typeset;
use crate::{Block, Document, Numbering, Section};
use maud::{DOCTYPE, Markup, PreEscaped, html as markup};
use pictures::Embedded;

/// Writes the document as one HTML file that needs neither network nor script.
pub fn html(document: &Document) -> String {
    let mut pen = Pen {
        numbering: Numbering::of(document),
        embedded: Embedded::beside_crops(document),
    };
    let sections: Vec<Markup> = document
        .sections
        .iter()
        .map(|section| self::section(document, section, &mut pen))
        .collect();
    let body = markup! {
                a class="skip" href="#content" { "Skip to the report" }
                (head::head(document))
                nav aria-label="Contents" {
                    p { (typeset(&document.title)) }
                    ol {
                        @for (n, section) in (1..).zip(&document.sections) {
                            li {
                                a href={ "#" (section.id) } {
                                    span class="number" { (n) } (typeset(&section.title))
                                }
                            }
                        }
                    }
                }
                main id="content" tabindex="-1" {
                    @for section in &sections { (section) }
                }
                footer {
                    p { "Made with Underlid from the record and its findings. Every figure leads to its working, "
                        "its inputs and where they were seen." }
                }
                script { (PreEscaped(script::SCRIPT)) }
    };
    page(&Frame {
        title: &format!("{}: teardown report", document.title),
        // Pictures in full size lie beside the file.
        policy: &format!("img-src data: 'self'; script-src '{}'", script::HASH),
        style: &style::style_sheet(),
        body,
    })
}

/// What the writing of a report needs to know throughout.
struct Pen {
    numbering: Numbering,
    embedded: Embedded,
}

/// What a page differs in from others.
struct Frame<'f> {
    title: &'f str,
    /// What it may load or run beside its own styles and typefaces.
    policy: &'f str,
    style: &'f str,
    body: Markup,
}

/// Writes a page. The browser itself refuses whatever its policy does not name.
fn page(frame: &Frame<'_>) -> String {
    let page = markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta http-equiv="Content-Security-Policy"
                    content={ "default-src 'none'; font-src data:; style-src 'unsafe-inline'; " (frame.policy) };
                title { (typeset(frame.title)) }
                style { (PreEscaped(frame.style)) }
            }
            body { (frame.body) }
        }
    };
    let mut text = scripts::marked(&page.into_string());
    text.push('\n');
    text
}

fn section(document: &Document, section: &Section, pen: &mut Pen) -> Markup {
    let heading_id = format!("{}-title", section.id);
    // Findings under a sub-heading stand one level below it.
    let mut level = 3;
    let mut written = |block: &Block| {
        if matches!(block, Block::Heading(_)) {
            level = 4;
        }
        blocks::block(document, block, level, pen)
    };
    let blocks: Vec<Markup> = section.blocks.iter().map(&mut written).collect();
    let working: Vec<Markup> = section.working.iter().map(&mut written).collect();
    markup! {
        section id=(section.id) aria-labelledby=(heading_id) {
            h2 id=(heading_id) { (typeset(&section.title)) }
            @for block in &blocks { (block) }
            @if !working.is_empty() {
                details class="fold" {
                    summary { "Working and record: " (typeset(&section.title)) }
                    @for block in &working { (block) }
                }
            }
        }
    }
}
