//! One photograph measured in every way an analyst may refer to something of known size.
//!
//! In: a seed. Out: for each way and each thing, what was found and what is true, or why nothing was. Not here: sums
//! over photographs (`tally.rs`). The marks become a dossier's text, which is read, fitted and measured by what every
//! verb of the product runs.

use crate::analyst::{Analyst, Hand, Marks};
use imaging::Picture;
use imaging::geometry::{Object, ObjectShape, objects};
use imaging::pixels::{Limits, decode};
use lightbox::{Chance, Kind, Shot, ShotOptions, Thing, Truth, arrange, shoot};
use methods::photogrammetry::{Measurement, PhotoPlane};
use std::fmt::Write;

/// What of known size is marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Scale {
    /// A card by its sides.
    Card,
    /// A card at its round corners.
    RoundCorners,
    /// Every tenth mark of a ruler.
    Ruler,
    /// The row of all marks of a ruler.
    Row,
    /// Two marks of a ruler.
    TwoPoints,
}

/// What is stated of heights.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Heights {
    /// Heights and the camera's distance or focal length.
    WithCamera,
    /// Heights alone.
    Alone,
    /// Nothing.
    No,
}

/// A way to mark a photograph.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Way {
    pub(crate) name: &'static str,
    pub(crate) scale: Scale,
    pub(crate) hand: Hand,
    pub(crate) heights: Heights,
}

const fn way(name: &'static str, scale: Scale, hand: Hand, heights: Heights) -> Way {
    Way {
        name,
        scale,
        hand,
        heights,
    }
}

/// Every way that is judged.
pub(crate) const WAYS: [Way; 9] = [
    way(
        "card and marks by hand",
        Scale::Card,
        Hand::Free,
        Heights::WithCamera,
    ),
    way(
        "card and marks snapped",
        Scale::Card,
        Hand::Snapped,
        Heights::WithCamera,
    ),
    way(
        "ruler by hand, marks by hand",
        Scale::Ruler,
        Hand::Free,
        Heights::WithCamera,
    ),
    way(
        "ruler row found, marks snapped",
        Scale::Row,
        Hand::Snapped,
        Heights::WithCamera,
    ),
    way(
        "two points by hand",
        Scale::TwoPoints,
        Hand::Free,
        Heights::WithCamera,
    ),
    way(
        "card at its round corners",
        Scale::RoundCorners,
        Hand::Free,
        Heights::WithCamera,
    ),
    way("heights not stated", Scale::Card, Hand::Free, Heights::No),
    way(
        "heights without camera",
        Scale::Card,
        Hand::Free,
        Heights::Alone,
    ),
    way(
        "snapped, heights not stated",
        Scale::Card,
        Hand::Snapped,
        Heights::No,
    ),
];

/// What kind of size was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Size {
    Length,
    Body,
    Circle,
}

/// A size that was found, with its truth, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Found {
    pub(crate) value: f64,
    pub(crate) uncertainty: f64,
    pub(crate) truth: f64,
    pub(crate) mm_per_px: f64,
}

/// One thing measured in one way.
#[derive(Debug, Clone)]
pub(crate) struct Answer {
    pub(crate) way: &'static str,
    pub(crate) kind: Kind,
    pub(crate) size: Size,
    /// The sizes, or why there are none.
    pub(crate) found: Result<Vec<Found>, String>,
}

/// A point that was snapped, against the edge of the top.
#[derive(Debug, Clone, Copy)]
pub(crate) struct EdgePoint {
    pub(crate) kind: Kind,
    /// Distance from the true edge, outwards, pixels.
    pub(crate) off_px: f64,
    /// Stated standard uncertainty in any direction, pixels.
    pub(crate) within_px: f64,
}

/// Everything found on one photograph.
#[derive(Debug, Default)]
pub(crate) struct Desk {
    pub(crate) results: Vec<Answer>,
    pub(crate) edges: Vec<EdgePoint>,
}

/// Takes and measures the photograph of a seed in these ways.
pub(crate) fn judge(seed: u64, options: &ShotOptions, ways: &[Way]) -> Desk {
    let (truth, picture) = if ways.iter().any(|w| w.hand == Hand::Snapped) {
        let Shot { file, truth } = shoot(seed, options);
        (truth, decode(&file, &Limits::default()).unwrap().picture)
    } else {
        // Marks set by hand need no pixels.
        (
            arrange(seed, options),
            Picture {
                width: 0,
                height: 0,
                rgb: Vec::new(),
            },
        )
    };
    let size = [picture.width, picture.height];
    assert!(size == truth.size || size == [0; 2]);
    let mut desk = Desk::default();
    for (n, way) in ways.iter().enumerate() {
        let chance = Chance::new(seed.wrapping_mul(1009).wrapping_add(n as u64));
        let mut analyst = Analyst::new(&truth, &picture, chance);
        desk.mark(&mut analyst, way);
    }
    desk
}

