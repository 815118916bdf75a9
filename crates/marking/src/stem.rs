//! What the names of relatives share.

use crate::symbol::{EncodedName, symbol};

/// Returns a part number without the ending that tells its package, reel or grade: what follows the last
/// separator, or the letters after the last digit. One that has no such ending is its own stem.
///
/// ```
/// assert_eq!(marking::stem("TH318-QF"), "TH318");
/// assert_eq!(marking::stem("ZUC7702QR"), "ZUC7702");
/// assert_eq!(marking::stem("OXT7"), "OXT7");
/// ```
pub fn stem(name: &str) -> &str {
    let ending = usize::from(EncodedName::of(name).suffix);
    let mut counted = 0;
    let mut end = name.len();
    for (at, c) in name.char_indices().rev() {
        if counted == ending && symbol(c).is_some() {
            break;
        }
        counted += usize::from(symbol(c).is_some());
        end = at;
    }
    if ending == 0 { name } else { &name[..end] }
}
