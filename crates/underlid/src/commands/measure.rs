//! `underlid measure`: sizes on a dossier's photographs.

pub(super) mod points;
mod told;

use crate::arguments::{CountName, Format, MeasureArguments};
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen;
use app::measure::{Counted, MeasureOptions, Measured, measure};

pub(crate) fn run(arguments: MeasureArguments, format: Format) -> Result<(), Failure> {
    let options = MeasureOptions {
        at: arguments.at.as_deref().map(points::read).transpose()?,
        folder: folder::of(arguments.folder)?,
        photo: arguments.photo,
        what: arguments.what,
        item: arguments.item,
        known: arguments.known,
        row: arguments.row,
        count: match arguments.count {
            CountName::Things => Counted::Things,
            CountName::Gaps => Counted::Gaps,
            CountName::Dark => Counted::Dark,
            CountName::Bright => Counted::Bright,
        },
        every: arguments.every,
        name: arguments.name,
        snap: arguments.snap,
        within: arguments.within,
        height: arguments.height,
        save: arguments.save,
        pictures: arguments.pictures,
    };
    match measure(&options, &Terminal)? {
        Measured::Sizes { results, failed } => {
            screen::print_as(format, &told::told(&results, &failed, format))?;
            if failed.is_empty() {
                Ok(())
            } else {
                Err(Failure::NoAnswer)
            }
        }
        Measured::Scale(reference) => screen::print_as(format, &told::scale(&reference, format)),
    }
}
