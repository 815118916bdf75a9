//! Colours and the style sheet.
//!
//! In: nothing. Out: one style sheet for screen, phone, paper, light and dark.
//! Not here: markup.

use crate::svg;
use base64::{Engine as _, engine::general_purpose::STANDARD as BASE64};

/// Colours of one scheme as `#rrggbb`.
#[derive(Debug)]
pub struct Scheme {
    pub(super) paper: &'static str,
    pub(super) ink: &'static str,
    pub(super) quiet: &'static str,
    pub(super) line: &'static str,
    pub(super) hair: &'static str,
    pub(super) tint: &'static str,
    pub(super) mat: &'static str,
    pub(super) tint_strong: &'static str,
    pub(super) accent: &'static str,
}

/// Light, as the drawings have it themselves.
pub const LIGHT: Scheme = Scheme {
    paper: svg::PAPER,
    ink: svg::INK,
    quiet: svg::QUIET,
    line: svg::LINE,
    hair: svg::HAIR,
    tint: svg::TINT,
    mat: "#dfe5e8",
    tint_strong: svg::TINT_STRONG,
    accent: svg::ACCENT,
};

/// Dark.
pub const DARK: Scheme = Scheme {
    paper: "#12181d",
    ink: "#e8e6df",
    quiet: "#a9b4bc",
    line: "#7b8994",
    hair: "#35424c",
    tint: "#1f2931",
    mat: "#0a0e11",
    tint_strong: "#43535f",
    accent: "#ffa08a",
};

impl Scheme {
    /// Returns the colours as declarations of custom properties.
    pub fn variables(&self) -> String {
        format!(
            "--paper:{};--ink:{};--quiet:{};--line:{};--hair:{};--tint:{};--mat:{};--tint2:{};--accent:{}",
            self.paper,
            self.ink,
            self.quiet,
            self.line,
            self.hair,
            self.tint,
            self.mat,
            self.tint_strong,
            self.accent
        )
    }
}

/// One face that pages bring along.
#[derive(Debug)]
pub struct Face {
    /// Family.
    pub family: &'static str,
    /// Weight.
    pub weight: &'static str,
    /// `normal` or `italic`.
    pub style: &'static str,
    /// Name of the file.
    pub file: &'static str,
    /// The whole file, WOFF2.
    pub bytes: &'static [u8],
}

macro_rules! face {
    ($family:literal, $weight:literal, $style:literal, $file:literal) => {
        Face {
            family: $family,
            weight: $weight,
            style: $style,
            file: $file,
            bytes: include_bytes!(concat!("../../fonts/", $file)),
        }
    };
}

/// The faces of every page.
pub const EMBEDDED: [Face; 7] = [
    face!("Libertinus Serif", "400", "normal", "serif-400.woff2"),
    face!("Libertinus Serif", "400", "italic", "serif-400i.woff2"),
    face!("Libertinus Serif", "600", "normal", "serif-600.woff2"),
    face!("Inter", "400", "normal", "sans-400.woff2"),
    face!("Inter", "600", "normal", "sans-600.woff2"),
    face!("DejaVu Sans Mono", "400", "normal", "mono-400.woff2"),
    // The sign for direct current, which none of the others has.
    face!("Direct Current", "400", "normal", "direct-current.woff2"),
];

/// Returns the rules that bring the faces along.
fn faces() -> String {
    let rules = EMBEDDED.iter().map(|face| {
        face.rule(&format!(
            "data:font/woff2;base64,{}",
            BASE64.encode(face.bytes)
        ))
    });
    rules.collect()
}

impl Face {
    /// Returns the rule that brings the face along from an address.
    pub fn rule(&self, address: &str) -> String {
        let Self {
            family,
            weight,
            style,
            ..
        } = self;
        format!(
            "@font-face{{font-family:\"{family}\";font-weight:{weight};font-style:{style};\
             src:url({address}) format(\"woff2\")}}\n"
        )
    }
}

/// Serif for sentences and headings, sans serif for labels and figures, fixed widths for markings.
pub const FACES: &str = "--serif:\"Libertinus Serif\",\"Direct Current\",Charter,\"Bitstream Charter\",Georgia,serif;\
    --sans:Inter,\"Direct Current\",system-ui,\"Noto Sans\",Helvetica,Arial,sans-serif;\
    --mono:\"DejaVu Sans Mono\",\"Direct Current\",ui-monospace,Consolas,monospace";

/// Returns the whole style sheet.
pub(super) fn style_sheet() -> String {
    tokens() + include_str!("style.css")
}

/// Returns faces and colours alone.
pub(super) fn tokens() -> String {
    format!(
        "{}:root{{color-scheme:light dark;{FACES};{}}}\n\
         @media screen and (prefers-color-scheme:dark){{:root{{{}}}}}\n",
        faces(),
        LIGHT.variables(),
        DARK.variables(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance. Source: WCAG 2.2, definition "relative luminance" (sRGB).
    fn luminance(colour: &str) -> f64 {
        let channel = |at: usize| {
            let c = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap()) / 255.0;
            if c <= 0.04045 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    /// Source: WCAG 2.2, definition "contrast ratio".
    fn contrast(a: &str, b: &str) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn the_contrast_formula_gives_the_known_ends() {
        assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
        assert!((contrast("#777777", "#777777") - 1.0).abs() < 1e-9);
    }

    /// Source: WCAG 2.2, 1.4.3 Contrast (Minimum): 4.5 for text; 1.4.11 Non-text Contrast: 3.
    #[test]
    fn both_schemes_reach_the_contrast_of_wcag_aa() {
        for s in [LIGHT, DARK] {
            for (text, ground) in [
                (s.ink, s.paper),
                (s.quiet, s.paper),
                (s.accent, s.paper),
                (s.paper, s.ink),
                (s.paper, s.accent),
                (s.ink, s.tint),
                (s.quiet, s.tint),
                (s.accent, s.tint),
                (s.ink, s.tint_strong),
            ] {
                let found = contrast(text, ground);
                assert!(found >= 4.5, "{text} on {ground}: {found:.2}");
            }
            let found = contrast(s.line, s.paper);
            assert!(found >= 3.0, "{} on {}: {found:.2}", s.line, s.paper);
        }
    }

    #[test]
    fn the_style_sheet_loads_nothing() {
        let css = style_sheet();
        let addresses = css.matches("url(").count();
        assert_eq!(
            addresses,
            css.matches("url(data:font/woff2;base64,").count()
        );
        assert!(addresses == EMBEDDED.len() && !css.contains("@import") && !css.contains("</"));
    }
}
