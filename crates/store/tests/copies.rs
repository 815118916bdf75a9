//! Folders that are laid out for a while: what is in them, what stays, what gives way.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fs;
use std::path::Path;
use store::Copies;

// Digests by coreutils sha256sum.
const ONE: (&str, &str) = (
    "one",
    "7692c3ad3540bb803c020b3aee66cd8887123234ea0c6e7143c0add73ff431ed",
);
const TWO: (&str, &str) = (
    "two",
    "3fc4ccfe745870e2c0d99f71f30ff0656c8dedd41cc1d7d3d376b0dbe685e2f3",
);

fn names(folder: &Path, begin: &str) -> usize {
    let names = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name());
    names
        .filter(|n| n.to_string_lossy().starts_with(begin))
        .count()
}

#[test]
fn a_copy_holds_text_and_files_and_goes_when_it_is_dropped() {
    let place = tempfile::tempdir().unwrap();
    let copies = Copies::at(place.path().join("desk"), 100);
    let copy = copies.begin("format = 1\n").unwrap();
    assert!(!copy.link("photos/a.jpg", ONE.1).unwrap());
    copy.put("photos/a.jpg", ONE.1, ONE.0.as_bytes()).unwrap();
    assert!(copy.link("photos/b.jpg", ONE.1).unwrap());
    let at = copy.path().to_path_buf();
    assert_eq!(
        fs::read_to_string(at.join("dossier.toml")).unwrap(),
        "format = 1\n"
    );
    assert_eq!(fs::read_to_string(at.join("photos/b.jpg")).unwrap(), "one");
    drop(copy);
    assert!(!at.exists());
    // The next one finds the content, and nothing else is left.
    let copy = copies.begin("").unwrap();
    assert!(copy.link("photos/a.jpg", ONE.1).unwrap());
    assert_eq!(
        names(&place.path().join("desk"), "copy-"),
        2,
        "a folder and its lock"
    );
}

#[test]
fn what_was_used_longest_ago_gives_way_and_stays_where_it_is_in_use() {
    let place = tempfile::tempdir().unwrap();
    let copies = Copies::at(place.path().to_path_buf(), 3);
    let first = copies.begin("").unwrap();
    first.put("photos/a", ONE.1, b"one").unwrap();
    let kept = place.path().join(format!("content-{}", ONE.1));
    let long_ago = std::time::SystemTime::UNIX_EPOCH;
    fs::File::open(kept)
        .unwrap()
        .set_modified(long_ago)
        .unwrap();
    let second = copies.begin("").unwrap();
    second.put("photos/b", TWO.1, b"two").unwrap();
    assert_eq!(names(place.path(), "content-"), 1);
    assert!(!second.link("photos/a", ONE.1).unwrap());
    assert_eq!(
        fs::read_to_string(first.path().join("photos/a")).unwrap(),
        "one"
    );
}

#[test]
fn content_that_is_not_what_its_name_says_is_not_used() {
    let place = tempfile::tempdir().unwrap();
    let copies = Copies::at(place.path().to_path_buf(), 100);
    fs::write(place.path().join(format!("content-{}", ONE.1)), "other").unwrap();
    let copy = copies.begin("").unwrap();
    assert!(!copy.link("photos/a", ONE.1).unwrap());
    assert!(copy.put("photos/a", ONE.1, b"other").is_err());
    copy.put("photos/a", ONE.1, b"one").unwrap();
    assert_eq!(
        fs::read_to_string(copy.path().join("photos/a")).unwrap(),
        "one"
    );
}

#[test]
fn paths_that_lead_out_are_refused() {
    let place = tempfile::tempdir().unwrap();
    let copy = Copies::at(place.path().to_path_buf(), 100)
        .begin("")
        .unwrap();
    for path in ["../a", "/a", "photos/../../a", ""] {
        assert!(copy.put(path, ONE.1, b"one").is_err(), "{path}");
        assert!(copy.link(path, ONE.1).is_err(), "{path}");
    }
}

#[test]
fn what_a_killed_run_left_is_cleared_away() {
    let place = tempfile::tempdir().unwrap();
    let left = place.path().join("copy-left");
    fs::create_dir(&left).unwrap();
    fs::write(place.path().join("copy-left.in-use"), "").unwrap();
    let copies = Copies::at(place.path().to_path_buf(), 100);
    let (one, two) = (copies.begin("").unwrap(), copies.begin("").unwrap());
    assert!(!left.exists());
    assert!(one.path().exists() && two.path().exists());
}
