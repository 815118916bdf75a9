//! Bar codes and matrix codes in a photograph, and what their texts may say.

use crate::photographs;
use crate::shown;
use crate::{Kind, Problem, Watch};
use codes::barcode::{Barcode, find};
use codes::{Context, MarkedObject};
use imaging::Grey;
use std::path::Path;

pub(super) fn run(
    path: &Path,
    context: &Context<'_>,
    watch: &dyn Watch,
) -> Result<Vec<Barcode>, Problem> {
    watch.stage(&format!("looking for codes in {}", shown(path)));
    let photo = photographs::decoded(path)?;
    let context = Context {
        on: Some(MarkedObject::Label),
        ..*context
    };
    let picture = &photo.picture;
    find(
        &Grey::of(picture).data,
        picture.width,
        picture.height,
        &context,
    )
    .map_err(|e| Problem {
        kind: Kind::Refused,
        place: None,
        message: format!("cannot search {}: {e}", shown(path)),
        remedy: "cut the picture down to the label".to_string(),
    })
}
