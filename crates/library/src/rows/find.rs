//! Finding in tables: they narrow down which dossiers are asked, and the plain functions of `search` decide.

mod asked;
mod derived;
mod statements;

use super::engine::{Db, on};
use super::kept::{Deflated, damaged, from_json, inflated, json, unsigned, whole};
use super::{Rows, write_whole};
use crate::search::{
    Find, Found, Heads, Hit, Holding, Index, Indexed, Pattern, Thing, held, hit, key, name_words,
    tier,
};
use crate::{DossierId, LibraryError};
use asked::Asked;
use async_trait::async_trait;
use derived::Derived;
use sqlx::migrate::Migrator;
use sqlx::sqlite::{Sqlite, SqliteConnection};
use sqlx::{Connection as _, FromRow, Transaction};
use std::collections::BTreeSet;

/// Dossiers that are fetched at a time beyond those still wanted, for those that are not what was asked.
const SPARE: usize = 12;

/// The steps of the tables of the index; they are counted apart from those of the library itself.
pub(super) fn migrations() -> Migrator {
    let mut steps = sqlx::migrate!("./migrations/search");
    steps.dangerous_set_table_name("find_migrations");
    steps
}

#[derive(FromRow)]
struct Row {
    seq: i64,
    dossier: String,
    revision: i64,
    body: Vec<u8>,
    sha256: String,
}

impl Row {
    fn indexed(&self) -> Result<Indexed, LibraryError> {
        let wrong = |what: &str| damaged(format!("the index of dossier {} {what}", self.dossier));
        from_json(&inflated(&self.body, &self.sha256, &wrong)?)
    }

    fn hit(&self, indexed: &Indexed, things: &[&Thing]) -> Result<Hit, LibraryError> {
        let id = DossierId::try_from(self.dossier.clone()).map_err(damaged)?;
        Ok(hit(&id, unsigned(self.revision)?, indexed, things))
    }
}

/// Hits as they are gathered, one more than asked for.
struct Gathered {
    from: usize,
    most: usize,
    passed: usize,
    hits: Vec<Hit>,
    more: bool,
}

impl Gathered {
    fn new(from: usize, most: usize) -> Self {
        Self {
            from,
            most,
            passed: 0,
            hits: Vec::new(),
            more: false,
        }
    }

    fn wanted(&self) -> usize {
        self.from - self.passed + self.most - self.hits.len() + 1
    }

    fn take(
        &mut self,
        hit: impl FnOnce() -> Result<Hit, LibraryError>,
    ) -> Result<(), LibraryError> {
        if self.passed < self.from {
            self.passed += 1;
        } else if self.hits.len() < self.most {
            self.hits.push(hit()?);
        } else {
            self.more = true;
        }
        Ok(())
    }
}

impl Rows {
    async fn reading(&self) -> Result<Transaction<'static, Sqlite>, LibraryError> {
        let Db::Lite(pool) = &self.read;
        Ok(pool.begin().await?)
    }
}

/// Returns the turns of dossiers with a line that `fits`, under heads that `heads` takes.
async fn with_lines(
    all: &mut SqliteConnection,
    heads: &Heads<'_>,
    fits: impl Fn(&Pattern) -> bool,
) -> Result<BTreeSet<i64>, LibraryError> {
    let found: Option<String> = match heads.firsts() {
        Some(firsts) => {
            let firsts = json(&firsts)?;
            let query = sqlx::query_scalar(statements::HEADS).bind(firsts);
            query.fetch_one(&mut *all).await?
        }
        None => {
            sqlx::query_scalar(statements::ALL_HEADS)
                .fetch_one(&mut *all)
                .await?
        }
    };
    let found = found.unwrap_or_default();
    let under: Vec<&str> = found.lines().filter(|head| heads.take(head)).collect();
    let query = sqlx::query_as(statements::LINES).bind(json(&under)?);
    let lines: Vec<(String, String)> = query.fetch_all(&mut *all).await?;
    let mut seqs = BTreeSet::new();
    for (line, of) in lines {
        let line = Pattern::read(&line).ok_or_else(|| damaged("a marking of the index"))?;
        if fits(&line) {
            seqs.extend(from_json::<Vec<i64>>(&of)?);
        }
    }
    Ok(seqs)
}

