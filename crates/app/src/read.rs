//! What a marking or a code may be.
//!
//! In: a text as seen, a table of them, or a photograph; catalogues and the user's own lists. Out: the parts
//! that may carry it, and what it may say as a code.

mod batch;
mod choice;
mod identifier;
mod label;
mod photo;
mod question;
mod relatives;
mod verdict;

pub use batch::{Row, Tally};
pub(crate) use choice::warm;
pub use choice::{Asked, Choice, Choices, HALF, READ, Sort, choices, choose, word};
pub use identifier::{Identifier, identifier};
pub use label::{LabelLine, label};
pub use question::{CluesAsText, Question};
pub use relatives::{Family, families};
pub use verdict::{Decides, Verdict};

use crate::known::{self, Names};
use crate::{Problem, Watch};
use catalogue::Registry;
use codes::Context;
use codes::barcode::Barcode;
use codes::date::date_candidates;
use marking::{Answer, Candidate, Index, Scratch};
use methods::Known;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

/// Everything that is said about one text.
#[derive(Debug)]
pub struct Said {
    /// What was asked.
    pub question: Question,
    /// Which parts may carry it; `None` without a catalogue.
    pub parts: Option<Answer>,
    /// What each line may say as a code: the line and its readings.
    pub codes: Vec<(String, Vec<codes::Reading>)>,
}

/// What readings are made with.
#[derive(Debug, Clone, Default)]
pub struct Lists {
    /// Catalogues of known parts, later ones correcting earlier ones.
    pub catalogues: Vec<PathBuf>,
    /// Lists of registered hardware addresses.
    pub addresses: Vec<PathBuf>,
    /// List of USB vendors and products.
    pub usb_ids: Option<PathBuf>,
}

/// Reads markings and codes with lists that were opened once.
pub struct Reader {
    known: Known,
    has_catalogue: bool,
    registry: Registry,
}

impl Reader {
    /// Opens the lists.
    ///
    /// # Errors
    /// A file that cannot be read at all, or of which every row is refused; other refused rows are told and left
    /// out.
    pub fn open(lists: &Lists, watch: &dyn Watch) -> Result<Self, Problem> {
        Ok(Self {
            known: known::load(None, &lists.catalogues, watch)?,
            has_catalogue: !lists.catalogues.is_empty(),
            registry: known::registry(&lists.addresses, lists.usb_ids.as_deref(), watch)?,
        })
    }

    /// Returns the known parts that answers point to.
    pub fn known(&self) -> &Known {
        &self.known
    }

    /// Returns whether a catalogue was named, though it may hold no part.
    pub fn has_catalogue(&self) -> bool {
        self.has_catalogue
    }

    /// Returns the name of the part that a candidate points to, as its maker writes it.
    pub fn name(&self, candidate: &Candidate) -> String {
        let part = self.known.parts().get(candidate.part);
        part.map_or(&candidate.name, |part| &part.name).clone()
    }

    /// Says what one text may be; `beside` names parts on the same board.
    ///
    /// # Errors
    /// A marking or a length that cannot be read.
    pub fn text(
        &self,
        text: &str,
        words: &CluesAsText<'_>,
        beside: &[String],
    ) -> Result<Said, Problem> {
        let mut question = Question::new(text, words)?;
        question.clues.seen_before = self.known.seen_beside(beside);
        let names = Names(&self.registry);
        let context = Context::default().with_registries(&names);
        Ok(ask(
            question,
            self.index(),
            &context,
            &mut Scratch::default(),
        ))
    }

    /// Answers every row of a table, one after the other, so that no table is too long, until `each` breaks off.
    ///
    /// # Errors
    /// A table that cannot be read, or work that was stopped; a row that cannot be read is answered with the
    /// reason.
    pub fn batch(
        &self,
        path: &Path,
        each: impl FnMut(Row) -> ControlFlow<()>,
        watch: &dyn Watch,
    ) -> Result<Tally, Problem> {
        let names = Names(&self.registry);
        let context = Context::default().with_registries(&names);
        let mut scratch = Scratch::default();
        batch::run(path, each, watch, |question| {
            ask(question, self.index(), &context, &mut scratch)
        })
    }

    /// Finds bar codes and matrix codes in a photograph and says what they may mean.
    ///
    /// # Errors
    /// A file that cannot be read or searched.
    pub fn photo(&self, path: &Path, watch: &dyn Watch) -> Result<Vec<Barcode>, Problem> {
        let names = Names(&self.registry);
        photo::run(path, &Context::default().with_registries(&names), watch)
    }

    fn index(&self) -> Option<&Index> {
        (!self.known.parts().is_empty()).then(|| self.known.index())
    }
}

/// Looks a text up among parts and codes.
fn ask(
    question: Question,
    index: Option<&Index>,
    context: &Context<'_>,
    scratch: &mut Scratch,
) -> Said {
    let parts = index.map(|index| index.read(&question.seen, &question.clues, scratch));
    let codes = question
        .seen
        .lines
        .iter()
        .filter_map(|line| line.plain())
        .flat_map(|line| as_codes(line, context))
        .collect();
    Said {
        question,
        parts,
        codes,
    }
}

/// Says what a line may say as a code; of one that says nothing as a whole, each word.
fn as_codes(line: String, context: &Context<'_>) -> Vec<(String, Vec<codes::Reading>)> {
    let whole = codes::read(&line, context);
    let words: Vec<&str> = line.split_whitespace().collect();
    let or_date = |text: &str, mut readings: Vec<codes::Reading>| {
        if readings.is_empty() {
            // A date may stand among other characters, or before the sign of a plant.
            let dates = date_candidates(text, context.opened);
            readings.extend(dates.into_iter().map(|date| date.reading));
        }
        (text.to_string(), readings)
    };
    match &words[..] {
        [] => Vec::new(),
        [_, _, ..] if whole.is_empty() => words
            .into_iter()
            .map(|word| or_date(word, codes::read(word, context)))
            .collect(),
        _ => vec![or_date(&line, whole)],
    }
}
