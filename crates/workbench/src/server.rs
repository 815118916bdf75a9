//! The router and what all answers share.

use crate::guard::{Guard, guard};
use crate::live::Channel;
use crate::{assets, edits, live, pages, steps};
use app::Problem;
use app::desk::{Desk, Edited};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use jiff::Timestamp;
use library::{DossierId, Person, Submission};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;

/// Most bytes of a request, photographs apart: the largest list of edits and room beside it.
const LARGEST: usize = 1024 * 1024;

/// What every request is answered from.
pub(crate) struct Bench {
    pub(crate) desk: Desk,
    pub(crate) guard: Guard,
    channels: Mutex<HashMap<DossierId, Arc<Channel>>>,
}

pub(crate) type Shared = Arc<Bench>;

impl Bench {
    pub(crate) fn new(desk: Desk, guard: Guard) -> Self {
        Self {
            desk,
            guard,
            channels: Mutex::default(),
        }
    }

    /// Returns the channel on which a dossier's windows are told what happens.
    pub(crate) fn channel(&self, id: &DossierId) -> Arc<Channel> {
        let mut channels = self.channels.lock().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(channels.entry(id.clone()).or_default())
    }

    /// Takes lists of edits and tells every window what became of them.
    pub(crate) async fn take(
        &self,
        id: &DossierId,
        submission: &Submission,
        by: &Person,
    ) -> Result<Edited, Problem> {
        let before = self.desk.view(id).await?.revision;
        let now = Timestamp::now();
        let edited = self.desk.take(id, submission, by, now).await?;
        if edited.view.revision > before {
            self.channel(id).saved(submission, &edited, by, now);
        }
        Ok(edited)
    }
}

/// Makes the router.
pub(crate) fn router(bench: Shared) -> Router {
    Router::new()
        .route("/", get(pages::library::page))
        .route("/products", post(pages::library::make))
        .route("/d/{id}/withdraw", post(pages::library::withdraw))
        .route("/keys", get(pages::keys::page))
        .route("/name", post(pages::keys::name))
        .route("/d/{id}", get(pages::first))
        .route("/d/{id}/edits", post(edits::post))
        .route("/d/{id}/live", get(live::stream))
        .route("/d/{id}/step", post(steps::post))
        .route("/d/{id}/chapters.vtt", get(steps::chapters))
        .route("/d/{id}/history", get(pages::history::page))
        .merge(crate::ask::routes())
        .route("/d/{id}/{place}", get(pages::place))
        .route("/s/{version}/{*path}", get(assets::asset))
        .fallback(|| async { Stop::missing("There is no such page.") })
        .layer(DefaultBodyLimit::max(LARGEST))
        .layer(from_fn_with_state(Arc::clone(&bench), guard))
        .layer(CompressionLayer::new())
        .layer(CatchPanicLayer::custom(
            |_: Box<dyn std::any::Any + Send>| {
                Stop::internal("this request was not answered").into_response()
            },
        ))
        .with_state(bench)
}

/// A request that is not answered as asked.
#[derive(Debug)]
pub(crate) struct Stop {
    pub(crate) status: StatusCode,
    pub(crate) message: String,
    pub(crate) remedy: String,
}

impl Stop {
    pub(crate) fn missing(message: &str) -> Self {
        Self {
            status: StatusCode::NOT_FOUND,
            message: message.to_string(),
            remedy: "go to the library and take one of its products".to_string(),
        }
    }

    pub(crate) fn unfit(message: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            status: StatusCode::UNPROCESSABLE_ENTITY,
            message: message.into(),
            remedy: remedy.into(),
        }
    }

    pub(crate) fn internal(what: &str) -> Self {
        Self {
            status: StatusCode::INTERNAL_SERVER_ERROR,
            message: format!("A fault of the program: {what}"),
            remedy: "do it again; nothing was written".to_string(),
        }
    }
}

impl From<Problem> for Stop {
    fn from(problem: Problem) -> Self {
        use app::Kind;
        let status = match problem.kind {
            Kind::Missing => StatusCode::NOT_FOUND,
            Kind::Mistakes(_) | Kind::Unfit(_) | Kind::NoAnswer => StatusCode::UNPROCESSABLE_ENTITY,
            Kind::Refused | Kind::Conflict => StatusCode::CONFLICT,
            Kind::Stopped => StatusCode::SERVICE_UNAVAILABLE,
            Kind::Outside => StatusCode::INSUFFICIENT_STORAGE,
            Kind::Internal => StatusCode::INTERNAL_SERVER_ERROR,
        };
        let remedy = problem.remedy.to_string();
        Self {
            status,
            message: problem.message,
            remedy,
        }
    }
}

impl From<library::LibraryError> for Stop {
    fn from(error: library::LibraryError) -> Self {
        Problem::from(error).into()
    }
}

impl IntoResponse for Stop {
    fn into_response(self) -> Response {
        let body = serde_json::json!({ "message": self.message, "remedy": self.remedy });
        (self.status, axum::Json(body)).into_response()
    }
}
