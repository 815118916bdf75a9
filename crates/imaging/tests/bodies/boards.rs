//! Boards drawn at random, whose parts are known.
//!
//! In: a seed. Out: a photograph and the outlines of its parts. Boards of several colours on several grounds, with
//! packages with and without leads, inductors, connectors, cans, capacitors, buttons, small two-ended parts;
//! between them what is no part: pads, holes, vias, traces, lettering. Seen through a tilted lens, with shadow,
//! noise, sharpening and JPEG.

use imaging::Picture;
use imaging::bodies::Look;
use imaging::pixels::{Encoding, Limits, decode, encode};
use scene::{
    Bar, Body, Colour, Disc, Lettering, Mat, Pins, RegionName, Scene, Shape, SurfaceFinish,
    TerminalSides, View, render,
};

/// A photograph whose parts are known.
pub(crate) struct Board {
    /// Its pixels.
    pub(crate) picture: Picture,
    /// Pixels per millimetre in the middle.
    pub(crate) px_per_mm: f64,
    /// Its parts.
    pub(crate) parts: Vec<Part>,
    /// Outlines of what is marked on it as being of known size.
    pub(crate) known: Vec<Vec<[f64; 2]>>,
}

/// Shorter side of the parts that must be offered, mm.
const COUNTED_MM: f64 = 1.2;

impl Board {
    /// What is asked for on it.
    pub(crate) fn look(&self) -> Look {
        Look {
            px_per_mm: Some(self.px_per_mm),
            known: self.known.clone(),
            ..Look::default()
        }
    }
}

impl Part {
    /// Whether it must be offered.
    pub(crate) fn counts(&self) -> bool {
        self.short_mm >= COUNTED_MM
    }
}

/// A part and where it is seen.
pub(crate) struct Part {
    /// Outline, clockwise, pixels.
    pub(crate) outline: Vec<[f64; 2]>,
    /// Shorter side, mm.
    pub(crate) short_mm: f64,
    /// What it is.
    #[allow(dead_code, reason = "told by the example alone")]
    pub(crate) name: &'static str,
}

/// Random numbers (SplitMix64).
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15).wrapping_add(77))
    }

    pub(crate) fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub(crate) fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    pub(crate) fn below(&mut self, n: usize) -> usize {
        (self.share() * n as f64) as usize
    }

    fn colour(&mut self, of: &[[u8; 3]], by: f64) -> Colour {
        let base = of[self.below(of.len())];
        Colour(base.map(|v| (f64::from(v) + self.within(-by, by)).clamp(0.0, 255.0) as u8))
    }

    fn text(&mut self, longest: usize) -> String {
        const LETTERS: &[u8] = b"ABCDEFGHKLMNPRSTUVXYZ0123456789-";
        (0..2 + self.below(longest - 1))
            .map(|_| LETTERS[self.below(LETTERS.len())] as char)
            .collect()
    }
}

const BOARDS: &[[u8; 3]] = &[
    [28, 92, 62],
    [33, 64, 107],
    [30, 32, 34],
    [120, 30, 34],
    [200, 200, 194],
    [20, 60, 48],
    [60, 110, 50],
    [70, 40, 90],
];
const GROUNDS: &[[u8; 3]] = &[
    [62, 78, 82],
    [90, 82, 74],
    [200, 198, 190],
    [40, 40, 44],
    [150, 120, 86],
];
const GOLD: &[[u8; 3]] = &[
    [201, 168, 92],
    [190, 192, 188],
    [214, 178, 110],
    [176, 140, 80],
];
const SMALL: &[[u8; 3]] = &[[170, 134, 92], [30, 30, 32], [120, 90, 64], [210, 200, 180]];

/// A plain solid.
fn solid(at: [f64; 2], size: [f64; 2], colour: Colour, rise: f64) -> Shape {
    Shape::Body(plain(at, size, colour, rise))
}

fn plain(at: [f64; 2], size: [f64; 2], colour: Colour, rise: f64) -> Body {
    Body {
        named: RegionName::default(),
        at: at.map(|v| v as f32),
        size: size.map(|v| v as f32),
        corner: 0.05,
        look: SurfaceFinish::Matt,
        colour,
        rise: rise as f32,
        stands: 0.0,
        pins: None,
        dot: false,
        lines: Vec::new(),
        letter: 0.5,
        ink: Colour([186, 188, 186]),
        worn: 0.0,
    }
}

