//! People log in and out, and what a reader may not.
//!
//! In: names and passwords, sessions that browsers show. Out: who asks; refusals.
//! Not here: passwords and sessions themselves (`library`). Source: OWASP cheat sheets on authentication and session
//! management (from memory).
//!
//! A session is made at each log-in and never taken from a browser, so none can be fixed beforehand. Attempts are counted
//! by name and by address before the password is looked at, so that those made at once count as well; they are counted
//! in this program, and each server counts for itself.

use crate::frame;
use crate::guard::Session;
use crate::server::{Shared, Stop};
use axum::Extension;
use axum::extract::{ConnectInfo, Form, Request, State};
use axum::http::header::{RETRY_AFTER, SET_COOKIE};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use library::{Person, Role};
use maud::html;
use serde::Deserialize;
use std::collections::HashMap;
use std::net::SocketAddr;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::Semaphore;

/// Attempts with one name within [`SPAN`].
const BY_NAME: usize = 8;
/// Attempts from one address.
const BY_ADDRESS: usize = 30;
/// How long an attempt counts.
const SPAN: Duration = Duration::from_secs(15 * 60);
/// Names and addresses that are counted at most; beyond, nobody new is let in until some are forgotten.
const MOST: usize = 20_000;
/// Passwords that are looked at at once; each takes 19 MiB.
const AT_ONCE: usize = 4;

/// The page where people log in.
const PAGE: &str = "/login";

/// How often whom was tried.
pub(crate) struct Attempts {
    made: Mutex<HashMap<String, Vec<Instant>>>,
    turns: Semaphore,
}

impl Default for Attempts {
    fn default() -> Self {
        Self {
            made: Mutex::default(),
            turns: Semaphore::new(AT_ONCE),
        }
    }
}

impl Attempts {
    /// Counts an attempt; whether it may be made.
    fn may(&self, name: &str, address: &str, now: Instant) -> bool {
        let mut made = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        let counts = |at: &Instant| now.duration_since(*at) < SPAN;
        if made.len() >= MOST {
            made.retain(|_, all| all.iter().any(counts));
        }
        if made.len() >= MOST {
            return false;
        }
        let mut may = true;
        for (key, most) in [
            (format!("name {}", name.to_lowercase()), BY_NAME),
            (format!("from {address}"), BY_ADDRESS),
        ] {
            let all = made.entry(key).or_default();
            all.retain(counts);
            if all.len() >= most {
                may = false;
            } else {
                all.push(now);
            }
        }
        may
    }

    /// Forgets the attempts with a name that was let in.
    fn forget(&self, name: &str) {
        let mut made = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        made.remove(&format!("name {}", name.to_lowercase()));
    }
}

/// What a request shows of who sends it.
pub(crate) struct Shown {
    pub(crate) sessions: Vec<String>,
    /// Whether everybody may ask for it.
    pub(crate) is_open: bool,
    /// Whether it asks for a page.
    pub(crate) is_page: bool,
}

/// Whether everybody may ask for it: the page where people log in, and what it looks like.
pub(crate) fn is_open(path: &str) -> bool {
    path == PAGE || path.starts_with("/s/")
}

/// Returns whose session a browser shows.
pub(crate) async fn whose(bench: &Shared, shown: Shown) -> Result<Session, Response> {
    if shown.is_open {
        return Ok(Session {
            person: Person::from(""),
            role: Role::Reader,
            account: false,
            is_named: true,
        });
    }
    for session in &shown.sessions {
        let found = bench
            .desk
            .library()
            .session(session, Timestamp::now())
            .await;
        if let Some(account) = found.map_err(|error| Stop::from(error).into_response())? {
            return Ok(Session {
                person: account.name,
                role: account.role,
                account: true,
                is_named: true,
            });
        }
    }
    Err(match shown.is_page {
        true => Redirect::to(PAGE).into_response(),
        false => refused("You are not logged in.", "log in again in another window"),
    })
}

fn refused(message: &str, remedy: &str) -> Response {
    let stop = Stop {
        status: StatusCode::FORBIDDEN,
        message: message.to_string(),
        remedy: remedy.to_string(),
    };
    stop.into_response()
}

