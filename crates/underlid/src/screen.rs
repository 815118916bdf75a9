//! The one place that prints.
//!
//! In: text that may hold anything a record, a file name or a code can hold; marked text of a summary. Out: the
//! same on standard output or standard error with everything that would steer a terminal written out. Colours are
//! put around the text here, after that, so that none can come from a record.
//! Not here: what is said.

pub(crate) use app::shown;

use crate::arguments::{Colour, Format, Manner};
use crate::failure::Failure;
use crate::interrupt;
use record::{steers, visible_lines};
use report::{Marked, Tone};
use std::fmt::Write as _;
use std::io::{IsTerminal, Write};
use std::ops::ControlFlow;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};
use unicode_width::UnicodeWidthStr as _;

/// How this run speaks; settled once, before anything is printed.
static MANNER: OnceLock<Manner> = OnceLock::new();

/// Whether a line of progress stands on the terminal, to be wiped before anything else is said.
static LIVE: AtomicBool = AtomicBool::new(false);

/// Settles how this run speaks.
pub(crate) fn speak(manner: Manner) {
    // Set before it is first asked for, and once.
    let _ = MANNER.set(manner);
}

fn manner() -> Manner {
    *MANNER.get_or_init(|| Manner {
        format: Format::Text,
        quiet: false,
        color: Colour::Auto,
    })
}

/// Shows a line of progress in place of the one before, where somebody watches.
pub(crate) fn progress(line: &str) {
    let mut out = std::io::stderr().lock();
    if manner().quiet || !out.is_terminal() {
        return;
    }
    if is_dumb() {
        let _ = writeln!(out, "{line}");
        return;
    }
    let mut fitting = String::new();
    for c in visible_lines(line).chars() {
        fitting.push(c);
        if fitting.width() >= width() {
            fitting.pop();
            break;
        }
    }
    LIVE.store(true, Ordering::Relaxed);
    let _ = write!(out, "\r\u{1b}[2K{fitting}").and_then(|()| out.flush());
}

/// Tells something worth knowing beside the answer on standard error, unless only the answer is wanted.
pub(crate) fn note(line: &str) {
    if !manner().quiet {
        tell(line);
    }
}

/// Wipes the line of progress.
pub(crate) fn settle() {
    if LIVE.swap(false, Ordering::Relaxed) {
        let mut out = std::io::stderr().lock();
        let _ = write!(out, "\r\u{1b}[2K").and_then(|()| out.flush());
    }
}

/// Returns whether somebody can be asked.
pub(crate) fn can_ask() -> bool {
    std::io::stdin().is_terminal() && std::io::stderr().is_terminal()
}

/// Asks and returns the line that is answered; `None` at the end of the input.
///
/// # Errors
/// Standard input that cannot be read.
pub(crate) fn ask(question: &str) -> Result<Option<String>, Failure> {
    settle();
    let mut out = std::io::stderr().lock();
    let _ = write!(out, "{}", visible_lines(question)).and_then(|()| out.flush());
    drop(out);
    let mut line = String::new();
    let read = interrupt::while_asking(|| std::io::stdin().read_line(&mut line));
    match read.map_err(Failure::Unprinted)? {
        0 => Ok(None),
        _ => Ok(Some(line.trim().to_string())),
    }
}

/// Asks for a password and returns it; typed on a terminal, it is not shown. Where nobody can be asked, it is the first
/// line of standard input.
///
/// # Errors
/// Standard input that cannot be read.
pub(crate) fn password(question: &str) -> Result<String, Failure> {
    settle();
    let given = match can_ask() {
        true => {
            tell(&visible_lines(question));
            interrupt::while_asking(rpassword::read_password)
        }
        false => {
            let mut line = String::new();
            let read = std::io::stdin().read_line(&mut line);
            read.map(|_| line.trim_end_matches(['\r', '\n']).to_string())
        }
    };
    given.map_err(Failure::Unprinted)
}

/// Returns whether the environment variable is set to something.
fn set(name: &str) -> Option<std::ffi::OsString> {
    std::env::var_os(name).filter(|value| !value.is_empty())
}

fn is_dumb() -> bool {
    set("TERM").is_some_and(|term| term == "dumb")
}

fn colours() -> bool {
    match manner().color {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => std::io::stdout().is_terminal() && set("NO_COLOR").is_none() && !is_dumb(),
    }
}

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

/// Writes a summary to standard output, in colours where they are wanted.
///
/// # Errors
/// As [`print()`].
pub(crate) fn print_marked(text: &Marked) -> Result<(), Failure> {
    write_out(&painted(text, colours())).map(|_| ())
}

/// Writes an answer in the format it was asked for to standard output. In the texts of JSON, steering characters
/// stand as its own escapes.
///
/// # Errors
/// As [`print()`].
pub(crate) fn print_as(format: Format, text: &str) -> Result<(), Failure> {
    print_piece(format, text).map(|_| ())
}

/// Writes an answer for programs to standard output.
///
/// # Errors
/// As [`print()`].
pub(crate) fn print_json(answer: &serde_json::Value) -> Result<(), Failure> {
    print_as(Format::Json, &format!("{answer:#}\n"))
}

/// Writes a text that is the whole answer to standard output; for programs, an object that holds it.
///
/// # Errors
/// As [`print()`].
pub(crate) fn print_text(format: Format, text: &str) -> Result<(), Failure> {
    match format {
        Format::Text => print(text),
        Format::Json => print_json(&serde_json::json!({ "text": text })),
    }
}

/// Writes lines to standard error. A closed standard error is nobody to tell.
pub(crate) fn tell(text: &str) {
    settle();
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
    settle();
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
