//! What the paired device can do: send pictures, start and stop a step, send a value, end the pairing.
//!
//! In: requests of the device. Out: its page, its state. All else is refused.
//! Not here: the workbench's own routes; none of them stands here.

use super::{Phone, Refused};
use crate::edits::{pairs, write};
use crate::server::{Bench, Shared, Stop};
use crate::{assets, guard, steps};
use app::opening;
use app::plates::Arrived;
use axum::body::{Body, Bytes};
use axum::extract::{DefaultBodyLimit, Query, Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HOST, HeaderMap, LOCATION, ORIGIN,
    REFERRER_POLICY, SET_COOKIE, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderValue, Method, StatusCode};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Extension, Json, Router};
use maud::{DOCTYPE, Markup, html};
use serde::Deserialize;
use serde_json::{Value, json};
use std::sync::Arc;
use std::time::Instant;
use tower_http::catch_panic::CatchPanicLayer;

use super::pairing::Device;

/// Most bytes of one picture.
const PICTURE: usize = 64 << 20;
/// Most bytes of any other request.
const WORDS: usize = 4096;
/// Most characters of a value.
const VALUE: usize = 120;
const COOKIE: &str = "underlid-phone";
/// What the device's browser is told: its own files alone.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; \
    font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
/// What may be asked for before pairing.
const OPEN: [&str; 4] = ["/", "/pair", "/phone.css", "/phone.js"];

/// What the routes are answered from.
#[derive(Clone)]
struct Here {
    bench: Shared,
    phone: Arc<Phone>,
}

pub(super) fn router(bench: Shared, phone: Arc<Phone>) -> Router {
    let here = Here { bench, phone };
    Router::new()
        .route("/", get(page))
        .route("/pair", post(pair))
        .route(
            "/phone.css",
            get(|| async { assets::file("text/css; charset=utf-8", "css/phone.css") }),
        )
        .route(
            "/phone.js",
            get(|| async { assets::file("text/javascript; charset=utf-8", "js/phone.js") }),
        )
        .route("/state", get(state))
        .route("/take", post(take).layer(DefaultBodyLimit::max(PICTURE)))
        .route("/step", post(step))
        .route("/value", post(value))
        .route("/end", post(end))
        .fallback(|| async { StatusCode::NOT_FOUND })
        .layer(DefaultBodyLimit::max(WORDS))
        .layer(CatchPanicLayer::new())
        .layer(from_fn_with_state(here.clone(), admit))
        .with_state(here)
}

