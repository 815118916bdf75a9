//! Published texts taken into a library.
//!
//! In: products with their texts, decisions. Out: a product of the library for each, with the texts beside it, and
//! what was accepted as its parts. The same again changes nothing.
//! Not here: one decision (`desk`).

use super::{FOLDER, Listed, PastProduct};
use crate::desk::Desk;
use crate::keeping::open_or_make;
use crate::{Problem, served};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use library::{DossierId, Person, Which};
use serde::Serialize;
use serde_json::{Map, Value};
use std::path::PathBuf;

/// Where texts go, and who takes them in.
#[derive(Debug, Clone)]
pub struct Taking {
    /// The library.
    pub library: PathBuf,
    /// Catalogues whose makers and parts are known.
    pub catalogues: Vec<PathBuf>,
    /// Who.
    pub by: Person,
    /// When.
    pub at: Timestamp,
}

/// A product with its texts in the library.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PastTaken {
    /// Its id.
    pub id: String,
    /// Its name.
    pub product: String,
    /// Whether it is new in the library.
    pub is_new: bool,
    /// Parts that were accepted now.
    pub accepted: usize,
    /// Parts that were refused now.
    pub refused: usize,
    /// Proposals that wait for a decision.
    pub waiting: usize,
}

/// Takes texts into a library.
///
/// # Errors
/// A library that cannot be reached; a decision on a part that its text does not hold.
pub async fn take(
    taking: &Taking,
    products: &[PastProduct],
    decisions: &[Listed],
) -> Result<Vec<PastTaken>, Problem> {
    let library = open_or_make(&taking.library).await?;
    if library.holds_one() {
        let message = "a dossier in its own folder takes the texts of no other products";
        return Err(
            Problem::refused(message, "name a library; a new folder becomes one")
                .at(&taking.library),
        );
    }
    let own = served::own_parts(&taking.library, &library);
    let desk = Desk::at(library, taking.catalogues.clone()).keeping_parts_in(own);
    let there = texts_there(&desk).await?;
    let mut taken = Vec::new();
    for product in products {
        taken.push(one(&desk, taking, product, decisions, &there).await?);
    }
    desk.bring_index_forward().await?;
    desk.library().close().await;
    Ok(taken)
}

/// The dossiers by the path and the digest of the texts beside them.
async fn texts_there(desk: &Desk) -> Result<Vec<(String, String, DossierId)>, Problem> {
    let mut there = Vec::new();
    for head in desk.library().heads(Which::Present).await? {
        for file in desk.library().files(&head.id).await? {
            if file
                .path
                .strip_prefix(FOLDER)
                .is_some_and(|rest| rest.starts_with('/'))
            {
                there.push((file.path, file.sha256, head.id.clone()));
            }
        }
    }
    Ok(there)
}

async fn one(
    desk: &Desk,
    taking: &Taking,
    product: &PastProduct,
    decisions: &[Listed],
    there: &[(String, String, DossierId)],
) -> Result<PastTaken, Problem> {
    let mut files = Vec::new();
    let mut known = None;
    for text in &product.texts {
        let path = format!("{FOLDER}/{}", text.file);
        let bytes = bytes::Bytes::from(text.bytes.clone());
        let entry = desk.library().keep(&path, bytes.clone()).await?;
        let same = there
            .iter()
            .find(|(p, digest, _)| *p == path && *digest == entry.sha256);
        known = known.or_else(|| same.map(|(.., id)| id.clone()));
        files.push((path, bytes));
    }
    let is_new = known.is_none();
    let id = match known {
        Some(id) => {
            for (path, bytes) in files {
                desk.library().add_file(&id, &path, bytes).await?;
            }
            id
        }
        None => {
            desk.library()
                .create(&text_of(product, taking.at)?, files, &taking.by, taking.at)
                .await?
        }
    };
    let (mut accepted, mut refused) = (0, 0);
    for text in &product.texts {
        for listed in decisions.iter().filter(|listed| listed.file == text.file) {
            if desk
                .decide_past(&id, &text.file, &listed.decision, &taking.by, taking.at)
                .await?
                .is_some()
            {
                match listed.decision.accepted {
                    true => accepted += 1,
                    false => refused += 1,
                }
            }
        }
    }
    let seen = desk.past(&id).await?;
    let parts = seen.iter().flat_map(|text| text.parts.iter().flatten());
    Ok(PastTaken {
        id: id.as_str().to_string(),
        product: product.product.clone(),
        is_new,
        accepted,
        refused,
        waiting: parts.filter(|part| part.decided.is_none()).count(),
    })
}

fn text_of(product: &PastProduct, at: Timestamp) -> Result<String, Problem> {
    let mut facts = Map::new();
    let today = at.to_zoned_datetime(TimeZone::system()).date();
    for (key, words) in [
        ("name", product.product.as_str()),
        ("maker", "not stated"),
        ("opened", &today.to_string()),
        (
            "note",
            "Begun from texts published before: maker and day of opening are still to be filled in.",
        ),
    ] {
        facts.insert(key.to_string(), Value::from(words));
    }
    crate::new_text(&facts)
}
