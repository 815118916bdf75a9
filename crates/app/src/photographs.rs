//! Photographs of a dossier: read, decoded, and made fit to publish.
//!
//! In: a folder and its dossier. Out: pixels; or each photograph as it is published. The files in the dossier stay as
//! they came.

mod kept;
pub(crate) mod published;

pub(crate) use kept::Kept;
pub use kept::PicturesKept;

use crate::imaging_problem::Work;
use crate::{At, Problem, Watch};
use imaging::pixels::{self, Limits};
use kept::MadeOf;
use published::Published;
use record::{Dossier, Photo};
use report::Photographs;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use store::{limits, opener};

/// Reads and decodes the picture at a path that the user named, upright.
///
/// # Errors
/// A file that cannot be read or is no sound picture.
pub(crate) fn decoded(path: &Path) -> Result<pixels::Photo, Problem> {
    let bytes = opener::read(path, limits::PHOTOGRAPH)?;
    decode(&bytes, path)
}

/// Reads and decodes a photograph of the dossier in `folder`, upright: places in the record count in the picture
/// as it is seen, however its file stores it.
///
/// # Errors
/// As [`decoded`]; a link that leads out of the folder.
pub(crate) fn upright(folder: &Path, file: &str) -> Result<pixels::Photo, Problem> {
    let inside = inside(file);
    let bytes = opener::read_inside(folder, &inside, limits::PHOTOGRAPH)?;
    decode(&bytes, &folder.join(&inside))
}

/// Returns why the picture at `path` inside `folder` cannot be shown, and what to do about it; `None` where
/// it can.
pub(crate) fn fault(folder: &Path, path: &str) -> Option<(String, String)> {
    let bytes = match opener::read_inside(folder, path, limits::PHOTOGRAPH) {
        Ok(bytes) => bytes,
        Err(e) => return Some((e.reason(), e.remedy().to_string())),
    };
    let e = pixels::decode(&bytes, &Limits::default()).err()?;
    Some((e.to_string(), e.remedy().to_string()))
}

/// Returns the path of a photograph inside its dossier's folder.
pub(crate) fn inside(file: &str) -> PathBuf {
    Path::new("photos").join(file)
}

/// Decodes the bytes of the picture at `path`, upright.
///
/// # Errors
/// Bytes that are no sound picture.
pub(crate) fn decode(bytes: &[u8], path: &Path) -> Result<pixels::Photo, Problem> {
    pixels::decode(bytes, &Limits::default()).map_err(|e| {
        Problem::of_imaging(
            Work::Decode(path, e.remedy()),
            &e,
            At::Path(path.to_path_buf()),
        )
    })
}

/// Photographs that are read and decoded at once.
const AT_ONCE: usize = 2;

/// Reads the photographs, those apart whose ids are to be left out. One that cannot be read, is damaged, too large or
/// of a format that is not read is left out, and named with the reason: what it holds beside its pixels cannot be
/// known, and nobody could see it. Pictures that are kept are not made again.
pub(crate) fn for_publication(
    folder: &Path,
    dossier: &Dossier,
    leaving_out: &BTreeSet<String>,
    kept: &PicturesKept,
    watch: &dyn Watch,
) -> Photographs {
    let mut photographs = Photographs::default();
    let mut cleaned = 0_usize;
    let mut shown = dossier.clone();
    shown
        .photos
        .retain(|photo| !leaving_out.contains(&photo.id));
    let hero = report::hero_photo(&shown);
    let mut wanted: Vec<(usize, &Photo)> = Vec::new();
    for (number, photo) in (1..).zip(&dossier.photos) {
        if leaving_out.contains(&photo.id) {
            let why = "left out by the publisher".to_string();
            photographs.left_out.insert(photo.file.clone(), why);
        } else {
            wanted.push((number, photo));
        }
    }
    let made = |(number, photo): (usize, &Photo)| made(folder, dossier, photo, number, hero, kept);
    for some in wanted.chunks(AT_ONCE) {
        if !watch.goes_on() {
            break;
        }
        let all: Vec<_> = std::thread::scope(|scope| {
            let begun: Vec<_> = some.iter().map(|one| scope.spawn(|| made(*one))).collect();
            begun
                .into_iter()
                .map(std::thread::ScopedJoinHandle::join)
                .collect()
        });
        for ((_, photo), published) in some.iter().zip(all) {
            match published.unwrap_or_else(|_| Err("it could not be made smaller".to_string())) {
                Ok(published) => {
                    cleaned += usize::from(published.had_notes);
                    photographs.crops.extend(published.crops.iter().cloned());
                    photographs.hero = photographs.hero.or_else(|| published.hero.clone());
                    let shown = photographs.files.entry(photo.file.clone());
                    shown.or_insert_with(|| published.shown.clone());
                }
                Err(why) => {
                    watch.note(&format!("left out {}: {why}", photo.file));
                    photographs.left_out.insert(photo.file.clone(), why);
                }
            }
        }
    }
    watch.stage(&format!("read {} photographs", photographs.files.len()));
    if cleaned > 0 {
        watch.stage(&format!(
            "removed place, time and camera notes from {cleaned} of them"
        ));
    }
    photographs
}

/// Makes the pictures of one photograph, or takes those that are kept; else says why there are none.
fn made(
    folder: &Path,
    dossier: &Dossier,
    photo: &Photo,
    number: usize,
    hero: Option<(&Photo, Option<[u32; 4]>)>,
    kept: &PicturesKept,
) -> Result<Arc<Published>, String> {
    let path = inside(&photo.file);
    let steps = published::steps(dossier, photo).into_iter();
    let digest = kept.digests.get(path.to_string_lossy().as_ref());
    let of = digest.map(|digest| MadeOf {
        digest: digest.clone(),
        photo: photo.clone(),
        number,
        masks: published::private(dossier, &photo.file),
        steps: steps
            .map(|(step, region)| (step.id.clone(), region.cloned()))
            .collect(),
        hero: hero
            .filter(|(of, _)| of.id == photo.id)
            .map(|(_, rect)| rect),
    });
    if let Some(pictures) = of.as_ref().and_then(|of| kept.pictures.get(of)) {
        return Ok(pictures);
    }
    let bytes = opener::read_inside(folder, path, limits::PHOTOGRAPH)
        .map_err(|e| format!("{}; {}", e.reason(), e.remedy()))?;
    let pictures = published::publish(dossier, photo, number, hero, &bytes)
        .map_err(|e| format!("{e}; {}", e.remedy()))?;
    let pictures = Arc::new(pictures);
    if let Some(of) = of {
        kept.pictures.put(of, Arc::clone(&pictures));
    }
    Ok(pictures)
}
