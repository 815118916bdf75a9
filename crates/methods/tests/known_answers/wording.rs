//! How the answers read: words that no reader meets, and what stands for them.
//!
//! In: the demonstration and every dossier with a known answer. Out: the sentences that hold a word or a
//! pattern of the table. Words of the record, quoted or named, are its own and not looked at.

use super::cases;
use methods::{Finding, Known};
use std::ops::ControlFlow;
use std::path::Path;

/// What must not be read, and what is written for it.
const FORBIDDEN: [(&str, &str); 46] = [
    ("p = less than", "practically excluded (under 0.1 %)"),
    ("χ²", "contradict each other"),
    ("|z|", "stands out"),
    ("< 0.1 %", "under 0.1 %"),
    ("> 99.9 %", "over 99.9 %"),
    ("−0.0 ", "0.0"),
    ("How does one get to", "comes out in"),
    ("How fast ", "a charge of"),
    (
        "Which evidence would opening end",
        "Can everything still be measured?",
    ),
    ("What energy is in", "Is it what its label says?"),
    ("Arithmetic of", "Does the sum agree?"),
    ("leave a mark", "cannot be undone"),
    (" acts", "steps"),
    (" act ", "step"),
    ("The deepest", "lies deepest"),
    ("It is held by:", "It is glued over its whole face"),
    ("It is connected by:", "It is plugged in"),
    ("too late for this piece", "not on this sample any more"),
    ("come too late", "not possible on this sample any more"),
    ("0 can be taken", "the words are left out"),
    ("of the known parts", "none of the parts we know"),
    ("None of the known", "none of the parts we know"),
    ("grazing", "light from the side"),
    ("makes known", "follows from it"),
    ("front of box", "front of the box"),
    ("The on the", "The print on the"),
    ("in mode ", "on low light"),
    (" binds", "limits it"),
    ("absolute maxim", "withstands 20 V"),
    ("head-room", "is 4.5 times what it takes"),
    ("sibling", "is 4.5 times what it takes"),
    ("constant-voltage tail", "the slow end of a charge"),
    ("full recharges", "full charges"),
    ("believable", "nothing speaks against its label"),
    ("most suspicious", "probably a slip"),
    ("roles are filled", "roles on record"),
    ("identified by their marking", "read from their marking"),
    ("What does what", "What the parts do"),
    ("How big are", "Do the sizes agree?"),
    ("assembled at the earliest", "assembled on … or later"),
    ("probability of", "likely (86 %)"),
    ("with probability", "likely (86 %)"),
    ("granted", "we allow 2 %"),
    ("part.ratings", "the words of the rating"),
    ("reading:", "where it was read"),
    ("  ", "one space"),
];

/// Returns what a reader meets of a finding in sentences.
fn texts(finding: &Finding) -> Vec<&str> {
    let mut texts = vec![finding.title.as_str(), finding.sentence.as_str()];
    texts.extend(finding.missing.iter().map(|m| m.measure.as_str()));
    texts.extend(finding.cautions.iter().map(String::as_str));
    if let Some(judgement) = &finding.judgement {
        texts.extend([judgement.how.as_str(), judgement.why.as_str()]);
    }
    texts
}

/// Returns the text without what it quotes.
fn own(text: &str) -> String {
    let mut own = String::new();
    let mut depth = 0_u32;
    for c in text.chars() {
        match c {
            '“' => {
                depth += 1;
                own.push('“');
            }
            '”' => depth = depth.saturating_sub(1),
            _ if depth == 0 => own.push(c),
            _ => {}
        }
    }
    own
}

/// Returns what is wrong with a text.
fn faults(text: &str) -> Vec<String> {
    let own = own(&methods::words::for_readers(text));
    let mut faults: Vec<String> = FORBIDDEN
        .iter()
        .filter(|(word, _)| own.contains(word))
        .map(|(word, instead)| format!("“{word}”, write: {instead}"))
        .collect();
    let words: Vec<&str> = own.split([' ', '(', ',']).collect();
    for pair in words.windows(2) {
        if pair[0] == "1"
            && ["steps", "claims", "parts", "pieces", "sizes", "days"].contains(&pair[1])
        {
            faults.push(format!("“1 {}”", pair[1]));
        }
    }
    // More digits than six tell nothing, and an exponent is for the working.
    let runs = own.split(|c: char| !c.is_ascii_digit() && c != '.');
    let long = runs.filter(|run| run.bytes().filter(u8::is_ascii_digit).count() > 6);
    faults.extend(long.map(|run| format!("“{run}” has too many digits")));
    if own.contains("×\u{202f}10") || own.contains('`') {
        faults.push("a power of ten or a key of the record".to_string());
    }
    faults
}

fn wrong(findings: &[Finding]) -> Vec<String> {
    let texts = findings
        .iter()
        .flat_map(|f| texts(f).into_iter().map(move |t| (f, t)));
    texts
        .flat_map(|(f, text)| {
            faults(text)
                .into_iter()
                .map(move |why| format!("{}: {why}: {text}", f.id))
        })
        .collect()
}

#[test]
fn no_sentence_holds_a_forbidden_word() {
    let mut all = Vec::new();
    for case in cases() {
        if let Ok(dossier) = record::read_text(&case.text, "dossier.toml", &record::AnyFile) {
            let found =
                methods::examine(&dossier, &Known::default(), &|_| ControlFlow::Continue(()));
            let found = wrong(&found.unwrap().findings);
            all.extend(found.into_iter().map(|w| format!("{}: {w}", case.name)));
        }
    }
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp/dossier.toml");
    let demo = std::fs::read_to_string(demo).unwrap();
    let dossier = record::read_text(&demo, "dossier.toml", &record::AnyFile).unwrap();
    let found = methods::examine(&dossier, &Known::default(), &|_| ControlFlow::Continue(()));
    all.extend(wrong(&found.unwrap().findings));
    assert!(all.is_empty(), "{} of them:\n{}", all.len(), all.join("\n"));
}

#[test]
fn a_planted_word_is_found() {
    for planted in [
        "The deepest is a spring with 11 acts.",
        "It stands under grazing light.",
        "1 steps are needed.",
        "44.1333333 h",
        "1.2\u{202f}×\u{202f}10⁻⁴ A",
    ] {
        assert!(!faults(planted).is_empty(), "{planted}");
    }
    assert!(faults("The box says “in mode granted”.").is_empty());
}