struct Layout {
    dice: Dice,
    shapes: Vec<Shape>,
    taken: Vec<[f64; 4]>,
    board: [f64; 4],
    parts: Vec<(Vec<[f64; 2]>, f64, &'static str)>,
    ink: Colour,
}

impl Layout {
    /// Finds a free place of a size with room around it.
    fn place(&mut self, w: f64, h: f64, room: f64) -> Option<[f64; 2]> {
        let [l, t, r, b] = self.board;
        for _ in 0..60 {
            let x = self.dice.within(l + 1.0, (r - w - 1.0).max(l + 1.1));
            let y = self.dice.within(t + 1.0, (b - h - 1.0).max(t + 1.1));
            let own = [x - room, y - room, x + w + room, y + h + room];
            let is_free = own[2] < r
                && own[3] < b
                && self
                    .taken
                    .iter()
                    .all(|o| own[2] < o[0] || o[2] < own[0] || own[3] < o[1] || o[3] < own[1]);
            if is_free {
                self.taken.push(own);
                return Some([x, y]);
            }
        }
        None
    }

    fn known(&mut self, [x, y]: [f64; 2], [w, h]: [f64; 2], name: &'static str) {
        let outline = vec![[x, y], [x + w, y], [x + w, y + h], [x, y + h]];
        self.parts.push((outline, w.min(h), name));
    }

    fn label(&mut self, [x, y]: [f64; 2]) {
        if self.dice.share() < 0.7 {
            let lines = vec![self.dice.text(4)];
            let letter = self.dice.within(0.6, 1.0) as f32;
            let at = [x as f32, (y - 0.5) as f32];
            self.words(at, lines, letter);
        }
    }

    fn words(&mut self, at: [f32; 2], lines: Vec<String>, letter: f32) {
        self.shapes.push(Shape::Lettering(Lettering {
            named: RegionName::default(),
            at,
            lines,
            letter,
            ink: self.ink,
            bold: false,
        }));
    }

    fn body(
        &mut self,
        size: [f64; 2],
        name: &'static str,
        make: impl FnOnce(&mut Dice, Body) -> Body,
        room: f64,
    ) {
        let size = if self.dice.share() < 0.5 {
            size
        } else {
            [size[1], size[0]]
        };
        let Some(at) = self.place(size[0], size[1], room) else {
            return;
        };
        let body = plain(at, size, Colour([38, 40, 42]), 0.8);
        let shape = make(&mut self.dice, body);
        self.shapes.push(Shape::Body(shape));
        self.known(at, size, name);
        self.label(at);
    }

    fn package(&mut self) {
        let side = self.dice.within(1.3, 9.0);
        let ratio = self.dice.within(0.55, 1.0);
        let leads = self.dice.below(3);
        self.body(
            [side, (side * ratio).max(1.25)],
            "package",
            |dice, body| {
                let size = body.size;
                let sides = match leads {
                    0 => TerminalSides::LeftRight,
                    1 => TerminalSides::TopBottom,
                    _ => TerminalSides::Four,
                };
                let along = size[0].min(size[1]);
                let pitch = if along > 3.0 { 0.65 } else { 0.5 };
                let pins = Pins {
                    sides,
                    each: ((along / pitch) as u32).saturating_sub(1).max(1),
                    pitch,
                    out: if leads == 2 {
                        0.06
                    } else {
                        dice.within(0.1, 0.9) as f32
                    },
                };
                let letter = (f64::from(along) * dice.within(0.12, 0.22)) as f32;
                let lines = (0..dice.below(4)).map(|_| dice.text(6)).collect();
                Body {
                    colour: dice.colour(
                        &[[38, 40, 42], [24, 24, 26], [52, 52, 54], [44, 36, 34]],
                        7.0,
                    ),
                    rise: dice.within(0.4, 1.4) as f32,
                    pins: (dice.share() < 0.85).then_some(pins),
                    dot: dice.share() < 0.5,
                    lines,
                    letter,
                    worn: dice.within(0.0, 0.4) as f32,
                    ..body
                }
            },
            1.0,
        );
    }

