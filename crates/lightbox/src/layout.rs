//! What lies where.
//!
//! In: chance. Out: things in mm about the middle of a desk. Not here: cameras, light.
//! Source: card after ISO/IEC 7810 (ID-1: 85.47 to 85.72 mm by 53.92 to 54.03 mm, corners 3.18 ± 0.30 mm, 0.76 ±
//! 0.08 mm thick, as of unused cards); the other sizes are common practice.

use crate::Chance;
use crate::dress;
use crate::paint::Paint;
use crate::solid::{Leads, Solid};
use crate::truth::{Kind, Ruler, Thing};

/// Everything on a desk.
pub(crate) struct Layout {
    pub(crate) desk: Paint,
    pub(crate) card: Thing,
    pub(crate) ruler: Ruler,
    pub(crate) things: Vec<Thing>,
    pub(crate) equal_grey: bool,
}

/// Share of desks with a card of equal grey.
const EQUAL_GREY: f64 = 0.15;

pub(crate) fn layout(chance: &mut Chance) -> Layout {
    let equal_grey = chance.happens(EQUAL_GREY);
    let mut desk = dress::desk(chance);
    let mut card_paint = dress::card(chance);
    if equal_grey {
        let [red, green] = dress::equal_grey(chance);
        card_paint = dress::printed(red.ground, 0.01);
        desk = green;
    } else {
        card_paint = repainted(card_paint, desk.ground);
    }
    let flip = [chance.one_of([-1.0, 1.0]), chance.one_of([-1.0, 1.0])];
    let card = card(chance, flip, card_paint);
    let ruler = ruler(chance, flip, desk.ground);
    let mut things = vec![
        strip(chance, flip, desk.ground),
        cell(chance, flip, desk.ground),
    ];
    match chance.one_of([0, 1, 1, 2]) {
        0 => things.push(pouch(chance, flip, desk.ground)),
        1 => things.extend(populated_board(chance, flip, desk.ground)),
        _ => things.push(case(chance, flip, desk.ground)),
    }
    Layout {
        desk,
        card,
        ruler,
        things,
        equal_grey,
    }
}

fn repainted(paint: Paint, ground: [f64; 3]) -> Paint {
    Paint {
        ground: dress::apart(paint.ground, ground),
        ..paint
    }
}

/// Where a thing may lie: its middle, how far from it, and how far it may be turned (degrees).
struct Spot {
    at: [f64; 2],
    off: f64,
    turn: f64,
}

fn solid(chance: &mut Chance, flip: [f64; 2], spot: &Spot, half: [f64; 2], paint: Paint) -> Solid {
    let at = [0, 1].map(|i: usize| flip[i] * spot.at[i] + chance.within(-spot.off, spot.off));
    let turn = chance.within(-spot.turn, spot.turn).to_radians();
    // Walls are a little darker than the top: they are cut or moulded.
    let wall = paint.ground.map(|c| c * chance.within(0.75, 1.0));
    Solid {
        at,
        along: [turn.cos(), turn.sin()],
        half,
        corner: 0.0,
        fillet: 0.0,
        foot: 0.0,
        top: 1.0,
        leads: None,
        paint,
        wall,
    }
}

fn card(chance: &mut Chance, flip: [f64; 2], paint: Paint) -> Thing {
    let half = [
        chance.within(85.47, 85.72) / 2.0,
        chance.within(53.92, 54.03) / 2.0,
    ];
    let spot = Spot {
        at: [-20.0, 18.0],
        off: 1.2,
        turn: 2.5,
    };
    let solid = Solid {
        corner: chance.within(2.88, 3.48),
        fillet: chance.within(0.02, 0.1),
        top: chance.within(0.68, 0.84),
        ..solid(chance, flip, &spot, half, paint)
    };
    Thing {
        kind: Kind::Card,
        solid,
    }
}

fn ruler(chance: &mut Chance, flip: [f64; 2], ground: [f64; 3]) -> Ruler {
    let half = [35.5, chance.within(6.5, 8.5)];
    let (first, count) = (-34.0, 68);
    let paint = dress::ruler(chance, first, count, half[1]);
    let spot = Spot {
        at: [-24.0, -29.0],
        off: 1.5,
        turn: 4.0,
    };
    let solid = Solid {
        corner: 0.3,
        fillet: 0.03,
        top: chance.within(0.4, 1.0),
        ..solid(chance, flip, &spot, half, repainted(paint, ground))
    };
    Ruler {
        thing: Thing {
            kind: Kind::Ruler,
            solid,
        },
        first,
        count,
    }
}

