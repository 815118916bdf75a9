//! Accounts and sessions in their tables.

use super::engine::on;
use super::kept::{micros, time};
use super::{Rows, statements, write_whole};
use crate::people::{Account, Enrolled, People, Role};
use crate::{LibraryError, Person};
use async_trait::async_trait;
use jiff::Timestamp;
use sqlx::{Connection as _, FromRow};

#[derive(FromRow)]
struct AccountRow {
    folded: String,
    name: String,
    role: String,
    password: String,
    made: i64,
}

impl AccountRow {
    fn read(self) -> Result<Enrolled, LibraryError> {
        Ok(Enrolled {
            folded: self.folded,
            account: Account {
                name: Person::from(self.name),
                role: self.role.parse::<Role>()?,
                made: time(self.made)?,
            },
            hash: self.password,
        })
    }
}

#[async_trait]
impl People for Rows {
    async fn people(&self) -> Result<Vec<Enrolled>, LibraryError> {
        let rows: Vec<AccountRow> = on!(&self.read, |pool| {
            sqlx::query_as(statements::PEOPLE).fetch_all(pool).await?
        });
        let people: Result<Vec<_>, _> = rows.into_iter().map(AccountRow::read).collect();
        let mut people = people?;
        people.sort_by(|a, b| a.folded.cmp(&b.folded));
        Ok(people)
    }

    async fn enrol(&self, new: &Enrolled) -> Result<bool, LibraryError> {
        write_whole!(self, |all| {
            let query = sqlx::query(statements::NEW_PERSON)
                .bind(new.folded.as_str())
                .bind(new.account.name.as_str())
                .bind(new.account.role.as_str())
                .bind(new.hash.as_str())
                .bind(micros(new.account.made));
            query.execute(&mut *all).await?.rows_affected() > 0
        })
    }

    async fn rehash(&self, folded: &str, hash: &str) -> Result<bool, LibraryError> {
        write_whole!(self, |all| {
            let query = sqlx::query(statements::NEW_PASSWORD)
                .bind(folded)
                .bind(hash);
            let done = query.execute(&mut *all).await?.rows_affected() > 0;
            let query = sqlx::query(statements::END_SESSIONS).bind(folded);
            query.execute(&mut *all).await?;
            done
        })
    }

    async fn strike(&self, folded: &str) -> Result<bool, LibraryError> {
        write_whole!(self, |all| {
            // The row is taken first, so that no session begins between.
            let query = sqlx::query(statements::HOLD_PERSON).bind(folded);
            query.execute(&mut *all).await?;
            let query = sqlx::query(statements::END_SESSIONS).bind(folded);
            query.execute(&mut *all).await?;
            let query = sqlx::query(statements::STRIKE).bind(folded);
            query.execute(&mut *all).await?.rows_affected() > 0
        })
    }

    async fn begin(
        &self,
        digest: &str,
        folded: &str,
        until: Timestamp,
        now: Timestamp,
    ) -> Result<(), LibraryError> {
        write_whole!(self, |all| {
            let query = sqlx::query(statements::FORGET_SESSIONS).bind(micros(now));
            query.execute(&mut *all).await?;
            let query = sqlx::query(statements::NEW_SESSION)
                .bind(digest)
                .bind(folded)
                .bind(micros(until));
            query.execute(&mut *all).await?;
        })
    }

    async fn whose(&self, digest: &str, now: Timestamp) -> Result<Option<Account>, LibraryError> {
        let row: Option<AccountRow> = on!(&self.read, |pool| {
            sqlx::query_as(statements::WHOSE)
                .bind(digest)
                .bind(micros(now))
                .fetch_optional(pool)
                .await?
        });
        let enrolled = row.map(AccountRow::read).transpose()?;
        Ok(enrolled.map(|enrolled| enrolled.account))
    }

    async fn end(&self, digest: &str) -> Result<(), LibraryError> {
        write_whole!(self, |all| {
            let query = sqlx::query(statements::END_SESSION).bind(digest);
            query.execute(&mut *all).await?;
        })
    }
}