    fn solid(&mut self) {
        let side = self.dice.within(1.4, 8.0);
        let ratio = self.dice.within(0.4, 1.0);
        let size = [side, (side * ratio).max(1.25)];
        match self.dice.below(5) {
            0 => self.body(
                size,
                "inductor",
                |dice, body| Body {
                    colour: dice.colour(&[[74, 74, 76], [100, 100, 100], [56, 54, 58]], 8.0),
                    corner: dice.within(0.1, 0.6) as f32,
                    rise: dice.within(1.0, 3.0) as f32,
                    lines: vec![dice.text(3)],
                    letter: size[1] as f32 * 0.25,
                    ..body
                },
                0.8,
            ),
            1 => self.body(
                [size[0] + 2.0, size[1] + 1.0],
                "connector",
                |dice, body| Body {
                    colour: dice.colour(
                        &[[238, 234, 222], [40, 36, 34], [220, 210, 190], [46, 52, 60]],
                        8.0,
                    ),
                    rise: dice.within(1.0, 4.0) as f32,
                    pins: Some(Pins {
                        sides: TerminalSides::TopBottom,
                        each: 2 + dice.below(4) as u32,
                        pitch: 0.8,
                        out: dice.within(0.3, 1.0) as f32,
                    }),
                    ..body
                },
                1.2,
            ),
            2 => self.body(
                [size[0] + 1.5, size[1] + 1.0],
                "can",
                |dice, body| Body {
                    colour: dice.colour(&[[184, 187, 188], [204, 204, 200], [160, 162, 164]], 8.0),
                    look: SurfaceFinish::Metal,
                    corner: dice.within(0.1, 0.8) as f32,
                    rise: dice.within(0.5, 3.0) as f32,
                    ..body
                },
                1.0,
            ),
            3 => self.body(
                [size[0].min(5.0), size[1].min(3.0)],
                "capacitor",
                |dice, body| Body {
                    colour: dice.colour(
                        &[[170, 134, 92], [206, 178, 60], [140, 112, 86], [60, 62, 70]],
                        8.0,
                    ),
                    rise: dice.within(0.6, 2.0) as f32,
                    ..body
                },
                0.6,
            ),
            _ => self.body(
                [size[0].min(4.0), size[1].min(3.0)],
                "crystal",
                |dice, body| Body {
                    colour: dice.colour(&[[214, 214, 208], [228, 220, 190], [120, 124, 130]], 8.0),
                    corner: 0.2,
                    rise: 0.7,
                    lines: vec![dice.text(3)],
                    letter: 0.5,
                    ink: Colour([70, 70, 70]),
                    ..body
                },
                0.6,
            ),
        }
    }

    /// What lies loose on a desk: strips, cells, cases.
    fn loose(&mut self) {
        let colours = &[
            [236, 234, 228],
            [40, 42, 46],
            [150, 152, 156],
            [90, 60, 40],
            [60, 90, 140],
            [40, 110, 60],
        ];
        let long = self.dice.within(6.0, 26.0);
        let (ratio, corner) = match self.dice.below(3) {
            0 => (self.dice.within(0.2, 0.4), 0.1),
            1 => (self.dice.within(0.5, 1.0), self.dice.within(1.0, 3.0)),
            _ => (self.dice.within(0.4, 1.0), 0.3),
        };
        self.body(
            [long, long * ratio],
            "loose",
            |dice, body| Body {
                colour: dice.colour(colours, 12.0),
                corner: corner as f32,
                rise: dice.within(0.3, 4.0) as f32,
                ..body
            },
            1.0,
        );
    }

    fn round(&mut self) {
        let d = self.dice.within(2.0, 8.0);
        let Some([x, y]) = self.place(d, d, 0.8) else {
            return;
        };
        let middle = [x + d / 2.0, y + d / 2.0];
        let metal = self.dice.share() < 0.6;
        let disc = Disc {
            named: RegionName::default(),
            middle: middle.map(|v| v as f32),
            diameter: d as f32,
            opening: 0.0,
            colour: self
                .dice
                .colour(&[[180, 182, 186], [40, 42, 48], [60, 70, 110]], 8.0),
            rise: self.dice.within(1.0, 4.0) as f32,
            stands: 0.0,
            turns: 0,
            cross: false,
            metal,
        };
        self.shapes.push(Shape::Disc(disc));
        let outline = (0..24)
            .map(|i| {
                let (s, c) = (f64::from(i) * std::f64::consts::TAU / 24.0).sin_cos();
                [middle[0] + c * d / 2.0, middle[1] + s * d / 2.0]
            })
            .collect();
        self.parts.push((outline, d, "round"));
    }

