//! Damage is found, backups are whole, and what earlier versions kept is brought forward: libraries in folders.

use crate::bench::{category, fill, lamp, lamp_text, list, send};
use crate::sound::{published, used};
use bytes::Bytes;
use library::{Find, Indexed, Library, LibraryError, Origin, ROWS, RefusalKind, Which};
use serde_json::json;
use sqlx::{ConnectOptions as _, Connection as _, SqliteConnection, sqlite::SqliteConnectOptions};
use std::path::Path;

#[tokio::test]
async fn a_backup_holds_what_was_published_and_damage_in_it_is_found() {
    for single in [false, true] {
        let folder = tempfile::tempdir().expect("a temporary folder");
        if single {
            let text = folder.path().join("dossier.toml");
            std::fs::write(text, lamp_text()).expect("written");
        }
        let library = Library::open(folder.path())
            .await
            .expect("an empty folder, or a dossier's");
        assert_eq!(library.holds_one(), single);
        let id = published(&library).await;
        let into = tempfile::tempdir().expect("a temporary folder");
        let into = into.path().join("copy");
        library.backup(&into).await.expect("room");
        let copy = Library::open_existing(&into).await.expect("a library");
        let file = copy
            .publications(&id)
            .await
            .expect("there")
            .remove(0)
            .files
            .remove(0);
        assert_eq!(
            copy.object(&file.sha256).await.expect("there"),
            "<!doctype html>"
        );
        std::fs::write(into.join(file.key().to_string()), "other").expect("written");
        let verified = copy.verify().await.expect("in reach");
        assert!(
            verified.damage[0].what.starts_with("report.html"),
            "{verified:?}"
        );
    }
}

async fn rows(folder: &Path) -> SqliteConnection {
    let options = SqliteConnectOptions::new()
        .filename(folder.join(ROWS))
        .foreign_keys(false);
    options.connect().await.expect("a database")
}

/// Makes a library, damages it by a statement, and returns what is found.
async fn found_after(statement: &'static str) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let library = Library::open(folder.path()).await.expect("an empty folder");
    used(&library).await;
    library.close().await;
    let mut rows = rows(folder.path()).await;
    let done = sqlx::query(statement)
        .execute(&mut rows)
        .await
        .expect("it can be damaged");
    assert!(done.rows_affected() > 0, "{statement} damages nothing");
    rows.close().await.expect("closed");
    let library = Library::open_existing(folder.path())
        .await
        .expect("it still opens");
    let verified = library.verify().await.expect("damage is no error");
    verified
        .damage
        .into_iter()
        .map(|damage| damage.what)
        .collect()
}

#[tokio::test]
async fn damaged_rows_are_found() {
    let cases = [
        (
            "update revision set body = (select body from revision where number = 1) where number = 2",
            "the text of revision 2 is not the one that was kept",
        ),
        (
            "update revision set body = x'00' where number = 4",
            "revision 4 cannot be inflated",
        ),
        (
            "delete from revision where number = 2",
            "revision 2 is missing",
        ),
        (
            "update revision set inverse = (select inverse from revision where number = 2) where number = 3",
            "revision 3",
        ),
        (
            "update revision set edits = 'none' where number = 3",
            "expected",
        ),
        (
            "update dossier set name = 'Another'",
            "the list names another product",
        ),
        ("update dossier set revision = 3", "which is missing"),
        ("update dossier set revision = 5", "revision 5 is missing"),
        ("delete from dossier", "belongs to no row"),
        ("update file set bytes = 11", "has 10 bytes, not 11"),
        (
            "update file set sha256 = replace(sha256, 'a', 'b')",
            "is missing",
        ),
        ("update answer set answer = '{}'", "missing field"),
        ("update dossier set made = 9223372036854775807", "timestamp"),
    ];
    for (statement, expected) in cases {
        let found = found_after(statement).await;
        assert!(
            found.iter().any(|what| what.contains(expected)),
            "{statement}: {found:?}"
        );
    }
}

