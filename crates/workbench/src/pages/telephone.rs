//! The telephone as camera, at the bench: its address as a matrix code, the pairing code, the fingerprint, its end.

use super::{Asked, context};
use crate::frame::{self, Laid};
use crate::guard::Session;
use crate::phone::{Phone, matrix};
use crate::server::{Bench, Shared, Stop};
use crate::station::Station;
use ::library::DossierId;
use axum::Extension;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, PreEscaped, html};
use std::sync::Arc;
use std::time::Instant;

/// `GET /d/ID/telephone`
pub(crate) async fn page(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Extension(session): Extension<Session>,
) -> Response {
    match laid(&bench, &id, &session).await {
        Ok(response) => response,
        Err(stop) => frame::stopped(&stop),
    }
}

async fn laid(bench: &Shared, id: &DossierId, session: &Session) -> Result<Response, Stop> {
    let view = bench.desk.view(id).await?;
    let asked = Asked::default();
    let context = context(bench, &view, Station::Opening, &asked, session).await?;
    let main = match bench.phone() {
        Some(phone) => paired(&phone, id),
        None => html! {
            section {
                h2 { "Telephone" }
                p { "No telephone can reach this server: it listens on this machine alone. Start it again with the address \
                    of this machine in your network:" }
                p { code { "underlid serve --phone 192.0.2.7:8443" } }
                p class="quiet" { "It is encrypted with a certificate of its own and takes one paired device, which may only \
                    send pictures and values and start or stop a step. The workbench itself stays on this machine; for \
                    other people's browsers accounts and a TLS proxy are needed." }
            }
        },
    };
    Ok(frame::place(&context, &Laid::of(main)))
}

fn paired(phone: &Arc<Phone>, id: &DossierId) -> Markup {
    let now = Instant::now();
    let (waiting, device) = {
        let pairing = phone.pairing();
        (pairing.waiting(id, now), pairing.current(now).cloned())
    };
    let url = phone.url();
    html! {
        section class="telephone" {
            h2 { "Telephone" }
            @if let Some(device) = device {
                @if device.dossier == *id { p { "A telephone is paired. Its pictures go to the step that runs." } }
                @else { p { "A telephone is paired for another product. A new code ends that." } }
            } @else if let Some((code, left)) = &waiting {
                div class="pairing" {
                    @if let Some(svg) = matrix(&format!("{url}#{code}")) { (PreEscaped(svg)) }
                    div {
                        p { "Open " b { (url) } " on the telephone, or point its camera at the code." }
                        p class="code" { (code) }
                        p class="quiet" { "It holds for " (left.as_secs()) " s more, and once." }
                        p { "Its browser will warn of an unknown certificate. Go on only if it begins with " b { (&phone.fingerprint[..8]) } "." }
                        details { summary { "Whole fingerprint (SHA-256)" } p class="mono" { (phone.fingerprint) } }
                    }
                }
            } @else {
                p { "One telephone can send pictures to the step that runs, start and stop steps, and send values. Nothing else." }
            }
            form method="post" action={ "/d/" (id) "/telephone" } {
                button name="do" value="code" { "New code" } " "
                button name="do" value="end" { "End" }
            }
        }
    }
}

/// `POST /d/ID/telephone`
pub(crate) async fn post(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Extension(session): Extension<Session>,
    body: axum::body::Bytes,
) -> Response {
    match act(&bench, &id, &session, &body) {
        Ok(()) => Redirect::to(&format!("/d/{id}/telephone")).into_response(),
        Err(stop) => frame::stopped(&stop),
    }
}

fn act(bench: &Bench, id: &DossierId, session: &Session, body: &[u8]) -> Result<(), Stop> {
    let phone = bench
        .phone()
        .ok_or_else(|| Stop::missing("No telephone can reach this server."))?;
    let pairs = crate::edits::pairs(body);
    let ends = pairs
        .iter()
        .any(|(key, value)| key == "do" && value == "end");
    let mut pairing = phone.pairing();
    if ends {
        pairing.end();
        return Ok(());
    }
    let made = pairing.offer(id.clone(), session.person.clone(), Instant::now());
    made.map(|_| ()).map_err(|e| Stop::internal(&e.to_string()))
}
