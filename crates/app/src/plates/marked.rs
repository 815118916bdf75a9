//! What is measured by points on a plate: a thing of known size, a distance, a diameter, a row, an angle.
//!
//! In: points on a photograph and what they are of. Out: where the points come to lie, what they give with its
//! uncertainty, the edits that record it. Not here: how it is worked out and what is recorded (`measure`); nothing is
//! written.

use super::{Plate, Plates};
use crate::desk::{self, View};
use crate::measure::{Counted, MeasureOptions, Measured, Wanted, marked, scale, wanted};
use crate::{Problem, outlines};
use imaging::pixels::Photo as Decoded;
use record::{Edit, Photo, Place, Position};
use serde::{Deserialize, Serialize};
use serde_json::json;
use std::sync::Arc;

/// Points that are marked on a photograph.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(default)]
pub struct Marks {
    /// The points, pixels of the upright photograph.
    pub at: Vec<[f64; 2]>,
    /// What of known size they are of, as typed: `40 mm`, `plate 25 × 15 mm`, `ID-1 card`, `ruler every 1 mm`.
    pub known: Option<String>,
    /// What is measured, a word of [`record::MeasureSubject`].
    pub what: Option<String>,
    /// The item that is measured.
    pub item: Option<String>,
    /// Whether the gaps of a row are counted, not the things.
    pub gaps: bool,
    /// Standard uncertainty of a point, pixels.
    pub within: Option<f64>,
    /// Height above what is of known size, with its unit.
    pub height: Option<String>,
}

/// What points give.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Marked {
    /// The points that are needed.
    pub wanted: Wanted,
    /// Where the points come to lie; empty before there are enough.
    pub at: Vec<[f64; 2]>,
    /// What they give, each with its uncertainty.
    pub gives: Vec<String>,
    /// What became of the points, in words.
    pub told: String,
    /// What is assumed.
    pub notes: Vec<String>,
    /// What records it.
    pub edits: Vec<Edit>,
    /// Why they give nothing.
    pub why: Option<String>,
}

/// Words between which and a length stands that a ruler's marks are so far apart.
const EVERY: &str = "every ";

impl Plates {
    /// Says what points on a photograph give.
    ///
    /// # Errors
    /// No such photograph; one that cannot be read; nothing that can be measured; points outside.
    pub async fn marked(
        &self,
        view: &Arc<View>,
        photo: &str,
        marks: Marks,
    ) -> Result<Marked, Problem> {
        let options = options(&marks);
        let wanted = wanted(&options)?;
        if wanted.of_item && marks.item.is_none() {
            let what = marks.what.as_deref().unwrap_or_default();
            let message = format!("{what} is a size of a part");
            let remedy = "put the cross on a part that was taken, or measure a distance";
            return Err(Problem::unfit(message, remedy));
        }
        let plate = Plate::of(view, photo)?;
        if marks.at.len() < wanted.least {
            return Ok(Marked::waiting(wanted));
        }
        let decoded = self.photograph(plate.sha256).await?;
        let pixels = [decoded.picture.width, decoded.picture.height];
        for at in &marks.at {
            outlines::on(pixels, *at, plate.photo)?;
        }
        let mut photo = plate.photo.clone();
        photo.pixels = Some(pixels);
        let view = Arc::clone(view);
        desk::blocking(move || Ok(worked(&view, &photo, &options, &decoded, wanted))).await
    }
}

impl Marked {
    fn waiting(wanted: Wanted) -> Self {
        Self {
            wanted,
            at: Vec::new(),
            gives: Vec::new(),
            told: String::new(),
            notes: Vec::new(),
            edits: Vec::new(),
            why: None,
        }
    }
}

/// Returns things of known size by the name that [`Marks::known`] takes, with their size in words.
pub fn known_things() -> Vec<(String, String)> {
    use imaging::geometry::{ObjectShape as S, objects};
    let size = |shape: &S| match shape {
        S::Rectangle(length, width) => format!("{} × {} mm", length.value, width.value),
        S::Diameter(diameter) => format!("{} mm across", diameter.value),
        S::Pitch(pitch) => format!("{} mm from one to the next", pitch.value),
    };
    let ruler = ("ruler every 1 mm", "its marks from one place to another");
    let typed = [ruler].map(|(name, size)| (name.to_string(), size.to_string()));
    let table = objects()
        .iter()
        .map(|o| (o.name.to_string(), size(&o.shape)));
    typed.into_iter().chain(table).collect()
}

