//! Captions of films beside what they should say: one key accepts or refuses, and what was decided is kept.
//!
//! In: films that were proof-read. Out: a section of the page. Not here: finding corrections (`app::desk`), keys
//! (`assets/js/places/films.js`).

use crate::pages::Context;
use app::desk::SeenFilm;
use app::{Correction, Film};
use maud::{Markup, html};
use record::CaptionRuling;

/// Corrections of one film that are shown at once.
const SHOWN: usize = 200;
/// Faults of one file that are told.
const FAULTS: usize = 5;

pub(super) fn section(context: &Context<'_>, films: &[SeenFilm]) -> Markup {
    html! {
        @if !films.is_empty() {
            section aria-labelledby="h-captions" id="captions" {
                h2 id="h-captions" { "Captions" }
                p class="quiet" {
                    "Enter takes a correction, Delete refuses it, arrow keys go along. What is sure is made without asking; "
                    code { "underlid captions" } " writes the files."
                }
                @for film in films { (one(context, film)) }
            }
        }
    }
}

fn one(context: &Context<'_>, seen: &SeenFilm) -> Markup {
    html! {
        h3 { (seen.file) }
        @match &seen.film {
            Err(problem) => p role="status" { (problem.message) ". What to do: " (problem.remedy.to_string()) "." },
            Ok(film) => (rows(context, seen, film)),
        }
    }
}

fn rows(context: &Context<'_>, seen: &SeenFilm, film: &Film) -> Markup {
    let open = |c: &&Correction| ruling(context, &film.file, c).is_none();
    let left: Vec<&Correction> = film.corrections.iter().filter(open).collect();
    let decided: Vec<&Correction> = film.corrections.iter().filter(|c| !open(c)).collect();
    html! {
        p { (film.words) " words; " (left.len()) " corrections to look at, " (decided.len()) " taken, " (film.refused.len()) " refused." }
        ul class="corrections" {
            @for correction in left.iter().take(SHOWN) { (row(context, seen, correction)) }
        }
        @if left.len() > SHOWN { p { "and " (left.len() - SHOWN) " more" } }
        @if !decided.is_empty() || !film.refused.is_empty() {
            details class="leaving" {
                summary { "Decided" }
                ul {
                    @for correction in decided.iter().copied().chain(&film.refused) { (settled(context, &film.file, correction)) }
                }
            }
        }
        @if !film.faults.is_empty() {
            ul { @for fault in film.faults.iter().take(FAULTS) { li class="quiet" { (fault) } } }
            @if film.fault_count > FAULTS { p class="quiet" { "and " (film.fault_count - FAULTS) " more" } }
        }
    }
}

fn row(context: &Context<'_>, seen: &SeenFilm, correction: &Correction) -> Markup {
    let said = seen.cues.get(correction.cue).map_or("", String::as_str);
    let (before, after) = said.split_once(&correction.before).unwrap_or((said, ""));
    let spoken = said.contains(&correction.before);
    let sure = format!("{:.0} %", 100.0 * correction.probability);
    let to = format!("/d/{}/edits", context.view.id);
    html! {
        li tabindex="0" data-key={ "cue-" (correction.cue) "-" (correction.before) } data-correction
            aria-label={ "Cue " (correction.cue) ": " (correction.before) ", should be " (correction.after) ", " (sure) } {
            p {
                span class="quiet" { (correction.cue) " " }
                (before)
                @if spoken { del { (correction.before) } " " }
                ins { (correction.after) }
                (after)
            }
            p class="quiet" {
                (sure) @if correction.applied { ", made unless refused" } @else { ", proposed" }
                ": " (correction.place)
            }
            form method="post" action=(to) {
                input type="hidden" name="to" value="caption-rulings";
                input type="hidden" name="back" value="publish";
                input type="hidden" name="entry.file" value=(seen.file);
                input type="hidden" name="entry.before" value=(correction.before);
                input type="hidden" name="entry.after" value=(correction.after);
                button name="entry.accepted" value="yes" { "Take" }
                " "
                button name="entry.accepted" value="no" { "Refuse" }
            }
        }
    }
}

/// What was decided, and the way back.
fn settled(context: &Context<'_>, file: &str, correction: &Correction) -> Markup {
    let Some((ruling, place)) = ruling(context, file, correction) else {
        return html! {};
    };
    html! {
        li {
            form method="post" action={ "/d/" (context.view.id) "/edits" } data-undecided=(place) {
                input type="hidden" name="remove" value=(place);
                input type="hidden" name="back" value="publish";
                span { (ruling.before) " → " (ruling.after) ": " @if ruling.accepted { "taken" } @else { "refused" } }
                " " button { "Ask again" }
            }
        }
    }
}

/// The last ruling on a correction, and its place in the record.
fn ruling<'c>(
    context: &'c Context<'_>,
    file: &str,
    correction: &Correction,
) -> Option<(&'c CaptionRuling, String)> {
    let rulings = &context.view.dossier.caption_rulings;
    let at = rulings.iter().rposition(|r| {
        r.file == file && r.before == correction.before && r.after == correction.after
    })?;
    let place = record::Place::caption_ruling(&context.view.dossier, at)?;
    Some((&rulings[at], place.to_string()))
}
