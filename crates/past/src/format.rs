//! Which form a text is in, and reading it.
//!
//! In: a name, bytes. Out: [`Text`]. Not here: what a form looks like (`html`, `markdown`, `spoken`, `text`).

use crate::{PastError, Text, decode, html, markdown, spoken, text};
use serde::Serialize;

/// The most bytes a text may have: a long article has below one million.
pub const LARGEST: u64 = 16 << 20;

/// The forms that are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Format {
    /// `.html`, `.htm`, `.xhtml`.
    Html,
    /// `.md`, `.markdown`.
    Markdown,
    /// `.txt`, `.text`.
    Plain,
    /// `.vtt`.
    WebVtt,
    /// `.srt`.
    SubRip,
}

impl Format {
    /// The endings of names, as they are told to a person.
    pub const ENDINGS: &str = ".html, .htm, .xhtml, .md, .markdown, .txt, .text, .vtt or .srt";

    /// The form that a file's name tells.
    pub fn of_name(name: &str) -> Option<Self> {
        let (_, ending) = name.rsplit_once('.')?;
        match ending.to_ascii_lowercase().as_str() {
            "html" | "htm" | "xhtml" => Some(Self::Html),
            "md" | "markdown" => Some(Self::Markdown),
            "txt" | "text" => Some(Self::Plain),
            "vtt" => Some(Self::WebVtt),
            "srt" => Some(Self::SubRip),
            _ => None,
        }
    }
}

/// Reads a text.
///
/// # Errors
/// A file that is too large, empty, no text, or in another encoding than it says.
pub fn read(bytes: &[u8], format: Format) -> Result<Text, PastError> {
    let size = bytes.len() as u64;
    if size > LARGEST {
        return Err(PastError::TooLarge {
            bytes: size,
            largest: LARGEST,
        });
    }
    let read = match format {
        Format::WebVtt => spoken::read(bytes, captions::Format::WebVtt)?,
        Format::SubRip => spoken::read(bytes, captions::Format::SubRip)?,
        Format::Html => html::read(&decode::decode(bytes, true)?),
        Format::Markdown => markdown::read(&decode::decode(bytes, false)?),
        Format::Plain => text::read(&decode::decode(bytes, false)?),
    };
    match read
        .blocks
        .iter()
        .any(|block| !block.text.trim().is_empty())
    {
        true => Ok(read),
        false => Err(PastError::Empty),
    }
}
