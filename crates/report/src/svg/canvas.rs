//! Writing SVG: shapes with classes, numbers with fixed formatting, measured text.
//!
//! Not here: what is drawn.

use crate::words::{clean, together};
use std::fmt::Write as _;

/// Text colour on light paper.
pub(crate) const INK: &str = "#1d2830";
/// Secondary text on light paper.
pub(crate) const QUIET: &str = "#51606b";
/// Rules and outlines on light paper.
pub(crate) const LINE: &str = "#707c85";
/// Rules that only decorate.
pub(crate) const HAIR: &str = "#c9d0d4";
/// The paper.
pub(crate) const PAPER: &str = "#fcfbf7";
/// A filled area that carries dark text.
pub(crate) const TINT: &str = "#e9edee";
/// A filled area beside [`TINT`], told apart from it without colour.
pub(crate) const TINT_STRONG: &str = "#a9b7c0";
/// The one accent: contradiction and limits.
pub(crate) const ACCENT: &str = "#a52a14";

/// How a shape or text looks. Each has a class of the same name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum InkClass {
    /// Plain ink.
    Ink,
    /// Secondary.
    Quiet,
    /// Rules.
    Line,
    /// Paper-coloured area.
    Paper,
    /// Tinted area.
    Tint,
    /// Stronger tinted area.
    TintStrong,
    /// Accent.
    Accent,
}

impl InkClass {
    fn colour(self) -> &'static str {
        match self {
            Self::Ink => INK,
            Self::Quiet => QUIET,
            Self::Line => LINE,
            Self::Paper => PAPER,
            Self::Tint => TINT,
            Self::TintStrong => TINT_STRONG,
            Self::Accent => ACCENT,
        }
    }
    fn class(self) -> &'static str {
        match self {
            Self::Ink => "ink",
            Self::Quiet => "quiet",
            Self::Line => "line",
            Self::Paper => "paper",
            Self::Tint => "tint",
            Self::TintStrong => "tint2",
            Self::Accent => "accent",
        }
    }
}

/// An outline: colour, width in pixels, dashed or not.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stroke(pub(crate) InkClass, pub(crate) f64, pub(crate) bool);

/// Where a text is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Held {
    /// At its start.
    Start,
    /// In the middle.
    Middle,
    /// At its end.
    End,
}

/// Look, size in pixels, weight and hold of a text.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Type {
    pub(crate) look: InkClass,
    pub(crate) size: f64,
    pub(crate) bold: bool,
    pub(crate) held: Held,
}

impl Type {
    /// Plain ink, held at its start.
    pub(crate) fn of(size: f64) -> Self {
        Self {
            look: InkClass::Ink,
            size,
            bold: false,
            held: Held::Start,
        }
    }
    pub(crate) fn bold(self) -> Self {
        Self { bold: true, ..self }
    }
    pub(crate) fn look(self, look: InkClass) -> Self {
        Self { look, ..self }
    }
    pub(crate) fn held(self, held: Held) -> Self {
        Self { held, ..self }
    }
}

/// A drawing being written.
#[derive(Debug, Default)]
pub(crate) struct Canvas {
    body: String,
}

impl Canvas {
    /// Writes a rectangle; pixels.
    pub(crate) fn rect(
        &mut self,
        [x, y, w, h]: [f64; 4],
        fill: Option<InkClass>,
        line: Option<Stroke>,
    ) {
        let (x, y, w, h) = (number(x), number(y), number(w.max(0.0)), number(h.max(0.0)));
        let paint = paint(fill, line);
        self.push(&format!(
            r#"<rect x="{x}" y="{y}" width="{w}" height="{h}" {paint}/>"#
        ));
    }

    /// Writes a circle; pixels.
    pub(crate) fn circle(
        &mut self,
        [x, y, r]: [f64; 3],
        fill: Option<InkClass>,
        line: Option<Stroke>,
    ) {
        let (x, y, r) = (number(x), number(y), number(r));
        self.push(&format!(
            r#"<circle cx="{x}" cy="{y}" r="{r}" {}/>"#,
            paint(fill, line)
        ));
    }

