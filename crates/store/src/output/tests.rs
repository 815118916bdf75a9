//! Which folders are filled, which are left alone, and that none is ever missing.

use super::*;

const REPORT: Output = Output {
    kind: "report",
    unmarked: &["a.html", "b.pdf"],
};
const PICTURES: Output = Output {
    kind: "pictures",
    unmarked: &[],
};

fn files(text: &str) -> Vec<OutputFile> {
    ["a.html", "b.pdf", "views/c.png"]
        .map(|path| OutputFile {
            path: path.to_string(),
            bytes: text.as_bytes().to_vec(),
        })
        .to_vec()
}

#[track_caller]
fn holds(folder: &Path, text: &str) {
    for file in files(text) {
        assert_eq!(fs::read(folder.join(&file.path)).unwrap(), file.bytes);
    }
    assert!(folder.join(MARKER).is_file());
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn new_empty_and_marked_folders_are_filled_whole() {
    let place = tempfile::tempdir().unwrap();
    let new = place.path().join("some/where/new");
    REPORT.write(&new, &files("1")).unwrap();
    holds(&new, "1");
    REPORT.write(&new, &files("2")).unwrap();
    holds(&new, "2");
    // A file that is not written again does not stay.
    REPORT.write(&new, &files("3")[..1]).unwrap();
    assert_eq!(names(&new), [MARKER, "a.html"]);
    let empty = place.path().join("empty");
    fs::create_dir(&empty).unwrap();
    REPORT.write(&empty, &files("1")).unwrap();
    holds(&empty, "1");
    assert_eq!(names(place.path()), [".underlid.lock", "empty", "some"]);
}

#[track_caller]
fn foreign(output: &Output, folder: &Path, expected: &str) {
    match output.write(folder, &files("new")) {
        Err(StoreError::Foreign { name, .. }) => assert_eq!(name, expected),
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_was_not_written_here_is_left_alone() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("out");
    // Originals with names that would be written.
    fs::create_dir(&folder).unwrap();
    fs::write(folder.join("a.html"), "mine").unwrap();
    foreign(&REPORT, &folder, "a.html");
    // A folder of such a name.
    fs::remove_file(folder.join("a.html")).unwrap();
    fs::create_dir(folder.join("a.html")).unwrap();
    fs::write(folder.join("a.html/work.txt"), "years").unwrap();
    foreign(&REPORT, &folder, "a.html");
    assert_eq!(
        fs::read_to_string(folder.join("a.html/work.txt")).unwrap(),
        "years"
    );
    // Something put into a marked folder, below one of its own folders too.
    let marked = place.path().join("marked");
    REPORT.write(&marked, &files("1")).unwrap();
    for path in ["notes.txt", "views/mine.png"] {
        fs::write(marked.join(path), "mine").unwrap();
        foreign(&REPORT, &marked, path);
        holds(&marked, "1");
        fs::remove_file(marked.join(path)).unwrap();
    }
    // Another kind of output.
    assert!(matches!(
        PICTURES.write(&marked, &files("2")),
        Err(StoreError::Foreign {
            kind: "pictures",
            ..
        })
    ));
    holds(&marked, "1");
}

#[test]
fn an_unmarked_folder_of_exactly_the_known_files_is_an_earlier_one() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("out");
    fs::create_dir(&folder).unwrap();
    fs::write(folder.join("a.html"), "old").unwrap();
    fs::write(folder.join("b.pdf"), "old").unwrap();
    fs::write(folder.join("c"), "mine").unwrap();
    foreign(&REPORT, &folder, "c");
    fs::remove_file(folder.join("c")).unwrap();
    assert!(PICTURES.may_fill(&folder).is_err());
    REPORT.write(&folder, &files("new")).unwrap();
    holds(&folder, "new");
}

#[test]
fn nothing_is_made_among_the_evidence_of_a_dossier() {
    let place = tempfile::tempdir().unwrap();
    let dossier = place.path().join("d");
    fs::create_dir_all(dossier.join("photos/more")).unwrap();
    fs::create_dir_all(dossier.join("report")).unwrap();
    fs::write(dossier.join("dossier.toml"), "").unwrap();
    for inner in [
        "photos",
        "photos/out",
        "photos/more/out",
        "photos/new/../out",
        "logs",
        "captions/out",
        "catalogue",
        "Photos",
        ".revisions",
        "report/../photos",
    ] {
        let into = dossier.join(inner);
        assert!(
            matches!(
                PICTURES.write(&into, &files("1")),
                Err(StoreError::Evidence { .. })
            ),
            "{inner}"
        );
    }
    assert_eq!(names(&dossier), ["dossier.toml", "photos", "report"]);
    assert_eq!(names(&dossier.join("photos")), ["more"]);
    // The same names are free where there is no dossier, and beside the evidence.
    PICTURES
        .write(&place.path().join("photos"), &files("1"))
        .unwrap();
    PICTURES
        .write(&dossier.join("pictures"), &files("1"))
        .unwrap();
}

#[cfg(unix)]
#[test]
fn links_lead_neither_into_evidence_nor_elsewhere() {
    use std::os::unix::fs::symlink;
    let place = tempfile::tempdir().unwrap();
    let dossier = place.path().join("d");
    fs::create_dir_all(dossier.join("photos")).unwrap();
    fs::write(dossier.join("dossier.toml"), "").unwrap();
    let link = place.path().join("link");
    symlink(dossier.join("photos"), &link).unwrap();
    for into in [link.clone(), link.join("out")] {
        assert!(matches!(
            PICTURES.write(&into, &files("1")),
            Err(StoreError::Evidence { .. })
        ));
    }
    let victim = place.path().join("victim");
    fs::create_dir(&victim).unwrap();
    let out = place.path().join("out");
    symlink(&victim, &out).unwrap();
    assert!(matches!(
        PICTURES.write(&out, &files("1")),
        Err(StoreError::Link { .. })
    ));
    // A link inside is nothing that was written.
    let marked = place.path().join("marked");
    PICTURES.write(&marked, &files("1")).unwrap();
    fs::remove_file(marked.join("a.html")).unwrap();
    symlink(&victim, marked.join("a.html")).unwrap();
    foreign(&PICTURES, &marked, "a.html");
    assert!(names(&victim).is_empty());
}

#[test]
fn where_nothing_can_be_exchanged_the_folder_is_replaced_all_the_same() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("out");
    let cannot = |_: &Path, _: &Path| Ok(false);
    for text in ["1", "2", "3"] {
        REPORT.write_with(&folder, &files(text), cannot).unwrap();
        holds(&folder, text);
    }
    assert_eq!(names(place.path()), [".underlid.lock", "out"]);
}