    /// Two-ended parts, alone and in rows; most are smaller than what counts.
    fn two_ended(&mut self) {
        let (l, w) = [(1.0, 0.5), (1.6, 0.8), (2.0, 1.25), (3.2, 1.6)][self.dice.below(4)];
        let count = 1 + self.dice.below(4);
        let gap = self.dice.within(0.4, 0.9);
        let (pitch, whole) = (w + gap, count as f64 * (w + gap) - gap);
        let Some([x, y]) = self.place(l, whole, 0.6) else {
            return;
        };
        for i in 0..count {
            let y = y + i as f64 * pitch;
            let colour = self.dice.colour(SMALL, 6.0);
            let metal = Colour([206, 208, 206]);
            for (from, long, colour, rise) in
                [(x, l, metal, 0.5), (x + 0.22 * l, 0.56 * l, colour, 0.0)]
            {
                self.shapes.push(solid([from, y], [long, w], colour, rise));
            }
            self.known([x, y], [l, w], "two-ended");
        }
    }

    /// What is no part.
    fn other(&mut self) {
        match self.dice.below(4) {
            0 => {
                let size = [self.dice.within(0.8, 5.0), self.dice.within(0.8, 5.0)];
                let Some(at) = self.place(size[0], size[1], 0.4) else {
                    return;
                };
                let colour = self.dice.colour(GOLD, 8.0);
                self.shapes.push(solid(at, size, colour, 0.0));
            }
            1 => {
                let d = self.dice.within(1.5, 4.5);
                let Some([x, y]) = self.place(d, d, 0.4) else {
                    return;
                };
                let middle = [x + d / 2.0, y + d / 2.0].map(|v| v as f32);
                let ring = self.dice.colour(GOLD, 8.0);
                for (diameter, colour) in [(d, ring), (d * 0.65, self.dice.colour(GROUNDS, 4.0))] {
                    self.shapes.push(Shape::Disc(Disc {
                        named: RegionName::default(),
                        middle,
                        diameter: diameter as f32,
                        opening: 0.0,
                        colour,
                        rise: 0.0,
                        stands: 0.0,
                        turns: 0,
                        cross: false,
                        metal: false,
                    }));
                }
            }
            2 => {
                let lines = vec![self.dice.text(9)];
                let letter = self.dice.within(0.8, 2.0);
                let wide = letter * 0.9 * lines[0].len() as f64;
                if let Some([x, y]) = self.place(wide, letter, 0.3) {
                    self.words([x as f32, (y + letter) as f32], lines, letter as f32);
                }
            }
            _ => {
                // An outline printed around a place without a part.
                let size = [self.dice.within(1.5, 6.0), self.dice.within(1.5, 6.0)];
                let Some([x, y]) = self.place(size[0], size[1], 0.4) else {
                    return;
                };
                let corner = |u: f64, v: f64| [(x + u * size[0]) as f32, (y + v * size[1]) as f32];
                self.shapes.push(Shape::Bar(Bar {
                    named: RegionName::default(),
                    points: vec![
                        corner(0.0, 0.0),
                        corner(1.0, 0.0),
                        corner(1.0, 1.0),
                        corner(0.0, 1.0),
                        corner(0.0, 0.0),
                    ],
                    width: 0.15,
                    colour: self.ink,
                    rise: 0.0,
                }));
            }
        }
    }
}

/// Draws the board of a seed.
pub(crate) fn board(seed: u64) -> Board {
    let mut dice = Dice::new(seed);
    let [w, h] = [dice.within(30.0, 66.0), dice.within(22.0, 44.0)];
    let margin = dice.within(3.0, 12.0);
    let ground = dice.colour(GROUNDS, 10.0);
    let colour = dice.colour(BOARDS, 8.0);
    let is_light = colour.0.iter().map(|v| u32::from(*v)).sum::<u32>() > 400;
    let ink = if is_light {
        Colour([40, 40, 40])
    } else {
        Colour([220, 222, 216])
    };
    let [size_x, size_y] = [w + 2.0 * margin, h + 2.0 * margin];
    let mut layout = Layout {
        dice,
        shapes: Vec::new(),
        taken: Vec::new(),
        board: [margin, margin, margin + w, margin + h],
        parts: Vec::new(),
        ink,
    };
    if layout.dice.share() < DESKS {
        desk(&mut layout);
        return photographed(layout, [size_x, size_y], ground, seed);
    }
    let corner = layout.dice.within(0.0, 3.0) as f32;
    layout.shapes.push(Shape::Body(Body {
        corner,
        look: SurfaceFinish::Board,
        ..plain([margin; 2], [w, h], colour, 1.4)
    }));
    let shade = layout.dice.within(-14.0, 14.0);
    let trace = Colour(
        colour
            .0
            .map(|v| (f64::from(v) + shade).clamp(0.0, 255.0) as u8),
    );
    for _ in 0..layout.dice.below(60) {
        let x = layout.dice.within(margin + 1.0, margin + w - 9.0);
        let y = layout.dice.within(margin + 1.0, margin + h - 1.0);
        let long = layout.dice.within(2.0, 8.0);
        let up = layout.dice.share() < 0.3;
        let end = if up {
            [x, (y + long).min(margin + h - 1.0)]
        } else {
            [x + long, y]
        };
        let width = layout.dice.within(0.12, 0.6) as f32;
        layout.shapes.push(Shape::Bar(Bar {
            named: RegionName::default(),
            points: vec![[x as f32, y as f32], end.map(|v| v as f32)],
            width,
            colour: trace,
            rise: 0.0,
        }));
    }
    for _ in 0..layout.dice.below(80) {
        let middle = [
            layout.dice.within(margin + 1.0, margin + w - 1.0) as f32,
            layout.dice.within(margin + 1.0, margin + h - 1.0) as f32,
        ];
        layout.shapes.push(Shape::Disc(Disc {
            named: RegionName::default(),
            middle,
            diameter: 0.4,
            opening: 0.2,
            colour: Colour(GOLD[0]),
            rise: 0.0,
            stands: 0.0,
            turns: 0,
            cross: false,
            metal: false,
        }));
    }
    let rounds = [
        6 + layout.dice.below(8),
        3 + layout.dice.below(8),
        layout.dice.below(3),
        4 + layout.dice.below(10),
        2 + layout.dice.below(7),
    ];
    for i in 0..20 {
        for (kind, count) in rounds.iter().enumerate() {
            if i < *count {
                match kind {
                    0 => layout.package(),
                    1 => layout.solid(),
                    2 => layout.round(),
                    3 => layout.two_ended(),
                    _ => layout.other(),
                }
            }
        }
    }
    photographed(layout, [size_x, size_y], ground, seed)
}

/// Share of photographs on which parts lie on the desk.
const DESKS: f64 = 0.45;

/// Lays parts on the desk beside a printed card, which is none.
fn desk(layout: &mut Layout) {
    let size = [
        layout.dice.within(18.0, 28.0),
        layout.dice.within(10.0, 18.0),
    ];
    let colour = layout
        .dice
        .colour(&[[230, 230, 226], [70, 110, 180], [40, 44, 60]], 12.0);
    if let Some([x, y]) = layout.place(size[0], size[1], 1.0) {
        layout.shapes.push(solid([x, y], size, colour, 0.6));
        for _ in 0..1 + layout.dice.below(3) {
            let share = [layout.dice.within(0.1, 0.4), layout.dice.within(0.1, 0.3)];
            let at = [0, 1]
                .map(|i: usize| [x, y][i] + size[i] * layout.dice.within(0.05, 0.9 - share[i]));
            let print = layout
                .dice
                .colour(&[[204, 186, 120], [150, 150, 150], [30, 30, 30]], 8.0);
            let size = [0, 1].map(|i: usize| share[i] * size[i]);
            layout.shapes.push(solid(at, size, print, 0.0));
        }
    }
    for _ in 0..3 + layout.dice.below(4) {
        layout.package();
        layout.solid();
        layout.loose();
        if layout.dice.share() < 0.4 {
            layout.round();
        }
        if layout.dice.share() < 0.3 {
            layout.other();
        }
    }
}

fn photographed(mut layout: Layout, size: [f64; 2], ground: Colour, seed: u64) -> Board {
    let dice = &mut layout.dice;
    let px_per_mm = dice.within(9.0, 17.0);
    let distance = dice.within(150.0, 400.0);
    let view = View {
        picture: [
            (size[0] * px_per_mm * 1.05) as u32,
            (size[1] * px_per_mm * 1.05) as u32,
        ],
        focal: px_per_mm * distance,
        distance,
        aim: [size[0] / 2.0, size[1] / 2.0],
        tilt: dice.within(0.0, 12.0),
        about: dice.within(0.0, 360.0),
        turn: dice.within(-8.0, 8.0),
        distortion: [dice.within(-0.02, 0.02), 0.0],
        defocus: dice.within(0.4, 1.3),
        noise: dice.within(0.5, 4.0),
        slope: [dice.within(-0.3, 0.3), dice.within(-0.3, 0.3)],
        falloff: dice.within(0.0, 0.2),
    };
    let grid = if dice.share() < 0.4 { 10.0 } else { 0.0 };
    let sharpening = dice.within(0.0, 1.0) as f32;
    let quality = dice.within(70.0, 95.0) as u8;
    let scene = Scene {
        id: "board".into(),
        caption: String::new(),
        size: size.map(|v| v as f32),
        scale: (px_per_mm * 1.1) as f32,
        seed,
        mat: Mat {
            colour: ground,
            grid,
        },
        ruler: None,
        view: Some(view),
        with: Vec::new(),
        shapes: layout.shapes,
    };
    let grain = [dice.within(0.0, 0.07), dice.within(2.0, 9.0)];
    let sharp = sharpened(grained(render(&scene), grain, dice), sharpening);
    let file = encode(&sharp, Encoding::Jpeg(quality), None, None).unwrap();
    let picture = decode(&file, &Limits::default()).unwrap().picture;
    let camera = view.camera();
    let parts = layout
        .parts
        .into_iter()
        .map(|(outline, short_mm, name)| Part {
            outline: outline
                .into_iter()
                .filter_map(|[x, y]| camera.project([x, y, 0.0]))
                .collect(),
            short_mm,
            name,
        })
        .collect();
    Board {
        picture,
        px_per_mm,
        parts,
        known: Vec::new(),
    }
}

/// Multiplies with smooth random blotches: by which share at most, of how many pixels.
fn grained(mut picture: Picture, [by, cell]: [f64; 2], dice: &mut Dice) -> Picture {
    let across = (f64::from(picture.width) / cell) as usize + 2;
    let down = (f64::from(picture.height) / cell) as usize + 2;
    let knots: Vec<f64> = (0..across * down).map(|_| dice.within(-by, by)).collect();
    for (i, pixel) in picture.rgb.chunks_exact_mut(3).enumerate() {
        let [x, y] = [i % picture.width as usize, i / picture.width as usize];
        let [x, y] = [x as f64 / cell, y as f64 / cell];
        let (u, v) = (x.fract(), y.fract());
        let knot = |dx: usize, dy: usize| knots[(y as usize + dy) * across + x as usize + dx];
        let upper = knot(0, 0) * (1.0 - u) + knot(1, 0) * u;
        let lower = knot(0, 1) * (1.0 - u) + knot(1, 1) * u;
        let light = 1.0 + upper * (1.0 - v) + lower * v;
        for value in pixel {
            *value = (f64::from(*value) * light).clamp(0.0, 255.0) as u8;
        }
    }
    picture
}

/// Adds `by` times the difference from the mean of 3 × 3 pixels.
fn sharpened(picture: Picture, by: f32) -> Picture {
    let (w, h) = (picture.width as usize, picture.height as usize);
    let mut rgb = picture.rgb.clone();
    for y in 1..h.saturating_sub(1) {
        for i in 3..(w - 1) * 3 {
            let at = |dy: usize, dx: usize| {
                f32::from(picture.rgb[(y + dy - 1) * w * 3 + i + dx * 3 - 3])
            };
            let sum: f32 = (0..9).map(|k| at(k / 3, k % 3)).sum();
            let here = at(1, 1);
            rgb[y * w * 3 + i] = (here + by * (here - sum / 9.0)).clamp(0.0, 255.0) as u8;
        }
    }
    Picture { rgb, ..picture }
}
