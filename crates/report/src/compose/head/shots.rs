//! Photographs for those who only look: boards, and the opening in a few pictures.
//!
//! In: photographs as they are published. Out: [`Shot`]s. Not here: numbers around a picture.

use super::super::Page;
use crate::{Shot, photo_anchor};
use record::{ItemKind, Photo};

/// Pictures of the opening.
const OPENING: usize = 5;

/// Returns the photographs that show parts on a board, each board once, that with most named parts first.
pub(super) fn boards(page: &Page<'_>) -> Vec<Shot> {
    let mut boards: Vec<(&str, usize, &Photo)> = Vec::new();
    for photo in &page.dossier.photos {
        let items = || {
            photo
                .regions
                .iter()
                .filter_map(|r| page.dossier.item(r.item.as_deref()?))
        };
        let Some(board) = items().find(|item| item.kind == ItemKind::Board) else {
            continue;
        };
        let parts = items().filter(|item| item.kind == ItemKind::Part).count();
        match boards.iter_mut().find(|(id, ..)| *id == board.id) {
            Some(known) if known.1 < parts => *known = (&board.id, parts, photo),
            Some(_) => {}
            None if parts > 1 => boards.push((&board.id, parts, photo)),
            None => {}
        }
    }
    boards.sort_by_key(|(_, parts, _)| std::cmp::Reverse(*parts));
    boards
        .iter()
        .filter_map(|(_, _, photo)| shot(page, photo))
        .collect()
}

/// Returns photographs that were taken after steps, spread evenly over the opening.
pub(super) fn opening(page: &Page<'_>) -> Vec<Shot> {
    let taken = page.dossier.photos.iter().filter_map(|photo| {
        let step = page
            .dossier
            .steps
            .iter()
            .position(|s| Some(&s.id) == photo.after.as_ref())?;
        Some((step, shot(page, photo)?))
    });
    let mut taken: Vec<(usize, Shot)> = taken.collect();
    taken.sort_by_key(|(step, _)| *step);
    let all = taken.len();
    let wanted = all.min(OPENING);
    let chosen: Vec<usize> = (0..wanted).map(|n| n * all / wanted.max(1)).collect();
    let shots = taken
        .into_iter()
        .enumerate()
        .filter(|(at, _)| chosen.contains(at));
    shots.map(|(_, (_, shot))| shot).collect()
}

fn shot(page: &Page<'_>, photo: &Photo) -> Option<Shot> {
    let shown = page.photographs.shown(&photo.file)?;
    let step = photo.after.as_deref().and_then(|id| page.dossier.step(id));
    Some(Shot {
        words: photo.caption.clone(),
        step: step.map(|step| step.text.clone()).unwrap_or_default(),
        picture: shown.preview.clone(),
        anchor: photo_anchor(&photo.id),
    })
}
