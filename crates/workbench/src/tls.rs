//! Encrypted listening, with a certificate made for this start and known by its fingerprint.
//!
//! In: a listener, who is answered by what. Out: connections served until it is dropped.
//! Not here: who may ask. Source: RFC 8446 by way of rustls.

use axum::Router;
use axum::extract::ConnectInfo;
use hyper_util::rt::{TokioExecutor, TokioIo, TokioTimer};
use hyper_util::server::conn::auto::Builder;
use hyper_util::service::TowerToHyperService;
use rcgen::generate_simple_self_signed;
use rustls::ServerConfig;
use rustls::pki_types::{PrivateKeyDer, PrivatePkcs8KeyDer};
use sha2::{Digest, Sha256};
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;
use tokio::time::timeout;
use tokio_rustls::TlsAcceptor;

/// How long a connection may take to begin.
const HANDSHAKE: Duration = Duration::from_secs(10);
/// How long the head of a request may take.
const HEAD: Duration = Duration::from_secs(20);

type Fault = Box<dyn std::error::Error + Send + Sync>;

/// Makes a certificate for an address or a name; returns what encrypts with it, and its fingerprint.
pub(crate) fn certificate(name: String) -> Result<(TlsAcceptor, String), Fault> {
    let made = generate_simple_self_signed(vec![name])?;
    let der = made.cert.der().clone();
    let digest = Sha256::digest(der.as_ref());
    let fingerprint: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    let key = PrivateKeyDer::Pkcs8(PrivatePkcs8KeyDer::from(made.signing_key.serialize_der()));
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()?
        .with_no_client_auth()
        .with_single_cert(vec![der], key)?;
    Ok((TlsAcceptor::from(Arc::new(config)), fingerprint))
}

/// Serves at most `most` connections at a time, until it is dropped.
pub(crate) async fn serve(
    listener: TcpListener,
    acceptor: TlsAcceptor,
    router: Router,
    most: usize,
) {
    let room = Arc::new(Semaphore::new(most));
    loop {
        let Ok(place) = Arc::clone(&room).acquire_owned().await else {
            return;
        };
        let Ok((stream, from)) = listener.accept().await else {
            // Out of files for a moment: what is open goes on.
            tokio::time::sleep(Duration::from_millis(200)).await;
            continue;
        };
        let acceptor = acceptor.clone();
        let router = router.clone().layer(axum::Extension(ConnectInfo(from)));
        let service = TowerToHyperService::new(router);
        tokio::spawn(async move {
            let _place = place;
            let Ok(Ok(stream)) = timeout(HANDSHAKE, acceptor.accept(stream)).await else {
                return;
            };
            let mut builder = Builder::new(TokioExecutor::new());
            builder
                .http1()
                .timer(TokioTimer::new())
                .header_read_timeout(HEAD);
            // A connection that breaks ends alone.
            let _ = builder
                .serve_connection(TokioIo::new(stream), service)
                .await;
        });
    }
}
