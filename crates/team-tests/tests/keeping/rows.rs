//! What is PostgreSQL's own: several programs at one database, what its server must promise, damage, backups, and tables
//! of earlier versions.

use crate::bench::{AT, category, fill, lamp, list, send};
use crate::sound::used;
use library::{Indexed, Library, LibraryError, Origin, RefusalKind, Rows, Which};
use serde_json::json;
use sqlx::migrate::Migrator;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{
    AssertSqlSafe, Column as _, ConnectOptions as _, Connection as _, PgConnection, Row as _,
};
use std::borrow::Cow;
use std::collections::BTreeSet;
use std::path::Path;
use team_tests::{Bucket, Cluster, store_key, team};

const LISTS: u64 = 25;

/// Two libraries in one database, as two servers open them.
async fn twice() -> Option<(Library, Library)> {
    let database = Cluster::shared()?.database();
    let store = Bucket::shared().address();
    let key = store_key();
    let open = || Library::team(&database, &store, &key);
    Some((
        open().await.expect("both run"),
        open().await.expect("both run"),
    ))
}

async fn connected(database: &str) -> PgConnection {
    PgConnection::connect(database).await.expect("it runs")
}

#[tokio::test]
async fn the_databases_of_these_tests_sort_texts_otherwise() {
    let Some(cluster) = Cluster::shared() else {
        return;
    };
    let mut connection = connected(&cluster.database()).await;
    let sorted: bool = sqlx::query_scalar("select 'a' < 'B'")
        .fetch_one(&mut connection)
        .await
        .expect("it answers");
    assert!(sorted && "a" > "B", "by letters, not by bytes");
}

#[tokio::test(flavor = "multi_thread")]
async fn two_servers_on_one_database_lose_nothing() {
    let Some((one, other)) = twice().await else {
        return;
    };
    let id = lamp(&one).await;
    let left = tokio::spawn(fill(one.clone(), id.clone(), "A", LISTS));
    let right = tokio::spawn(fill(other.clone(), id.clone(), "B", LISTS));
    let (left, right) = (
        left.await.expect("no panic"),
        right.await.expect("no panic"),
    );
    let numbers: BTreeSet<u64> = left.iter().chain(&right).copied().collect();
    assert_eq!(numbers, (2..=2 * LISTS + 1).collect());
    for library in [&one, &other] {
        let dossier = library.current(&id).await.expect("there").dossier();
        assert_eq!(dossier.expect("reads").items.len() as u64, 2 * LISTS + 1);
    }
    assert_eq!(one.verify().await.expect("in reach").damage, []);
}

#[tokio::test(flavor = "multi_thread")]
async fn many_may_make_the_same_library_at_once() {
    let Some(cluster) = Cluster::shared() else {
        return;
    };
    let database = cluster.database();
    let open = |_| {
        let database = database.clone();
        tokio::spawn(async move { Rows::postgres(&database).await.map(|_| ()) })
    };
    for opened in (0..6).map(open).collect::<Vec<_>>() {
        let opened = opened.await.expect("no panic");
        opened.expect("made once, opened by all");
    }
}

/// A save beside indexing is never taken for indexed, whichever ends first.
#[tokio::test(flavor = "multi_thread")]
async fn what_is_saved_while_it_is_indexed_stays_noted() {
    let Some((one, other)) = twice().await else {
        return;
    };
    let mut ids = Vec::new();
    for _ in 0..3 {
        ids.push(lamp(&one).await);
    }
    let saving = ids
        .iter()
        .map(|id| tokio::spawn(fill(one.clone(), id.clone(), "A", LISTS)));
    let saving: Vec<_> = saving.collect();
    let indexing = [&one, &other].map(|library| {
        let (library, ids) = (library.clone(), ids.clone());
        tokio::spawn(async move {
            for _ in 0..LISTS {
                for id in &ids {
                    let revision = library.head(id).await.expect("there").revision;
                    let indexed = Indexed {
                        revision,
                        product: format!("Vellit {revision}"),
                        ..Indexed::default()
                    };
                    library.index(id, &indexed).await.expect("there");
                }
            }
        })
    });
    for done in saving {
        done.await.expect("no panic");
    }
    for done in indexing {
        done.await.expect("no panic");
    }
    let behind = one.behind().await.expect("in reach");
    for id in &ids {
        let found = one.find(&library::Find::default()).await.expect("in reach");
        let hit = found.hits.iter().find(|hit| hit.dossier == *id);
        let current = hit.is_some_and(|hit| hit.revision == hit.latest);
        assert_eq!(behind.contains(id), !current, "{hit:?}");
    }
}

#[tokio::test]
async fn a_server_that_answers_before_it_has_written_is_refused() {
    let Some(cluster) = Cluster::shared() else {
        return;
    };
    let database = cluster.database();
    let name = database.rsplit('/').next().expect("a name");
    let mut connection = connected(&database).await;
    let statement = format!("alter database {name} set synchronous_commit = off");
    sqlx::query(AssertSqlSafe(statement))
        .execute(&mut connection)
        .await
        .expect("it may be set");
    let opened = Rows::postgres(&database).await.err();
    assert!(
        matches!(&opened, Some(LibraryError::Unreachable(why)) if why.contains("synchronous_commit")),
        "{opened:?}"
    );
}

