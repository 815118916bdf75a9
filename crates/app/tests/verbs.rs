//! Every use case called as a library, as a server would, on dossiers in folders of their own; and every kind of
//! problem.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use app::catalogues::{self, CodeOptions, Content, ImportOptions};
use app::measure::{MeasureOptions, Measured, measure};
use app::read::{CluesAsText, Lists, Reader};
use app::{
    At, ExamineOptions, Kernel, Kind, PictureOptions, Problem, PublishOptions, Rectify, Unwatched,
    Watch,
};
use std::cell::Cell;
use std::fs;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// The demonstration dossier in a folder of its own.
fn demo() -> (TempDir, PathBuf) {
    let at = TempDir::new().unwrap();
    let demo = app::write_demo(at.path(), &Unwatched).unwrap();
    assert!(!demo.kept);
    (at, demo.folder)
}

fn text(folder: &Path) -> String {
    fs::read_to_string(folder.join("dossier.toml")).unwrap()
}

/// Wants no more after so many questions.
struct Patience(Cell<usize>);

impl Watch for Patience {
    fn stage(&self, _: &str) {}
    fn step(&self, _: &str, _: usize, _: usize) {}
    fn goes_on(&self) -> bool {
        let left = self.0.get();
        self.0.set(left.saturating_sub(1));
        left > 0
    }
}

#[test]
fn a_dossier_is_made_opened_checked_edited_and_saved() {
    let at = TempDir::new().unwrap();
    let folder = at.path().join("new");
    app::new(&folder).unwrap();
    assert!(app::check(&folder, &Unwatched).is_ok());
    assert!(app::open(&folder, &Unwatched).is_ok());

    let mut draft = app::open_draft(&folder).unwrap();
    let before = draft.text();
    assert_eq!(app::save(&folder, &draft).unwrap(), store::Saved::Unchanged);
    let count = app::edit(&folder, |_, now| Ok(now.items.len()), &Unwatched).unwrap();
    assert_eq!(count, app::open(&folder, &Unwatched).unwrap().items.len());
    assert_eq!(text(&folder), before);

    // Somebody else saves between reading and saving.
    fs::write(folder.join("dossier.toml"), format!("# mine\n{before}")).unwrap();
    let conflict = app::save(&folder, &draft).unwrap_err();
    assert_eq!(conflict.kind, Kind::Conflict);
    assert_eq!(conflict.place, Some(At::Path(folder.join("dossier.toml"))));
    draft = app::open_draft(&folder).unwrap();
    assert!(app::save(&folder, &draft).is_ok());
}

#[test]
fn a_dossier_is_examined_published_and_pictured() {
    let (at, folder) = demo();
    assert!(app::write_demo(at.path(), &Unwatched).unwrap().kept);
    let examined = app::examine(
        &ExamineOptions {
            folder: folder.clone(),
            ..ExamineOptions::default()
        },
        &Unwatched,
    )
    .unwrap();
    let published = app::publish(
        &PublishOptions {
            folder: folder.clone(),
            ..PublishOptions::default()
        },
        &Unwatched,
    )
    .unwrap();
    assert_eq!(published.into, folder.join("report"));
    assert_eq!(
        report::json(&published.findings),
        report::json(&examined.findings)
    );
    for file in &published.files {
        assert_eq!(
            fs::read(published.into.join(&file.path)).unwrap(),
            file.bytes
        );
    }
    let first = examined.dossier.photos[0].id.clone();
    let pictured = app::picture(
        &PictureOptions {
            photos: vec![first.clone()],
            rectify: Some(Rectify {
                per_mm: Some(2.0),
                kernel: Kernel::Bilinear,
            }),
            ..PictureOptions::of(&folder)
        },
        &Unwatched,
    )
    .unwrap();
    assert!(pictured.into.join(format!("{first}.svg")).is_file());
}

#[test]
fn sizes_are_measured_and_kept() {
    let (_at, folder) = demo();
    let options = MeasureOptions {
        folder: folder.clone(),
        ..MeasureOptions::default()
    };
    let before = app::open(&folder, &Unwatched).unwrap();
    // Its scale says 140 mm for 980 pixels; what is added agrees.
    let photo = before.photo("box").unwrap().id.clone();
    let scale = MeasureOptions {
        photo: Some(photo.clone()),
        at: Some(vec![[100.0, 100.0], [300.0, 100.0]]),
        known: Some("28.57 mm".to_string()),
        within: Some(1.0),
        save: true,
        ..options.clone()
    };
    let Measured::Scale(new) = measure(&scale, &Unwatched).unwrap() else {
        panic!("a thing of known size gives a scale");
    };
    assert_eq!(new.photo, photo);
    let after = app::open(&folder, &Unwatched).unwrap();
    let references = |d: &record::Dossier| d.photo(&photo).unwrap().references.len();
    assert_eq!(references(&after), references(&before) + 1);
    let distance = MeasureOptions {
        known: None,
        save: true,
        ..scale
    };
    let Measured::Sizes { results, failed } = measure(&distance, &Unwatched).unwrap() else {
        panic!("points give sizes");
    };
    assert!(failed.is_empty());
    let recorded = app::open(&folder, &Unwatched).unwrap();
    assert_eq!(
        recorded.measure(&results[0].measure.id),
        Some(&results[0].measure)
    );
    let Measured::Sizes { results, .. } = measure(&options, &Unwatched).unwrap() else {
        panic!("without points, sizes are worked out");
    };
    assert_eq!(results.len(), recorded.current_measures().count());
}

