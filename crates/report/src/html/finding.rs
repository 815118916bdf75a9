//! One finding as markup: verdict, sentence, figures that unfold, what it rests on.

use super::Pen;
use super::blocks::cautions;
use crate::svg::glyph;
use crate::words::{self, Words as _, percent, typeset};
use crate::{Document, Struck, Target, finding_anchor, place_words, verdict_words};
use maud::{Markup, PreEscaped, html};
use methods::inputs::places;
use methods::words::for_readers;
use methods::{Finding, Missing, Verdict};
use quantity::{Figure, FigureInput, GAP, digits};
use record::{Place, Thing};

/// Writes a finding with its heading at `level`.
pub(super) fn finding(doc: &Document, finding: &Finding, level: u8, pen: &Pen) -> Markup {
    let class = match finding.verdict {
        Some(Verdict::Fails) => "finding fails",
        _ => "finding",
    };
    let anchor = finding_anchor(&finding.id);
    let heading = html! {
        @if let Some(number) = pen.numbering.entry(&anchor) { span class="entry" { (number) } " " }
        (typeset(&finding.title))
    };
    html! {
        article class=(class) id=(anchor) {
            @if level == 3 {
                h3 { (heading) }
            } @else {
                h4 { (heading) }
            }
            @if let Some(verdict) = finding.verdict {
                p class="verdict" {
                    (badge(verdict))
                    @if let Some(probability) = finding.conformance {
                        span class="odds" {
                            " probability that it is true: " (percent(probability))
                        }
                    }
                }
            }
            p { (typeset(&finding.sentence)) }
            @if let Some(struck) = doc.corrected.get(&finding.id) { (corrected(struck)) }
            (cautions(&finding.cautions))
            @for figure in &finding.figures { (self::figure(doc, figure)) }
            (missing(doc, &finding.missing))
            (basis(doc, finding))
        }
    }
}

/// Says what the version before said, struck, and why it no longer holds.
fn corrected(struck: &Struck) -> Markup {
    html! {
        p class="corrected" {
            b { (&struck.when) ":" }
            @for (n, [what, was, now]) in struck.changes.iter().enumerate() {
                @if n > 0 { ";" }
                " " (typeset(what)) " was " del { (typeset(was)) } ", is now " ins { (typeset(now)) }
            }
            ". " (typeset(&struck.why))
        }
    }
}

/// Writes a verdict as mark and words.
pub(super) fn badge(verdict: Verdict) -> Markup {
    let class = match verdict {
        Verdict::Fails => "badge fails",
        _ => "badge",
    };
    html! {
        span class=(class) { (mark(verdict)) (verdict_words(verdict)) }
    }
}

/// Draws the mark of a verdict, the rule of decision in small: a line for the limit, a bar for what was found, inside
/// it, beyond it, across it, or nowhere. Signs of typefaces differ in size and are missing in some.
pub(super) fn mark(verdict: Verdict) -> Markup {
    let class = match verdict {
        Verdict::Fails => "mark accent",
        _ => "mark",
    };
    html! {
        svg class=(class) viewBox="0 0 32 15" width="32" height="15" aria-hidden="true" {
            (PreEscaped(glyph::paths(verdict, "currentColor")))
        }
    }
}

fn figure(doc: &Document, figure: &Figure) -> Markup {
    html! {
        details class="figure" {
            summary {
                span class="what" { (typeset(&figure.name)) }
                span class="value" { (typeset(&figure.text)) }
            }
            @if !figure.working.is_empty() {
                ol class="working" { @for line in &figure.working { li { (typeset(line)) } } }
            }
            p { (interval(figure)) }
            @for note in &figure.notes { p { "Note: " (typeset(note)) } }
            (inputs(doc, &figure.inputs))
        }
    }
}

/// Says the coverage interval and how it was found.
fn interval(figure: &Figure) -> String {
    let standard = figure.standard_uncertainty;
    let mut said = match words::interval(figure) {
        Some(interval) => {
            let coverage = percent(figure.interval.probability);
            let standard = if standard.is_infinite() {
                "no standard uncertainty".to_string()
            } else {
                let unit = words::told_unit(figure).difference();
                let standard = unit.of_si(figure.unit.difference().to_si(standard));
                let digits = digits::significant(standard, 2);
                let number = digits::decimal(standard, digits);
                format!("standard uncertainty {number}{GAP}{}", unit.symbol())
            };
            format!("{coverage} interval: {interval}; {standard}")
        }
        None => "Without uncertainty".into(),
    };
    if let Some(degrees) = figure.degrees_of_freedom {
        said += &format!(
            "; effective degrees of freedom {}",
            digits::decimal(degrees, 1)
        );
    }
    format!(
        "{}. Found by: {}.",
        said.trim_end(),
        typeset(&figure.method)
    )
}

