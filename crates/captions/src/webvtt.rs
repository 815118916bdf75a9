//! Blocks of a WebVTT file.
//!
//! In: its text. Out: cues and regions, as a reader of the standard finds them. Not here: payloads.
//! Source: WebVTT, "parser algorithm" and "collect a WebVTT block".

use crate::cue_settings::{Region, Settings};
use crate::error::{CaptionError, FaultKind};
use crate::file::{Captions, Cue};
use crate::{lines, time};
use std::ops::Range;

pub(crate) fn read(captions: &mut Captions) -> Result<(), CaptionError> {
    let text = captions.text.clone();
    let body = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let rest = body.strip_prefix("WEBVTT").ok_or(CaptionError::NotWebVtt)?;
    if !(rest.is_empty() || rest.starts_with([' ', '\t', '\n', '\r'])) {
        return Err(CaptionError::NotWebVtt);
    }
    let lines = lines::lines(&text);
    // The header ends at an empty line, or where a cue begins without one.
    let mut at = 1;
    while at < lines.len() && !lines[at].is_empty() && !text[lines[at].clone()].contains("-->") {
        at += 1;
    }
    while at < lines.len() {
        if lines[at].is_empty() {
            at += 1;
        } else {
            at = block(captions, &text, &lines, at);
        }
    }
    Ok(())
}

/// Reads the block that begins at a line; returns the line after it.
fn block(captions: &mut Captions, text: &str, lines: &[Range<usize>], first: usize) -> usize {
    let has_arrow = |at: usize| text[lines[at].clone()].contains("-->");
    let end_of_text = |mut at: usize| {
        while at < lines.len() && !lines[at].is_empty() && !has_arrow(at) {
            at += 1;
        }
        at
    };
    let timed = if has_arrow(first) {
        first
    } else if first + 1 < lines.len() && has_arrow(first + 1) {
        first + 1
    } else {
        let end = end_of_text(first);
        plain_block(captions, text, lines, first..end);
        return end;
    };
    let end = end_of_text(timed + 1);
    let Some((start_ms, end_ms, rest)) = time::webvtt_times(&text[lines[timed].clone()]) else {
        captions.fault(timed + 1, FaultKind::Times);
        return end;
    };
    let identifier = if timed > first {
        &text[lines[first].clone()]
    } else {
        ""
    };
    let payload = match end > timed + 1 {
        true => lines[timed + 1].start..lines[end - 1].end,
        false => lines[timed].end..lines[timed].end,
    };
    captions.cues.push(Cue {
        line: timed + 1,
        identifier: identifier.to_string(),
        start_ms,
        end_ms,
        settings: Settings::read(rest),
        payload,
        words: 0..0,
    });
    end
}

/// A block without times: a comment, a style, a region, or text that is dropped.
fn plain_block(captions: &mut Captions, text: &str, lines: &[Range<usize>], at: Range<usize>) {
    let head = &text[lines[at.start].clone()];
    let is = |name: &str| {
        head.strip_prefix(name)
            .is_some_and(|rest| rest.trim_matches([' ', '\t', '\u{c}']).is_empty())
    };
    let comment = head
        .strip_prefix("NOTE")
        .is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t']));
    if comment || is("STYLE") && captions.cues.is_empty() {
        return;
    }
    if is("REGION") && captions.cues.is_empty() {
        let settings = &text[lines[at.start].end..lines[at.end - 1].end];
        captions.regions.extend(Region::read(settings));
        return;
    }
    captions.fault(at.start + 1, FaultKind::Untimed);
}
