//! A box that was marked about a part, moved to the edges that the picture shows.
//!
//! In: four corners on a photograph, and how well they were marked. Out: the points that a measure of it is taken
//! from, what became of each side, the size. Not here: how edges are found (`imaging`).

use super::{Plate, Plates};
use crate::desk::View;
use crate::measure::{CURVE, Settled, settle};
use crate::{Problem, desk, finite, outlines};
use imaging::Light;
use imaging::geometry::{
    Measured, MeasuredBody, Move, OutlinePoints, SnapOptions, corners_of_sides, matching,
    outlines as packages, snap_sides,
};
use imaging::pixels::Photo as Decoded;
use methods::photogrammetry::{Measurement, PhotoPlane};
use record::{Item, MeasureSubject, Photo, PhotoMeasure};
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// A box as it was marked.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub struct Snap {
    /// Its corners, clockwise from the upper left.
    pub corners: [[f64; 2]; 4],
    /// Standard uncertainty of a side, pixels of the photograph.
    pub within: f64,
    /// The side, from the upper one clockwise, whose rival is meant.
    #[serde(default)]
    pub rival: Option<usize>,
}

impl Snap {
    /// A box whose sides are marked as well as this; the likeliest edge of each is meant.
    pub fn new(corners: [[f64; 2]; 4], within: f64) -> Self {
        Self {
            corners,
            within,
            rival: None,
        }
    }
}

/// One side of a box.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BoxSide {
    /// `above`, `right`, `below` or `left`.
    pub name: &'static str,
    /// How far it moved, pixels.
    pub moved_px: f64,
    /// Whether that is more than three times the uncertainty of the mark.
    pub far: bool,
    /// Why it stands as it was marked.
    pub open: Option<String>,
    /// Another edge that may be meant.
    pub rival: Option<BoxRival>,
}

/// Another edge that may be meant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BoxRival {
    /// How far outwards of the edge taken, pixels; inwards below 0.
    pub outwards_px: f64,
    /// Probability that it is the one meant.
    pub probability: f64,
    /// In words.
    pub told: String,
}

/// A box on the edges of a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SnappedBox {
    /// Its corners.
    pub corners: [[f64; 2]; 4],
    /// Three points on each side, as a measure records them; none where no side has a clear edge.
    pub at: Vec<[f64; 2]>,
    /// What is recorded of each point's uncertainty.
    pub snapped: Vec<[f64; 3]>,
    /// The sides: above, right, below, left.
    pub sides: Vec<BoxSide>,
    /// What became of them, in words.
    pub told: String,
    /// The size in words: `2.51 × 3.00 mm ± 0.03 mm`, pixels without a scale.
    pub size: String,
    /// Length and width, mm, the longer first; none without a scale.
    pub size_mm: Option<[f64; 2]>,
    /// The packages that its size fits, the likeliest first.
    pub fits: Vec<String>,
    /// The rivals that somebody should decide about before the size is recorded, the likeliest first.
    pub asks: Vec<Ask>,
}

/// A question about one side of a box.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ask {
    /// The side, from the upper one clockwise.
    pub side: usize,
    /// What else may be meant, in words.
    pub told: String,
    /// What is noted when the edge taken is kept.
    pub kept: String,
}

/// Names of the sides, from the upper one clockwise.
const SIDES: [&str; 4] = ["above", "right", "below", "left"];
/// The order in which they are told.
const TOLD: [usize; 4] = [3, 0, 1, 2];
/// Standard uncertainties of a mark beyond which a side moved far.
const FAR: f64 = 3.0;
/// How far is looked, in standard uncertainties of the mark, and bounds, pixels.
const REACH: f64 = 5.0;
const REACH_PX: [f64; 2] = [10.0, 60.0];
/// Standard uncertainties in half a 95 % interval.
const HALF_95: f64 = 1.96;
/// A rival is asked about where it is about as likely as the edge taken; from the lower probability on where it would
/// take the size out of its interval.
const ASKED: f64 = 0.4;
const ASKED_FAR: f64 = 0.1;
/// Standard uncertainty of a side that was put on a rival, pixels.
const ON_RIVAL_PX: f64 = 1.0;
/// A package is told from this probability on.
const FITS: f64 = 0.2;

/// What a box is taken to be about, so that its size is the one that will be recorded.
static PART: LazyLock<Item> = LazyLock::new(|| {
    let part = serde_json::json!({ "id": "box", "name": "Box", "kind": "part" });
    serde_json::from_value(part).expect("an item needs an id, a name and a kind")
});

