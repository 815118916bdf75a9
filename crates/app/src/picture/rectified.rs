//! A photograph as seen from straight above, at a stated scale: plain, and with numbers.

use super::numbered::{PictureStyle, Seen, draw};
use super::{Kernel, Rectify};
use crate::imaging_problem::Work;
use crate::{At, Problem, Watch};
use callout::{Region, Trace};
use imaging::Picture;
use imaging::geometry::Plane;
use imaging::pixels::rectify::{Kernel as Resampling, Lens, Map, RectifyOptions, resample};
use imaging::pixels::{Encoding, encode};
use methods::photogrammetry::PhotoPlane;
use record::{Photo, Place};
use store::OutputFile;

/// Files and what to say of them.
pub(super) struct Flat {
    pub(super) files: Vec<OutputFile>,
    pub(super) remark: String,
}

/// Most pixels of a rectified picture.
const MOST_PIXELS: f64 = 100e6;
/// How far the view may reach beyond what is marked, as a share of its size: far from it a tilted view is
/// stretched without end.
const BEYOND: f64 = 1.0;

/// Takes what was seen, so that the photograph is let go once the view is made: of 48 megapixels, both are
/// 144 MB each.
pub(super) fn files(
    rectify: &Rectify,
    seen: Seen<'_>,
    look: &PictureStyle,
    watch: &dyn Watch,
) -> Result<Flat, Problem> {
    let Seen {
        photo,
        decoded,
        regions,
    } = seen;
    let (picture, profile) = (decoded.picture, decoded.profile);
    let place = || At::Record(Place::photo(&photo.id));
    let fault = |why: String| Problem::of_imaging(Work::Rectify, why, place());
    let mut sized = photo.clone();
    sized.pixels = Some([picture.width, picture.height]);
    let plane = PhotoPlane::of(&sized).map_err(fault)?.plane;
    let view = View::of(&plane, &sized, &regions, rectify.per_mm).ok_or_else(|| {
        fault(format!(
            "{}: the plane is seen too slantwise",
            Place::photo(&photo.id)
        ))
    })?;
    let [width, height] = view.size;
    if f64::from(width) * f64::from(height) > MOST_PIXELS {
        let why = format!("the rectified picture would have {width} × {height} pixels");
        return Err(Problem::of_imaging(Work::Enlarge, why, place()));
    }
    watch.stage(&format!(
        "rectifying {} to {width} × {height} pixels, {} per mm",
        photo.id, view.per_mm
    ));
    let flat = from_above(&view, &plane, &picture, rectify.kernel, watch).map_err(fault)?;
    drop(picture);
    let shown: Vec<Region> = regions
        .iter()
        .filter_map(|r| view.region(&plane, r))
        .collect();
    let name = format!("{}-rectified", photo.id);
    // Drawn first: drawing needs most room beside the view, and the plain file is the largest of all.
    let drawn = draw(
        &name,
        photo,
        (&flat, profile.as_deref()),
        Some(view.per_mm),
        &shown,
        look,
    )?;
    let plain = encode(&flat, Encoding::Png, Some(view.per_mm), profile.as_deref())
        .map_err(|e| fault(e.to_string()))?;
    let mut files = vec![OutputFile {
        path: format!("{name}-plain.png"),
        bytes: plain,
    }];
    files.extend(drawn);
    Ok(Flat {
        files,
        remark: format!(
            "{name}: {} pixels per mm, {:.1} × {:.1} mm",
            view.per_mm,
            f64::from(width) / view.per_mm,
            f64::from(height) / view.per_mm
        ),
    })
}

/// Makes the view of the plane from straight above.
fn from_above(
    view: &View,
    plane: &Plane,
    picture: &Picture,
    kernel: Kernel,
    watch: &dyn Watch,
) -> Result<Picture, String> {
    let lens = Lens::of_picture(picture.width, picture.height, plane.distortion());
    let map = Map::top_down(
        view.turned(plane.homography()),
        Some(lens),
        view.corner_mm,
        view.per_mm,
    );
    let [width, height] = view.size;
    let wanted = RectifyOptions {
        left: 0,
        top: 0,
        width,
        height,
        kernel: match kernel {
            Kernel::Bilinear => Resampling::Bilinear,
            Kernel::Cubic => Resampling::CatmullRom,
            Kernel::Lanczos => Resampling::Lanczos4,
        },
        outside: [0x80; 3],
    };
    let flat = resample(picture, &map, &wanted, &mut |_| watch.goes_on());
    flat.map_err(|e| e.to_string())
}

/// What part of the plane is shown, how large, and which way up.
struct View {
    corner_mm: [f64; 2],
    size: [u32; 2],
    per_mm: f64,
    /// Quarter turns of the view against the plane, so that up stays up.
    turn: [[f64; 2]; 2],
}

