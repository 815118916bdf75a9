//! Finding in tables: they narrow down which dossiers are asked, and the plain functions of `search` decide.

mod across;
mod asked;
mod derived;
mod indexing;
mod opened;
mod statements;
#[cfg(test)]
mod tests;

use super::engine::on;
use super::kept::{damaged, from_json, inflated, json, unsigned};
use super::{Rows, write_whole};
use crate::search::{
    Across, AcrossAnswer, Beside, Find, Found, Heads, Hit, Holding, Index, Indexed, Pattern, Peers,
    PeersMark, Thing, held, hit, key, tier,
};
use crate::{DossierId, LibraryError};
use asked::Asked;
use async_trait::async_trait;
pub(super) use indexing::{Prepared, index_within};
pub(super) use opened::Open;
use opened::on_open;
use sqlx::migrate::Migrator;
use sqlx::{Connection as _, FromRow};
use std::collections::BTreeSet;

/// Dossiers that are fetched at a time beyond those still wanted, for those that are not what was asked.
const SPARE: usize = 12;

/// The steps of the tables of the index; they are counted apart from those of the library itself.
pub(super) fn migrations() -> Migrator {
    let mut steps = sqlx::migrate!("./migrations/search");
    steps.dangerous_set_table_name("find_migrations");
    steps
}

