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

/// A JPEG file of 64 × 48 stored pixels that ends where its picture data would begin (ITU-T T.81, B.2), with
/// notes of a camera before its size: an Exif block of one field (CIPA DC-008, tag 274) and `more` bytes.
fn turned(orientation: u8, more: usize) -> Vec<u8> {
    let mut exif = b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
    exif.extend([orientation, 0, 0, 0, 0, 0, 0]);
    let mut file = vec![0xff, 0xd8];
    let mut segment = |marker: u8, body: &[u8]| {
        file.extend([0xff, marker]);
        file.extend((body.len() as u16 + 2).to_be_bytes());
        file.extend(body);
    };
    for _ in 0..more / 60_000 {
        segment(0xe4, &[0; 60_000]);
    }
    segment(0xe1, &exif);
    segment(0xc0, &[8, 0, 48, 0, 64, 1, 1, 0x11, 0]);
    segment(0xda, &[1, 1, 0, 0, 63, 0]);
    file
}

#[test]
fn a_picture_has_the_size_at_which_it_is_seen() {
    let place = tempfile::tempdir().unwrap();
    std::fs::create_dir(place.path().join("photos")).unwrap();
    for (more, orientation) in [0, 2_000_000]
        .into_iter()
        .flat_map(|more| (1..=8).map(move |o| (more, o)))
    {
        std::fs::write(place.path().join("photos/a.jpg"), turned(orientation, more)).unwrap();
        let PathState::File { size, .. } = look(place.path(), "photos/a.jpg") else {
            panic!("a file was written");
        };
        let seen = if orientation > 4 { (48, 64) } else { (64, 48) };
        assert_eq!(size, Some(seen), "{orientation} {more}");
    }
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
