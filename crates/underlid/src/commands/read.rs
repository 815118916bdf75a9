//! `underlid read`: what a marking or a code may be.

mod batch;
mod candidates;
mod headline;
mod json;
mod photo;
mod rows;
mod text;

use crate::arguments::{Format, ReadArguments};
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen;
use app::Problem;
use app::read::{CluesAsText, Lists, Reader};

pub(crate) fn run(arguments: ReadArguments, format: Format) -> Result<(), Failure> {
    let lists = Lists {
        catalogues: arguments.catalogues,
        addresses: arguments.addresses,
        usb_ids: arguments.usb_ids,
    };
    let reader = Reader::open(&lists, &Terminal)?;
    if let Some(path) = &arguments.photo {
        return photo::run(path, format, &reader, arguments.all);
    }
    if let Some(path) = &arguments.batch {
        return batch::run(path, format, &reader);
    }
    let words = CluesAsText {
        package: arguments.package.as_deref(),
        pins: arguments.pins,
        size: arguments.size.as_deref(),
        pitch: arguments.pitch.as_deref(),
        maker: arguments.maker.as_deref(),
        role: arguments.role.as_deref(),
    };
    let marking = arguments.text.join(" ");
    if marking.trim().is_empty() {
        return Err(Problem::unfit(
            "the marking is empty",
            "write it as seen, such as \"TH31?\"",
        )
        .into());
    }
    let said = reader.text(&marking, &words, &arguments.beside)?;
    match format {
        Format::Text => {
            let text = text::text(&said, &reader, arguments.all, screen::breaking_width());
            screen::print_marked(&text)?;
        }
        Format::Json => {
            let json = json::json(&said, &reader);
            screen::print_json(&json)?;
        }
    }
    if said.is_answered() {
        Ok(())
    } else {
        Err(Failure::NoAnswer)
    }
}
