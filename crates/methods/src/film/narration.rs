//! What is said in a film, in the order of the opening.
//!
//! Every line is written once; what is said, and every figure in both forms, is made from what is written. The time
//! counts the words that are said, not those that are written.

use super::pronunciation::said;
use crate::words::{Words as _, capital, the_start};
use crate::{Findings, assumed};
use captions::{ENGLISH, SaidFigure, figures, spoken};
use record::{Certainty, Dossier, Item, Place, ReadingSubject, Step, Undo};
use std::collections::BTreeSet;

/// What a line is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Topic {
    /// The product as such.
    Product,
    /// A step of the opening.
    Step,
    /// A piece that comes out, and what is on it.
    Piece,
    /// What became of a claim.
    Claim,
}

impl Topic {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Product => "product",
            Self::Step => "step",
            Self::Piece => "piece",
            Self::Claim => "claim",
        }
    }
}

/// One line of the narration.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is about.
    pub topic: Topic,
    /// The place of the record that says it.
    pub place: Place,
    /// As it is written.
    pub written: String,
    /// As it is said.
    pub spoken: String,
    /// Its figures in both forms.
    pub figures: Vec<SaidFigure>,
    /// How long it takes to say, seconds.
    pub seconds: f64,
}

/// The narration.
#[derive(Debug, Clone, PartialEq)]
pub struct Narration {
    /// Its lines in the order of the opening.
    pub lines: Vec<Line>,
    /// Seconds in all, at the usual rate, and at the fastest and the slowest.
    pub seconds: (f64, f64, f64),
    /// The rate that was assumed, with its source.
    pub assumption: String,
}

/// Writes the narration.
pub fn narration(dossier: &Dossier, findings: &Findings) -> Narration {
    let mut lines = Lines {
        said: said(dossier),
        lines: Vec::new(),
        told: BTreeSet::new(),
    };
    let product = &dossier.product;
    let what = match &product.category {
        Some(category) => format!(": {category}"),
        None => String::new(),
    };
    let opened = format!("This is the {} by {}{what}.", product.name, product.maker);
    lines.add(Topic::Product, Place::product(), opened);
    for step in dossier.steps.iter().filter(|s| s.done) {
        lines.add(Topic::Step, Place::step(&step.id), told(step));
        for item in step.frees.iter().filter_map(|id| dossier.item(id)) {
            lines.piece(dossier, item);
        }
    }
    // Boards that no step freed are told all the same.
    for item in &dossier.items {
        if item.part.as_ref().is_some_and(|p| p.identity.is_some()) {
            lines.part(item);
        }
    }
    for finding in &findings.findings {
        if let Some(claim) = finding.claim(dossier) {
            lines.add(
                Topic::Claim,
                Place::claim(&claim.id),
                finding.sentence.clone(),
            );
        }
    }
    let rate = &assumed::NARRATION_RATE;
    let words: f64 = lines.lines.iter().map(|line| words(&line.spoken)).sum();
    let (slow, fast) = rate.bounds();
    let at = |rate: f64| 60.0 * words / rate;
    Narration {
        lines: lines.lines,
        seconds: (at(rate.number()), at(fast), at(slow)),
        assumption: format!(
            "{}: {}; source: {}",
            rate.what(),
            rate.text(),
            rate.source()
        ),
    }
}

fn words(spoken: &str) -> f64 {
    // Words with a hyphen are two when they are said.
    let count = spoken.split(|c: char| c.is_whitespace() || c == '-');
    count
        .filter(|w| w.chars().any(char::is_alphanumeric))
        .count() as f64
}

struct Lines {
    said: Vec<(String, String)>,
    lines: Vec<Line>,
    /// Items whose identity is told.
    told: BTreeSet<String>,
}

impl Lines {
    fn add(&mut self, topic: Topic, place: Place, written: String) {
        let written = written.split_whitespace().collect::<Vec<_>>().join(" ");
        let spoken = spoken(&written, &self.said, &ENGLISH);
        self.lines.push(Line {
            topic,
            place,
            figures: figures(&written, &self.said, &ENGLISH),
            seconds: 60.0 * words(&spoken) / assumed::NARRATION_RATE.number(),
            spoken,
            written,
        });
    }

    /// What came out: its weight, and the parts on it that were identified.
    fn piece(&mut self, dossier: &Dossier, item: &Item) {
        let weighed = dossier.readings.iter().find(|r| {
            r.item == item.id
                && r.what == ReadingSubject::Mass
                && r.without.is_empty()
                && r.pieces.is_none()
        });
        if let Some(reading) = weighed {
            let said = format!("{} weighs {}.", the_start(item), reading.value.text);
            self.add(Topic::Piece, Place::reading(&reading.id), said);
        }
        self.part(item);
        let inside: Vec<&Item> = dossier.children(&item.id).collect();
        for part in inside {
            self.part(part);
        }
    }

    fn part(&mut self, item: &Item) {
        let Some(identity) = item.part.as_ref().and_then(|p| p.identity.as_ref()) else {
            return;
        };
        if !self.told.insert(item.id.clone()) {
            return;
        }
        let by = identity
            .maker
            .as_ref()
            .map_or(String::new(), |m| format!(" by {m}"));
        let how = match identity.certainty {
            Certainty::Read => ", read from its marking",
            Certainty::Inferred => ", as we infer",
            Certainty::Assumed => ", as we assume",
            Certainty::Unknown => ", but how that is known was not noted",
        };
        let what = match &item.role {
            Some(role) => format!("{}: {}", capital(&item.name), role),
            None => capital(&item.name),
        };
        let place = Place::item(&item.id).at("part.identity");
        self.add(
            Topic::Piece,
            place,
            format!("{what}. It is the {}{by}{how}.", identity.name),
        );
    }
}

/// A step with its heat, time and hazards.
fn told(step: &Step) -> String {
    let mut said = vec![step.text.trim().to_string()];
    if let Some(tool) = &step.tool {
        let heat = step
            .temperature
            .as_ref()
            .map_or(String::new(), |t| format!(" at {}", t.text));
        said.push(format!("Tool: {tool}{heat}."));
    }
    if let Some(took) = step.took() {
        said.push(format!("It took {}.", took.text));
    }
    if step.undo == Undo::No {
        said.push("This cannot be undone.".into());
    }
    for hazard in &step.hazards {
        said.push(format!("Care: {}.", hazard.words()));
    }
    said.join(" ")
}
