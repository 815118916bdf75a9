//! Numbers at the margins of photographs.
//!
//! In: a photograph of the record, its size, its regions, what was measured on it. Out: the drawing, and
//! the regions in the order of their numbers. Not here: the drawing itself (`callout`).

use crate::{Callouts, PhotoRegion};
use callout::{self, Options, Region, Source, SvgStyle, Trace, figure};
use lettering::Typefaces;
use methods::{Detail, Findings};
use record::{Dossier, Photo, Place};

/// Width of a drawing on the page, mm: text width of the printed report, and about that of a
/// column on a screen.
pub(super) const COLUMN_MM: f64 = 150.0;
/// Width of one of two drawings side by side, mm.
pub(super) const HALF_COLUMN_MM: f64 = 78.0;
/// Two pictures fit on a printed page.
const TALLEST_MM: f64 = 88.0;

/// Something to be numbered in a photograph: a region of the record, or what was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// Place in the record: a region or a measure.
    pub place: Place,
    /// What the legend says.
    pub words: String,
    /// Left, top, width, height in pixels.
    pub rect: [u32; 4],
    /// Id of the item.
    pub item: Option<String>,
    /// What was measured there.
    pub traces: Vec<Trace>,
}

/// Lists what is to be numbered in a photograph: its regions in their order, then its measures.
pub fn named(dossier: &Dossier, findings: &Findings, photo: &Photo) -> Vec<Named> {
    let regions = photo.regions.iter().map(|region| {
        let item = region.item.as_deref().and_then(|id| dossier.item(id));
        Named {
            place: Place::region(&photo.id, &region.id),
            words: match (&region.caption, item) {
                (Some(caption), _) => caption.clone(),
                (None, Some(item)) => item.name.clone(),
                (None, None) => region.id.clone(),
            },
            rect: region.rect,
            item: item.map(|item| item.id.clone()),
            traces: Vec::new(),
        }
    });
    let details = findings.findings.iter().flat_map(|f| &f.details);
    let marks = details.flat_map(|detail| match detail {
        Detail::Marks { photo: of, marks } if *of == photo.id => marks.as_slice(),
        _ => &[],
    });
    let measured = marks.map(|mark| Named {
        place: Place::measure(&mark.measure),
        words: mark.words.clone(),
        rect: around(&mark.line),
        item: mark.item.clone(),
        traces: vec![Trace {
            line: mark.line.clone(),
            dots: mark.points.clone(),
        }],
    });
    regions.chain(measured).collect()
}

/// Returns the rectangle of whole pixels around points: left, top, width, height, each side at least one.
fn around(points: &[[f64; 2]]) -> [u32; 4] {
    let side = |i: usize| {
        let values = points.iter().map(|p| p[i]);
        let (low, high) = values.fold((f64::INFINITY, 0.0_f64), |(l, h), v| (l.min(v), h.max(v)));
        let (low, high) = (low.min(high).max(0.0).floor(), high.ceil());
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "not negative, and saturating by the language's rule"
        )]
        (low as u32, (high - low).max(1.0) as u32)
    };
    let ((left, width), (top, height)) = (side(0), side(1));
    [left, top, width, height]
}

/// Most numbers of one picture of a report: more are no longer found at a glance.
const MOST_NUMBERS: usize = 16;

/// What a photograph's numbers are drawn with.
pub(super) struct Drawing<'a> {
    /// Width and height, pixels.
    pub(super) size: [u32; 2],
    /// Width on the page, mm.
    pub(super) column_mm: f64,
    /// Pixels to the millimetre, where known.
    pub(super) pixels_per_mm: Option<f64>,
    /// What it shows, for those who cannot see it.
    pub(super) alternative: &'a str,
    /// For characters that the packed ones lack.
    pub(super) typefaces: &'a Typefaces,
}

impl Drawing<'_> {
    /// Draws a number for each region, with leaders that cross no other region, and sorts the regions by their
    /// numbers; `None`, with the regions as they were, where they do not fit into one picture.
    pub(super) fn clear(&self, regions: &mut [PhotoRegion]) -> Option<Callouts> {
        let fits = regions.len() <= MOST_NUMBERS;
        fits.then(|| self.draw(regions, true)).flatten()
    }

    /// The same with leaders that may cross other regions.
    pub(super) fn any(&self, regions: &mut [PhotoRegion]) -> Option<Callouts> {
        self.draw(regions, false)
    }

    fn draw(&self, regions: &mut [PhotoRegion], clear: bool) -> Option<Callouts> {
        let photo = callout::Photo {
            width: self.size[0],
            height: self.size[1],
            pixels_per_mm: self.pixels_per_mm,
        };
        let named: Vec<Region> = regions
            .iter()
            .map(|r| Region {
                id: r.anchor.clone(),
                rect: r.rect.map(f64::from),
                caption: r.words.clone(),
                element_id: Some(r.anchor.clone()),
                traces: r.traces.clone(),
            })
            .collect();
        let options = Options {
            column_mm: self.column_mm,
            tallest_mm: TALLEST_MM,
            clear,
            legend: false,
            typefaces: self.typefaces.clone(),
            ..Options::default()
        };
        let style = SvgStyle {
            alternative: self.alternative,
            ..SvgStyle::default()
        };
        let drawn = figure(&photo, &Source::Beneath, &named, &options, &style).ok()?;
        let number = |region: &PhotoRegion| {
            let entry = drawn.entries.iter().find(|e| e.id == region.anchor);
            entry.map_or(u32::MAX, |e| e.number)
        };
        regions.sort_by_key(number);
        let r = drawn.photo_mm;
        let [left, top, width, height] = [r.left, r.top, r.width, r.height];
        Some(Callouts {
            svg: drawn.svg,
            photo: [
                left / drawn.width_mm,
                top / drawn.height_mm,
                width / drawn.width_mm,
                height / drawn.height_mm,
            ],
            share: (drawn.width_mm / COLUMN_MM).min(1.0),
            place: format!(
                "x=\"{left:.3}\" y=\"{top:.3}\" width=\"{width:.3}\" height=\"{height:.3}\""
            ),
        })
    }
}
