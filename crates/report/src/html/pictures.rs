//! Photographs in the page: as many as it may carry inside, the others from beside it.
//!
//! In: pictures in the order of the page. Out: markup. Not here: scaling them.

use super::Pen;
use super::head::address;
use crate::words::typeset;
use crate::{Block, Callouts, Crop, Document, Picture, Shown};
use maud::{Markup, PreEscaped, html};

/// Most bytes of pictures inside one page. Crops are, which lie nowhere else; of the photographs as many as still
/// find room, in the order of the page.
const MOST_BYTES: usize = 2_000_000;

/// Width of a column of the page, rem: as `.numbered` has it in the style sheet.
const COLUMN_REM: f64 = 46.0;
/// Share of a column below which two pictures stand side by side.
const PAIRED: f64 = 0.6;

/// What the page carries inside so far.
#[derive(Debug, Default)]
pub(super) struct Embedded {
    /// Room taken, or kept for crops to come.
    bytes: usize,
    /// Room that crops have taken of it.
    crops: usize,
}

impl Embedded {
    /// Keeps room for the crops of a document.
    pub(super) fn beside_crops(document: &Document) -> Self {
        let blocks = document.sections.iter().flat_map(|s| s.all());
        let crops = blocks.flat_map(|block| -> Vec<&Crop> {
            match block {
                Block::Chips(chips) => chips.cards.iter().filter_map(|c| c.crop.as_ref()).collect(),
                Block::Strip(strip) => strip
                    .panels
                    .iter()
                    .filter_map(|p| p.picture.as_ref())
                    .collect(),
                _ => Vec::new(),
            }
        });
        let wanted: usize = crops.map(|crop| crop.picture.bytes.len()).sum();
        Self {
            bytes: wanted.min(MOST_BYTES),
            crops: 0,
        }
    }

    /// Returns a crop as an address that holds it, in the room kept for them; `None` where they need more than the
    /// page may carry.
    pub(super) fn crop(&mut self, picture: &Picture) -> Option<String> {
        let bytes = self.crops + picture.bytes.len();
        if bytes > MOST_BYTES {
            return None;
        }
        self.crops = bytes;
        Some(address(picture))
    }

    /// Returns the picture as an address that holds it; `None` where the page carries enough.
    pub(super) fn address(&mut self, picture: &Picture) -> Option<String> {
        let bytes = self.bytes + picture.bytes.len();
        if bytes > MOST_BYTES {
            return None;
        }
        self.bytes = bytes;
        Some(address(picture))
    }
}

/// Writes a photograph that leads to its full size, with its numbers where it has some.
pub(super) fn photograph(
    caption: &str,
    shown: &Shown,
    callouts: Option<&Callouts>,
    pen: &mut Pen,
) -> Markup {
    let inside = pen.embedded.address(&shown.preview);
    let loading = inside.is_none().then_some("lazy");
    let source = inside.unwrap_or_else(|| shown.path.clone());
    let [width, height] = shown.preview.size;
    let picture = |style: Option<String>| {
        html! {
            a href=(shown.path) style=[style] {
                img src=(source) alt=(typeset(caption)) width=(width) height=(height) loading=[loading];
            }
        }
    };
    html! {
        @match callouts {
            Some(callouts) => {
                @let [left, top, width, height] = callouts.photo.map(|v| 100.0 * v);
                @let style = (callouts.share < PAIRED)
                    .then(|| format!("max-width:{:.1}rem", COLUMN_REM * callouts.share));
                div class={ "numbered" @if style.is_some() { " half" } } style=[style] {
                    (picture(Some(format!(
                        "left:{left:.3}%;top:{top:.3}%;width:{width:.3}%;height:{height:.3}%"
                    ))))
                    (PreEscaped(&callouts.svg))
                }
            }
            None => {
                div class="photo" {
                    (picture(None))
                }
            }
        }
    }
}
