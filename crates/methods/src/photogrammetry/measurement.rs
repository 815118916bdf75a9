//! Everything measured on one photograph, whichever way it was marked.

use super::PhotoPlane;
use super::plane::{clicks, marked};
use imaging::geometry::{
    Click, Estimate, HeightCorrection, Measure, OutlinePoints, circle, corners_of_sides, ellipse,
};
use record::{Item, MeasureSubject, Photo, PhotoMeasure, Place, ReadingSubject, Region};

/// One thing measured: a measure of the record, or the outline of a region.
#[derive(Debug, Clone)]
pub struct Measurement<'d> {
    /// Id of the measure; `None` for the outline of a region.
    pub id: Option<&'d str>,
    /// What was measured, for the reader.
    pub name: &'d str,
    /// The item, where there is one.
    pub item: Option<&'d Item>,
    /// Where it can be checked.
    pub evidence: Vec<Place>,
    /// The points.
    pub clicks: Vec<Click>,
    /// Their height above the plane.
    pub lift: HeightCorrection,
    /// What they give, in the order told.
    pub sides: Vec<MeasuredSize>,
}

impl Measurement<'_> {
    /// Returns the line that was measured, in pixels, the first point repeated at the end where it is closed.
    pub fn line(&self) -> Vec<[f64; 2]> {
        let mut line: Vec<[f64; 2]> = self.clicks.iter().map(|c| c.at).collect();
        let marked = match self.sides.first().map(|s| &s.measure) {
            Some(Measure::Diameter) => return rim(&line).unwrap_or(line),
            Some(Measure::Length(marked) | Measure::Width(marked) | Measure::Area(marked)) => {
                *marked
            }
            _ => return line,
        };
        if marked == OutlinePoints::Sides
            && let Some(corners) = corners_of_sides(&line)
        {
            line = corners;
        }
        line.extend(line.first().copied());
        line
    }
}

/// Steps of a rim that is drawn.
const RIM_STEPS: u32 = 72;

/// Returns the ellipse through points of a rim, the circle where there are fewer than five.
fn rim(points: &[[f64; 2]]) -> Option<Vec<[f64; 2]>> {
    let (middle, [a, b], direction) = match ellipse(points) {
        Some(e) => (e.middle, e.half_axes, e.direction_rad),
        None => {
            let c = circle(points)?;
            (c.middle, [c.radius; 2], 0.0)
        }
    };
    let (sin, cos) = direction.sin_cos();
    let at = |k: u32| {
        let (s, c) = (f64::from(k) / f64::from(RIM_STEPS) * std::f64::consts::TAU).sin_cos();
        let (u, v) = (a * c, b * s);
        [middle[0] + u * cos - v * sin, middle[1] + u * sin + v * cos]
    };
    Some((0..=RIM_STEPS).map(at).collect())
}

/// One result of a thing measured.
#[derive(Debug, Clone)]
pub struct MeasuredSize {
    /// What it is called ("diameter").
    pub name: &'static str,
    /// The size of an item that it is.
    pub subject: Option<ReadingSubject>,
    /// How it follows from the points.
    pub measure: Measure,
    /// Value and standard uncertainty: mm, mm² or degrees.
    pub found: Estimate,
}

