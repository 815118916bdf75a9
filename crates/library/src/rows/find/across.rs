//! Questions across products, asked of tables.

use super::opened::{Open, on_open};
use super::{Rows, damaged, from_json, inflated};
use crate::rows::kept::json;
use crate::search::{
    Across, AcrossAnswer, Begun, Beside, DOTS, Dot, Peer, PeerFacts, Peers, PeersMark, SHOWN,
    Supplied, begun, key,
};
use crate::{DossierId, LibraryError};
use sqlx::FromRow;
use std::collections::BTreeSet;

#[derive(FromRow)]
struct Row {
    dossier: String,
    body: Vec<u8>,
    sha256: String,
    published: bool,
}

impl Row {
    fn peer(self) -> Result<Peer, LibraryError> {
        let wrong = |what: &str| damaged(format!("what dossier {} is compared by {what}", self.dossier));
        let facts: PeerFacts = from_json(&inflated(&self.body, &self.sha256, &wrong)?)?;
        Ok(Peer {
            dossier: DossierId::try_from(self.dossier).map_err(damaged)?,
            published: self.published,
            facts,
        })
    }
}

#[derive(FromRow)]
struct DotRow {
    dossier: String,
    name: String,
    day: i64,
    value: f64,
    uncertainty: f64,
}

fn limit(n: usize) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

fn count(n: i64) -> Result<usize, LibraryError> {
    usize::try_from(n).map_err(damaged)
}

impl Rows {
    pub(super) async fn peers_of(&self, beside: &Beside) -> Result<Peers, LibraryError> {
        let mut reading = self.reading().await?;
        let all = &mut reading.open();
        let class = key(&beside.category);
        let maker = key(&beside.maker);
        let names: BTreeSet<String> = beside.parts.iter().map(|name| key(name)).collect();
        let names = json(&names.iter().filter(|n| !n.is_empty()).collect::<Vec<_>>())?;
        // One more than wanted, since the one itself may be among them.
        let most = limit(beside.most.saturating_add(1));
        let mut peers: Vec<Peer> = Vec::new();
        let mut seen = BTreeSet::from([beside.dossier.to_string()]);
        for turn in 0..4 {
            if peers.len() >= beside.most {
                break;
            }
            let rows: Vec<Row> = on_open!(all, |one, sql| match turn {
                0 => sqlx::query_as(sql::PEERS_OF_CLASS).bind(&class).bind(most).fetch_all(one).await?,
                1 => sqlx::query_as(sql::PEERS_WITH).bind(&names).bind(most).fetch_all(one).await?,
                2 => sqlx::query_as(sql::PEERS_BY).bind(&maker).bind(most).fetch_all(one).await?,
                _ => sqlx::query_as(sql::PEERS).bind(most).fetch_all(one).await?,
            });
            for row in rows {
                if peers.len() < beside.most && seen.insert(row.dossier.clone()) {
                    peers.push(row.peer()?);
                }
            }
        }
        let others: i64 = on_open!(all, |one, sql| {
            let query = sqlx::query_scalar(sql::COUNT_PEERS).bind(beside.dossier.as_str());
            query.fetch_one(one).await?
        });
        let left = count(others)?.saturating_sub(peers.len());
        Ok(Peers { peers, left })
    }

    pub(super) async fn mark_of(&self, id: &DossierId) -> Result<PeersMark, LibraryError> {
        let mut reading = self.reading().await?;
        let all = &mut reading.open();
        let (last, present) = on_open!(all, |one, sql| {
            let last: Option<i64> = sqlx::query_scalar(sql::LAST_PEER)
                .bind(id.as_str())
                .fetch_optional(&mut *one)
                .await?;
            let query = sqlx::query_scalar(sql::COUNT_PRESENT).bind(id.as_str());
            let present: i64 = query.fetch_one(one).await?;
            (last, present)
        });
        Ok(PeersMark(last.unwrap_or(0), present))
    }

    pub(super) async fn answer_across(&self, asked: &Across) -> Result<AcrossAnswer, LibraryError> {
        let mut reading = self.reading().await?;
        let all = &mut reading.open();
        Ok(match asked {
            Across::Supplied(maker) => {
                let maker = key(maker);
                let rows: Vec<(String, String, i64)> = on_open!(all, |one, sql| {
                    let query = sqlx::query_as(sql::SUPPLIED).bind(maker);
                    query.bind(limit(SHOWN)).fetch_all(one).await?
                });
                let row = |(part, role, products)| {
                    Ok(Supplied {
                        part,
                        role,
                        products: count(products)?,
                    })
                };
                let rows: Result<Vec<Supplied>, LibraryError> = rows.into_iter().map(row).collect();
                AcrossAnswer::Supplied(rows?)
            }
            Across::Begun(text) => AcrossAnswer::Begun(names(all, text).await?),
            Across::Over(kind, class) => {
                let rows: Vec<DotRow> = on_open!(all, |one, sql| {
                    let query = match class {
                        None => sqlx::query_as(sql::OVER).bind(kind),
                        Some(class) => sqlx::query_as(sql::OVER_CLASS).bind(kind).bind(key(class)),
                    };
                    query.bind(limit(DOTS + 1)).fetch_all(one).await?
                });
                let more = rows.len() > DOTS;
                let dot = |row: DotRow| Dot {
                    dossier: row.dossier,
                    product: row.name,
                    day: row.day,
                    value: row.value,
                    uncertainty: row.uncertainty,
                };
                AcrossAnswer::Over(rows.into_iter().take(DOTS).map(dot).collect(), more)
            }
            Across::Classes => {
                let rows: Vec<(String, i64)> = on_open!(all, |one, sql| {
                    let query = sqlx::query_as(sql::CLASSES);
                    query.bind(limit(SHOWN)).fetch_all(one).await?
                });
                let row = |(name, n)| Ok((name, count(n)?));
                let rows: Result<Vec<_>, LibraryError> = rows.into_iter().map(row).collect();
                AcrossAnswer::Classes(rows?)
            }
        })
    }
}

async fn names(all: &mut Open<'_>, text: &str) -> Result<Begun, LibraryError> {
    let Some((low, high)) = begun(text) else {
        return Ok(Begun::default());
    };
    Ok(on_open!(all, |one, sql| {
        let parts: Vec<String> = sqlx::query_scalar(sql::PARTS_BEGUN)
            .bind(&low)
            .bind(&high)
            .bind(limit(SHOWN))
            .fetch_all(&mut *one)
            .await?;
        let makers: Vec<String> = sqlx::query_scalar(sql::MAKERS_BEGUN)
            .bind(&low)
            .bind(&high)
            .bind(limit(SHOWN))
            .fetch_all(one)
            .await?;
        Begun { parts, makers }
    }))
}
