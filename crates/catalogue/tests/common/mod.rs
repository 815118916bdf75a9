//! Data sets that a machine has or has not.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]

/// Reads an installed file. When it is absent the test says by name that it was skipped, and fails
/// instead where nothing may be skipped.
pub(crate) fn installed(path: &str, package: &str, test: &str) -> Option<Vec<u8>> {
    match std::fs::read(path) {
        Ok(bytes) => Some(bytes),
        Err(error) => {
            skip(path, package, test, &error.to_string());
            None
        }
    }
}

/// Says that a test was skipped.
pub(crate) fn skip(path: &str, package: &str, test: &str, why: &str) {
    let message = format!("{test} skipped: {path} ({why}); install the package {package}");
    assert!(
        std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_none(),
        "{message}"
    );
    println!("{message}");
}
