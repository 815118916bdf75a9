//! Who is paired: a code that holds for two minutes and once, then one device for twelve hours.
//!
//! In: moments, codes, tokens. Out: who may pass. Not here: the clock; what the device may do.

use super::same;
use library::{DossierId, Person};
use std::collections::VecDeque;
use std::time::{Duration, Instant};

/// How long a code can be used.
pub(crate) const CODE_HOLDS: Duration = Duration::from_secs(120);
/// How long a device stays paired.
pub(crate) const DEVICE_HOLDS: Duration = Duration::from_secs(12 * 60 * 60);
/// Wrong codes after which the code is worth nothing.
const MOST_WRONG: u32 = 5;
/// Tries within [`TRIES_WITHIN`], whatever the code.
const MOST_TRIES: usize = 10;
const TRIES_WITHIN: Duration = Duration::from_secs(60);
/// Pictures of one pairing.
pub(crate) const MOST_PICTURES: u32 = 500;
/// Letters and digits that are not taken for one another.
const LETTERS: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";

/// Why a device is not let in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Refused {
    Wrong,
    /// No code is waiting: none was made, it was used, or it is too old.
    None,
    TooOften,
}

/// A code that waits.
struct Code {
    text: String,
    made: Instant,
    wrong: u32,
    dossier: DossierId,
    person: Person,
}

/// The device that is paired.
#[derive(Clone)]
pub(crate) struct Device {
    token: String,
    since: Instant,
    pub(crate) dossier: DossierId,
    pub(crate) person: Person,
    pictures: u32,
}

/// The state of pairing.
#[derive(Default)]
pub(crate) struct Pairing {
    code: Option<Code>,
    device: Option<Device>,
    tries: VecDeque<Instant>,
}

impl Pairing {
    /// Makes a code; one before it, and a device that is paired, are worth nothing any more.
    ///
    /// # Errors
    /// Where the system has no random numbers.
    pub(crate) fn offer(
        &mut self,
        dossier: DossierId,
        person: Person,
        now: Instant,
    ) -> Result<String, getrandom::Error> {
        let mut bytes = [0; 6];
        getrandom::fill(&mut bytes)?;
        let letters = bytes.map(|b| char::from(LETTERS[usize::from(b % 32)]));
        let text: String = letters.iter().collect();
        self.device = None;
        self.code = Some(Code {
            text: text.clone(),
            made: now,
            wrong: 0,
            dossier,
            person,
        });
        Ok(text)
    }

    /// Returns the code that waits for a dossier, and how long it still holds.
    pub(crate) fn waiting(&self, dossier: &DossierId, now: Instant) -> Option<(String, Duration)> {
        let code = self.code.as_ref().filter(|c| c.dossier == *dossier)?;
        let left = CODE_HOLDS.checked_sub(now.saturating_duration_since(code.made))?;
        Some((code.text.clone(), left))
    }

    /// Exchanges a code for a token.
    pub(crate) fn pair(
        &mut self,
        given: &str,
        now: Instant,
    ) -> Result<(String, DossierId), Refused> {
        let is_old = |at: &Instant| now.saturating_duration_since(*at) > TRIES_WITHIN;
        while self.tries.front().is_some_and(is_old) {
            self.tries.pop_front();
        }
        if self.tries.len() >= MOST_TRIES {
            return Err(Refused::TooOften);
        }
        self.tries.push_back(now);
        let code = self.code.as_mut().ok_or(Refused::None)?;
        if now.saturating_duration_since(code.made) > CODE_HOLDS {
            self.code = None;
            return Err(Refused::None);
        }
        let given: String = given
            .chars()
            .filter(|c| c.is_ascii_alphanumeric())
            .collect();
        if !same(&given.to_ascii_uppercase(), &code.text) {
            code.wrong += 1;
            if code.wrong >= MOST_WRONG {
                self.code = None;
            }
            return Err(Refused::Wrong);
        }
        let mut bytes = [0; 32];
        getrandom::fill(&mut bytes).map_err(|_| Refused::None)?;
        let token: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
        let code = self.code.take().ok_or(Refused::None)?;
        self.device = Some(Device {
            token: token.clone(),
            since: now,
            dossier: code.dossier.clone(),
            person: code.person,
            pictures: 0,
        });
        Ok((token, code.dossier))
    }

