//! The head of the page: picture, name, judgement, tally, five figures, the claims to know first.
//!
//! In: a [`Head`](crate::Head). Out: markup. Not here: what is said.

use super::finding::mark;
use crate::words::clean;
use crate::{ChipCard, Document, Hero, KeyFigure, Picture, Telling};
use base64::{Engine as _, engine::general_purpose::STANDARD as BASE64};
use maud::{Markup, html};
use methods::Verdict;

/// Writes the head.
pub(super) fn head(document: &Document) -> Markup {
    let head = &document.head;
    let claims: usize = head.tally.iter().map(|tally| tally.count).sum();
    html! {
        header {
            div class="who" {
                @if let Some(hero) = &head.hero { (self::hero(hero)) }
                div {
                    h1 { (clean(&document.title)) }
                    @if !head.about.is_empty() {
                        p class="about" {
                            @for (i, line) in head.about.iter().enumerate() {
                                @if i > 0 { br; }
                                (clean(line))
                            }
                        }
                    }
                    p class="judgement" { (clean(&head.judgement)) }
                    @if !head.tally.is_empty() {
                        ul class="tally" {
                            @for tally in &head.tally {
                                li {
                                    a href={ "#" (tally.anchor) } {
                                        (mark(tally.verdict))
                                        b class=[(tally.verdict == Verdict::Fails).then_some("accent")] {
                                            (tally.count)
                                        }
                                        " " (tally.verb)
                                    }
                                }
                            }
                        }
                    }
                    p class="note" {
                        @for note in head.notes.iter().chain(&document.notices) { (clean(note)) " " }
                    }
                }
            }
            @if !head.figures.is_empty() {
                ul class="five" aria-label="Key figures" {
                    @for figure in &head.figures { (self::figure(figure)) }
                }
            }
            div class="look" {
                @if !head.telling.rows.is_empty() { (telling(&head.telling, claims)) }
                @if !head.chips.is_empty() { (chips(&head.chips)) }
            }
        }
    }
}

fn hero(hero: &Hero) -> Markup {
    let [width, height] = hero.picture.size;
    html! {
        figure class="hero" {
            img src=(address(&hero.picture)) alt=(clean(&hero.caption)) width=(width) height=(height);
            figcaption { (clean(&hero.caption)) }
        }
    }
}

fn figure(figure: &KeyFigure) -> Markup {
    let fails = figure.verdict == Some(Verdict::Fails);
    html! {
        li {
            span class="what" { (figure.name) }
            a href={ "#" (figure.anchor) } {
                b { (clean(&figure.value)) }
                @if !figure.unit.is_empty() { " " (clean(&figure.unit)) }
            }
            span class="under" {
                (clean(&figure.what))
                @if !figure.said.is_empty() {
                    "; "
                    @if fails { (mark(Verdict::Fails)) }
                    (clean(&figure.said))
                }
            }
        }
    }
}

/// Chips shown on the first screens.
const CHIPS: usize = 8;

fn chips(chips: &[ChipCard]) -> Markup {
    html! {
        section class="telling" aria-labelledby="chips-first" {
            h2 id="chips-first" { "The chips" }
            p class="more" { a href="#section-chips" { "all " (chips.len()) } }
            ul class="crops" {
                @for chip in chips.iter().take(CHIPS) {
                    li {
                        a href={ "#" (chip.anchor) } {
                            @match &chip.crop {
                                Some(crop) => {
                                    img src=(address(&crop.picture)) alt=(clean(&crop.alternative))
                                        width=(crop.picture.size[0]) height=(crop.picture.size[1]);
                                }
                                None => { span class="no-photo" { "no photograph" } }
                            }
                            span class="part" { (clean(&chip.part_number)) }
                        }
                        span class="under" { (clean(&chip.role)) }
                        @if !chip.certainty.doubt.is_empty() { span class="doubt" { (chip.certainty.doubt) } }
                    }
                }
            }
        }
    }
}

/// Returns a picture as an address that holds it.
pub(super) fn address(picture: &Picture) -> String {
    format!(
        "data:{};base64,{}",
        picture.media_type,
        BASE64.encode(&picture.bytes)
    )
}

fn telling(telling: &Telling, claims: usize) -> Markup {
    html! {
        section class="telling" aria-labelledby="telling" {
            h2 id="telling" { (clean(&telling.heading)) }
            p class="more" { a href="#section-claims" { "all " (claims) } }
            ul {
                @for row in &telling.rows {
                    li {
                        a href={ "#" (row.anchor) } { (clean(&row.said)) }
                        span class="found" {
                            @if row.found.is_empty() { "nothing measured" } @else { b { (clean(&row.found)) } }
                        }
                        span class={ "amount" @if row.verdict == Verdict::Fails { " accent" } } {
                            (mark(row.verdict)) (clean(&row.amount))
                        }
                    }
                }
            }
        }
    }
}
