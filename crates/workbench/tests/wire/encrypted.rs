//! A client that trusts one certificate, known by its fingerprint.

use rustls::client::danger::{HandshakeSignatureValid, ServerCertVerified, ServerCertVerifier};
use rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use rustls::{CertificateError, ClientConfig, DigitallySignedStruct, Error, SignatureScheme};
use sha2::{Digest as _, Sha256};
use std::sync::Arc;
use tokio_rustls::TlsConnector;

/// Trusts the one certificate with this fingerprint.
#[derive(Debug)]
struct Known {
    fingerprint: String,
    provider: rustls::crypto::CryptoProvider,
}

impl ServerCertVerifier for Known {
    fn verify_server_cert(
        &self,
        end: &CertificateDer<'_>,
        _: &[CertificateDer<'_>],
        _: &ServerName<'_>,
        _: &[u8],
        _: UnixTime,
    ) -> Result<ServerCertVerified, Error> {
        let digest = Sha256::digest(end.as_ref());
        let digest: String = digest.iter().map(|b| format!("{b:02x}")).collect();
        match digest == self.fingerprint {
            true => Ok(ServerCertVerified::assertion()),
            false => Err(Error::InvalidCertificate(CertificateError::UnknownIssuer)),
        }
    }

    fn verify_tls12_signature(
        &self,
        message: &[u8],
        cert: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let algorithms = &self.provider.signature_verification_algorithms;
        rustls::crypto::verify_tls12_signature(message, cert, signed, algorithms)
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        cert: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let algorithms = &self.provider.signature_verification_algorithms;
        rustls::crypto::verify_tls13_signature(message, cert, signed, algorithms)
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        self.provider
            .signature_verification_algorithms
            .supported_schemes()
    }
}

/// Connects to whoever has the certificate with this fingerprint, and to nobody else.
pub(crate) fn trusting(fingerprint: &str) -> TlsConnector {
    let provider = rustls::crypto::ring::default_provider();
    let known = Known {
        fingerprint: fingerprint.to_string(),
        provider: provider.clone(),
    };
    let config = ClientConfig::builder_with_provider(Arc::new(provider))
        .with_safe_default_protocol_versions()
        .unwrap()
        .dangerous()
        .with_custom_certificate_verifier(Arc::new(known))
        .with_no_client_auth();
    TlsConnector::from(Arc::new(config))
}
