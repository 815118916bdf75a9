//! The keys, and the name that edits are kept under.
//!
//! Not here: which keys a browser chose for itself (`assets/js/keymap.js`).

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

/// A row of the map: keys, what they do, and the name of the command where another key can be chosen for it.
struct Row {
    keys: &'static str,
    does: &'static str,
    command: Option<&'static str>,
}

const fn firm(keys: &'static str, does: &'static str) -> Row {
    Row {
        keys,
        does,
        command: None,
    }
}

const fn free(keys: &'static str, does: &'static str, command: &'static str) -> Row {
    Row {
        keys,
        does,
        command: Some(command),
    }
}

/// The keys by where they act; the word is that of `assets/js/keymap.js`.
const KEYS: &[(&str, &str, &[Row])] = &[
    (
        "everywhere",
        "Everywhere",
        &[
            free("F2", "find", "find"),
            free("F8", "places, then one of those below", "places"),
            firm("F8 1 … 8", "a place"),
            firm("F8 9", "what moved"),
            firm("F8 0", "these keys, also in a field"),
            free("?", "these keys, outside fields", "keys"),
            firm("F8 Enter", "the arrival that waits"),
            firm("F8 T", "the telephone as camera"),
            firm("F8 L", "a parts list or weights from a table"),
            free(
                "Ctrl+Z",
                "take back: typing first, then the last action",
                "back",
            ),
            free("Ctrl+Y", "put back", "forth"),
            firm("Ctrl+Shift+Z", "put back"),
            firm("Esc", "one step out: field, line, list, heading"),
            free("", "start or stop the step, as with a foot switch", "step"),
            free("", "bring in photographs", "photographs"),
        ],
    ),
    (
        "field",
        "In a field",
        &[
            firm("Enter", "write and go on"),
            firm("Ctrl+Enter", "write, in a text of several lines"),
            firm("Esc", "the old value"),
            firm("Up, Down", "among proposals"),
            firm("Alt+Down", "say what would move"),
        ],
    ),
    (
        "list",
        "In a list",
        &[
            firm("Up, Down", "row before, row after"),
            firm("Enter", "open or unfold"),
            firm("Esc", "fold"),
            firm("Home, End", "first row, last row"),
            firm("Delete", "remove"),
            firm("Enter, Delete, in captions", "take, refuse the correction"),
            firm(
                "Enter, Delete, in texts published before",
                "take, refuse the part",
            ),
        ],
    ),
    (
        "plate",
        "On a plate",
        &[
            firm("arrows", "next body that way"),
            free("Space", "next body without a part", "next"),
            free("PgUp", "nearer", "nearer"),
            free("PgDn", "farther", "farther"),
            free("Home", "whole plate and back", "whole"),
            free("End", "fill with the box and back", "fill"),
            free("Shift+PgUp", "plate before", "before"),
            free("Shift+PgDn", "plate after", "after"),
            firm("Enter", "grow a box, or open the part"),
            firm("Shift+arrows", "the cross, or a side of the box"),
            free("Shift+Space", "next outline", "outline"),
            firm("a character", "starts the marking of the box"),
            firm("Esc", "drop the box"),
            free("Delete", "no part here, on to the next", "none"),
            firm("L, without a box", "a thing of known size"),
            firm("M, without a box", "measure, of the part under the cross"),
            firm("Ctrl+Enter", "all that look the same as the part read last"),
            firm(
                "Shift+Enter",
                "this one is the same; of two boxed twice, join",
            ),
        ],
    ),
    (
        "measuring",
        "While measuring",
        &[
            firm("arrows", "move the cross"),
            firm("Enter", "set a point or grow an outline, then write"),
            firm("Shift+Enter", "set a single corner"),
            firm("Space", "next outline"),
            firm("Backspace", "take the last point back"),
            firm("Esc", "leave"),
        ],
    ),
    (
        "doubt",
        "At a size in doubt",
        &[
            firm("Enter", "keep it"),
            firm("1, 2 …", "take the edge of that number"),
        ],
    ),
    (
        "marking",
        "In a marking",
        &[
            firm("Up, Down", "candidates"),
            firm("Enter", "take"),
            firm("Ctrl+Enter", "take, for the others too"),
            firm("Shift+Enter", "next line"),
            free("PgUp", "turn the crop left", "left"),
            free("PgDn", "turn the crop right", "right"),
            free("Shift+PgDn", "stretch its contrast", "contrast"),
        ],
    ),
    ("step", "At a step", &[firm("Enter, Space", "start, stop")]),
];

