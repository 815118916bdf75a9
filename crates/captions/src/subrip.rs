//! Blocks of a SubRip file.
//!
//! In: its text. Out: cues. Not here: payloads. Source: no standard exists; what readers expect (number, times, lines
//! of text, empty line; coordinates may follow the times).

use crate::cue_settings::Settings;
use crate::error::{CaptionError, FaultKind};
use crate::file::{Captions, Cue};
use crate::{lines, time};

pub(crate) fn read(captions: &mut Captions) -> Result<(), CaptionError> {
    let text = captions.text.clone();
    let lines = lines::lines(&text);
    let line = |at: usize| lines.get(at).map_or("", |l| &text[l.clone()]);
    let empty = |at: usize| line(at).trim_matches([' ', '\t']).is_empty();
    let number = |at: usize| {
        let digits = line(at).trim().trim_start_matches('\u{feff}');
        !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit())
    };
    let arrow = |at: usize| line(at).contains("-->");
    let ends =
        |at: usize| at >= lines.len() || empty(at) || arrow(at) || number(at) && arrow(at + 1);
    let mut at = 0;
    while at < lines.len() {
        let numbered = number(at) && arrow(at + 1);
        let timed = at + usize::from(numbered);
        if !arrow(timed) {
            if !empty(at) {
                let first = at;
                while !ends(at) {
                    at += 1;
                }
                captions.fault(first + 1, FaultKind::Untimed);
            } else {
                at += 1;
            }
            continue;
        }
        let mut end = timed + 1;
        while !ends(end) {
            end += 1;
        }
        match time::subrip_times(line(timed).trim_start_matches('\u{feff}')) {
            None => captions.fault(timed + 1, FaultKind::Times),
            Some((start_ms, end_ms, _)) => captions.cues.push(Cue {
                line: timed + 1,
                identifier: match numbered {
                    true => line(at).trim().trim_start_matches('\u{feff}').to_string(),
                    false => String::new(),
                },
                start_ms,
                end_ms,
                settings: Settings::default(),
                payload: match end > timed + 1 {
                    true => lines[timed + 1].start..lines[end - 1].end,
                    false => lines[timed].end..lines[timed].end,
                },
                words: 0..0,
            }),
        }
        at = end;
    }
    if captions.cues.is_empty() {
        return Err(CaptionError::NoTimes);
    }
    Ok(())
}
