//! The two typefaces that are packed into the program: always there, the same everywhere.

use crate::Typeface;
use std::sync::{Arc, OnceLock};

/// The typefaces packed into the program.
#[derive(Debug)]
pub struct Packed {
    /// DejaVu Sans Mono (Bitstream Vera licence).
    pub number: Typeface,
    /// Libertinus Serif (SIL Open Font Licence).
    pub caption: Typeface,
}

/// Returns the packed typefaces.
pub fn packed() -> &'static Packed {
    static PACKED: OnceLock<Packed> = OnceLock::new();
    PACKED.get_or_init(|| {
        // The regular cut of the book face is packed first, that of the fixed-pitch face last.
        let take = |bytes: Option<&'static [u8]>| {
            let bytes: Arc<[u8]> = bytes.expect("two typefaces are packed").into();
            let first = Typeface::all(&bytes).into_iter().next();
            first.expect("the packed typefaces can be read")
        };
        Packed {
            number: take(typst_assets::fonts().last()),
            caption: take(typst_assets::fonts().next()),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::packed;

    #[test]
    fn the_packed_typefaces_are_the_ones_named_in_drawings() {
        assert_eq!(packed().caption.name, "Libertinus Serif");
        assert_eq!(packed().number.name, "DejaVu Sans Mono");
    }
}
