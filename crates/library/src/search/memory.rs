//! Finding in memory: the model that tables are compared with. Every dossier is asked.

use super::{Across, AcrossAnswer, Beside, Find, Found, Holding, Index, Indexed, Peers, PeersMark, Thing, Tier, held, hit, rests_on, tier};
use crate::memory::Rows;
use crate::{DossierId, LibraryError, Memory};
use async_trait::async_trait;
use std::cmp::Reverse;

/// What is indexed of a dossier, and its turn among all: what was indexed last stands first.
#[derive(Debug)]
pub(crate) struct Filed {
    pub(super) turn: u64,
    pub(super) indexed: Indexed,
}

fn is_behind(rows: &Rows) -> bool {
    let current = |filed: &Filed| filed.indexed.revision >= rows.head.revision;
    !rows.filed.as_ref().is_some_and(current)
}

impl Memory {
    /// Lists what `judge` finds, least tier first, then what was indexed last.
    fn listed<F>(&self, from: usize, most: usize, judge: F) -> Found
    where
        F: for<'i> Fn(&'i Indexed) -> Option<(Tier, Vec<&'i Thing>)>,
    {
        let rows = self.rows();
        let present = || rows.values().filter(|rows| !rows.head.withdrawn);
        let mut listed = Vec::new();
        for rows in present() {
            let Some(filed) = &rows.filed else { continue };
            if let Some((tier, things)) = judge(&filed.indexed) {
                let hit = hit(&rows.head.id, rows.head.revision, &filed.indexed, &things);
                listed.push((tier, Reverse(filed.turn), hit));
            }
        }
        listed.sort_by_key(|(tier, turn, _)| (*tier, *turn));
        let more = listed.len() > from.saturating_add(most);
        let shown = listed.into_iter().skip(from).take(most);
        Found {
            hits: shown.map(|(_, _, hit)| hit).collect(),
            more,
            behind: present().filter(|rows| is_behind(rows)).count(),
        }
    }
}

#[async_trait]
impl Index for Memory {
    async fn index(&self, id: &DossierId, indexed: &Indexed) -> Result<(), LibraryError> {
        let mut rows = self.rows();
        let turns = rows.values().filter_map(|rows| rows.filed.as_ref());
        let turn = turns.map(|filed| filed.turn).max().unwrap_or(0) + 1;
        let rows = rows.get_mut(id);
        let rows = rows.ok_or_else(|| LibraryError::NoDossier(id.clone()))?;
        let later = |filed: &Filed| filed.indexed.revision > indexed.revision;
        if !rows.filed.as_ref().is_some_and(later) {
            rows.filed = Some(Filed {
                turn,
                indexed: indexed.clone(),
            });
        }
        Ok(())
    }

    async fn find(&self, find: &Find) -> Result<Found, LibraryError> {
        Ok(self.listed(find.from, find.most, |indexed| {
            Some((tier(find, indexed)?, find.matched(indexed)))
        }))
    }

    async fn behind(&self) -> Result<Vec<DossierId>, LibraryError> {
        let rows = self.rows();
        let mut behind: Vec<_> = rows.values().filter(|rows| is_behind(rows)).collect();
        behind.sort_by_key(|rows| (rows.head.changed, rows.head.id.clone()));
        Ok(behind.iter().map(|rows| rows.head.id.clone()).collect())
    }

    async fn holding(&self, what: &Holding, most: usize) -> Result<Found, LibraryError> {
        Ok(self.listed(0, most, |indexed| {
            let things = held(what, indexed);
            (!things.is_empty()).then_some((0, things))
        }))
    }

    async fn peers(&self, beside: &Beside) -> Result<Peers, LibraryError> {
        Ok(self.peers_of(beside))
    }

    async fn peers_mark(&self, id: &DossierId) -> Result<PeersMark, LibraryError> {
        Ok(self.mark_of(id))
    }

    async fn across(&self, asked: &Across) -> Result<AcrossAnswer, LibraryError> {
        Ok(self.answer_across(asked))
    }

    async fn touched_by(&self, names: &[String]) -> Result<Vec<DossierId>, LibraryError> {
        let rows = self.rows();
        let touched = rows.values().filter(|rows| {
            let filed = rows.filed.as_ref();
            filed.is_some_and(|filed| names.iter().any(|name| rests_on(name, &filed.indexed)))
        });
        Ok(touched.map(|rows| rows.head.id.clone()).collect())
    }
}
