//! Photographs: tiles, previews and crops out, files in.
//!
//! In: requests. Out: JPEG files under addresses that follow from their content, so that a browser keeps them; what
//! became of each file sent. Not here: how any of it is made (`app::plates`).

mod arrive;

use crate::server::{Shared, Stop};
use app::plates::Picture;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Path, State};
use axum::http::HeaderValue;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};

/// Most bytes of one request with photographs: the largest photograph, and room for what is sent around it.
const LARGEST: usize = 260 << 20;

pub(crate) fn routes() -> Router<Shared> {
    let photographs = post(arrive::photographs).layer(DefaultBodyLimit::max(LARGEST));
    Router::new()
        .route("/t/{sha256}/preview.jpg", get(preview))
        .route("/t/{sha256}/{level}/{tile}", get(tile))
        .route("/d/{id}/photographs", photographs)
}

/// `GET /t/SHA256/preview.jpg`
async fn preview(
    State(bench): State<Shared>,
    Path(sha256): Path<String>,
) -> Result<Response, Stop> {
    jpeg(&bench, &sha256, Some(Picture::Preview)).await
}

/// `GET /t/SHA256/LEVEL/X-Y.jpg`, `GET /t/SHA256/crop/X-Y-W-H.jpg`
async fn tile(
    State(bench): State<Shared>,
    Path((sha256, level, tile)): Path<(String, String, String)>,
) -> Result<Response, Stop> {
    jpeg(&bench, &sha256, asked(&level, &tile)).await
}

fn asked(level: &str, tile: &str) -> Option<Picture> {
    let numbers = tile.strip_suffix(".jpg")?.split('-').map(str::parse);
    let numbers: Vec<u32> = numbers.collect::<Result<_, _>>().ok()?;
    match (level, numbers.as_slice()) {
        ("crop", &[x, y, w, h]) => Some(Picture::Crop { rect: [x, y, w, h] }),
        (level, &[column, row]) => {
            let level = level.parse().ok()?;
            Some(Picture::Tile { level, column, row })
        }
        _ => None,
    }
}

async fn jpeg(bench: &Shared, sha256: &str, what: Option<Picture>) -> Result<Response, Stop> {
    let none = || Stop::missing("There is no such picture.");
    let made = bench.plates.jpeg(sha256, what.ok_or_else(none)?).await?;
    let mut response = made.ok_or_else(none)?.into_response();
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static("image/jpeg"));
    let for_ever = HeaderValue::from_static("private, max-age=31536000, immutable");
    headers.insert(CACHE_CONTROL, for_ever);
    Ok(response)
}
