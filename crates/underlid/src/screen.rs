//! The one place that prints.
//!
//! In: text that may hold anything a record, a file name or a code can hold; marked text of a summary. Out: the
//! same on standard output or standard error with everything that would steer a terminal written out. Colours are
//! put around the text here, after that, so that none can come from a record.
//! Not here: what is said.

pub(crate) use app::shown;

use crate::arguments::Format;
use crate::failure::Failure;
use record::{steers, visible_lines};
use report::{Marked, Tone};
use std::fmt::Write as _;
use std::io::{IsTerminal, Write};
use std::ops::ControlFlow;

/// Returns the columns of the terminal, within what reads well.
pub(crate) fn width() -> usize {
    terminal_size::terminal_size().map_or(100, |(w, _)| usize::from(w.0).clamp(40, 120))
}

/// Returns the columns after which an answer is broken into lines: those of the terminal. What goes to a file or
/// another program is not broken.
pub(crate) fn breaking_width() -> usize {
    if std::io::stdout().is_terminal() {
        width()
    } else {
        usize::MAX
    }
}

/// Writes text to standard output.
///
/// # Errors
/// Standard output that cannot be written; a reader that closed the pipe has read enough.
pub(crate) fn print(text: &str) -> Result<(), Failure> {
    write_out(&visible_lines(text)).map(|_| ())
}

/// Writes a piece of a long answer to standard output at once; breaks off when the reader closed the pipe.
///
/// # Errors
/// As [`print()`].
pub(crate) fn print_piece(format: Format, text: &str) -> Result<ControlFlow<()>, Failure> {
    match format {
        Format::Text => write_out(&visible_lines(text)),
        Format::Json => write_out(&escaped(text)),
    }
}

/// Writes a summary to standard output, in colours on a terminal that has them and unless NO_COLOR is set.
///
/// # Errors
/// As [`print()`].
pub(crate) fn print_marked(text: &Marked) -> Result<(), Failure> {
    let set = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty());
    let plain = set("NO_COLOR").is_some() || set("TERM").is_some_and(|term| term == "dumb");
    let colours = std::io::stdout().is_terminal() && !plain;
    write_out(&painted(text, colours)).map(|_| ())
}

/// Writes an answer in the format it was asked for to standard output. In the texts of JSON, steering characters
/// stand as its own escapes.
///
/// # Errors
/// As [`print()`].
pub(crate) fn print_as(format: Format, text: &str) -> Result<(), Failure> {
    print_piece(format, text).map(|_| ())
}

/// Writes lines to standard error. A closed standard error is nobody to tell.
pub(crate) fn tell(text: &str) {
    let _ = writeln!(
        std::io::stderr().lock(),
        "{}",
        visible_lines(text.trim_end())
    );
}

/// Between its texts, JSON holds no steering character but the line breaks it is set in.
fn escaped(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        if c == '\n' || !steers(c) {
            out.push(c);
            continue;
        }
        for unit in c.encode_utf16(&mut [0; 2]) {
            // Writing to a String cannot fail.
            let _ = write!(out, "\\u{unit:04x}");
        }
    }
    out
}

fn write_out(text: &str) -> Result<ControlFlow<()>, Failure> {
    let mut out = std::io::stdout().lock();
    let newline = if text.ends_with('\n') { "" } else { "\n" };
    match write!(out, "{text}{newline}").and_then(|()| out.flush()) {
        Ok(()) => Ok(ControlFlow::Continue(())),
        Err(e) if e.kind() == std::io::ErrorKind::BrokenPipe => Ok(ControlFlow::Break(())),
        Err(e) => Err(Failure::Unprinted(e)),
    }
}

fn painted(text: &Marked, colours: bool) -> String {
    let mut out = String::new();
    for (tone, text) in text.spans() {
        let text = visible_lines(text);
        let code = match tone {
            Tone::Plain => "",
            Tone::Bold => "1",
            Tone::Quiet => "2",
            Tone::Accent => "1;31",
        };
        if colours && !code.is_empty() && !text.is_empty() {
            // Writing to a String cannot fail.
            let _ = write!(out, "\u{1b}[{code}m{text}\u{1b}[0m");
        } else {
            out.push_str(&text);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn json_stays_json_and_says_the_same() {
        let text = "a\u{9b}b\u{202e}c\u{e0041}\n\u{7f}";
        let json = format!("{:#}", serde_json::json!({ "name": text }));
        let safe = escaped(&json);
        assert!(!safe.chars().any(|c| c != '\n' && steers(c)), "{safe}");
        let read: serde_json::Value = serde_json::from_str(&safe).unwrap();
        assert_eq!(read["name"], text);
    }

    #[test]
    fn our_colours_survive_and_those_of_a_record_do_not() {
        let mut text = Marked::default();
        text.push(Tone::Bold, "name\u{1b}[0m");
        text.push(Tone::Plain, "\n");
        assert_eq!(painted(&text, true), "\u{1b}[1mname\\u{1b}[0m\u{1b}[0m\n");
        assert_eq!(painted(&text, false), "name\\u{1b}[0m\n");
    }
}
