//! The keys, and the name that edits are kept under.

use crate::frame;
use crate::guard::Session;
use crate::server::Shared;
use ::library::Person;
use axum::Extension;
use axum::extract::{Form, State};
use axum::http::HeaderValue;
use axum::http::header::SET_COOKIE;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;

/// The keys by where they act: keys, and what they do.
const KEYS: &[(&str, &[(&str, &str)])] = &[
    (
        "Everywhere",
        &[
            ("F2", "find"),
            ("F8 then 1 … 8", "a place"),
            ("F8 9", "what moved"),
            ("F8 0, and ? outside fields", "these keys"),
            ("F8 Enter", "the arrival that waits"),
            ("F8 T", "the telephone as camera"),
            ("Ctrl+Z", "take back: typing first, then the last edit"),
            ("Ctrl+Y, Ctrl+Shift+Z", "put back"),
            ("Esc", "one step out: field, line, list, heading"),
        ],
    ),
    (
        "In a field",
        &[
            ("Enter", "write and go on"),
            ("Ctrl+Enter", "write, in a text of several lines"),
            ("Esc", "the old value"),
            ("Up, Down", "among proposals"),
            ("Alt+Down", "say what would move"),
        ],
    ),
    (
        "In a list",
        &[
            ("Up, Down", "row before, row after"),
            ("Enter", "open or unfold"),
            ("Esc", "fold"),
            ("Home, End", "first row, last row"),
            ("Delete", "remove"),
        ],
    ),
    (
        "On a plate",
        &[
            ("arrows", "next body that way"),
            ("Space", "next body without a part"),
            ("PgUp, PgDn", "nearer, farther"),
            ("Home", "whole plate and back"),
            ("End", "fill with the box and back"),
            ("Shift+PgUp, PgDn", "plate before, after"),
            ("Enter", "grow a box, or open the part"),
            ("Shift+arrows", "the cross, or a side of the box"),
            ("Shift+Space", "next outline"),
            ("a character", "starts the marking of the box"),
            ("Esc", "drop the box"),
            ("Delete", "no part here, on to the next"),
        ],
    ),
    (
        "In a marking",
        &[
            ("Up, Down", "candidates"),
            ("Enter", "take"),
            ("Ctrl+Enter", "take, for the others too"),
            ("Shift+Enter", "next line"),
            ("PgUp, PgDn", "turn the crop"),
            ("Shift+PgDn", "stretch its contrast"),
        ],
    ),
    ("At a step", &[("Enter, Space", "start, stop")]),
];

/// `GET /keys`
pub(crate) async fn page(Extension(session): Extension<Session>) -> Response {
    frame::loose("Keys and name", &main(&session))
}

fn main(session: &Session) -> Markup {
    html! {
        div id="keys" {
            @for (group, keys) in KEYS {
                section {
                    h2 { (group) }
                    dl class="keys" {
                        @for (key, does) in *keys { dt { kbd { (key) } } dd { (does) } }
                    }
                }
            }
        }
        section {
            h2 { "Your name" }
            @if session.account {
                form class="begin" method="post" action="/logout" {
                    p class="said" { "You are logged in as " (session.person) ", " (session.role) "." }
                    button { "Log out" }
                }
            } @else {
                form class="begin" method="post" action="/name" {
                    label for="person" { "Edits of this browser are kept under the name" }
                    input id="person" name="name" value=(session.person) maxlength="64" required autocomplete="name";
                    button { "Keep" }
                }
            }
        }
        section {
            h2 { "Light or dark" }
            form class="begin" data-scheme-form {
                label for="scheme" { "Pages of this browser are" }
                select id="scheme" {
                    option value="" { "as the system has it" }
                    option value="light" { "light" }
                    option value="dark" { "dark" }
                }
            }
        }
    }
}

#[derive(Deserialize)]
pub(crate) struct Name {
    name: String,
}

/// `POST /name`
pub(crate) async fn name(State(bench): State<Shared>, Form(named): Form<Name>) -> Response {
    let mut response = Redirect::to("/keys").into_response();
    let person = Person::from(named.name);
    if !person.as_str().is_empty()
        && let Ok(cookie) = HeaderValue::from_str(&bench.guard.named(&person))
    {
        response.headers_mut().insert(SET_COOKIE, cookie);
    }
    response
}
