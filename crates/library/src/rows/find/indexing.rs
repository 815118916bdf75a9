//! Putting what is indexed of a dossier into tables, and taking out what was.
//!
//! In: an [`Indexed`] and a transaction. Out: rows. Not here: which rows they are (`derived`).

use super::Row;
use super::derived::{self, Derived};
use super::opened::{Open, on_open};
use crate::rows::kept::{Deflated, json, unsigned, whole};
use crate::search::{Indexed, name_words};
use crate::{DossierId, LibraryError};

/// What is written of one dossier, made before the right to write is taken.
pub(in crate::rows) struct Prepared {
    rows: Derived,
    body: Deflated,
    facts: Deflated,
}

impl Prepared {
    pub(in crate::rows) fn of(indexed: &Indexed) -> Result<Self, LibraryError> {
        let rows = Derived::of(indexed)?;
        let body = Deflated::of(&json(indexed)?);
        let facts = Deflated::of(&rows.facts);
        Ok(Self { rows, body, facts })
    }
}

/// Puts what is indexed of a dossier in place of what was, within a transaction; nothing where what is there is later.
pub(in crate::rows) async fn index_within(
    all: &mut Open<'_>,
    id: &DossierId,
    indexed: &Indexed,
    new: Prepared,
) -> Result<(), LibraryError> {
    let old: Option<Row> = on_open!(all, |one, sql| {
        if let Some(statement) = sql::TAKE_TURN {
            let turn = sqlx::query(statement).bind(id.as_str());
            turn.execute(&mut *one).await?;
        }
        let query = sqlx::query_as(sql::OLD).bind(id.as_str());
        query.fetch_optional(one).await?
    });
    if let Some(old) = &old
        && unsigned(old.revision)? > indexed.revision
    {
        return Ok(());
    }
    let seq: i64 = on_open!(all, |one, sql| {
        sqlx::query_scalar(sql::NEXT_SEQ).fetch_one(one).await?
    });
    if let Some(old) = &old {
        take_out(all, old).await?;
    }
    put_in(all, id, seq, indexed, new).await?;
    let indexed = whole(indexed.revision)?;
    on_open!(all, |one, sql| {
        let query = sqlx::query(sql::DONE).bind(id.as_str()).bind(indexed);
        query.execute(one).await?;
    });
    Ok(())
}

async fn take_out(all: &mut Open<'_>, old: &Row) -> Result<(), LibraryError> {
    let rows = Derived::of(&old.indexed()?)?;
    on_open!(all, |one, sql| {
        let listed = [
            (sql::OLD_SIGHTINGS, rows.sorts),
            (sql::OLD_MARKINGS, rows.markings),
            (sql::OLD_FIGURES, rows.figures),
            (sql::OLD_RESTS, rows.rests),
        ];
        for statement in [sql::OLD_TRAITS, sql::OLD_PRODUCT] {
            let query = sqlx::query(statement).bind(old.seq);
            query.execute(&mut *one).await?;
        }
        for (statement, list) in listed {
            let query = sqlx::query(statement).bind(old.seq).bind(list);
            query.execute(&mut *one).await?;
        }
        for statement in [sql::OLD_WORDS, sql::OLD_BODY, sql::OLD_DOSSIER] {
            let query = sqlx::query(statement).bind(old.seq);
            query.execute(&mut *one).await?;
        }
    });
    Ok(())
}

async fn put_in(
    all: &mut Open<'_>,
    id: &DossierId,
    seq: i64,
    indexed: &Indexed,
    new: Prepared,
) -> Result<(), LibraryError> {
    let verdicts = indexed.verdicts;
    let Prepared { rows, body, facts } = new;
    on_open!(all, |one, sql| {
        sqlx::query(sql::NEW_DOSSIER)
            .bind(seq)
            .bind(id.as_str())
            .bind(whole(indexed.revision)?)
            .bind(i64::from(verdicts.holds))
            .bind(i64::from(verdicts.fails))
            .bind(i64::from(verdicts.undecided))
            .bind(i64::from(verdicts.needs_evidence))
            .execute(&mut *one)
            .await?;
        sqlx::query(sql::NEW_BODY)
            .bind(seq)
            .bind(body.body)
            .bind(body.sha256)
            .execute(&mut *one)
            .await?;
        let mut words = sqlx::query(sql::NEW_WORDS).bind(seq);
        for column in &rows.columns {
            words = words.bind(column);
        }
        words.execute(&mut *one).await?;
        let new: Vec<(i64, String, String, String)> = sqlx::query_as(sql::NEW_SORTS)
            .bind(&rows.sorts)
            .fetch_all(&mut *one)
            .await?;
        for (sort, part, maker, role) in new {
            sqlx::query(sql::NEW_SORT_WORDS)
                .bind(sort)
                .bind(name_words(&part).join(" "))
                .bind(name_words(&maker).join(" "))
                .bind(derived::role_words(&role))
                .execute(&mut *one)
                .await?;
        }
        for (statement, list) in [
            (sql::NEW_HEADS, &rows.markings),
            (sql::NEW_NAMES, &rows.rests),
            (sql::NEW_SHOWN, &rows.shown),
            (sql::NEW_LINES, &rows.markings),
        ] {
            let query = sqlx::query(statement).bind(list);
            query.execute(&mut *one).await?;
        }
        for (statement, list) in [
            (sql::NEW_SIGHTINGS, &rows.sorts),
            (sql::NEW_MARKINGS, &rows.markings),
            (sql::NEW_FIGURES, &rows.figures),
            (sql::NEW_RESTS, &rows.rests),
            (sql::NEW_TRAITS, &rows.traits),
        ] {
            let query = sqlx::query(statement).bind(seq).bind(list);
            query.execute(&mut *one).await?;
        }
        sqlx::query(sql::NEW_PRODUCT)
            .bind(seq)
            .bind(&rows.class)
            .bind(rows.day)
            .bind(facts.body)
            .bind(facts.sha256)
            .execute(&mut *one)
            .await?;
    });
    Ok(())
}
