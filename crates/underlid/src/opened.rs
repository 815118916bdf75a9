//! Opening a report by the system's own way.

use crate::screen::{self, shown};
use std::path::Path;

/// Opens the report in `folder`; says so where nothing is there to open it with.
pub(crate) fn report(folder: &Path) {
    page(&folder.join("report.html"));
}

/// Opens a page; says so where nothing is there to open it with.
pub(crate) fn page(page: &Path) {
    if let Err(error) = open::that_detached(page) {
        screen::tell(&format!(
            "{} was not opened: {error}\n  try: open it in a web browser yourself",
            shown(page)
        ));
    }
}
