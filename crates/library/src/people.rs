//! Who may use a library: names, roles, passwords, sessions.
//!
//! In: names and passwords, the time. Out: accounts; sessions, which end by themselves.
//! Not here: who asks for what (`workbench`), how often a password may be tried (there too).
//!
//! Source: RFC 9106 (argon2id; 19 MiB, two passes, one lane are what OWASP's cheat sheet on password storage asks for,
//! and the defaults of the crate); OWASP cheat sheet on session management (from memory).

use crate::digest::sha256;
use crate::library::whole_micros;
use crate::{Library, LibraryError, Person};
use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher as _, PasswordVerifier as _};
use async_trait::async_trait;
use jiff::{SignedDuration, Timestamp};
use serde::Serialize;
use std::fmt::{self, Write as _};
use std::str::FromStr;
use unicode_normalization::UnicodeNormalization as _;

/// How long a session lasts.
const SESSION: SignedDuration = SignedDuration::from_hours(7 * 24);

/// Fewest characters of a password (common practice).
const SHORTEST: usize = 12;

/// Most bytes of one; more would only make work.
const LONGEST: usize = 1024;

/// What somebody may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Look at everything.
    Reader,
    /// Edit and publish as well.
    Editor,
    /// Put products out of the way and bring them back as well.
    Owner,
}

impl Role {
    /// The word for it.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Reader => "reader",
            Self::Editor => "editor",
            Self::Owner => "owner",
        }
    }
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl FromStr for Role {
    type Err = LibraryError;
    fn from_str(text: &str) -> Result<Self, LibraryError> {
        let all = [Self::Reader, Self::Editor, Self::Owner];
        let found = all.into_iter().find(|role| role.as_str() == text);
        found.ok_or_else(|| LibraryError::Damaged(format!("“{text}” is no role")))
    }
}

/// Somebody who may use a library.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Account {
    /// The name that edits are kept under.
    pub name: Person,
    /// What they may do.
    pub role: Role,
    /// Since when.
    pub made: Timestamp,
}

/// An account as it is kept.
#[derive(Debug, Clone)]
pub struct Enrolled {
    /// The name by which it is found: one for all ways to write it.
    pub folded: String,
    /// The account.
    pub account: Account,
    /// The hash of the password, with how it was made.
    pub hash: String,
}

/// Keeps accounts and sessions. Each function is one transaction.
#[async_trait]
pub trait People: Send + Sync + 'static {
    /// Lists the accounts by name.
    async fn people(&self) -> Result<Vec<Enrolled>, LibraryError>;

    /// Keeps a new account; whether the name was free.
    async fn enrol(&self, new: &Enrolled) -> Result<bool, LibraryError>;

    /// Keeps another hash and ends all sessions; whether there is such an account.
    async fn rehash(&self, folded: &str, hash: &str) -> Result<bool, LibraryError>;

    /// Removes an account and its sessions; whether there was one.
    async fn strike(&self, folded: &str) -> Result<bool, LibraryError>;

    /// Begins a session under the digest of what a browser is given, and forgets those that ended before `now`.
    async fn begin(
        &self,
        digest: &str,
        folded: &str,
        until: Timestamp,
        now: Timestamp,
    ) -> Result<(), LibraryError>;

    /// Returns whose session it is, if it lasts at `now`.
    async fn whose(&self, digest: &str, now: Timestamp) -> Result<Option<Account>, LibraryError>;

    /// Ends a session.
    async fn end(&self, digest: &str) -> Result<(), LibraryError>;
}

/// One name for all ways to write it.
fn folded(name: &Person) -> String {
    name.as_str().nfkc().collect::<String>().to_lowercase()
}

/// Works a hash out on a thread that may take its time.
async fn slowly<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> T {
    let done = tokio::task::spawn_blocking(work).await;
    done.expect("hashing does not panic and is not cancelled")
}

async fn hashed(password: &str) -> Result<String, LibraryError> {
    if password.chars().count() < SHORTEST || password.len() > LONGEST {
        return Err(LibraryError::Password(SHORTEST));
    }
    let password = password.to_string();
    let hash = slowly(move || {
        let hash = Argon2::default().hash_password(password.as_bytes());
        hash.map(|hash| hash.to_string())
    });
    hash.await
        .map_err(|e| LibraryError::Unreachable(e.to_string()))
}

