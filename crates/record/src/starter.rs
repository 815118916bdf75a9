//! The text a new dossier starts from.

/// Returns a commented starting dossier that checks clean without photographs and shows every table
/// at least as an example.
pub fn starter() -> String {
    include_str!("starter.toml").to_string()
}
