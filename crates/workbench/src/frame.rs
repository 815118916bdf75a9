//! The frame of every page: head, day rule, foot.
//!
//! In: what stands in the middle. Out: a whole page.
//! Not here: any place's own content.

use crate::assets::{address, sheet_of, version};
use crate::back;
use crate::guard::Session;
use crate::pages::Context;
use crate::server::Stop;
use crate::station::Station;
use axum::response::{Html, IntoResponse, Response};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use library::Role;
use maud::{DOCTYPE, Markup, html};
use methods::{Method, Moved, Verdict, VerdictMoved};
use report::verdict_words;

/// The middle of a place.
pub(crate) struct Laid {
    pub(crate) main: Markup,
    /// What stands beside it; its heading first.
    pub(crate) aside: Option<Markup>,
    /// Whether the place has a module of its own in the browser.
    pub(crate) module: bool,
}

impl Laid {
    pub(crate) fn of(main: Markup) -> Self {
        Self {
            main,
            aside: None,
            module: false,
        }
    }
}

/// Returns the page of a place.
pub(crate) fn place(context: &Context<'_>, laid: &Laid) -> Response {
    framed(context, None, laid)
}

/// Heading of the page that the revision in the foot leads to.
pub(crate) const HISTORY: &str = "History";

/// Returns a page of a dossier that is none of its eight places.
pub(crate) fn beside(context: &Context<'_>, heading: &str, main: &Markup) -> Response {
    framed(context, Some(heading), &Laid::of(main.clone()))
}

fn framed(context: &Context<'_>, heading: Option<&str>, laid: &Laid) -> Response {
    let station = context.station;
    let product = &context.view.dossier.product;
    let name = heading.unwrap_or(station.name());
    let title = format!("{name}, {}", product.name);
    let module = laid.module.then(|| format!("places/{}.js", station.path()));
    let body = html! {
        body data-dossier=(context.view.id) data-revision=(context.view.revision) data-place=(station.path())
            data-since=(context.since) data-person=(context.session.person) data-module=[module.map(|m| address(&format!("js/{m}")))] {
            (skips(&[("#main", "Skip to the page"), ("#foot", "Skip to what was saved")]))
            header class="head" {
                h1 { @if heading.is_none() { span class="number" { (station.number()) } " " } (name) }
                p class="product" { a href="/" title="All products" { (product.name) ", " (product.maker) }
                    @if product.invented { span class="quiet" { " (invented)" } } }
                (find(&format!("/d/{}/find", context.view.id)))
            }
            (rule(context, heading.is_none()))
            div class={ "middle " (station.path()) } {
                main id="main" tabindex="-1" aria-label=(name) { (reading(context.session)) (laid.main) }
                @if let Some(aside) = &laid.aside { aside id="aside" aria-label="Beside it" { (aside) } }
            }
            (foot(context, heading))
        }
    };
    let sheet = heading
        .is_none()
        .then(|| sheet_of(station.path()))
        .flatten();
    page(&title, sheet.as_deref(), true, &body)
}

/// Says where somebody may only look.
fn reading(session: &Session) -> Markup {
    html! {
        @if session.role == Role::Reader {
            p class="said" { "You may look at everything here; your account may not edit." }
        }
    }
}

/// Returns a page for who is not let in yet: without script, and with nothing that leads further.
pub(crate) fn outside(title: &str, main: &Markup) -> Response {
    let body = html! {
        body {
            header class="head" { h1 { (title) } }
            div class="middle loose" { main id="main" tabindex="-1" aria-label=(title) { (main) } }
        }
    };
    page(title, None, false, &body)
}

/// Returns a page that belongs to no dossier.
pub(crate) fn loose(title: &str, main: &Markup) -> Response {
    let body = html! {
        body {
            (skips(&[("#main", "Skip to the page")]))
            header class="head" {
                h1 { (title) }
                p class="product" { @if title != "Library" { a href="/" { "All products" } } }
                p class="find" { @if title != "Keys and name" { a href="/keys" { "Keys and name" } } }
            }
            div class="middle loose" { main id="main" tabindex="-1" aria-label=(title) { (main) } }
        }
    };
    page(title, None, true, &body)
}

/// Says why a page cannot be shown.
pub(crate) fn stopped(stop: &Stop) -> Response {
    let main = html! {
        h2 { (stop.message) }
        p { "What to do: " (stop.remedy) "." }
        p { a href="/" { "All products" } }
    };
    let mut response = loose("Not shown", &main);
    *response.status_mut() = stop.status;
    response
}

fn page(title: &str, sheet: Option<&str>, scripted: bool, body: &Markup) -> Response {
    let page = html! {
        (DOCTYPE)
        html lang="en" data-version=(version()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1, interactive-widget=resizes-content";
                meta name="color-scheme" content="light dark";
                title { (title) }
                link rel="icon" href="data:,";
                link rel="stylesheet" href=(address("workbench.css"));
                @if let Some(sheet) = sheet { link rel="stylesheet" href=(sheet); }
                @if scripted { script type="module" src=(address("js/main.js")) {} }
            }
            (body)
        }
    };
    Html(page.into_string()).into_response()
}

fn skips(links: &[(&str, &str)]) -> Markup {
    html! {
        @for (to, words) in links { a class="skip" href=(to) { (words) } }
    }
}

fn find(action: &str) -> Markup {
    html! {
        form class="find" role="search" method="get" action=(action) {
            label class="unseen" for="find" { "Find" }
            input id="find" name="words" type="search" placeholder="Find" autocomplete="off" aria-describedby="find-key";
            kbd id="find-key" data-for="find" { "F2" }
        }
    }
}

