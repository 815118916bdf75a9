//! The plane that a photograph's things of known size lie in.

use super::heights;
use crate::assumed;
use imaging::geometry::{
    CameraPlace, Click, Height, HeightCorrection, Measured, ObjectShape, Options, OutlinePoints,
    Plane, Reference, ReferenceKind, outwards, round_object,
};
use quantity::Stated;
use record::{Item, Photo, Place, ReferenceShape};
use std::sync::Arc;

/// Standard uncertainty of a point marked by hand, pixels: it lies within two pixels of the edge it stands
/// for (common practice; rectangular).
pub const MARK_PX: f64 = assumed::MARK.number();

/// A photograph with its plane.
#[derive(Debug, Clone)]
pub struct PhotoPlane {
    /// The plane.
    pub plane: Arc<Plane>,
    camera: CameraPlace,
    size: [u32; 2],
    guessed_size: bool,
    distortion: Option<f64>,
}

impl PhotoPlane {
    /// Fits the plane of what is of known size in a photograph.
    ///
    /// # Errors
    /// Why there is none, with the place in the record and the remedy, as one sentence.
    pub fn of(photo: &Photo) -> Result<Self, String> {
        let place = Place::photo(&photo.id);
        let references =
            references(photo).map_err(|(n, why)| format!("{place}.references[{n}]: {why}"))?;
        if references.is_empty() {
            return Err(format!(
                "{place}: nothing of known size is marked; add `scale` or [[photos.references]]"
            ));
        }
        let size = photo.pixels.unwrap_or_else(|| extent(photo));
        let mut options = Options::new(size[0], size[1]);
        let camera = photo.camera.as_ref();
        let focal = camera
            .and_then(|c| c.equivalent_focal_length.as_ref())
            .map(|f| focal_px(f, size));
        options.focal_px = focal;
        options.distortion = assumed::LENS.si();
        options.tilt_deg = match camera.and_then(|c| c.tilt.as_ref()) {
            // Anywhere within the limit, about either axis by half of it.
            Some(limit) => limit.si().to_degrees() / 2.0,
            None => assumed::TILT.number(),
        };
        let distortion = camera.and_then(|c| c.distortion.as_ref()).map(Stated::si);
        if let Some(limit) = distortion {
            // A limit on either side: rectangular.
            options.distortion = limit / 3f64.sqrt();
        }
        let plane = Plane::fit(&references, &options).map_err(|why| format!("{place}: {why}"))?;
        let distance = camera.and_then(|c| c.distance.as_ref()).map(millimetres);
        Ok(Self {
            plane: Arc::new(plane),
            camera: distance
                .map(CameraPlace::Distance)
                .or(focal.map(CameraPlace::Focal))
                .unwrap_or(CameraPlace::Usual),
            size,
            guessed_size: photo.pixels.is_none(),
            distortion,
        })
    }

    /// Returns the correction for the height of a thing above the plane: as stated, or as usual for what it is.
    pub fn lift(&self, height: Option<&Stated>, item: Option<&Item>) -> HeightCorrection {
        HeightCorrection {
            height: match height {
                Some(stated) => millimetres(stated).into(),
                None => heights::height(item),
            },
            camera: self.camera,
        }
    }

    /// Says what is taken for granted about a height and the camera's place, where they are not stated.
    pub fn height_notes(&self, lift: &HeightCorrection, item: Option<&Item>) -> Vec<String> {
        let mut notes = Vec::new();
        if matches!(lift.height, Height::Usual { .. }) {
            notes.push(heights::note(item));
        }
        if self.camera == CameraPlace::Usual {
            notes.push(
                "The camera's place is not stated, so usual focal lengths say how far away it was; state \
                 `camera.distance` or `camera.equivalent-focal-length` to narrow the interval of what stands above \
                 or below the things of known size."
                    .to_string(),
            );
        }
        notes
    }

    /// Returns the pixels of one millimetre where that is the same all over the picture; `None` where the scale
    /// varies by more than [`assumed::SCALE_BAR`], so that a scale bar would hold in one place only.
    pub fn even_pixels_per_mm(&self) -> Option<f64> {
        let [width, height] = self.size.map(f64::from);
        let across = [0.0, 0.5, 1.0].map(|s| s * width);
        let down = [0.0, 0.5, 1.0].map(|s| s * height);
        let places = down.iter().flat_map(|y| across.map(|x| [x, *y]));
        let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
        for place in places {
            let [low, high] = self.plane.stretch(place)?;
            least = least.min(low);
            most = most.max(high);
        }
        (most <= least * (1.0 + assumed::SCALE_BAR.si()))
            .then(|| 2.0 / (least + most))
            .filter(|per_mm| per_mm.is_finite())
    }