impl Desk {
    fn mark(&mut self, analyst: &mut Analyst<'_>, way: &Way) {
        let truth = analyst.truth;
        let scale = scale(analyst, way);
        for thing in &truth.things {
            let (size, what) = match thing.kind {
                Kind::Strip => (Size::Length, "length"),
                Kind::Cell => (Size::Circle, "diameter"),
                _ => (Size::Body, "body"),
            };
            let marks = match size {
                Size::Length => analyst.ends(thing, way.hand),
                Size::Circle => analyst.rim(thing, way.hand),
                Size::Body => analyst.sides(thing, way.hand),
            };
            if let Ok(marks) = &marks {
                self.edges.extend(off_edge(truth, thing, marks));
            }
            let found = match (&scale, marks) {
                (Err(why), _) => Err(format!("scale: {why}")),
                (_, Err(why)) => Err(format!("snap: {why}")),
                (Ok((text, level)), Ok(marks)) => {
                    let height = thing.solid.top - level;
                    measured(analyst, way, text, &marks, what, height).map(|found| {
                        let mut sides = thing.sides_mm().to_vec();
                        if size == Size::Body {
                            sides.sort_by(|a, b| b.total_cmp(a));
                        } else {
                            sides.truncate(1);
                        }
                        let [x, y] = thing.solid.at;
                        let mm_per_px = truth.mm_per_px([x, y, thing.solid.top]);
                        let with = |(truth, (value, uncertainty))| Found {
                            value,
                            uncertainty,
                            truth,
                            mm_per_px,
                        };
                        sides.into_iter().zip(found).map(with).collect()
                    })
                }
            };
            self.results.push(Answer {
                way: way.name,
                kind: thing.kind,
                size,
                found,
            });
        }
        if let (Scale::Card, Hand::Snapped, Heights::WithCamera) =
            (way.scale, way.hand, way.heights)
        {
            let marks = analyst.sides(&truth.card, way.hand);
            self.edges
                .extend(marks.iter().flat_map(|m| off_edge(truth, &truth.card, m)));
        }
    }
}

/// The thing of known size as it stands in the record, and the height of its top, mm.
fn scale(analyst: &mut Analyst<'_>, way: &Way) -> Result<(String, f64), String> {
    let truth = analyst.truth;
    let failed = |e: imaging::geometry::SnapError| e.to_string();
    let (marks, rest) = match way.scale {
        Scale::Card => (
            analyst.sides(&truth.card, way.hand).map_err(failed)?,
            card_size(),
        ),
        Scale::RoundCorners => (analyst.round_corners(&truth.card), card_size()),
        Scale::Ruler => (
            analyst.ruler(&truth.ruler),
            "shape = \"ruler\"\npitch = \"10 mm\"\n".to_string(),
        ),
        Scale::Row => (
            analyst.row(&truth.ruler).map_err(failed)?,
            "shape = \"ruler\"\npitch = \"1 mm\"\n".to_string(),
        ),
        Scale::TwoPoints => (
            analyst.two_points(&truth.ruler),
            "shape = \"distance\"\nlength = \"60 mm\"\n".to_string(),
        ),
    };
    let level = match way.scale {
        Scale::Card | Scale::RoundCorners => truth.card.solid.top,
        _ => truth.ruler.thing.solid.top,
    };
    let text = format!(
        "[[photos.references]]\nname = \"scale\"\n{rest}{}",
        points(&marks)
    );
    Ok((text, level))
}

/// The size of a card as `underlid measure --known` writes it.
fn card_size() -> String {
    let card: &Object = objects().iter().find(|o| o.name == "ID-1 card").unwrap();
    let ObjectShape::Rectangle(length, width) = card.shape else {
        panic!("a card is a rectangle");
    };
    let stated = |m: imaging::geometry::Measured| {
        format!("{} ± {:.3} mm", m.value, m.uncertainty * 3f64.sqrt())
    };
    format!(
        "shape = \"rectangle\"\nlength = \"{}\"\nwidth = \"{}\"\n",
        stated(length),
        stated(width)
    )
}

fn points(marks: &Marks) -> String {
    let places: Vec<String> = marks
        .at
        .iter()
        .map(|[x, y]| format!("[{x:.2}, {y:.2}]"))
        .collect();
    let mut text = format!("at = [{}]\n", places.join(", "));
    if marks.on_sides {
        text.push_str("on-sides = true\n");
    }
    if let Some(within) = marks.within {
        let _ = writeln!(text, "within = {within}");
    }
    if !marks.snapped.is_empty() {
        let _ = writeln!(text, "snapped = {:?}", marks.snapped);
    }
    text
}