    /// Returns the device with a token, while it is paired.
    pub(crate) fn device(&self, token: &str, now: Instant) -> Option<Device> {
        let device = self.current(now)?;
        same(token, &device.token).then(|| device.clone())
    }

    /// Returns the device that is paired.
    pub(crate) fn current(&self, now: Instant) -> Option<&Device> {
        let device = self.device.as_ref()?;
        (now.saturating_duration_since(device.since) <= DEVICE_HOLDS).then_some(device)
    }

    /// Counts a picture; false where there were too many.
    pub(crate) fn counts(&mut self) -> bool {
        let Some(device) = &mut self.device else {
            return false;
        };
        device.pictures += 1;
        device.pictures <= MOST_PICTURES
    }

    /// Ends it, from either side.
    pub(crate) fn end(&mut self) {
        self.device = None;
        self.code = None;
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test may stop where its ground is missing"
    )]

    use super::*;

    fn offered(now: Instant) -> (Pairing, String) {
        let mut pairing = Pairing::default();
        let id = DossierId::random().unwrap();
        let code = pairing.offer(id, Person::from("A."), now).unwrap();
        (pairing, code)
    }

    #[test]
    fn a_code_holds_for_two_minutes_and_once() {
        let now = Instant::now();
        let (mut pairing, code) = offered(now);
        assert_eq!(code.len(), 6);
        let late = now + CODE_HOLDS + Duration::from_secs(1);
        assert_eq!(pairing.pair(&code, late).unwrap_err(), Refused::None);
        let (mut pairing, code) = offered(now);
        let (token, _) = pairing
            .pair(&code.to_lowercase(), now + CODE_HOLDS)
            .unwrap();
        assert_eq!(
            pairing.pair(&code, now + CODE_HOLDS).unwrap_err(),
            Refused::None
        );
        assert!(pairing.device(&token, now + CODE_HOLDS).is_some());
        assert!(pairing.device("", now).is_none());
    }

    #[test]
    fn a_code_that_was_missed_five_times_is_worth_nothing() {
        let now = Instant::now();
        let (mut pairing, code) = offered(now);
        for _ in 0..5 {
            assert_eq!(pairing.pair("111111", now).unwrap_err(), Refused::Wrong);
        }
        assert_eq!(pairing.pair(&code, now).unwrap_err(), Refused::None);
    }

    #[test]
    fn more_than_ten_tries_a_minute_are_not_looked_at() {
        let now = Instant::now();
        let mut pairing = Pairing::default();
        for _ in 0..10 {
            assert_eq!(pairing.pair("111111", now).unwrap_err(), Refused::None);
        }
        let id = DossierId::random().unwrap();
        let code = pairing.offer(id, Person::from("A."), now).unwrap();
        assert_eq!(pairing.pair(&code, now).unwrap_err(), Refused::TooOften);
        assert!(pairing.pair(&code, now + Duration::from_secs(61)).is_ok());
    }

    #[test]
    fn a_device_stays_twelve_hours_or_until_it_is_ended() {
        let now = Instant::now();
        let (mut pairing, code) = offered(now);
        let (token, _) = pairing.pair(&code, now).unwrap();
        assert!(pairing.device(&token, now + DEVICE_HOLDS).is_some());
        let late = now + DEVICE_HOLDS + Duration::from_secs(1);
        assert!(pairing.device(&token, late).is_none());
        pairing.end();
        assert!(pairing.device(&token, now).is_none());
        // A new code ends the device before it.
        let (mut pairing, code) = offered(now);
        let (token, dossier) = pairing.pair(&code, now).unwrap();
        pairing.offer(dossier, Person::from("A."), now).unwrap();
        assert!(pairing.device(&token, now).is_none());
    }

    #[test]
    fn pictures_are_counted() {
        let now = Instant::now();
        let (mut pairing, code) = offered(now);
        pairing.pair(&code, now).unwrap();
        for _ in 0..MOST_PICTURES {
            assert!(pairing.counts());
        }
        assert!(!pairing.counts());
    }
}
