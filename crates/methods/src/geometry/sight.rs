//! The plane that a photograph's scale lies in.

use crate::Finding;
use imaging::geometry::{Click, Measured, Options, Plane, Reference, ReferenceKind};
use record::Photo;

/// Standard uncertainty of a marked point, pixels: a point set by hand lies within two pixels of the edge
/// it stands for (common practice; rectangular).
pub(super) const MARK_PX: f64 = 1.2;

/// A photograph with its plane.
pub(super) struct Sight {
    pub(super) plane: Plane,
    height_notes: Vec<String>,
}

impl Sight {
    /// Fits the plane of a photograph's scale.
    ///
    /// # Errors
    /// Why it gives none, with the remedy, as one sentence.
    pub(super) fn of(photo: &Photo) -> Result<Self, String> {
        let Some(scale) = &photo.scale else {
            return Err("no known length is marked".to_string());
        };
        let click = |[x, y]: [f64; 2]| Click::new(x, y, MARK_PX);
        let length_mm = scale.length.si() * 1e3;
        // A length printed on a ruler is as good as half its last digit.
        let uncertainty = scale
            .length
            .stated_distribution()
            .map_or(0.05 / 3.0_f64.sqrt(), |d| d.sd() * 1e3);
        let reference = Reference {
            name: "marked length".to_string(),
            kind: ReferenceKind::Distance {
                ends: [click(scale.from), click(scale.to)],
                length: Measured::new(length_mm, uncertainty),
            },
        };
        let [width, height] = extent(photo);
        let plane = Plane::fit(&[reference], &Options::new(width, height))
            .map_err(|e| format!("photos.{}.scale: {e}", photo.id))?;
        let height_notes = plane
            .height_error(1.0)
            .map(|e| e.sentence)
            .into_iter()
            .collect();
        Ok(Self {
            plane,
            height_notes,
        })
    }

    /// Adds what the measures rest on.
    pub(super) fn explain(&self, finding: &mut Finding) {
        finding.assume(format!(
            "Marked points have a standard uncertainty of {MARK_PX} pixels; the camera looked straight down \
             within a standard uncertainty of 3°, and its lens bends lines by up to about 1 % at the corners. \
             The picture is taken to be as large as the marks in it need, so its middle is uncertain."
        ));
        for note in self.plane.notes().iter().chain(&self.height_notes) {
            finding.assume(note.clone());
        }
        finding.cite(
            "R. Hartley and A. Zisserman, Multiple View Geometry, 2nd ed. (2004), 4.4 (normalised direct linear \
             transformation) and 7.4 (radial distortion).",
        );
        finding.cite("JCGM 100:2008 (GUM), 5.1.2 (propagation) and 6.2 (k = 3).");
    }
}

/// The smallest picture that holds every mark, with a margin of a twentieth.
fn extent(photo: &Photo) -> [u32; 2] {
    let mut most = [1.0_f64; 2];
    let scale = photo.scale.iter().flat_map(|s| [s.from, s.to]);
    let corners = photo.regions.iter().map(|r| {
        let [x, y, w, h] = r.rect.map(f64::from);
        [x + w, y + h]
    });
    for point in scale.chain(corners) {
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
    most.map(|m| (m * 1.05).ceil() as u32)
}
