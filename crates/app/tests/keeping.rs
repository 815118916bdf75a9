//! Dossiers into a library and out of it: nothing is lost, and nothing from outside does harm.

use app::Unwatched;
use app::keeping::{ExportOptions, ImportOptions, Imported, Source, export, import};
use app::{Kind, Problem};
use bytes::Bytes;
use jiff::Timestamp;
use library::{
    ClientId, DossierId, EditList, LeavingOut, Library, Origin, Person, Publication, Submission,
    Which,
};
use record::{Edit, Place};
use serde_json::json;
use std::collections::BTreeMap;
use std::io::{Cursor, Write as _};
use std::path::{Path, PathBuf};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const AT: Timestamp = Timestamp::UNIX_EPOCH;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp")
}

/// All files below a folder that belong to a dossier.
fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(inside) = folders.pop() {
        for entry in std::fs::read_dir(inside).expect("listed") {
            let path = entry.expect("listed").path();
            let name = path
                .strip_prefix(folder)
                .expect("below it")
                .to_string_lossy()
                .into_owned();
            if path.is_dir() {
                folders.push(path);
            } else if !name.starts_with('.') {
                found.insert(name, std::fs::read(path).expect("read"));
            }
        }
    }
    found
}

/// The demonstration without what is beside the dossier in its folder.
fn original() -> BTreeMap<String, Vec<u8>> {
    let mut found = contents(&demo());
    found.retain(|name, _| name != "ORIGIN.md" && !name.starts_with("scenes/"));
    found
}

async fn taken(library: &Library, source: Result<Source, Problem>) -> Result<Imported, Problem> {
    let by = Person::from("A");
    import(
        library,
        source?,
        ImportOptions::default(),
        &by,
        AT,
        &Unwatched,
    )
    .await
}

async fn set(library: &Library, id: &DossierId, seq: u64, model: &str) {
    let edit = Edit::Set {
        at: Place::product().at("model"),
        new: json!(model),
        old: None,
    };
    let list = EditList {
        seq,
        group: None,
        edits: vec![edit],
        undo: None,
    };
    let client: ClientId = "a".parse().expect("a letter");
    let lists = vec![list];
    let submission = Submission { client, lists };
    library
        .take(id, &submission, &Person::from("B"), AT)
        .await
        .expect("in reach");
}

async fn exported(library: &Library, id: &DossierId, into: &Path, history: bool) {
    let options = ExportOptions {
        into: into.to_path_buf(),
        revision: None,
        alone: !history,
    };
    export(library, id, &options, &Unwatched)
        .await
        .expect("room");
}

#[tokio::test]
async fn a_folder_comes_back_byte_for_byte_by_folder_and_by_archive() {
    let library = Library::in_memory();
    let temporary = tempfile::tempdir().expect("a temporary folder");
    let original = original();
    assert!(original.len() > 5, "the demonstration has photographs");
    let first = taken(&library, Source::at(&demo())).await.expect("reads");
    assert_eq!(first.left_out, ["ORIGIN.md", "scenes"]);
    let folder = temporary.path().join("out");
    exported(&library, &first.id, &folder, false).await;
    assert_eq!(contents(&folder), original);
    let archive = temporary.path().join("out.zip");
    exported(&library, &first.id, &archive, false).await;
    let second = taken(&library, Source::at(&archive)).await.expect("reads");
    assert_eq!((second.left_out, second.files), (Vec::new(), first.files));
    let again = temporary.path().join("again");
    exported(&library, &second.id, &again, false).await;
    assert_eq!(contents(&again), original);
    // Equal dossiers give equal archives.
    let other = temporary.path().join("other.zip");
    exported(&library, &second.id, &other, false).await;
    assert_eq!(
        std::fs::read(other).expect("read"),
        std::fs::read(archive).expect("read")
    );
}

