//! A compact summary for a terminal: verdicts, what fails and why, what to measure, cautions.
//!
//! In: a dossier and its findings. Out: text marked with tones; characters of the record that would steer the
//! terminal are written out.
//! Not here: asking the terminal what it can do; colours.

use crate::Marked;
use crate::Tone;
use crate::verdict_words;
use crate::words::{counted, percent};
use methods::{Finding, Findings, METHODS, Section, Verdict};
use record::{Dossier, steers, visible};
use std::borrow::Cow;
use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};
use unicode_width::UnicodeWidthStr as _;

/// The summary stays one or two screens long.
const FIGURES_PER_METHOD: usize = 4;

/// Writes the summary. Lines end in `\n` and are no wider than `width` columns; at least 40 are used.
pub fn terminal(dossier: &Dossier, findings: &Findings, width: usize) -> Marked {
    let mut page = Page {
        out: Marked::default(),
        width: width.clamp(40, 110),
    };
    let product = &dossier.product;
    page.painted(Tone::Bold, &plain(&product.name));
    let mut line = plain(&product.maker);
    line += &product
        .model
        .as_ref()
        .map(|m| format!(", model {}", plain(m)))
        .unwrap_or_default();
    page.painted(Tone::Plain, &format!("{line}, opened {}", product.opened));
    if product.invented {
        page.painted(Tone::Quiet, "Invented product and data, for demonstration.");
    }
    let recorded = [
        counted(dossier.claims.len(), "claim", "claims"),
        counted(dossier.items.len(), "item", "items"),
        counted(dossier.steps.len(), "step", "steps"),
        counted(dossier.readings.len(), "reading", "readings"),
        counted(dossier.photos.len(), "photograph", "photographs"),
    ];
    page.painted(Tone::Quiet, &format!("{}.", recorded.join(", ")));
    page.verdicts(dossier, findings);
    page.key_figures(findings);
    page.methods(findings);
    page.missing(dossier, findings);
    page.cautions(findings);
    page.out
}

struct Page {
    out: Marked,
    width: usize,
}

impl Page {
    fn painted(&mut self, tone: Tone, text: &str) {
        self.wrapped(&[], "", text, tone);
    }

    fn heading(&mut self, text: &str) {
        self.out.push(Tone::Plain, "\n");
        self.painted(Tone::Bold, text);
    }

    /// Writes text after `first`, further lines after `other`; both must be equally wide.
    fn wrapped(&mut self, first: &[(Tone, &str)], other: &str, text: &str, tone: Tone) {
        let room = self.width.saturating_sub(other.width()).max(12);
        for (i, line) in wrap(text, room).iter().enumerate() {
            if i == 0 {
                for (tone, text) in first {
                    self.out.push(*tone, text);
                }
            } else {
                self.out.push(Tone::Plain, other);
            }
            self.out.push(tone, line);
            self.out.push(Tone::Plain, "\n");
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
            let claim = finding.claim(dossier);
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
        // A column of figures, in signs so that it stays narrow.
        let odds = finding.conformance.map(percent).unwrap_or_default();
        let odds = odds.replace("over ", "> ").replace("under ", "< ");
        let tone = if verdict == Verdict::Fails {
            Tone::Accent
        } else {
            Tone::Bold
        };
        let label = format!("{} {:<14}", shape(verdict), verdict_words(verdict));
        let odds = format!("{odds:>8}  ");
        let blank = " ".repeat(28);
        let first = [
            (Tone::Plain, "  "),
            (tone, label.as_str()),
            (Tone::Plain, odds.as_str()),
        ];
        self.wrapped(&first, &blank, statement, Tone::Plain);
        if verdict != Verdict::Holds {
            let first = [(Tone::Plain, blank.as_str())];
            self.wrapped(&first, &blank, &plain(&finding.sentence), Tone::Quiet);
        }
    }

    /// Writes the first figure of findings outside the claims, a few of each method.
    fn key_figures(&mut self, findings: &Findings) {
        let mut rows: Vec<(String, String)> = Vec::new();
        // Claims stand above, with their figures.
        for entry in METHODS.iter().filter(|m| m.section != Section::Claims) {
            let method = entry.method;
            let of_method = findings.findings.iter().filter(|f| f.method() == method);
            let figures = of_method.filter_map(|f| Some((f, f.figures.first()?)));
            rows.extend(figures.take(FIGURES_PER_METHOD).map(|(f, figure)| {
                (
                    format!("{}: {}", plain(&f.title), plain(&figure.name)),
                    // Where both ends are told, the value alone: the line is short.
                    plain(figure.text.split(" (").next().unwrap_or_default()),
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
            let pad = " ".repeat(2 + widest.saturating_sub(value.width()));
            let first = [
                (Tone::Plain, pad.as_str()),
                (Tone::Bold, value.as_str()),
                (Tone::Plain, "  "),
            ];
            let other = " ".repeat(widest + 4);
            self.wrapped(&first, &other, &name, Tone::Plain);
        }
    }

    /// Lists every method with what it found.
    fn methods(&mut self, findings: &Findings) {
        self.heading("What was asked");
        for entry in METHODS {
            let own = findings
                .findings
                .iter()
                .filter(|f| f.method() == entry.method);
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
            self.wrapped(&[(Tone::Plain, &first)], &blank, &text, Tone::Plain);
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
                (true, _) => text += " (not on this sample any more)",
                (false, Some(step)) => {
                    let number = crate::compose::step_number(dossier, step);
                    let unknown = || plain(&crate::place_words(step));
                    let number = number.map_or_else(unknown, |n| n.to_string());
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
            self.wrapped(&[(Tone::Plain, "  - ")], "    ", &text, Tone::Plain);
        }
    }

    fn cautions(&mut self, findings: &Findings) {
        let said = crate::compose::cautions(findings);
        if !said.is_empty() {
            self.heading("Cautions");
        }
        for caution in said {
            self.wrapped(
                &[(Tone::Plain, "  ! ")],
                "    ",
                &plain(&caution),
                Tone::Plain,
            );
        }
    }
}

/// Counts verdicts in words.
fn tally(judged: &[&Finding]) -> String {
    let counts = crate::compose::counts(judged);
    let said = counts.iter().filter(|(_, n)| *n > 0);
    said.map(|(v, n)| format!("{n} {}", crate::compose::short_verb(*v, *n)))
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

/// Returns text as one line; what would steer a terminal is written out here already, so that lines keep their
/// width.
fn plain(text: &str) -> String {
    let glues = |c: char| matches!(c, '\u{a0}' | '\u{202f}');
    let folds =
        |c: char| c.is_whitespace() && !glues(c) && (!steers(c) || matches!(c, '\n' | '\r' | '\t'));
    let words: Vec<&str> = text.split(folds).filter(|word| !word.is_empty()).collect();
    visible(&words.join(" "))
}

/// Breaks text into lines of at most `width` columns; words that are too wide are broken. Only plain
/// spaces break: a number stays with its unit where the writer glued them.
fn wrap(text: &str, width: usize) -> Vec<Cow<'_, str>> {
    let options = Options::new(width)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    // Nothing takes no line.
    let lines = textwrap::wrap(text, options);
    lines.into_iter().filter(|line| !line.is_empty()).collect()
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
        assert_eq!(
            plain("a\u{1b}[2Jb\n c\u{202e}d"),
            "a\\u{1b}[2Jb c\\u{202e}d"
        );
    }
}
