//! Texts published before, read and taken into a library.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use app::desk::{Decision, Desk};
use app::past::{PastOptions, Taking, past, read_list, take, write_list};
use app::{Kind, Unwatched};
use jiff::Timestamp;
use library::{DossierId, Library, Person, Which};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const AT: Timestamp = Timestamp::UNIX_EPOCH;
const SENTENCE: &str = "The linear charger is Halvik's RKT2104.";

/// Two products: one with an article and captions, one with an article.
fn texts(at: &Path) -> PathBuf {
    let folder = at.join("texts");
    fs::create_dir_all(folder.join("older")).unwrap();
    let page = format!(
        "<title>Inside the Lumo 2 | Bench</title>\n<p>{SENTENCE}\n<p>A GQ5512 motion sensor from Norda."
    );
    fs::write(folder.join("lumo.html"), page).unwrap();
    let film = "WEBVTT\n\n00:01.000 --> 00:02.000\nThe op-amp is marked WK7710.\n";
    fs::write(folder.join("lumo.vtt"), film).unwrap();
    fs::write(
        folder.join("older/bera.md"),
        "# Bera 5\n\nThe charger is the RKT2104 from Halvik.\n",
    )
    .unwrap();
    fs::write(folder.join("older/broken.txt"), b"\x7fELF\0").unwrap();
    fs::write(folder.join("notes.pdf"), "no text that is read").unwrap();
    folder
}

fn options(folder: &Path) -> PastOptions {
    PastOptions {
        texts: vec![folder.to_path_buf()],
        catalogues: Vec::new(),
    }
}

fn taking(library: &Path) -> Taking {
    Taking {
        library: library.to_path_buf(),
        catalogues: Vec::new(),
        by: Person::from("A."),
        at: AT,
    }
}

