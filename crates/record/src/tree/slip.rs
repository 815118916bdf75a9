//! What to leave unread around a fault of TOML syntax, so that everything else can be read.
//!
//! In: the text, sound up to the fault, and the place of the fault. Out: the bytes to leave unread, where to tell
//! the fault, and the text that was meant where only its quotes are wrong.
//! A value is left unread alone; where the fault is not in a value, its line is, and below a broken header the
//! lines that belong to it, since without it they would count as keys of the table before.

use std::ops::Range;

/// One fault of syntax as it is to be left behind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Slip {
    /// Bytes to leave unread.
    pub(super) range: Range<usize>,
    /// What they are.
    pub(super) part: Part,
}

/// What is left unread.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Part {
    /// One value in bare words or in quotes of print; the text that was meant.
    Quotes(String),
    /// A text that is opened at the start of the range and not closed.
    OpenText,
    /// A list or table that is opened at the start of the range and not closed.
    OpenList,
    /// One value.
    Value,
    /// No value where there must be one; the range is empty, after the equals sign.
    NoValue,
    /// A comment.
    Comment,
    /// Lines, keys and all.
    Lines,
}

/// Quotes of print that open a text, each with those that may close it.
const PRINTED: [(char, &str); 8] = [
    ('“', "”“"),
    ('”', "”"),
    ('„', "“”"),
    ('‘', "’‘"),
    ('’', "’"),
    ('‚', "‘’"),
    ('«', "»"),
    ('»', "«"),
];

/// Returns whether a character is a quote of print.
pub(super) fn is_of_print(c: char) -> bool {
    PRINTED.iter().any(|(open, _)| *open == c)
}

/// Finds what to leave unread around the fault at byte `at`.
pub(super) fn slip(text: &str, at: usize) -> Slip {
    let at = text.floor_char_boundary(at);
    let lines = || Slip {
        range: lines(text, at),
        part: Part::Lines,
    };
    match walk(text, at) {
        Spot::Elsewhere => lines(),
        Spot::Comment(start) => Slip {
            range: start..line_end(text, start),
            part: Part::Comment,
        },
        Spot::LongText(start) => Slip {
            range: start..before_next_key(text, start),
            part: Part::OpenText,
        },
        Spot::Value { from, outermost } => {
            let slip = value(text, from, outermost.is_some());
            match outermost {
                // The value ends before the fault: what follows does not belong to it.
                Some(open) if slip.range.end < line_start(text, at) => Slip {
                    range: open..text[..line_start(text, at)].trim_end().len(),
                    part: Part::OpenList,
                },
                _ => slip,
            }
        }
    }
}

/// Where a fault lies.
enum Spot {
    /// In a value that may begin at `from`; where it is inside a list or table, that one's opening.
    Value {
        from: usize,
        outermost: Option<usize>,
    },
    /// In a comment that begins here.
    Comment(usize),
    /// In a text of several lines that opens here and is not closed.
    LongText(usize),
    /// In a key, in a header, behind a value.
    Elsewhere,
}

/// Walks the text to the fault: which brackets are open, where the value begins.
fn walk(text: &str, at: usize) -> Spot {
    let bytes = text.as_bytes();
    let mut open: Vec<(usize, u8)> = Vec::new();
    let mut from = None;
    let mut here = 0;
    let mut line_begins = true;
    while here < at {
        let byte = bytes[here];
        if line_begins && open.is_empty() && !byte.is_ascii_whitespace() {
            line_begins = false;
            if byte == b'[' {
                let end = line_end(text, here);
                if at <= end {
                    return Spot::Elsewhere;
                }
                here = end;
                continue;
            }
        }
        match byte {
            b'#' => {
                let end = line_end(text, here);
                if at < end {
                    return Spot::Comment(here);
                }
                here = end;
                continue;
            }
            b'"' | b'\'' => {
                match closed(text, here) {
                    Some(end) if end <= at => here = end,
                    None if is_long(text, here) => return Spot::LongText(here),
                    _ => break,
                }
                continue;
            }
            b'\n' if open.is_empty() => {
                line_begins = true;
                from = None;
            }
            b'=' => from = Some(here + 1),
            b'[' | b'{' => {
                open.push((here, byte));
                from = (byte == b'[').then_some(here + 1);
            }
            b']' | b'}' => {
                open.pop();
                from = None;
            }
            b',' if !open.is_empty() => {
                from = matches!(open.last(), Some((_, b'['))).then_some(here + 1);
            }
            _ => {}
        }
        here += 1;
    }
    from.map_or(Spot::Elsewhere, |from| Spot::Value {
        from,
        outermost: open.first().map(|(place, _)| *place),
    })
}

