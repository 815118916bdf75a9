//! Lists of words, kept as text.
//!
//! In: a text with words between commas. Out: a set. Not here: what the words mean (beside each use).

use std::collections::HashSet;
use std::sync::LazyLock;

/// A set of words; asked, never gone through.
pub(crate) type List = LazyLock<HashSet<&'static str>>;

/// The words of a text.
pub(crate) fn listed(text: &'static str) -> HashSet<&'static str> {
    let words = text.split([',', '\n']).map(str::trim);
    words.filter(|word| !word.is_empty()).collect()
}
