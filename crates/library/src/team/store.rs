//! A store that speaks S3, for photographs.
//!
//! In: its address, what it lets in with. Out: the store.
//! Not here: where secrets come from. Source: Amazon S3 API, conditional writes (`If-None-Match: *`).
//!
//! An object is only ever created; what the store has under the digest stays.

use super::StoreKey;
use crate::LibraryError;
use object_store::aws::AmazonS3Builder;
use object_store::prefix::PrefixStore;
use object_store::{ClientOptions, ObjectStore, RetryConfig};
use std::sync::Arc;
use std::time::Duration;

/// Region that is signed for where none is named.
const REGION: &str = "us-east-1";

/// How long one object may be on its way.
const UNDER_WAY: Duration = Duration::from_secs(300);

/// Opens a store; nothing is asked of it yet.
///
/// # Errors
/// An address that is none.
pub fn store_at(address: &str, key: &StoreKey) -> Result<Arc<dyn ObjectStore>, LibraryError> {
    let parts = Parts::of(address).ok_or_else(|| {
        LibraryError::Unreachable(format!(
            "“{}” is no store: s3://BUCKET/PREFIX?endpoint=https://HOST",
            record::visible(address)
        ))
    })?;
    // Where another part of the program has chosen already, it chose the same.
    let _ = rustls::crypto::ring::default_provider().install_default();
    let clear = parts.endpoint.starts_with("http://");
    let store = AmazonS3Builder::new()
        .with_bucket_name(parts.bucket)
        .with_endpoint(parts.endpoint)
        .with_region(parts.region)
        .with_access_key_id(&key.key)
        .with_secret_access_key(&key.secret)
        .with_client_options(
            ClientOptions::new()
                .with_allow_http(clear)
                .with_connect_timeout(Duration::from_secs(5))
                .with_timeout(UNDER_WAY),
        )
        .with_retry(RetryConfig {
            max_retries: 4,
            retry_timeout: Duration::from_secs(60),
            ..RetryConfig::default()
        })
        .build()?;
    Ok(match parts.prefix {
        "" => Arc::new(store),
        prefix => Arc::new(PrefixStore::new(store, prefix)),
    })
}

/// An address of a store, taken apart.
#[derive(Debug, PartialEq)]
struct Parts<'a> {
    bucket: &'a str,
    prefix: &'a str,
    endpoint: &'a str,
    region: &'a str,
}

impl<'a> Parts<'a> {
    fn of(address: &'a str) -> Option<Self> {
        let (place, query) = address.strip_prefix("s3://")?.split_once('?')?;
        let (bucket, prefix) = place.split_once('/').unwrap_or((place, ""));
        let (mut endpoint, mut region) = ("", REGION);
        for pair in query.split('&') {
            match pair.split_once('=')? {
                ("endpoint", value) => endpoint = value,
                ("region", value) => region = value,
                _ => return None,
            }
        }
        let is_endpoint = endpoint.starts_with("https://") || endpoint.starts_with("http://");
        (is_endpoint && !bucket.is_empty()).then_some(Self {
            bucket,
            prefix: prefix.trim_end_matches('/'),
            endpoint,
            region,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_of_stores_are_taken_apart() {
        let whole = "s3://bench/lab/one/?endpoint=https://store.example:9000&region=north";
        let expected = Parts {
            bucket: "bench",
            prefix: "lab/one",
            endpoint: "https://store.example:9000",
            region: "north",
        };
        assert_eq!(Parts::of(whole), Some(expected));
        let short = Parts::of("s3://bench?endpoint=http://127.0.0.1:9000").unwrap();
        assert_eq!((short.prefix, short.region), ("", REGION));
        for wrong in [
            "s3://bench",
            "s3://?endpoint=https://a",
            "s3://bench?endpoint=store.example",
            "s3://bench?endpoint=https://a&secret=b",
            "https://bench?endpoint=https://a",
        ] {
            assert_eq!(Parts::of(wrong), None, "{wrong}");
        }
    }
}
