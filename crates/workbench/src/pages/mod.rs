//! The pages, one file a place.

pub(crate) mod bring;
pub(crate) mod claims;
pub(crate) mod cost;
pub(crate) mod fields;
pub(crate) mod history;
pub(crate) mod inside;
pub(crate) mod intake;
pub(crate) mod keys;
pub(crate) mod library;
pub(crate) mod opening;
pub(crate) mod power;
pub(crate) mod publish;
pub(crate) mod repair;
pub(crate) mod standing;
pub(crate) mod table;
pub(crate) mod telephone;

use crate::frame::{self, Laid};
use crate::guard::Session;
use crate::live::Channel;
use crate::server::{Shared, Stop};
use crate::station::Station;
use ::library::{DossierId, Revision};
use app::desk::View;
use app::plates;
use app::{Readiness, Taking};
use axum::Extension;
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use methods::{Method, Verdict};
use record::Values;
use serde::Deserialize;
use std::sync::Arc;

/// Revisions that are looked through for what would be taken back.
const LOOKED_BACK: usize = 200;

/// What a place is made from.
pub(crate) struct Context<'a> {
    pub(crate) view: &'a View,
    pub(crate) values: Values<'a>,
    pub(crate) station: Station,
    pub(crate) session: &'a Session,
    pub(crate) query: &'a Asked,
    /// The revision at which the window opened the place: what moved since is marked.
    pub(crate) since: u64,
    /// The latest revisions, newest first.
    pub(crate) history: Vec<Revision>,
    pub(crate) channel: Arc<Channel>,
    /// What must still be measured.
    pub(crate) takings: Vec<Taking>,
    /// What is missing before it is published.
    pub(crate) readiness: Readiness,
    /// Products in this library.
    pub(crate) products: usize,
}

/// What the address of a place may say.
#[derive(Debug, Default, Deserialize)]
pub(crate) struct Asked {
    pub(crate) since: Option<u64>,
    /// The photograph shown.
    pub(crate) plate: Option<String>,
    /// What is unfolded or chosen.
    pub(crate) at: Option<String>,
    /// What is asked across products: the beginning of a name, a part, a maker, a figure and a class.
    pub(crate) words: Option<String>,
    pub(crate) part: Option<String>,
    pub(crate) maker: Option<String>,
    pub(crate) figure: Option<String>,
    pub(crate) class: Option<String>,
}

impl Context<'_> {
    /// Says in a few words what is open in a place.
    pub(crate) fn open_in(&self, station: Station) -> String {
        let dossier = &self.view.dossier;
        let counted = |n: usize, words: &str| match n {
            0 => String::new(),
            n => format!("{n} {words}"),
        };
        match station {
            Station::Intake => {
                let open = self.takings.iter().filter(|t| t.is_open());
                counted(open.count(), "to take")
            }
            Station::Opening => match dossier.steps.len() {
                0 => "not begun".to_string(),
                1 => "1 step".to_string(),
                n => format!("{n} steps"),
            },
            Station::Inside => {
                let open = dossier.items.iter().filter(|item| plates::is_open(item));
                match open.count() {
                    0 => String::new(),
                    1 => "1 part open".to_string(),
                    n => format!("{n} parts open"),
                }
            }
            Station::Power => match dossier.links.len() {
                0 => String::new(),
                1 => "1 link".to_string(),
                n => format!("{n} links"),
            },
            Station::Claims => {
                let claims = self.view.findings.findings.iter();
                let claims: Vec<Verdict> = claims
                    .filter(|f| f.method() == Method::Claims)
                    .filter_map(|f| f.verdict)
                    .collect();
                let fails = claims.iter().filter(|v| **v == Verdict::Fails).count();
                match (fails, claims.len()) {
                    (_, 0) => "none yet".to_string(),
                    (0, n) => format!("{n} printed"),
                    (1, _) => "1 fails".to_string(),
                    (n, _) => format!("{n} fail"),
                }
            }
            Station::Cost => cost::open_in(&self.view.findings),
            Station::Standing => match self.products {
                1 => "1 product".to_string(),
                n => format!("{n} products"),
            },
            Station::Publish => match self.readiness.gaps.len() {
                0 => "ready".to_string(),
                n => format!("{n} to settle"),
            },
        }
    }
}

/// `GET /d/ID`
pub(crate) async fn first(Path(id): Path<DossierId>) -> Redirect {
    Redirect::to(&format!("/d/{id}/intake"))
}

/// `GET /d/ID/PLACE`
pub(crate) async fn place(
    State(bench): State<Shared>,
    Path((id, place)): Path<(String, String)>,
    Query(query): Query<Asked>,
    Extension(session): Extension<Session>,
) -> Response {
    match laid(&bench, &id, &place, &query, &session).await {
        Ok(response) => response,
        Err(stop) => frame::stopped(&stop),
    }
}

/// `GET /d/ID/publish`, whose address takes forms too.
pub(crate) async fn publish_place(
    state: State<Shared>,
    Path(id): Path<String>,
    query: Query<Asked>,
    session: Extension<Session>,
) -> Response {
    place(state, Path((id, "publish".into())), query, session).await
}

async fn laid(
    bench: &Shared,
    id: &str,
    place: &str,
    query: &Asked,
    session: &Session,
) -> Result<Response, Stop> {
    let station = Station::at(place).ok_or_else(|| Stop::missing("There is no such place."))?;
    let id: DossierId = id
        .parse()
        .map_err(|_| Stop::missing("There is no such product."))?;
    let view = bench.desk.view(&id).await?;
    let context = context(bench, &view, station, query, session).await?;
    // A page that is asked for again says since when; one that is opened says nothing.
    if query.since.is_none() {
        context.channel.goes(&session.person, station);
    }
    let laid = match station {
        Station::Intake => intake::page(&context),
        Station::Opening => opening::page(&context),
        Station::Inside => inside::page(&context),
        Station::Power => power::page(&context),
        Station::Claims => claims::page(&context),
        Station::Cost => cost::page(&context),
        Station::Standing => standing::page(bench, &context).await?,
        Station::Publish => publish::page(bench, &context).await?,
    };
    Ok(frame::place(&context, &laid).into_response())
}

/// Gathers what a place is made from.
pub(crate) async fn context<'a>(
    bench: &Shared,
    view: &'a View,
    station: Station,
    query: &'a Asked,
    session: &'a Session,
) -> Result<Context<'a>, Stop> {
    let library = bench.desk.library();
    Ok(Context {
        values: Values::of(&view.text),
        station,
        session,
        query,
        since: query.since.unwrap_or(view.revision),
        history: library.history(&view.id, None, LOOKED_BACK).await?,
        channel: bench.channel(&view.id),
        takings: app::takings(&view.dossier, &view.findings),
        readiness: app::readiness(&view.dossier, &view.findings),
        products: library.count(::library::Which::Present).await?,
        view,
    })
}

pub(crate) use crate::edits::pairs as form_pairs;

/// A place that has no page of its own yet.
fn empty(words: &str) -> Laid {
    Laid::of(maud::html! { p class="empty" { (words) } })
}