/// `GET /keys`
pub(crate) async fn page(Extension(session): Extension<Session>) -> Response {
    frame::loose("Keys and name", &main(&session))
}

fn main(session: &Session) -> Markup {
    html! {
        (who(session, "/keys"))
        div id="keys" {
            @for (context, group, rows) in KEYS {
                section {
                    h2 { (group) }
                    dl class="keys" data-context=(context) { @for row in *rows { (self::row(row)) } }
                }
            }
        }
        p id="keys-chosen" class="quiet" hidden {}
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

fn row(row: &Row) -> Markup {
    html! {
        dt data-command=[row.command] { kbd { (row.keys) } }
        dd { (row.does) }
    }
}

/// Asks who is at the bench; `back` is the page to go on with.
pub(crate) fn who(session: &Session, back: &str) -> Markup {
    if session.account {
        return account(session);
    }
    html! {
        section class="bench" aria-labelledby="h-bench" {
            h2 id="h-bench" { "Who is at the bench?" }
            form class="begin" method="post" action="/name" {
                input type="hidden" name="back" value=(back);
                label for="person" { "Initials or name; every edit of this browser is kept under it" }
                input id="person" name="name" value=(if session.is_named { session.person.as_str() } else { "" })
                    maxlength="64" required autocomplete="name" placeholder=(session.person);
                button { "Keep" }
            }
        }
    }
}

/// Says who is logged in; the name is that of the account.
fn account(session: &Session) -> Markup {
    html! {
        section class="bench" aria-labelledby="h-bench" {
            h2 id="h-bench" { "Who is at the bench" }
            form class="begin" method="post" action="/logout" {
                p class="said" { "You are logged in as " (session.person) ", " (session.role) "." }
                button { "Log out" }
            }
        }
    }
}

#[derive(Deserialize)]
pub(crate) struct Name {
    name: String,
    back: Option<String>,
}

/// `POST /name`
pub(crate) async fn name(State(bench): State<Shared>, Form(named): Form<Name>) -> Response {
    // Only pages of ours are gone back to, whatever the form says.
    let back = named.back.as_deref().filter(|back| *back == "/");
    let mut response = Redirect::to(back.unwrap_or("/keys")).into_response();
    let person = Person::from(named.name);
    if !person.as_str().is_empty()
        && let Ok(cookie) = HeaderValue::from_str(&bench.guard.named(&person))
    {
        response.headers_mut().insert(SET_COOKIE, cookie);
    }
    response
}

#[cfg(test)]
mod tests {
    use super::KEYS;

    /// The browser's part knows the same commands, in the same order and contexts.
    #[test]
    fn every_command_is_known_to_the_browser() {
        let script = include_str!("../../assets/js/keymap.js");
        let table = script.split("const commands = [").nth(1).unwrap();
        let table = table.split("].map(").next().unwrap();
        let rows = table.split('[').skip(1);
        let there: Vec<(&str, &str)> = rows
            .map(|row| {
                let mut words = row.split('\'').skip(1).step_by(2);
                (words.next().unwrap(), words.next().unwrap())
            })
            .collect();
        let here: Vec<(&str, &str)> = KEYS
            .iter()
            .flat_map(|(context, _, rows)| {
                let named = rows.iter().filter_map(|row| row.command);
                named.map(move |name| (*context, name))
            })
            .collect();
        assert_eq!(there, here);
    }
}
