//! Photographs as they are published: bounded, without notes, and with nothing left of what is private.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use app::{PictureOptions, PublishOptions, Unwatched};
use imaging::Picture;
use imaging::pixels::{Encoding, Limits, decode, encode, metadata};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// Left, top, width, height of what is private: whole blocks of 8 × 8 pixels, so that in a JPEG file without reduced
/// colours nothing of it reaches beyond.
const PRIVATE: [u32; 4] = [512, 400, 608, 208];
/// Words that a camera left in the file.
const NOTE: &[u8] = b"Exif\0\0II*\0\x08\0\0\0 taken at the analyst's desk";

/// Returns noise, which no JPEG makes small; what is private comes from another seed.
fn noise(width: u32, height: u32, secret: u64) -> Picture {
    let [left, top, w, h] = PRIVATE;
    let mut states = [1_u64, secret];
    let mut rgb = Vec::new();
    for y in 0..height {
        for x in 0..width {
            let inside = x >= left && x < left + w && y >= top && y < top + h;
            let state = &mut states[usize::from(inside)];
            *state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            rgb.extend_from_slice(&state.to_be_bytes()[..3]);
        }
    }
    Picture { width, height, rgb }
}

/// Writes a dossier with one photograph of a box with a serial number; returns its folder and the size of the file.
fn dossier(at: &Path, secret: u64) -> (PathBuf, usize) {
    let folder = at.join(format!("box-{secret}"));
    fs::create_dir_all(folder.join("photos")).unwrap();
    let picture = noise(2400, 1800, secret);
    let mut file = encode(&picture, Encoding::Jpeg(97), None, None).unwrap();
    let length = u16::try_from(NOTE.len() + 2).unwrap().to_be_bytes();
    let note = [&[0xff, 0xe1], &length[..], NOTE].concat();
    file.splice(2..2, note);
    fs::write(folder.join("photos/box.jpg"), &file).unwrap();
    let [l, t, w, h] = PRIVATE;
    let text = format!(
        r#"format = 1

[product]
name = "Glimm"
maker = "Oskvale"
opened = 2026-03-01

[[items]]
id = "glimm"
name = "Glimm"
kind = "product"

[[photos]]
id = "box"
file = "box.jpg"
caption = "The box from below"
regions = [
  {{ id = "serial", rect = [{l}, {t}, {w}, {h}], private = true, caption = "Serial number" }},
  {{ id = "label", rect = [400, 300, 900, 500], item = "glimm", caption = "Label" }},
]

[[steps]]
id = "open"
action = "pry"
text = "Open the box."
undo = "yes"
evidence = ["photo:box#label"]
"#
    );
    fs::write(folder.join("dossier.toml"), text).unwrap();
    (folder, file.len())
}

fn published(folder: &Path) -> Vec<store::OutputFile> {
    let options = PublishOptions {
        folder: folder.to_path_buf(),
        ..PublishOptions::default()
    };
    app::publish(&options, &Unwatched).unwrap().files
}

#[test]
fn a_large_photograph_makes_a_small_page_and_leaves_nothing_private_behind() {
    let at = TempDir::new().unwrap();
    let (one, size) = dossier(at.path(), 2);
    let (other, _) = dossier(at.path(), 3);
    assert!(size > 11_000_000, "{size}");
    let same =
        |path: &str| fs::read(one.join(path)).unwrap() == fs::read(other.join(path)).unwrap();
    assert!(!same("photos/box.jpg"), "the two originals differ");

    let (files, others) = (published(&one), published(&other));
    let file = |path: &str| &files.iter().find(|f| f.path == path).unwrap().bytes;
    assert!(file("report.html").len() < 3_000_000);
    let full = file("photos/P01-box.jpg");
    assert!(full.len() <= 2_500_000, "{}", full.len());
    // What differs between the originals is in no output.
    for (a, b) in files.iter().zip(&others) {
        assert!(a.bytes == b.bytes, "{} differs", a.path);
        let told = a.bytes.windows(7).any(|w| w == b"analyst");
        assert!(!told || !a.path.ends_with("jpg"), "{}", a.path);
        assert!(!a.bytes.windows(6).any(|w| w == b"Exif\0\0"), "{}", a.path);
    }
    assert_eq!(metadata::find(full).unwrap().notes, Vec::<String>::new());

    // One colour but for the word, in full size; a corner of the region is far from the word.
    let picture = decode(full, &Limits::default()).unwrap().picture;
    let scale = f64::from(picture.width) / 2400.0;
    let [l, t, w, h] = PRIVATE.map(|v| (f64::from(v) * scale) as u32);
    let pixel = |x: u32, y: u32| {
        let at = ((y * picture.width + x) * 3) as usize;
        &picture.rgb[at..at + 3]
    };
    let edge = 20;
    for x in l + edge..l + w - edge {
        for y in [t + edge, t + h - edge] {
            let found = pixel(x, y);
            // JPEG rounds, at this quality by some levels.
            let away = found
                .iter()
                .zip([0xdf_u8, 0xe5, 0xe8])
                .map(|(a, b)| a.abs_diff(b));
            assert!(away.max().unwrap() <= 12, "{x} {y}: {found:?}");
        }
    }

    // Pictures with numbers hide it too.
    let numbered = |folder: &Path| {
        let options = PictureOptions::of(folder);
        app::picture(&options, &Unwatched).unwrap().files
    };
    assert!(numbered(&one) == numbered(&other));
}

