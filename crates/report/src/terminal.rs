//! A compact summary for a terminal: verdicts, what fails and why, what to measure, cautions.
//!
//! In: a dossier and its findings. Out: plain text, with colour codes only if asked for; characters
//! of the record that would steer the terminal are replaced.
//! Not here: asking the terminal what it can do.

use crate::verdict_words;
use crate::words::{clean, counted, percent};
use methods::{Finding, Findings, METHODS, Section, Verdict};
use record::Dossier;
use unicode_width::UnicodeWidthStr as _;

/// How the summary is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// Whether the terminal shows colours.
    pub colour: bool,
    /// Columns available; at least 40 are used.
    pub width: usize,
}

const BOLD: &str = "1";
const QUIET: &str = "2";
const ACCENT: &str = "1;31";
/// The summary stays one or two screens long.
const FIGURES_PER_METHOD: usize = 4;

/// Writes the summary. Lines end in `\n` and are no wider than the style says.
pub fn terminal(dossier: &Dossier, findings: &Findings, style: Style) -> String {
    let mut page = Page {
        out: String::new(),
        style,
        width: style.width.clamp(40, 110),
    };
    let product = &dossier.product;
    page.painted(BOLD, &plain(&product.name));
    let mut line = plain(&product.maker);
    line += &product
        .model
        .as_ref()
        .map(|m| format!(", model {}", plain(m)))
        .unwrap_or_default();
    page.wrapped("", "", &format!("{line}, opened {}", product.opened), "");
    if product.invented {
        page.wrapped(
            "",
            "",
            "Invented product and data, for demonstration.",
            QUIET,
        );
    }
    let recorded = [
        counted(dossier.claims.len(), "claim", "claims"),
        counted(dossier.items.len(), "item", "items"),
        counted(dossier.steps.len(), "step", "steps"),
        counted(dossier.readings.len(), "reading", "readings"),
        counted(dossier.photos.len(), "photograph", "photographs"),
    ];
    page.wrapped("", "", &format!("{}.", recorded.join(", ")), QUIET);
    page.verdicts(dossier, findings);
    page.key_figures(findings);
    page.methods(findings);
    page.missing(dossier, findings);
    page.cautions(findings);
    page.out
}

struct Page {
    out: String,
    style: Style,
    width: usize,
}

impl Page {
    fn line(&mut self, text: &str) {
        self.out.push_str(text.trim_end());
        self.out.push('\n');
    }

    fn paint(&self, code: &str, text: &str) -> String {
        if self.style.colour && !code.is_empty() && !text.is_empty() {
            format!("\u{1b}[{code}m{text}\u{1b}[0m")
        } else {
            text.into()
        }
    }

    fn painted(&mut self, code: &str, text: &str) {
        for line in wrap(text, self.width) {
            let line = self.paint(code, &line);
            self.line(&line);
        }
    }

    fn heading(&mut self, text: &str) {
        self.out.push('\n');
        self.painted(BOLD, text);
    }

    /// Writes text after `first`, further lines after `other`; both must be equally wide.
    fn wrapped(&mut self, first: &str, other: &str, text: &str, code: &str) {
        let room = self.width.saturating_sub(other.width()).max(12);
        for (i, line) in wrap(text, room).iter().enumerate() {
            let lead = if i == 0 { first } else { other };
            let line = format!("{lead}{}", self.paint(code, line));
            self.line(&line);
        }
    }

    fn verdicts(&mut self, dossier: &Dossier, findings: &Findings) {
        let (claims, checks) = crate::compose::judged(findings);
        if claims.is_empty() {
            self.heading("No claim has been judged.");
        } else {
            self.heading(&format!("Claims: {}", tally(&claims)));
        }
        for finding in claims {
            let claim = finding.about.as_deref().and_then(|id| dossier.claim(id));
            let statement = claim.map_or_else(
                || plain(&finding.title),
                |c| format!("“{}”", plain(&c.text)),
            );
            self.judgement(finding, &statement);
        }
        if !checks.is_empty() {
            self.heading(&format!("Further checks: {}", tally(&checks)));
        }
        // Checks that hold are in the report; here only what needs a look.
        for finding in checks.iter().filter(|f| f.verdict != Some(Verdict::Holds)) {
            self.judgement(finding, &plain(&finding.title));
        }
    }

    fn judgement(&mut self, finding: &Finding, statement: &str) {
        let Some(verdict) = finding.verdict else {
            return;
        };
        let odds = finding.conformance.map(percent).unwrap_or_default();
        let code = if verdict == Verdict::Fails {
            ACCENT
        } else {
            BOLD
        };
        let label = format!("{} {:<14}", shape(verdict), verdict_words(verdict));
        let first = format!("  {}{odds:>8}  ", self.paint(code, &label));
        let blank = " ".repeat(28);
        self.wrapped(&first, &blank, statement, "");
        if verdict != Verdict::Holds {
            self.wrapped(&blank, &blank, &plain(&finding.sentence), QUIET);
        }
    }

