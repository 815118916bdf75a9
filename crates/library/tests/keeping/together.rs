//! Several programs at one file.

use crate::bench::{AT, fill, lamp};
use library::{Library, LibraryError, ROWS};
use std::collections::BTreeSet;

const LISTS: u64 = 25;

#[tokio::test(flavor = "multi_thread")]
async fn two_libraries_on_one_file_lose_nothing() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let one = Library::open(folder.path()).await.expect("an empty folder");
    let other = Library::open(folder.path()).await.expect("the same");
    let id = lamp(&one).await;
    let left = tokio::spawn(fill(one.clone(), id.clone(), "A", LISTS));
    let right = tokio::spawn(fill(other.clone(), id.clone(), "B", LISTS));
    let (left, right) = (
        left.await.expect("no panic"),
        right.await.expect("no panic"),
    );
    let numbers: BTreeSet<u64> = left.iter().chain(&right).copied().collect();
    assert_eq!(
        numbers,
        (2..=2 * LISTS + 1).collect(),
        "each kept list is a revision of its own"
    );
    for library in [&one, &other] {
        let current = library.current(&id).await.expect("there");
        let dossier = current.dossier().expect("reads");
        for who in ["a", "b"] {
            for seq in 1..=LISTS {
                let name = format!("{who}{seq}");
                assert!(
                    dossier.items.iter().any(|item| item.id == name),
                    "{name} is lost"
                );
            }
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn many_may_make_the_same_library_at_once() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let open = |_| {
        let path = folder.path().to_path_buf();
        tokio::spawn(async move { Library::open(&path).await.map(|_| ()) })
    };
    for opened in (0..6).map(open).collect::<Vec<_>>() {
        opened
            .await
            .expect("no panic")
            .expect("made once, opened by all");
    }
}

#[tokio::test]
async fn a_folder_of_something_else_is_no_library() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let none = Library::open_existing(folder.path()).await.err();
    assert!(matches!(none, Some(LibraryError::NoLibrary(_))), "{none:?}");
    std::fs::write(folder.path().join("letter.txt"), "Dear").expect("it can be written");
    let other = Library::open(folder.path()).await.err();
    assert!(
        matches!(other, Some(LibraryError::NoLibrary(_))),
        "{other:?}"
    );
    std::fs::write(
        folder.path().join(ROWS),
        "this is no database, and long enough to tell",
    )
    .expect("written");
    let wrong = Library::open(folder.path()).await.err();
    assert!(matches!(wrong, Some(LibraryError::Damaged(_))), "{wrong:?}");
}

#[tokio::test]
async fn what_was_closed_is_there_when_opened_again() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let library = Library::open(folder.path()).await.expect("an empty folder");
    let id = lamp(&library).await;
    fill(library.clone(), id.clone(), "A", LISTS).await;
    library.withdraw(&id, true, AT).await.expect("there");
    let before = library.current(&id).await.expect("there").text;
    library.close().await;
    let library = Library::open_existing(folder.path())
        .await
        .expect("a library");
    assert_eq!(library.current(&id).await.expect("there").text, before);
    assert!(library.head(&id).await.expect("there").withdrawn);
}