#[async_trait]
impl Index for Rows {
    async fn index(&self, id: &DossierId, indexed: &Indexed) -> Result<(), LibraryError> {
        self.must_be(id).await?;
        let new = Derived::of(indexed)?;
        let body = Deflated::of(&json(indexed)?);
        write_whole!(self, |all| {
            let old: Option<Row> = sqlx::query_as(statements::OLD)
                .bind(id.as_str())
                .fetch_optional(&mut *all)
                .await?;
            if let Some(old) = &old
                && unsigned(old.revision)? > indexed.revision
            {
                return Ok(());
            }
            let next = sqlx::query_scalar(statements::NEXT_SEQ);
            let seq: i64 = next.fetch_one(&mut *all).await?;
            if let Some(old) = &old {
                take_out(&mut all, old).await?;
            }
            put_in(&mut all, id, seq, indexed, &new, body).await?;
            sqlx::query(statements::DONE)
                .bind(id.as_str())
                .bind(whole(indexed.revision)?)
                .execute(&mut *all)
                .await?;
        })
    }

    async fn find(&self, find: &Find) -> Result<Found, LibraryError> {
        let mut all = self.reading().await?;
        let mut asked = Asked::of(find)?;
        for pattern in find.patterns() {
            let heads = Heads::begun_by(&pattern);
            let seqs = with_lines(&mut all, &heads, |line| pattern.begins(line)).await?;
            asked.only(seqs);
        }
        let markings = asked.markings()?;
        let mut gathered = Gathered::new(find.from, find.most);
        for wanted in asked.tiers() {
            let mut before = i64::MAX;
            loop {
                let limit = gathered.wanted() + SPARE;
                let statement = match asked.words(wanted) {
                    Some(_) => statements::BY_WORDS,
                    None => statements::BY_TURN,
                };
                let mut query = sqlx::query_as(statement)
                    .bind(asked.words(wanted))
                    .bind(before)
                    .bind(i64::try_from(limit).unwrap_or(i64::MAX));
                for (least, most) in asked.verdicts {
                    query = query.bind(least).bind(most);
                }
                let query = query.bind(&markings).bind(&asked.figures).bind(&asked.sort);
                let rows: Vec<Row> = query.fetch_all(&mut *all).await?;
                for row in &rows {
                    let indexed = row.indexed()?;
                    if tier(find, &indexed) == Some(wanted) {
                        gathered.take(|| row.hit(&indexed, &find.matched(&indexed)))?;
                    }
                    if gathered.more {
                        break;
                    }
                }
                match rows.last() {
                    Some(last) if rows.len() == limit && !gathered.more => before = last.seq,
                    _ => break,
                }
            }
            if gathered.more {
                break;
            }
        }
        found(&mut all, gathered).await
    }

    async fn behind(&self) -> Result<Vec<DossierId>, LibraryError> {
        let mut all = self.reading().await?;
        let query = sqlx::query_scalar(statements::BEHIND);
        let ids: Vec<String> = query.fetch_all(&mut *all).await?;
        ids.into_iter()
            .map(|id| DossierId::try_from(id).map_err(damaged))
            .collect()
    }

    async fn holding(&self, what: &Holding, most: usize) -> Result<Found, LibraryError> {
        let (statement, name) = match what {
            Holding::Part(name) => (statements::HOLDING_PART, key(name)),
            Holding::Maker(name) => (statements::HOLDING_MAKER, key(name)),
        };
        let mut all = self.reading().await?;
        let mut gathered = Gathered::new(0, most);
        if !name.is_empty() {
            let rows: Vec<Row> = sqlx::query_as(statement)
                .bind(name)
                .bind(i64::MAX)
                .bind(i64::try_from(gathered.wanted()).unwrap_or(i64::MAX))
                .fetch_all(&mut *all)
                .await?;
            for row in &rows {
                let indexed = row.indexed()?;
                gathered.take(|| row.hit(&indexed, &held(what, &indexed)))?;
            }
        }
        found(&mut all, gathered).await
    }

