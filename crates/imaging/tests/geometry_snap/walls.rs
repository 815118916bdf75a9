//! Parts with side walls and a shadow on a desk, as a telephone shows them.
//!
//! A flat top of known outline over a foot that the perspective shifts; between them the walls, beside them the
//! shadow. Light is mixed over the pixels and by the lens, then comes the tone curve, sharpening, noise and
//! the file.

use crate::chance::Chance;
use imaging::Picture;
use imaging::geometry::{SnapError, SnapOptions, Snapped, snap_sides};
use imaging::pixels::{Encoding, Limits, decode, encode};
use imaging::{Light, ToneCurve};

/// A convex outline, pixels, seen clockwise.
pub(crate) type Corners = [[f64; 2]; 4];

/// What is photographed.
#[derive(Debug, Clone)]
pub(crate) struct Desk {
    pub(crate) size: [usize; 2],
    pub(crate) top: Corners,
    /// From the top to the foot, and from the foot to the end of the shadow, pixels.
    pub(crate) foot: [f64; 2],
    pub(crate) shadow: [f64; 2],
    /// Width of the shadow's rim, pixels, and the share of the light that it takes.
    pub(crate) rim: f64,
    pub(crate) dark: f64,
    /// Light from top, wall and desk.
    pub(crate) top_light: [f64; 3],
    pub(crate) wall_light: [f64; 3],
    pub(crate) desk_light: [f64; 3],
    pub(crate) blur: f64,
    /// How much steeper the middle tones are than the curve of sRGB has them.
    pub(crate) contrast: f64,
    /// Share and width, pixels, of sharpening.
    pub(crate) sharpening: [f64; 2],
    pub(crate) noise: f64,
    pub(crate) quality: u8,
}

/// How far a place is outside of an outline, at the most over its sides, once it may move back along `way`.
fn beyond(corners: &Corners, p: [f64; 2], way: [f64; 2]) -> f64 {
    const STEPS: usize = 8;
    let steps = if way == [0.0; 2] { 0 } else { STEPS };
    (0..=steps)
        .map(|k| {
            let back = k as f64 / STEPS as f64;
            let q = [p[0] - back * way[0], p[1] - back * way[1]];
            (0..4)
                .map(|i| {
                    let (a, b) = (corners[i], corners[(i + 1) % 4]);
                    let d = [b[0] - a[0], b[1] - a[1]];
                    (d[1] * (q[0] - a[0]) - d[0] * (q[1] - a[1])) / d[0].hypot(d[1])
                })
                .fold(f64::NEG_INFINITY, f64::max)
        })
        .fold(f64::INFINITY, f64::min)
}

impl Desk {
    fn light(&self, p: [f64; 2]) -> [f64; 3] {
        if beyond(&self.top, p, [0.0; 2]) <= 0.0 {
            return self.top_light;
        }
        if beyond(&self.top, p, self.foot) <= 0.0 {
            return self.wall_light;
        }
        let foot = self.top.map(|c| [c[0] + self.foot[0], c[1] + self.foot[1]]);
        let off = beyond(&foot, p, self.shadow);
        let t = (0.5 - off / self.rim).clamp(0.0, 1.0);
        let shade = 1.0 - self.dark * t * t * (3.0 - 2.0 * t);
        self.desk_light.map(|v| v * shade)
    }

    /// Photographs it.
    pub(crate) fn photograph(&self, chance: &mut Chance) -> Picture {
        const PARTS: usize = 2;
        let [width, height] = self.size;
        let mut seen: Vec<[f64; 3]> = (0..width * height)
            .map(|i| {
                let mut sum = [0.0; 3];
                for k in 0..PARTS * PARTS {
                    let part = |k: usize| (k as f64 + 0.5) / PARTS as f64;
                    let p = [
                        (i % width) as f64 + part(k % PARTS),
                        (i / width) as f64 + part(k / PARTS),
                    ];
                    let light = self.light(p);
                    sum = [0, 1, 2].map(|c: usize| sum[c] + light[c] / (PARTS * PARTS) as f64);
                }
                sum
            })
            .collect();
        seen = blurred(&seen, self.size, self.blur);
        let toned = |v: f64| {
            let v = v.clamp(0.0, 1.0);
            let level = if v <= 0.003_130_8 {
                12.92 * v
            } else {
                1.055 * v.powf(1.0 / 2.4) - 0.055
            };
            let turn = std::f64::consts::TAU;
            level - self.contrast * (turn * level).sin() / turn
        };
        let toned: Vec<[f64; 3]> = seen.iter().map(|p| p.map(toned)).collect();
        let [share, wide] = self.sharpening;
        let soft = blurred(&toned, self.size, wide);
        let rgb: Vec<u8> = toned
            .iter()
            .zip(&soft)
            .flat_map(|(p, q)| {
                [0, 1, 2].map(|c: usize| {
                    let level = 255.0 * (p[c] + share * (p[c] - q[c]));
                    (level + self.noise * chance.normal())
                        .round()
                        .clamp(0.0, 255.0) as u8
                })
            })
            .collect();
        let picture = Picture {
            width: width as u32,
            height: height as u32,
            rgb,
        };
        let file = encode(&picture, Encoding::Jpeg(self.quality), None, None).unwrap();
        decode(&file, &Limits::default()).unwrap().picture
    }