    /// Writes a path from path data.
    pub(crate) fn path(&mut self, data: &str, fill: Option<InkClass>, line: Option<Stroke>) {
        self.push(&format!(r#"<path d="{data}" {}/>"#, paint(fill, line)));
    }

    /// Writes a straight line; pixels.
    pub(crate) fn line(&mut self, [x1, y1, x2, y2]: [f64; 4], line: Stroke) {
        let data = format!(
            "M{} {}L{} {}",
            number(x1),
            number(y1),
            number(x2),
            number(y2)
        );
        self.path(&data, None, Some(line));
    }

    /// Writes one line of text with its base line at `y`; pixels.
    pub(crate) fn text(&mut self, x: f64, y: f64, kind: Type, text: &str) {
        let anchor = match kind.held {
            Held::Start => "",
            Held::Middle => r#" text-anchor="middle""#,
            Held::End => r#" text-anchor="end""#,
        };
        let weight = if kind.bold {
            r#" font-weight="700""#
        } else {
            ""
        };
        let language =
            lettering::language(text).map_or_else(String::new, |tag| format!(r#" lang="{tag}""#));
        self.push(&format!(
            r#"<text x="{}" y="{}" font-size="{}" fill="{}" class="{}"{weight}{anchor}{language}>{}</text>"#,
            number(x),
            number(y),
            number(kind.size),
            kind.look.colour(),
            kind.look.class(),
            escaped(&lettering::marked(text))
        ));
    }

    /// Begins a group that a page can be asked about; [`Canvas::end`] ends it.
    pub(crate) fn begin(&mut self, class: &str, of: &str) {
        self.push(&format!(
            "<g class=\"{class}\" data-of=\"{}\">",
            escaped(of)
        ));
    }

    /// Ends a group.
    pub(crate) fn end(&mut self) {
        self.push("</g>");
    }

    fn push(&mut self, element: &str) {
        self.body.push_str(element);
        self.body.push('\n');
    }

    /// Closes a drawing that may shrink and grow with the page.
    pub(crate) fn finish(self, width: f64, height: f64, alternative: &str) -> String {
        self.close(width, height, "plot", alternative)
    }

    /// Closes a drawing that fits a narrow page at its own size, and beside another on a wide one.
    pub(crate) fn finish_small(self, width: f64, height: f64, alternative: &str) -> String {
        self.close(width, height, "small", alternative)
    }

    /// Closes a drawing that is unreadable when shrunk.
    pub(crate) fn finish_in_size(self, width: f64, height: f64, alternative: &str) -> String {
        self.close(width, height, "keep-size", alternative)
    }

    /// Closes a drawing that only repeats what stands beside it in words.
    pub(crate) fn finish_hidden(self, width: f64, height: f64) -> String {
        let (w, h) = (number(width.ceil()), number(height.ceil()));
        format!(
            "<svg viewBox=\"0 0 {w} {h}\" class=\"plot-row\" aria-hidden=\"true\">\n{}</svg>",
            self.body
        )
    }

    fn close(self, width: f64, height: f64, class: &str, alternative: &str) -> String {
        let (w, h) = (number(width.ceil()), number(height.ceil()));
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {w} {h}\" width=\"{w}\" \
             height=\"{h}\" class=\"{class}\" role=\"img\" aria-label=\"{}\" \
             font-family=\"Inter, Noto Sans, Helvetica, Arial, sans-serif\">\n{}</svg>",
            escaped(alternative),
            self.body
        )
    }
}

fn paint(fill: Option<InkClass>, line: Option<Stroke>) -> String {
    let mut out = String::new();
    let mut classes: Vec<String> = Vec::new();
    match fill {
        Some(look) => {
            let _ = write!(out, r#"fill="{}""#, look.colour());
            classes.push(look.class().into());
        }
        None => out.push_str(r#"fill="none""#),
    }
    if let Some(Stroke(look, width, dashed)) = line {
        let _ = write!(
            out,
            r#" stroke="{}" stroke-width="{}""#,
            look.colour(),
            number(width)
        );
        if dashed {
            out.push_str(r#" stroke-dasharray="4 3""#);
        }
        classes.push(format!("s-{}", look.class()));
    }
    if !classes.is_empty() {
        let _ = write!(out, r#" class="{}""#, classes.join(" "));
    }
    out
}

/// Writes a coordinate with at most one decimal; never `-0` nor an exponent.
pub(crate) fn number(value: f64) -> String {
    let value = if value.is_finite() {
        value.clamp(-1e6, 1e6)
    } else {
        0.0
    };
    let text = format!("{value:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

/// Escapes text for element content and attributes.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in clean(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' | '\t' => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// Estimates the width of a text in pixels, on the generous side, for a sans-serif face.
pub(crate) fn width_of(text: &str, size: f64, bold: bool) -> f64 {
    let em: f64 =
        text.chars()
            .map(|c| match c {
                'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | 'I' => 0.30,
                'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '/' | ' ' | '\u{a0}' | '\u{202f}'
                | '-' => 0.37,
                'm' | 'w' | 'M' | 'W' | '%' | '@' | '—' => 0.90,
                'A'..='Z' | '≤' | '≥' | '±' | '×' | 'Ω' | '⎓' => 0.68,
                c if u32::from(c) >= 0x2e80 => 1.05,
                _ => 0.56,
            })
            .sum();
    em * size * if bold { 1.08 } else { 1.0 }
}

/// Breaks a text into at most `most` lines no wider than `width`; what does not fit ends in `…`.
pub(crate) fn wrapped(text: &str, width: f64, size: f64, bold: bool, most: usize) -> Vec<String> {
    let fits = |line: &str| width_of(line, size, bold) <= width;
    let mut lines: Vec<String> = Vec::new();
    let mut current = String::new();
    let text = together(text);
    for word in text.split([' ', '\n', '\t']).filter(|w| !w.is_empty()) {
        let joined = if current.is_empty() {
            word.into()
        } else {
            format!("{current} {word}")
        };
        if fits(&joined) {
            current = joined;
            continue;
        }
        if !current.is_empty() {
            lines.push(std::mem::take(&mut current));
        }
        // A word wider than the line is broken where it must be.
        for c in word.chars() {
            if !current.is_empty() && !fits(&format!("{current}{c}")) {
                lines.push(std::mem::take(&mut current));
            }
            current.push(c);
        }
    }
    if !current.is_empty() {
        lines.push(current);
    }
    if lines.len() > most.max(1) {
        lines.truncate(most.max(1));
        if let Some(last) = lines.last_mut() {
            while !last.is_empty() && !fits(&format!("{last}…")) {
                last.pop();
            }
            *last = format!("{}…", last.trim_end());
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coordinates_have_one_form() {
        assert_eq!(number(1.0), "1");
        assert_eq!(number(-0.01), "0");
        assert_eq!(number(2.25), "2.2");
        assert_eq!(number(f64::NAN), "0");
    }

    #[test]
    fn long_text_is_broken_and_shortened() {
        let lines = wrapped(
            "Wireless receiver with a very long name",
            80.0,
            12.0,
            false,
            2,
        );
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('…'));
        assert!(lines.iter().all(|l| width_of(l, 12.0, false) <= 80.0));
        assert_eq!(wrapped("", 80.0, 12.0, false, 2), Vec::<String>::new());
        assert!(wrapped("Donaudampfschifffahrt", 40.0, 12.0, false, 9).len() > 1);
    }

    #[test]
    fn markup_in_names_stays_text() {
        assert_eq!(
            escaped("<a href=\"x\">&\u{7}"),
            "&lt;a href=&quot;x&quot;&gt;&amp;\u{fffd}"
        );
    }
}