#[tokio::test]
async fn the_history_comes_along_when_asked_for() {
    let library = Library::in_memory();
    let temporary = tempfile::tempdir().expect("a temporary folder");
    let first = taken(&library, Source::at(&demo())).await.expect("reads");
    set(&library, &first.id, 1, "V2-1").await;
    set(&library, &first.id, 2, "V2-2").await;
    for name in ["out", "out.zip"] {
        let into = temporary.path().join(name);
        exported(&library, &first.id, &into, true).await;
        let brought = taken(&library, Source::at(&into)).await.expect("reads");
        assert_eq!(brought.revision, 3);
        for number in 1..=3 {
            let (there, text) = library.revision(&first.id, number).await.expect("there");
            let (here, same) = library.revision(&brought.id, number).await.expect("there");
            assert_eq!(
                (text, there.edits, there.inverse),
                (same, here.edits, here.inverse)
            );
            assert_eq!((there.at, there.by), (here.at, here.by));
        }
        let options = ImportOptions {
            without_history: true,
        };
        let source = Source::at(&into).expect("there");
        let alone = import(
            &library,
            source,
            options,
            &Person::from("A"),
            AT,
            &Unwatched,
        )
        .await;
        assert_eq!(alone.expect("reads").revision, 1);
    }
    // The text was edited outside since: one revision more.
    let text = temporary.path().join("out/dossier.toml");
    let edited = std::fs::read_to_string(&text)
        .expect("read")
        .replace("V2-2", "V2-3");
    std::fs::write(&text, &edited).expect("written");
    let brought = taken(&library, Source::at(&temporary.path().join("out")))
        .await
        .expect("reads");
    let (last, same) = library.revision(&brought.id, 4).await.expect("there");
    assert_eq!((last.origin, same), (Origin::Outside, edited));
    assert!(library.verify().await.expect("in reach").damage.is_empty());
}

/// Publishes a revision as the next version, with a page that names it and a picture that is always the same.
async fn publish(library: &Library, id: &DossierId, revision: u64) {
    let version = library.publications(id).await.expect("there").len() as u64 + 1;
    let page = format!("<p>version {version}</p>");
    let mut files = Vec::new();
    for (path, bytes) in [
        ("report.html", page.into_bytes()),
        ("photographs/1.bin", vec![0, 255, 7]),
    ] {
        let kept = library.keep_published(path, Bytes::from(bytes)).await;
        files.push(kept.expect("room"));
    }
    let publication = Publication {
        version,
        revision,
        at: AT,
        by: Person::from("B"),
        reason: (version > 1).then(|| "The scale was read wrongly.".into()),
        fingerprint: Some("0f".repeat(32)),
        files,
    };
    library.publish(id, publication).await.expect("the next");
}

/// The demonstration at revision 3, published at 1 and at 3, with a section left out of the next.
async fn published(library: &Library) -> DossierId {
    let id = taken(library, Source::at(&demo())).await.expect("reads").id;
    publish(library, &id, 1).await;
    set(library, &id, 1, "V2-1").await;
    set(library, &id, 2, "V2-2").await;
    publish(library, &id, 3).await;
    let mut what = LeavingOut::default();
    what.sections.insert("section-cells".into());
    let said = library.leave_out(&id, &what, &Person::from("B"), AT).await;
    said.expect("in reach");
    id
}

#[tokio::test]
async fn what_was_published_comes_along_byte_for_byte() {
    let library = Library::in_memory();
    let temporary = tempfile::tempdir().expect("a temporary folder");
    let id = published(&library).await;
    let there = library.publications(&id).await.expect("there");
    for name in ["out", "out.zip"] {
        let into = temporary.path().join(name);
        exported(&library, &id, &into, true).await;
        // Into a library that has none of the bytes.
        let other = Library::in_memory();
        let brought = taken(&other, Source::at(&into)).await.expect("reads");
        assert_eq!((brought.publications, brought.left_out), (2, Vec::new()));
        assert_eq!(other.publications(&brought.id).await.expect("there"), there);
        for file in there.iter().flat_map(|p| &p.files) {
            let here = other.object(&file.sha256).await.expect("kept");
            assert_eq!(library.object(&file.sha256).await.expect("kept"), here);
        }
        let out = other.leaving_out(&brought.id).await.expect("there");
        assert!(out.sections.contains("section-cells"));
        let verified = other.verify().await.expect("in reach");
        assert_eq!((verified.damage, verified.unused), (Vec::new(), 0));
        // And out again: the same files, all of them.
        let again = temporary.path().join(format!("again-{name}"));
        exported(&other, &brought.id, &again, true).await;
        if again.is_dir() {
            assert_eq!(
                std::fs::read(again.join("published/2/report.html")).expect("read"),
                b"<p>version 2</p>"
            );
            let beside = |at: &Path| {
                let mut all = contents(at);
                // Revisions that came in say so.
                all.remove("history.json");
                all
            };
            assert_eq!(beside(&again), beside(&into));
        }
        let options = ImportOptions {
            without_history: true,
        };
        let by = Person::from("A");
        let source = Source::at(&into).expect("there");
        let alone = import(&other, source, options, &by, AT, &Unwatched).await;
        let alone = alone.expect("reads");
        assert_eq!((alone.publications, alone.left_out), (0, Vec::new()));
    }
    // An earlier revision takes along what had been published by then.
    let options = ExportOptions {
        into: temporary.path().join("early"),
        revision: Some(2),
        alone: false,
    };
    let early = export(&library, &id, &options, &Unwatched).await;
    assert_eq!(early.expect("room").publications, 1);
    let brought = taken(&library, Source::at(&options.into)).await;
    assert_eq!(brought.expect("reads").publications, 1);
}