    /// Marks its corners, some pixels off (standard deviation).
    pub(crate) fn marked(&self, chance: &mut Chance, off: f64) -> Corners {
        self.top.map(|c| c.map(|v| v + off * chance.normal()))
    }
}

fn blurred(picture: &[[f64; 3]], [width, height]: [usize; 2], sd: f64) -> Vec<[f64; 3]> {
    let reach = (3.5 * sd).ceil() as isize;
    let kernel: Vec<f64> = (-reach..=reach)
        .map(|k| (-0.5 * (k as f64 / sd).powi(2)).exp())
        .collect();
    let sum: f64 = kernel.iter().sum();
    let along = |from: &[[f64; 3]], across: bool| -> Vec<[f64; 3]> {
        (0..from.len())
            .map(|i| {
                let (x, y) = ((i % width) as isize, (i / width) as isize);
                let mut total = [0.0; 3];
                for (k, w) in kernel.iter().enumerate() {
                    let by = k as isize - reach;
                    let (u, v) = if across { (x + by, y) } else { (x, y + by) };
                    let u = u.clamp(0, width as isize - 1) as usize;
                    let v = v.clamp(0, height as isize - 1) as usize;
                    let p = from[v * width + u];
                    total = [0, 1, 2].map(|c: usize| total[c] + w / sum * p[c]);
                }
                total
            })
            .collect()
    };
    along(&along(picture, true), false)
}

/// A desk at random: parts of 60 to 180 pixels a side, walls of up to 8 pixels.
fn desk(chance: &mut Chance) -> Desk {
    let (l, w) = (chance.between(60.0, 180.0), chance.between(50.0, 120.0));
    let turn = chance.between(-3.1, 3.1);
    let (s, c) = turn.sin_cos();
    let middle = [chance.between(128.0, 132.0), chance.between(128.0, 132.0)];
    let top = [[-0.5, -0.5], [0.5, -0.5], [0.5, 0.5], [-0.5, 0.5]].map(|[a, b]| {
        [
            middle[0] + c * a * l - s * b * w,
            middle[1] + s * a * l + c * b * w,
        ]
    });
    let way = |length: f64, angle: f64| [length * angle.cos(), length * angle.sin()];
    let high = if chance.between(0.0, 1.0) < 0.3 {
        0.0
    } else {
        chance.between(0.5, 8.0)
    };
    let colour = |chance: &mut Chance, low: f64, high: f64| {
        let grey = low * (high / low).powf(chance.between(0.0, 1.0));
        [0; 3].map(|_| grey * chance.between(0.8, 1.2))
    };
    let bright = chance.between(0.0, 1.0) < 0.5;
    let (dim, light) = (colour(chance, 0.015, 0.08), colour(chance, 0.25, 0.7));
    let (top_light, desk_light) = if bright { (light, dim) } else { (dim, light) };
    let shade = chance.between(0.25, 1.1);
    Desk {
        size: [260, 260],
        top,
        foot: way(high, chance.between(0.0, 6.3)),
        shadow: way(high * chance.between(0.2, 1.5), chance.between(0.0, 6.3)),
        rim: chance.between(1.0, 8.0),
        dark: chance.between(0.2, 0.7),
        wall_light: top_light.map(|v| v * shade),
        top_light,
        desk_light,
        blur: chance.between(0.5, 1.2),
        contrast: chance.between(0.0, 0.35),
        sharpening: [chance.between(0.0, 0.8), chance.between(0.8, 1.6)],
        noise: chance.between(0.5, 2.0),
        quality: 88,
    }
}

