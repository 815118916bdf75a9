//! Who may ask: a browser on this machine that was given the first address; where the library has people, whoever is
//! logged in.
//!
//! In: requests. Out: those that may pass, with who sends them; refusals; headers of every answer.
//! Not here: what is asked for. Source: OWASP cheat sheets on sessions, cross-site request forgery, and DNS rebinding
//! (from memory); Fetch Metadata Request Headers, W3C.
//!
//! The first address carries a token of 256 random bits. It is exchanged for a cookie that no script can read and no
//! other site can send, and leaves the address bar. The cookie is made here for each exchange, so none can be
//! planted. It holds as long as the secret that it is made with.
//!
//! Where the library has people there is no such token: the cookie is that of a session in the library (`login`).

use crate::login::{self, Shown};
use crate::server::{Shared, Stop};
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, COOKIE, HOST, HeaderMap, LOCATION, ORIGIN,
    REFERRER_POLICY, SET_COOKIE, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderName, HeaderValue, Method, StatusCode, Uri};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use library::{Person, Role};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::net::SocketAddr;
use subtle::ConstantTimeEq;

/// What sessions are made with.
#[derive(Clone)]
pub struct Secret([u8; 32]);

impl Secret {
    /// Makes a secret of 256 random bits from the system.
    ///
    /// # Errors
    /// Where the system has no random numbers.
    pub fn random() -> Result<Self, getrandom::Error> {
        let mut bytes = [0; 32];
        getrandom::fill(&mut bytes)?;
        Ok(Self(bytes))
    }

