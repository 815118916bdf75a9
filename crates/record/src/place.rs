//! Where something was seen.

use serde::{Deserialize, Serialize};

/// Free text of the analyst.
pub type Note = String;

/// A place where something can be checked: `photo:ID`, `photo:ID#REGION`, `measure:ID`, `log:FILE`,
/// `label:ID`, `url:…`, `text:…` (a publication in words).
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Evidence(pub String);