impl Plates {
    /// Moves the sides of a box to the edges near them.
    ///
    /// # Errors
    /// No such photograph; one that cannot be read; corners that are none.
    pub async fn snap(
        &self,
        view: &View,
        photo: &str,
        marked: &Snap,
    ) -> Result<SnappedBox, Problem> {
        finite::points(&marked.corners)?;
        finite::above_zero("the standard uncertainty of a side", Some(marked.within))?;
        let plate = Plate::of(view, photo)?;
        let decoded = self.photograph(plate.sha256).await?;
        let pixels = [decoded.picture.width, decoded.picture.height];
        for corner in marked.corners {
            let inside = [0, 1].map(|i: usize| corner[i].clamp(0.0, f64::from(pixels[i]) - 1e-6));
            outlines::on(pixels, inside, plate.photo)?;
        }
        let mut photo = plate.photo.clone();
        photo.pixels = Some(pixels);
        let marked = *marked;
        desk::blocking(move || {
            let found = snapped(&decoded, &photo, &marked);
            let rival = marked.rival.and_then(|side| found.on_rival(side));
            Ok(match rival {
                Some((marked, told)) => snapped(&decoded, &photo, &marked).by_rival(&marked, &told),
                None => found,
            })
        })
        .await
    }
}

impl SnappedBox {
    /// The same box marked with one side on its rival, and what that is called.
    fn on_rival(&self, side: usize) -> Option<(Snap, String)> {
        let rival = self.sides.get(side)?.rival.as_ref()?;
        let (p, q) = (self.corners[side], self.corners[(side + 1) % 4]);
        let along = [q[0] - p[0], q[1] - p[1]];
        let length = along[0].hypot(along[1]).max(1e-9);
        // The corners run clockwise, so that outwards is to the left.
        let out = [along[1] / length, -along[0] / length].map(|v| v * rival.outwards_px);
        let mut corners = self.corners;
        for n in [side, (side + 1) % 4] {
            corners[n] = [corners[n][0] + out[0], corners[n][1] + out[1]];
        }
        let marked = Snap {
            rival: Some(side),
            ..Snap::new(corners, ON_RIVAL_PX)
        };
        Some((marked, rival.told.clone()))
    }

    /// Says of which side the rival was taken; nothing is asked about it again.
    fn by_rival(mut self, marked: &Snap, told: &str) -> Self {
        self.asks.retain(|ask| Some(ask.side) != marked.rival);
        self.told = format!("{told}, taken; {}", self.told);
        self
    }
}

fn snapped(decoded: &Decoded, photo: &Photo, marked: &Snap) -> SnappedBox {
    let options = SnapOptions {
        click_px: marked.within,
        reach_px: (REACH * marked.within).clamp(REACH_PX[0], REACH_PX[1]),
        ..SnapOptions::default()
    };
    let light = Light::new(&decoded.picture, &CURVE);
    let (settled, sides) = match snap_sides(&light, &marked.corners, &options) {
        Ok(found) => {
            let sides = found.moves.iter().zip(SIDES);
            let sides = sides.map(|(moved, name)| side(moved, name, marked.within));
            (Some(settle(&found, OutlinePoints::Sides)), sides.collect())
        }
        Err(why) => {
            let open = |name| BoxSide {
                name,
                moved_px: 0.0,
                far: false,
                open: Some(why.to_string()),
                rival: None,
            };
            (None, SIDES.map(open).to_vec())
        }
    };
    let corners = settled
        .as_ref()
        .and_then(|s| corners_of_sides(&s.at)?.try_into().ok())
        .unwrap_or(marked.corners);
    let size = Size::of(photo, &corners, settled.as_ref(), &sides);
    let asks = size
        .half_px
        .map_or_else(Vec::new, |half| asks(&sides, half));
    let (at, uncertain) = settled.map_or_else(Default::default, |s| (s.at, s.snapped));
    SnappedBox {
        corners,
        at,
        snapped: uncertain,
        told: told(&sides),
        sides,
        size: size.text,
        size_mm: size.mm,
        fits: size.fits,
        asks,
    }
}

/// The rivals to be asked about, the likeliest first; `half_px` is half the interval of the size, pixels.
fn asks(sides: &[BoxSide], half_px: f64) -> Vec<Ask> {
    let least = |rival: &BoxRival| match rival.outwards_px.abs() > half_px {
        true => ASKED_FAR,
        false => ASKED,
    };
    let rivals = sides.iter().enumerate();
    let rivals = rivals.filter_map(|(n, side)| Some((n, side.rival.as_ref()?)));
    let mut asked: Vec<(usize, &BoxRival)> =
        rivals.filter(|(_, r)| r.probability >= least(r)).collect();
    asked.sort_by(|a, b| b.1.probability.total_cmp(&a.1.probability));
    let ask = |(side, rival): (usize, &BoxRival)| Ask {
        side,
        told: rival.told.clone(),
        kept: format!("{}, not taken", rival.told),
    };
    asked.into_iter().map(ask).collect()
}

fn side(moved: &Move, name: &'static str, within: f64) -> BoxSide {
    // The lines run clockwise, so that what lies to their right lies inside.
    let rival = moved.rivals.first().map(|rival| {
        let outwards_px = -rival.offset_px;
        let where_ = match outwards_px >= 0.0 {
            true => "outside",
            false => "inside",
        };
        use imaging::geometry::EdgeKind as K;
        let perhaps = match rival.kind {
            K::Sharp => "",
            K::Soft => ": perhaps its shadow",
            K::Halo => ": perhaps a halo",
        };
        BoxRival {
            outwards_px,
            probability: rival.probability,
            told: format!(
                "rival {name}, {:.0} px {where_}{perhaps}",
                outwards_px.abs()
            ),
        }
    });
    BoxSide {
        name,
        moved_px: moved.moved_px,
        far: moved.moved_px.abs() > FAR * within,
        open: moved.left.as_ref().map(ToString::to_string),
        rival,
    }
}

