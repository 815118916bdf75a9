//! The picture as a drawing: the photograph as it is, everything else as vectors.
//!
//! In: a plan, the photograph's bytes or address. Out: SVG 1.1 text, in units of mm, as wide as the
//! column. Not here: where things stand.
//!
//! Every shape has its colour as an attribute and a class (`ink`, `paper`; `s-ink`, `s-paper`,
//! `s-line` for outlines), so that a page's style sheet can recolour it without a change.

use super::colour::{Palette, Surroundings, hex};
use super::input::Trace;
use super::plan::{Callout, Plan, ScaleBar};
use super::plane::Point;
use super::typeset::{CAPTION_DIGIT, DIGIT};
use base64::{Engine as _, engine::general_purpose::STANDARD as BASE64};
use std::fmt::Write as _;

/// Faces of numbers; all have digits at most 0.61 em wide.
const NUMBER_FACE: &str = "DejaVu Sans Mono, Menlo, Consolas, monospace";
/// Faces of captions.
const CAPTION_FACE: &str =
    "Libertinus Serif, Charter, Bitstream Charter, Source Serif 4, Georgia, serif";

/// Where the drawing takes the photograph from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source<'a> {
    /// An address: relative, absolute or a `data:` address.
    Address(&'a str),
    /// A picture file, put into the drawing.
    Embedded {
        /// For example `image/jpeg`.
        media_type: &'a str,
        /// The whole file.
        bytes: &'a [u8],
    },
    /// It lies beneath the drawing, put there by the page.
    Beneath,
}

/// How the drawing looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct SvgStyle<'a> {
    /// Light or dark page.
    pub surroundings: Surroundings,
    /// Whether the drawing turns dark by itself where the reader prefers dark pages; for drawings
    /// shown as files, not inside a page with a style sheet of its own.
    pub follows_reader: bool,
    /// Whether the margins are painted; otherwise the page shows through.
    pub ground: bool,
    /// One sentence for those who cannot see the picture.
    pub alternative: &'a str,
}

/// Writes the drawing.
pub fn svg(plan: &Plan, source: &Source<'_>, style: &SvgStyle<'_>) -> String {
    let palette = Palette::of(style.surroundings);
    let (ink, paper) = (hex(palette.ink), hex(palette.paper));
    let [width, height] = plan.size;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" \
         xmlns:xlink=\"http://www.w3.org/1999/xlink\" viewBox=\"0 0 {w} {h}\" width=\"{w}mm\" \
         height=\"{h}mm\" class=\"callouts\" role=\"img\" aria-label=\"{label}\">\n",
        w = mm(width),
        h = mm(height),
        label = escaped(style.alternative),
    );
    if style.follows_reader {
        out.push_str(&follow(style.surroundings));
    }
    if style.ground {
        let _ = writeln!(
            out,
            "<rect class=\"paper\" width=\"{}\" height=\"{}\" fill=\"{paper}\"/>",
            mm(width),
            mm(height)
        );
    }
    photograph(&mut out, plan, source, &hex(palette.line));
    traces(&mut out, plan, &ink, &paper);
    leaders(&mut out, plan, &ink, &paper);
    for callout in &plan.callouts {
        number(&mut out, plan, callout, &ink, &paper);
    }
    if let Some(bar) = &plan.bar {
        scale_bar(&mut out, plan, bar, &ink);
    }
    legend(&mut out, plan, &ink);
    out.push_str("</svg>\n");
    out
}

