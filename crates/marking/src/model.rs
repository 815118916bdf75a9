//! How likely a name is seen as these characters, and how likely an unknown name is.

pub(crate) mod align;
pub(crate) mod costs;
pub(crate) mod learn;
pub(crate) mod query;
pub(crate) mod slips;
pub(crate) mod unknown;
pub(crate) mod variant;