/// Says what became of the sides.
fn told(sides: &[BoxSide]) -> String {
    if sides.iter().all(|s| s.open.is_some()) {
        let why = sides.first().and_then(|s| s.open.clone());
        return format!("as marked: {}", why.unwrap_or_default());
    }
    let moved = TOLD.iter().filter_map(|i| sides.get(*i)).map(|side| {
        let far = if side.far { " far" } else { "" };
        match &side.open {
            Some(_) => format!("{} open", side.name),
            None => format!("{:.1} {}{far}", side.moved_px.abs(), side.name),
        }
    });
    let mut text = format!("sides moved {}, px", moved.collect::<Vec<_>>().join(" · "));
    let more = sides
        .iter()
        .filter_map(|s| s.rival.as_ref().map(|r| r.told.clone()))
        .chain(sides.iter().filter_map(|s| {
            let why = s.open.as_ref()?;
            Some(format!("{}: {why}", s.name))
        }));
    for more in more {
        text.push_str("; ");
        text.push_str(&more);
    }
    text
}

/// How large a box is.
struct Size {
    text: String,
    mm: Option<[f64; 2]>,
    /// Half the width of its 95 % interval, as pixels there.
    half_px: Option<f64>,
    fits: Vec<String>,
}

impl Size {
    fn of(
        photo: &Photo,
        corners: &[[f64; 2]; 4],
        settled: Option<&Settled>,
        sides: &[BoxSide],
    ) -> Self {
        let plane = photo.has_reference().then(|| PhotoPlane::of(photo).ok());
        if let (Some(Some(plane)), Some(settled)) = (plane, settled)
            && let Some(size) = Self::in_mm(photo, settled, sides, &plane)
        {
            return size;
        }
        let apart = |a: usize, b: usize| {
            (corners[a][0] - corners[b][0]).hypot(corners[a][1] - corners[b][1])
        };
        let (a, b) = (apart(0, 1), apart(1, 2));
        Self {
            text: format!("{:.0} × {:.0} px", a.max(b), a.min(b)),
            mm: None,
            half_px: None,
            fits: Vec::new(),
        }
    }

    fn in_mm(
        photo: &Photo,
        settled: &Settled,
        sides: &[BoxSide],
        plane: &PhotoPlane,
    ) -> Option<Self> {
        let measure = PhotoMeasure {
            id: "box".to_string(),
            photo: photo.id.clone(),
            item: None,
            region: None,
            what: MeasureSubject::Body,
            at: settled.at.clone(),
            on_sides: true,
            within: None,
            snapped: settled.snapped.clone(),
            steps: Vec::new(),
            height: None,
            replaces: None,
            note: None,
        };
        let taken = Measurement::of(&measure, Some(&PART), plane).ok()?;
        let [one, other, ..] = &taken.sides[..] else {
            return None;
        };
        let (length, width) = (&one.found, &other.found);
        let half = HALF_95 * length.uncertainty.max(width.uncertainty);
        let decimals = quantity::decimals_beside(length.value, half, &[]).unwrap_or(2);
        let mut text = format!(
            "{:.decimals$} × {:.decimals$} mm ± {half:.decimals$} mm",
            length.value, width.value
        );
        // A rival outside widens the side across from it.
        let wide = |pair: [usize; 2]| -> f64 {
            let rivals = pair.iter().filter_map(|i| sides[*i].rival.as_ref());
            rivals.map(|r| r.outwards_px.max(0.0)).sum()
        };
        let px = wide([1, 3]).max(wide([0, 2]));
        let middle = settled.at.first().copied().unwrap_or_default();
        let mm_per_px = plane.plane.mm_per_px(middle);
        if px > 0.0
            && let Some(mm) = mm_per_px
        {
            let most = length.value.max(width.value) + px * mm;
            text.push_str(&format!(" (to {most:.decimals$})"));
        }
        let measured = |found: &imaging::geometry::Estimate| Measured {
            value: found.value,
            uncertainty: found.uncertainty,
        };
        let body = MeasuredBody {
            length: measured(length),
            width: measured(width),
            pitch: None,
            pins: None,
        };
        let mut fits: Vec<String> = Vec::new();
        for fit in matching(&body, packages()).ranked {
            let name = match fit.outline.pins {
                Some(pins) => format!("{}-{pins}", fit.outline.family),
                None => fit.outline.family.clone(),
            };
            if fit.probability >= FITS && !fits.contains(&name) {
                fits.push(name);
            }
        }
        let (a, b) = (length.value, width.value);
        Some(Self {
            text,
            mm: Some([a.max(b), a.min(b)]),
            half_px: mm_per_px.map(|mm| half / mm),
            fits,
        })
    }
}
