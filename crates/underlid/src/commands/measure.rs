//! `underlid measure`: sizes on a dossier's photographs.

pub(super) mod points;
mod told;

use crate::arguments::MeasureArguments;
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen;
use app::measure::{MeasureOptions, Measured, measure};

pub(crate) fn run(arguments: MeasureArguments) -> Result<(), Failure> {
    let format = arguments.format;
    let options = MeasureOptions {
        at: arguments.at.as_deref().map(points::read).transpose()?,
        folder: arguments.folder,
        photo: arguments.photo,
        what: arguments.what,
        item: arguments.item,
        known: arguments.known,
        row: arguments.row,
        every: arguments.every,
        name: arguments.name,
        snap: arguments.snap,
        within: arguments.within,
        height: arguments.height,
        save: arguments.save,
        pictures: arguments.pictures,
    };
    let text = match measure(&options, &Terminal)? {
        Measured::Sizes { results, failed } => told::told(&results, &failed, format),
        Measured::Scale(reference) => told::scale(&reference, format),
    };
    screen::print_as(format, &text)
}