/// Lets the paired device pass; anyone sees the page that asks for the code.
async fn admit(State(here): State<Here>, mut request: Request, next: Next) -> Response {
    let refusal = |status: StatusCode| (status, Body::empty()).into_response();
    let address = here.phone.address.to_string();
    let headers = request.headers();
    let text = |name| {
        headers
            .get(name)
            .and_then(|v: &HeaderValue| v.to_str().ok())
    };
    let is_host = text(HOST) == Some(address.as_str());
    let ours = format!("https://{address}");
    let site = headers.get("sec-fetch-site").map(HeaderValue::as_bytes);
    // Forms of pages that tell no referrer say `null`; what the browser says of the site decides then.
    let origin = text(ORIGIN).filter(|origin| *origin != "null");
    let same = site == Some(b"same-origin".as_slice());
    let from_here = match origin {
        Some(origin) => origin == ours && (site.is_none() || same),
        None => same,
    };
    let device = device(&here, headers);
    let is_open = OPEN.contains(&request.uri().path());
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    let mut response = if !is_host {
        refusal(StatusCode::MISDIRECTED_REQUEST)
    } else if (!reads && !from_here) || (!is_open && device.is_none()) {
        refusal(StatusCode::FORBIDDEN)
    } else {
        request.extensions_mut().insert(Paired(device));
        next.run(request).await
    };
    let headers = response.headers_mut();
    headers.insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(POLICY));
    headers.insert(X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    headers.insert(REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    response
}

#[derive(Clone)]
struct Paired(Option<Device>);

impl Paired {
    fn device(self) -> Result<Device, Stop> {
        self.0
            .ok_or_else(|| Stop::missing("No telephone is paired."))
    }
}

fn device(here: &Here, headers: &HeaderMap) -> Option<Device> {
    let tokens = guard::cookies(headers, COOKIE);
    let pairing = here.phone.pairing();
    tokens
        .iter()
        .find_map(|token| pairing.device(token, Instant::now()))
}

/// `GET /`
async fn page(
    State(here): State<Here>,
    Extension(paired): Extension<Paired>,
) -> Result<Response, Stop> {
    let Some(device) = paired.0 else {
        return Ok(asking(&here.phone, None));
    };
    let told = told(&here.bench, &device).await?;
    let word = |key: &str| told[key].as_str().unwrap_or_default().to_string();
    let main = html! {
        h1 { (word("product")) }
        p { "goes to: " b id="goes" { (word("goes")) } }
        label class="take" { "Take"
            input type="file" id="take" accept="image/*" capture="environment" multiple; }
        noscript { p { "Pictures are sent by the page's script; it is switched off here." } }
        ul id="sent" aria-live="polite" {}
        form id="step" method="post" action="/step" { button class="wide" id="step-button" { (word("button")) } }
        form id="value" method="post" action="/value" {
            label for="value-words" { "Send a value" }
            div class="row" {
                input id="value-words" name="value" maxlength=(VALUE) autocomplete="off" enterkeyhint="send";
                button { "Send" }
            }
            p id="value-says" role="status" {}
        }
        form id="end" method="post" action="/end" { button { "End: this telephone sends no more" } }
    };
    Ok(shell("Telephone", &main))
}

fn asking(phone: &Phone, refused: Option<Refused>) -> Response {
    let main = html! {
        h1 { "Telephone" }
        form id="pair" method="post" action="/pair" {
            label for="code" { "Code that the workbench shows" }
            input id="code" name="code" autocomplete="one-time-code" autocapitalize="characters" spellcheck="false"
                maxlength="12" enterkeyhint="go" autofocus;
            button class="wide" { "Pair" }
        }
        @if let Some(refused) = refused { p role="alert" { (words(refused)) } }
        p class="quiet" { "Certificate " (&phone.fingerprint[..8]) "; the workbench shows the same digits." }
    };
    let mut response = shell("Telephone", &main);
    *response.status_mut() = match refused {
        None => StatusCode::OK,
        Some(Refused::TooOften) => StatusCode::TOO_MANY_REQUESTS,
        Some(_) => StatusCode::FORBIDDEN,
    };
    response
}

fn words(refused: Refused) -> &'static str {
    match refused {
        Refused::Wrong => "That is not the code. Look at the workbench and type it again.",
        Refused::None => {
            "No code is waiting: it holds for two minutes and once. Make a new one at the workbench."
        }
        Refused::TooOften => {
            "Too many tries. Wait a minute, then make a new code at the workbench."
        }
    }
}

fn shell(title: &str, main: &Markup) -> Response {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                link rel="icon" href="data:,";
                link rel="stylesheet" href="/phone.css";
                script type="module" src="/phone.js" {}
            }
            body { main { (main) } }
        }
    };
    Html(page.into_string()).into_response()
}

/// `POST /pair`
async fn pair(State(here): State<Here>, body: Bytes) -> Response {
    let pairs = pairs(&body);
    let code = pairs.iter().find(|(key, _)| key == "code");
    let code = code.map_or("", |(_, code)| code.as_str());
    let made = here.phone.pairing().pair(code, Instant::now());
    match made {
        Err(refused) => asking(&here.phone, Some(refused)),
        Ok((token, dossier)) => {
            here.bench
                .channel(&dossier)
                .tell("pair", json!({ "state": "paired" }));
            let mut response = see("/");
            let cookie = format!(
                "{COOKIE}={token}; Path=/; Secure; HttpOnly; SameSite=Strict; Max-Age=43200"
            );
            if let Ok(cookie) = HeaderValue::from_str(&cookie) {
                response.headers_mut().insert(SET_COOKIE, cookie);
            }
            response
        }
    }
}

fn see(to: &'static str) -> Response {
    let mut response = StatusCode::SEE_OTHER.into_response();
    response
        .headers_mut()
        .insert(LOCATION, HeaderValue::from_static(to));
    response
}

