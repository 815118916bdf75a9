//! What the terminal can show, and writing to it.

use crate::failure::Failure;
use report::Style;
use std::io::{IsTerminal, Write};
use std::path::Path;

/// Returns how to print: colours only on a terminal and unless NO_COLOR is set.
pub(crate) fn style() -> Style {
    let width =
        terminal_size::terminal_size().map_or(100, |(w, _)| usize::from(w.0).clamp(40, 120));
    let colour = std::io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none();
    Style { colour, width }
}

/// Writes text to standard output. A reader that closed the pipe has read enough.
pub(crate) fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    let newline = if text.ends_with('\n') { "" } else { "\n" };
    match write!(out, "{text}{newline}").and_then(|()| out.flush()) {
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::io("write to", Path::new("standard output"), &e))
        }
        _ => Ok(()),
    }
}
