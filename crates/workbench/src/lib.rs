//! The workbench: a local server of pages, from unpacking to publication.
//!
//! In: a desk (a library and what is known beside it), an address. Out: pages, answers, events.
//! Not here: how edits merge (`library`), what a dossier means (`record`), every number (`methods`). A page decides
//! nothing and computes nothing.

mod ask;
mod assets;
mod back;
mod edits;
mod field;
mod frame;
mod guard;
mod jobs;
mod live;
mod login;
mod pages;
mod people;
mod phone;
mod plates;
mod server;
mod station;
mod steps;
mod tls;
mod told;

pub use guard::Secret;

use app::desk::Desk;
use app::plates::Plates;
use guard::Guard;
use library::Person;
use server::{Bench, router};
use std::future::Future;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;
use tokio::net::TcpListener;

/// What is served, where and to whom.
pub struct Options {
    /// The dossiers.
    pub desk: Desk,
    /// Where to listen: an address of this machine alone, or, where the library has people, any; port 0 for any that is
    /// free.
    pub address: SocketAddr,
    /// Whose edits they are where a browser says nothing else.
    pub person: Person,
    /// What sessions are made with; kept, browsers stay let in when the server is started again.
    pub secret: Secret,
}

/// Why nothing is served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// Others could reach it, and the library has no people.
    #[error("{0} can be reached by others, and this library has no accounts")]
    NoAccounts(String),
    /// Every address of the machine, by a name that is not told.
    #[error("at {0} the workbench is reached by a name that it must know")]
    NoName(SocketAddr),
    /// Who may use the library cannot be read.
    #[error("{0}")]
    Library(#[from] library::LibraryError),
    /// A certificate cannot be made.
    #[error("no certificate can be made for “{name}”: {error}")]
    Certificate {
        /// The address or name that it was for.
        name: String,
        /// Why.
        error: String,
    },
    /// The address cannot be listened at.
    #[error("cannot listen at {address}: {error}")]
    Address {
        /// The address.
        address: SocketAddr,
        /// What the system says.
        error: std::io::Error,
    },
    /// The system has no random numbers.
    #[error("the system has no random numbers: {0}")]
    Random(String),
    /// The server ended by itself.
    #[error("the server ended: {0}")]
    Ended(#[from] std::io::Error),
}

/// A server that listens and is not yet running.
pub struct Serving {
    listener: TcpListener,
    bench: Arc<Bench>,
    address: SocketAddr,
    /// What encrypts, and its fingerprint, where others can reach it.
    encrypted: Option<(tokio_rustls::TlsAcceptor, String)>,
    door: Option<phone::Door>,
}

/// Listens.
///
/// # Errors
/// An address that others could reach where the library has no people; one that is taken.
pub async fn serve(options: Options) -> Result<Serving, ServeError> {
    listening(options, None, None).await
}

/// Listens; what is made of photographs is kept in a folder instead of the user's cache.
///
/// # Errors
/// As [`serve`].
pub async fn serve_keeping(
    options: Options,
    pictures: Option<PathBuf>,
) -> Result<Serving, ServeError> {
    listening(options, None, pictures).await
}

/// Listens, and answers under a name as well, by which others reach this machine, or a proxy that encrypts.
///
/// # Errors
/// As [`serve`].
pub async fn serve_as(options: Options, name: &str) -> Result<Serving, ServeError> {
    listening(options, Some(name), None).await
}

async fn listening(
    options: Options,
    name: Option<&str>,
    pictures: Option<PathBuf>,
) -> Result<Serving, ServeError> {
    let asked = options.address;
    let here_alone = asked.ip().is_loopback();
    let has_people = !options.desk.library().people().await?.is_empty();
    if !has_people && (!here_alone || name.is_some()) {
        let reached = name.map_or_else(|| asked.to_string(), str::to_string);
        return Err(ServeError::NoAccounts(reached));
    }
    if asked.ip().is_unspecified() && name.is_none() {
        return Err(ServeError::NoName(asked));
    }
    let encrypted = match here_alone {
        true => None,
        false => {
            let name = name.map_or_else(|| asked.ip().to_string(), str::to_string);
            let made = tls::certificate(name.clone());
            let error = |error: Box<dyn std::error::Error + Send + Sync>| error.to_string();
            Some(made.map_err(|e| ServeError::Certificate {
                name,
                error: error(e),
            })?)
        }
    };
    let unreachable = |error| ServeError::Address {
        address: asked,
        error,
    };
    let listener = TcpListener::bind(asked).await.map_err(unreachable)?;
    let address = listener.local_addr()?;
    let guard = Guard::new(options.secret, address, options.person);
    let mut guard = guard.map_err(|error| ServeError::Random(error.to_string()))?;
    if has_people {
        guard = guard.with_accounts(address, name, encrypted.is_some());
    }
    let plates = Plates::of(options.desk.library().clone(), pictures);
    let bench = Arc::new(Bench::new(options.desk, plates, guard));
    Ok(Serving {
        listener,
        bench,
        address,
        encrypted,
        door: None,
    })
}

/// Most connections at a time where others can reach it: each window holds a few.
const MOST_CONNECTIONS: usize = 1000;

impl Serving {
    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// The fingerprint (SHA-256) of the certificate, where others can reach it.
    pub fn fingerprint(&self) -> Option<&str> {
        self.encrypted.as_ref().map(|(_, print)| print.as_str())
    }

    /// Whether people log in.
    pub fn has_accounts(&self) -> bool {
        self.bench.guard.has_accounts()
    }

    /// The address that lets a browser in, or where people log in.
    pub fn url(&self) -> String {
        if self.bench.guard.has_accounts() {
            let scheme = if self.encrypted.is_some() {
                "https"
            } else {
                "http"
            };
            return format!("{scheme}://{}/", self.address);
        }
        format!(
            "http://{}/?token={}",
            self.address,
            self.bench.guard.token()
        )
    }

    /// Listens for a telephone as well, at one address, encrypted with a certificate made for this start.
    ///
    /// # Errors
    /// An address that is no single one of this machine, or is taken.
    pub async fn with_phone(mut self, address: SocketAddr) -> Result<Self, ServeError> {
        let refused = |error| ServeError::Address { address, error };
        if address.ip().is_unspecified() {
            let every = std::io::Error::other("every address is not one address");
            return Err(refused(every));
        }
        let door = phone::open(address).await.map_err(refused)?;
        self.bench.listens(&door.phone);
        self.door = Some(door);
        Ok(self)
    }

    /// Where a telephone is listened for, and the fingerprint (SHA-256) of the certificate there.
    pub fn phone(&self) -> Option<(SocketAddr, &str)> {
        let phone = &self.door.as_ref()?.phone;
        Some((phone.address, &phone.fingerprint))
    }

    /// Serves until `stop` is done. What was answered is kept; streams of events end at once.
    ///
    /// # Errors
    /// Where the system ends it.
    pub async fn run(self, stop: impl Future<Output = ()> + Send) -> Result<(), ServeError> {
        let telephones = self
            .door
            .map(|door| phone::serve(door, Arc::clone(&self.bench)));
        let telephones = async {
            match telephones {
                Some(telephones) => telephones.await,
                None => std::future::pending().await,
            }
        };
        let beside = Arc::clone(&self.bench);
        let warming = Arc::clone(&self.bench);
        tokio::spawn(async move { warming.desk.warm().await });
        let router = router(self.bench);
        let serving = async {
            match self.encrypted {
                None => {
                    let service = router.into_make_service_with_connect_info::<SocketAddr>();
                    axum::serve(self.listener, service).await
                }
                Some((acceptor, _)) => {
                    tls::serve(self.listener, acceptor, router, MOST_CONNECTIONS).await;
                    Ok(())
                }
            }
        };
        tokio::select! {
            ended = serving => Ok(ended?),
            () = telephones => Ok(()),
            () = beside.desk.keep_index() => Ok(()),
            () = stop => Ok(()),
        }
    }
}
