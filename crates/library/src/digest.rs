//! SHA-256 as text.

use sha2::{Digest, Sha256};

/// Returns the SHA-256 of bytes, 64 hexadecimal digits.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}