#[tokio::test]
async fn what_was_published_is_taken_as_it_was_or_refused() {
    let library = Library::in_memory();
    let temporary = tempfile::tempdir().expect("a temporary folder");
    let id = published(&library).await;
    let out = temporary.path().join("out");
    exported(&library, &id, &out, true).await;
    let whole = contents(&out);
    let list = String::from_utf8(whole["published.json"].clone()).expect("text");
    let with = |path: &str, bytes: Option<&[u8]>| {
        let mut files = whole.clone();
        match bytes {
            Some(bytes) => files.insert(path.into(), bytes.to_vec()),
            None => files.remove(path),
        };
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        for (name, bytes) in files {
            put(&mut zip, &name, &bytes);
        }
        zip.finish().expect("finished").into_inner()
    };
    let page = "published/1/report.html";
    refused(with(page, Some(b"<p>version 7</p>")), "has other bytes").await;
    refused(with(page, None), "is missing").await;
    refused(
        with("published/1/../../evil", Some(b"x")),
        "cannot be the path",
    )
    .await;
    refused(
        with("published/1/REPORT.html", Some(b"x")),
        "one file on some systems",
    )
    .await;
    for (from, to, expected) in [
        ("\"version\":2", "\"version\":3", "is missing"),
        ("\"revision\":3", "\"revision\":4", "which is missing"),
        (
            "\"path\":\"report.html\"",
            "\"path\":\"../1/report.html\"",
            "is missing",
        ),
        (
            "underlid-published 1",
            "underlid-published 9",
            "its format is",
        ),
        (
            "\"publications\":[",
            "\"publications\":[7,",
            "cannot be taken in",
        ),
        ("photographs/1.bin", "report.html", "twice"),
    ] {
        let changed = list.replacen(from, to, 1);
        assert_ne!(changed, list, "{from}");
        refused(with("published.json", Some(changed.as_bytes())), expected).await;
    }
    // What the list does not name, and a list without the history it speaks of, are left out and told.
    for (changed, left) in [
        (with("published/9/x", Some(b"x")), vec!["published/9/x"]),
        (
            with("history.json", None),
            vec![
                "published/1/photographs/1.bin",
                page,
                "published/2/photographs/1.bin",
                "published/2/report.html",
            ],
        ),
    ] {
        let source = Source::of_bytes("sent.zip", changed);
        let brought = taken(&Library::in_memory(), source).await.expect("reads");
        assert_eq!(brought.left_out, left);
    }
}

#[tokio::test]
async fn what_is_there_is_never_written_over() {
    let library = Library::in_memory();
    let temporary = tempfile::tempdir().expect("a temporary folder");
    let id = taken(&library, Source::at(&demo()))
        .await
        .expect("reads")
        .id;
    for name in ["folder", "file.zip"] {
        let into = temporary.path().join(name);
        match name {
            "folder" => {
                std::fs::create_dir(&into).expect("made");
                std::fs::write(into.join("mine"), "x").expect("written");
            }
            _ => std::fs::write(&into, "x").expect("written"),
        }
        let options = ExportOptions {
            into: into.clone(),
            ..ExportOptions::default()
        };
        let refused = export(&library, &id, &options, &Unwatched)
            .await
            .expect_err("in the way");
        assert_eq!(refused.kind, Kind::Refused, "{refused}");
    }
    let left: Vec<_> = contents(temporary.path()).into_keys().collect();
    assert_eq!(left, ["file.zip", "folder/mine"]);
}

fn plain() -> SimpleFileOptions {
    SimpleFileOptions::default().compression_method(CompressionMethod::Stored)
}

fn text() -> Vec<u8> {
    std::fs::read(demo().join("dossier.toml")).expect("the demonstration")
}