#[test]
fn markings_are_read_and_parts_are_kept() {
    let (at, folder) = demo();
    let reader = Reader::open(&Lists::default(), &Unwatched).unwrap();
    let said = reader.text("4K7", &CluesAsText::default(), &[]).unwrap();
    assert!(said.parts.is_none() && !said.codes[0].1.is_empty());
    let table = at.path().join("markings.csv");
    fs::write(&table, "marking,pins\n4K7,2\n104,many\n").unwrap();
    let mut rows = Vec::new();
    reader
        .batch(
            &table,
            |row| {
                rows.push(row);
                ControlFlow::Continue(())
            },
            &Unwatched,
        )
        .unwrap();
    assert!(rows[0].said.is_ok());
    assert_eq!(rows[1].said.as_ref().unwrap_err().kind, Kind::Refused);
    let picture = folder.join("photos");
    let picture = fs::read_dir(picture).unwrap().next().unwrap().unwrap();
    assert!(reader.photo(&picture.path(), &Unwatched).is_ok());

    let parts = at.path().join("parts.csv");
    fs::write(&parts, "name,maker\nXQ1234,Orrin\n").unwrap();
    let into = at.path().join("catalogue.csv");
    let of = |part: &str, maker: &str| CodeOptions {
        into: at.path().join("codes.csv"),
        part: part.to_string(),
        maker: maker.to_string(),
        codes: vec!["4A7".to_string()],
        package: "SOT-23".to_string(),
        ..CodeOptions::default()
    };
    let coded = catalogues::code(&of("XQ1234", "")).unwrap();
    assert!(coded.new && coded.changed && coded.others.is_empty());
    assert!(!catalogues::code(&of("XQ1234", "")).unwrap().changed);
    assert_eq!(
        catalogues::code(&of("", "")).unwrap_err().kind,
        Kind::Refused
    );
    let options = ImportOptions {
        files: vec![parts],
        into: Some(into.clone()),
        map: Vec::new(),
    };
    let shown = catalogues::preview(&options, 5).unwrap();
    assert!(matches!(&shown[0].content, Content::Table { rows, .. } if rows.len() == 1));
    let imported = catalogues::import(&options, &Unwatched).unwrap();
    assert!(imported.changed && imported.merged.added == 1);
    let harvested = catalogues::harvest(&[folder], &into, &Unwatched).unwrap();
    let checked = catalogues::check(&[into], &Unwatched).unwrap();
    assert_eq!(checked.parts, harvested.parts);
    assert!(!checked.has_mistakes());
}

fn examined(folder: &Path, watch: &dyn Watch) -> Problem {
    let folder = folder.to_path_buf();
    let options = ExamineOptions {
        folder,
        ..ExamineOptions::default()
    };
    app::examine(&options, watch).unwrap_err()
}

#[test]
fn every_kind_of_problem_has_its_place_and_remedy() {
    let (at, folder) = demo();
    for patience in [0, 40] {
        let stopped = examined(&folder, &Patience(Cell::new(patience)));
        assert_eq!(stopped.kind, Kind::Stopped);
    }
    let lists = Lists {
        catalogues: vec![at.path().join("none.csv")],
        ..Lists::default()
    };
    let Err(missing) = Reader::open(&lists, &Unwatched) else {
        panic!("there is no such file");
    };
    assert_eq!(missing.kind, Kind::Missing);
    assert_eq!(missing.place, Some(At::Path(at.path().join("none.csv"))));
    let refused = app::new(&folder).unwrap_err();
    assert_eq!(refused.kind, Kind::Refused);
    assert_eq!(refused.place, Some(At::Path(folder.clone())));
    let outside = app::new(&folder.join("dossier.toml/below")).unwrap_err();
    assert_eq!(outside.kind, Kind::Outside);
    let internal = Problem::from(pdf::PdfError::Layout("no room".to_string()));
    assert_eq!(internal.kind, Kind::Internal);

    let broken = text(&folder).replacen("kind = ", "knid = ", 1);
    fs::write(folder.join("dossier.toml"), broken).unwrap();
    let mistakes = examined(&folder, &Unwatched);
    let Kind::Mistakes(list) = &mistakes.kind else {
        panic!("{mistakes:?}");
    };
    assert!(list.0.iter().any(|p| p.line > 0));
    for problem in [mistakes, missing, refused, outside, internal] {
        assert!(!problem.message.is_empty() && !problem.remedy.to_string().is_empty());
    }
}