/// Error and uncertainty of each side's shift, pixels.
fn judged(desk: &Desk, found: &Snapped) -> [(f64, f64); 4] {
    [0, 1, 2, 3].map(|i: usize| {
        let (a, b) = (desk.top[i], desk.top[(i + 1) % 4]);
        let d = [b[0] - a[0], b[1] - a[1]];
        let n = [d[1] / d[0].hypot(d[1]), -d[0] / d[0].hypot(d[1])];
        let weights = [5.0 / 18.0, 8.0 / 18.0, 5.0 / 18.0];
        let (mut off, mut variance) = (0.0, 0.0);
        for (c, w) in found.clicks[3 * i..3 * i + 3].iter().zip(weights) {
            off += w * ((c.at[0] - a[0]) * n[0] + (c.at[1] - a[1]) * n[1]);
            variance += w * w * c.covariance[0];
        }
        let shared = found.clicks[3 * i].shared;
        (
            off,
            (variance + shared[0].powi(2) + shared[1].powi(2)).sqrt(),
        )
    })
}

/// What came of many desks.
#[derive(Debug, Default)]
struct Tally {
    refused: usize,
    /// Error and stated uncertainty of every side's shift, pixels.
    sides: Vec<(f64, f64)>,
}

fn snapped(desk: &Desk, marked: &Corners, chance: &mut Chance) -> Result<Snapped, SnapError> {
    let (picture, curve) = (desk.photograph(chance), ToneCurve::srgb());
    snap_sides(
        &Light::new(&picture, &curve),
        marked,
        &SnapOptions::default(),
    )
}

fn tally(seeds: std::ops::RangeInclusive<u64>) -> Tally {
    let mut tally = Tally::default();
    for seed in seeds {
        let mut chance = Chance::new(seed);
        let desk = desk(&mut chance);
        let marked = desk.marked(&mut chance, 1.2);
        match snapped(&desk, &marked, &mut chance) {
            Ok(found) => {
                for (i, (off, u)) in judged(&desk, &found).into_iter().enumerate() {
                    if off.abs() > 1.96 * u {
                        println!(
                            "seed {seed}: {off:.2} ± {u:.2}, {}",
                            found.moves[i].sentence()
                        );
                    }
                    tally.sides.push((off, u));
                }
            }
            Err(why) => {
                println!("seed {seed}: {why}");
                tally.refused += 1;
            }
        }
    }
    tally
}

#[test]
fn parts_with_walls_and_shadows_are_found_within_their_intervals() {
    let tally = tally(401..=480);
    let n = tally.sides.len();
    let inside = tally
        .sides
        .iter()
        .filter(|(off, u)| off.abs() <= 1.96 * u)
        .count();
    let sorted = |f: &dyn Fn(&(f64, f64)) -> f64| {
        let mut v: Vec<f64> = tally.sides.iter().map(f).collect();
        v.sort_by(f64::total_cmp);
        v
    };
    let (off, u) = (sorted(&|s| s.0.abs()), sorted(&|s| s.1));
    let inside = inside as f64 / n as f64;
    println!(
        "{} refused; inside {inside:.3}, median {:.3}, 95 % {:.2} px; stated {:.3}, 95 % {:.2}",
        tally.refused,
        off[n / 2],
        off[n * 95 / 100],
        u[n / 2],
        u[n * 95 / 100],
    );
    assert!(tally.refused <= 4, "{}", tally.refused);
    assert!(inside >= 0.9, "{inside}");
    assert!(off[n / 2] < 0.2 && off[n * 95 / 100] < 3.0, "{off:?}");
}

/// A flat card upright on a desk, 120 × 80 pixels.
fn card(top_light: [f64; 3], desk_light: [f64; 3]) -> Desk {
    Desk {
        size: [200, 160],
        top: [[40.3, 40.6], [160.3, 40.6], [160.3, 120.6], [40.3, 120.6]],
        foot: [0.0; 2],
        shadow: [0.0; 2],
        rim: 1.0,
        dark: 0.0,
        wall_light: top_light,
        top_light,
        desk_light,
        blur: 0.8,
        contrast: 0.0,
        sharpening: [0.0, 1.0],
        noise: 1.0,
        quality: 92,
    }
}

