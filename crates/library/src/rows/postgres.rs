//! Rows in PostgreSQL: opening, looking through, copying to a file, and what its errors mean.
//!
//! In: an address as `postgres://` writes it. Out: [`Rows`].
//! Not here: statements. Source: PostgreSQL 15 documentation, appendix A (error codes), 30.3 (asynchronous commit).

use super::engine::Db;
use super::{Rows, find, unmigrated};
use crate::LibraryError;
use futures::TryStreamExt as _;
use sqlx::postgres::{PgConnectOptions, PgPoolOptions, PgRow};
use sqlx::{
    Column as _, Executor as _, PgPool, Row as _, SqlitePool, TypeInfo as _, ValueRef as _,
};
use std::path::Path;
use std::time::Duration;

/// Most connections at a time.
const CONNECTIONS: u32 = 16;

/// How long a server that is being started again is waited for.
const PATIENCE: Duration = Duration::from_secs(5);

/// The server is not to compile statements first: it takes a question for dearer than it is, since it cannot know how long
/// a list is, and compiles for half a second what then takes milliseconds. Said behind the connection and not with it,
/// since what stands between may not pass such words on.
const NOT_COMPILED: &str = "set jit = off";

/// What a server must say of itself, and why.
const PROMISES: [(&str, &str, &str); 4] = [
    ("fsync", "on", "what it answers would not be on the disk"),
    ("full_page_writes", "on", "a power cut could tear its pages"),
    ("server_encoding", "UTF8", "it could not keep every text"),
    (
        "session_replication_role",
        "origin",
        "its triggers would not note what is saved",
    ),
];

impl Rows {
    /// Opens the rows in a database of PostgreSQL, whose tables are made or brought forward.
    ///
    /// # Errors
    /// A server that is not reached, or that answers before it has written; tables of a later version.
    pub async fn postgres(address: &str) -> Result<Self, LibraryError> {
        let options: PgConnectOptions = address.parse()?;
        let options = options.application_name("underlid");
        brought_forward(options.clone()).await?;
        let pool = PgPoolOptions::new()
            .max_connections(CONNECTIONS)
            .acquire_timeout(PATIENCE)
            .after_connect(|connection, _| {
                Box::pin(async move {
                    connection.execute(NOT_COMPILED).await?;
                    Ok(())
                })
            })
            .connect_with(options)
            .await?;
        Ok(Self {
            read: Db::Team(pool.clone()),
            write: Db::Team(pool),
        })
    }
}

/// Makes the tables or brings them forward, on a connection that is ended afterwards: while it lasts, whoever else
/// brings them forward waits, after a failure too.
async fn brought_forward(options: PgConnectOptions) -> Result<(), LibraryError> {
    let alone = PgPoolOptions::new()
        .max_connections(1)
        .acquire_timeout(PATIENCE)
        .connect_with(options)
        .await?;
    let done = async {
        promised(&alone).await?;
        for steps in [&super::MIGRATIONS, &find::postgres_migrations()] {
            steps.run(&alone).await.map_err(unmigrated)?;
        }
        Ok(())
    }
    .await;
    alone.close().await;
    done
}

/// Looks whether what the server acknowledges is durable.
async fn promised(pool: &PgPool) -> Result<(), LibraryError> {
    let told = |name: &'static str| {
        sqlx::query_scalar::<_, String>("select current_setting($1)")
            .bind(name)
            .fetch_one(pool)
    };
    for (name, wanted, why) in PROMISES {
        let set = told(name).await?;
        if set != wanted {
            let text = format!("its database has {name} = {set}, not {wanted}: {why}");
            return Err(LibraryError::Unreachable(text));
        }
    }
    let commit = told("synchronous_commit").await?;
    if commit == "off" {
        let text =
            "its database has synchronous_commit = off: what it answers would not be on the disk";
        return Err(LibraryError::Unreachable(text.into()));
    }
    Ok(())
}

/// What PostgreSQL knows to be wrong with its own indexes. That rows belong to rows it sees to at every write.
const UNSOUND: &str = "select c.relname::text from pg_index i join pg_class c on c.oid = i.indexrelid \
     where not (i.indisvalid and i.indisready) order by 1 limit 20";

