//! What must come out of a dossier, as one line of text.
//!
//! | line | means |
//! | --- | --- |
//! | `claim ID: VERDICT|VERDICT` | the claim gets one of these verdicts |
//! | `p ID: LOW .. HIGH` | its probability of holding lies between |
//! | `says FINDING: WORDS` | the sentence of the finding holds these words |
//! | `says-not FINDING: WORDS` | it does not |
//! | `figure FINDING / NAME: LOW .. HIGH UNIT` | the figure lies between |
//! | `no-figure FINDING / NAME` | the finding has no such figure |
//! | `verdict FINDING: VERDICT|VERDICT` | the finding gets one of these verdicts, `none` for no verdict |
//! | `same-verdict ID: ID` | two claims get the same verdict |
//! | `nonsense: WORDS` | it is refused with these words, or a contradiction of the record says them |
//! | `text: WORDS` | some finding says these words, in any of its parts |
//! | `no-text: WORDS` | none does |
//! | `refused: WORDS` | the dossier is refused with these words |
//! | `told: WORDS` | it is refused, or some finding says these words |
//!
//! Words are compared without regard to capitals.

use methods::{Finding, Findings, Verdict};
use std::fmt;
use std::str::FromStr;

/// What came out.
pub(crate) enum Outcome {
    Refused(record::Problems),
    Examined(Findings),
}

/// One expectation.
pub(crate) struct Expectation {
    line: String,
    kind: String,
    about: String,
    value: String,
}

impl FromStr for Expectation {
    type Err = String;

    fn from_str(line: &str) -> Result<Self, String> {
        let (head, value) = match line.split_once(": ") {
            Some((head, value)) => (head, value.trim()),
            None => (line, ""),
        };
        let (kind, about) = head.split_once(' ').unwrap_or((head, ""));
        let known = [
            "claim",
            "verdict",
            "same-verdict",
            "nonsense",
            "p",
            "says",
            "says-not",
            "figure",
            "no-figure",
            "text",
            "no-text",
            "refused",
            "told",
        ];
        if !known.contains(&kind) {
            return Err(format!("{kind} is no expectation"));
        }
        Ok(Self {
            line: line.to_string(),
            kind: kind.to_string(),
            about: about.trim().to_string(),
            value: value.to_string(),
        })
    }
}

impl fmt::Display for Expectation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.line)
    }
}

impl Expectation {
    /// Compares; the error says what was found instead.
    pub(crate) fn met(&self, outcome: &Outcome) -> Result<(), String> {
        let findings = match (outcome, self.kind.as_str()) {
            (Outcome::Refused(problems), "refused" | "told" | "nonsense") => {
                return holds(&problems.to_string(), &self.value, true);
            }
            (Outcome::Refused(problems), _) => return Err(format!("refused: {problems}")),
            (Outcome::Examined(_), "refused") => return Err("the dossier was accepted".to_string()),
            (Outcome::Examined(findings), _) => findings,
        };
        match self.kind.as_str() {
            "claim" => self.verdict(self.claim(findings)?),
            "verdict" => self.verdict(self.finding(findings)?),
            "same-verdict" => {
                let other = find(findings, &claim_id(&self.value))?;
                if self.claim(findings)?.verdict == other.verdict {
                    Ok(())
                } else {
                    Err(format!(
                        "{} {}",
                        self.claim(findings)?.sentence,
                        other.sentence
                    ))
                }
            }
            "nonsense" => {
                let contradictions = findings
                    .findings
                    .iter()
                    .filter(|f| f.id.to_string().starts_with("consistency."));
                let said: Vec<&str> = contradictions.map(|f| f.sentence.as_str()).collect();
                holds(&said.join("\n"), &self.value, true)
            }
            "p" => {
                let p = self.claim(findings)?.conformance.unwrap_or(f64::NAN);
                self.between(p, "")
            }
            "says" => holds(&self.finding(findings)?.sentence, &self.value, true),
            "says-not" => holds(&self.finding(findings)?.sentence, &self.value, false),
            "figure" => {
                let (finding, name) = self.about.split_once(" / ").ok_or("no name of a figure")?;
                let finding = find(findings, finding)?;
                let names: Vec<&str> = finding.figures.iter().map(|f| f.name.as_str()).collect();
                let figure = finding.figures.iter().find(|f| f.name == name);
                let figure = figure
                    .ok_or_else(|| format!("only figures {names:?}: {}", finding.sentence))?;
                self.between(figure.value, figure.unit.symbol())
            }
            "no-figure" => {
                let (finding, name) = self.about.split_once(" / ").ok_or("no name of a figure")?;
                match findings
                    .findings
                    .iter()
                    .find(|f| f.id.to_string() == finding)
                {
                    Some(f) if f.figures.iter().any(|f| f.name == name) => {
                        Err("it has".to_string())
                    }
                    _ => Ok(()),
                }
            }
            kind => holds(&everything(findings), &self.value, kind != "no-text"),
        }
    }