/// An archive of the demonstration, with more in it.
fn archive(fill: impl FnOnce(&mut ZipWriter<Cursor<Vec<u8>>>)) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in original() {
        zip.start_file(name, plain()).expect("begun");
        zip.write_all(&bytes).expect("written");
    }
    fill(&mut zip);
    zip.finish().expect("finished").into_inner()
}

/// An archive of the text alone, with more in it.
fn small(fill: impl FnOnce(&mut ZipWriter<Cursor<Vec<u8>>>)) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    put(&mut zip, "dossier.toml", &text());
    fill(&mut zip);
    zip.finish().expect("finished").into_inner()
}

fn put(zip: &mut ZipWriter<Cursor<Vec<u8>>>, name: &str, bytes: &[u8]) {
    zip.start_file(name, plain()).expect("begun");
    zip.write_all(bytes).expect("written");
}

async fn refused(bytes: Vec<u8>, expected: &str) {
    let library = Library::in_memory();
    let fault = taken(&library, Source::of_bytes("sent.zip", bytes))
        .await
        .expect_err(expected);
    assert!(fault.message.contains(expected), "{}", fault.message);
    // A history that does not hold together is told of as mistakes are.
    let told = matches!(fault.kind, Kind::Refused | Kind::Unfit(_));
    assert!(told, "{fault}");
    assert_eq!(library.heads(Which::Present).await.expect("in reach"), []);
}

#[tokio::test]
async fn archives_that_lead_outside_are_refused() {
    for name in [
        "../evil",
        "/etc/evil",
        "photos/../../evil",
        "C:\\evil",
        "photos\\evil.jpg",
        "photos//evil.jpg",
    ] {
        refused(archive(|zip| put(zip, name, b"x")), "cannot be the path").await;
    }
    refused(
        archive(|zip| put(zip, "DOSSIER.toml", b"x")),
        "one file on some systems",
    )
    .await;
}

#[tokio::test]
async fn archives_with_links_devices_or_encrypted_files_are_refused() {
    let linked = archive(|zip| {
        zip.add_symlink("photos/link.jpg", "/etc/passwd", plain())
            .expect("written");
    });
    refused(linked, "is a link or a device").await;
    let mut encrypted = archive(|zip| put(zip, "logs/secret.csv", b"x"));
    // General purpose bit 0 says encrypted: APPNOTE.TXT 4.4.4, in each directory entry 8 bytes after its signature.
    let at = encrypted
        .windows(4)
        .rposition(|w| w == b"PK\x01\x02")
        .expect("an entry");
    encrypted[at + 8] |= 1;
    refused(encrypted, "is encrypted").await;
}

#[tokio::test]
async fn archives_whose_names_stand_twice_are_refused() {
    for (one, other) in [
        ("photos/More.jpg", "photos/more.JPG"),
        ("photos/caf\u{e9}.jpg", "photos/cafe\u{301}.jpg"),
        ("logs/a", "logs/a/b"),
    ] {
        let expected = if other == "logs/a/b" {
            "both a file and a folder"
        } else {
            "one file on some systems"
        };
        let twice = archive(|zip| {
            put(zip, one, b"1");
            put(zip, other, b"2");
        });
        refused(twice, expected).await;
    }
    // The same name twice: no writer makes it, so the second is renamed in the bytes.
    let mut twice = archive(|zip| {
        put(zip, "logs/1.csv", b"1");
        put(zip, "logs/2.csv", b"2");
    });
    let places: Vec<usize> = twice
        .windows(10)
        .enumerate()
        .filter(|(_, w)| *w == b"logs/2.csv")
        .map(|(at, _)| at)
        .collect();
    assert_eq!(places.len(), 2);
    places.iter().for_each(|at| twice[at + 5] = b'1');
    refused(twice, "have the same name").await;
}

#[tokio::test]
async fn bombs_are_refused() {
    let deflated = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    let block = vec![0; 1 << 20];
    let bomb = small(|zip| {
        for part in 0..2 {
            zip.start_file(format!("logs/{part}.csv"), deflated)
                .expect("begun");
            for _ in 0..40 {
                zip.write_all(&block).expect("written");
            }
        }
    });
    refused(bomb, "unpacks to far more").await;
    let long = small(|zip| {
        for part in 0..10_001 {
            put(zip, &format!("logs/{part}"), b"");
        }
    });
    refused(long, "more than 10000 files").await;
    let mut large = text();
    large.resize(9 << 20, b'\n');
    let large = {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        put(&mut zip, "dossier.toml", &large);
        zip.finish().expect("finished").into_inner()
    };
    refused(large, "has more than the").await;
}