/// Value and standard uncertainty of each side, mm.
fn measured(
    analyst: &mut Analyst<'_>,
    way: &Way,
    scale: &str,
    marks: &Marks,
    what: &str,
    height: f64,
) -> Result<Vec<(f64, f64)>, String> {
    let truth = analyst.truth;
    let [w, h] = truth.size;
    let mut text = format!(
        "format = 1\n[product]\nname = \"Sample\"\nmaker = \"Nobody\"\nopened = 2026-01-05\ninvented = true\n\
         [[items]]\nid = \"set\"\nname = \"Sample\"\nkind = \"product\"\n\
         [[photos]]\nid = \"top\"\nfile = \"top.jpg\"\ncaption = \"From above\"\npixels = [{w}, {h}]\n{}{scale}\
         [[measures]]\nid = \"one\"\nphoto = \"top\"\nitem = \"set\"\nwhat = \"{what}\"\n{}",
        camera(truth, &mut analyst.chance, way.heights),
        points(marks),
    );
    // Read on a calliper to a tenth of a millimetre; nobody states less.
    if way.heights != Heights::No && height.abs() >= 0.05 {
        let _ = writeln!(text, "height = \"{height:.1} mm\"");
    }
    let dossier = record::read_text(&text, "dossier.toml", &|_: &str| true)
        .map_err(|problems| format!("record: {problems}"))?;
    let plane = PhotoPlane::of(&dossier.photos[0])?;
    let measure = &dossier.measures[0];
    let taken = Measurement::of(measure, dossier.item("set"), &plane)?;
    let sides = taken.sides.iter();
    Ok(sides
        .map(|s| (s.found.value, s.found.uncertainty))
        .collect())
}

/// Distance by a tape (± 10 mm), or the focal length that the file states, each for half of the photographs.
fn camera(truth: &Truth, chance: &mut Chance, heights: Heights) -> String {
    if heights != Heights::WithCamera {
        return String::new();
    }
    if chance.happens(0.5) {
        let level = truth.card.solid.top;
        let distance = truth.camera.height_above(level) + chance.within(-10.0, 10.0);
        format!("camera = {{ distance = \"{distance:.0} ± 10 mm\" }}\n")
    } else {
        // Focusing near changes it by some percent.
        let focal = truth.equivalent_focal_mm() * (1.0 + 0.02 * chance.normal());
        format!("camera = {{ equivalent-focal-length = \"{focal:.0} mm\" }}\n")
    }
}

/// How far snapped points lie outside the true edge of a thing's top.
fn off_edge(truth: &Truth, thing: &Thing, marks: &Marks) -> Vec<EdgePoint> {
    let outline = outline(truth, thing);
    let middle = truth.px(&[thing.solid.place([0.0, 0.0], thing.solid.top)])[0];
    let away = |p: [f64; 2]| {
        let segments = outline.iter().zip(outline.iter().cycle().skip(1));
        let nearest = segments
            .map(|(a, b)| {
                let d = [b[0] - a[0], b[1] - a[1]];
                let along = (p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1];
                let t = (along / (d[0] * d[0] + d[1] * d[1])).clamp(0.0, 1.0);
                [p[0] - a[0] - t * d[0], p[1] - a[1] - t * d[1]]
            })
            .min_by(|a, b| a[0].hypot(a[1]).total_cmp(&b[0].hypot(b[1])))
            .unwrap();
        let outwards = nearest[0] * (p[0] - middle[0]) + nearest[1] * (p[1] - middle[1]);
        nearest[0].hypot(nearest[1]) * outwards.signum()
    };
    let points = marks.clicks.iter().zip(&marks.snapped);
    let points = points.map(|(click, [alone, shared, _])| EdgePoint {
        kind: thing.kind,
        off_px: away(click.at),
        within_px: alone.hypot(*shared),
    });
    points.collect()
}

/// The edge of a thing's top as it is seen, pixels.
fn outline(truth: &Truth, thing: &Thing) -> Vec<[f64; 2]> {
    if thing.is_round() {
        return truth.px(&thing.rim_mm(thing.solid.top, 720));
    }
    let corners = thing.corners_mm(thing.solid.top);
    let places: Vec<[f64; 3]> = (0..4)
        .flat_map(|n| {
            let (p, q) = (corners[n], corners[(n + 1) % 4]);
            (0..64)
                .map(move |k| [0, 1, 2].map(|c: usize| p[c] + f64::from(k) / 64.0 * (q[c] - p[c])))
        })
        .collect();
    truth.px(&places)
}
