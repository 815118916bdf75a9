//! What the picture shows across a rough course: changes of level, piece by piece along it.
//!
//! In: a picture, a course. Out: for each piece the mean levels across, and the places where they change. Not
//! here: which changes are one edge (`candidates.rs`).
//!
//! Looked at are the levels as they are, in which noise is about equal, and all three channels, so that an edge
//! between colours of equal grey counts as one.

use super::course::{Course, Curve};
use crate::Light;

/// Distance between neighbouring samples across, pixels.
pub(super) const FINE: f64 = 0.5;
/// Most changes kept of a piece.
const MOST: usize = 8;
/// Least change across a pixel and a half, levels, beside that which noise makes.
const LEAST: f64 = 2.0;
/// Pieces looked at.
const PIECES: [f64; 2] = [6.0, 28.0];
/// Length of a piece, pixels, where the edge has room.
const PIECE: f64 = 8.0;

/// A change of level across one piece.
#[derive(Debug, Clone, Copy)]
pub(super) struct Change {
    /// Beside the course, pixels.
    pub(super) t: f64,
    /// By channel, levels, per pixel and a half outwards.
    pub(super) by: [f64; 3],
}

/// One piece of the course.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    /// Its middle along the course, −1 to 1.
    pub(super) u: f64,
    /// Mean levels at steps of [`FINE`] from the strip's first place.
    levels: Vec<[f64; 3]>,
    pub(super) changes: Vec<Change>,
}

/// All pieces of a course.
#[derive(Debug)]
pub(super) struct Strip {
    pub(super) pieces: Vec<Piece>,
    /// Pieces that the course has, those outside the picture too.
    pub(super) whole: usize,
    from: f64,
}

pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Root mean square over the channels.
pub(super) fn size(a: [f64; 3]) -> f64 {
    (dot(a, a) / 3.0).sqrt()
}

pub(super) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|k: usize| a[k] - b[k])
}

impl Strip {
    /// Looks across a course, up to `reach` pixels to either side.
    pub(super) fn look(light: &Light<'_>, course: &Course, reach: f64) -> Self {
        let count = (course.length() / PIECE).clamp(PIECES[0], PIECES[1]) as usize;
        let half = 1.0 / count as f64;
        let from = -reach - 2.0;
        let samples = (2.0 * (reach + 2.0) / FINE) as usize + 1;
        let lines = (course.length() * half / 0.75).clamp(2.0, 12.0) as usize;
        let pieces = (0..count)
            .filter_map(|i| {
                let u = (2.0 * i as f64 + 1.0) * half - 1.0;
                let mut levels = vec![[0.0; 3]; samples];
                for line in 0..lines {
                    let along = u + half * ((2.0 * line as f64 + 1.0) / lines as f64 - 1.0);
                    for (k, sum) in levels.iter_mut().enumerate() {
                        let rgb = light.at(course.place(along, from + k as f64 * FINE))?;
                        *sum = [0, 1, 2].map(|c: usize| sum[c] + rgb[c] / lines as f64);
                    }
                }
                let changes = changes(&levels, from);
                Some(Piece { u, levels, changes })
            })
            .collect();
        Self {
            pieces,
            whole: count,
            from,
        }
    }

    /// Mean levels of all pieces along a curve, at steps of [`FINE`] from `-wide` to `wide` beside it; those
    /// beyond the strip are its outermost.
    pub(super) fn along(&self, course: &Course, curve: &Curve, wide: f64) -> Vec<[f64; 3]> {
        let count = (2.0 * wide / FINE) as usize + 1;
        let n = self.pieces.len().max(1) as f64;
        let mut mean = vec![[0.0; 3]; count];
        for piece in &self.pieces {
            let start = (course.beside(curve, piece.u) - wide - self.from) / FINE;
            for (k, sum) in mean.iter_mut().enumerate() {
                let most = piece.levels.len() - 1;
                let place = (start + k as f64).clamp(0.0, most as f64);
                let i = (place as usize).min(most.saturating_sub(1));
                let f = place - i as f64;
                let (a, b) = (piece.levels[i], piece.levels[(i + 1).min(most)]);
                *sum = [0, 1, 2].map(|c: usize| sum[c] + (a[c] + f * (b[c] - a[c])) / n);
            }
        }
        mean
    }
}

/// Where levels change most, to a fraction of a sample.
pub(super) fn changes(levels: &[[f64; 3]], from: f64) -> Vec<Change> {
    let slope: Vec<[f64; 3]> = (0..levels.len())
        .map(|i| {
            if i < 2 || i + 2 >= levels.len() {
                return [0.0; 3];
            }
            [0, 1, 2].map(|c: usize| {
                (levels[i + 1][c] + levels[i + 2][c] - levels[i - 1][c] - levels[i - 2][c]) / 2.0
            })
        })
        .collect();
    let height: Vec<f64> = slope.iter().map(|v| size(*v)).collect();
    let mut found: Vec<(f64, Change)> = (1..height.len().saturating_sub(1))
        .filter(|&i| height[i] >= LEAST && height[i] >= height[i - 1] && height[i] > height[i + 1])
        .map(|i| {
            let (a, b, c) = (height[i - 1], height[i], height[i + 1]);
            let bent = a - 2.0 * b + c;
            let shift = if bent < 0.0 {
                0.5 * (a - c) / bent
            } else {
                0.0
            };
            let t = from + (i as f64 + shift.clamp(-0.5, 0.5)) * FINE;
            (b, Change { t, by: slope[i] })
        })
        .collect();
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.truncate(MOST);
    found.into_iter().map(|(_, change)| change).collect()
}