pub(super) async fn damage(pool: &PgPool) -> Result<Vec<String>, LibraryError> {
    let unsound: Vec<String> = sqlx::query_scalar(UNSOUND).fetch_all(pool).await?;
    Ok(unsound
        .into_iter()
        .map(|name| format!("the index {name} of its tables is not valid"))
        .collect())
}

/// What an error of PostgreSQL means.
pub(super) fn meant(code: Option<&str>, text: String) -> LibraryError {
    match code {
        Some("53100") => LibraryError::Full(text),
        Some("XX001" | "XX002") => LibraryError::Damaged(text),
        _ => LibraryError::Unreachable(text),
    }
}

/// A table as it is copied: what is read, and what is written.
macro_rules! table {
    ($name:literal, $columns:literal, $values:literal) => {
        (
            concat!("select ", $columns, " from ", $name),
            concat!(
                "insert into ",
                $name,
                " (",
                $columns,
                ") values (",
                $values,
                ")"
            ),
        )
    };
}

/// All tables but those of the index, which is made anew, and who is logged in.
const TABLES: [(&str, &str); 8] = [
    table!(
        "dossier",
        "id, name, maker, revision, made, changed, withdrawn, settled",
        "$1, $2, $3, $4, $5, $6, $7, $8"
    ),
    table!(
        "revision",
        "dossier, number, made, author, client, belongs, undoes, edits, inverse, body, sha256, origin",
        "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12"
    ),
    table!("answer", "dossier, client, seq, answer", "$1, $2, $3, $4"),
    table!(
        "untaken",
        "dossier, number, made, author, client, list, why",
        "$1, $2, $3, $4, $5, $6, $7"
    ),
    table!(
        "file",
        "dossier, path, sha256, bytes, width, height, picture, modified",
        "$1, $2, $3, $4, $5, $6, $7, $8"
    ),
    table!(
        "publication",
        "dossier, version, revision, made, author, reason, fingerprint, files",
        "$1, $2, $3, $4, $5, $6, $7, $8"
    ),
    table!(
        "person",
        "folded, name, role, password, made",
        "$1, $2, $3, $4, $5"
    ),
    table!(
        "leaving_out",
        "dossier, made, author, what",
        "$1, $2, $3, $4"
    ),
];

/// Copies all rows, as they are at one moment, to a new file of SQLite: the library of a folder.
pub(super) async fn copy(pool: &PgPool, into: &Path) -> Result<(), LibraryError> {
    let rows = Rows::sqlite(into).await?;
    let Db::Lite(written) = &rows.write else {
        unreachable!("a file is of SQLite");
    };
    copied(pool, written).await?;
    crate::Keeper::close(&rows).await;
    Ok(())
}

async fn copied(from: &PgPool, to: &SqlitePool) -> Result<(), LibraryError> {
    let one_moment = "begin isolation level repeatable read, read only";
    let mut from = from.begin_with(one_moment).await?;
    let mut to = to.begin().await?;
    for (select, insert) in TABLES {
        let mut read = sqlx::query(select).fetch(&mut *from);
        while let Some(row) = read.try_next().await? {
            let mut new = sqlx::query(insert);
            for at in 0..row.len() {
                new = bound(new, &row, at)?;
            }
            new.execute(&mut *to).await?;
        }
    }
    to.commit().await?;
    from.commit().await?;
    Ok(())
}

type Insert<'q> = sqlx::query::Query<'q, sqlx::Sqlite, sqlx::sqlite::SqliteArguments>;

/// Takes one value over as it is.
fn bound<'q>(new: Insert<'q>, row: &PgRow, at: usize) -> Result<Insert<'q>, LibraryError> {
    let is_nothing = row.try_get_raw(at)?.is_null();
    if is_nothing {
        return Ok(new.bind(None::<String>));
    }
    let column = row.column(at);
    Ok(match column.type_info().name() {
        "BOOL" => new.bind(row.try_get::<bool, _>(at)?),
        "INT8" => new.bind(row.try_get::<i64, _>(at)?),
        "BYTEA" => new.bind(row.try_get::<Vec<u8>, _>(at)?),
        _ => new.bind(row.try_get::<String, _>(at)?),
    })
}