/// What the device's page shows.
async fn told(bench: &Bench, device: &Device) -> Result<Value, Stop> {
    let view = bench.desk.view(&device.dossier).await?;
    let dossier = &view.dossier;
    let running = opening::running(dossier);
    let number = |id: &str| {
        dossier
            .steps
            .iter()
            .position(|s| s.id == id)
            .map_or(0, |at| at + 1)
    };
    let next = dossier.steps.iter().find(|step| step.is_planned());
    let goes = running.map_or_else(
        || "no step is running; the photographs of the product".to_string(),
        |step| format!("step {}, {}", number(&step.id), step.text),
    );
    let button = match (running, next) {
        (Some(step), _) => format!("Stop: {}", step.text),
        (None, Some(step)) => format!("Start: {}", step.text),
        (None, None) => "No step is planned".to_string(),
    };
    Ok(json!({
        "product": dossier.product.name,
        "goes": goes,
        "running": running.map(|s| &s.id),
        "next": next.map(|s| &s.id),
        "button": button,
    }))
}

/// `GET /state`
async fn state(
    State(here): State<Here>,
    Extension(paired): Extension<Paired>,
) -> Result<Json<Value>, Stop> {
    Ok(Json(told(&here.bench, &paired.device()?).await?))
}

#[derive(Deserialize)]
struct Named {
    #[serde(default)]
    name: String,
}

/// `POST /take?name=NAME`: one picture, its bytes alone.
async fn take(
    State(here): State<Here>,
    Extension(paired): Extension<Paired>,
    Query(named): Query<Named>,
    bytes: Bytes,
) -> Result<Json<Value>, Stop> {
    let device = paired.device()?;
    if !here.phone.pairing().counts() {
        return Err(Stop::unfit(
            "This telephone has sent as many pictures as one pairing may",
            "pair it again",
        ));
    }
    let view = here.bench.desk.view(&device.dossier).await?;
    let name: String = named.name.chars().take(VALUE).collect();
    let arrived = here.bench.plates.bring(&view, &name, bytes).await?;
    let (photo, state) = match arrived {
        Arrived::Here { photo, .. } => (photo, "here"),
        Arrived::New { photo, edits, .. } => {
            write(&here.bench, &device.dossier, &device.person, edits).await?;
            (photo, "new")
        }
    };
    let channel = here.bench.channel(&device.dossier);
    channel.tell("photo", json!({ "id": photo, "state": "ready" }));
    Ok(Json(json!({ "photo": photo, "state": state })))
}

/// `POST /step`: stops the step that runs, or starts the next that is planned.
async fn step(
    State(here): State<Here>,
    Extension(paired): Extension<Paired>,
) -> Result<Response, Stop> {
    let device = paired.device()?;
    let (bench, id) = (&here.bench, &device.dossier);
    let view = bench.desk.view(id).await?;
    let next = view.dossier.steps.iter().find(|step| step.is_planned());
    match (opening::running(&view.dossier), next) {
        (Some(step), _) => steps::stop(bench, id, &step.id, &device.person).await?,
        (None, Some(step)) => steps::begin(bench, id, &step.id, &device.person).await?,
        (None, None) => {
            return Err(Stop::unfit(
                "No step is planned",
                "say at the workbench what comes next",
            ));
        }
    }
    Ok(see("/"))
}

/// `POST /value`: a value for the field that waits at the workbench.
async fn value(
    State(here): State<Here>,
    Extension(paired): Extension<Paired>,
    body: Bytes,
) -> Result<Response, Stop> {
    let device = paired.device()?;
    let pairs = pairs(&body);
    let value = pairs.iter().find(|(key, _)| key == "value");
    let value = record::visible(value.map_or("", |(_, value)| value.trim()));
    if value.is_empty() || value.chars().count() > VALUE {
        return Err(Stop::unfit(
            "This is no value",
            format!("send at most {VALUE} characters"),
        ));
    }
    let channel = here.bench.channel(&device.dossier);
    // Windows that hear of it twice keep it once.
    let id = jiff::Timestamp::now().as_nanosecond().to_string();
    channel.tell(
        "arrival",
        json!({ "id": id, "text": value, "from": "the telephone" }),
    );
    Ok(see("/"))
}

/// `POST /end`
async fn end(
    State(here): State<Here>,
    Extension(paired): Extension<Paired>,
) -> Result<Response, Stop> {
    let device = paired.device()?;
    here.phone.pairing().end();
    here.bench
        .channel(&device.dossier)
        .tell("pair", json!({ "state": "ended" }));
    let mut response = see("/");
    let gone = HeaderValue::from_static(
        "underlid-phone=; Path=/; Secure; HttpOnly; SameSite=Strict; Max-Age=0",
    );
    response.headers_mut().insert(SET_COOKIE, gone);
    response
        .headers_mut()
        .insert(CONTENT_TYPE, HeaderValue::from_static("text/plain"));
    Ok(response)
}