#[tokio::test]
async fn a_library_of_a_later_version_is_left_alone() {
    let Some((database, library)) = team().await else {
        return;
    };
    library.close().await;
    let mut connection = connected(&database).await;
    sqlx::query("insert into _sqlx_migrations (version, description, success, checksum, execution_time) values (9999, 'later', true, '', 0)")
        .execute(&mut connection)
        .await
        .expect("a step is noted");
    let opened = Rows::postgres(&database).await.err();
    assert!(
        matches!(opened, Some(LibraryError::Later(9999))),
        "{opened:?}"
    );
}

#[tokio::test]
async fn damaged_rows_are_found() {
    let cases = [
        (
            "update revision set body = (select body from revision where number = 1) where number = 2",
            "the text of revision 2 is not the one that was kept",
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
            "update dossier set name = 'Another'",
            "the list names another product",
        ),
        ("update dossier set revision = 3", "which is missing"),
        ("update file set bytes = 11", "has 10 bytes, not 11"),
        ("update answer set answer = '{}'", "missing field"),
    ];
    for (statement, expected) in cases {
        let Some((database, library)) = team().await else {
            return;
        };
        used(&library).await;
        let mut connection = connected(&database).await;
        let done = sqlx::query(statement).execute(&mut connection).await;
        assert!(done.expect("it can be damaged").rows_affected() > 0);
        let damage = library.verify().await.expect("damage is no error").damage;
        assert!(
            damage.iter().any(|damage| damage.what.contains(expected)),
            "{statement}: {damage:?}"
        );
        library.close().await;
    }
}

/// The copy is the library of a folder, which any build of the program opens.
#[tokio::test(flavor = "multi_thread")]
async fn a_backup_made_while_others_save_is_whole() {
    let Some((_, library)) = team().await else {
        return;
    };
    let id = used(&library).await;
    let folder = tempfile::tempdir().expect("a temporary folder");
    let into = folder.path().join("copy");
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
    let untaken = library.untaken(&id).await.expect("there");
    assert_eq!(copy.untaken(&id).await.expect("there"), untaken);
    let log = copy.bytes(&id, "logs/night.csv").await.expect("there");
    assert_eq!(
        log,
        library.bytes(&id, "logs/night.csv").await.expect("there")
    );
    assert_eq!(
        copy.behind().await.expect("in reach"),
        [id],
        "it is indexed anew"
    );
}

/// `library/tests/old/step-1` was written with the first step of the tables alone; the same rows in a database that was
/// made with that step are brought forward like it.
#[tokio::test]
async fn a_library_of_the_first_tables_is_brought_forward() {
    let Some(cluster) = Cluster::shared() else {
        return;
    };
    let database = cluster.database();
    let mut new = connected(&database).await;
    let all = sqlx::migrate!("../library/migrations");
    let mut first = Migrator::DEFAULT;
    first.migrations = Cow::Owned(all.iter().take(1).cloned().collect());
    first.run(&mut new).await.expect("the first step");
    let old = Path::new(env!("CARGO_MANIFEST_DIR")).join("../library/tests/old/step-1");
    let file = tempfile::tempdir().expect("a temporary folder");
    let file = file.path().join("library.sqlite");
    std::fs::copy(old.join("library.sqlite"), &file).expect("stored");
    let mut old = SqliteConnectOptions::new()
        .filename(&file)
        .connect()
        .await
        .expect("a database");
    for table in ["dossier", "revision", "answer", "untaken", "file"] {
        copied(table, &mut old, &mut new).await;
    }
    let store = Bucket::shared().address();
    let library = Library::team(&database, &store, &store_key()).await;
    let library = library.expect("brought forward");
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
    let untaken = library.untaken(id).await.expect("there");
    assert_eq!(untaken[0].why[0].kind, RefusalKind::Changed);
    assert_eq!(library.behind().await.expect("in reach").len(), 2);
    send(
        &library,
        id,
        "A",
        vec![list(3, vec![category("torch", json!("lamp"))])],
    )
    .await;
    assert_eq!(library.head(id).await.expect("there").revision, 5);
    library.withdraw(id, true, AT).await.expect("there");
}

/// Copies a table as it is.
async fn copied(table: &str, from: &mut SqliteConnection, to: &mut PgConnection) {
    let rows = sqlx::query(AssertSqlSafe(format!("select * from {table}")))
        .fetch_all(from)
        .await
        .expect("read");
    for row in rows {
        let names: Vec<&str> = row.columns().iter().map(|column| column.name()).collect();
        let values: Vec<String> = (1..=names.len()).map(|n| format!("${n}")).collect();
        let (names, values) = (names.join(", "), values.join(", "));
        let statement = format!("insert into {table} ({names}) values ({values})");
        let mut query = sqlx::query(AssertSqlSafe(statement));
        for (at, column) in row.columns().iter().enumerate() {
            query = match column.name() {
                "withdrawn" | "picture" => query.bind(row.get::<bool, _>(at)),
                "body" => query.bind(row.get::<Vec<u8>, _>(at)),
                "revision" | "made" | "changed" | "number" | "undoes" | "seq" | "bytes"
                | "width" | "height" => query.bind(row.get::<Option<i64>, _>(at)),
                _ => query.bind(row.get::<Option<String>, _>(at)),
            };
        }
        query.execute(&mut *to).await.expect("kept");
    }
}
