//! What is seen in the folder of a dossier: sound, missing, misnamed, hanging, leading out, too large.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use super::*;
use record::Content;
use std::os::unix::fs::symlink;

fn said(folder: &Path) -> String {
    text(folder).unwrap_err().to_string()
}

#[test]
fn files_are_seen_as_what_they_are() {
    let place = tempfile::tempdir().unwrap();
    let root = place.path().join("d");
    std::fs::create_dir_all(root.join("photos/folder.png")).unwrap();
    // W3C PNG, 11.2.2: width and height stand first in the header.
    let mut png = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".to_vec();
    png.extend([0, 0, 2, 0x80, 0, 0, 1, 0xe0, 8, 2, 0, 0, 0]);
    std::fs::write(root.join("photos/lid.png"), png).unwrap();
    std::fs::write(root.join("photos/page.jpg"), "<!doctype html><html>").unwrap();
    std::fs::write(place.path().join("out.png"), "x").unwrap();
    symlink("../../out.png", root.join("photos/out.png")).unwrap();
    let mode = rustix::fs::Mode::from_raw_mode(0o600);
    rustix::fs::mkfifoat(rustix::fs::CWD, root.join("photos/pipe.png"), mode).unwrap();
    let long = std::fs::File::create(root.join("photos/long.png")).unwrap();
    long.set_len(20_000_000_000).unwrap();

    let see = |name: &str| look(&root, &format!("photos/{name}"));
    assert_eq!(
        see("lid.png"),
        PathState::File {
            size: Some((640, 480)),
            content: Content::Picture
        }
    );
    assert_eq!(
        see("page.jpg"),
        PathState::File {
            size: None,
            content: Content::Other("a web page (HTML)")
        }
    );
    assert_eq!(see("none.png"), PathState::Missing);
    assert_eq!(see("folder.png"), PathState::NotAFile);
    assert_eq!(see("pipe.png"), PathState::NotAFile);
    assert_eq!(see("out.png"), PathState::Outside);
    assert!(matches!(
        see("long.png"),
        PathState::File { size: None, .. }
    ));
    assert_eq!(names(&root, "photos").len(), 6);
    assert!(names(&root, "logs").is_empty());
}

#[test]
fn the_text_of_a_dossier_is_read_or_told_why_not() {
    let place = tempfile::tempdir().unwrap();
    let root = place.path().join("d");
    assert!(said(&root).contains("there is no such folder"));
    std::fs::write(&root, "a file").unwrap();
    assert!(said(&root).contains("this is a file"));
    std::fs::remove_file(&root).unwrap();
    std::fs::create_dir(&root).unwrap();
    assert!(said(&root).contains("holds no dossier.toml"));
    symlink("/etc/passwd", root.join(TEXT)).unwrap();
    assert!(said(&root).contains("leads outside the dossier folder"));
    std::fs::remove_file(root.join(TEXT)).unwrap();
    let mode = rustix::fs::Mode::from_raw_mode(0o600);
    rustix::fs::mkfifoat(rustix::fs::CWD, root.join(TEXT), mode).unwrap();
    assert!(said(&root).contains("dossier.toml is not a file"));
    std::fs::remove_file(root.join(TEXT)).unwrap();
    let long = std::fs::File::create(root.join(TEXT)).unwrap();
    long.set_len(limits::DOSSIER + 1).unwrap();
    assert!(said(&root).contains("larger than the 8 MB"));
    std::fs::write(root.join(TEXT), "format = 1\n").unwrap();
    assert_eq!(text(&root).unwrap(), "format = 1\n");
}
