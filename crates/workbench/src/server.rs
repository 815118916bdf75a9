//! The router and what all answers share.

use crate::guard::{Guard, guard};
use crate::jobs::Jobs;
use crate::live::Channel;
use crate::login::{self, Attempts};
use crate::phone::Phone;
use crate::{assets, edits, jobs, live, pages, steps};
use app::Problem;
use app::desk::{Desk, Edited};
use app::plates::Plates;
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use jiff::Timestamp;
use library::{DossierId, Person, Submission};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;

/// Most bytes of a request, photographs apart: the largest list of edits and room beside it.
const LARGEST: usize = 1024 * 1024;

/// What every request is answered from.
pub(crate) struct Bench {
    pub(crate) desk: Desk,
    pub(crate) plates: Plates,
    pub(crate) guard: Guard,
    pub(crate) jobs: Jobs,
    pub(crate) attempts: Attempts,
    channels: Mutex<HashMap<DossierId, Arc<Channel>>>,
    phone: OnceLock<Arc<Phone>>,
}

pub(crate) type Shared = Arc<Bench>;

impl Bench {
    pub(crate) fn new(desk: Desk, plates: Plates, guard: Guard) -> Self {
        Self {
            desk,
            plates,
            guard,
            jobs: Jobs::default(),
            attempts: Attempts::default(),
            channels: Mutex::default(),
            phone: OnceLock::new(),
        }
    }

    /// Says where a telephone is listened for; the first time counts.
    pub(crate) fn listens(&self, phone: &Arc<Phone>) {
        self.phone.get_or_init(|| Arc::clone(phone));
    }

    /// Returns the listener for telephones, where there is one.
    pub(crate) fn phone(&self) -> Option<Arc<Phone>> {
        self.phone.get().cloned()
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
    shielded(routes(), bench)
}

/// Puts what every answer needs around routes: who may ask, how much, and that a panic ends one answer alone.
fn shielded(routes: Router<Shared>, bench: Shared) -> Router {
    routes
        .fallback(|| async { Stop::missing("There is no such page.") })
        .layer(DefaultBodyLimit::max(LARGEST))
        .layer(CatchPanicLayer::custom(
            |_: Box<dyn std::any::Any + Send>| {
                Stop::internal("this request was not answered").into_response()
            },
        ))
        .layer(from_fn_with_state(Arc::clone(&bench), guard))
        .layer(CompressionLayer::new())
        .with_state(bench)
}

fn routes() -> Router<Shared> {
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
        .route(
            "/d/{id}/telephone",
            get(pages::telephone::page).post(pages::telephone::post),
        )
        .route("/d/{id}/chapters.vtt", get(steps::chapters))
        .route(
            "/d/{id}/history",
            get(pages::history::page).post(pages::history::bring),
        )
        .route("/d/{id}/publish/stop", post(jobs::stop))
        .route(
            "/d/{id}/publish",
            post(jobs::publish).get(pages::publish_place),
        )
        .route("/d/{id}/past", post(pages::standing::decide_past))
        .route("/d/{id}/leave-out", post(jobs::leave_out))
        .route("/d/{id}/report/", get(jobs::report))
        .route("/d/{id}/report/{*path}", get(jobs::beside))
        .route("/d/{id}/published/{version}/{*path}", get(jobs::download))
        .route("/d/{id}/fields", get(pages::fields::page))
        .route("/d/{id}/repair", get(pages::repair::page))
        .route(
            "/d/{id}/table",
            post(pages::table::read)
                .layer(DefaultBodyLimit::max(pages::table::LARGEST))
                .get(pages::table::page),
        )
        .route(
            "/d/{id}/bring/{sort}",
            post(pages::bring::read)
                .layer(DefaultBodyLimit::max(pages::bring::LARGEST))
                .get(pages::bring::page),
        )
        .merge(crate::plates::routes())
        .route("/d/{id}/{place}", get(pages::place))
        .route_layer(from_fn(login::writers))
        .merge(crate::ask::routes())
        .route("/login", get(login::page).post(login::log_in))
        .route("/logout", post(login::log_out))
        .route("/s/{version}/{*path}", get(assets::asset))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::guard::Secret;
    use axum::body::Body;
    use axum::http::Request;
    use tower::ServiceExt as _;

    /// A fault ends the one request that met it, is told without its words, and has the headers of any answer.
    #[tokio::test]
    async fn a_panic_ends_one_answer_only() {
        let library = library::Library::in_memory();
        let address = std::net::SocketAddr::from(([127, 0, 0, 1], 8086));
        let guard = Guard::new(Secret::of([3; 32]), address, "A.".into()).unwrap();
        let session = guard.session().unwrap();
        let plates = Plates::of(library.clone(), None);
        let desk = Desk::at(library, Vec::new());
        let bench = Arc::new(Bench::new(desk, plates, guard));
        let routes = routes().route("/panic", get(|| async { fault("secret words") }));
        let router = shielded(routes, bench);
        let asked = async |path: &str| {
            let request = Request::get(path)
                .header("host", "127.0.0.1:8086")
                .header("cookie", format!("underlid-8086={session}"))
                .body(Body::empty())
                .unwrap();
            router.clone().oneshot(request).await.unwrap()
        };
        let answer = asked("/panic").await;
        assert_eq!(answer.status(), StatusCode::INTERNAL_SERVER_ERROR);
        assert!(answer.headers().contains_key("content-security-policy"));
        let body = axum::body::to_bytes(answer.into_body(), 10_000)
            .await
            .unwrap();
        assert!(!String::from_utf8_lossy(&body).contains("secret words"));
        assert_eq!(asked("/").await.status(), StatusCode::OK);
    }

    fn fault(words: &str) -> &'static str {
        panic!("{words}")
    }
}
