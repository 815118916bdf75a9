//! A library made ready to be served.
//!
//! In: its folder. Out: the library, with the demonstration dossier in a new one, and what sessions are made with.
//! Not here: pages.

use crate::keeping::{is_team, open_or_make};
use crate::{Problem, keep_demo};
use jiff::Timestamp;
use library::{Library, Person, Which};
use std::path::{Path, PathBuf};

/// Name of the file that holds what sessions are made with.
const SECRET: &str = "sessions.secret";

/// A library that can be served.
pub struct Served {
    /// The library.
    pub library: Library,
    /// Where parts lie that were taken from published texts, for all products; a library of a team has no such place.
    pub own_parts: Option<PathBuf>,
    /// What sessions are made with; in a folder it stays, so that browsers stay let in.
    pub secret: [u8; 32],
}

/// Opens the library in a folder, or makes one that holds the demonstration dossier.
///
/// # Errors
/// A folder that holds something else, is damaged or cannot be written.
pub async fn served(folder: &Path, by: &Person) -> Result<Served, Problem> {
    let library = open_or_make(folder).await?;
    let is_new =
        library.count(Which::Present).await? == 0 && library.count(Which::Withdrawn).await? == 0;
    if is_new {
        keep_demo(&library, by, Timestamp::now()).await?;
    }
    let mut fresh = [0; 32];
    getrandom::fill(&mut fresh).map_err(|e| Problem::outside(e.to_string(), "start it again"))?;
    let secret = match is_team(folder) {
        // There is no folder to keep it in: browsers without an account are let in anew at each start.
        true => fresh,
        false => store::secret(&folder.join(SECRET), fresh)?,
    };
    Ok(Served {
        own_parts: own_parts(folder, &library),
        library,
        secret,
    })
}

/// Name of the catalogue of a library.
const OWN_PARTS: &str = "known-parts.csv";

/// Where the catalogue of a library lies; none where there is no folder, or that of one dossier.
pub(crate) fn own_parts(folder: &Path, library: &Library) -> Option<PathBuf> {
    (!is_team(folder) && !library.holds_one()).then(|| folder.join(OWN_PARTS))
}