#[tokio::test]
async fn damaged_photographs_are_found_and_mended_by_the_same_file() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let library = Library::open(folder.path()).await.expect("an empty folder");
    let id = used(&library).await;
    let file = library.files(&id).await.expect("there").remove(0);
    let path = folder.path().join(file.key().to_string());
    for damage in [Some("s,mA\n0,46\n"), None] {
        match damage {
            Some(bytes) => std::fs::write(&path, bytes).expect("written"),
            None => std::fs::remove_file(&path).expect("removed"),
        }
        let verified = library.verify().await.expect("in reach");
        assert!(
            verified.damage[0].what.starts_with("logs/night.csv"),
            "{verified:?}"
        );
        let read = library.bytes(&id, "logs/night.csv").await;
        assert!(matches!(read, Err(LibraryError::Damaged(_))), "{read:?}");
        let again = Bytes::from_static(b"s,mA\n0,45\n");
        library
            .add_file(&id, "logs/night.csv", again)
            .await
            .expect("the same file");
        assert!(library.verify().await.expect("in reach").damage.is_empty());
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_backup_made_while_others_save_is_whole() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let library = Library::open(folder.path()).await.expect("an empty folder");
    let id = used(&library).await;
    let into = tempfile::tempdir().expect("a temporary folder");
    let into = into.path().join("copy");
    let saving = tokio::spawn(fill(library.clone(), id.clone(), "C", 40));
    let before = library.head(&id).await.expect("there").revision;
    let verified = library.backup(&into).await.expect("room");
    assert!(
        verified.damage.is_empty() && verified.files == 1,
        "{verified:?}"
    );
    saving.await.expect("saving goes on");
    let copy = Library::open_existing(&into).await.expect("a library");
    let head = copy.head(&id).await.expect("there");
    assert!(head.revision >= before);
    for number in 1..=head.revision {
        let there = library.revision(&id, number).await.expect("there");
        assert_eq!(copy.revision(&id, number).await.expect("there"), there);
    }
    let log = copy.bytes(&id, "logs/night.csv").await.expect("there");
    assert_eq!(
        log,
        library.bytes(&id, "logs/night.csv").await.expect("there")
    );
    // What is there is never replaced.
    let again = library.backup(&into).await;
    assert!(
        matches!(again, Err(LibraryError::Unwritten(_))),
        "{again:?}"
    );
}

#[tokio::test]
async fn a_damaged_library_gives_no_backup() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let library = Library::open(folder.path()).await.expect("an empty folder");
    let id = used(&library).await;
    let file = library.files(&id).await.expect("there").remove(0);
    std::fs::write(folder.path().join(file.key().to_string()), "other").expect("written");
    let into = folder.path().join("copy");
    let copy = library.backup(&into).await;
    assert!(matches!(copy, Err(LibraryError::Damaged(_))), "{copy:?}");
    assert!(!into.exists());
}

fn copied(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("made");
    for entry in std::fs::read_dir(from).expect("listed") {
        let entry = entry.expect("listed");
        let into = to.join(entry.file_name());
        match entry.file_type().expect("known").is_dir() {
            true => copied(&entry.path(), &into),
            false => drop(std::fs::copy(entry.path(), into).expect("copied")),
        }
    }
}

/// `tests/old/step-1` was written with the first step of the tables alone, by the lists of [`used`] with a group, a
/// picture and a second dossier that is withdrawn.
#[tokio::test]
async fn a_library_of_the_first_tables_is_brought_forward() {
    let old = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/old/step-1");
    let folder = tempfile::tempdir().expect("a temporary folder");
    copied(&old, folder.path());
    let mut before = rows(folder.path()).await;
    let steps: i64 = sqlx::query_scalar("select count(*) from _sqlx_migrations")
        .fetch_one(&mut before)
        .await
        .expect("counted");
    assert_eq!(steps, 1, "the stored library is the old one");
    before.close().await.expect("closed");
    let library = Library::open_existing(folder.path())
        .await
        .expect("brought forward");
    let verified = library.verify().await.expect("in reach");
    assert_eq!(
        (verified.dossiers, verified.revisions, verified.files),
        (2, 5, 2)
    );
    assert_eq!(verified.damage, []);
    let present = library.heads(Which::Present).await.expect("in reach");
    assert_eq!(
        library
            .heads(Which::Withdrawn)
            .await
            .expect("in reach")
            .len(),
        1
    );
    let id = &present[0].id;
    let history = library.history(id, None, 9).await.expect("there");
    let undoes: Vec<_> = history.iter().map(|revision| revision.undoes).collect();
    assert_eq!(undoes, [Some(3), None, None, None]);
    assert!(
        history
            .iter()
            .all(|revision| revision.origin == Origin::Here)
    );
    assert_eq!(history[1].group.as_deref(), Some("label"));
    let untaken = library.untaken(id).await.expect("there");
    assert_eq!(untaken[0].why[0].kind, RefusalKind::Changed);
    let log = library.bytes(id, "logs/night.csv").await.expect("there");
    assert_eq!(log, "s,mA\n0,45\n60,44\n");
    assert_eq!(
        library.files(id).await.expect("there")[1].size,
        Some((3, 2))
    );
    // It goes on as a new one does.
    send(
        &library,
        id,
        "A",
        vec![list(3, vec![category("torch", json!("lamp"))])],
    )
    .await;
    assert!(library.verify().await.expect("in reach").damage.is_empty());
}