fn photograph(out: &mut String, plan: &Plan, source: &Source<'_>, line: &str) {
    let r = plan.photo;
    let place = format!(
        "x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
        mm(r.left),
        mm(r.top),
        mm(r.width),
        mm(r.height)
    );
    let address = match source {
        Source::Address(address) => Some(escaped(address)),
        Source::Embedded { media_type, bytes } => Some(format!(
            "data:{};base64,{}",
            escaped(media_type),
            BASE64.encode(bytes)
        )),
        Source::Beneath => None,
    };
    if let Some(address) = address {
        // Readers of SVG 1.1 know only the older attribute; browsers take the newer one first.
        let _ = writeln!(
            out,
            "<image {place} preserveAspectRatio=\"none\" xlink:href=\"{address}\"/>"
        );
    }
    let _ = writeln!(
        out,
        "<rect {place} class=\"s-line\" fill=\"none\" stroke=\"{line}\" stroke-width=\"{}\"/>",
        mm(plan.sizes.line / 2.0)
    );
    for callout in &plan.callouts {
        if let Some(id) = &callout.element_id {
            let r = callout.region;
            let _ = writeln!(
                out,
                "<rect id=\"{}\" class=\"region\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" \
                 fill=\"none\"/>",
                escaped(id),
                mm(r.left),
                mm(r.top),
                mm(r.width),
                mm(r.height)
            );
        }
    }
}

/// Draws what was measured: light lines with dark edges, so that they are not taken for leaders.
fn traces(out: &mut String, plan: &Plan, ink: &str, paper: &str) {
    let sizes = plan.sizes;
    let all: Vec<&Trace> = plan.callouts.iter().flat_map(|c| &c.traces).collect();
    if all.is_empty() {
        return;
    }
    for ((class, colour), (width, dot)) in [("ink", ink), ("paper", paper)]
        .into_iter()
        .zip(sizes.trace())
    {
        let _ = writeln!(
            out,
            "<g class=\"s-{class}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{}\" \
             stroke-linejoin=\"round\">",
            mm(width)
        );
        for line in all.iter().map(|t| &t.line).filter(|l| l.len() > 1) {
            let points: Vec<String> = line.iter().map(|p| place(*p)).collect();
            let _ = writeln!(out, "<path d=\"M{}\"/>", points.join("L"));
        }
        let _ = writeln!(out, "</g>\n<g class=\"{class}\" fill=\"{colour}\">");
        for [x, y] in all.iter().flat_map(|t| &t.dots).map(|p| p.map(mm)) {
            let _ = writeln!(out, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{}\"/>", mm(dot));
        }
        out.push_str("</g>\n");
    }
}

/// Draws first all halos, then all lines and dots.
fn leaders(out: &mut String, plan: &Plan, ink: &str, paper: &str) {
    let sizes = plan.sizes;
    let layers = [
        (
            "paper",
            paper,
            sizes.line + 2.0 * sizes.halo,
            sizes.dot + sizes.halo,
        ),
        ("ink", ink, sizes.line, sizes.dot),
    ];
    for (class, colour, width, dot) in layers {
        let _ = writeln!(
            out,
            "<g class=\"s-{class}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{}\" \
             stroke-linejoin=\"round\">",
            mm(width)
        );
        for c in &plan.callouts {
            let [from, turn, to] = c.leader.map(place);
            let _ = writeln!(out, "<path d=\"M{from}L{turn}L{to}\"/>");
        }
        let _ = writeln!(out, "</g>\n<g class=\"{class}\" fill=\"{colour}\">");
        for c in &plan.callouts {
            let [x, y] = c.leader[0].map(mm);
            let _ = writeln!(out, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{}\"/>", mm(dot));
        }
        out.push_str("</g>\n");
    }
}

fn number(out: &mut String, plan: &Plan, callout: &Callout, ink: &str, paper: &str) {
    let sizes = plan.sizes;
    let [x, y] = callout.ring;
    let _ = writeln!(
        out,
        "<g><title>{}</title><circle class=\"paper s-ink\" cx=\"{}\" cy=\"{}\" r=\"{}\" \
         fill=\"{paper}\" stroke=\"{ink}\" stroke-width=\"{}\"/>\
         <text class=\"ink\" x=\"{}\" y=\"{}\" font-family=\"{NUMBER_FACE}\" font-size=\"{}\" \
         text-anchor=\"middle\" fill=\"{ink}\">{}</text></g>",
        escaped(&callout.caption),
        mm(x),
        mm(y),
        // The outer edge of the line lies on the ring's radius.
        mm(sizes.radius - sizes.line / 2.0),
        mm(sizes.line),
        mm(x),
        mm(y + DIGIT * sizes.em / 2.0),
        mm(sizes.em),
        callout.number
    );
}

