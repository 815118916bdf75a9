//! A secret in a file that its owner alone can read.
//!
//! In: a path, and fresh bytes for where there is none yet. Out: the secret that is kept there.
//! Not here: random numbers, what the secret is for.

use crate::StoreError;
use crate::lock::Lock;
use crate::place::{self, existing, flush, parted};
use std::path::Path;

/// Bytes of a secret.
const LENGTH: usize = 32;

/// Returns the secret kept at `path`; where there is none, or none of the right length, keeps `fresh`.
///
/// # Errors
/// A link or a folder in its place; what the system refuses.
pub fn secret(path: &Path, fresh: [u8; LENGTH]) -> Result<[u8; LENGTH], StoreError> {
    let (folder, _) = parted(path)?;
    let lock = Lock::of(&folder)?;
    let kept = existing(path, 4096)?.and_then(|bytes| bytes.try_into().ok());
    if let Some(kept) = kept {
        return Ok(kept);
    }
    let new = place::new_private_file(&lock, &fresh)?;
    new.persist(path)
        .map_err(|e| StoreError::system("write", path, e.error))?;
    flush(&folder)?;
    Ok(fresh)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_secret_stays_and_only_its_owner_reads_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("secret");
        assert_eq!(secret(&path, [1; 32]).unwrap(), [1; 32]);
        assert_eq!(secret(&path, [2; 32]).unwrap(), [1; 32]);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            let mode = std::fs::metadata(&path).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600);
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_link_in_its_place_is_not_followed() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("secret");
        std::os::unix::fs::symlink("/etc/hostname", &path).unwrap();
        assert!(matches!(
            secret(&path, [1; 32]),
            Err(StoreError::Link { .. })
        ));
    }
}