#[test]
fn a_report_that_is_written_again_says_what_was_corrected() {
    let at = TempDir::new().unwrap();
    let (folder, _) = dossier(at.path(), 2);
    let publish = |day: i8, reason: Option<&str>| {
        let options = PublishOptions {
            folder: folder.clone(),
            dated: Some(app::Dated {
                day: Some(jiff::civil::date(2026, 3, day)),
                reason: reason.map(Into::into),
                always_next: false,
            }),
            ..PublishOptions::default()
        };
        app::publish(&options, &Unwatched).unwrap()
    };
    let said = |published: &app::Published| published.edition.as_ref().unwrap().sentence();
    assert_eq!(said(&publish(2, None)), "Version 1 of 2 March 2026.");
    // The same again is the same version.
    assert_eq!(said(&publish(3, None)), "Version 1 of 2 March 2026.");
    let text = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    let claim = "[[claims]]\nid = \"weight\"\ntext = \"Weighs 41 g.\"\nkind = \"mass\"\nvalue = \"41 g\"\nprinted = \"box\"\n";
    fs::write(folder.join("dossier.toml"), format!("{text}\n{claim}")).unwrap();
    let second = publish(9, Some("A claim was forgotten."));
    let sentence = said(&second);
    assert!(
        sentence.starts_with(
            "Version 2 of 9 March 2026; corrections since version 1 of 2 March 2026: "
        ) && sentence.ends_with(" Reason: A claim was forgotten."),
        "{sentence}"
    );
    let file = |path: &str| {
        let found = second.files.iter().find(|f| f.path == path).unwrap();
        String::from_utf8_lossy(&found.bytes).into_owned()
    };
    for path in ["report.html", "article.md"] {
        assert!(
            file(path).contains("What was corrected since version 1"),
            "{path}"
        );
    }
    let (_, edition) = report::read_published(&file("findings.json")).unwrap();
    assert_eq!(edition, second.edition);
}

#[test]
fn what_a_publisher_leaves_out_is_in_no_output() {
    let at = TempDir::new().unwrap();
    let (folder, _) = dossier(at.path(), 2);
    let text = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    let named = text.replace("opened =", "analyst = \"Ottoline Vesk\"\nopened =");
    fs::write(folder.join("dossier.toml"), named).unwrap();
    let names = app::persons(&app::open(&folder, &Unwatched).unwrap());
    assert!(names.contains("Ottoline Vesk"), "{names:?}");
    let mut preparing = app::Preparing {
        folder: folder.clone(),
        bundle: true,
        film: true,
        ..app::Preparing::default()
    };
    let made = |preparing: &app::Preparing| -> Vec<store::OutputFile> {
        let mut prepared = app::prepare(preparing, &Unwatched).unwrap();
        let outs = app::Out::ALL
            .into_iter()
            .filter(|out| *out != app::Out::Papers);
        outs.flat_map(|out| prepared.make(out).unwrap()).collect()
    };
    let tells = |files: &[store::OutputFile]| {
        let told = |f: &&store::OutputFile| f.bytes.windows(13).any(|w| w == b"Ottoline Vesk");
        files.iter().filter(told).count()
    };
    let whole = made(&preparing);
    assert!(tells(&whole) > 1);
    preparing.leaving_out.persons = names;
    preparing.leaving_out.photographs = ["box".to_string()].into();
    let less = made(&preparing);
    assert_eq!(tells(&less), 0);
    let shown = |files: &[store::OutputFile]| files.iter().any(|f| f.path == "photos/P01-box.jpg");
    assert!(shown(&whole) && !shown(&less));
    // The bundle keeps its size, and nothing of it.
    let kept = less
        .iter()
        .find(|f| f.path == "bundle/photos/box.jpg")
        .unwrap();
    let picture = decode(&kept.bytes, &Limits::default()).unwrap().picture;
    assert_eq!((picture.width, picture.height), (2400, 1800));
    assert!(kept.bytes.len() < 200_000, "{}", kept.bytes.len());
}
