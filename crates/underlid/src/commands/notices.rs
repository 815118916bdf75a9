//! `underlid notices`: licences of everything this program is made of.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::screen;

/// Written from the crates and typefaces themselves; `tests/notices.rs` compares it with `Cargo.lock`.
const NOTICES: &str = include_str!("../../notices.txt");

pub(crate) fn run(format: Format) -> Result<(), Failure> {
    screen::print_text(format, NOTICES)
}
