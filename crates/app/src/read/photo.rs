//! Bar codes and matrix codes in a photograph, and what their texts may say.

use crate::imaging_problem::Work;
use crate::photographs;
use crate::shown;
use crate::{At, Problem, Watch};
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
    .map_err(|e| Problem::of_imaging(Work::FindCodes(path), e, At::Path(path.to_path_buf())))
}
