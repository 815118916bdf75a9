//! Photographs of the second source, which shares no code with the first: things on a desk, a card and a ruler.
//!
//! In: a seed. Out: the photograph, with the card marked as the thing of known size. The ruler is no part. A board
//! may be offered, and need not be: what lies on it must.

use crate::boards::{Board, Part};
use imaging::pixels::{Limits, decode};
use lightbox::{Kind, ShotOptions, Thing, shoot};

/// Returns the photograph of a seed, `width` pixels wide.
pub(crate) fn desk(seed: u64, width: u32) -> Board {
    let options = ShotOptions {
        size: [width, width * 3 / 4],
        ..ShotOptions::default()
    };
    let shot = shoot(seed, &options);
    let truth = &shot.truth;
    let seen = |thing: &Thing| {
        let top = thing.solid.top;
        let places = if thing.is_round() {
            thing.rim_mm(top, 32)
        } else {
            thing.corners_mm(top).to_vec()
        };
        clockwise(truth.px(&places))
    };
    let parts = truth.things.iter().map(|thing| {
        let [length, width] = thing.sides_mm();
        Part {
            outline: seen(thing),
            short_mm: if thing.kind == Kind::Board {
                0.0
            } else {
                length.min(width)
            },
            name: match thing.kind {
                Kind::Card | Kind::Ruler => "reference",
                Kind::Strip => "strip",
                Kind::Board => "board",
                Kind::Pouch => "pouch",
                Kind::Case => "case",
                Kind::Chip => "chip",
                Kind::LeadedChip => "leaded chip",
                Kind::Cell => "cell",
            },
        }
    });
    let card = &truth.card.solid;
    Board {
        picture: decode(&shot.file, &Limits::default()).unwrap().picture,
        px_per_mm: 1.0 / truth.mm_per_px([card.at[0], card.at[1], card.top]),
        parts: parts.collect(),
        known: vec![seen(&truth.card)],
    }
}

fn clockwise(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    let next = points.iter().cycle().skip(1);
    let pairs = points.iter().zip(next);
    let twice: f64 = pairs.map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum();
    if twice < 0.0 {
        points.reverse();
    }
    points
}
