//! `underlid new`: a commented starting dossier.

use crate::failure::Failure;
use crate::screen::{self, shown};
use std::path::Path;

pub(crate) fn run(folder: &Path) -> Result<(), Failure> {
    app::new(folder)?;
    let at = shown(folder);
    screen::print(&format!(
        "Wrote {at}/dossier.toml with room for photos/, logs/ and captions/.\n\
         Weigh and photograph the product before you open it; then edit the text and run\n  \
         underlid check {at}"
    ))
}
