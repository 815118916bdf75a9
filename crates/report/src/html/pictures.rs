//! Photographs in the page: as many as it may carry inside, the others from beside it.
//!
//! In: pictures in the order of the page. Out: markup. Not here: scaling them.

use super::numbers::Numbers;
use crate::words::clean;
use crate::{Callouts, Picture, Shown};
use base64::{Engine as _, engine::general_purpose::STANDARD as BASE64};
use maud::{Markup, PreEscaped, html};

/// Most bytes of pictures inside one page; the first in its order are.
const MOST_BYTES: usize = 2_000_000;

/// What the page carries inside so far.
#[derive(Debug, Default)]
pub(super) struct Embedded {
    bytes: usize,
}

impl Embedded {
    /// Returns the picture as an address that holds it; `None` where the page carries enough.
    pub(super) fn address(&mut self, picture: &Picture) -> Option<String> {
        let bytes = self.bytes + picture.bytes.len();
        if bytes > MOST_BYTES {
            return None;
        }
        self.bytes = bytes;
        Some(format!(
            "data:{};base64,{}",
            picture.media_type,
            BASE64.encode(&picture.bytes)
        ))
    }
}

/// Writes a photograph that leads to its full size, with its numbers where it has some.
pub(super) fn photograph(
    caption: &str,
    shown: &Shown,
    callouts: Option<&Callouts>,
    numbers: &mut Numbers,
) -> Markup {
    let inside = numbers.embedded.address(&shown.preview);
    let loading = inside.is_none().then_some("lazy");
    let source = inside.unwrap_or_else(|| shown.path.clone());
    let [width, height] = shown.preview.size;
    let picture = |style: Option<String>| {
        html! {
            a href=(shown.path) style=[style] {
                img src=(source) alt=(clean(caption)) width=(width) height=(height) loading=[loading];
            }
        }
    };
    html! {
        @match callouts {
            Some(callouts) => {
                @let [left, top, width, height] = callouts.photo.map(|v| 100.0 * v);
                div class="numbered" {
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
