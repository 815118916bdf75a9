//! Two entries of a folder change places in one step.
//!
//! In: two paths in one folder. Out: whether they changed places.
//! Not here: what is done on systems and file systems that cannot do it (`output`).
//! Source: Linux `renameat2` with `RENAME_EXCHANGE`, macOS `renamex_np` with `RENAME_SWAP`.

use std::io;
use std::path::Path;

/// Lets `a` and `b` change places; `false` where the system or the file system cannot do it.
///
/// # Errors
/// What the system says against these two paths.
#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
pub(crate) fn exchange(a: &Path, b: &Path) -> io::Result<bool> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    use rustix::io::Errno;
    match renameat_with(CWD, a, CWD, b, RenameFlags::EXCHANGE) {
        Ok(()) => Ok(true),
        Err(Errno::NOSYS | Errno::INVAL | Errno::NOTSUP) => Ok(false),
        Err(other) => Err(other.into()),
    }
}

/// Says that two entries cannot change places here.
#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
pub(crate) fn exchange(_: &Path, _: &Path) -> io::Result<bool> {
    Ok(false)
}
