//! `underlid read`: what a marking or a code may be.

mod batch;
mod json;
mod photo;
mod text;

use crate::arguments::{Format, ReadArguments};
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen;
use app::read::{Lists, Reader, Words};

pub(crate) fn run(arguments: ReadArguments) -> Result<(), Failure> {
    let lists = Lists {
        catalogues: arguments.catalogues,
        addresses: arguments.addresses,
        usb_ids: arguments.usb_ids,
    };
    let reader = Reader::open(&lists, &Terminal)?;
    if let Some(path) = &arguments.photo {
        return photo::run(path, arguments.format, &reader);
    }
    if let Some(path) = &arguments.batch {
        return batch::run(path, arguments.format, &reader);
    }
    let words = Words {
        package: arguments.package.as_deref(),
        pins: arguments.pins,
        size: arguments.size.as_deref(),
        pitch: arguments.pitch.as_deref(),
        maker: None,
        role: arguments.role.as_deref(),
    };
    let text = arguments.text.as_deref().unwrap_or_default();
    let said = reader.text(text, &words, &arguments.beside)?;
    screen::print_as(
        arguments.format,
        &match arguments.format {
            Format::Text => text::text(&said, reader.known()),
            Format::Json => format!("{:#}\n", json::json(&said, reader.known())),
        },
    )?;
    if said.is_silent() {
        return Err(Failure::NoAnswer);
    }
    Ok(())
}