/// Marks moved outwards by so many pixels.
fn outside(desk: &Desk, by: f64) -> Corners {
    let [a, b, c, d] = desk.top;
    [
        [a[0] - by, a[1] - by],
        [b[0] + by, b[1] - by],
        [c[0] + by, c[1] + by],
        [d[0] - by, d[1] + by],
    ]
}

/// Light in which ITU-R BT.601 weighs both as level 90: red (186, 45, 65), green (40, 114, 99).
#[test]
fn a_red_card_on_green_of_equal_grey_is_found() {
    let srgb = ToneCurve::srgb();
    let light = |rgb: [u8; 3]| rgb.map(|v| srgb.light(v));
    let grey = |[r, g, b]: [f64; 3]| 0.299 * r + 0.587 * g + 0.114 * b;
    let (red, green) = ([186, 45, 65], [40, 114, 99]);
    assert!((grey(red.map(f64::from)) - grey(green.map(f64::from))).abs() < 1.0);
    let desk = card(light(red), light(green));
    let marked = outside(&desk, 1.0);
    let found = snapped(&desk, &marked, &mut Chance::new(1)).unwrap();
    for (i, (off, u)) in judged(&desk, &found).into_iter().enumerate() {
        assert!(found.moves[i].left.is_none(), "{:?}", found.moves[i]);
        assert!(
            (0.5..1.5).contains(&found.moves[i].moved_px),
            "{:?}",
            found.moves[i]
        );
        assert!(
            off.abs() < 0.4 && off.abs() < 1.96 * u,
            "side {i}: {off} ± {u}"
        );
    }
}

/// Sharpening draws a line along every edge, about where these marks are.
#[test]
fn a_halo_of_sharpening_is_no_edge() {
    let desk = Desk {
        sharpening: [1.2, 1.4],
        ..card([0.55; 3], [0.05; 3])
    };
    for by in [-1.8, 1.8] {
        let marked = outside(&desk, by);
        let found = snapped(&desk, &marked, &mut Chance::new(2)).unwrap();
        for (i, (off, _)) in judged(&desk, &found).into_iter().enumerate() {
            let told = found.moves[i].sentence();
            assert!(off.abs() < 0.5, "marked {by} outside: {off}, {told}");
        }
    }
}

/// A steeper tone curve makes a bright card smaller or larger, and a dark one the other way; both are within
/// what is stated, most of it shared, outwards for the one and inwards for the other.
#[test]
fn what_a_tone_curve_moves_is_shared_by_the_photograph() {
    for (top, ground, sign) in [(0.6, 0.03, 1.0), (0.03, 0.6, -1.0)] {
        let desk = Desk {
            contrast: 0.3,
            blur: 1.2,
            ..card([top; 3], [ground; 3])
        };
        let marked = outside(&desk, 0.5);
        let found = snapped(&desk, &marked, &mut Chance::new(3)).unwrap();
        for (off, u) in judged(&desk, &found) {
            assert!(off.abs() < 1.96 * u, "{off} ± {u}");
        }
        // The first side runs along the top; outwards is up.
        let outwards = -found.clicks[0].shared[1];
        // Towards the brighter side.
        assert!(outwards * -sign > 0.03, "{outwards}");
    }
}

/// Top, wall and desk of three shades, the wall four pixels wide on two sides, marked between its edges.
#[test]
fn between_two_edges_the_interval_holds_both_or_the_mark_stays() {
    let desk = Desk {
        foot: [4.0, 0.0],
        wall_light: [0.2; 3],
        ..card([0.6; 3], [0.04; 3])
    };
    let marked = outside(&desk, 2.0);
    let found = snapped(&desk, &marked, &mut Chance::new(4)).unwrap();
    let (_, u) = judged(&desk, &found)[1];
    assert!(u > 0.8, "{u}");
    let told = found.moves[1].sentence();
    assert!(
        told.contains("may be meant") || told.contains("left as marked"),
        "{told}"
    );
    // A mark on one of them settles it.
    let marked = outside(&desk, 0.2);
    let found = snapped(&desk, &marked, &mut Chance::new(4)).unwrap();
    let (off, u) = judged(&desk, &found)[1];
    assert!(off.abs() < 0.5 && u < 0.8, "{off} ± {u}");
}
