//! Questions that write nothing, but for what is to be known from here on (`learn`). Each answer repeats the number of its question, so that a page drops late ones.

mod arrives;
mod balance;
mod claim;
pub(crate) mod find;
mod label;
mod narrows;
mod plate;
mod step;
mod would;

use crate::server::Shared;
use axum::Router;
use axum::routing::{get, post};

pub(crate) fn routes() -> Router<Shared> {
    Router::new()
        .route("/d/{id}/would", post(would::would))
        .route("/d/{id}/claim-reads", post(claim::claim))
        .route("/d/{id}/arrives", post(arrives::arrives))
        .route("/d/{id}/label-reads", post(label::label))
        .route("/d/{id}/identifier-reads", post(label::identifier))
        .route("/d/{id}/balance", post(balance::balance))
        .route("/d/{id}/find", get(find::page).post(find::find))
        .route("/d/{id}/bodies", post(plate::bodies))
        .route("/d/{id}/grow", post(plate::grow))
        .route("/d/{id}/snap", post(plate::snap))
        .route("/d/{id}/marking", post(plate::marking))
        .route("/d/{id}/part", post(plate::part))
        .route("/d/{id}/role", post(plate::role))
        .route("/d/{id}/measure", post(plate::measure))
        .route("/d/{id}/alike", post(plate::alike))
        .route("/d/{id}/count-in", post(plate::count_in))
        .route("/d/{id}/join", post(plate::join))
        .route("/d/{id}/learn", post(plate::learn))
        .route("/d/{id}/step-reads", post(step::step))
        .route("/d/{id}/narrows", post(narrows::narrows))
}
