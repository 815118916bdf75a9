//! Blocks as markup: text, tables, drawings, photographs.

use super::finding::{badge, evidence_in_brief, finding};
use super::numbers::Numbers;
use crate::words::clean;
use crate::{
    Block, Document, PhotoRegion, RowMark, Table, photo_anchor, pixel_size, verdict_words,
};
use base64::{Engine as _, engine::general_purpose::STANDARD as BASE64};
use maud::{Markup, PreEscaped, html};

/// Writes one block; `level` is that of finding headings here.
pub(super) fn block(doc: &Document, block: &Block, level: u8, numbers: &mut Numbers) -> Markup {
    match block {
        Block::Heading(text) => html! { h3 { (clean(text)) } },
        Block::Paragraph(text) => html! { p { (clean(text)) } },
        Block::List(entries) => html! {
            ul { @for entry in entries { li { (clean(entry)) } } }
        },
        Block::Caution(text) => caution(text),
        Block::Finding(found) => finding(doc, found, level),
        Block::Table(table) => {
            let n = numbers.table();
            self::table(doc, table, n, numbers)
        }
        Block::Drawing {
            id, caption, svg, ..
        } => {
            let n = numbers.figure();
            html! {
                figure id=(id) {
                    div class="drawing" role="group" tabindex="0"
                        aria-label={ "Figure " (n) } {
                        (PreEscaped(svg))
                    }
                    figcaption { b { "Figure " (n) ". " } (clean(caption)) }
                }
            }
        }
        Block::Photo {
            id,
            caption,
            media_type,
            bytes,
            callouts,
            regions,
            ..
        } => {
            let n = numbers.figure();
            html! {
                figure id=(photo_anchor(id)) {
                    @match callouts {
                        Some(svg) => {
                            div class="numbered" { (PreEscaped(svg)) }
                            (region_list(regions, false))
                        }
                        None => { (picture(caption, media_type, bytes, regions)) }
                    }
                    figcaption { b { "Figure " (n) ". " } (clean(caption)) }
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
                p { span class="note-label" { "▲ Caution: " } (clean(text.as_ref())) }
            }
            several => div class="caution" role="note" {
                p { span class="note-label" { "▲ Cautions" } }
                ul { @for text in several { li { (clean(text.as_ref())) } } }
            }
        }
    }
}

fn picture(caption: &str, media_type: &str, bytes: &[u8], regions: &[PhotoRegion]) -> Markup {
    let size = pixel_size(bytes);
    let source = format!("data:{media_type};base64,{}", BASE64.encode(bytes));
    html! {
        div class="photo" {
            @if let Some((w, h)) = size {
                img src=(source) alt=(clean(caption)) width=(w) height=(h);
                @if !regions.is_empty() {
                    svg viewBox={ "0 0 " (w) " " (h) } preserveAspectRatio="none" aria-hidden="true" {
                        @for (n, region) in (1..).zip(regions) {
                            @let [x, y, rw, rh] = region.rect;
                            rect id=(region.anchor) x=(x) y=(y) width=(rw) height=(rh) {}
                            text x=(x) y=(y) dx="0.1em" dy="0.9em" font-size=(w.div_ceil(45)) { (n) }
                        }
                    }
                }
            } @else {
                img src=(source) alt=(clean(caption));
            }
        }
        // Without a size there is no drawing that could carry the anchors.
        (region_list(regions, size.is_none()))
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
                            Some(item) => { a href={ "#" (item) } { (clean(&region.words)) } }
                            None => { (clean(&region.words)) }
                        }
                    }
                }
            }
        }
    }
}

fn table(doc: &Document, table: &Table, n: usize, numbers: &Numbers) -> Markup {
    let caption_id = format!("{}-caption", table.id);
    let shows_evidence = table.marks.iter().any(|m| !m.evidence.is_empty());
    let none = RowMark::default();
    html! {
        div class="scroll" role="region" aria-labelledby=(caption_id) tabindex="0" {
            table id=(table.id) {
                caption id=(caption_id) { b { "Table " (n) ". " } (clean(&table.caption)) }
                thead {
                    tr {
                        @for (heading, number) in &table.columns {
                            th scope="col" class=[number.then_some("n")] { (clean(heading)) }
                        }
                        @if shows_evidence { th scope="col" { "Seen in" } }
                    }
                }
                tbody {
                    @for (i, row) in table.rows.iter().enumerate() {
                        @let mark = table.marks.get(i).unwrap_or(&none);
                        tr id=[mark.anchor.as_ref()] {
                            @for c in 0..table.columns.len() {
                                (cell(table, row, mark, c))
                            }
                            @if shows_evidence { td { (evidence_in_brief(doc, numbers, &mark.evidence)) } }
                        }
                    }
                }
            }
        }
    }
}

fn cell(table: &Table, row: &[String], mark: &RowMark, column: usize) -> Markup {
    let text = row.get(column).map(|t| clean(t)).unwrap_or_default();
    let is_number = table.columns.get(column).is_some_and(|(_, number)| *number);
    // Long text keeps a readable measure; the table scrolls instead.
    let class = match (is_number, text.chars().count() > 48) {
        (true, false) => Some("n"),
        (_, true) => Some("t"),
        (false, false) => None,
    };
    let verdict = mark.verdict.filter(|v| verdict_words(*v) == text);
    let content = html! {
        @match (verdict, &mark.link) {
            (Some(verdict), _) => { (badge(verdict)) }
            (None, Some(link)) if column == 0 => { a href={ "#" (link) } { (text) } }
            (None, _) => { (text) }
        }
    };
    html! {
        @if column == 0 {
            th scope="row" class=[class] { (content) }
        } @else {
            td class=[class] { (content) }
        }
    }
}
