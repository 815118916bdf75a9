//! What things look like.
//!
//! In: chance. Out: surfaces. Not here: shapes and places. Source: common practice; the colours of equal grey by the
//! weights of ITU-R BT.601 after the tone curve.

use crate::Chance;
use crate::develop::tone;
use crate::paint::{Colour, Grain, Paint, Print, Ticks};

/// A desk of wood, a cutting mat, paper or something speckled.
pub(crate) fn desk(chance: &mut Chance) -> Paint {
    let dark = chance.within(0.6, 1.2);
    match chance.one_of([0, 1, 2, 3]) {
        0 => Paint {
            grain: Grain::Wood {
                apart: chance.within(3.0, 9.0),
                strength: chance.within(0.05, 0.2),
            },
            ..Paint::plain([0.36, 0.22, 0.12].map(|c| c * dark), 1.0, 0.0)
        },
        1 => {
            let ground =
                chance.one_of([[0.05, 0.12, 0.09], [0.06, 0.07, 0.10], [0.10, 0.10, 0.11]]);
            Paint {
                grain: Grain::Lines {
                    apart: 10.0,
                    colour: ground.map(|c| 2.2 * c),
                },
                ..Paint::plain(ground.map(|c| c * dark), 1.0, 0.0)
            }
        }
        2 => Paint::plain(
            [0.62, 0.62, 0.60].map(|c| c * (0.7 + 0.3 * dark)),
            0.6,
            0.02,
        ),
        _ => {
            let grey = chance.within(0.08, 0.45);
            Paint::plain(
                [grey, 0.97 * grey, 0.92 * grey],
                chance.within(0.4, 1.5),
                0.1,
            )
        }
    }
}

/// Red, and green of the same grey level.
pub(crate) fn equal_grey(chance: &mut Chance) -> [Paint; 2] {
    let red = [chance.within(0.35, 0.6), 0.03, 0.04];
    let grey = |c: Colour| {
        let [r, g, b] = c.map(|v| tone(v, 0.0));
        0.299 * r + 0.587 * g + 0.114 * b
    };
    let green = |share: f64| [0.02 * share, 0.30 * share, 0.08 * share];
    let (mut low, mut high) = (0.0, 3.0);
    for _ in 0..40 {
        let share = f64::midpoint(low, high);
        if grey(green(share)) < grey(red) {
            low = share;
        } else {
            high = share;
        }
    }
    [
        Paint::plain(red, 1.0, 0.01),
        Paint::plain(green(low), 0.8, 0.02),
    ]
}

/// Makes a colour differ from a ground in brightness, at least by half.
pub(crate) fn apart(colour: Colour, ground: Colour) -> Colour {
    let bright = |c: Colour| 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2];
    let share = bright(colour) / bright(ground);
    if !(0.67..=1.5).contains(&share) {
        colour
    } else if bright(ground) > 0.25 {
        colour.map(|c| c * 0.5 / share)
    } else {
        colour.map(|c| (c * 2.0 / share).min(0.85))
    }
}

/// A printed card.
pub(crate) fn card(chance: &mut Chance) -> Paint {
    let ground = chance.one_of([
        [0.72, 0.72, 0.70],
        [0.10, 0.18, 0.42],
        [0.55, 0.50, 0.38],
        [0.04, 0.04, 0.05],
        [0.30, 0.44, 0.50],
    ]);
    printed(ground, 0.01)
}

/// Prints on a card: a contact plate, a stripe and lines of characters.
pub(crate) fn printed(ground: Colour, grain: f64) -> Paint {
    let ink = if ground[1] > 0.3 { 0.05 } else { 0.7 };
    let mut card = Paint::plain(ground, 1.0, grain);
    card.prints.push(Print {
        at: [-26.0, 3.0],
        half: [6.0, 5.0],
        colour: [0.60, 0.50, 0.25],
    });
    for n in 0..18 {
        let width = 1.0 + 0.4 * f64::from(n % 3);
        card.prints.push(Print {
            at: [-30.0 + 3.4 * f64::from(n), -9.0],
            half: [width / 2.0, 1.6],
            colour: [ink; 3],
        });
    }
    card.prints.push(Print {
        at: [14.0, 12.0],
        half: [18.0, 4.0],
        colour: ground.map(|c| 0.55 * c + 0.2),
    });
    card
}

/// Steel, or white plastic, with marks.
pub(crate) fn ruler(chance: &mut Chance, first: f64, count: u32, edge: f64) -> Paint {
    let (ground, colour) = chance.one_of([
        ([0.55, 0.55, 0.55], [0.05, 0.05, 0.05]),
        ([0.75, 0.74, 0.70], [0.04, 0.04, 0.06]),
    ]);
    Paint {
        ticks: Some(Ticks {
            first,
            count,
            edge,
            width: chance.within(0.15, 0.3),
            colour,
        }),
        ..Paint::plain(ground, 0.5, 0.02)
    }
}

/// The top of a board: tracks and pads.
pub(crate) fn board(chance: &mut Chance, half: [f64; 2]) -> Paint {
    let ground = chance.one_of([
        [0.03, 0.15, 0.06],
        [0.03, 0.05, 0.16],
        [0.03, 0.03, 0.03],
        [0.5, 0.5, 0.5],
    ]);
    let mut paint = Paint::plain(ground, 0.8, 0.05);
    for _ in 0..24 {
        let track = chance.happens(0.6);
        let at = [0, 1].map(|i: usize| chance.within(1.2 - half[i], half[i] - 1.2));
        let size: [f64; 2] = if track {
            chance.one_of([[2.5, 0.1], [0.1, 2.5]])
        } else {
            [0.5, 0.3]
        };
        // Nothing printed reaches over the rim.
        let size = [0, 1].map(|i: usize| size[i].min(half[i] - at[i].abs() - 0.4));
        paint.prints.push(Print {
            at,
            half: size,
            colour: if track {
                ground.map(|c| 1.5 * c)
            } else {
                [0.55, 0.52, 0.45]
            },
        });
    }
    paint
}

/// A moulded part with a row of characters and a dot.
pub(crate) fn chip(chance: &mut Chance, half: [f64; 2]) -> Paint {
    let grey = chance.within(0.02, 0.06);
    let mut paint = Paint::plain([grey; 3], 0.3, 0.08);
    let ink = [chance.within(0.12, 0.4); 3];
    for n in 0..6 {
        paint.prints.push(Print {
            at: [half[0] * (-0.5 + 0.2 * f64::from(n)), 0.1 * half[1]],
            half: [half[0] * 0.06, half[1] * 0.14],
            colour: ink,
        });
    }
    paint.prints.push(Print {
        at: [-0.68 * half[0], -0.68 * half[1]],
        half: [0.07 * half[0]; 2],
        colour: ink,
    });
    paint
}

/// Foil, metal, plastic: one colour with faint spots.
pub(crate) fn body(chance: &mut Chance) -> Paint {
    let ground = chance.one_of([
        [0.60, 0.60, 0.62],
        [0.05, 0.05, 0.05],
        [0.35, 0.33, 0.30],
        [0.10, 0.20, 0.40],
        [0.70, 0.68, 0.60],
    ]);
    Paint::plain(ground, chance.within(0.5, 2.0), chance.within(0.01, 0.05))
}
