//! Every verb called as a server would, without a terminal and with a watch in memory: once as it should be, and
//! once so that it cannot be done, which is told with kind, place and remedy.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use app::catalogues::{self, ImportOptions};
use app::measure::{MeasureOptions, measure};
use app::read::{CluesAsText, Lists, Reader};
use app::{
    At, ExamineOptions, Kernel, Kind, PictureOptions, Problem, PublishOptions, Rectify, Remedy,
    Unwatched, Watch,
};
use record::Place;
use std::cell::RefCell;
use std::fs;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// What a server would send to whoever waits.
#[derive(Default)]
struct Memory(RefCell<Vec<String>>);

impl Watch for Memory {
    fn stage(&self, what: &str) {
        self.0.borrow_mut().push(what.to_string());
    }
    fn step(&self, what: &str, number: usize, of: usize) {
        assert!((1..=of).contains(&number), "{what}");
        self.stage(what);
    }
}

fn demo() -> (TempDir, PathBuf) {
    let at = TempDir::new().unwrap();
    let demo = app::write_demo(at.path(), &Unwatched).unwrap();
    (at, demo.folder)
}

/// Holds a problem against what a server has to know of it.
#[track_caller]
fn told<T>(result: Result<T, Problem>, kind: Kind, place: Option<At>, remedy: &str) {
    let Err(problem) = result else {
        panic!("it was done");
    };
    assert_eq!(problem.kind, kind, "{problem}");
    assert_eq!(problem.place, place, "{problem}");
    assert!(!problem.message.is_empty());
    let words = problem.remedy.to_string();
    assert!(words.contains(remedy), "{words}");
    assert!(!words.contains("--"), "{words}");
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "what it is compared with is an option"
)]
fn path(path: impl AsRef<Path>) -> Option<At> {
    Some(At::Path(path.as_ref().to_path_buf()))
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "what it is compared with is an option"
)]
fn record(place: &str) -> Option<At> {
    Some(At::Record(place.parse::<Place>().unwrap()))
}

#[test]
fn folders() {
    let at = TempDir::new().unwrap();
    let watch = Memory::default();
    let folder = at.path().join("lamp");
    app::new(&folder).unwrap();
    told(app::new(&folder), Kind::Refused, path(&folder), "folder");

    let none = at.path().join("none");
    app::open(&folder, &watch).unwrap();
    assert!(app::check(&folder, &Unwatched).is_ok());
    assert!(
        app::check(&none, &Unwatched).unwrap_err().0[0]
            .remedy
            .contains("check the path")
    );
    let Err(problem) = app::open(&none, &watch) else {
        panic!("there is none");
    };
    assert_eq!(problem.kind, Kind::Missing);
    assert!(matches!(problem.place, Some(At::Path(_))));
    assert!(app::open_draft(&none).is_err());

    let draft = app::open_draft(&folder).unwrap();
    app::save(&folder, &draft).unwrap();
    let text = folder.join("dossier.toml");
    fs::write(&text, format!("# mine\n{}", draft.text())).unwrap();
    told(
        app::save(&folder, &draft),
        Kind::Conflict,
        path(&text),
        "again",
    );
    assert!(
        watch
            .0
            .borrow()
            .iter()
            .any(|line| line.contains("dossier.toml"))
    );

    let demo = app::write_demo(at.path(), &watch).unwrap();
    assert!(!demo.kept);
    let file = at.path().join("file");
    fs::write(&file, "").unwrap();
    assert!(app::write_demo(&file, &watch).unwrap_err().place.is_some());
}

#[test]
fn edits() {
    let (_at, folder) = demo();
    let watch = Memory::default();
    let name: Place = "product.name".parse().unwrap();
    let applied = app::edit(&folder, |draft, _| Ok(draft.set(&name, "Glimm 3")?), &watch).unwrap();

    // Another window edits elsewhere; the first edit is undone all the same.
    let note: Place = "product.note".parse().unwrap();
    app::edit(&folder, |draft, _| Ok(draft.set(&note, "as new")?), &watch).unwrap();
    app::edit(
        &folder,
        |draft, _| Ok(draft.apply(&applied.inverse)?),
        &watch,
    )
    .unwrap();
    let dossier = app::open(&folder, &watch).unwrap();
    assert_ne!(dossier.product.name, "Glimm 3");
    assert_eq!(dossier.product.note.as_deref(), Some("as new"));

    told(
        app::edit(
            &folder,
            |draft, _| Ok(draft.apply(&applied.inverse)?),
            &watch,
        ),
        Kind::Conflict,
        record("product.name"),
        "make the edit again",
    );
    let absent: Place = "items.none.name".parse().unwrap();
    told(
        app::edit(&folder, |draft, _| Ok(draft.set(&absent, "x")?), &watch),
        Kind::Missing,
        record("items.none.name"),
        "as it is now",
    );
    told(
        app::edit(&folder, |draft, _| Ok(draft.set(&name, 7)?), &watch),
        Kind::Refused,
        record("product.name"),
        "as the format asks",
    );
}

