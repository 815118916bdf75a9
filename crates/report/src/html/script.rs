//! The one script of the page: it marks the section that is read in the contents, and opens the folds around what a
//! link leads to. The page is complete without it.
//!
//! In: nothing. Out: the script and the hash by which the page's policy lets it run, and no other.
//! Source: Content Security Policy Level 3, 2.3.1 (hash sources).

/// The script.
pub(super) const SCRIPT: &str = include_str!("script.js");

/// SHA-256 of its bytes in base 64, as the policy writes it; a test compares them.
pub(super) const HASH: &str = "sha256-Yq5sRXmL+lPTjcPue1AIBhvyUSnvPEd1ywE8cntdU0k=";

#[cfg(test)]
mod tests {
    use super::*;
    use base64::{Engine as _, engine::general_purpose::STANDARD as BASE64};
    use sha2::{Digest as _, Sha256};

    #[test]
    fn the_policy_names_the_script_as_it_is() {
        let hash = BASE64.encode(Sha256::digest(SCRIPT.as_bytes()));
        assert_eq!(HASH, format!("sha256-{hash}"));
        assert!(SCRIPT.len() < 1024 && !SCRIPT.contains("</"));
    }
}