/// The same in PostgreSQL, with what else it needs.
#[cfg(feature = "team")]
pub(super) fn postgres_migrations() -> Migrator {
    let mut steps = sqlx::migrate!("./migrations/postgres");
    steps.dangerous_set_table_name("postgres_migrations");
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

/// Returns the turns of dossiers with a line that `fits`, under heads that `heads` takes and `pattern` may be read as.
async fn with_lines(
    all: &mut Open<'_>,
    pattern: &Pattern,
    heads: &Heads<'_>,
    fits: impl Fn(&Pattern) -> bool,
) -> Result<BTreeSet<i64>, LibraryError> {
    let found: Option<String> = match heads.firsts() {
        Some(firsts) => {
            let firsts = json(&firsts)?;
            on_open!(all, |one, sql| {
                let query = sqlx::query_scalar(sql::HEADS).bind(firsts);
                query.fetch_one(one).await?
            })
        }
        None => on_open!(all, |one, sql| {
            sqlx::query_scalar(sql::ALL_HEADS).fetch_one(one).await?
        }),
    };
    let found = found.unwrap_or_default();
    let under: Vec<&str> = found.lines().filter(|head| heads.take(head)).collect();
    // Many lines come as one text, since a row of its own costs more than looking at the line.
    let lines: Option<String> = on_open!(all, |one, sql| {
        let query = sqlx::query_scalar(sql::LINES).bind(json(&under)?);
        query.fetch_one(one).await?
    });
    let mut fitting = Vec::new();
    for told in lines.unwrap_or_default().lines() {
        let wrong = || damaged("a marking of the index");
        let (id, line) = told.split_once(' ').ok_or_else(wrong)?;
        if pattern.differs_from(line) {
            continue;
        }
        if fits(&Pattern::read(line).ok_or_else(wrong)?) {
            fitting.push(id.parse::<i64>().map_err(damaged)?);
        }
    }
    let seqs: String = on_open!(all, |one, sql| {
        let query = sqlx::query_scalar(sql::SEQS_OF_LINES).bind(json(&fitting)?);
        query.fetch_one(one).await?
    });
    from_json(&seqs)
}

#[async_trait]
impl Index for Rows {
    async fn index(&self, id: &DossierId, indexed: &Indexed) -> Result<(), LibraryError> {
        self.must_be(id).await?;
        let prepared = Prepared::of(indexed)?;
        write_whole!(self, |transaction| {
            let mut open = Open::from(&mut *transaction);
            index_within(&mut open, id, indexed, prepared).await?;
        })
    }

    async fn find(&self, find: &Find) -> Result<Found, LibraryError> {
        let mut reading = self.reading().await?;
        let all = &mut reading.open();
        let mut asked = Asked::of(find)?;
        for pattern in find.patterns() {
            let heads = Heads::begun_by(&pattern);
            let seqs = with_lines(all, &pattern, &heads, |line| pattern.begins(line)).await?;
            asked.only(seqs);
        }
        let markings = asked.markings()?;
        let mut gathered = Gathered::new(find.from, find.most);
        // What an earlier tier took comes again with the looser words of a later one, and is not read again.
        let mut taken = BTreeSet::new();
        for wanted in asked.tiers() {
            let mut before = i64::MAX;
            loop {
                let limit = gathered.wanted() + SPARE;
                let words = asked.words(wanted);
                let rows: Vec<Row> = on_open!(all, |one, sql| {
                    let statement = match words.is_empty() {
                        false => sql::BY_WORDS,
                        true => sql::BY_TURN,
                    };
                    let mut query = sqlx::query_as(statement)
                        .bind(sql::words(&words)?)
                        .bind(before)
                        .bind(i64::try_from(limit).unwrap_or(i64::MAX));
                    for (least, most) in asked.verdicts {
                        query = query.bind(least).bind(most);
                    }
                    let query = query.bind(&markings).bind(&asked.figures);
                    let query = query.bind(sql::words(&asked.sort)?);
                    query.fetch_all(one).await?
                });
                for row in &rows {
                    if taken.contains(&row.seq) {
                        continue;
                    }
                    let indexed = row.indexed()?;
                    if tier(find, &indexed) == Some(wanted) {
                        taken.insert(row.seq);
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
        found(all, gathered).await
    }

    async fn behind(&self) -> Result<Vec<DossierId>, LibraryError> {
        let mut reading = self.reading().await?;
        let all = &mut reading.open();
        let ids: Vec<String> = on_open!(all, |one, sql| {
            sqlx::query_scalar(sql::BEHIND).fetch_all(one).await?
        });
        ids.into_iter()
            .map(|id| DossierId::try_from(id).map_err(damaged))
            .collect()
    }

    async fn holding(&self, what: &Holding, most: usize) -> Result<Found, LibraryError> {
        let (Holding::Part(name) | Holding::Maker(name)) = what;
        let name = key(name);
        let mut reading = self.reading().await?;
        let all = &mut reading.open();
        let mut gathered = Gathered::new(0, most);
        if !name.is_empty() {
            let rows: Vec<Row> = on_open!(all, |one, sql| {
                let statement = match what {
                    Holding::Part(_) => sql::HOLDING_PART,
                    Holding::Maker(_) => sql::HOLDING_MAKER,
                };
                sqlx::query_as(statement)
                    .bind(name)
                    .bind(i64::MAX)
                    .bind(i64::try_from(gathered.wanted()).unwrap_or(i64::MAX))
                    .fetch_all(one)
                    .await?
            });
            for row in &rows {
                let indexed = row.indexed()?;
                gathered.take(|| row.hit(&indexed, &held(what, &indexed)))?;
            }
        }
        found(all, gathered).await
    }

    async fn peers(&self, beside: &Beside) -> Result<Peers, LibraryError> {
        self.peers_of(beside).await
    }

    async fn peers_mark(&self, id: &DossierId) -> Result<PeersMark, LibraryError> {
        self.mark_of(id).await
    }

    async fn across(&self, asked: &Across) -> Result<AcrossAnswer, LibraryError> {
        self.answer_across(asked).await
    }

    async fn touched_by(&self, names: &[String]) -> Result<Vec<DossierId>, LibraryError> {
        let mut reading = self.reading().await?;
        let all = &mut reading.open();
        let keys: BTreeSet<String> = names.iter().map(|name| key(name)).collect();
        let named: Vec<String> = on_open!(all, |one, sql| {
            let query = sqlx::query_scalar(sql::NAMED).bind(json(&keys)?);
            query.fetch_all(one).await?
        });
        let mut ids: BTreeSet<String> = named.into_iter().collect();
        for name in names {
            let Some(pattern) = Pattern::of_name(name) else {
                continue;
            };
            let heads = Heads::like(&pattern);
            let seqs = with_lines(all, &pattern, &heads, |line| pattern.may_be(line)).await?;
            let of: Vec<String> = on_open!(all, |one, sql| {
                let query = sqlx::query_scalar(sql::DOSSIERS_OF).bind(json(&seqs)?);
                query.fetch_all(one).await?
            });
            ids.extend(of);
        }
        let ids = ids.into_iter();
        ids.map(|id| DossierId::try_from(id).map_err(damaged))
            .collect()
    }
}

async fn found(all: &mut Open<'_>, gathered: Gathered) -> Result<Found, LibraryError> {
    let behind: i64 = on_open!(all, |one, sql| {
        sqlx::query_scalar(sql::COUNT_BEHIND).fetch_one(one).await?
    });
    Ok(Found {
        hits: gathered.hits,
        more: gathered.more,
        behind: usize::try_from(behind).map_err(damaged)?,
    })
}