    fn verdict(&self, finding: &Finding) -> Result<(), String> {
        let word = match finding.verdict {
            Some(Verdict::Holds) => "holds",
            Some(Verdict::Fails) => "fails",
            Some(Verdict::Undecided) => "undecided",
            Some(Verdict::NeedsEvidence) => "needs evidence",
            None => "none",
        };
        if self.value.split('|').any(|v| v.trim() == word) {
            Ok(())
        } else {
            Err(format!("{word}: {}", finding.sentence))
        }
    }

    fn claim<'f>(&self, findings: &'f Findings) -> Result<&'f Finding, String> {
        find(findings, &claim_id(&self.about))
    }

    fn finding<'f>(&self, findings: &'f Findings) -> Result<&'f Finding, String> {
        find(findings, &self.about)
    }

    fn between(&self, found: f64, unit: &str) -> Result<(), String> {
        let (low, rest) = self.value.split_once(" .. ").ok_or("no interval")?;
        let (high, wanted) = rest.split_once(' ').unwrap_or((rest, ""));
        let number = |text: &str| text.parse::<f64>().map_err(|e| format!("{text}: {e}"));
        if wanted == unit && found >= number(low)? && found <= number(high)? {
            Ok(())
        } else {
            Err(format!("{found} {unit}"))
        }
    }
}

fn claim_id(claim: &str) -> String {
    format!("claims.verdict/claims.{claim}")
}

fn find<'f>(findings: &'f Findings, id: &str) -> Result<&'f Finding, String> {
    let found = findings.findings.iter().find(|f| f.id.to_string() == id);
    found.ok_or_else(|| {
        let ids: Vec<String> = findings.findings.iter().map(|f| f.id.to_string()).collect();
        format!("no such finding among {ids:?}")
    })
}

/// Everything that the findings say, as JSON prints it.
fn everything(findings: &Findings) -> String {
    serde_json::to_string_pretty(findings).unwrap()
}

fn holds(text: &str, words: &str, wanted: bool) -> Result<(), String> {
    // Narrow no-break spaces between values and units are written as plain ones in the cases.
    let text = &text.replace('\u{202f}', " ");
    let found = text.to_lowercase().contains(&words.to_lowercase());
    match (found, wanted) {
        (true, true) | (false, false) => Ok(()),
        (true, false) => Err(format!("it says so: {}", around(text, words))),
        (false, true) if text.len() < 2000 => Err(text.to_string()),
        (false, true) => Err("nothing says so".to_string()),
    }
}

/// The text about the place where the words stand.
fn around(text: &str, words: &str) -> String {
    let at = text.to_lowercase().find(&words.to_lowercase()).unwrap_or(0);
    let start = text.char_indices().map(|(i, _)| i).rfind(|i| i + 80 <= at);
    text[start.unwrap_or(0)..].chars().take(200).collect()
}