#[test]
fn examination_publication_pictures() {
    let (at, folder) = demo();
    let watch = Memory::default();
    let examine = |catalogues: Vec<PathBuf>| {
        let options = ExamineOptions {
            folder: folder.clone(),
            catalogues,
        };
        app::examine(&options, &watch)
    };
    examine(Vec::new()).unwrap();
    let none = at.path().join("none.csv");
    told(
        examine(vec![none.clone()]),
        Kind::Missing,
        path(&none),
        "check the path",
    );

    let publish = |into: Option<PathBuf>| {
        let options = PublishOptions {
            folder: folder.clone(),
            into,
            ..PublishOptions::default()
        };
        app::publish(&options, &watch)
    };
    publish(None).unwrap();
    let photos = folder.join("photos");
    told(
        publish(Some(photos.clone())),
        Kind::Refused,
        path(&photos),
        "folder",
    );

    let options = PictureOptions {
        photos: vec!["box".to_string()],
        ..PictureOptions::of(&folder)
    };
    app::picture(&options, &watch).unwrap();
    let unknown = PictureOptions {
        photos: vec!["none".to_string()],
        ..options.clone()
    };
    told(
        app::picture(&unknown, &watch),
        Kind::Missing,
        record("photos"),
        "choose one of",
    );
    for column_mm in [f64::NAN, f64::INFINITY, 0.0] {
        let odd = PictureOptions {
            column_mm,
            ..options.clone()
        };
        told(
            app::picture(&odd, &watch),
            Kind::Unfit(Vec::new()),
            None,
            "above 0",
        );
    }
    let rectified = |per_mm: f64| {
        let options = PictureOptions {
            rectify: Some(Rectify {
                per_mm: Some(per_mm),
                kernel: Kernel::Bilinear,
            }),
            ..options.clone()
        };
        app::picture(&options, &watch)
    };
    told(
        rectified(f64::NAN),
        Kind::Unfit(Vec::new()),
        None,
        "above 0",
    );
    told(
        rectified(500.0),
        Kind::Refused,
        record("photo:box"),
        "fewer pixels per millimetre",
    );
}

#[test]
fn sizes() {
    let (_at, folder) = demo();
    let watch = Memory::default();
    let all = MeasureOptions {
        folder: folder.clone(),
        ..MeasureOptions::default()
    };
    measure(&all, &watch).unwrap();
    let good = MeasureOptions {
        photo: Some("box".to_string()),
        at: Some(vec![[100.0, 100.0], [300.0, 100.0]]),
        within: Some(1.0),
        ..all
    };
    measure(&good, &watch).unwrap();
    let but = |change: &dyn Fn(&mut MeasureOptions)| {
        let mut options = good.clone();
        change(&mut options);
        measure(&options, &watch)
    };
    let photo = record("photo:box");
    let refused = Kind::Unfit(Vec::new());
    for odd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let points = but(&|o| o.at = Some(vec![[odd, 1.0], [2.0, 3.0]]));
        told(points, refused.clone(), photo.clone(), "pixels");
        told(
            but(&|o| o.within = Some(odd)),
            refused.clone(),
            photo.clone(),
            "above 0",
        );
    }
    let one = but(&|o| o.at = Some(vec![[1.0, 1.0]]));
    told(one, refused.clone(), photo.clone(), "mark exactly 2");
    let row = but(&|o| {
        o.row = true;
        o.at = Some(vec![[1.0, 1.0]]);
    });
    told(row, refused.clone(), photo.clone(), "one at either end");
    let card = but(&|o| o.known = Some("40 x 30 mm".to_string()));
    told(card, refused.clone(), photo.clone(), "mark exactly 4");
    let same = but(&|o| {
        o.known = Some("50 mm".to_string());
        o.at = Some(vec![[100.0, 100.0], [100.0, 100.0]]);
    });
    told(same, Kind::NoAnswer, photo.clone(), "as far apart");
    let size = but(&|o| o.known = Some("50 kg".to_string()));
    told(size, refused.clone(), photo.clone(), "50 mm");
    let height = but(&|o| o.height = Some("1 kg".to_string()));
    told(height, refused.clone(), photo.clone(), "with its unit");
    let what = but(&|o| o.what = Some("beauty".to_string()));
    told(what, refused, photo, "choose one of");
    let absent = but(&|o| o.photo = Some("none".to_string()));
    told(absent, Kind::Missing, record("photos"), "choose one of");
    let item = but(&|o| o.item = Some("none".to_string()));
    told(item, Kind::Missing, record("items"), "name an item");
}