/// The state in which a run was killed after the earlier folder gave way, before its successor came.
#[test]
fn a_folder_that_gave_way_to_nothing_is_put_back_by_the_next_run() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("out");
    REPORT.write(&folder, &files("1")).unwrap();
    let waiting = place.path().join(place::earlier("out"));
    fs::rename(&folder, &waiting).unwrap();
    drop(Lock::of(place.path()).unwrap());
    holds(&folder, "1");
    // With a successor in place, the earlier one goes.
    fs::rename(&folder, &waiting).unwrap();
    fs::create_dir(&folder).unwrap();
    drop(Lock::of(place.path()).unwrap());
    assert!(!waiting.exists());
}

#[test]
fn something_put_in_at_the_last_moment_is_not_removed() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("out");
    REPORT.write(&folder, &files("1")).unwrap();
    let first = std::cell::Cell::new(true);
    let late = |a: &Path, b: &Path| {
        if first.replace(false) {
            fs::write(folder.join("notes.txt"), "mine").unwrap();
        }
        exchange(a, b)
    };
    let told = REPORT.write_with(&folder, &files("2"), late);
    assert!(matches!(told, Err(StoreError::Foreign { .. })), "{told:?}");
    let unable = |_: &Path, _: &Path| {
        fs::write(folder.join("notes.txt"), "mine").unwrap();
        Ok(false)
    };
    fs::remove_file(folder.join("notes.txt")).unwrap();
    let told = REPORT.write_with(&folder, &files("2"), unable);
    assert!(matches!(told, Err(StoreError::Foreign { .. })), "{told:?}");
    holds(&folder, "1");
    assert_eq!(
        fs::read_to_string(folder.join("notes.txt")).unwrap(),
        "mine"
    );
}

#[test]
fn paths_that_lead_out_of_the_folder_are_refused() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("out");
    for path in ["../out.txt", "/tmp/out.txt", "a/../../out.txt"] {
        let files = [OutputFile {
            path: path.to_string(),
            bytes: Vec::new(),
        }];
        assert!(REPORT.write(&folder, &files).is_err(), "{path}");
    }
    assert!(!folder.exists());
    for nameless in [".", "..", "/"] {
        assert!(matches!(
            REPORT.write(Path::new(nameless), &files("1")),
            Err(StoreError::Nameless { .. })
        ));
    }
}
