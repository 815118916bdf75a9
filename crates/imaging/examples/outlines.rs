//! Offers outlines on drawn boards and tells how many parts are found.
//!
//! `outlines marks boards FROM TO` and `outlines marks desks FROM TO` write the marks of every candidate on photographs
//! of these seeds as CSV, for a fit of the weights; `outlines judge boards FROM TO` and `outlines judge desks FROM TO` print shares;
//! `outlines draw SEED OUT.png`, `outlines draw desk SEED OUT.png` and `outlines photo FILE PX_PER_MM OUT.png` (0: no
//! scale) show what is offered.

#![allow(
    dead_code,
    clippy::disallowed_methods,
    clippy::disallowed_types,
    clippy::unwrap_used,
    reason = "an example reads its arguments and writes files"
)]

#[path = "../tests/bodies/boards.rs"]
mod boards;
#[path = "../tests/bodies/desks.rs"]
mod desks;

use boards::{Board, board};
use desks::desk;
use imaging::bodies::{self, Look};
use imaging::{Picture, pixels};
use std::error::Error;
use std::fmt::Write as _;
use std::ops::Range;

type Done<T> = Result<T, Box<dyn Error>>;

/// Common area over joint area from which an outline is the part's.
/// Width of photographs of the second source, pixels.
const WIDTH: u32 = 2000;
const JUDGED: f64 = 0.5;

fn main() -> Done<()> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let seeds = |from: &str, to: &str| -> Done<Range<u64>> { Ok(from.parse()?..to.parse()?) };
    match args.as_slice() {
        ["marks", "boards", from, to] => marks(seeds(from, to)?, board),
        ["marks", "desks", from, to] => marks(seeds(from, to)?, |seed| desk(seed, WIDTH)),
        ["judge", "boards", from, to] => judge(seeds(from, to)?.map(board)),
        ["judge", "desks", from, to] => judge(seeds(from, to)?.map(|seed| desk(seed, WIDTH))),
        ["draw", "desk", seed, out] => draw(&desk(seed.parse()?, WIDTH), out),
        ["draw", seed, out] => draw(&board(seed.parse()?), out),
        ["photo", file, per_mm, out] => {
            let picture =
                pixels::decode(&std::fs::read(file)?, &pixels::Limits::default())?.picture;
            let px_per_mm = per_mm.parse()?;
            draw(
                &Board {
                    picture,
                    px_per_mm,
                    parts: Vec::new(),
                    known: Vec::new(),
                },
                out,
            )
        }
        _ => Err("see the first lines of this file".into()),
    }
}

fn marks(seeds: Range<u64>, make: impl Fn(u64) -> Board) -> Done<()> {
    for seed in seeds {
        let board = make(seed);
        for (outline, marks) in bodies::marks(&board.picture, &board.look()) {
            let agreement = board.parts.iter().map(|p| outline.agreement(&p.outline));
            let best = agreement.fold(0.0, f64::max);
            let mut line = format!("{seed},{best:.3},{:.3}", outline.probability);
            for corner in outline.corners.as_flattened() {
                write!(line, ",{corner:.2}")?;
            }
            for mark in marks {
                write!(line, ",{mark:.4}")?;
            }
            println!("{line}");
        }
    }
    Ok(())
}

fn judge(boards: impl Iterator<Item = Board>) -> Done<()> {
    let (mut counted, mut found, mut offered, mut right) = (0, 0, 0, 0);
    let mut missed = std::collections::BTreeMap::<&str, [u32; 3]>::new();
    let (mut seconds, mut bins) = (0.0, [[0.0f64; 3]; 10]);
    for board in boards {
        let start = std::time::Instant::now();
        let all = bodies::find(
            &board.picture,
            &Look {
                least_probability: 0.05,
                ..board.look()
            },
        );
        seconds += start.elapsed().as_secs_f64();
        let matches = |o: &bodies::Outline| {
            board
                .parts
                .iter()
                .map(|p| o.agreement(&p.outline) >= JUDGED)
                .collect::<Vec<_>>()
        };
        let matched: Vec<Vec<bool>> = all.iter().map(matches).collect();
        for (o, m) in all.iter().zip(&matched) {
            let is_right = m.contains(&true);
            let bin = &mut bins[((o.probability * 10.0) as usize).min(9)];
            *bin = [
                bin[0] + 1.0,
                bin[1] + o.probability,
                bin[2] + f64::from(u8::from(is_right)),
            ];
            if o.probability >= Look::default().least_probability {
                offered += 1;
                right += i32::from(is_right);
            }
        }
        let thought: Vec<_> = bodies::marks(&board.picture, &board.look());
        for (i, part) in board.parts.iter().enumerate().filter(|(_, p)| p.counts()) {
            let is_found = all
                .iter()
                .zip(&matched)
                .any(|(o, m)| o.probability >= Look::default().least_probability && m[i]);
            counted += 1;
            found += i32::from(is_found);
            let kind = missed.entry(part.name).or_default();
            kind[0] += 1;
            kind[1] += u32::from(is_found);
            kind[2] += u32::from(
                thought
                    .iter()
                    .any(|(o, _)| o.agreement(&part.outline) >= JUDGED),
            );
        }
    }
    println!(
        "found {found} of {counted} ({:.3}), offered {offered}, false {:.3}, {seconds:.1} s",
        f64::from(found) / f64::from(counted),
        1.0 - f64::from(right) / f64::from(offered)
    );
    println!("{missed:?}");
    for [n, p, r] in bins {
        println!("said {:.2} right {:.2} ({n})", p / n, r / n);
    }
    Ok(())
}

/// Draws what is offered: yellow the likelier the brighter, ellipses through the middles of their sides; parts blue.
fn draw(board: &Board, out: &str) -> Done<()> {
    let mut picture = board.picture.clone();
    for part in &board.parts {
        ring(&mut picture, &part.outline, [60, 120, 255]);
    }
    for o in bodies::find(&board.picture, &board.look()) {
        let colour = if o.probability >= 0.8 {
            [255, 230, 0]
        } else {
            [255, 130, 0]
        };
        ring(&mut picture, &o.points(), colour);
    }
    std::fs::write(
        out,
        pixels::encode(&picture, pixels::Encoding::Png, None, None)?,
    )?;
    Ok(())
}

fn ring(picture: &mut Picture, points: &[[f64; 2]], colour: [u8; 3]) {
    for (i, a) in points.iter().enumerate() {
        let b = points[(i + 1) % points.len()];
        let steps = ((b[0] - a[0]).hypot(b[1] - a[1]) * 2.0).ceil().max(1.0);
        for k in 0..=steps as i32 {
            let t = f64::from(k) / steps;
            let [x, y] = [0, 1].map(|i: usize| a[i] + t * (b[i] - a[i]));
            let (w, h) = (f64::from(picture.width), f64::from(picture.height));
            if x >= 0.0 && y >= 0.0 && x < w - 1.0 && y < h - 1.0 {
                let at = (y as usize * picture.width as usize + x as usize) * 3;
                picture.rgb[at..at + 3].copy_from_slice(&colour);
                picture.rgb[at + 3..at + 6].copy_from_slice(&colour);
            }
        }
    }
}