/// Takes the value that begins behind `from`; in brackets, a comma or a bracket ends it.
fn value(text: &str, from: usize, in_brackets: bool) -> Slip {
    let line = &text[from..line_end(text, from)];
    let start = from + (line.len() - line.trim_start().len());
    let rest = &text[start..line_end(text, from)];
    if rest.is_empty() || rest.starts_with('#') {
        return Slip {
            range: from..from,
            part: Part::NoValue,
        };
    }
    let printed = rest
        .chars()
        .next()
        .and_then(|c| PRINTED.iter().find(|(open, _)| *open == c));
    if let Some((open, close)) = printed {
        let inner = &rest[open.len_utf8()..];
        let ends = |c: char| close.contains(c) || c == '"';
        if let Some((length, mark)) = inner.char_indices().find(|(_, c)| ends(*c)) {
            return Slip {
                range: start..start + open.len_utf8() + length + mark.len_utf8(),
                part: Part::Quotes(inner[..length].to_string()),
            };
        }
    }
    if rest.starts_with(['"', '\'']) && closed(text, start).is_none() {
        let inner = rest[1..].trim_end();
        let meant = inner
            .strip_suffix(['”', '“', '’', '‘', '»', '«'])
            .filter(|meant| !meant.is_empty());
        return Slip {
            range: start..start + rest.trim_end().len(),
            part: meant.map_or(Part::OpenText, |meant| Part::Quotes(meant.to_string())),
        };
    }
    let mut end = start;
    while end < text.len() {
        match text.as_bytes()[end] {
            b'\n' | b'#' => break,
            b',' | b']' | b'}' if in_brackets => break,
            b'"' | b'\'' => end = closed(text, end).unwrap_or_else(|| line_end(text, end)),
            _ => end += 1,
        }
    }
    let written = text[start..end].trim_end();
    let bare = !written.contains(['"', '\'', '[', '{', '=']);
    Slip {
        range: start..start + written.len(),
        part: if bare && written.contains(char::is_alphabetic) {
            Part::Quotes(written.to_string())
        } else {
            Part::Value
        },
    }
}

/// Returns where the text that opens at `start` ends, behind its quotes; `None` where it does not.
fn closed(text: &str, start: usize) -> Option<usize> {
    let quote = text.as_bytes()[start];
    let long = is_long(text, start);
    let mut at = start + if long { 3 } else { 1 };
    while let Some(&byte) = text.as_bytes().get(at) {
        match byte {
            b'\\' if quote == b'"' => at += 1,
            b'\n' if !long => return None,
            _ if byte != quote => {}
            _ if !long => return Some(at + 1),
            _ if is_long(text, at) => {
                // Two more quotes may belong to the text.
                let more = text.as_bytes()[at + 3..].iter().take(2);
                return Some(at + 3 + more.take_while(|b| **b == quote).count());
            }
            _ => {}
        }
        at += 1;
    }
    None
}

fn is_long(text: &str, at: usize) -> bool {
    let bytes = &text.as_bytes()[at..];
    bytes.starts_with(b"\"\"\"") || bytes.starts_with(b"'''")
}

/// Returns the end of the last line before one that looks like a key or a header.
fn before_next_key(text: &str, start: usize) -> usize {
    let mut end = line_end(text, start);
    for line in text[end..].split('\n').skip(1) {
        let trimmed = line.trim_start();
        let key = trimmed.split_once('=').map(|(key, _)| key.trim_end());
        let is_key = key.is_some_and(|key| {
            !key.is_empty()
                && key
                    .bytes()
                    .all(|b| b.is_ascii_alphanumeric() || b"_-.".contains(&b))
        });
        if is_key || trimmed.starts_with('[') {
            break;
        }
        end += 1 + line.len();
    }
    end.min(text.len())
}

/// Returns the line around `at`; below a header also the lines that belong to it.
pub(super) fn lines(text: &str, at: usize) -> Range<usize> {
    let at = text.floor_char_boundary(at);
    let line = line_start(text, at)..line_end(text, at);
    if !text[line.clone()].trim_start().starts_with('[') {
        return line;
    }
    let end = text[line.end..]
        .find("\n[")
        .map_or(text.len(), |n| line.end + n);
    line.start..end
}

fn line_start(text: &str, at: usize) -> usize {
    let at = text.floor_char_boundary(at);
    text[..at].rfind('\n').map_or(0, |n| n + 1)
}

/// Returns the end of the line around `at`, before its line break.
pub(super) fn line_end(text: &str, at: usize) -> usize {
    let at = text.floor_char_boundary(at);
    let end = text[at..].find('\n').map_or(text.len(), |n| at + n);
    end - usize::from(text[at..end].ends_with('\r'))
}
