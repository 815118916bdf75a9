//! Photographs sent by a page: each looked at for itself.
//!
//! In: a form with files. Out: of each file the edits that record it, that it is there already, or why it is not
//! taken. The page sends the edits with its others, so that they are taken back like any.

use crate::server::{Shared, Stop};
use app::plates::Arrived;
use axum::Json;
use axum::extract::multipart::MultipartError;
use axum::extract::{Multipart, Path, State};
use library::DossierId;
use serde_json::{Value, json};

/// Most files of one request.
const MOST_FILES: usize = 100;

/// `POST /d/ID/photographs`
pub(super) async fn photographs(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    mut form: Multipart,
) -> Result<Json<Value>, Stop> {
    let mut told = Vec::new();
    while let Some(field) = form.next_field().await.map_err(broken)? {
        let Some(name) = field.file_name().map(String::from) else {
            continue;
        };
        if told.len() == MOST_FILES {
            let remedy = format!("send at most {MOST_FILES}");
            return Err(Stop::unfit("These are too many files at once", remedy));
        }
        let bytes = field.bytes().await.map_err(broken)?;
        let view = bench.desk.view(&id).await?;
        let name_told = record::visible(&name);
        told.push(match bench.plates.bring(&view, &name, bytes).await {
            Ok(Arrived::New {
                photo,
                sha256,
                edits,
            }) => json!({
                "name": name_told, "state": "new", "photo": photo, "sha256": sha256, "edits": edits
            }),
            Ok(Arrived::Here { photo, sha256 }) => json!({
                "name": name_told, "state": "here", "photo": photo, "sha256": sha256
            }),
            Err(problem) => {
                let stop = Stop::from(problem);
                json!({
                    "name": name_told, "state": "refused", "message": stop.message, "remedy": stop.remedy
                })
            }
        });
    }
    Ok(Json(json!({ "files": told })))
}

fn broken(error: MultipartError) -> Stop {
    let mut stop = Stop::unfit(
        format!("The files did not arrive whole: {}", error.body_text()),
        "send them again, a photograph with at most 256 MB",
    );
    stop.status = error.status();
    stop
}
