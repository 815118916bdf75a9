//! Connections within a transaction, of whichever database, and its own statements beside them.

use crate::LibraryError;
use crate::rows::Rows;
use crate::rows::engine::Db;
use sqlx::Transaction;
#[cfg(feature = "team")]
use sqlx::postgres::{PgConnection, Postgres};
use sqlx::sqlite::{Sqlite, SqliteConnection};

/// A connection within a transaction.
pub(in crate::rows) enum Open<'c> {
    Lite(&'c mut SqliteConnection),
    #[cfg(feature = "team")]
    Team(&'c mut PgConnection),
}

/// Does the same on whichever connection it is; `$sql` is the module of its statements.
macro_rules! on_open {
    ($open:expr, |$one:ident, $sql:ident| $body:expr) => {
        match $open {
            $crate::rows::find::opened::Open::Lite(connection) => {
                use $crate::rows::find::statements::sqlite as $sql;
                let $one: &mut sqlx::SqliteConnection = connection;
                $body
            }
            #[cfg(feature = "team")]
            $crate::rows::find::opened::Open::Team(connection) => {
                use $crate::rows::find::statements::postgres as $sql;
                let $one: &mut sqlx::PgConnection = connection;
                $body
            }
        }
    };
}
pub(super) use on_open;

impl<'c> From<&'c mut SqliteConnection> for Open<'c> {
    fn from(connection: &'c mut SqliteConnection) -> Self {
        Self::Lite(connection)
    }
}

#[cfg(feature = "team")]
impl<'c> From<&'c mut PgConnection> for Open<'c> {
    fn from(connection: &'c mut PgConnection) -> Self {
        Self::Team(connection)
    }
}

/// A transaction that reads the tables as they are at one moment.
pub(super) enum Reading {
    Lite(Transaction<'static, Sqlite>),
    #[cfg(feature = "team")]
    Team(Transaction<'static, Postgres>),
}

impl Reading {
    pub(super) fn open(&mut self) -> Open<'_> {
        match self {
            Self::Lite(transaction) => Open::Lite(transaction),
            #[cfg(feature = "team")]
            Self::Team(transaction) => Open::Team(transaction),
        }
    }
}

impl Rows {
    pub(super) async fn reading(&self) -> Result<Reading, LibraryError> {
        Ok(match &self.read {
            Db::Lite(pool) => Reading::Lite(pool.begin().await?),
            #[cfg(feature = "team")]
            Db::Team(pool) => {
                let whole = "begin isolation level repeatable read, read only";
                Reading::Team(pool.begin_with(whole).await?)
            }
        })
    }
}