fn options(marks: &Marks) -> MeasureOptions {
    let known = marks.known.as_deref().map(str::trim);
    let every = known.and_then(|text| {
        let at = text.find(EVERY)?;
        let (name, every) = (text[..at].trim(), text[at + EVERY.len()..].trim());
        let name = Some(name).filter(|name| !name.is_empty());
        Some((name.map(String::from), every.to_string()))
    });
    let (name, every) = every.unzip();
    let is_pitch = marks.what.as_deref() == Some("pitch");
    MeasureOptions {
        at: Some(marks.at.clone()),
        what: marks.what.clone(),
        item: marks.item.clone(),
        row: every.is_some() || is_pitch,
        known: known.filter(|_| every.is_none()).map(String::from),
        count: match marks.gaps {
            true => Counted::Gaps,
            false => Counted::Things,
        },
        every,
        name: name.flatten(),
        snap: true,
        within: marks.within,
        height: marks.height.clone(),
        ..MeasureOptions::default()
    }
}

/// Works the points out, moved to what the picture shows; as they were marked where it shows nothing near.
fn worked(
    view: &View,
    photo: &Photo,
    options: &MeasureOptions,
    decoded: &Arc<Decoded>,
    wanted: Wanted,
) -> Marked {
    let at = options.at.as_deref().unwrap_or_default();
    let pixels = || Ok(Arc::clone(decoded));
    let take = |options: &MeasureOptions| marked(options, &view.dossier, photo, at, &pixels);
    let snapped = take(options);
    let (found, told) = match snapped {
        Err(why) if !options.row => {
            let as_marked = MeasureOptions {
                snap: false,
                ..options.clone()
            };
            (take(&as_marked), format!("as marked: {}", why.message))
        }
        found => (found, String::new()),
    };
    match found {
        Ok(found) => Marked::of(wanted, photo, found, told),
        Err(why) => Marked {
            why: Some(format!("{}; {}", why.message, why.remedy)),
            at: at.to_vec(),
            ..Marked::waiting(wanted)
        },
    }
}

impl Marked {
    fn of(wanted: Wanted, photo: &Photo, found: Measured, told: String) -> Self {
        let or = |other: Option<String>| match told.is_empty() {
            true => other.unwrap_or_default(),
            false => told.clone(),
        };
        let (mut gives, mut notes, mut edits) = (Vec::new(), Vec::new(), Vec::new());
        let (mut at, mut words) = (Vec::new(), String::new());
        let add = |to: Place, entry| Edit::Add {
            to,
            entry,
            position: Position::Last,
        };
        match found {
            Measured::Sizes { results, .. } => {
                for result in results {
                    gives.extend(result.figures.iter().map(|figure| figure.text.clone()));
                    words = or(result.measure.note.clone());
                    at.clone_from(&result.measure.at);
                    edits.push(add(Place::dossier().at("measures"), json!(result.measure)));
                    notes.extend(result.notes);
                }
            }
            Measured::Scale(new) => {
                let mut with = photo.clone();
                with.references.push(new.reference.clone());
                gives.extend(scale_words(&with));
                words = or(new.found.clone());
                at.clone_from(&new.reference.at);
                let to = Place::photo(&photo.id).at("references");
                edits.push(add(to, json!(new.reference)));
                notes = new.notes;
            }
        }
        Self {
            at,
            gives,
            told: words,
            notes,
            edits,
            ..Self::waiting(wanted)
        }
    }
}

/// Says what the scale of a photograph is, and how far it tilts.
fn scale_words(photo: &Photo) -> Vec<String> {
    let Some(scale) = photo.pixels.and_then(|pixels| scale(photo, pixels)) else {
        return Vec::new();
    };
    let [per_mm, half] = scale.px_per_mm;
    let decimals = quantity::decimals_beside(per_mm, half, &[]).unwrap_or(2);
    let mut words = vec![format!(
        "{per_mm:.decimals$} px/mm ± {half:.decimals$} px/mm"
    )];
    words.extend(
        scale
            .tilt_deg
            .map(|tilt| format!("the view tilts by {tilt:.0}°")),
    );
    words
}