    /// Writes the first figure of findings outside the claims, a few of each method.
    fn key_figures(&mut self, findings: &Findings) {
        let mut rows: Vec<(String, String)> = Vec::new();
        // Claims stand above, with their figures.
        for entry in METHODS.iter().filter(|m| m.section != Section::Claims) {
            let method = entry.method;
            let of_method = findings.findings.iter().filter(|f| f.method == method);
            let figures = of_method.filter_map(|f| Some((f, f.figures.first()?)));
            rows.extend(figures.take(FIGURES_PER_METHOD).map(|(f, figure)| {
                (
                    format!("{}: {}", plain(&f.title), plain(&figure.name)),
                    plain(&figure.text),
                )
            }));
        }
        if rows.is_empty() {
            return;
        }
        self.heading("Key figures (all are in the report)");
        let widest = rows
            .iter()
            .map(|(_, v)| v.width())
            .max()
            .unwrap_or(0)
            .min(self.width / 2);
        for (name, value) in rows {
            let pad = " ".repeat(widest.saturating_sub(value.width()));
            let first = format!("  {pad}{}  ", self.paint(BOLD, &value));
            let other = " ".repeat(widest + 4);
            self.wrapped(&first, &other, &name, "");
        }
    }

    /// Lists every method with what it found.
    fn methods(&mut self, findings: &Findings) {
        self.heading("What was asked");
        for entry in METHODS {
            let own = findings
                .findings
                .iter()
                .filter(|f| f.method == entry.method);
            let own: Vec<&Finding> = own.collect();
            let found = counted(own.len(), "finding", "findings");
            let judged: Vec<&Finding> = own.into_iter().filter(|f| f.verdict.is_some()).collect();
            let verdicts = match judged.is_empty() {
                true => String::new(),
                false => format!(": {}", tally(&judged)),
            };
            let first = format!("  {:<10}  ", entry.name);
            let blank = " ".repeat(first.width());
            let text = format!("{} {found}{verdicts}", entry.question);
            self.wrapped(&first, &blank, &text, "");
        }
    }

    fn missing(&mut self, dossier: &Dossier, findings: &Findings) {
        let mut said: Vec<String> = Vec::new();
        for missing in findings.findings.iter().flat_map(|f| &f.missing) {
            let mut text = plain(&missing.measure);
            if let Some(resolution) = &missing.resolution {
                text += &format!(", {}", plain(resolution));
            }
            match (missing.too_late, &missing.before_step) {
                (true, _) => text += " (too late for this piece)",
                (false, Some(step)) => {
                    let number = dossier.steps.iter().position(|s| s.id == *step);
                    let number = number.map_or_else(|| plain(step), |n| (n + 1).to_string());
                    text += &format!(" (before step {number})");
                }
                (false, None) => {}
            }
            if !said.contains(&text) {
                said.push(text);
            }
        }
        if !said.is_empty() {
            self.heading("What to measure next");
        }
        for text in said {
            self.wrapped("  - ", "    ", &text, "");
        }
    }

    fn cautions(&mut self, findings: &Findings) {
        let said = crate::compose::cautions(findings);
        if !said.is_empty() {
            self.heading("Cautions");
        }
        for caution in said {
            self.wrapped("  ! ", "    ", &plain(&caution), "");
        }
    }
}

/// Counts verdicts in words.
fn tally(judged: &[&Finding]) -> String {
    let counts = crate::compose::counts(judged);
    let said = counts.iter().filter(|(_, n)| *n > 0);
    said.map(|(v, n)| format!("{n} {}", verdict_words(*v)))
        .collect::<Vec<_>>()
        .join(" · ")
}

fn shape(verdict: Verdict) -> char {
    match verdict {
        Verdict::Holds => '+',
        Verdict::Fails => 'x',
        Verdict::Undecided => '?',
        Verdict::NeedsEvidence => '.',
    }
}

/// Returns one line of text without anything that steers a terminal: control characters, and
/// characters that turn the direction of writing.
fn plain(text: &str) -> String {
    let words: Vec<String> = clean(text)
        .split_whitespace()
        .map(|word| {
            word.chars()
                .filter(|c| !matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'))
                .collect()
        })
        .collect();
    words.join(" ")
}

/// Breaks text into lines of at most `width` columns; words that are too wide are broken.
fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    // Only plain spaces break: a number stays with its unit where the writer glued them.
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        if !line.is_empty() && line.width() + 1 + word.width() > width {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        if word.width() <= width {
            line.push_str(word);
            continue;
        }
        for c in word.chars() {
            if format!("{line}{c}").width() > width && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_to_the_width() {
        let text = "The case weighs more than the label says 83.4 g Donaudampfschifffahrt";
        let lines = wrap(text, 12);
        assert!(lines.iter().all(|l| l.width() <= 12), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
    }

    #[test]
    fn nothing_in_a_name_steers_the_terminal() {
        assert_eq!(plain("a\u{1b}[2Jb\n c\u{202e}d"), "a\u{fffd}[2Jb cd");
    }
}
