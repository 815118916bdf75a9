//! The sound inside a WAV file, found leniently.
//!
//! In: the bytes of a RIFF or RF64 file. Out: the same sound behind a head of 12 bytes, `fmt ` and `data`, with the
//! sizes that it has. Recorders that stop without notice leave sizes of zero, streams write the largest number,
//! programs forget the padding of odd chunks; none of that hides the samples.
//! Not here: decoding (`decode`).
//! Source: Microsoft, *Multimedia Programming Interface* (1991), RIFF and WAVE; EBU Tech 3306, RF64.

use crate::error::{Fault, Note, SoundError};

/// What was found beside the sound.
#[derive(Debug, Default)]
pub(crate) struct Found {
    pub(crate) notes: Vec<Note>,
    /// Samples of each channel as the file states them, where it does.
    pub(crate) stated: Option<u64>,
    /// Channels as the head states them.
    pub(crate) channels: u16,
}

/// Says whether these are the first bytes of a WAV file.
pub(crate) fn is_wave(bytes: &[u8]) -> bool {
    matches!(bytes.get(..4), Some(b"RIFF" | b"RF64" | b"BW64")) && bytes.get(8..12) == Some(b"WAVE")
}

/// Puts the sound behind a plain head.
pub(crate) fn plain(bytes: &mut Vec<u8>, file: &str) -> Result<Found, SoundError> {
    let wrong =
        |what: &str, remedy: &str| SoundError::new(Fault::Head, file, what.to_owned(), remedy);
    let mut found = Found::default();
    let mut format: Option<Vec<u8>> = None;
    let mut long: Option<u64> = None;
    let mut at = 12;
    let data = loop {
        let Some(head) = bytes.get(at..at + 8) else {
            return Err(match format {
                None => wrong(
                    "the file ends before it says how its samples are written",
                    "copy the file from the recorder again",
                ),
                Some(_) => SoundError::new(
                    Fault::Empty,
                    file,
                    "there is a head and no sound behind it",
                    "copy the file from the recorder again",
                ),
            });
        };
        let size = number32(&head[4..]) as usize;
        let begin = at + 8;
        match &head[..4] {
            b"data" => break (begin, size),
            b"fmt " => {
                format = bytes
                    .get(begin..begin.saturating_add(size))
                    .map(<[u8]>::to_vec)
            }
            b"ds64" => long = bytes.get(begin + 8..begin + 16).map(number64),
            b"fact" => {
                let stated = bytes.get(begin..begin + 4).map(number32);
                found.stated = stated.filter(|n| *n > 0 && *n < u32::MAX).map(u64::from);
            }
            _ => {}
        }
        at = next_chunk(bytes, begin.saturating_add(size));
    };
    let Some(format) = format.filter(|format| format.len() >= 16) else {
        return Err(wrong(
            "the file does not say how its samples are written",
            "copy the file from the recorder again",
        ));
    };
    found.channels = number16(&format[2..]);
    if found.channels == 0 {
        return Err(wrong(
            "the head states no channels",
            "export the recording again",
        ));
    }
    if number32(&format[4..]) == 0 {
        return Err(wrong(
            "the head states a rate of 0 samples a second",
            "export the recording again",
        ));
    }
    let (begin, stated) = data;
    let there = bytes.len() - begin;
    let stated = match (stated, long) {
        (0xffff_ffff, Some(long)) => usize::try_from(long).unwrap_or(usize::MAX),
        (0xffff_ffff, None) => there,
        (stated, _) => stated,
    };
    let length = if stated == 0 && there > 0 {
        found.notes.push(Note::new(
            "the head states no sound, and there is some behind it: all of it is taken, as where a recorder stopped without notice",
            "listen to its end",
        ));
        there
    } else if stated > there {
        found.notes.push(Note::new(
            format!("the head states {stated} bytes of sound and there are {there}: the file was cut off"),
            "copy the file from the recorder again",
        ));
        there
    } else {
        stated
    };
    if length == 0 {
        return Err(SoundError::new(
            Fault::Empty,
            file,
            "there is a head and no sound behind it",
            "copy the file from the recorder again",
        ));
    }
    bytes.truncate(begin + length);
    bytes.splice(..begin, head(&format, length));
    Ok(found)
}

/// Returns where the next chunk begins: behind the padding of an odd one, or without it where that was forgotten.
fn next_chunk(bytes: &[u8], end: usize) -> usize {
    if end.is_multiple_of(2) {
        return end;
    }
    let name = |at: usize| {
        bytes.get(at..at.saturating_add(4)).is_some_and(|name| {
            name.iter()
                .all(|c| c.is_ascii_alphanumeric() || *c == b' ' || *c == b'_')
        })
    };
    if name(end.saturating_add(1)) || !name(end) {
        end.saturating_add(1)
    } else {
        end
    }
}

fn head(format: &[u8], length: usize) -> Vec<u8> {
    let size32 = |size: usize| u32::try_from(size).unwrap_or(u32::MAX).to_le_bytes();
    let padding = format.len() % 2;
    let mut out = Vec::with_capacity(28 + format.len());
    out.extend(b"RIFF");
    out.extend(size32(4 + 8 + format.len() + padding + 8 + length));
    out.extend(b"WAVEfmt ");
    out.extend(size32(format.len()));
    out.extend(format);
    out.extend(std::iter::repeat_n(0, padding));
    out.extend(b"data");
    out.extend(size32(length));
    out
}

fn number16(bytes: &[u8]) -> u16 {
    u16::from_le_bytes([bytes[0], bytes[1]])
}

fn number32(bytes: &[u8]) -> u32 {
    u32::from_le_bytes([bytes[0], bytes[1], bytes[2], bytes[3]])
}

fn number64(bytes: &[u8]) -> u64 {
    u64::from(number32(bytes)) | u64::from(number32(&bytes[4..])) << 32
}
