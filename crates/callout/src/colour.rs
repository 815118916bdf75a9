//! Colours for light and dark surroundings.
//!
//! A leader is a line of one colour on a halo of the opposite one, both opaque: whatever the
//! photograph shows beneath, the line stands against its halo.
//! Contrast: WCAG 2.2, success criteria 1.4.3 (text, 4.5:1) and 1.4.11 (lines, 3:1).

/// What surrounds the picture where it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Surroundings {
    /// Dark lines on light paper.
    #[default]
    Light,
    /// Light lines on a dark page.
    Dark,
}

/// Three colours, red, green, blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Palette {
    /// Numbers, leaders, rings, text.
    pub(super) ink: [u8; 3],
    /// Halos, the inside of rings, the ground.
    pub(super) paper: [u8; 3],
    /// The hairline around the photograph.
    pub(super) line: [u8; 3],
}

impl Palette {
    pub(super) const fn of(surroundings: Surroundings) -> Self {
        match surroundings {
            Surroundings::Light => Self {
                ink: [0x1d, 0x28, 0x30],
                paper: [0xfc, 0xfb, 0xf7],
                line: [0x7d, 0x89, 0x92],
            },
            Surroundings::Dark => Self {
                ink: [0xe8, 0xe6, 0xdf],
                paper: [0x12, 0x18, 0x1d],
                line: [0x6c, 0x78, 0x82],
            },
        }
    }
}

/// Returns a colour as `#rrggbb`.
pub(super) fn hex([r, g, b]: [u8; 3]) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

#[cfg(test)]
#[path = "../tests/support/contrast.rs"]
mod contrast;

#[cfg(test)]
mod tests {
    use super::contrast::contrast;
    use super::*;

    #[test]
    fn the_contrast_formula_gives_the_known_ends() {
        assert!((contrast([0; 3], [255; 3]) - 21.0).abs() < 1e-9);
        assert!((contrast([9; 3], [9; 3]) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn text_and_lines_reach_their_contrast_in_light_and_dark() {
        for s in [Surroundings::Light, Surroundings::Dark] {
            let p = Palette::of(s);
            assert!(contrast(p.ink, p.paper) >= 4.5, "{s:?}");
            assert!(contrast(p.line, p.paper) >= 3.0, "{s:?}");
        }
    }

    #[test]
    fn halo_or_line_stands_out_from_any_grey_beneath() {
        // A leader is seen as long as one of its two colours differs from what lies beneath.
        for s in [Surroundings::Light, Surroundings::Dark] {
            let p = Palette::of(s);
            for grey in 0..=255 {
                let beneath = [grey; 3];
                let best = contrast(p.ink, beneath).max(contrast(p.paper, beneath));
                assert!(best >= 3.0, "{s:?} on {grey}: {best:.2}");
            }
        }
    }
}