/// The step that emptied the index is taken again: what was indexed is behind, and is found once it is indexed.
#[tokio::test]
async fn an_index_that_was_emptied_is_told_and_made_anew() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let library = Library::open(folder.path()).await.expect("empty");
    let id = lamp(&library).await;
    let indexed = Indexed {
        revision: 1,
        product: "Vellit 2".into(),
        ..Indexed::default()
    };
    let vellit = Find::read("vell").expect("a word");
    library.index(&id, &indexed).await.expect("room");
    let found = library.find(&vellit).await.expect("in reach");
    assert_eq!((found.hits.len(), found.behind), (1, 0));
    library.close().await;
    let mut rows = rows(folder.path()).await;
    // What a later step made lies on what this one empties.
    for table in ["find_trait", "find_product", "find_marking", "find_line"] {
        let emptied = sqlx::query(sqlx::AssertSqlSafe(format!("delete from {table}")));
        emptied.execute(&mut rows).await.expect("there");
    }
    let step = sqlx::query("delete from find_migrations where version = 2");
    assert_eq!(
        step.execute(&mut rows)
            .await
            .expect("known")
            .rows_affected(),
        1
    );
    rows.close().await.expect("closed");
    let library = Library::open_existing(folder.path())
        .await
        .expect("brought forward");
    let found = library.find(&vellit).await.expect("in reach");
    assert_eq!((found.hits.len(), found.behind), (0, 1));
    let behind = library.behind().await.expect("in reach");
    assert_eq!(behind, std::slice::from_ref(&id));
    library.index(&id, &indexed).await.expect("room");
    let found = library.find(&vellit).await.expect("in reach");
    assert_eq!((found.hits.len(), found.behind), (1, 0));
}

/// Markings that an older table holds line by line are found after it was brought forward, nothing indexed anew.
#[tokio::test]
async fn markings_of_older_tables_are_brought_forward() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let library = Library::open(folder.path()).await.expect("empty");
    let mut told = Vec::new();
    for marking in ["TH310", "[TQ]H31?"] {
        let id = lamp(&library).await;
        let part = library::Part {
            marking: vec![marking.into(), "24AB".into()],
            ..library::Part::default()
        };
        let indexed = Indexed {
            revision: 1,
            things: vec![library::Thing {
                kind: library::ThingKind::Item,
                id: "u1".into(),
                text: "sensor".into(),
                place: None,
                part: Some(part),
            }],
            ..Indexed::default()
        };
        library.index(&id, &indexed).await.expect("room");
        told.push(id);
    }
    library.close().await;
    let mut rows = rows(folder.path()).await;
    // The tables as the third step left them.
    for statement in [
        "create table find_old (head text not null references find_head (head), line text not null, \
         seq integer not null references find_dossier (seq), primary key (head, line, seq)) without rowid",
        "insert into find_old select l.head, l.line, m.seq from find_marking m join find_line l on l.id = m.line",
        "drop table find_marking",
        "drop table find_line",
        "alter table find_old rename to find_marking",
        "drop index find_sort_supplied",
        "create index find_sort_by_maker on find_sort (maker)",
        "create index find_sort_supplied on find_sort (maker, products desc)",
        "drop index find_product_day",
        "delete from find_migrations where version = 4",
    ] {
        sqlx::query(statement)
            .execute(&mut rows)
            .await
            .expect(statement);
    }
    rows.close().await.expect("closed");
    let library = Library::open_existing(folder.path())
        .await
        .expect("brought forward");
    for (asked, products) in [
        ("TH310", 2),
        ("QH31", 1),
        ("24A?", 2),
        ("TH31Z", 1),
        ("TH32", 0),
        ("XH31", 0),
    ] {
        let find = Find::read(&format!("marking:{asked}")).expect("a marking");
        let found = library.find(&find).await.expect("in reach");
        assert_eq!((found.hits.len(), found.behind), (products, 0), "{asked}");
    }
    // It goes on as a new one does: what was brought forward is taken out where it is indexed anew.
    let empty = Indexed {
        revision: 1,
        ..Indexed::default()
    };
    library.index(&told[0], &empty).await.expect("room");
    let find = Find::read("marking:TH310").expect("a marking");
    assert_eq!(library.find(&find).await.expect("in reach").hits.len(), 1);
    assert_eq!(library.verify().await.expect("in reach").damage, []);
}

#[tokio::test]
async fn a_library_of_a_later_version_is_left_alone() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    Library::open(folder.path())
        .await
        .expect("an empty folder")
        .close()
        .await;
    let mut rows = rows(folder.path()).await;
    sqlx::query("insert into _sqlx_migrations (version, description, success, checksum, execution_time) values (9999, 'later', true, x'00', 0)")
        .execute(&mut rows)
        .await
        .expect("a step is noted");
    rows.close().await.expect("closed");
    let opened = Library::open(folder.path()).await.err();
    assert!(
        matches!(opened, Some(LibraryError::Later(9999))),
        "{opened:?}"
    );
}
