//! Texts published before: each proposal with its sentence; one key accepts or refuses, and what was decided is kept.
//!
//! In: texts that were read. Out: a section of the page; a decision taken. Not here: finding parts (`app::desk`), keys
//! (`assets/js/places/standing.js`).

use crate::guard::Session;
use crate::pages::{Context, form_pairs};
use crate::server::{Shared, Stop};
use ::library::{DossierId, ListState, Taken};
use app::desk::{Decision, PastPart, SeenPast};
use axum::Extension;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::response::Redirect;
use maud::{Markup, html};
use past::{Quote, What};

/// Proposals of one text that are shown at once.
const SHOWN: usize = 200;

pub(super) fn section(context: &Context<'_>, texts: &[SeenPast]) -> Markup {
    html! {
        section aria-labelledby="h-past" id="past" {
            h2 id="h-past" { "Texts published before" }
            @if texts.is_empty() {
                p class="quiet" { "None lies with this product. " code { "underlid past TEXTS --into LIBRARY" }
                    " reads articles and captions for the parts they speak of." }
            } @else {
                p class="quiet" { "Enter takes a part with its sentence as evidence, Delete refuses it, arrow keys go along. In the sentences, "
                    mark class="part" { "part numbers" } ", " mark class="maker" { "makers" } " and " mark class="role" { "roles" } " are marked." }
                @for text in texts { (one(context, text)) }
            }
        }
    }
}

fn one(context: &Context<'_>, text: &SeenPast) -> Markup {
    html! {
        h3 { (text.file) }
        @match &text.parts {
            Err(problem) => p role="status" { (problem.message) ". What to do: " (problem.remedy.to_string()) "." },
            Ok(parts) => (rows(context, text, parts)),
        }
    }
}

fn rows(context: &Context<'_>, text: &SeenPast, parts: &[PastPart]) -> Markup {
    let open: Vec<&PastPart> = parts.iter().filter(|part| part.decided.is_none()).collect();
    let taken = parts
        .iter()
        .filter(|part| part.decided == Some(true))
        .count();
    let refused = parts.len() - open.len() - taken;
    html! {
        @if parts.is_empty() { p { "It speaks of no part." } }
        @else { p { (open.len()) " to look at, " (taken) " taken, " (refused) " refused." } }
        @if !open.is_empty() {
            ul class="proposals" { @for part in open.iter().take(SHOWN) { (row(context, text, part)) } }
            @if open.len() > SHOWN { p { "and " (open.len() - SHOWN) " more" } }
        }
        @if taken + refused > 0 {
            details class="leaving" {
                summary { "Decided" }
                ul { @for part in parts.iter().filter(|part| part.decided.is_some()) { (settled(context, part)) } }
            }
        }
    }
}

/// What is proposed, in words.
fn said(part: &PastPart) -> String {
    let proposal = &part.proposal;
    let maker = proposal
        .maker
        .as_ref()
        .map_or("maker not told".to_string(), |maker| {
            format!("made by {maker}")
        });
    let role = proposal
        .role
        .clone()
        .unwrap_or_else(|| "role not told".into());
    format!("{}, {role}, {maker}", proposal.part)
}

fn row(context: &Context<'_>, text: &SeenPast, part: &PastPart) -> Markup {
    let proposal = &part.proposal;
    html! {
        li tabindex="0" data-key={ "past-" (text.file) "-" (proposal.part) } data-proposal aria-label=(said(part)) {
            p { strong { (proposal.part) } ", " (proposal.role.as_deref().unwrap_or("role not told")) ", "
                @match &proposal.maker { Some(maker) => { "made by " (maker) }, None => "maker not told" }
                span class="quiet" { "; " (methods::words::percent(proposal.probability)) " a part number"
                    @if proposal.known { ", in a catalogue" }
                    @if proposal.mentions > 1 { ", mentioned " (proposal.mentions) " times" } } }
            @for quote in &proposal.quotes { p class="sentence" { span class="quiet" { "Line " (quote.line) ": " } (marked(quote)) } }
            form method="post" action={ "/d/" (context.view.id) "/past" } {
                input type="hidden" name="file" value=(text.file);
                input type="hidden" name="part" value=(proposal.part);
                button name="accepted" value="yes" { "Take" }
                " "
                button name="accepted" value="no" { "Refuse" }
            }
        }
    }
}

/// A sentence with its words marked.
fn marked(quote: &Quote) -> Markup {
    let mut at = 0;
    let mut pieces: Vec<(&str, Option<What>)> = Vec::new();
    for mark in &quote.marks {
        let (Some(before), Some(inside)) = (
            quote.sentence.get(at..mark.from),
            quote.sentence.get(mark.from..mark.to),
        ) else {
            continue;
        };
        pieces.push((before, None));
        pieces.push((inside, Some(mark.what)));
        at = mark.to;
    }
    pieces.push((quote.sentence.get(at..).unwrap_or_default(), None));
    let class = |what: What| match what {
        What::Part => "part",
        What::Maker => "maker",
        What::Role => "role",
    };
    html! {
        @for (words, what) in pieces {
            @match what {
                Some(what) => mark class=(class(what)) { (words) },
                None => (words),
            }
        }
    }
}

/// What was decided, and the way back.
fn settled(context: &Context<'_>, part: &PastPart) -> Markup {
    let Some(place) = &part.ruling else {
        return html! {};
    };
    html! {
        li {
            form method="post" action={ "/d/" (context.view.id) "/edits" } data-undecided=(place) {
                input type="hidden" name="remove" value=(place);
                input type="hidden" name="back" value="standing";
                span { (part.proposal.part) ": " @if part.decided == Some(true) { "taken" } @else { "refused" } }
                " " button aria-label={ "Ask again: " (part.proposal.part) } { "Ask again" }
            }
        }
    }
}

/// `POST /d/ID/past`: `file`, `part`, `accepted`.
pub(crate) async fn decide(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Extension(session): Extension<Session>,
    body: Bytes,
) -> Result<Redirect, Stop> {
    let pairs = form_pairs(&body);
    let value = |name: &str| {
        let found = pairs.iter().find(|(key, _)| key == name);
        found.map_or("", |(_, value)| value.as_str())
    };
    let decision = Decision {
        part: value("part").to_string(),
        accepted: value("accepted") == "yes",
        maker: None,
        role: None,
    };
    let file = value("file");
    if let Some(submission) = bench.desk.past_edits(&id, file, &decision).await? {
        let edited = bench.take(&id, &submission, &session.person).await?;
        if let Taken::Lists(answer) = edited.taken {
            for list in answer.lists {
                if let ListState::Refused { why } = list.state {
                    let told: Vec<String> = why.iter().map(|w| w.text.clone()).collect();
                    let remedy = why.first().map_or(String::new(), |w| w.remedy.clone());
                    return Err(Stop::unfit(told.join("; "), remedy));
                }
            }
        }
        bench.desk.catalogue_past(&id, file, &decision).await?;
    }
    Ok(Redirect::to(&format!("/d/{id}/standing#past")))
}
