//! One file replaced: what is kept, and what lies in the way.

use super::*;
use crate::fault::StoreError;

const MOST: u64 = 1024;

fn put(path: &Path, text: &str) -> Result<Saved, StoreError> {
    revise(path, MOST, |_| Ok(Some(text.as_bytes().to_vec())))
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
fn every_content_replaced_is_in_the_history_of_its_name() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    assert_eq!(put(&at("a.csv"), "1").unwrap(), Saved::Replaced(None));
    assert_eq!(put(&at("a.csv"), "1").unwrap(), Saved::Unchanged);
    let kept = at(".revisions/0001-a.csv");
    assert_eq!(put(&at("a.csv"), "2").unwrap(), Saved::Replaced(Some(kept)));
    put(&at("my-a.csv"), "x").unwrap();
    put(&at("my-a.csv"), "y").unwrap();
    put(&at("a.csv"), "3").unwrap();
    assert_eq!(
        names(&at(".revisions")),
        ["0001-a.csv", "0001-my-a.csv", "0002-a.csv"]
    );
    assert_eq!(
        fs::read_to_string(at(".revisions/0002-a.csv")).unwrap(),
        "2"
    );
    assert_eq!(fs::read_to_string(at("a.csv")).unwrap(), "3");
}

#[test]
fn a_change_that_is_refused_or_none_leaves_everything() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("a.csv");
    put(&path, "1").unwrap();
    let refused = revise(&path, MOST, |_| {
        Err(StoreError::Changed {
            path: PathBuf::new(),
        })
    });
    assert!(matches!(refused, Err(StoreError::Changed { .. })));
    assert_eq!(
        revise::<StoreError>(&path, MOST, |_| Ok(None)).unwrap(),
        Saved::Unchanged
    );
    assert_eq!(names(place.path()), [".underlid.lock", "a.csv"]);
}

#[test]
fn a_content_kept_by_a_run_that_was_killed_is_not_kept_twice() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("a.csv");
    put(&path, "1").unwrap();
    fs::create_dir(place.path().join(REVISIONS)).unwrap();
    fs::write(place.path().join(".revisions/0001-a.csv"), "1").unwrap();
    put(&path, "2").unwrap();
    put(&path, "3").unwrap();
    assert_eq!(
        names(&place.path().join(REVISIONS)),
        ["0001-a.csv", "0002-a.csv"]
    );
}

#[test]
fn a_number_that_is_taken_is_passed_over() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("a.csv");
    put(&path, "1").unwrap();
    fs::create_dir_all(place.path().join(".revisions/0007-a.csv")).unwrap();
    put(&path, "2").unwrap();
    assert_eq!(
        fs::read_to_string(place.path().join(".revisions/0008-a.csv")).unwrap(),
        "1"
    );
    let last = format!(".revisions/{}-a.csv", u64::MAX);
    fs::write(place.path().join(last), "x").unwrap();
    assert!(put(&path, "3").is_err());
    assert_eq!(fs::read_to_string(&path).unwrap(), "2");
}

#[test]
fn more_than_is_borne_is_not_read() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("a.csv");
    fs::write(&path, vec![b'x'; 1025]).unwrap();
    assert!(matches!(
        put(&path, "1"),
        Err(StoreError::TooLarge { most: MOST, .. })
    ));
    assert!(matches!(
        put(Path::new(".."), "1"),
        Err(StoreError::Nameless { .. })
    ));
}

#[cfg(unix)]
#[test]
fn links_in_the_way_are_refused_and_what_they_lead_to_stays() {
    use std::os::unix::fs::symlink;
    let place = tempfile::tempdir().unwrap();
    let victim = place.path().join("victim");
    fs::write(&victim, "precious").unwrap();
    let elsewhere = place.path().join("elsewhere");
    fs::create_dir(&elsewhere).unwrap();
    let folder = place.path().join("d");
    fs::create_dir(&folder).unwrap();
    let path = folder.join("a.csv");

    symlink(&victim, &path).unwrap();
    assert!(matches!(put(&path, "1"), Err(StoreError::Link { .. })));
    fs::remove_file(&path).unwrap();

    put(&path, "1").unwrap();
    symlink(&elsewhere, folder.join(REVISIONS)).unwrap();
    assert!(matches!(put(&path, "2"), Err(StoreError::Link { .. })));
    fs::remove_file(folder.join(REVISIONS)).unwrap();

    // The name that a run with this process id would once have taken.
    let guessed = format!(".a.csv.partial-{}", std::process::id());
    symlink(&victim, folder.join(guessed)).unwrap();
    put(&path, "3").unwrap();

    assert_eq!(fs::read_to_string(&victim).unwrap(), "precious");
    assert!(names(&elsewhere).is_empty());
    assert_eq!(fs::read_to_string(&path).unwrap(), "3");
}

#[cfg(unix)]
#[test]
fn the_rights_of_the_file_stay_and_new_ones_are_as_usual() {
    use std::os::unix::fs::PermissionsExt as _;
    let place = tempfile::tempdir().unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let (usual, path) = (place.path().join("usual"), place.path().join("a.csv"));
    fs::write(&usual, "").unwrap();
    put(&path, "1").unwrap();
    assert_eq!(mode(&path), mode(&usual));
    fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
    put(&path, "2").unwrap();
    assert_eq!(mode(&path), 0o600);
}
