//! Captions.
//!
//! In: a caption file. Out: what is said, as blocks; a pause begins a new one. Not here: reading cues (`captions`).

use crate::PastError;
use crate::html;
use crate::text::{Block, Kind, Text};
use captions::Format;

/// A pause after which something else is said, ms.
const PAUSE_MS: u64 = 4000;

pub(crate) fn read(bytes: &[u8], format: Format) -> Result<Text, PastError> {
    let film = captions::read(bytes, format)?;
    let mut read = Text::default();
    let mut block = Block::new(Kind::Prose);
    let mut ended = 0;
    for cue in &film.cues {
        if cue.start_ms > ended + PAUSE_MS {
            read.add(std::mem::replace(&mut block, Block::new(Kind::Prose)));
        }
        ended = cue.end_ms;
        let payload = film.text.get(cue.payload.clone()).unwrap_or_default();
        // Words of a cue are marked up as on a page.
        for (n, said) in payload.lines().enumerate() {
            for piece in html::parsed(said, 1).blocks {
                block.push(&piece.text, cue.line + 1 + n);
                block.blank();
            }
        }
    }
    read.add(block);
    Ok(read)
}
