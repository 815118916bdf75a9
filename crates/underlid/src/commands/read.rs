//! `underlid read`: what a marking or a code may be.

mod batch;
mod json;
mod photo;
mod question;
mod text;

use crate::arguments::{Format, ReadArguments};
use crate::failure::Failure;
use crate::known::{self, Names};
use crate::screen;
use codes::Context;
use codes::date::date_candidates;
use marking::{Answer, Index, Scratch};
use methods::Known;
use question::Question;

/// Everything that is said about one text.
pub(super) struct Said {
    /// What was asked.
    pub(super) question: Question,
    /// Which parts may carry it; `None` without a catalogue.
    pub(super) parts: Option<Answer>,
    /// What each line may say as a code: the line and its readings.
    pub(super) codes: Vec<(String, Vec<codes::Reading>)>,
}

pub(crate) fn run(arguments: &ReadArguments) -> Result<(), Failure> {
    let known = Known::new(known::load(None, &arguments.catalogues)?);
    let registry = known::registry(&arguments.addresses, arguments.usb_ids.as_deref())?;
    let names = Names(&registry);
    let context = Context::default().with_registers(&names);
    if let Some(path) = &arguments.photo {
        return photo::run(path, arguments.format, &context);
    }
    let mut scratch = Scratch::default();
    let index = (!known.parts().is_empty()).then(|| known.index());
    if let Some(path) = &arguments.batch {
        return batch::run(path, arguments.format, &known, |question| {
            ask(question, index, &context, &mut scratch)
        });
    }
    let mut question = Question::of(arguments)?;
    question.clues.seen_before = known.seen_beside(&arguments.beside);
    let said = ask(question, index, &context, &mut scratch);
    screen::print_as(
        arguments.format,
        &match arguments.format {
            Format::Text => text::text(&said, &known),
            Format::Json => format!("{:#}\n", json::json(&said, &known)),
        },
    )
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
        .filter(|line| !line.is_empty())
        .map(|line| {
            let mut readings = codes::read(&line, context);
            if readings.is_empty() {
                // A date may stand among other characters, or before the sign of a plant.
                let dates = date_candidates(&line, context.opened);
                readings.extend(dates.into_iter().map(|date| date.reading));
            }
            (line, readings)
        })
        .collect();
    Said {
        question,
        parts,
        codes,
    }
}
