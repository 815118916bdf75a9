//! A telephone as camera: one more listener at one stated address, for one paired device.
//!
//! In: an address. Out: a certificate made for this start, a pairing code, a page for the device.
//! Not here: anything else of the workbench; the device reaches its own routes and nothing more.

mod matrix;
mod pairing;
mod routes;

pub(crate) use matrix::matrix;
pub(crate) use pairing::{Pairing, Refused};

use crate::guard::equal;
use crate::server::Shared;
use crate::tls;
use std::net::SocketAddr;
use std::sync::{Arc, Mutex, PoisonError};
use tokio::net::TcpListener;

/// The listener for telephones.
pub(crate) struct Phone {
    pub(crate) address: SocketAddr,
    /// SHA-256 of the certificate, in hexadecimal digits.
    pub(crate) fingerprint: String,
    pairing: Mutex<Pairing>,
}

impl Phone {
    /// The state of pairing. It is changed in single steps, so one that a panic left behind is whole.
    pub(crate) fn pairing(&self) -> std::sync::MutexGuard<'_, Pairing> {
        self.pairing.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The address that a browser opens.
    pub(crate) fn url(&self) -> String {
        format!("https://{}/", self.address)
    }
}

/// A door that listens and lets nobody in yet.
pub(crate) struct Door {
    pub(crate) phone: Arc<Phone>,
    listener: TcpListener,
    acceptor: tokio_rustls::TlsAcceptor,
}

/// Listens at one address with a certificate of its own.
///
/// # Errors
/// An address that is taken or is none of this machine; a certificate that cannot be made.
pub(crate) async fn open(address: SocketAddr) -> std::io::Result<Door> {
    let made = tls::certificate(address.ip().to_string());
    let (acceptor, fingerprint) = made.map_err(std::io::Error::other)?;
    let listener = TcpListener::bind(address).await?;
    let address = listener.local_addr()?;
    let phone = Phone {
        address,
        fingerprint,
        pairing: Mutex::default(),
    };
    Ok(Door {
        phone: Arc::new(phone),
        listener,
        acceptor,
    })
}

/// Connections at once: a telephone opens about six.
const MOST_CONNECTIONS: usize = 16;

/// Lets devices in until it is dropped.
pub(crate) async fn serve(door: Door, bench: Shared) {
    let router = routes::router(bench, door.phone);
    tls::serve(door.listener, door.acceptor, router, MOST_CONNECTIONS).await;
}

/// Compares secrets in a time that does not tell where they differ.
fn same(given: &str, right: &str) -> bool {
    equal(given, right)
}