fn strip(chance: &mut Chance, flip: [f64; 2], ground: [f64; 3]) -> Thing {
    let half = [chance.within(7.0, 14.0), chance.within(2.5, 4.0)];
    let spot = Spot {
        at: [45.0, -13.0],
        off: 1.0,
        turn: 9.0,
    };
    let paint = repainted(dress::body(chance), ground);
    let solid = Solid {
        corner: 0.2,
        fillet: 0.03,
        top: chance.within(0.5, 1.0),
        ..solid(chance, flip, &spot, half, paint)
    };
    Thing {
        kind: Kind::Strip,
        solid,
    }
}

fn cell(chance: &mut Chance, flip: [f64; 2], ground: [f64; 3]) -> Thing {
    let radius = chance.within(3.0, 8.0);
    let spot = Spot {
        at: [36.0, -33.0],
        off: 1.5,
        turn: 0.0,
    };
    let paint = repainted(dress::body(chance), ground);
    let solid = Solid {
        corner: radius,
        fillet: chance.within(0.05, 0.3),
        top: chance.within(0.8, 8.0),
        ..solid(chance, flip, &spot, [radius; 2], paint)
    };
    Thing {
        kind: Kind::Cell,
        solid,
    }
}

/// The place beside the card for the largest body.
const BESIDE: Spot = Spot {
    at: [46.0, 20.0],
    off: 1.5,
    turn: 5.0,
};

fn pouch(chance: &mut Chance, flip: [f64; 2], ground: [f64; 3]) -> Thing {
    let half = [chance.within(7.0, 14.0), chance.within(12.0, 19.0)];
    let top = chance.within(2.0, 6.0);
    let paint = repainted(dress::body(chance), ground);
    let solid = Solid {
        corner: chance.within(1.0, 4.0),
        fillet: chance.within(0.3, 0.9),
        top,
        ..solid(chance, flip, &BESIDE, half, paint)
    };
    Thing {
        kind: Kind::Pouch,
        solid,
    }
}

fn case(chance: &mut Chance, flip: [f64; 2], ground: [f64; 3]) -> Thing {
    let half = [chance.within(5.0, 14.0), chance.within(5.0, 18.0)];
    let paint = repainted(dress::body(chance), ground);
    let solid = Solid {
        corner: chance.within(0.1, 0.8),
        fillet: 0.05,
        top: chance.within(1.0, 8.0),
        ..solid(chance, flip, &BESIDE, half, paint)
    };
    Thing {
        kind: Kind::Case,
        solid,
    }
}

fn populated_board(chance: &mut Chance, flip: [f64; 2], ground: [f64; 3]) -> [Thing; 2] {
    let half = [chance.within(10.0, 14.0), chance.within(11.0, 18.0)];
    let paint = repainted(dress::board(chance, half), ground);
    let board = Solid {
        corner: chance.within(0.0, 2.0),
        fillet: 0.03,
        top: chance.within(0.8, 1.6),
        ..solid(chance, flip, &BESIDE, half, paint)
    };
    let leaded = chance.happens(0.5);
    let side = if leaded {
        chance.within(2.5, 5.5)
    } else {
        chance.within(1.5, 4.0)
    };
    let chip_half = [side, side * chance.within(0.7, 1.0)];
    let paint = repainted(dress::chip(chance, chip_half), board.paint.ground);
    let height = if leaded {
        chance.within(1.0, 1.6)
    } else {
        chance.within(0.4, 1.0)
    };
    let leads = leaded.then(|| Leads {
        pitch: 0.8,
        width: 0.35,
        reach: 1.0,
        height: 0.45 * height,
        beside: chip_half.map(|h| ((h - 0.7) / 0.8).floor()),
    });
    let own =
        [0, 1].map(|i: usize| chance.within(-1.0, 1.0) * (half[i] - chip_half[i] - 3.0).max(0.0));
    let [x, y, _] = board.place(own, 0.0);
    let chip = Solid {
        at: [x, y],
        along: board.along,
        corner: 0.05,
        fillet: 0.03,
        foot: board.top,
        top: board.top + height,
        leads,
        ..solid(chance, flip, &BESIDE, chip_half, paint)
    };
    [
        Thing {
            kind: Kind::Board,
            solid: board,
        },
        Thing {
            kind: if leaded { Kind::LeadedChip } else { Kind::Chip },
            solid: chip,
        },
    ]
}
