//! Questions that write nothing. Each answer repeats the number of its question, so that a page drops late ones.

mod step;
mod would;

use crate::server::Shared;
use axum::Router;
use axum::routing::post;

pub(crate) fn routes() -> Router<Shared> {
    Router::new()
        .route("/d/{id}/would", post(would::would))
        .route("/d/{id}/step-reads", post(step::step))
}