    /// Lists what the measures rest on beside the marks, for the reader.
    pub fn notes(&self) -> Vec<String> {
        let lens = match self.distortion {
            Some(limit) => format!("at most {:.2} %, as recorded", 100.0 * limit),
            None => format!(
                "about {} (standard uncertainty); state `camera.distortion` if it is known better",
                assumed::LENS.text()
            ),
        };
        let mut notes = vec![format!(
            "Points marked by hand have a standard uncertainty of {MARK_PX} pixels unless `within` says \
             otherwise. The lens displaces the corners of the picture by {lens}. Where the things of known size \
             enclose no area, the camera looked straight down within a standard uncertainty of {:.1}° about either \
             axis.",
            self.plane.tilt_deg()
        )];
        if self.guessed_size {
            notes.push(
                "The picture is taken to be as large as the marks in it need, so its middle is uncertain; \
                 state `pixels`."
                    .to_string(),
            );
        }
        notes.extend(self.plane.notes().iter().cloned());
        notes
    }
}

/// Returns the pixels of one millimetre of a photograph for its scale bar; `None` where nothing of known size is
/// marked, or the scale varies.
pub fn pixels_per_mm(photo: &Photo) -> Option<f64> {
    PhotoPlane::of(photo).ok()?.even_pixels_per_mm()
}

/// A stated length in mm; a bare number is as good as half its last digit.
fn millimetres(stated: &Stated) -> Measured {
    let value = stated.si() * 1e3;
    let half_digit = (stated.last_digit * stated.unit.factor()).abs() / 2.0;
    let spread = stated
        .stated_distribution()
        .map_or(half_digit / 3f64.sqrt(), |d| d.sd());
    Measured::new(value, spread * 1e3)
}

fn focal_px(equivalent: &Stated, [width, height]: [u32; 2]) -> Measured {
    let diagonal = f64::from(width).hypot(f64::from(height));
    let mm = millimetres(equivalent);
    let scale = diagonal / assumed::FRAME_DIAGONAL.number();
    let doubt = mm
        .uncertainty
        .max(assumed::FOCAL_LENGTH.si() * mm.value.abs());
    Measured::new(mm.value * scale, doubt * scale)
}

/// Everything of known size in a photograph; for what cannot be used, its number from 1 and why.
fn references(photo: &Photo) -> Result<Vec<Reference>, (usize, String)> {
    let mut all = Vec::new();
    if let Some(scale) = &photo.scale {
        all.push(Reference {
            name: "marked length".to_string(),
            kind: ReferenceKind::Distance {
                ends: [scale.from, scale.to].map(|[x, y]| Click::new(x, y, MARK_PX)),
                length: ruled(&scale.length),
            },
        });
    }
    let recorded = photo.references.iter().enumerate();
    for (n, recorded) in recorded.filter(|(_, r)| r.shape != ReferenceShape::Unknown) {
        let kind = kind(recorded).ok_or_else(|| {
            let why = "points and sizes do not make up its shape".to_string();
            (n + 1, why)
        })?;
        all.push(Reference {
            name: recorded.name.clone(),
            kind,
        });
    }
    Ok(all)
}

/// A length marked on something ruled: a mark is wide, so 0.05 mm is the least doubt of a bare number.
fn ruled(length: &Stated) -> Measured {
    let spread = length
        .stated_distribution()
        .map_or(assumed::RULED_MARK.number() / 3f64.sqrt(), |d| d.sd() * 1e3);
    Measured::new(length.si() * 1e3, spread)
}

/// Points as recorded, with their standard uncertainty or that of marks set by hand; `snapped` where they were
/// found in the pixels.
pub(super) fn clicks(
    at: &[[f64; 2]],
    within: Option<f64>,
    snapped: &[[f64; 3]],
    marked: OutlinePoints,
) -> Vec<Click> {
    if snapped.len() == at.len() {
        let outwards = outwards(at, marked);
        let points = at.iter().zip(snapped).zip(outwards);
        return points
            .map(|((at, px), out)| Click::snapped(*at, *px, out))
            .collect();
    }
    let within = within.unwrap_or(MARK_PX);
    at.iter().map(|[x, y]| Click::new(*x, *y, within)).collect()
}