    /// Takes a secret that was kept.
    pub fn of(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    fn sealed(&self, words: &[&[u8]]) -> String {
        let mut digest = Sha256::new();
        digest.update(self.0);
        for word in words {
            digest.update((word.len() as u64).to_le_bytes());
            digest.update(word);
        }
        hex(&digest.finalize())
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a String cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// What decides who may pass.
pub(crate) struct Guard {
    secret: Secret,
    token: String,
    hosts: Vec<String>,
    port: u16,
    person: Person,
    /// How pages of ours are reached.
    schemes: Vec<&'static str>,
    /// Whether people log in.
    accounts: bool,
    /// Whether cookies are to be sent encrypted alone.
    secure: bool,
}

/// Who asks.
#[derive(Debug, Clone)]
pub(crate) struct Session {
    pub(crate) person: Person,
    /// What they may do; on this machine alone, everything.
    pub(crate) role: Role,
    /// Whether the name is that of an account.
    pub(crate) account: bool,
    /// Whether the browser was told who is at the bench.
    pub(crate) is_named: bool,
}

/// What browsers are told of every page: nothing but our own files, nothing in line, no frames.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; \
    font-src 'self'; connect-src 'self'; manifest-src 'self'; form-action 'self'; frame-src 'self'; base-uri 'none'; \
    frame-ancestors 'none'";

/// An answer that a page of ours shows in a frame: a report, which has its style within and needs no script.
#[derive(Clone)]
pub(crate) struct Framed;

/// What browsers are told of it: nothing but its own style and pictures, and no script whatever it holds.
const FRAMED_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src 'self' data:; font-src data:; \
    base-uri 'none'; form-action 'none'; frame-ancestors 'self'; sandbox allow-same-origin";

impl Guard {
    pub(crate) fn new(
        secret: Secret,
        address: SocketAddr,
        person: Person,
    ) -> Result<Self, getrandom::Error> {
        let mut bytes = [0; 32];
        getrandom::fill(&mut bytes)?;
        let port = address.port();
        let names = ["127.0.0.1", "localhost", "[::1]"];
        Ok(Self {
            secret,
            token: hex(&bytes),
            hosts: names.map(|name| format!("{name}:{port}")).to_vec(),
            port,
            person,
            schemes: vec!["http://"],
            accounts: false,
            secure: false,
        })
    }

    /// Lets in who is logged in, at this address and under this name.
    pub(crate) fn with_accounts(
        mut self,
        address: SocketAddr,
        name: Option<&str>,
        encrypted: bool,
    ) -> Self {
        self.hosts.push(address.to_string());
        if let Some(name) = name {
            let name = name.to_ascii_lowercase();
            self.hosts.push(format!("{name}:{}", self.port));
            self.hosts.push(name);
            self.schemes.push("https://");
        }
        if encrypted {
            self.schemes = vec!["https://"];
        }
        self.accounts = true;
        self.secure = encrypted || name.is_some();
        self
    }

    /// Whether people log in.
    pub(crate) fn has_accounts(&self) -> bool {
        self.accounts
    }

    /// Sets the cookie of a session, or takes it away where it is empty.
    pub(crate) fn kept(&self, session: &str) -> String {
        let secure = if self.secure { "; Secure" } else { "" };
        let gone = if session.is_empty() {
            "; Max-Age=0"
        } else {
            ""
        };
        format!(
            "{}={session}; Path=/; HttpOnly; SameSite=Strict{secure}{gone}",
            self.cookie_name()
        )
    }

    /// The sessions that a browser shows.
    pub(crate) fn shown(&self, headers: &HeaderMap) -> Vec<String> {
        cookies(headers, &self.cookie_name())
    }

    /// The part of the first address that opens the door.
    pub(crate) fn token(&self) -> &str {
        &self.token
    }

    /// With the prefix, browsers take the cookie from this very host alone, encrypted (RFC 6265bis, 4.1.3.2).
    fn cookie_name(&self) -> String {
        let prefix = if self.secure { "__Host-" } else { "" };
        format!("{prefix}underlid-{}", self.port)
    }

    fn name_cookie(&self) -> String {
        format!("underlid-name-{}", self.port)
    }

    /// Makes the cookie of a new session.
    pub(crate) fn session(&self) -> Result<String, getrandom::Error> {
        let mut nonce = [0; 16];
        getrandom::fill(&mut nonce)?;
        let nonce = hex(&nonce);
        let seal = self.secret.sealed(&[b"session", nonce.as_bytes()]);
        Ok(format!("{nonce}.{seal}"))
    }

    fn is_session(&self, cookie: &str) -> bool {
        let Some((nonce, seal)) = cookie.split_once('.') else {
            return false;
        };
        let right = self.secret.sealed(&[b"session", nonce.as_bytes()]);
        nonce.len() == 32 && equal(seal, &right)
    }

    /// Sets the name that a browser's edits are kept under.
    pub(crate) fn named(&self, person: &Person) -> String {
        let name: String = hex(person.as_str().as_bytes());
        format!(
            "{}={name}; Path=/; HttpOnly; SameSite=Strict; Max-Age=31536000",
            self.name_cookie()
        )
    }

    fn session_of(&self, headers: &HeaderMap) -> Session {
        let name = cookie(headers, &self.name_cookie()).and_then(|hex| unhex(&hex));
        Session {
            is_named: name.is_some(),
            person: name.map_or_else(|| self.person.clone(), Person::from),
            role: Role::Owner,
            account: false,
        }
    }

    /// Exchanges the token of the first address for a cookie.
    fn let_in(&self, uri: &Uri) -> Option<Response> {
        let given = query_value(uri, "token")?;
        if !equal(&given, &self.token) {
            return Some(closed());
        }
        let session = match self.session() {
            Ok(session) => session,
            Err(error) => return Some(Stop::internal(&error.to_string()).into_response()),
        };
        let cookie = self.kept(&session);
        let mut response = StatusCode::SEE_OTHER.into_response();
        let headers = response.headers_mut();
        headers.insert(LOCATION, HeaderValue::from_static("/"));
        if let Ok(cookie) = HeaderValue::from_str(&cookie) {
            headers.insert(SET_COOKIE, cookie);
        }
        Some(response)
    }

    /// Returns whether the request is made to this server by a name of this machine, so that no name elsewhere
    /// that was made to lead here is answered.
    fn is_host(&self, headers: &HeaderMap) -> bool {
        let mut hosts = headers.get_all(HOST).iter();
        let host = hosts.next().and_then(|h| h.to_str().ok());
        let known = |host: &str| self.hosts.iter().any(|h| h.eq_ignore_ascii_case(host));
        host.is_some_and(known) && hosts.next().is_none()
    }

    /// Returns whether a request that may write comes from a page of ours.
    fn is_from_here(&self, headers: &HeaderMap) -> bool {
        let text = |name: &HeaderName| headers.get(name).and_then(|v| v.to_str().ok());
        let site = headers.get("sec-fetch-site").map(HeaderValue::as_bytes);
        // Forms of pages that tell no referrer say `null`; what the browser says of the site decides then.
        let origin = text(&ORIGIN).filter(|origin| *origin != "null");
        let ours = |origin: &str| {
            let mut hosts = self.schemes.iter().filter_map(|s| origin.strip_prefix(s));
            hosts.any(|host| self.hosts.iter().any(|h| h == host))
        };
        match (origin, site) {
            (Some(origin), None) => ours(origin),
            (Some(origin), Some(site)) => ours(origin) && site == b"same-origin",
            (None, Some(site)) => site == b"same-origin",
            (None, None) => false,
        }
    }
}

/// Lets a request pass, or says why not; gives every answer its headers.
pub(crate) async fn guard(State(bench): State<Shared>, request: Request, next: Next) -> Response {
    let admitted = match admitted(&bench.guard, &request) {
        Ok(Admitted::Session(session)) => Ok(session),
        Ok(Admitted::Shows(shown)) => login::whose(&bench, shown).await.map_err(Box::new),
        Err(response) => Err(response),
    };
    let mut response = match admitted {
        Ok(session) => {
            let mut request = request;
            request.extensions_mut().insert(session);
            next.run(request).await
        }
        Err(response) => *response,
    };
    let framed = response.extensions().get::<Framed>().is_some();
    let headers = response.headers_mut();
    let mut set = |name: HeaderName, value: &'static str| {
        headers.insert(name, HeaderValue::from_static(value));
    };
    set(
        CONTENT_SECURITY_POLICY,
        if framed { FRAMED_POLICY } else { POLICY },
    );
    set(X_CONTENT_TYPE_OPTIONS, "nosniff");
    set(REFERRER_POLICY, "no-referrer");
    set(
        HeaderName::from_static("x-frame-options"),
        if framed { "SAMEORIGIN" } else { "DENY" },
    );
    set(
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    );
    set(
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    );
    set(
        HeaderName::from_static("permissions-policy"),
        "camera=(), microphone=(), geolocation=(), usb=(), serial=()",
    );
    if !headers.contains_key(CACHE_CONTROL) {
        let fresh = HeaderValue::from_static("no-store");
        headers.insert(CACHE_CONTROL, fresh);
    }
    response
}

/// Who was let in, or what the library is to be asked about.
enum Admitted {
    Session(Session),
    Shows(Shown),
}

fn admitted(guard: &Guard, request: &Request) -> Result<Admitted, Box<Response>> {
    let headers = request.headers();
    if !guard.is_host(headers) {
        let words = "This server answers under the name of this machine only.";
        return Err(Box::new(plain(StatusCode::MISDIRECTED_REQUEST, words)));
    }
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    if !reads && !guard.is_from_here(headers) {
        let words = "Refused: this was not sent from a page of the workbench.";
        return Err(Box::new(plain(StatusCode::FORBIDDEN, words)));
    }
    if guard.accounts {
        let path = request.uri().path();
        let mode = headers.get("sec-fetch-mode");
        return Ok(Admitted::Shows(Shown {
            sessions: guard.shown(headers),
            is_open: login::is_open(path),
            is_page: reads && mode.is_none_or(|mode| mode == "navigate"),
        }));
    }
    if reads
        && request.uri().path() == "/"
        && let Some(response) = guard.let_in(request.uri())
    {
        return Err(Box::new(response));
    }
    let sessions = cookies(headers, &guard.cookie_name());
    if !sessions.iter().any(|cookie| guard.is_session(cookie)) {
        return Err(Box::new(closed()));
    }
    Ok(Admitted::Session(guard.session_of(headers)))
}

fn closed() -> Response {
    plain(
        StatusCode::FORBIDDEN,
        "This browser is not let in yet.\n\nOpen the address that `underlid serve` printed when it was started.",
    )
}

fn plain(status: StatusCode, words: &'static str) -> Response {
    (status, Body::from(words)).into_response()
}

pub(crate) fn equal(given: &str, right: &str) -> bool {
    given.as_bytes().ct_eq(right.as_bytes()).into()
}

pub(crate) fn cookies(headers: &HeaderMap, name: &str) -> Vec<String> {
    let lines = headers
        .get_all(COOKIE)
        .iter()
        .filter_map(|v| v.to_str().ok());
    let pairs = lines.flat_map(|line| line.split(';'));
    let pairs = pairs.filter_map(|pair| pair.trim().split_once('='));
    let named = pairs.filter(|(key, _)| *key == name);
    named.map(|(_, value)| value.to_string()).collect()
}

fn cookie(headers: &HeaderMap, name: &str) -> Option<String> {
    cookies(headers, name).into_iter().next()
}

fn query_value(uri: &Uri, name: &str) -> Option<String> {
    let pairs = uri.query()?.split('&').filter_map(|p| p.split_once('='));
    let mut named = pairs.filter(|(key, _)| *key == name);
    named.next().map(|(_, value)| value.to_string())
}

fn unhex(text: &str) -> Option<String> {
    let pairs = (0..text.len()).step_by(2);
    let bytes: Option<Vec<u8>> = pairs
        .map(|at| u8::from_str_radix(text.get(at..at + 2)?, 16).ok())
        .collect();
    String::from_utf8(bytes?).ok()
}