#[tokio::test]
async fn damaged_and_other_files_are_told() {
    refused(
        b"this is no archive".to_vec(),
        "cannot be read as a zip archive",
    )
    .await;
    let mut damaged = archive(|zip| put(zip, "logs/a.csv", b"0123456789"));
    let at = damaged
        .windows(10)
        .position(|w| w == b"0123456789")
        .expect("stored plainly");
    damaged[at] = b'x';
    refused(damaged, "is damaged").await;
    let none = {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        put(&mut zip, "letter.txt", b"Dear");
        zip.finish().expect("finished").into_inner()
    };
    let library = Library::in_memory();
    let fault = taken(&library, Source::of_bytes("sent.zip", none))
        .await
        .expect_err("no dossier");
    assert_eq!(fault.kind, Kind::Missing);
}

#[tokio::test]
async fn what_belongs_to_no_dossier_is_left_out_and_told() {
    let library = Library::in_memory();
    let more = archive(|zip| {
        for name in ["letter.txt", "report/report.html", "photos/.DS_Store"] {
            put(zip, name, b"x");
        }
    });
    let taken = taken(&library, Source::of_bytes("sent.zip", more))
        .await
        .expect("reads");
    assert_eq!(
        taken.left_out,
        ["letter.txt", "report/report.html", "photos/.DS_Store"]
    );
    assert_eq!(taken.files.len(), original().len() - 1);
}

#[tokio::test]
async fn an_archive_of_the_folder_itself_is_taken_too() {
    let library = Library::in_memory();
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    zip.add_directory("lamp/photos", plain()).expect("made");
    for (name, bytes) in original() {
        put(&mut zip, &format!("lamp/{name}"), &bytes);
    }
    put(&mut zip, "__MACOSX/lamp/._dossier.toml", b"x");
    let bytes = zip.finish().expect("finished").into_inner();
    let taken = taken(&library, Source::of_bytes("sent.zip", bytes))
        .await
        .expect("reads");
    assert_eq!(taken.files.len(), original().len() - 1);
    assert_eq!(taken.left_out, ["__MACOSX/lamp/._dossier.toml"]);
}

#[cfg(unix)]
#[tokio::test]
async fn a_folder_with_links_that_lead_outside_is_refused() {
    let library = Library::in_memory();
    let temporary = tempfile::tempdir().expect("a temporary folder");
    let folder = temporary.path().join("out");
    let id = taken(&library, Source::at(&demo()))
        .await
        .expect("reads")
        .id;
    exported(&library, &id, &folder, false).await;
    std::os::unix::fs::symlink("/etc/passwd", folder.join("logs/link.csv")).expect("linked");
    let before = library.heads(Which::Present).await.expect("in reach").len();
    let fault = taken(&library, Source::at(&folder))
        .await
        .expect_err("a link");
    assert_eq!(fault.kind, Kind::Refused);
    assert!(fault.message.contains("leads outside"), "{fault}");
    assert_eq!(
        library.heads(Which::Present).await.expect("in reach").len(),
        before
    );
}

/// Wherever an archive is cut or changed, it is taken or refused; nothing panics. Figures from a linear congruential
/// generator (Knuth's MMIX constants), so that a failure can be had again.
#[tokio::test]
async fn spoilt_archives_never_panic() {
    let deflated = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    let sound = small(|zip| {
        zip.start_file("logs/a.csv", deflated).expect("begun");
        zip.write_all(&[b'1'; 500]).expect("written");
    });
    let mut state: u64 = 1;
    let mut next = |below: usize| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(state >> 33).expect("31 bits") % below
    };
    let mut refused = 0;
    for _ in 0..200 {
        let mut bytes = sound.clone();
        // Most of it is the text; what steers a reader stands at the end.
        for _ in 0..=next(4) {
            let end = bytes.len().min(400);
            let at = bytes.len() - 1 - next(end);
            bytes[at] = u8::try_from(next(256)).expect("below 256");
        }
        if next(4) == 0 {
            bytes.truncate(bytes.len() - next(300));
        }
        let library = Library::in_memory();
        refused += usize::from(
            taken(&library, Source::of_bytes("sent.zip", bytes))
                .await
                .is_err(),
        );
    }
    assert!(refused > 60, "only {refused} were refused");
}