/// What the points of an outline are, by how the record says it.
pub(super) fn marked(on_sides: bool) -> OutlinePoints {
    if on_sides {
        OutlinePoints::Sides
    } else {
        OutlinePoints::Corners
    }
}

fn kind(recorded: &record::Reference) -> Option<ReferenceKind> {
    let clicks = clicks(
        &recorded.at,
        recorded.within,
        &recorded.snapped,
        marked(recorded.on_sides),
    );
    let length = recorded.length.as_ref();
    Some(match recorded.shape {
        ReferenceShape::Distance => ReferenceKind::Distance {
            ends: clicks.try_into().ok()?,
            length: ruled(length?),
        },
        ReferenceShape::Rectangle => {
            let mut length = millimetres(length?);
            let mut width = millimetres(recorded.width.as_ref()?);
            let round = round_object(length.value, width.value);
            if let Some(ObjectShape::Rectangle(l, w)) = round.map(|o| o.shape) {
                // Nobody measures a card to mark it: what is written is what its standard says, with its limits.
                length.uncertainty = length.uncertainty.max(l.uncertainty);
                width.uncertainty = width.uncertainty.max(w.uncertainty);
            }
            if recorded.on_sides {
                ReferenceKind::Sides {
                    points: clicks.try_into().ok()?,
                    length,
                    width,
                }
            } else {
                let corners = clicks.try_into().ok()?;
                match round.and_then(|o| o.corner) {
                    Some(radius) => ReferenceKind::RoundRectangle {
                        corners,
                        length,
                        width,
                        radius,
                    },
                    None => ReferenceKind::Rectangle {
                        corners,
                        length,
                        width,
                    },
                }
            }
        }
        ReferenceShape::Ruler => {
            let marks: Vec<f64> = match recorded.pitch.as_ref() {
                _ if !recorded.marks.is_empty() => {
                    recorded.marks.iter().map(|m| m.si() * 1e3).collect()
                }
                pitch => {
                    let step = pitch?.si() * 1e3;
                    (0..clicks.len()).map(|i| i as f64 * step).collect()
                }
            };
            if marks.len() != clicks.len() {
                return None;
            }
            ReferenceKind::Ruler {
                marks: clicks.into_iter().zip(marks).collect(),
                scale_uncertainty: relative(recorded.pitch.as_ref()),
            }
        }
        ReferenceShape::Unknown => return None,
        ReferenceShape::Grid => {
            let pitch = recorded.pitch.as_ref()?;
            let (step, columns) = (pitch.si() * 1e3, recorded.columns? as usize);
            let place = |i: usize| [(i % columns) as f64 * step, (i / columns) as f64 * step];
            ReferenceKind::Grid {
                points: clicks
                    .into_iter()
                    .enumerate()
                    .map(|(i, click)| (click, place(i)))
                    .collect(),
                scale_uncertainty: relative(Some(pitch)),
            }
        }
    })
}

/// Relative uncertainty that is written with a pitch; rulers and patterns are exact otherwise.
fn relative(pitch: Option<&Stated>) -> f64 {
    pitch
        .and_then(|p| Some(p.stated_distribution()?.sd() / p.si().abs()))
        .unwrap_or(0.0)
}

/// The smallest picture that holds every mark, with a margin of a twentieth.
fn extent(photo: &Photo) -> [u32; 2] {
    let mut most = [1.0_f64; 2];
    let scale = photo.scale.iter().flat_map(|s| [s.from, s.to]);
    let marked = photo.references.iter().flat_map(|r| r.at.iter().copied());
    let corners = photo.regions.iter().map(|r| {
        let [x, y, w, h] = r.rect.map(f64::from);
        [x + w, y + h]
    });
    for point in scale.chain(marked).chain(corners) {
        for i in 0..2 {
            most[i] = most[i].max(point[i]);
        }
    }
    // Marks lie within pictures of less than 2³² pixels a side.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "positive, and saturating by the language's rule"
    )]
    most.map(|m| (m * assumed::PICTURE_MARGIN.number()).ceil() as u32)
}