impl View {
    fn of(plane: &Plane, photo: &Photo, regions: &[Region], per_mm: Option<f64>) -> Option<Self> {
        let [width, height] = photo.pixels?.map(f64::from);
        let middle = [width / 2.0, height / 2.0];
        let (a, b) = (
            plane.to_plane(middle)?,
            plane.to_plane([middle[0] + 1.0, middle[1]])?,
        );
        let quarter = ((b[1] - a[1]).atan2(b[0] - a[0]) / std::f64::consts::FRAC_PI_2).round();
        let turn = match quarter.rem_euclid(4.0) as u32 {
            0 => [[1.0, 0.0], [0.0, 1.0]],
            1 => [[0.0, -1.0], [1.0, 0.0]],
            2 => [[-1.0, 0.0], [0.0, -1.0]],
            _ => [[0.0, 1.0], [-1.0, 0.0]],
        };
        let mut view = Self {
            corner_mm: [0.0; 2],
            size: [1; 2],
            per_mm: per_mm.unwrap_or_else(|| 1.0 / plane.mm_per_px(middle).unwrap_or(1.0)),
            turn,
        };
        if per_mm.is_none() {
            // Two digits are easy to remember and near enough to the photograph's own.
            view.per_mm = format!("{:.1e}", view.per_mm)
                .parse()
                .unwrap_or(view.per_mm);
        }
        let scale = photo.scale.iter().flat_map(|s| [s.from, s.to]);
        let marked = photo.references.iter().flat_map(|r| r.at.iter().copied());
        let around = regions.iter().flat_map(|r| corners(r.rect));
        let marked: Vec<[f64; 2]> = scale
            .chain(marked)
            .chain(around)
            .filter_map(|p| view.on_view(plane, p))
            .collect();
        let frame: Vec<[f64; 2]> = corners([0.0, 0.0, width, height])
            .into_iter()
            .filter_map(|p| view.on_view(plane, p))
            .collect();
        let near = span(&marked)?;
        let far = span(&frame).filter(|_| frame.len() == 4).unwrap_or(near);
        let side = |i: usize| {
            let room = BEYOND * (near[i][1] - near[i][0]);
            let low = far[i][0].max(near[i][0] - room);
            let high = far[i][1].min(near[i][1] + room);
            (low, high)
        };
        let sides = [side(0), side(1)];
        view.corner_mm = sides.map(|(low, _)| low);
        let pixels = sides.map(|(low, high)| ((high - low) * view.per_mm).round().max(1.0));
        if pixels.iter().any(|p| !p.is_finite() || *p > 1e6) {
            return None;
        }
        view.size = pixels.map(|p| p as u32);
        Some(view)
    }

    /// Returns the place of a pixel of the photograph, mm along the sides of the view.
    fn on_view(&self, plane: &Plane, px: [f64; 2]) -> Option<[f64; 2]> {
        let p = plane.to_plane(px)?;
        let t = self.turn;
        // The inverse of a turn is its transpose.
        Some([
            t[0][0] * p[0] + t[1][0] * p[1],
            t[0][1] * p[0] + t[1][1] * p[1],
        ])
    }

    fn in_pixels(&self, plane: &Plane, px: [f64; 2]) -> Option<[f64; 2]> {
        let mm = self.on_view(plane, px)?;
        Some([0, 1].map(|i: usize| (mm[i] - self.corner_mm[i]) * self.per_mm))
    }

    /// Turns a homography from the plane to the photograph into one from the view.
    fn turned(&self, h: [[f64; 3]; 3]) -> [[f64; 3]; 3] {
        let t = self.turn;
        h.map(|row| {
            [
                row[0] * t[0][0] + row[1] * t[1][0],
                row[0] * t[0][1] + row[1] * t[1][1],
                row[2],
            ]
        })
    }

    /// Returns a region where the view shows it; `None` outside.
    fn region(&self, plane: &Plane, region: &Region) -> Option<Region> {
        let place = |p: &[f64; 2]| self.in_pixels(plane, *p);
        let seen: Vec<[f64; 2]> = corners(region.rect).iter().filter_map(place).collect();
        let [[x0, x1], [y0, y1]] = span(&seen)?;
        let [width, height] = self.size.map(f64::from);
        let (x0, y0) = (x0.clamp(0.0, width), y0.clamp(0.0, height));
        let (x1, y1) = (x1.clamp(0.0, width), y1.clamp(0.0, height));
        if x1 - x0 < 1.0 || y1 - y0 < 1.0 {
            return None;
        }
        let traces = region.traces.iter().map(|t| Trace {
            line: t.line.iter().filter_map(place).collect(),
            dots: t.dots.iter().filter_map(place).collect(),
        });
        Some(Region {
            rect: [x0, y0, x1 - x0, y1 - y0],
            traces: traces.collect(),
            ..region.clone()
        })
    }
}

fn corners([x, y, w, h]: [f64; 4]) -> [[f64; 2]; 4] {
    [[x, y], [x + w, y], [x + w, y + h], [x, y + h]]
}

/// Returns the least and the greatest of each coordinate.
fn span(points: &[[f64; 2]]) -> Option<[[f64; 2]; 2]> {
    let first = points.first()?;
    let start = [0, 1].map(|i: usize| [first[i]; 2]);
    Some(points.iter().fold(start, |spans, p| {
        [0, 1].map(|i: usize| [spans[i][0].min(p[i]), spans[i][1].max(p[i])])
    }))
}
