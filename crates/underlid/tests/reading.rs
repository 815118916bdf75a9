//! Files that hang, swell, lead away or are not what their name says: each is told at once, by name and with a
//! remedy.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use support::{code, demo, said, told, underlid};
use tempfile::TempDir;

/// Long enough for any answer, and short enough to see that none comes.
const PATIENCE: Duration = Duration::from_secs(120);

/// Runs the command, and stops it when it waits for ever.
#[track_caller]
fn answered(arguments: &[&str], at: &Path) -> (i32, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_underlid"))
        .args(arguments)
        .current_dir(at)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(fs::File::create(at.join("told.txt")).unwrap())
        .spawn()
        .unwrap();
    let began = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if began.elapsed() > PATIENCE {
            child.kill().unwrap();
            child.wait().unwrap();
            panic!("no answer: {arguments:?}");
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    let code = child.wait().unwrap().code().unwrap_or(-1);
    (code, fs::read_to_string(at.join("told.txt")).unwrap())
}

#[track_caller]
fn refused(arguments: &[&str], at: &Path, file: &str, why: &str) {
    let (code, told) = answered(arguments, at);
    assert_eq!(code, 3, "{told}");
    let message = told.lines().find(|line| line.contains(why));
    assert!(message.is_some_and(|m| m.contains(file)), "{told}");
    assert!(told.contains("try: "), "{told}");
}

fn pipe(path: &Path) {
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

#[test]
fn a_pipe_and_a_device_are_refused_by_every_command_that_reads() {
    let at = TempDir::new().unwrap();
    let at = at.path();
    for name in ["pipe.csv", "pipe.jpg", "pipe.kicad_sym"] {
        pipe(&at.join(name));
    }
    fs::write(at.join("known.csv"), "name\nTHK4821\n").unwrap();
    for (arguments, file) in [
        (&["read", "--photo", "pipe.jpg"][..], "pipe.jpg"),
        (&["read", "--batch", "pipe.csv"], "pipe.csv"),
        (&["read", "THK4821", "--catalogue", "pipe.csv"], "pipe.csv"),
        (&["read", "1234", "--addresses", "pipe.csv"], "pipe.csv"),
        (&["read", "1234", "--usb-ids", "pipe.csv"], "pipe.csv"),
        (&["catalogue", "check", "pipe.csv"], "pipe.csv"),
        (
            &["catalogue", "import", "pipe.csv", "--preview", "3"],
            "pipe.csv",
        ),
        (
            &["catalogue", "import", "pipe.csv", "--into", "known.csv"],
            "pipe.csv",
        ),
        (
            &["catalogue", "import", "known.csv", "--into", "pipe.csv"],
            "pipe.csv",
        ),
        (
            &[
                "catalogue",
                "import",
                "pipe.kicad_sym",
                "--into",
                "known.csv",
            ],
            "pipe.kicad_sym",
        ),
    ] {
        refused(arguments, at, file, "a pipe, not a file");
    }
    for arguments in [
        &["read", "--photo", "/dev/zero"][..],
        &["read", "--batch", "/dev/zero"],
        &["catalogue", "check", "/dev/zero"],
        &["catalogue", "import", "/dev/zero", "--into", "known.csv"],
    ] {
        refused(arguments, at, "/dev/zero", "a device, not a file");
    }
}

#[test]
fn what_lies_in_the_catalogue_folder_of_a_dossier_cannot_hang_it_or_lead_out() {
    let at = TempDir::new().unwrap();
    let at = at.path();
    let folder = demo(at, &[]);
    let brought = folder.join("catalogue");
    fs::create_dir_all(&brought).unwrap();
    pipe(&brought.join("a.csv"));
    refused(&["examine", "lamp"], at, "a.csv", "a pipe, not a file");
    fs::remove_file(brought.join("a.csv")).unwrap();
    fs::write(at.join("elsewhere.csv"), "name\nTHK4821\n").unwrap();
    for target in ["/dev/zero", "../../elsewhere.csv"] {
        symlink(target, brought.join("a.csv")).unwrap();
        refused(
            &["examine", "lamp"],
            at,
            "a.csv",
            "leads outside the folder",
        );
        fs::remove_file(brought.join("a.csv")).unwrap();
    }
}

/// A part of a PNG file: length, kind, content, checksum (W3C PNG, 5.3).
fn chunk(kind: &[u8; 4], content: &[u8]) -> Vec<u8> {
    let mut body = kind.to_vec();
    body.extend(content);
    let sum = !body.iter().fold(!0_u32, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            (sum >> 1) ^ (0xEDB8_8320 & (sum & 1).wrapping_neg())
        })
    });
    let length = u32::try_from(content.len()).unwrap().to_be_bytes();
    [&length[..], &body, &sum.to_be_bytes()].concat()
}

/// A PNG file of grey pixels with this picture data.
fn png(width: u32, height: u32, data: &[u8]) -> Vec<u8> {
    let mut head = [width.to_be_bytes(), height.to_be_bytes()].concat();
    head.extend([8, 0, 0, 0, 0]);
    [
        b"\x89PNG\r\n\x1a\n".to_vec(),
        chunk(b"IHDR", &head),
        chunk(b"IDAT", data),
        chunk(b"IEND", b""),
    ]
    .concat()
}

