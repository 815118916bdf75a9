//! What is left to do for the author: parts to identify, things to measure, each until when.
//!
//! In: a dossier and its findings. Out: [`Task`]s, those with a deadline first.
//! For the parts to identify, crops of the photographs, larger than a report has them and with nothing drawn on them.
//! Not here: what is missing and until when it can be had (`takings`).

use crate::{Problem, Watch, photographs, takings};
use imaging::pixels::{self, Encoding, PictureError};
use methods::Findings;
use record::{Certainty, Dossier, Item, ItemKind, Place, Step};
use std::path::Path;
use store::{Output, OutputFile};

/// One thing to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Task {
    /// What to do, in the imperative.
    pub what: String,
    /// How finely, where that matters.
    pub how: Option<String>,
    /// The step before which it has to be done, or had to be.
    pub before: Option<Place>,
    /// What it is about.
    pub about: Option<Place>,
    /// Where to look: regions of photographs.
    pub look_at: Vec<Place>,
    /// The marking as seen, of a part that is to be identified.
    pub marking: Vec<String>,
    /// Its package.
    pub package: Option<String>,
}

/// What is left to do, and how much can no longer be done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tasks {
    /// In the order to do it.
    pub tasks: Vec<Task>,
    /// What an act of opening has ended.
    pub too_late: Vec<Task>,
}

/// Lists what is left to do.
pub fn tasks(dossier: &Dossier, findings: &Findings) -> Tasks {
    let mut tasks: Vec<Task> = dossier
        .items
        .iter()
        .filter(|item| is_unidentified(item))
        .map(|item| identify(dossier, item))
        .collect();
    let mut too_late: Vec<Task> = Vec::new();
    for taking in takings(dossier, findings) {
        let list = match taking.is_open() {
            true => &mut tasks,
            false => &mut too_late,
        };
        if list.iter().any(|task| task.what == taking.what) {
            continue;
        }
        list.push(Task {
            what: taking.what,
            how: taking.how,
            before: taking.before,
            about: taking.about,
            look_at: Vec::new(),
            marking: Vec::new(),
            package: None,
        });
    }
    // The order of the steps; what can wait comes last.
    let place = |step: &Step| Place::step(&step.id);
    let rank = |task: &Task| {
        task.before
            .as_ref()
            .and_then(|before| dossier.steps.iter().position(|s| place(s) == *before))
            .unwrap_or(usize::MAX)
    };
    tasks.sort_by_key(rank);
    Tasks { tasks, too_late }
}

const CROPS: Output = Output {
    kind: "crops",
    unmarked: &[],
};
/// Most pixels on a side of a crop.
const CROP: u32 = 1200;
/// JPEG quality of crops: fine print stays.
const QUALITY: u8 = 92;

/// Writes a crop of each region that a task says to look at; returns the regions with their files.
///
/// # Errors
/// A photograph that cannot be read; a folder that may not be filled.
pub fn task_pictures(
    folder: &Path,
    dossier: &Dossier,
    tasks: &[Task],
    into: &Path,
    watch: &dyn Watch,
) -> Result<Vec<(Place, String)>, Problem> {
    CROPS.may_fill(into)?;
    let wanted: Vec<&Place> = tasks.iter().flat_map(|task| &task.look_at).collect();
    let mut named = Vec::new();
    let mut files = Vec::new();
    for photo in &dossier.photos {
        let place = |id: &str| Place::region(&photo.id, id);
        let mut regions = photo
            .regions
            .iter()
            .filter(|r| wanted.contains(&&place(&r.id)));
        let Some(first) = regions.next() else {
            continue;
        };
        watch.stage(&format!("looking at {}", photo.id));
        let decoded = photographs::upright(folder, &photo.file)?;
        let size = [decoded.picture.width, decoded.picture.height];
        for region in std::iter::once(first).chain(regions) {
            let [left, top, side] = report::crop_square(photo, region, size);
            let part = pixels::crop(&decoded.picture, [left, top, side, side], CROP);
            let bytes = pixels::encode(&part, Encoding::Jpeg(QUALITY), None, None);
            let path = format!("{}-{}.jpg", photo.id, region.id);
            let bytes = bytes.map_err(|e: PictureError| {
                Problem::refused(format!("cannot draw {path}: {e}"), e.remedy())
            })?;
            named.push((place(&region.id), path.clone()));
            files.push(OutputFile { path, bytes });
        }
    }
    CROPS.write(into, &files)?;
    Ok(named)
}

fn is_unidentified(item: &Item) -> bool {
    let Some(part) = item.part.as_ref() else {
        return item.kind == ItemKind::Part;
    };
    part.identity
        .as_ref()
        .is_none_or(|identity| identity.certainty == Certainty::Unknown)
}

fn identify(dossier: &Dossier, item: &Item) -> Task {
    let mut look_at: Vec<Place> = Vec::new();
    for photo in &dossier.photos {
        let regions = photo.regions.iter();
        let seen = regions.filter(|r| r.item.as_deref() == Some(item.id.as_str()));
        look_at.extend(seen.map(|region| Place::region(&photo.id, &region.id)));
    }
    let named = item.evidence.iter().filter_map(|e| e.place().ok());
    for place in named.filter(|place| place.photo_id().is_some()) {
        if !look_at.contains(&place) {
            look_at.push(place);
        }
    }
    let name = match &item.designator {
        Some(designator) => format!("{designator} ({})", item.name),
        None => item.name.clone(),
    };
    let part = item.part.as_ref();
    let marking = part.map_or(Vec::new(), |p| p.marking.clone());
    let what = match (marking.is_empty(), look_at.is_empty()) {
        (false, _) => format!("identify {name}"),
        (true, false) => format!("read the marking of {name}"),
        (true, true) => format!("photograph the marking of {name}"),
    };
    Task {
        what,
        how: None,
        before: None,
        about: Some(Place::item(&item.id)),
        look_at,
        marking,
        package: part.and_then(|p| p.package.clone()),
    }
}
