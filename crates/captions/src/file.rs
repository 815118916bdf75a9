//! A caption file: its text, cues and words.
//!
//! In: bytes. Out: [`Captions`], in which every cue and word knows its bytes. Not here: replacing words (`replace`).
//! Source: WebVTT (W3C) for `.vtt`; what readers of SubRip expect for `.srt`.

use crate::cue_settings::{Region, Settings};
use crate::error::{CaptionError, Fault, FaultKind};
use crate::{lines, subrip, webvtt};
use serde::Serialize;
use std::ops::Range;

/// The most bytes a file may have: captions of a film of several hours have below one million.
pub const LARGEST: usize = 16 << 20;

/// The most faults that are kept one by one.
pub const MOST_FAULTS: usize = 100;

/// The two formats.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Format {
    /// `.vtt`.
    WebVtt,
    /// `.srt`.
    SubRip,
}

impl Format {
    /// The format that a file's name tells.
    pub fn of_name(name: &str) -> Option<Self> {
        let (_, ending) = name.rsplit_once('.')?;
        match ending.to_ascii_lowercase().as_str() {
            "vtt" => Some(Self::WebVtt),
            "srt" => Some(Self::SubRip),
            _ => None,
        }
    }
}

/// How the characters are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Encoding {
    /// With or without a byte order mark, which stays.
    Utf8,
    /// An older SubRip file: one byte a character, every byte has a meaning.
    Windows1252,
}

/// One cue.
#[derive(Debug, Clone, PartialEq)]
pub struct Cue {
    /// The line of its times, counted from 1.
    pub line: usize,
    /// Its identifier or number as written; empty where it has none.
    pub identifier: String,
    /// Milliseconds.
    pub start_ms: u64,
    /// Milliseconds.
    pub end_ms: u64,
    /// Where it stands.
    pub settings: Settings,
    /// Its payload in [`Captions::text`].
    pub payload: Range<usize>,
    /// Its words in [`Captions::words`].
    pub words: Range<usize>,
}

/// One word as heard, without the punctuation around it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    /// The cue, counted from 0.
    pub cue: usize,
    /// Its place in [`Captions::text`].
    pub at: Range<usize>,
    /// What it says, mark-up and references resolved.
    pub text: String,
    /// Whether nothing but blanks and tags stands between it and the word before in its cue.
    pub joined: bool,
}

/// A caption file.
#[derive(Debug, Clone, PartialEq)]
pub struct Captions {
    /// The format.
    pub format: Format,
    /// How its characters are written.
    pub encoding: Encoding,
    /// The whole file as text, its byte order mark included.
    pub text: String,
    /// The cues in the order of the file.
    pub cues: Vec<Cue>,
    /// The words of all cues.
    pub words: Vec<Word>,
    /// Regions of a WebVTT file.
    pub regions: Vec<Region>,
    /// The first [`MOST_FAULTS`] things that are wrong with it.
    pub faults: Vec<Fault>,
    /// How many there are in all.
    pub fault_count: usize,
}

impl Captions {
    pub(crate) fn fault(&mut self, line: usize, kind: FaultKind) {
        self.fault_at(self.cues.len(), line, kind);
    }

    fn fault_at(&mut self, cue: usize, line: usize, kind: FaultKind) {
        self.fault_count += 1;
        if self.faults.len() < MOST_FAULTS {
            self.faults.push(Fault { cue, line, kind });
        }
    }

    /// What is wrong between the times of cues, which are read all the same.
    fn check_order(&mut self) {
        for number in 0..self.cues.len() {
            let cue = &self.cues[number];
            let (line, backwards) = (cue.line, cue.end_ms <= cue.start_ms);
            let before = number.checked_sub(1).map(|n| &self.cues[n]);
            let disordered = before.is_some_and(|b| cue.start_ms < b.start_ms);
            let overlap =
                self.format == Format::SubRip && before.is_some_and(|b| cue.start_ms < b.end_ms);
            if backwards {
                self.fault_at(number, line, FaultKind::Backwards);
            }
            if disordered {
                self.fault_at(number, line, FaultKind::Disordered);
            } else if overlap {
                self.fault_at(number, line, FaultKind::Overlap);
            }
        }
    }
}

/// Reads a caption file.
///
/// # Errors
/// A file that is too large, in another encoding, not WebVTT, or SubRip without a single time.
pub fn read(bytes: &[u8], format: Format) -> Result<Captions, CaptionError> {
    if bytes.len() > LARGEST {
        return Err(CaptionError::TooLarge {
            bytes: bytes.len(),
            largest: LARGEST,
        });
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(CaptionError::Utf16);
    }
    let (text, encoding) = match (std::str::from_utf8(bytes), format) {
        (Ok(text), _) => (text.to_string(), Encoding::Utf8),
        (Err(e), Format::WebVtt) => {
            let before = String::from_utf8_lossy(&bytes[..e.valid_up_to()]);
            let ended = before.ends_with(['\n', '\r']) || before.is_empty();
            let line = lines::lines(&before).len() + usize::from(ended);
            return Err(CaptionError::NotUtf8 { line });
        }
        (Err(_), Format::SubRip) => {
            let (text, _) = encoding_rs::WINDOWS_1252.decode_without_bom_handling(bytes);
            (text.into_owned(), Encoding::Windows1252)
        }
    };
    let mut captions = Captions {
        format,
        encoding,
        text,
        cues: Vec::new(),
        words: Vec::new(),
        regions: Vec::new(),
        faults: Vec::new(),
        fault_count: 0,
    };
    match format {
        Format::WebVtt => webvtt::read(&mut captions)?,
        Format::SubRip => subrip::read(&mut captions)?,
    }
    captions.check_order();
    for number in 0..captions.cues.len() {
        let first = captions.words.len();
        let payload = captions.cues[number].payload.clone();
        let words = crate::payload::words(&captions.text, payload, format, number);
        captions.words.extend(words);
        captions.cues[number].words = first..captions.words.len();
    }
    Ok(captions)
}