/// Keeps readers from writing; everything that is no question goes through here.
pub(crate) async fn writers(request: Request, next: Next) -> Response {
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    let session = request.extensions().get::<Session>();
    let may = session.is_some_and(|session| session.role > Role::Reader);
    if reads || may {
        return next.run(request).await;
    }
    let stop = Stop {
        status: StatusCode::FORBIDDEN,
        message: "Your account may look, and not edit".to_string(),
        remedy: "ask who keeps this library to make you an editor".to_string(),
    };
    let headers = request.headers();
    let wants = |name: &str, value: &str| headers.get(name).is_some_and(|held| held == value);
    match wants("sec-fetch-mode", "navigate") {
        true => frame::stopped(&stop),
        false => stop.into_response(),
    }
}

/// `GET /login`
pub(crate) async fn page(State(bench): State<Shared>) -> Response {
    match bench.guard.has_accounts() {
        true => form("", None),
        false => Stop::missing("There is no such page.").into_response(),
    }
}

fn form(name: &str, said: Option<&str>) -> Response {
    let main = html! {
        form class="begin" method="post" action=(PAGE) {
            @if let Some(said) = said { p class="said" role="alert" { (said) } }
            label for="name" { "Your name" }
            input id="name" name="name" value=(name) required maxlength="64" autocomplete="username" autofocus[name.is_empty()];
            label for="password" { "Your password" }
            input id="password" name="password" type="password" required maxlength="1024" autocomplete="current-password"
                autofocus[!name.is_empty()];
            button { "Log in" }
        }
        p class="quiet" { "Whoever keeps this library gives you both." }
    };
    frame::outside("Log in", &main)
}

#[derive(Deserialize)]
pub(crate) struct Given {
    name: String,
    password: String,
}

/// `POST /login`
pub(crate) async fn log_in(
    State(bench): State<Shared>,
    from: Option<Extension<ConnectInfo<SocketAddr>>>,
    Form(given): Form<Given>,
) -> Response {
    if !bench.guard.has_accounts() {
        return Stop::missing("There is no such page.").into_response();
    }
    let name = Person::from(given.name);
    let from = from.map_or_else(String::new, |Extension(ConnectInfo(at))| {
        at.ip().to_string()
    });
    if !bench.attempts.may(name.as_str(), &from, Instant::now()) {
        let mut response = form(
            name.as_str(),
            Some("Too many attempts. Try again in a quarter of an hour."),
        );
        *response.status_mut() = StatusCode::TOO_MANY_REQUESTS;
        let wait = HeaderValue::from(SPAN.as_secs());
        response.headers_mut().insert(RETRY_AFTER, wait);
        return response;
    }
    let begun = {
        let _turn = bench.attempts.turns.acquire().await;
        bench
            .desk
            .library()
            .log_in(&name, &given.password, Timestamp::now())
            .await
    };
    match begun {
        Ok(Some(session)) => {
            bench.attempts.forget(name.as_str());
            with_cookie(
                Redirect::to("/").into_response(),
                &bench.guard.kept(&session),
            )
        }
        Ok(None) => {
            let mut response = form(name.as_str(), Some("Name or password is wrong."));
            *response.status_mut() = StatusCode::FORBIDDEN;
            response
        }
        Err(error) => frame::stopped(&error.into()),
    }
}

/// `POST /logout`
pub(crate) async fn log_out(State(bench): State<Shared>, headers: HeaderMap) -> Response {
    for session in bench.guard.shown(&headers) {
        if let Err(error) = bench.desk.library().log_out(&session).await {
            return frame::stopped(&error.into());
        }
    }
    with_cookie(Redirect::to(PAGE).into_response(), &bench.guard.kept(""))
}

fn with_cookie(mut response: Response, cookie: &str) -> Response {
    if let Ok(cookie) = HeaderValue::from_str(cookie) {
        response.headers_mut().insert(SET_COOKIE, cookie);
    }
    response
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn attempts_are_counted_by_name_and_by_address_and_forgotten() {
        let (attempts, now) = (Attempts::default(), Instant::now());
        for at in 0..BY_NAME {
            assert!(attempts.may("Ada", &format!("192.0.2.{at}"), now));
        }
        assert!(
            !attempts.may("aDA", "198.51.100.1", now),
            "from whatever address"
        );
        assert!(attempts.may("Grace", "198.51.100.1", now));
        assert!(attempts.may("Ada", "198.51.100.1", now + SPAN));
        for at in 0..BY_ADDRESS {
            assert!(attempts.may(&format!("name {at}"), "203.0.113.9", now));
        }
        assert!(
            !attempts.may("another", "203.0.113.9", now),
            "whatever name"
        );
        for _ in 0..BY_NAME {
            attempts.may("Mira", "", now);
        }
        attempts.forget("mira");
        assert!(attempts.may("Mira", "", now));
    }
}
