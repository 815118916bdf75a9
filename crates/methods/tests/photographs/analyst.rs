//! Marks as an analyst sets them on a photograph whose truth is known.
//!
//! In: a photograph's pixels and truth, and chance. Out: points with their standard uncertainty, as the record keeps
//! them. Not here: what they measure. By hand a point misses by 1.2 pixels (standard deviation, each way); snapped,
//! the same rough points go through the product's own search for edges.

use imaging::geometry::{
    Click, OutlinePoints, RowOptions, SnapError, SnapOptions, outwards, propose_row, snap_ends,
    snap_rim, snap_sides,
};
use imaging::{Grey, Light, Picture, ToneCurve};
use lightbox::{Chance, Kind, Ruler, Thing, Truth};

/// Standard deviation of a point set by hand, pixels, each way.
pub(crate) const MISS_PX: f64 = 1.2;
/// Points set on a rim.
const ON_RIM: u32 = 8;
/// A corner rounded more than this is not marked, but its sides, mm.
const ROUND_MM: f64 = 0.5;

/// How points are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Hand {
    /// By hand.
    Free,
    /// By hand, then moved to the edges that the picture shows.
    Snapped,
}

/// Points as they are recorded.
#[derive(Debug, Clone)]
pub(crate) struct Marks {
    pub(crate) at: Vec<[f64; 2]>,
    pub(crate) on_sides: bool,
    /// Standard uncertainty, pixels; by hand the usual one.
    pub(crate) within: Option<f64>,
    /// Of each point: the standard uncertainty that it has alone, and what it shares with the photograph.
    pub(crate) snapped: Vec<[f64; 3]>,
    /// As snapped, with the covariance of each.
    pub(crate) clicks: Vec<Click>,
}

/// An analyst at one photograph.
pub(crate) struct Analyst<'p> {
    pub(crate) truth: &'p Truth,
    picture: &'p Picture,
    curve: ToneCurve,
    pub(crate) chance: Chance,
}

impl<'p> Analyst<'p> {
    pub(crate) fn new(truth: &'p Truth, picture: &'p Picture, chance: Chance) -> Self {
        Self {
            truth,
            picture,
            curve: ToneCurve::srgb(),
            chance,
        }
    }

    fn light(&self) -> Light<'_> {
        Light::new(self.picture, &self.curve)
    }

    /// Points missed by hand.
    pub(crate) fn rough(&mut self, places: &[[f64; 3]]) -> Vec<[f64; 2]> {
        let seen = self.truth.px(places);
        let miss = |p: [f64; 2]| p.map(|v| v + MISS_PX * self.chance.normal());
        seen.into_iter().map(miss).collect()
    }

    fn by_hand(&mut self, places: &[[f64; 3]], on_sides: bool) -> Marks {
        Marks {
            at: self.rough(places),
            on_sides,
            within: None,
            snapped: Vec::new(),
            clicks: Vec::new(),
        }
    }

    /// Marks the sides of a thing's top.
    pub(crate) fn sides(&mut self, thing: &Thing, hand: Hand) -> Result<Marks, SnapError> {
        let corners = thing.corners_mm(thing.solid.top);
        if hand == Hand::Snapped {
            let rough = self.rough(&corners);
            let clicks = snap_sides(&self.light(), &rough, &SnapOptions::default())?.clicks;
            return Ok(recorded(clicks, true));
        }
        if thing.kind != Kind::Card && thing.solid.corner < ROUND_MM {
            return Ok(self.by_hand(&corners, false));
        }
        Ok(self.by_hand(&on_sides(&corners), true))
    }

    /// Marks a card where its round corners reach farthest out.
    pub(crate) fn round_corners(&mut self, thing: &Thing) -> Marks {
        self.by_hand(&thing.rounded_corners_mm(thing.solid.top), false)
    }

    /// Marks both ends of a thing along its length.
    pub(crate) fn ends(&mut self, thing: &Thing, hand: Hand) -> Result<Marks, SnapError> {
        let half = thing.solid.half[0];
        let ends = [-half, half].map(|x| thing.solid.place([x, 0.0], thing.solid.top));
        if hand == Hand::Free {
            return Ok(self.by_hand(&ends, false));
        }
        let rough = self.rough(&ends);
        let ends = snap_ends(&self.light(), [rough[0], rough[1]], &SnapOptions::default())?.clicks;
        Ok(recorded(ends, false))
    }

    /// Marks the rim of a round thing's top.
    pub(crate) fn rim(&mut self, thing: &Thing, hand: Hand) -> Result<Marks, SnapError> {
        let rim = thing.rim_mm(thing.solid.top, ON_RIM);
        if hand == Hand::Free {
            return Ok(self.by_hand(&rim, false));
        }
        let rough = self.rough(&rim);
        let clicks = snap_rim(&self.light(), &rough, &SnapOptions::default())?.clicks;
        Ok(recorded(clicks, false))
    }

    /// Marks every tenth mark of a ruler by hand.
    pub(crate) fn ruler(&mut self, ruler: &Ruler) -> Marks {
        let marks: Vec<[f64; 3]> = (0..=ruler.count / 10)
            .map(|n| ruler.mark_mm(10 * n))
            .collect();
        self.by_hand(&marks, false)
    }

    /// Marks two points of a ruler that lie 60 mm apart by hand.
    pub(crate) fn two_points(&mut self, ruler: &Ruler) -> Marks {
        self.by_hand(&[ruler.mark_mm(0), ruler.mark_mm(60)], false)
    }

    /// Lets the marks of a ruler be found between two points set by hand.
    pub(crate) fn row(&mut self, ruler: &Ruler) -> Result<Marks, SnapError> {
        let rough = self.rough(&[ruler.mark_mm(0), ruler.mark_mm(ruler.count)]);
        let row = propose_row(
            &Grey::of(self.picture),
            rough[0],
            rough[1],
            &RowOptions::default(),
        )?;
        Ok(recorded(row.places, false))
    }
}

/// Three places on each side, at its middle and √(3/5) of its half length on either hand.
fn on_sides(corners: &[[f64; 3]; 4]) -> Vec<[f64; 3]> {
    let outer = 0.6_f64.sqrt();
    (0..4)
        .flat_map(|n| {
            let (p, q) = (corners[n], corners[(n + 1) % 4]);
            [-outer, 0.0, outer]
                .map(|t| [0, 1, 2].map(|c: usize| p[c] + 0.5 * (1.0 + t) * (q[c] - p[c])))
        })
        .collect()
}

/// Points as `underlid measure` records them: to a hundredth of a pixel, each with its uncertainties.
fn recorded(clicks: Vec<Click>, on_sides: bool) -> Marks {
    let round = |v: f64, to: f64| (v * to).round() / to;
    let at: Vec<[f64; 2]> = clicks
        .iter()
        .map(|c| c.at.map(|v| round(v, 100.0)))
        .collect();
    let marked = if on_sides {
        OutlinePoints::Sides
    } else {
        OutlinePoints::Corners
    };
    let outwards = outwards(&at, marked);
    let snapped = clicks.iter().zip(outwards);
    let snapped = snapped.map(|(c, out)| c.uncertainties(out).map(|v| round(v, 1000.0)));
    Marks {
        snapped: snapped.collect(),
        at,
        on_sides,
        within: None,
        clicks,
    }
}