/// What is tried where no such name is known, so that the answer takes as long.
const NOBODY: &str = "$argon2id$v=19$m=19456,t=2,p=1$MDEyMzQ1Njc4OWFiY2RlZg$aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa";

impl Library {
    /// Lists who may use the library, by name. Where there is nobody, it is served to this machine alone.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn people(&self) -> Result<Vec<Account>, LibraryError> {
        let people = self.keeper.people().await?;
        Ok(people
            .into_iter()
            .map(|enrolled| enrolled.account)
            .collect())
    }

    /// Lets somebody use the library.
    ///
    /// # Errors
    /// A name that is none or is taken, a password that is too short.
    pub async fn add_person(
        &self,
        name: &Person,
        role: Role,
        password: &str,
        at: Timestamp,
    ) -> Result<(), LibraryError> {
        if folded(name).is_empty() {
            return Err(LibraryError::NoPerson(name.clone()));
        }
        let new = Enrolled {
            folded: folded(name),
            account: Account {
                name: name.clone(),
                role,
                made: whole_micros(at),
            },
            hash: hashed(password).await?,
        };
        match self.keeper.enrol(&new).await? {
            true => Ok(()),
            false => Err(LibraryError::PersonThere(name.clone())),
        }
    }

    /// Gives somebody another password; where they are logged in, they are no more.
    ///
    /// # Errors
    /// Nobody of that name; a password that is too short.
    pub async fn set_password(&self, name: &Person, password: &str) -> Result<(), LibraryError> {
        let hash = hashed(password).await?;
        match self.keeper.rehash(&folded(name), &hash).await? {
            true => Ok(()),
            false => Err(LibraryError::NoPerson(name.clone())),
        }
    }

    /// Lets somebody use the library no more. What they did stays under their name.
    ///
    /// # Errors
    /// Nobody of that name.
    pub async fn remove_person(&self, name: &Person) -> Result<(), LibraryError> {
        match self.keeper.strike(&folded(name)).await? {
            true => Ok(()),
            false => Err(LibraryError::NoPerson(name.clone())),
        }
    }

    /// Begins a session, where name and password are right: 256 random bits, new each time, which a browser is to show.
    ///
    /// # Errors
    /// Where the library cannot be reached, or the system has no random numbers.
    pub async fn log_in(
        &self,
        name: &Person,
        password: &str,
        now: Timestamp,
    ) -> Result<Option<String>, LibraryError> {
        let name = folded(name);
        let people = self.keeper.people().await?;
        let found = people.into_iter().find(|enrolled| enrolled.folded == name);
        let hash = found
            .as_ref()
            .map_or(NOBODY, |enrolled| &enrolled.hash)
            .to_string();
        let given: String = match password.len() > LONGEST {
            true => String::new(),
            false => password.to_string(),
        };
        let right = slowly(move || {
            let hash = PasswordHash::new(&hash).ok();
            hash.is_some_and(|hash| {
                let tried = Argon2::default().verify_password(given.as_bytes(), &hash);
                tried.is_ok()
            })
        })
        .await;
        if found.is_none() || !right {
            return Ok(None);
        }
        let mut bits = [0; 32];
        getrandom::fill(&mut bits).map_err(|e| LibraryError::Unreachable(e.to_string()))?;
        let token = bits.iter().fold(String::new(), |mut text, byte| {
            // Writing to a String cannot fail.
            let _ = write!(text, "{byte:02x}");
            text
        });
        let now = whole_micros(now);
        let until = now.saturating_add(SESSION).unwrap_or(Timestamp::MAX);
        let digest = sha256(token.as_bytes());
        self.keeper.begin(&digest, &name, until, now).await?;
        Ok(Some(token))
    }

    /// Returns whose session this is; nobody's where it has ended or never was.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn session(
        &self,
        token: &str,
        now: Timestamp,
    ) -> Result<Option<Account>, LibraryError> {
        let digest = sha256(token.as_bytes());
        self.keeper.whose(&digest, whole_micros(now)).await
    }

    /// Ends a session.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn log_out(&self, token: &str) -> Result<(), LibraryError> {
        self.keeper.end(&sha256(token.as_bytes())).await
    }
}
