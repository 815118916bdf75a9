//! Filling a library with many dossiers at once makes the rows that keeping and indexing them one by one makes.

#[allow(
    dead_code,
    clippy::unwrap_used,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "the generator of the benches, of which some is used"
)]
#[path = "../../examples/found/made.rs"]
mod made;

use library::{Find, Indexed, Keeper as _, Library, NewDossier, Person, ROWS, Rows, Which};
use sqlx::sqlite::{SqliteConnectOptions, SqliteRow};
use sqlx::{
    AssertSqlSafe, Connection as _, Row as _, SqliteConnection, TypeInfo as _, ValueRef as _,
};
use std::path::Path;

const DOSSIERS: u64 = 12;

/// Tables of the library as lines of text, ids of dossiers as the names of their products. Those of SQLite's own, and
/// those in which its search by words keeps pages, which depend on what was written together, are left out.
async fn dump(file: &Path) -> Vec<String> {
    let options = SqliteConnectOptions::new().filename(file).read_only(true);
    let mut rows = SqliteConnection::connect_with(&options)
        .await
        .expect("in reach");
    let named: Vec<(String, String)> = sqlx::query_as("select id, name from dossier")
        .fetch_all(&mut rows)
        .await
        .expect("in reach");
    let tables: Vec<String> = sqlx::query_scalar(
        "select name from sqlite_schema where type = 'table' and name not like 'sqlite%' and name not like '%migrations' \
         and name not like 'find_words%' and name not like 'find_sort_words%' order by name",
    )
    .fetch_all(&mut rows)
    .await
    .expect("in reach");
    assert!(
        tables.iter().any(|table| table == "find_marking")
            && tables.iter().any(|table| table == "revision")
    );
    let mut told = Vec::new();
    for table in tables {
        let all = sqlx::query(AssertSqlSafe(format!("select * from {table}")))
            .fetch_all(&mut rows)
            .await
            .expect("in reach");
        let mut lines: Vec<String> = all
            .iter()
            .map(|row| {
                let line = named
                    .iter()
                    .fold(line(row), |line, (id, name)| line.replace(id, name));
                format!("{table}: {line}")
            })
            .collect();
        lines.sort();
        told.extend(lines);
    }
    rows.close().await.expect("in reach");
    told
}

fn line(row: &SqliteRow) -> String {
    let value = |at| {
        let raw = row.try_get_raw(at).expect("in reach");
        match raw.type_info().name() {
            _ if raw.is_null() => "null".to_string(),
            "INTEGER" => row.get_unchecked::<i64, _>(at).to_string(),
            "REAL" => format!("{:?}", row.get_unchecked::<f64, _>(at)),
            "TEXT" => row.get_unchecked::<String, _>(at),
            _ => format!("{:?}", row.get_unchecked::<Vec<u8>, _>(at)),
        }
    };
    (0..row.len()).map(value).collect::<Vec<_>>().join(" | ")
}

#[tokio::test]
async fn filling_makes_the_rows_of_one_save_after_another() {
    let (one, many) = (
        tempfile::tempdir().expect("a temporary folder"),
        tempfile::tempdir().expect("a temporary folder"),
    );
    let library = Library::open(one.path()).await.expect("in reach");
    for number in 0..DOSSIERS {
        let indexed = made::indexed(number);
        let by = Person::from("generator");
        let id = library
            .create(&made::text(&indexed), Vec::new(), &by, made::at(number))
            .await
            .expect("in reach");
        library.index(&id, &indexed).await.expect("in reach");
    }
    let filled = Library::open(many.path()).await.expect("in reach");
    let rows = Rows::sqlite(&many.path().join(ROWS))
        .await
        .expect("in reach");
    let all: Vec<(NewDossier, Indexed)> = (0..DOSSIERS)
        .map(|number| {
            let indexed = made::indexed(number);
            (made::new(number, &indexed), indexed)
        })
        .collect();
    for some in all.chunks(5) {
        rows.fill(some).await.expect("in reach");
    }
    rows.close().await;
    // What is found by words is compared as it is answered.
    let word = made::indexed(3).things[0].text.clone();
    let first = word.split(' ').next().expect("in reach");
    for asked in [
        first,
        &first[..2],
        "fails:>2",
        &format!("part:{}", made::part(0).0),
    ] {
        let find = Find::read(asked).expect("in reach");
        let products = |found: library::Found| {
            found
                .hits
                .into_iter()
                .map(|hit| hit.product)
                .collect::<Vec<_>>()
        };
        let (a, b) = (
            library.find(&find).await.expect("in reach"),
            filled.find(&find).await.expect("in reach"),
        );
        assert_eq!((a.behind, b.behind), (0, 0));
        assert_eq!(products(a), products(b), "{asked}");
    }
    assert_eq!(
        filled.heads(Which::Present).await.expect("in reach").len(),
        all.len()
    );
    assert_eq!(filled.verify().await.expect("in reach").damage, []);
    library.close().await;
    filled.close().await;
    let (one, many) = (
        dump(&one.path().join(ROWS)).await,
        dump(&many.path().join(ROWS)).await,
    );
    assert!(one.len() > 100 * all.len());
    for (a, b) in one.iter().zip(&many) {
        assert_eq!(a, b);
    }
    assert_eq!(one.len(), many.len());
}

/// All or none: with one that is there already, none of the others is.
#[tokio::test]
async fn what_cannot_be_filled_whole_is_not_filled() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join(ROWS);
    let rows = Rows::sqlite(&file).await.expect("in reach");
    let made = |number| {
        let indexed = made::indexed(number);
        (made::new(number, &indexed), indexed)
    };
    let (first, second) = (made(1), made(2));
    rows.fill(std::slice::from_ref(&first))
        .await
        .expect("in reach");
    assert!(rows.fill(&[second.clone(), first.clone()]).await.is_err());
    let heads = rows
        .heads(Which::Present, usize::MAX)
        .await
        .expect("in reach");
    assert_eq!(
        heads.iter().map(|head| &head.id).collect::<Vec<_>>(),
        [&first.0.id]
    );
    rows.fill(&[second]).await.expect("in reach");
    assert_eq!(
        rows.heads(Which::Present, usize::MAX)
            .await
            .expect("in reach")
            .len(),
        2
    );
}