/// The eight places, with what is open in each.
fn rule(context: &Context<'_>, is_place: bool) -> Markup {
    let id = &context.view.id;
    html! {
        nav class="rule" aria-label="Places" {
            ol {
                @for station in Station::ALL {
                    @let here = is_place && station == context.station;
                    li class=[here.then_some("here")] {
                        a href={ "/d/" (id) "/" (station.path()) } aria-current=[here.then_some("page")] {
                            span class="number" { (station.number()) }
                            span class="name" { (station.name()) }
                            span class="open" { (context.open_in(station)) }
                        }
                    }
                }
            }
            button class="unfolds" id="all-places" type="button" aria-expanded="false" hidden data-own { "All" span class="unseen" { " places" } }
        }
    }
}

/// Save state, what would be taken back, what moved.
fn foot(context: &Context<'_>, heading: Option<&str>) -> Markup {
    let view = context.view;
    let id = &view.id;
    let back = back::back(
        &context.history,
        &context.session.person,
        &view.dossier,
        &context.values,
    );
    let saved = context.history.first().map(|r| r.at);
    html! {
        footer class="foot" id="foot" tabindex="-1" {
            p class="state" {
                span id="state" role="status" {
                    b { "Saved" } " " @if let Some(at) = saved { (clock(at)) } ","
                }
                " "
                @if heading == Some(HISTORY) { span id="revision" { "revision " (view.revision) } }
                @else { a id="revision" href={ "/d/" (id) "/history" } { "revision " (view.revision) } }
            }
            p class="backs" {
                @if let Some((number, words)) = &back.back { (take_back(context, "Take back", *number, words, "Ctrl+Z")) }
                @if let Some((number, words)) = &back.forth { (take_back(context, "Put back", *number, words, "Ctrl+Y")) }
            }
            p id="arrivals" class="arrivals" role="status" data-own {}
            (people(context))
            (moved(context))
        }
        p id="says" class="unseen" role="status" {}
        p id="alerts" class="unseen" role="alert" {}
    }
}

/// Who else has the product open; who sits here, where that was never said.
fn people(context: &Context<'_>) -> Markup {
    let here = context.channel.here();
    let others = here
        .iter()
        .filter(|(person, _)| *person != context.session.person);
    let others: Vec<String> = others
        .map(|(person, place)| match place {
            Some(place) => format!("{person} in {}", place.name()),
            None => person.to_string(),
        })
        .collect();
    html! {
        p id="people" class="people" role="status" {
            @if !others.is_empty() { "Also here: " (others.join(", ")) }
        }
        @if !context.session.is_named { p class="who" { a href="/keys#person" { "Who is at the bench?" } } }
    }
}

fn take_back(context: &Context<'_>, what: &str, number: u64, words: &str, key: &str) -> Markup {
    html! {
        form method="post" action={ "/d/" (context.view.id) "/edits" } data-undo=(number) data-what=(what) {
            input type="hidden" name="undo" value=(number);
            input type="hidden" name="back" value=(context.station.path());
            button { (what) } span class="words" { ": " (words) } " " kbd data-for=(if what == "Take back" { "back" } else { "forth" }) { (key) }
        }
    }
}

fn moved(context: &Context<'_>) -> Markup {
    let moves = context.channel.moves();
    let Some((revision, _, _, last)) = moves.first() else {
        return html! { p class="moved quiet" id="moved" { "Nothing moved yet" } };
    };
    html! {
        details class="moved" id="moved" data-revision=(revision) {
            summary { b { "Moved" } ": " (moved_words(last)) }
            div class="all" role="region" aria-label="Everything that moved" tabindex="0" {
                @for (revision, at, by, moved) in &moves {
                    @if !moved.is_empty() {
                        p { "Revision " (revision) ", " (clock(*at)) ", " (by) }
                        ul {
                            @for verdict in &moved.verdicts { li { (verdict_words_moved(verdict)) } }
                            @for figure in moved.figures.iter().take(12) {
                                li { (figure.name) ": " (figure.was.as_deref().unwrap_or("none")) " → "
                                    (figure.now.as_deref().unwrap_or("none")) }
                            }
                            @if moved.figures.len() > 12 { li { "and " (moved.figures.len() - 12) " figures more" } }
                        }
                    }
                }
            }
        }
    }
}

/// Says what an edit moved in one line.
pub(crate) fn moved_words(moved: &Moved) -> String {
    let figures = match moved.figures.len() {
        0 => None,
        1 => Some("1 figure".to_string()),
        n => Some(format!("{n} figures")),
    };
    // What is printed on the product is told first.
    let is_claim = |v: &&VerdictMoved| v.finding.method == Method::Claims;
    let first = moved.verdicts.iter().find(is_claim);
    let first = first.or(moved.verdicts.first());
    let mut parts = vec![first.map_or("no verdict".to_string(), verdict_words_moved)];
    match moved.verdicts.len() {
        0 | 1 => {}
        2 => parts.push("1 verdict more".to_string()),
        n => parts.push(format!("{} verdicts more", n - 1)),
    }
    parts.extend(figures);
    parts.join(" · ")
}

fn verdict_words_moved(verdict: &VerdictMoved) -> String {
    let words = |v: Option<Verdict>| v.map_or("none", verdict_words);
    format!(
        "{} {} → {}",
        verdict.title,
        words(verdict.was),
        words(verdict.now)
    )
}

/// A time of day here.
pub(crate) fn clock(at: Timestamp) -> String {
    let at = at.to_zoned_datetime(TimeZone::system());
    at.strftime("%H:%M:%S").to_string()
}

/// A day and time here.
pub(crate) fn day(at: Timestamp) -> String {
    let at = at.to_zoned_datetime(TimeZone::system());
    at.strftime("%-d %B %Y, %H:%M").to_string()
}