fn inputs(doc: &Document, inputs: &[FigureInput]) -> Markup {
    if inputs.is_empty() {
        return html! {};
    }
    html! {
        div class="scroll" role="region" aria-label="Inputs" tabindex="0" {
            table {
                caption { "Inputs" }
                thead {
                    tr {
                        th scope="col" { "Input" }
                        th scope="col" class="n" { "Value" }
                        th scope="col" class="n" { "Share of variance" }
                        th scope="col" { "Origin" }
                        th scope="col" { "Seen in" }
                    }
                }
                tbody {
                    @for input in inputs {
                        tr {
                            th scope="row" { (typeset(&input.name)) }
                            td class="n" { (typeset(&input.text)) }
                            td class="n" { (words::share(input.variance_share)) }
                            td {
                                (input.source.origin.words())
                                @let note = for_readers(&input.source.note);
                                @if !note.is_empty() {
                                    ": " (typeset(&note))
                                }
                            }
                            td { (evidence(doc, &places(&input.source.evidence).collect::<Vec<_>>())) }
                        }
                    }
                }
            }
        }
    }
}

fn missing(doc: &Document, missing: &[Missing]) -> Markup {
    if missing.is_empty() {
        return html! {};
    }
    html! {
        p class="small-label" { "What would settle it" }
        ul {
            @for m in missing {
                li {
                    (typeset(&m.measure))
                    @if let Some(resolution) = &m.resolution { ", " (typeset(resolution)) }
                    @if let Some(step) = &m.before_step {
                        ", before "
                        (place(doc, step))
                    }
                    @if m.too_late { " (not on this sample any more)" }
                }
            }
        }
    }
}

/// Writes what the finding rests on, folded.
fn basis(doc: &Document, finding: &Finding) -> Markup {
    let lists = [
        ("Assumed", &finding.assumptions),
        ("Could not be used", &finding.unused),
        ("Sources", &finding.sources),
    ];
    if finding.evidence.is_empty() && lists.iter().all(|(_, l)| l.is_empty()) {
        return html! {};
    }
    html! {
        details class="basis" {
            summary { "What this rests on" }
            dl {
                @if let Some(about) = finding.about.as_ref().filter(|a| doc.places.contains_key(a)) {
                    dt { "About" }
                    dd { (place(doc, about)) }
                }
                @if !finding.evidence.is_empty() {
                    dt { "Evidence" }
                    dd { (evidence(doc, &finding.evidence)) }
                }
                @for (name, entries) in lists {
                    @if !entries.is_empty() {
                        dt { (name) }
                        dd { ul { @for entry in entries { li { (typeset(entry)) } } } }
                    }
                }
            }
        }
    }
}

/// Writes evidence as links into the document, or as text where the document does not show it.
pub(super) fn evidence(doc: &Document, all: &[Place]) -> Markup {
    match all {
        [] => html! {},
        [one] => place(doc, one),
        many => html! { ul { @for one in many { li { (place(doc, one)) } } } },
    }
}

/// Writes evidence for a cell of a table: links by the number of the figure or table, each number once, with
/// the whole words for those who point at them or hear them.
pub(super) fn evidence_in_brief(doc: &Document, pen: &Pen, all: &[Place]) -> Markup {
    let mut brief: Vec<(&str, &Target)> = Vec::new();
    let mut rest: Vec<&Place> = Vec::new();
    for one in all {
        let place = doc.places.get(one);
        match place.and_then(|p| Some((pen.numbering.short(&p.anchor)?, p))) {
            Some(found) if brief.iter().all(|(short, _)| *short != found.0) => {
                brief.push(found);
            }
            Some(_) => {}
            None => rest.push(one),
        }
    }
    html! {
        @for (i, (short, place)) in brief.iter().enumerate() {
            @if i > 0 { ", " }
            @let words = format!("{short}, {}", typeset(&place.words));
            a href={ "#" (place.anchor) } title=(words) aria-label=(words) { (short) }
        }
        @for (i, one) in rest.iter().enumerate() {
            @if i + brief.len() > 0 { "; " }
            (place(doc, one))
        }
    }
}

fn place(doc: &Document, place: &Place) -> Markup {
    if let Some(target) = doc.places.get(place) {
        return html! { a href={ "#" (target.anchor) } { (typeset(&target.words)) } };
    }
    let words = place_words(place);
    html! {
        @if place.thing() == Thing::Page {
            a href=(typeset(&words)) rel="noreferrer" { (typeset(&words)) }
        } @else {
            (typeset(&words))
        }
    }
}
