//! The head of the page: picture, name, judgement, tally, five figures, the claims to know first.
//!
//! In: a [`Head`](crate::Head). Out: markup. Not here: what is said.

use super::finding::mark;
use crate::words::typeset;
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
                    h1 { (typeset(&document.title)) }
                    @if !head.about.is_empty() {
                        p class="about" {
                            @for (i, line) in head.about.iter().enumerate() {
                                @if i > 0 { br; }
                                (typeset(line))
                            }
                        }
                    }
                    p class="judgement" { (typeset(&head.judgement)) }
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
                        @for note in head.notes.iter().chain(&document.notices) { (typeset(note)) " " }
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
            img src=(address(&hero.picture)) alt=(typeset(&hero.caption)) width=(width) height=(height);
            figcaption { (typeset(&hero.caption)) }
        }
    }
}

fn figure(figure: &KeyFigure) -> Markup {
    let fails = figure.verdict == Some(Verdict::Fails);
    html! {
        li {
            span class="what" { (figure.name) }
            a href={ "#" (figure.anchor) } {
                b { (typeset(&figure.value)) }
                @if !figure.unit.is_empty() { " " (typeset(&figure.unit)) }
            }
            span class="under" {
                (typeset(&figure.what))
                @if !figure.said.is_empty() {
                    "; "
                    @if fails { (mark(Verdict::Fails)) }
                    (typeset(&figure.said))
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
                                    img src=(address(&crop.picture)) alt=(typeset(&crop.alternative))
                                        width=(crop.picture.size[0]) height=(crop.picture.size[1]);
                                }
                                None => { span class="no-photo" { "no photograph" } }
                            }
                            span class="part" { (typeset(&chip.part_number)) }
                        }
                        span class="under" { (typeset(&chip.role)) }
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
            h2 id="telling" { (typeset(&telling.heading)) }
            p class="more" { a href="#section-claims" { "all " (claims) } }
            ul {
                @for row in &telling.rows {
                    li {
                        a href={ "#" (row.anchor) } { (typeset(&row.said)) }
                        span class="found" {
                            @if row.found.is_empty() { "nothing measured" } @else { b { (typeset(&row.found)) } }
                        }
                        span class={ "amount" @if row.verdict == Verdict::Fails { " accent" } } {
                            (mark(row.verdict)) (typeset(&row.amount))
                        }
                    }
                }
            }
        }
    }
}
