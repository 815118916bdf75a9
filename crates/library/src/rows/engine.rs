//! The databases that rows lie in, and what their errors mean; SQLite here, PostgreSQL in `postgres`.

use crate::LibraryError;
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous};
use sqlx::{ConnectOptions, Connection, SqlitePool};
use std::path::Path;
use std::time::Duration;

/// How long another program that writes is waited for.
const PATIENCE: Duration = Duration::from_secs(20);

/// Most readers at a time.
const READERS: u32 = 4;

/// One of the databases that take the same statements.
#[derive(Debug, Clone)]
pub(super) enum Db {
    Lite(SqlitePool),
    #[cfg(feature = "team")]
    Team(sqlx::PgPool),
}

/// Does the same on whichever database it is.
macro_rules! on {
    ($db:expr, |$pool:ident| $body:expr) => {
        match $db {
            $crate::rows::engine::Db::Lite($pool) => $body,
            #[cfg(feature = "team")]
            $crate::rows::engine::Db::Team($pool) => $body,
        }
    };
}
pub(super) use on;

impl Db {
    /// How a transaction begins that will write. In SQLite the right to write is taken at once: a transaction that
    /// reads first and asks for it later is refused where another has written meanwhile. In PostgreSQL the first
    /// statement of each transaction takes the row of its dossier, and whoever writes to the same dossier waits there.
    pub(super) fn begin(&self) -> &'static str {
        match self {
            Self::Lite(_) => "begin immediate",
            #[cfg(feature = "team")]
            Self::Team(_) => "begin",
        }
    }
}

/// Pages that each reader keeps between its questions, KiB (as a negative number SQLite takes it so); of the 2 MB that it
/// keeps by itself, one question about many dossiers pushes out what the next needs.
const KEPT: &str = "-16384";

/// A file for all rows. What is acknowledged was flushed: `synchronous = full` flushes the log at every commit.
fn options(file: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(file)
        .create_if_missing(true)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(PATIENCE)
        .pragma("temp_store", "memory")
}

/// Opens the one connection that writes: lists of this program queue for it in order instead of trying again.
pub(super) async fn writer(file: &Path) -> Result<SqlitePool, LibraryError> {
    let pool = SqlitePoolOptions::new().max_connections(1);
    Ok(pool.connect_with(options(file)).await?)
}

/// Opens connections that read while the writer writes.
pub(super) async fn readers(file: &Path) -> Result<SqlitePool, LibraryError> {
    let pool = SqlitePoolOptions::new().max_connections(READERS);
    let options = options(file)
        .pragma("query_only", "on")
        .pragma("cache_size", KEPT);
    Ok(pool.connect_with(options).await?)
}

/// Most faults that SQLite tells of one file.
const CHECK: &str = "pragma integrity_check(20)";
const FOREIGN: &str = "select \"table\", parent from pragma_foreign_key_check limit 20";

/// Lets SQLite look through its file: pages, indexes, types, what refers to what.
pub(super) async fn damage(pool: &SqlitePool) -> Result<Vec<String>, LibraryError> {
    let said: Result<Vec<String>, sqlx::Error> = sqlx::query_scalar(CHECK).fetch_all(pool).await;
    let said = match said.map_err(LibraryError::from) {
        Ok(said) => said,
        Err(LibraryError::Damaged(what)) => return Ok(vec![what]),
        Err(error) => return Err(error),
    };
    let mut found: Vec<String> = said.into_iter().filter(|line| line != "ok").collect();
    let loose: Vec<(String, String)> = sqlx::query_as(FOREIGN).fetch_all(pool).await?;
    found.extend(
        loose
            .into_iter()
            .map(|(table, parent)| format!("a row of {table} belongs to no row of {parent}")),
    );
    Ok(found)
}

/// Copies a database as it is at one moment; whoever writes meanwhile does not wait.
pub(super) async fn copy(pool: &SqlitePool, into: &Path) -> Result<(), LibraryError> {
    let options = pool.connect_options();
    let file = options.get_filename();
    let into = into.to_str().ok_or_else(|| {
        LibraryError::Unreachable("the name of the folder is no Unicode text".into())
    })?;
    let mut connection = self::options(file)
        .create_if_missing(false)
        .connect()
        .await?;
    sqlx::query("vacuum into $1")
        .bind(into)
        .execute(&mut connection)
        .await?;
    connection.close().await?;
    Ok(())
}

impl From<sqlx::Error> for LibraryError {
    fn from(error: sqlx::Error) -> Self {
        let text = error.to_string();
        let unread = matches!(
            error,
            sqlx::Error::ColumnDecode { .. } | sqlx::Error::Decode(_)
        );
        let Some(told) = error.as_database_error() else {
            return match unread {
                true => Self::Damaged(text),
                false => Self::Unreachable(text),
            };
        };
        #[cfg(feature = "team")]
        if told
            .try_downcast_ref::<sqlx::postgres::PgDatabaseError>()
            .is_some()
        {
            return super::postgres::meant(told.code().as_deref(), text);
        }
        // Result codes of SQLite: https://www.sqlite.org/rescode.html; the last byte is the primary one.
        let number: Option<u32> = told.code().and_then(|code| code.parse().ok());
        const FULL: u32 = 13;
        const CORRUPT: u32 = 11;
        const NO_DATABASE: u32 = 26;
        const SHARED_MEMORY_SIZE: u32 = 4874;
        match number {
            // The file that readers and writer share grows page by page, and a full disk shows there as well.
            Some(SHARED_MEMORY_SIZE) => Self::Full(text),
            Some(code) if code & 0xff == FULL => Self::Full(text),
            Some(code) if [CORRUPT, NO_DATABASE].contains(&(code & 0xff)) => Self::Damaged(text),
            _ => Self::Unreachable(text),
        }
    }
}
