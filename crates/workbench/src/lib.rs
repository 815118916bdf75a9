//! The workbench: a local server of pages, from unpacking to publication.
//!
//! In: a desk (a library and what is known beside it), an address of this machine. Out: pages, answers, events.
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
mod pages;
mod people;
mod phone;
mod plates;
mod server;
mod station;
mod steps;
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
    /// Where to listen: an address of this machine alone; port 0 for any that is free.
    pub address: SocketAddr,
    /// Whose edits they are where a browser says nothing else.
    pub person: Person,
    /// What sessions are made with; kept, browsers stay let in when the server is started again.
    pub secret: Secret,
}

/// Why nothing is served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// An address that others could reach.
    #[error("{0} is no address of this machine alone; the workbench has no accounts")]
    NotLoopback(SocketAddr),
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
    door: Option<phone::Door>,
}

/// Listens.
///
/// # Errors
/// An address that is not of this machine alone, or is taken.
pub async fn serve(options: Options) -> Result<Serving, ServeError> {
    serve_keeping(options, None).await
}

/// Listens; what is made of photographs is kept in a folder instead of the user's cache.
///
/// # Errors
/// As [`serve`].
pub async fn serve_keeping(
    options: Options,
    pictures: Option<PathBuf>,
) -> Result<Serving, ServeError> {
    let asked = options.address;
    if !asked.ip().is_loopback() {
        return Err(ServeError::NotLoopback(asked));
    }
    let unreachable = |error| ServeError::Address {
        address: asked,
        error,
    };
    let listener = TcpListener::bind(asked).await.map_err(unreachable)?;
    let address = listener.local_addr()?;
    let guard = Guard::new(options.secret, address, options.person);
    let guard = guard.map_err(|error| ServeError::Random(error.to_string()))?;
    let plates = Plates::of(options.desk.library().clone(), pictures);
    let bench = Arc::new(Bench::new(options.desk, plates, guard));
    Ok(Serving {
        listener,
        bench,
        address,
        door: None,
    })
}

impl Serving {
    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// The address that lets a browser in.
    pub fn url(&self) -> String {
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
        let serving = axum::serve(self.listener, router(self.bench));
        tokio::select! {
            ended = serving => Ok(ended?),
            () = telephones => Ok(()),
            () = beside.desk.keep_index() => Ok(()),
            () = stop => Ok(()),
        }
    }
}
