//! Chips and steps as cards.

use super::Pen;
use crate::words::typeset;
use crate::{CardCertainty, ChipCard, Chips, Crop, Panel, PanelStep, Strip};
use maud::{Markup, html};

/// Writes the chips.
pub(super) fn chips(chips: &Chips, pen: &mut Pen) -> Markup {
    html! {
        div class="chips" id=(chips.id) {
            @for card in &chips.cards { (chip(card, pen)) }
        }
    }
}

fn chip(card: &ChipCard, pen: &mut Pen) -> Markup {
    html! {
        article class="chip" id=(card.anchor) {
            (crop(card.crop.as_ref(), pen))
            div {
                h3 class="pn" {
                    @if !card.count.is_empty() { span class="times" { (card.count) } " " }
                    (typeset(&card.part_number))
                }
                p class="made" {
                    @if !card.maker.is_empty() { (typeset(&card.maker)) " · " }
                    (typeset(&card.role))
                }
                @if !card.does.is_empty() { p class="does" { (typeset(&card.does)) } }
                (certainty(&card.certainty))
                @if !card.marking.is_empty() {
                    p class="marking" { span class="what" { "marked " } code { (typeset(&card.marking.join(" "))) } }
                }
                @for seat in &card.seats {
                    p class="seat" {
                        @match &seat.item {
                            Some(item) => { a href={ "#" (item) } { (typeset(&seat.words)) } }
                            None => { (typeset(&seat.words)) }
                        }
                    }
                }
            }
        }
    }
}

fn certainty(sure: &CardCertainty) -> Markup {
    html! {
        p class="sure" {
            svg class="squares" viewBox="0 0 34 10" width="34" height="10" aria-hidden="true" {
                @for n in 0..3_u8 {
                    @let class = if n < sure.level { "ink s-ink" } else { "paper s-ink" };
                    rect class=(class) x=(12 * n + 1) y="1" width="8" height="8" stroke-width="1.2" {}
                }
            }
            " " (sure.words)
        }
    }
}

/// Writes a part of a photograph that leads to the whole; a hatched square where there is none.
fn crop(crop: Option<&Crop>, pen: &mut Pen) -> Markup {
    let Some(crop) = crop else {
        return html! { div class="crop" { div class="hatched" { span { "no photograph" } } } };
    };
    let [width, height] = crop.picture.size;
    let inside = pen.embedded.crop(&crop.picture);
    let loading = inside.is_none().then_some("lazy");
    // A page that carries enough shows the whole photograph from beside it.
    let source = inside.unwrap_or_else(|| crop.path.clone());
    html! {
        div class="crop" {
            a href=(crop.path) {
                img src=(source) alt=(typeset(&crop.alternative)) width=(width) height=(height) loading=[loading];
            }
            @if let Some((share, words)) = &crop.bar {
                @let percent = 100.0 * share;
                div class="scale" aria-hidden="true" {
                    span style={ "width:" (format!("{percent:.1}%")) } {} (words)
                }
            }
        }
    }
}

/// Writes the opening.
pub(super) fn strip(strip: &Strip, pen: &mut Pen) -> Markup {
    html! {
        ol class="strip" id=(strip.id) {
            @for panel in &strip.panels { (self::panel(panel, pen)) }
        }
    }
}

fn panel(panel: &Panel, pen: &mut Pen) -> Markup {
    let planned = panel.steps.iter().all(|s| s.planned);
    html! {
        li class=[planned.then_some("planned")] {
            @if panel.picture.is_some() { (crop(panel.picture.as_ref(), pen)) }
            @for step in &panel.steps { (self::step(step)) }
        }
    }
}

fn step(step: &PanelStep) -> Markup {
    html! {
        div class="step" id=[step.anchor.as_ref()] {
            p { b { (step.number) } " " (typeset(&step.text)) @if step.planned { " (planned)" } }
            @if !step.with.is_empty() { p class="under" { (typeset(&step.with)) } }
            @if !step.frees.is_empty() { p class="under" { "frees " (typeset(&step.frees)) } }
            @for caution in &step.cautions {
                p class="care" { span class="note-label" { "▲ " } (typeset(caution)) }
            }
        }
    }
}
