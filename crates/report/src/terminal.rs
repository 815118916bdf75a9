//! A compact summary for a terminal.

use methods::Findings;
use record::Dossier;

/// How the summary is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// Whether the terminal shows colours.
    pub colour: bool,
    /// Columns available; at least 40 are used.
    pub width: usize,
}

/// Writes the summary.
pub fn terminal(dossier: &Dossier, _findings: &Findings, _style: Style) -> String {
    format!("{}\n", dossier.product.name)
}
