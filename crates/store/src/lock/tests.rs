//! Who may write when, and what lies in the way.

use super::*;
use std::fs;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

#[test]
fn one_holds_it_at_a_time() {
    let place = tempfile::tempdir().unwrap();
    let inside = AtomicUsize::new(0);
    thread::scope(|s| {
        for _ in 0..4 {
            s.spawn(|| {
                for _ in 0..50 {
                    let lock = Lock::of(place.path()).unwrap();
                    assert_eq!(inside.fetch_add(1, Ordering::SeqCst), 0);
                    assert_eq!(inside.fetch_sub(1, Ordering::SeqCst), 1);
                    drop(lock);
                }
            });
        }
    });
    assert!(place.path().join(NAME).is_file(), "the locked file stays");
}

#[test]
fn who_waits_at_a_removed_file_begins_again_at_the_new_one() {
    let place = tempfile::tempdir().unwrap();
    let folder = Arc::new(place.path().to_path_buf());
    let first = Lock::of(&folder).unwrap();
    let other = Arc::clone(&folder);
    let waiting = thread::spawn(move || Lock::of(&other).unwrap());
    // Whether it waits already or comes later, it must end at a file that is there.
    thread::sleep(Duration::from_millis(20));
    first.give_up();
    let second = waiting.join().unwrap();
    assert!(folder.join(NAME).is_file());
    drop(second);
}

#[test]
fn what_killed_runs_left_is_cleared_and_nothing_else() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    fs::write(at(".underlid-abc.part"), "half").unwrap();
    fs::create_dir_all(at(".underlid-def.part/photos")).unwrap();
    fs::write(at(".underlid-def.part/photos/a.jpg"), "half").unwrap();
    for kept in [
        "abc.part",
        ".underlid-abc",
        ".underlid-output",
        ".other.part",
    ] {
        fs::write(at(kept), "mine").unwrap();
    }
    drop(Lock::of(place.path()).unwrap());
    let mut names: Vec<_> = fs::read_dir(place.path())
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            ".other.part",
            ".underlid-abc",
            ".underlid-output",
            NAME,
            "abc.part"
        ]
    );
}

#[cfg(unix)]
#[test]
fn a_link_in_the_way_is_not_followed() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("d");
    fs::create_dir(&folder).unwrap();
    let victim = place.path().join("victim");
    std::os::unix::fs::symlink(&victim, folder.join(NAME)).unwrap();
    assert!(matches!(Lock::of(&folder), Err(StoreError::Link { .. })));
    assert!(!victim.exists());
    // Among what is cleared away, a link goes and what it leads to stays.
    fs::remove_file(folder.join(NAME)).unwrap();
    fs::create_dir(&victim).unwrap();
    fs::write(victim.join("work"), "years").unwrap();
    std::os::unix::fs::symlink(&victim, folder.join(".underlid-x.part")).unwrap();
    drop(Lock::of(&folder).unwrap());
    assert!(victim.join("work").is_file());
    assert!(!place::is_link(&folder.join(".underlid-x.part")));
}

#[cfg(unix)]
#[test]
fn a_pipe_in_the_way_is_refused_without_waiting() {
    use rustix::fs::{CWD, Mode, mkfifoat};
    let place = tempfile::tempdir().unwrap();
    mkfifoat(CWD, place.path().join(NAME), Mode::RUSR | Mode::WUSR).unwrap();
    assert!(matches!(
        Lock::of(place.path()),
        Err(StoreError::NotA { wanted: "file", .. })
    ));
}
