//! Accounts and sessions in memory.

use super::Memory;
use crate::LibraryError;
use crate::people::{Account, Enrolled, People};
use async_trait::async_trait;
use jiff::Timestamp;
use std::collections::BTreeMap;
use std::sync::{MutexGuard, PoisonError};

#[derive(Debug, Default)]
pub(crate) struct Enrolment {
    people: BTreeMap<String, Enrolled>,
    /// Whose session it is and how long, by its digest.
    sessions: BTreeMap<String, (String, Timestamp)>,
}

impl Memory {
    fn enrolment(&self) -> MutexGuard<'_, Enrolment> {
        self.people.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[async_trait]
impl People for Memory {
    async fn people(&self) -> Result<Vec<Enrolled>, LibraryError> {
        Ok(self.enrolment().people.values().cloned().collect())
    }

    async fn enrol(&self, new: &Enrolled) -> Result<bool, LibraryError> {
        let people = &mut self.enrolment().people;
        let is_free = !people.contains_key(&new.folded);
        if is_free {
            people.insert(new.folded.clone(), new.clone());
        }
        Ok(is_free)
    }

    async fn rehash(&self, folded: &str, hash: &str) -> Result<bool, LibraryError> {
        let mut all = self.enrolment();
        all.sessions.retain(|_, (person, _)| person != folded);
        let found = all.people.get_mut(folded);
        Ok(found
            .map(|enrolled| enrolled.hash = hash.to_string())
            .is_some())
    }

    async fn strike(&self, folded: &str) -> Result<bool, LibraryError> {
        let mut all = self.enrolment();
        all.sessions.retain(|_, (person, _)| person != folded);
        Ok(all.people.remove(folded).is_some())
    }

    async fn begin(
        &self,
        digest: &str,
        folded: &str,
        until: Timestamp,
        now: Timestamp,
    ) -> Result<(), LibraryError> {
        let mut all = self.enrolment();
        all.sessions.retain(|_, (_, until)| *until > now);
        if all.people.contains_key(folded) {
            let session = (folded.to_string(), until);
            all.sessions.insert(digest.to_string(), session);
        }
        Ok(())
    }

    async fn whose(&self, digest: &str, now: Timestamp) -> Result<Option<Account>, LibraryError> {
        let all = self.enrolment();
        let session = all.sessions.get(digest).filter(|(_, until)| *until > now);
        let enrolled = session.and_then(|(person, _)| all.people.get(person));
        Ok(enrolled.map(|enrolled| enrolled.account.clone()))
    }

    async fn end(&self, digest: &str) -> Result<(), LibraryError> {
        self.enrolment().sessions.remove(digest);
        Ok(())
    }
}