fn scale_bar(out: &mut String, plan: &Plan, bar: &ScaleBar, ink: &str) {
    let sizes = plan.sizes;
    let half = bar.tick / 2.0;
    let ([x0, y], x1) = (bar.from, bar.to[0]);
    let _ = writeln!(
        out,
        "<path class=\"s-ink\" d=\"M{}V{}M{}H{}M{}V{}\" fill=\"none\" stroke=\"{ink}\" \
         stroke-width=\"{}\"/>",
        place([x0, y - half]),
        mm(y + half),
        place([x0, y]),
        mm(x1),
        place([x1, y - half]),
        mm(y + half),
        mm(1.4 * sizes.line)
    );
    let _ = writeln!(
        out,
        "<text class=\"ink\" x=\"{}\" y=\"{}\" font-family=\"{CAPTION_FACE}\" font-size=\"{}\" \
         fill=\"{ink}\">{}</text>",
        mm(bar.words_at[0]),
        mm(bar.words_at[1] + CAPTION_DIGIT * sizes.em / 2.0),
        mm(sizes.em),
        escaped(&bar.words)
    );
}

fn legend(out: &mut String, plan: &Plan, ink: &str) {
    let Some(legend) = &plan.legend else { return };
    let _ = writeln!(
        out,
        "<g class=\"ink\" fill=\"{ink}\" font-size=\"{}\">",
        mm(legend.em)
    );
    for line in &legend.lines {
        if let Some(number) = line.number {
            let _ = writeln!(
                out,
                "<text x=\"{}\" y=\"{}\" text-anchor=\"end\" font-size=\"{}\" \
                 font-family=\"{NUMBER_FACE}\">{number}</text>",
                mm(line.number_at[0]),
                mm(line.number_at[1]),
                mm(legend.number_em)
            );
        }
        let _ = writeln!(
            out,
            "<text x=\"{}\" y=\"{}\" font-family=\"{CAPTION_FACE}\"{}>{}</text>",
            mm(line.text_at[0]),
            mm(line.text_at[1]),
            language(&line.text),
            escaped(&lettering::marked(&line.text))
        );
    }
    out.push_str("</g>\n");
}

/// Returns the attribute that names the script of a text, where it is not Latin.
fn language(text: &str) -> String {
    lettering::language(text).map_or_else(String::new, |tag| format!(" lang=\"{tag}\""))
}

/// Returns rules that take the other colours where the reader prefers them.
fn follow(surroundings: Surroundings) -> String {
    let (other, name) = match surroundings {
        Surroundings::Light => (Surroundings::Dark, "dark"),
        Surroundings::Dark => (Surroundings::Light, "light"),
    };
    let p = Palette::of(other);
    let (ink, paper, line) = (hex(p.ink), hex(p.paper), hex(p.line));
    format!(
        "<style>@media (prefers-color-scheme:{name}){{.callouts .ink{{fill:{ink}}}\
         .callouts .paper{{fill:{paper}}}.callouts .s-ink{{stroke:{ink}}}\
         .callouts .s-paper{{stroke:{paper}}}.callouts .s-line{{stroke:{line}}}}}</style>\n"
    )
}

/// Writes a length with at most three decimals (a thousandth of a millimetre).
fn mm(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0" } else { text }.to_owned()
}

fn place(p: Point) -> String {
    format!("{} {}", mm(p[0]), mm(p[1]))
}

/// Escapes text for elements and attributes; characters that XML does not allow become U+FFFD.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c if c.is_control() && !matches!(c, '\t' | '\n' | '\r' | '\u{7f}'..='\u{9f}') => {
                out.push('\u{fffd}');
            }
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_have_no_needless_digits() {
        assert_eq!(mm(2.0), "2");
        assert_eq!(mm(0.1304), "0.13");
        assert_eq!(mm(-0.0001), "0");
        assert_eq!(mm(100.0), "100");
    }

    #[test]
    fn markup_in_captions_stays_text() {
        assert_eq!(
            escaped("<a b=\"&\">\u{1}"),
            "&lt;a b=&quot;&amp;&quot;&gt;\u{fffd}"
        );
    }
}
