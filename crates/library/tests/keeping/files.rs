//! Files of a dossier and what lists show of it.

use crate::bench::{AT, category, lamp, list, send};
use bytes::Bytes;
use jiff::{Timestamp, ToSpan};
use library::{DossierId, Library, LibraryError, Person, Which};
use serde_json::json;

pub(crate) async fn files_come_back_byte_for_byte_and_in_order(library: Library) {
    let id = lamp(&library).await;
    let bytes = |text: &'static str| Bytes::from_static(text.as_bytes());
    for (path, text) in [
        ("logs/b.csv", "b"),
        ("logs/C.csv", "a"),
        ("logs/a.csv", "b"),
    ] {
        let entry = library
            .add_file(&id, path, bytes(text))
            .await
            .expect("room");
        assert_eq!(
            (entry.path.as_str(), entry.bytes, entry.picture),
            (path, 1, false)
        );
    }
    let files = library.files(&id).await.expect("there");
    let paths: Vec<&str> = files.iter().map(|file| file.path.as_str()).collect();
    assert_eq!(paths, ["logs/C.csv", "logs/a.csv", "logs/b.csv"]);
    assert_eq!(library.bytes(&id, "logs/b.csv").await.expect("there"), "b");
    // SHA-256 of "b", from `printf b | sha256sum`.
    let digest = "3e23e8160039594a33894f6564e1b1348bbd7a0088d42c4acb73eeaed59c009d";
    assert_eq!(files[2].sha256, digest);
    assert_eq!(library.object(digest).await.expect("there"), "b");
    let missing = library.bytes(&id, "logs/d.csv").await;
    assert!(
        matches!(missing, Err(LibraryError::NoFile { .. })),
        "{missing:?}"
    );
}

pub(crate) async fn a_path_that_holds_other_bytes_is_taken(library: Library) {
    let id = lamp(&library).await;
    let add = |text: &'static str| {
        library.add_file(&id, "logs/a.csv", Bytes::from_static(text.as_bytes()))
    };
    let first = add("1").await.expect("room");
    assert_eq!(add("1").await.expect("the same"), first);
    let other = add("2").await;
    assert!(
        matches!(other, Err(LibraryError::Taken { .. })),
        "{other:?}"
    );
    assert_eq!(library.bytes(&id, "logs/a.csv").await.expect("there"), "1");
    assert_eq!(library.files(&id).await.expect("there"), [first]);
}

pub(crate) async fn pictures_keep_their_size(library: Library) {
    let id = lamp(&library).await;
    // The smallest header of a PNG file that states 3 by 2 pixels (PNG specification, 11.2.2).
    let png = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x03\0\0\0\x02\x08\x02\0\0\0\x12\x16\xf1\x4d";
    let entry = library
        .add_file(&id, "photos/lid.png", Bytes::from_static(png))
        .await
        .expect("room");
    assert!(entry.picture);
    assert_eq!(library.files(&id).await.expect("there"), [entry]);
}

pub(crate) async fn what_is_not_there_is_told(library: Library) {
    let id: DossierId = "nothing".parse().expect("letters");
    let told =
        |error: LibraryError| assert!(matches!(error, LibraryError::NoDossier(_)), "{error}");
    told(library.head(&id).await.expect_err("no such dossier"));
    told(library.current(&id).await.expect_err("no such dossier"));
    told(
        library
            .history(&id, None, 5)
            .await
            .expect_err("no such dossier"),
    );
    told(library.untaken(&id).await.expect_err("no such dossier"));
    told(library.files(&id).await.expect_err("no such dossier"));
    told(
        library
            .withdraw(&id, true, AT)
            .await
            .expect_err("no such dossier"),
    );
    told(
        library
            .add_file(&id, "a", Bytes::new())
            .await
            .expect_err("no such dossier"),
    );
    let id = lamp(&library).await;
    for number in [0, 2, u64::MAX] {
        let error = library
            .revision(&id, number)
            .await
            .expect_err("no such revision");
        assert!(matches!(error, LibraryError::NoRevision { .. }), "{error}");
    }
}

pub(crate) async fn history_is_read_page_by_page(library: Library) {
    let id = lamp(&library).await;
    let mut before = json!(null);
    for seq in 1..=7 {
        let new = format!("kind {seq}");
        send(
            &library,
            &id,
            "A",
            vec![list(seq, vec![category(&new, before)])],
        )
        .await;
        before = json!(new);
    }
    let mut read = Vec::new();
    let mut last = None;
    loop {
        let page = library.history(&id, last, 3).await.expect("there");
        assert!(page.len() <= 3);
        let Some(end) = page.last() else { break };
        last = Some(end.number);
        read.extend(page.into_iter().map(|revision| revision.number));
    }
    assert_eq!(read, [8, 7, 6, 5, 4, 3, 2, 1]);
    let (revision, text) = library.revision(&id, 4).await.expect("there");
    assert_eq!(revision.number, 4);
    assert!(text.contains("kind 3") && !text.contains("kind 4"));
}

pub(crate) async fn lists_of_dossiers_follow_what_changed_last(library: Library) {
    let (first, second) = (lamp(&library).await, lamp(&library).await);
    let later = |seconds: i64| AT + seconds.seconds();
    let by = Person::from("A");
    let order = |of: Vec<library::Head>| of.into_iter().map(|head| head.id).collect::<Vec<_>>();
    for (id, at) in [(&first, later(5)), (&second, later(9)), (&first, later(11))] {
        let number = library.head(id).await.expect("there").revision;
        let client = "a".parse().expect("a letter");
        let edit = category(&format!("at {at}"), json!(null));
        let edit = match edit {
            record::Edit::Set { at, new, .. } => record::Edit::Set { at, new, old: None },
            other => other,
        };
        let lists = vec![list(number, vec![edit])];
        let submission = library::Submission { client, lists };
        library
            .take(id, &submission, &by, at)
            .await
            .expect("in reach");
        let head = library.head(id).await.expect("there");
        assert_eq!((head.changed, head.made), (at, AT));
    }
    assert_eq!(
        order(library.heads(Which::Present).await.expect("in reach")),
        [first.clone(), second]
    );
    let latest = library.latest(Which::Present, 1).await.expect("in reach");
    assert_eq!(order(latest), [first]);
}

pub(crate) async fn times_are_kept_to_the_microsecond(library: Library) {
    let id = lamp(&library).await;
    let at = Timestamp::new(1_800_000_000, 123_456_789).expect("in range");
    library.withdraw(&id, true, at).await.expect("there");
    let kept = library.head(&id).await.expect("there").changed;
    assert_eq!(kept.as_nanosecond() - at.as_nanosecond(), -789);
}

pub(crate) async fn paths_that_lead_outside_or_are_one_file_somewhere_are_refused(
    library: Library,
) {
    let id = lamp(&library).await;
    let one = Bytes::from_static(b"1");
    library
        .add_file(&id, "photos/caf\u{e9}.jpg", one.clone())
        .await
        .expect("room");
    for path in [
        "../x",
        "/x",
        "photos\\x",
        "photos/CAFE\u{301}.jpg",
        "photos/caf\u{e9}.jpg/x",
        "photos",
    ] {
        let added = library.add_file(&id, path, one.clone()).await;
        assert!(
            matches!(added, Err(LibraryError::Path(_))),
            "{path}: {added:?}"
        );
    }
    assert_eq!(library.files(&id).await.expect("there").len(), 1);
}