    async fn touched_by(&self, names: &[String]) -> Result<Vec<DossierId>, LibraryError> {
        let mut all = self.reading().await?;
        let keys: BTreeSet<String> = names.iter().map(|name| key(name)).collect();
        let query = sqlx::query_scalar(statements::NAMED).bind(json(&keys)?);
        let mut ids: BTreeSet<String> = query.fetch_all(&mut *all).await?.into_iter().collect();
        for name in names {
            let Some(pattern) = Pattern::of_name(name) else {
                continue;
            };
            let heads = Heads::like(&pattern);
            let seqs = with_lines(&mut all, &heads, |line| pattern.may_be(line)).await?;
            let query = sqlx::query_scalar(statements::DOSSIERS_OF).bind(json(&seqs)?);
            let of: Vec<String> = query.fetch_all(&mut *all).await?;
            ids.extend(of);
        }
        let ids = ids.into_iter();
        ids.map(|id| DossierId::try_from(id).map_err(damaged))
            .collect()
    }
}

async fn found(all: &mut SqliteConnection, gathered: Gathered) -> Result<Found, LibraryError> {
    let query = sqlx::query_scalar(statements::COUNT_BEHIND);
    let behind: i64 = query.fetch_one(all).await?;
    Ok(Found {
        hits: gathered.hits,
        more: gathered.more,
        behind: usize::try_from(behind).map_err(damaged)?,
    })
}

async fn take_out(all: &mut SqliteConnection, old: &Row) -> Result<(), LibraryError> {
    let rows = Derived::of(&old.indexed()?)?;
    let listed = [
        (statements::OLD_SIGHTINGS, rows.sorts),
        (statements::OLD_MARKINGS, rows.markings),
        (statements::OLD_FIGURES, rows.figures),
        (statements::OLD_RESTS, rows.rests),
    ];
    for (statement, list) in listed {
        let query = sqlx::query(statement).bind(old.seq).bind(list);
        query.execute(&mut *all).await?;
    }
    let whole = [
        statements::OLD_WORDS,
        statements::OLD_BODY,
        statements::OLD_DOSSIER,
    ];
    for statement in whole {
        sqlx::query(statement)
            .bind(old.seq)
            .execute(&mut *all)
            .await?;
    }
    Ok(())
}

async fn put_in(
    all: &mut SqliteConnection,
    id: &DossierId,
    seq: i64,
    indexed: &Indexed,
    rows: &Derived,
    body: Deflated,
) -> Result<(), LibraryError> {
    let verdicts = indexed.verdicts;
    sqlx::query(statements::NEW_DOSSIER)
        .bind(seq)
        .bind(id.as_str())
        .bind(whole(indexed.revision)?)
        .bind(i64::from(verdicts.holds))
        .bind(i64::from(verdicts.fails))
        .bind(i64::from(verdicts.undecided))
        .bind(i64::from(verdicts.needs_evidence))
        .execute(&mut *all)
        .await?;
    sqlx::query(statements::NEW_BODY)
        .bind(seq)
        .bind(body.body)
        .bind(body.sha256)
        .execute(&mut *all)
        .await?;
    let mut words = sqlx::query(statements::NEW_WORDS).bind(seq);
    for column in &rows.columns {
        words = words.bind(column);
    }
    words.execute(&mut *all).await?;
    let new: Vec<(i64, String, String, String)> = sqlx::query_as(statements::NEW_SORTS)
        .bind(&rows.sorts)
        .fetch_all(&mut *all)
        .await?;
    for (sort, part, maker, role) in new {
        sqlx::query(statements::NEW_SORT_WORDS)
            .bind(sort)
            .bind(name_words(&part).join(" "))
            .bind(name_words(&maker).join(" "))
            .bind(derived::role_words(&role))
            .execute(&mut *all)
            .await?;
    }
    for (statement, list) in [
        (statements::NEW_HEADS, &rows.markings),
        (statements::NEW_NAMES, &rows.rests),
    ] {
        sqlx::query(statement).bind(list).execute(&mut *all).await?;
    }
    for (statement, list) in [
        (statements::NEW_SIGHTINGS, &rows.sorts),
        (statements::NEW_MARKINGS, &rows.markings),
        (statements::NEW_FIGURES, &rows.figures),
        (statements::NEW_RESTS, &rows.rests),
    ] {
        let query = sqlx::query(statement).bind(seq).bind(list);
        query.execute(&mut *all).await?;
    }
    Ok(())
}
