//! Bodies that look like one whose part was read: found by their outline and what is printed on them.
//!
//! In: a photograph, a box on it. Out: the bodies without a part that look the same, the likest first; the edits that
//! count them in. Nothing is written.

use super::part::{filled, slug};
use super::{Body, Plates, part};
use crate::desk::{self, View};
use crate::{Problem, free_id, picture};
use imaging::Picture;
use record::{Edit, Place, Position};
use serde::{Deserialize, Serialize};
use serde_json::json;

/// A body that looks like another.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Alike {
    /// The body.
    pub body: Body,
    /// Correlation of both looks, 0 to 1.
    pub likeness: f64,
}

/// Largest relative difference of the sides.
const SIDES: f64 = 0.12;
/// Least correlation of what looks the same.
const LIKE: f64 = 0.75;
/// Samples along each side of a look.
const SAMPLES: usize = 24;
/// Share of a side that is left out at each end: its edge is that of the ground too.
const RIM: f64 = 0.08;
/// Least standard deviation of the levels of a look that tells one body from another.
const PLAIN: f64 = 3.0;

/// Bodies to be counted in with an item.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct CountIn {
    /// The photograph.
    pub photo: String,
    /// The item that they are as many more of.
    pub item: String,
    /// The outline of each.
    pub boxes: Vec<[[f64; 2]; 4]>,
}

impl Plates {
    /// Returns the bodies without a part that look like what is in a box, the likest first.
    ///
    /// # Errors
    /// As [`Plates::bodies`].
    pub async fn alike(
        &self,
        view: &View,
        photo: &str,
        corners: [[f64; 2]; 4],
    ) -> Result<Vec<Alike>, Problem> {
        crate::finite::points(&corners)?;
        let found = self.bodies(view, photo).await?;
        let plate = super::Plate::of(view, photo)?;
        let decoded = self.photograph(plate.sha256).await?;
        desk::blocking(move || {
            let wanted = Look::of(&decoded.picture, &corners);
            let mut alike: Vec<Alike> = found
                .bodies
                .into_iter()
                .filter(|body| body.item.is_none() && !body.holds(&corners))
                .filter_map(|body| {
                    let likeness = wanted.likeness(&Look::of(&decoded.picture, &body.corners))?;
                    (likeness >= LIKE).then_some(Alike { body, likeness })
                })
                .collect();
            alike.sort_by(|a, b| b.likeness.total_cmp(&a.likeness));
            Ok(alike)
        })
        .await
    }
}

/// What a body looks like: its sides and its levels, less their mean, over their spread.
struct Look {
    sides: [f64; 2],
    levels: Vec<f64>,
    spread: f64,
}

impl Look {
    fn of(picture: &Picture, corners: &[[f64; 2]; 4]) -> Self {
        let apart = |a: usize, b: usize| {
            (corners[a][0] - corners[b][0]).hypot(corners[a][1] - corners[b][1])
        };
        let sides = [
            f64::midpoint(apart(0, 1), apart(3, 2)),
            f64::midpoint(apart(1, 2), apart(0, 3)),
        ];
        let place = |n: usize| RIM + (1.0 - 2.0 * RIM) * (n as f64 + 0.5) / SAMPLES as f64;
        let mut levels = Vec::with_capacity(SAMPLES * SAMPLES);
        for row in 0..SAMPLES {
            for column in 0..SAMPLES {
                let (s, t) = (place(column), place(row));
                let [x, y] = [0, 1].map(|i: usize| {
                    let upper = corners[0][i] + s * (corners[1][i] - corners[0][i]);
                    let lower = corners[3][i] + s * (corners[2][i] - corners[3][i]);
                    upper + t * (lower - upper)
                });
                levels.push(level(picture, x, y, sides));
            }
        }
        let mean = levels.iter().sum::<f64>() / levels.len() as f64;
        levels.iter_mut().for_each(|level| *level -= mean);
        let square: f64 = levels.iter().map(|v| v * v).sum();
        Self {
            sides,
            spread: square.sqrt(),
            levels,
        }
    }