#[test]
fn markings_and_catalogues() {
    let (at, folder) = demo();
    let watch = Memory::default();
    let none = at.path().join("none.csv");
    let lists = Lists {
        catalogues: vec![none.clone()],
        ..Lists::default()
    };
    told(
        Reader::open(&lists, &watch),
        Kind::Missing,
        path(&none),
        "check the path",
    );
    let reader = Reader::open(&Lists::default(), &watch).unwrap();
    reader.text("4K7", &CluesAsText::default(), &[]).unwrap();
    told(
        reader.text("4K[", &CluesAsText::default(), &[]),
        Kind::Unfit(Vec::new()),
        None,
        "]",
    );

    let table = at.path().join("markings.csv");
    fs::write(&table, "marking,pins\n4K7,2\n104,many\n").unwrap();
    let mut rows = Vec::new();
    reader
        .batch(
            &table,
            |row| {
                rows.push(row.said);
                ControlFlow::Continue(())
            },
            &watch,
        )
        .unwrap();
    assert!(rows.remove(0).is_ok());
    told(rows.remove(0), Kind::Refused, path(&table), "whole number");
    fs::write(&table, "name\nx\n").unwrap();
    told(
        reader.batch(&table, |_| ControlFlow::Continue(()), &watch),
        Kind::Refused,
        path(&table),
        "column marking",
    );
    let picture = fs::read_dir(folder.join("photos"))
        .unwrap()
        .next()
        .unwrap()
        .unwrap()
        .path();
    reader.photo(&picture, &watch).unwrap();
    told(
        reader.photo(&table, &watch),
        Kind::Refused,
        path(&table),
        "",
    );

    let parts = at.path().join("parts.csv");
    fs::write(&parts, "name,maker\nXQ1234,Orrin\n").unwrap();
    let into = at.path().join("catalogue.csv");
    let options = ImportOptions {
        files: vec![parts.clone()],
        into: Some(into.clone()),
        map: Vec::new(),
    };
    catalogues::preview(&options, 5).unwrap();
    catalogues::import(&options, &watch).unwrap();
    let nowhere = ImportOptions {
        into: None,
        ..options.clone()
    };
    told(
        catalogues::import(&nowhere, &watch),
        Kind::Refused,
        None,
        "catalogue to import into",
    );
    let mapped = ImportOptions {
        map: vec!["nonsense".to_string()],
        ..options
    };
    told(
        catalogues::preview(&mapped, 5),
        Kind::Refused,
        path(&parts),
        "first rows",
    );
    told(
        catalogues::import(&mapped, &watch),
        Kind::Refused,
        path(&parts),
        "first rows",
    );
    catalogues::harvest(std::slice::from_ref(&folder), &into, &watch).unwrap();
    catalogues::check(std::slice::from_ref(&into), &watch).unwrap();
    told(
        catalogues::check(std::slice::from_ref(&none), &watch),
        Kind::Missing,
        path(&none),
        "check the path",
    );
    fs::write(&into, "name,pins\nX1,many\n").unwrap();
    let harvested = catalogues::harvest(&[folder], &into, &watch);
    let Err(Problem { remedy, .. }) = &harvested else {
        panic!("rows would be lost");
    };
    assert_eq!(*remedy, Remedy::CheckCatalogue(into.clone()));
    told(harvested, Kind::Refused, path(&into), "correct its rows");
}

/// Words of one caller have no place in what all of them call.
#[test]
fn no_source_names_an_option_or_a_command() {
    fn sources(folder: &Path, all: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                sources(&path, all);
            } else {
                all.push(path);
            }
        }
    }
    let mut all = Vec::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut all);
    assert!(all.len() > 20);
    for path in all {
        let text = fs::read_to_string(&path).unwrap();
        for (n, line) in text.lines().enumerate() {
            let option = line
                .match_indices("--")
                .any(|(at, _)| line[at + 2..].starts_with(|c: char| c.is_ascii_lowercase()));
            let command = [
                "`underlid ",
                "\"underlid ",
                "; underlid ",
                ": underlid ",
                "the command\"",
            ];
            let command = command.iter().any(|word| line.contains(word));
            assert!(!option && !command, "{}:{}: {line}", path.display(), n + 1);
        }
    }
}
