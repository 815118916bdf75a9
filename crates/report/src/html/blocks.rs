//! Blocks as markup: text, tables, drawings, photographs.

use super::Pen;
use super::cards;
use super::finding::{badge, evidence_in_brief, finding};
use super::pictures;
use crate::words::typeset;
use crate::{Block, Document, PhotoRegion, RowMark, Table};
use maud::{Markup, PreEscaped, html};
use methods::Cell;

/// Writes one block; `level` is that of finding headings here.
pub(super) fn block(doc: &Document, block: &Block, level: u8, pen: &mut Pen) -> Markup {
    match block {
        Block::Heading(text) => html! { h3 { (typeset(text)) } },
        Block::Paragraph(text) => html! { p { (typeset(text)) } },
        Block::List(entries) => html! {
            ul { @for entry in entries { li { (typeset(entry)) } } }
        },
        Block::Caution(text) => caution(text),
        Block::Finding(found) => finding(doc, found, level, pen),
        Block::Answers(answers) => html! {
            ul class="answers" {
                @for answer in answers {
                    li {
                        @if let Some(verdict) = answer.verdict { (badge(verdict)) " " }
                        (typeset(&answer.sentence)) " "
                        a href={ "#" (answer.working) } { "working" }
                    }
                }
            }
        },
        Block::Chips(chips) => cards::chips(chips, pen),
        Block::Strip(strip) => cards::strip(strip, pen),
        Block::Claims(claims) => {
            let n = pen.numbering.of_table(&claims.id);
            super::claims::claims(doc, claims, n, pen)
        }
        Block::Table(table) => {
            let n = pen.numbering.of_table(&table.id);
            self::table(doc, table, n, pen)
        }
        Block::Drawing {
            id,
            caption,
            svg,
            upright,
            ..
        } => {
            let n = pen.numbering.of_figure(id);
            html! {
                figure id=(id) {
                    div class={ "drawing" @if upright.is_some() { " wide" } } role="group" tabindex="0"
                        aria-label={ "Figure " (n) } {
                        (PreEscaped(svg))
                    }
                    @if let Some(upright) = upright {
                        div class="drawing upright" role="group" tabindex="0"
                            aria-label={ "Figure " (n) ", upright" } {
                            (PreEscaped(upright))
                        }
                    }
                    figcaption { b { "Figure " (n) ". " } (typeset(caption)) }
                }
            }
        }
        Block::Photo {
            anchor,
            caption,
            shown,
            callouts,
            regions,
        } => {
            let n = pen.numbering.of_figure(anchor);
            html! {
                figure id=(anchor) {
                    (pictures::photograph(caption, shown, callouts.as_ref(), pen))
                    (region_list(regions, callouts.is_none()))
                    figcaption { b { "Figure " (n) ". " } (typeset(caption)) }
                }
            }
        }
    }
}

/// Writes a caution.
fn caution(text: &str) -> Markup {
    cautions(std::slice::from_ref(&text))
}

/// Writes cautions in one frame; nothing for none.
pub(super) fn cautions(texts: &[impl AsRef<str>]) -> Markup {
    html! {
        @match texts {
            [] => {}
            [text] => div class="caution" role="note" {
                p { span class="note-label" { "▲ Caution: " } (typeset(text.as_ref())) }
            }
            several => div class="caution" role="note" {
                p { span class="note-label" { "▲ Cautions" } }
                ul { @for text in several { li { (typeset(text.as_ref())) } } }
            }
        }
    }
}

/// Lists what the numbers in a picture stand for.
fn region_list(regions: &[PhotoRegion], anchored: bool) -> Markup {
    html! {
        @if !regions.is_empty() {
            ol class="regions" {
                @for region in regions {
                    li id=[anchored.then_some(&region.anchor)] {
                        @match &region.item {
                            Some(item) => { a href={ "#" (item) } { (typeset(&region.words)) } }
                            None => { (typeset(&region.words)) }
                        }
                    }
                }
            }
        }
    }
}

fn table(doc: &Document, table: &Table, n: usize, pen: &Pen) -> Markup {
    let caption_id = format!("{}-caption", table.id);
    let shows_evidence = table.marks.iter().any(|m| !m.evidence.is_empty());
    let none = RowMark::default();
    html! {
        div class="scroll" role="region" aria-labelledby=(caption_id) tabindex="0" {
            table id=(table.id) {
                caption id=(caption_id) { b { "Table " (n) ". " } (typeset(&table.caption)) }
                thead {
                    tr {
                        @for column in &table.columns {
                            th scope="col" class=[column.kind.is_number().then_some("n")] {
                                (typeset(&column.text()))
                            }
                        }
                        @if shows_evidence { th scope="col" { "Seen in" } }
                    }
                }
                tbody {
                    @for (i, (row, printed)) in table.rows.iter().zip(table.printed()).enumerate() {
                        @let mark = table.marks.get(i).unwrap_or(&none);
                        tr id=[mark.anchor.as_ref()] {
                            @for (c, (cell, printed)) in row.iter().zip(&printed).enumerate() {
                                @let is_number = table.columns[c].kind.is_number();
                                @let link = mark.link.as_deref().filter(|_| c == 0);
                                @let label = (c > 0).then(|| table.columns[c].text());
                                @let struck = mark.struck == Some(c);
                                (self::cell(cell, printed, is_number, link, label.as_deref(), struck))
                            }
                            @if shows_evidence { td data-label="Seen in" { @if !mark.evidence.is_empty() { span { (evidence_in_brief(doc, pen, &mark.evidence)) } } } }
                        }
                    }
                }
            }
        }
    }
}

fn cell(
    cell: &Cell,
    printed: &str,
    is_number: bool,
    link: Option<&str>,
    label: Option<&str>,
    struck: bool,
) -> Markup {
    let text = typeset(printed);
    // A number stays on its line; words may break.
    let class = (is_number && text.chars().count() <= 48).then_some("n");
    let content = html! {
        @match (cell, link) {
            (Cell::Verdict { verdict }, _) => { (badge(*verdict)) }
            (_, Some(link)) => { a href={ "#" (link) } { (&text) } }
            (_, None) if struck => { del { (&text) } }
            (_, None) => { (&text) }
        }
    };
    html! {
        @match label {
            // The first cell heads its row.
            None => { th scope="row" class=[class] { (content) } }
            Some(label) => { td class=[class] data-label=[(!text.is_empty()).then(|| typeset(label))] { (content) } }
        }
    }
}

/// Writes that nothing stands here, for eyes and for screen readers.
pub(super) fn dash() -> Markup {
    html! { span class="nothing" { "nothing measured" } }
}