/// A GIF file of one pixel with a comment (GIF 89a, sections 18 to 24).
fn gif(comment: &str) -> Vec<u8> {
    let mut bytes = b"GIF89a\x01\0\x01\0\x80\0\0\0\0\0\xff\xff\xff\x21\xfe".to_vec();
    bytes.push(u8::try_from(comment.len()).unwrap());
    bytes.extend(comment.as_bytes());
    bytes.extend(b"\0\x2c\0\0\0\0\x01\0\x01\0\0\x02\x02\x44\x01\0\x3b");
    bytes
}

const DOSSIER: &str = r#"format = 1

[product]
name = "Lamp"
maker = "Oskvale Works"
opened = 2026-03-01

[[items]]
id = "lamp"
name = "Lamp"
kind = "product"
"#;

/// A small dossier with these photographs.
fn dossier(at: &Path, photos: &[&str]) {
    fs::create_dir_all(at.join("d/photos")).unwrap();
    let mut text = DOSSIER.to_string();
    for (n, file) in photos.iter().enumerate() {
        text +=
            &format!("\n[[photos]]\nid = \"p{n}\"\nfile = \"{file}\"\ncaption = \"Number {n}\"\n");
    }
    fs::write(at.join("d/dossier.toml"), text).unwrap();
}

#[test]
fn photographs_that_cannot_be_shown_are_left_out_by_name_and_the_report_is_made() {
    let at = TempDir::new().unwrap();
    let at = at.path();
    dossier(
        at,
        &["sound.gif", "broken.png", "wide.png", "long.png", "raw.bin"],
    );
    let photos = at.join("d/photos");
    fs::write(photos.join("sound.gif"), gif("taken at home by Bertil")).unwrap();
    fs::write(
        photos.join("broken.png"),
        png(4, 4, b"\x78\x9c no deflated data"),
    )
    .unwrap();
    fs::write(
        photos.join("wide.png"),
        png(60_000, 60_000, &[0; 4_000_000]),
    )
    .unwrap();
    let long = fs::File::create(photos.join("long.png")).unwrap();
    long.set_len(20_000_000_000).unwrap();
    fs::write(photos.join("raw.bin"), b"\0\x01a camera's own format\xfe").unwrap();

    let output = underlid(&["publish", "d", "--into", "report"], at);
    assert_eq!(code(&output), 0, "{}", told(&output));
    let page = fs::read_to_string(at.join("report/report.html")).unwrap();
    // Figures stay with their units there.
    let page = page.replace('\u{a0}', " ");
    for (file, why) in [
        ("broken.png", "cannot be decoded"),
        ("wide.png", "60000 × 60000 pixels"),
        ("long.png", "larger than the 256 MB"),
        ("raw.bin", "none of JPEG, PNG, WebP, TIFF and GIF"),
    ] {
        for text in [&said(&output), &told(&output), &page] {
            let line = text
                .lines()
                .find(|line| line.contains(file) && line.contains(why));
            assert!(line.is_some(), "{file} {why}: {text}");
        }
    }
    assert!(at.join("report/report.pdf").exists());
    // The sound one is shown, without its comment: written anew, as its format holds notes anywhere.
    assert!(
        page.contains("data:image/jpeg"),
        "the sound picture is missing"
    );
    assert!(!page.contains("data:image/gif"));
}

#[test]
fn a_web_page_named_as_a_photograph_is_refused_with_what_it_is() {
    let at = TempDir::new().unwrap();
    let at = at.path();
    dossier(at, &["lid.jpg", "base.png"]);
    fs::write(
        at.join("d/photos/lid.jpg"),
        "<!doctype html><html>404</html>",
    )
    .unwrap();
    fs::write(at.join("d/photos/base.png"), "not found").unwrap();
    let (code, told) = answered(&["check", "d"], at);
    assert_eq!(code, 1, "{told}");
    assert!(
        told.contains("photos/lid.jpg is a web page (HTML), not a picture"),
        "{told}"
    );
    assert!(
        told.contains("photos/base.png is a text, not a picture"),
        "{told}"
    );
    assert!(
        told.contains("instead: put the photograph there: JPEG"),
        "{told}"
    );
}

#[test]
fn a_link_in_the_photographs_that_leads_out_is_refused() {
    let at = TempDir::new().unwrap();
    let at = at.path();
    fs::write(at.join("secret.png"), png(1, 1, b"")).unwrap();
    dossier(at, &["lid.png"]);
    symlink("../../secret.png", at.join("d/photos/lid.png")).unwrap();
    for arguments in [
        &["check", "d"][..],
        &["publish", "d"],
        &["picture", "d"],
        &["measure", "d"],
    ] {
        let (code, told) = answered(arguments, at);
        assert_eq!(code, 1, "{told}");
        assert!(
            told.contains("lid.png") && told.contains("leads outside"),
            "{told}"
        );
    }
}