#[test]
fn texts_of_one_product_stand_together_and_a_broken_one_is_told() {
    let at = TempDir::new().unwrap();
    let read = past(&options(&texts(at.path())), &Unwatched).unwrap();
    let told: Vec<(&str, Vec<&str>)> = read
        .products
        .iter()
        .map(|p| {
            (
                p.product.as_str(),
                p.texts.iter().map(|t| t.file.as_str()).collect(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            ("Lumo 2", vec!["lumo.html", "lumo.vtt"]),
            ("Bera 5", vec!["bera.md"])
        ]
    );
    assert_eq!(read.unread.len(), 1);
    assert!(
        read.unread[0]
            .message
            .contains("broken.txt: the file is no text"),
        "{}",
        read.unread[0]
    );
}

#[test]
fn what_is_no_text_is_answered() {
    let at = TempDir::new().unwrap();
    let folder = texts(at.path());
    let asked = |path: PathBuf| {
        past(
            &PastOptions {
                texts: vec![path],
                catalogues: Vec::new(),
            },
            &Unwatched,
        )
        .unwrap_err()
    };
    assert_eq!(asked(at.path().join("nowhere")).kind, Kind::Missing);
    assert_eq!(asked(folder.join("notes.pdf")).kind, Kind::Refused);
    assert!(matches!(
        asked(folder.join("older/broken.txt")).kind,
        Kind::Unfit(_)
    ));
    let empty = at.path().join("empty");
    fs::create_dir(&empty).unwrap();
    assert_eq!(asked(empty).kind, Kind::Missing);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_a_list_accepts_becomes_part_and_catalogue_entry_with_its_sentence() {
    let at = TempDir::new().unwrap();
    let read = past(&options(&texts(at.path())), &Unwatched).unwrap();
    let (list, library) = (at.path().join("review.csv"), at.path().join("library"));
    write_list(&list, &read.products).unwrap();
    assert_eq!(
        write_list(&list, &read.products).unwrap_err().kind,
        Kind::Refused
    );
    let text = fs::read_to_string(&list).unwrap();
    let decided = text.replacen(
        "\n,RKT2104,Halvik,linear charger",
        "\nyes,RKT2104,Halvik,charging chip",
        1,
    );
    fs::write(&list, decided.replacen("\n,GQ5512", "\nno,GQ5512", 1)).unwrap();
    let decisions = read_list(&list).unwrap();
    let taken = take(&taking(&library), &read.products, &decisions)
        .await
        .unwrap();
    let counts: Vec<_> = taken
        .iter()
        .map(|t| (t.is_new, t.accepted, t.refused, t.waiting))
        .collect();
    assert_eq!(counts, [(true, 1, 1, 1), (true, 0, 0, 1)]);
    // The same again changes nothing.
    let again = take(&taking(&library), &read.products, &decisions)
        .await
        .unwrap();
    let counts: Vec<_> = again
        .iter()
        .map(|t| (t.is_new, t.accepted, t.refused, t.waiting))
        .collect();
    assert_eq!(counts, [(false, 0, 0, 1), (false, 0, 0, 1)]);
    let kept = fs::read_to_string(library.join("known-parts.csv")).unwrap();
    assert!(
        kept.contains("RKT2104,Halvik") && kept.contains("charging chip"),
        "{kept}"
    );
    assert!(
        kept.contains("Lumo 2: lumo.html, line 2: “The linear charger is Halvik's RKT2104.”"),
        "{kept}"
    );

    let opened = app::keeping::open(&library).await.unwrap();
    let found = opened.with_part("RKT2104", 5).await.unwrap();
    assert_eq!(
        found
            .hits
            .iter()
            .map(|hit| hit.product.as_str())
            .collect::<Vec<_>>(),
        ["Lumo 2"]
    );
    let (revision, text) = opened.revision(&found.hits[0].dossier, 3).await.unwrap();
    assert_eq!(revision.number, 3);
    for says in [
        "certainty = \"inferred\"",
        "evidence = [\"text:lumo.html, line 2\"]",
        SENTENCE,
        "role = \"charging chip\"",
        "accepted = false",
    ] {
        assert!(text.contains(says), "{says} in {text}");
    }
}

/// A product with one text published before.
async fn lumo(library: &Library, by: &Person) -> DossierId {
    let mut facts = serde_json::Map::new();
    for (key, words) in [
        ("name", "Lumo 2"),
        ("maker", "Brimo"),
        ("opened", "2026-03-01"),
    ] {
        facts.insert(key.into(), words.into());
    }
    let text = app::new_text(&facts).unwrap();
    let files = vec![("past/lumo.txt".to_string(), SENTENCE.into())];
    library.create(&text, files, by, AT).await.unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_decision_is_taken_back_and_remembered() {
    let library = Library::in_memory();
    let by = Person::from("A.");
    let id = lumo(&library, &by).await;
    let desk = Desk::at(library, Vec::new());
    let decide = |part: &str, accepted| Decision {
        part: part.into(),
        accepted,
        maker: None,
        role: None,
    };
    let state = async || desk.past(&id).await.unwrap()[0].parts.clone().unwrap()[0].decided;
    assert_eq!(state().await, None);
    desk.decide_past(&id, "lumo.txt", &decide("RKT2104", false), &by, AT)
        .await
        .unwrap()
        .unwrap();
    assert_eq!(state().await, Some(false));
    assert!(
        desk.decide_past(&id, "lumo.txt", &decide("RKT2104", false), &by, AT)
            .await
            .unwrap()
            .is_none()
    );
    desk.decide_past(&id, "lumo.txt", &decide("RKT2104", true), &by, AT)
        .await
        .unwrap()
        .unwrap();
    assert_eq!(state().await, Some(true));
    let view = desk.view(&id).await.unwrap();
    assert_eq!(
        (view.dossier.items.len(), view.dossier.past_rulings.len()),
        (2, 1)
    );
    let other = desk
        .decide_past(&id, "lumo.txt", &decide("QX1", true), &by, AT)
        .await;
    assert_eq!(other.err().unwrap().kind, Kind::Missing);
    assert_eq!(desk.library().heads(Which::Present).await.unwrap().len(), 1);
}

/// A text is not read again while its bytes and the known parts stay: the page asks for it at every load. To see it, the
/// bytes are taken away.
#[tokio::test(flavor = "multi_thread")]
async fn a_text_is_read_once_for_the_same_known_parts() {
    let at = TempDir::new().unwrap();
    let library = Library::open(at.path()).await.unwrap();
    let by = Person::from("A.");
    let id = lumo(&library, &by).await;
    let desk = Desk::at(library, Vec::new());
    let first = desk.past(&id).await.unwrap();
    assert_eq!(first[0].parts.as_ref().unwrap()[0].proposal.part, "RKT2104");
    fs::remove_dir_all(at.path().join("objects")).unwrap();
    assert_eq!(desk.past(&id).await.unwrap(), first);
    // With a decision the product is looked at anew, among parts that may be known by now.
    let refused = Decision {
        part: "RKT2104".into(),
        accepted: false,
        maker: None,
        role: None,
    };
    desk.decide_past(&id, "lumo.txt", &refused, &by, AT)
        .await
        .unwrap()
        .unwrap();
    let decided = desk.past(&id).await.unwrap();
    assert_eq!(decided[0].parts.as_ref().unwrap()[0].decided, Some(false));
    desk.parts_changed(&["RKT2104".to_string()]).await.unwrap();
    let other = Decision {
        accepted: true,
        ..refused
    };
    desk.decide_past(&id, "lumo.txt", &other, &by, AT)
        .await
        .unwrap()
        .unwrap();
    assert!(desk.past(&id).await.is_err());
}