impl<'d> Measurement<'d> {
    /// Works out one measure of the record, of an item where there is one.
    ///
    /// # Errors
    /// Why it has no answer, with its place in the record.
    pub fn of(
        recorded: &'d PhotoMeasure,
        item: Option<&'d Item>,
        photo_plane: &PhotoPlane,
    ) -> Result<Self, String> {
        let marked = marked(recorded.on_sides);
        let mut taken = Self {
            id: Some(&recorded.id),
            name: item.map_or(recorded.id.as_str(), |i| i.name.as_str()),
            item,
            evidence: vec![Place::measure(&recorded.id), Place::photo(&recorded.photo)],
            clicks: clicks(&recorded.at, recorded.within, &recorded.snapped, marked),
            lift: photo_plane.lift(recorded.height.as_ref(), item),
            sides: Vec::new(),
        };
        let steps = || {
            if recorded.steps.is_empty() {
                Measure::pitch_of_all(recorded.at.len())
            } else {
                Measure::Pitch(recorded.steps.clone())
            }
        };
        let at = |why| format!("{}: {why}", Place::measure(&recorded.id));
        use MeasureSubject as M;
        use ReadingSubject as R;
        let wanted: &[(&'static str, Option<R>, Measure)] = &match recorded.what {
            M::Length => [("length", Some(R::Length), Measure::Distance)],
            M::Width => [("width", Some(R::Width), Measure::Distance)],
            M::Height => [("height", Some(R::Height), Measure::Distance)],
            M::Thickness => [("thickness", Some(R::Thickness), Measure::Distance)],
            M::Diameter => [("diameter", Some(R::Diameter), Measure::Diameter)],
            M::Area => [("area", None, Measure::Area(marked))],
            M::Pitch => [("pitch", None, steps())],
            M::Angle => [("angle", None, Measure::Angle)],
            M::Distance => [("distance", None, Measure::Distance)],
            M::Unknown => return Err(at("what was measured is not noted".to_string())),
            M::Body => {
                return taken.body(photo_plane, marked).map_err(at);
            }
        };
        for (name, subject, measure) in wanted {
            let side = taken.side(photo_plane, name, *subject, measure.clone());
            taken.sides.push(side.map_err(at)?);
        }
        Ok(taken)
    }

    /// Takes length and width of a rectangle, the longer first.
    fn body(mut self, photo_plane: &PhotoPlane, marked: OutlinePoints) -> Result<Self, String> {
        let [length, width] = [Measure::Length(marked), Measure::Width(marked)];
        let [across, down] = photo_plane
            .plane
            .estimate_both([&length, &width], &self.clicks, Some(&self.lift))
            .map_err(|e| e.to_string())?;
        let mut found = [(length, across), (width, down)];
        if down.value > across.value {
            found.swap(0, 1);
        }
        let names = [
            ("length", ReadingSubject::Length),
            ("width", ReadingSubject::Width),
        ];
        self.sides = names
            .into_iter()
            .zip(found)
            .map(|((name, subject), (measure, found))| MeasuredSize {
                name,
                subject: Some(subject),
                measure,
                found,
            })
            .collect();
        Ok(self)
    }

    fn side(
        &self,
        photo_plane: &PhotoPlane,
        name: &'static str,
        subject: Option<ReadingSubject>,
        measure: Measure,
    ) -> Result<MeasuredSize, String> {
        let found = photo_plane
            .plane
            .estimate(&measure, &self.clicks, Some(&self.lift))
            .map_err(|e| e.to_string())?;
        Ok(MeasuredSize {
            name,
            subject,
            measure,
            found,
        })
    }

    /// Takes the outline of an item along the sides of the picture: of round things, whose diameter is recorded,
    /// the rim at the middles of the sides.
    ///
    /// # Errors
    /// Why it has no answer, with its place in the record.
    pub(super) fn outline(
        photo: &Photo,
        region: &Region,
        item: &'d Item,
        is_round: bool,
        photo_plane: &PhotoPlane,
    ) -> Result<Self, String> {
        let [x, y, w, h] = region.rect.map(f64::from);
        let points = if is_round {
            [
                (x + w / 2.0, y),
                (x + w, y + h / 2.0),
                (x + w / 2.0, y + h),
                (x, y + h / 2.0),
            ]
        } else {
            [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
        };
        let at = Place::region(&photo.id, &region.id);
        let mut taken = Self {
            id: None,
            name: &item.name,
            item: Some(item),
            evidence: vec![at.clone()],
            clicks: clicks(
                &points.map(|(x, y)| [x, y]),
                None,
                &[],
                OutlinePoints::Corners,
            ),
            lift: photo_plane.lift(region.height.as_ref(), Some(item)),
            sides: Vec::new(),
        };
        let place = |why: String| format!("{at}: {why}");
        if !is_round {
            return taken
                .body(photo_plane, OutlinePoints::Corners)
                .map_err(place);
        }
        let subject = Some(ReadingSubject::Diameter);
        let side = taken.side(photo_plane, "diameter", subject, Measure::Diameter);
        taken.sides.push(side.map_err(place)?);
        Ok(taken)
    }
}
