//! What the opener reads, and what it refuses at once.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use super::*;
use std::io::Write;
use std::os::unix::fs::symlink;
use std::path::Path;

fn pipe(path: &Path) {
    let mode = rustix::fs::Mode::from_raw_mode(0o600);
    rustix::fs::mkfifoat(rustix::fs::CWD, path, mode).unwrap();
}

#[track_caller]
fn refused(result: Result<Vec<u8>, OpenError>, fault: &OpenFault) {
    let error = result.unwrap_err();
    assert_eq!(error.fault, *fault);
    assert!(!error.remedy().is_empty());
    let told = error.to_string();
    assert!(told.contains(&error.path.display().to_string()), "{told}");
}

fn not_a_file(is: &'static str) -> OpenFault {
    OpenFault::NotA { wanted: "file", is }
}

#[test]
fn a_regular_file_is_read_whole_up_to_the_limit() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a");
    std::fs::write(&path, b"12345").unwrap();
    assert_eq!(read(&path, 5).unwrap(), b"12345");
    assert_eq!(read_inside(folder.path(), "a", 5).unwrap(), b"12345");
    refused(read(&path, 4), &OpenFault::TooLarge { most: 4 });
    refused(
        read_inside(folder.path(), "a", 4),
        &OpenFault::TooLarge { most: 4 },
    );
}

#[test]
fn a_pipe_a_device_a_folder_and_a_socket_are_refused_without_waiting() {
    let folder = tempfile::tempdir().unwrap();
    pipe(&folder.path().join("pipe"));
    std::fs::create_dir(folder.path().join("folder")).unwrap();
    let _listener = std::os::unix::net::UnixListener::bind(folder.path().join("socket")).unwrap();
    for (name, is) in [
        ("pipe", "a pipe"),
        ("folder", "a folder"),
        ("socket", "a socket or a device"),
    ] {
        refused(read(&folder.path().join(name), 9), &not_a_file(is));
        refused(read_inside(folder.path(), name, 9), &not_a_file(is));
    }
    refused(read(Path::new("/dev/zero"), 9), &not_a_file("a device"));
}

#[test]
fn a_file_that_states_no_size_is_still_bounded() {
    // Files under /proc say that they have 0 bytes.
    refused(
        read(Path::new("/proc/self/status"), 10),
        &OpenFault::TooLarge { most: 10 },
    );
}

#[test]
fn a_file_that_grows_after_it_was_opened_is_still_bounded() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a");
    std::fs::write(&path, b"123").unwrap();
    let opened = open(&path, 4).unwrap();
    let mut more = OpenOptions::new().append(true).open(&path).unwrap();
    more.write_all(b"45678").unwrap();
    refused(whole(opened, &path, 4), &OpenFault::TooLarge { most: 4 });
}

#[test]
fn a_sparse_file_of_20_gb_is_refused_by_its_size() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.png");
    let file = File::create(&path).unwrap();
    file.set_len(20_000_000_000).unwrap();
    let most = crate::limits::PHOTOGRAPH;
    refused(read(&path, most), &OpenFault::TooLarge { most });
}

#[test]
fn nothing_leads_out_of_a_folder() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("dossier");
    std::fs::create_dir_all(folder.join("photos")).unwrap();
    std::fs::write(outer.path().join("secret"), b"secret").unwrap();
    symlink("../../secret", folder.join("photos/out")).unwrap();
    symlink(outer.path().join("secret"), folder.join("photos/far")).unwrap();
    symlink("..", folder.join("up")).unwrap();
    for path in [
        "photos/out",
        "photos/far",
        "up/secret",
        "../secret",
        "photos/../../secret",
        "/etc/passwd",
    ] {
        refused(read_inside(&folder, path, 100), &OpenFault::Outside);
    }
    assert_eq!(
        names_inside(&folder, "up").unwrap_err().fault,
        OpenFault::Outside
    );
}

#[test]
fn a_link_that_stays_inside_is_followed() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a"), b"a").unwrap();
    symlink("a", folder.path().join("b")).unwrap();
    assert_eq!(read_inside(folder.path(), "b", 9).unwrap(), b"a");
}

#[test]
fn links_in_a_circle_and_missing_files_are_told() {
    let folder = tempfile::tempdir().unwrap();
    symlink("b", folder.path().join("a")).unwrap();
    symlink("a", folder.path().join("b")).unwrap();
    for error in [
        read(&folder.path().join("a"), 9).unwrap_err(),
        read_inside(folder.path(), "a", 9).unwrap_err(),
    ] {
        assert!(matches!(error.fault, OpenFault::Refused { .. }), "{error}");
    }
    refused(read(&folder.path().join("c"), 9), &OpenFault::Missing);
    refused(
        read_inside(folder.path(), "photos/c", 9),
        &OpenFault::Missing,
    );
}

#[test]
fn names_come_sorted_and_a_missing_folder_has_none() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["b", "a"] {
        std::fs::write(folder.path().join(name), b"").unwrap();
    }
    assert_eq!(names(folder.path()).unwrap(), ["a", "b"]);
    assert_eq!(names_inside(folder.path(), ".").unwrap(), ["a", "b"]);
    assert!(names_inside(folder.path(), "catalogue").unwrap().is_empty());
    assert_eq!(
        names(&folder.path().join("c")).unwrap_err().fault,
        OpenFault::Missing
    );
    assert_eq!(kind(folder.path()).unwrap(), Some(Kind::Folder));
    assert_eq!(kind(&folder.path().join("a")).unwrap(), Some(Kind::File));
    assert_eq!(kind(Path::new("/dev/null")).unwrap(), Some(Kind::Other));
    assert_eq!(kind(&folder.path().join("c")).unwrap(), None);
}