    /// Correlation of two looks, in the better of both ways up; `None` where the sides are others, or both look
    /// alike because there is nothing to see on either.
    fn likeness(&self, other: &Self) -> Option<f64> {
        let near = |a: f64, b: f64| (a - b).abs() <= SIDES * a.max(b);
        let same = near(self.sides[0], other.sides[0]) && near(self.sides[1], other.sides[1]);
        let least = PLAIN * SAMPLES as f64;
        if !same || self.spread < least || other.spread < least {
            return None;
        }
        let by = |other: &mut dyn Iterator<Item = &f64>| {
            let pairs = self.levels.iter().zip(other);
            pairs.map(|(a, b)| a * b).sum::<f64>()
        };
        let upright = by(&mut other.levels.iter());
        let turned = by(&mut other.levels.iter().rev());
        Some(upright.max(turned) / (self.spread * other.spread))
    }
}

/// The mean grey level about a place: over a sample's share of the sides, so that a small shift changes little.
fn level(picture: &Picture, x: f64, y: f64, sides: [f64; 2]) -> f64 {
    let half = sides.map(|side| (side / SAMPLES as f64 / 2.0).max(0.5));
    let bound = |v: f64, most: u32| v.clamp(0.0, f64::from(most.max(1) - 1)) as u32;
    let (left, right) = (
        bound(x - half[0], picture.width),
        bound(x + half[0], picture.width),
    );
    let (top, lower) = (
        bound(y - half[1], picture.height),
        bound(y + half[1], picture.height),
    );
    let (mut sum, mut count) = (0.0, 0.0);
    for row in top..=lower {
        for column in left..=right {
            let at = 3 * (row as usize * picture.width as usize + column as usize);
            let rgb = picture.rgb.get(at..at + 3).unwrap_or(&[0, 0, 0]);
            sum += rgb.iter().map(|v| f64::from(*v)).sum::<f64>() / 3.0;
            count += 1.0;
        }
    }
    sum / count
}

/// Returns the edits that count equal bodies in with an item: a region for each, and how many there are now.
///
/// # Errors
/// No such photograph or item; an item of which is said that its number is unknown.
pub fn count_in(view: &View, asked: &CountIn) -> Result<Vec<Edit>, Problem> {
    let photo = view.dossier.photo(&asked.photo);
    let photo = photo.ok_or_else(|| picture::no_photo(&view.dossier, &asked.photo))?;
    let item = view.dossier.item(&asked.item).ok_or_else(|| {
        let message = format!("there is no item with the id \"{}\"", asked.item);
        Problem::missing(
            message,
            "take the part first, then those that look the same",
        )
    })?;
    let mut taken: Vec<String> = photo.regions.iter().map(|r| r.id.clone()).collect();
    let called = filled(item.designator.as_deref()).map(slug);
    let called = called.filter(|id| !id.is_empty());
    let called = called.unwrap_or_else(|| item.id.clone());
    let mut edits = Vec::new();
    for corners in &asked.boxes {
        crate::finite::points(corners)?;
        let id = free_id(&called, |id| taken.iter().any(|other| other == id));
        let entry = json!({
            "id": id,
            "rect": part::rect(corners, photo.pixels),
            "item": item.id,
            "caption": item.name,
        });
        taken.push(id);
        edits.push(Edit::Add {
            to: Place::photo(&photo.id).at("regions"),
            entry,
            position: Position::Last,
        });
    }
    let more = u32::try_from(asked.boxes.len()).unwrap_or(u32::MAX);
    edits.push(Edit::Set {
        at: Place::item(&item.id).at("count"),
        new: json!(item.count.at_least().saturating_add(more)),
        old: Some(json!(item.count)),
    });
    Ok(edits)
}
