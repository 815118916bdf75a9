//! Many writers at once: whatever one of them was told is saved is current or in the history.

#![allow(
    clippy::unwrap_used,
    reason = "a test may stop where its ground is missing"
)]

use catalogue::Catalogue;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::sync::Mutex;
use std::thread;
use store::{Saved, StoreError, create, edit, open_draft, revise, save};

const WRITERS: usize = 8;
const SAVES: usize = 200;

/// Lets the writers save, each time with a name of its own, and collects the contents they were told are saved.
fn acknowledged(one: impl Fn(usize, &str) -> String + Sync) -> BTreeSet<String> {
    let all = Mutex::new(BTreeSet::new());
    thread::scope(|s| {
        for writer in 0..WRITERS {
            let (all, one) = (&all, &one);
            s.spawn(move || {
                for n in 0..SAVES {
                    let content = one(writer, &format!("W{writer}-{n}"));
                    all.lock().unwrap().insert(content);
                }
            });
        }
    });
    all.into_inner().unwrap()
}

/// Returns the contents that are there: the current one and the history.
fn there(file: &Path) -> BTreeSet<String> {
    let history = fs::read_dir(file.parent().unwrap().join(".revisions")).unwrap();
    history
        .map(|e| e.unwrap().path())
        .chain([file.to_path_buf()])
        .map(|path| fs::read_to_string(path).unwrap())
        .collect()
}

fn no_leftovers(folder: &Path) {
    let left: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".part"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

/// Half of them edit the text as it is, half save a draft of what they read and begin again where it changed.
#[test]
fn nothing_that_was_saved_in_a_dossier_is_lost() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("d");
    create(&folder).unwrap();
    let told = acknowledged(|writer, name| {
        let at = "product.name".parse().unwrap();
        loop {
            if writer % 2 == 0 {
                return edit(&folder, |draft, _| {
                    draft.set(&at, name).unwrap();
                    Ok::<_, StoreError>(draft.text())
                })
                .unwrap();
            }
            let mut draft = open_draft(&folder).unwrap();
            draft.set(&at, name).unwrap();
            match save(&folder, &draft) {
                Ok(Saved::Replaced(Some(_))) => return draft.text(),
                Err(StoreError::Changed { .. }) => {}
                other => panic!("{other:?}"),
            }
        }
    });
    assert_eq!(told.len(), WRITERS * SAVES);
    let there = there(&folder.join("dossier.toml"));
    let lost = told.difference(&there).count();
    assert_eq!(lost, 0, "of {} texts", told.len());
    // The text at the start is the only other one.
    assert_eq!(there.len(), told.len() + 1);
    no_leftovers(&folder);
}

#[test]
fn nothing_that_was_added_to_a_catalogue_is_lost() {
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join("known.csv");
    let told = acknowledged(|_, name| {
        let mut content = String::new();
        revise::<StoreError>(&file, u64::MAX, |now| {
            let mut known = Catalogue::default();
            known.merge(catalogue::read(now.unwrap_or_default(), "known.csv").rows);
            let row = format!("name\n{name}\n");
            known.merge(catalogue::read(row.as_bytes(), "new.csv").rows);
            content = catalogue::write(&known);
            Ok(Some(content.clone().into_bytes()))
        })
        .unwrap();
        content
    });
    assert_eq!(told.len(), WRITERS * SAVES);
    let lost = told.difference(&there(&file)).count();
    assert_eq!(lost, 0, "of {} catalogues", told.len());
    let last = catalogue::read(&fs::read(&file).unwrap(), "known.csv");
    assert_eq!(last.rows.len(), WRITERS * SAVES, "every part is there");
    no_leftovers(place.path());
}
