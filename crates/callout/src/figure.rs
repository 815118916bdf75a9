//! One call for a page that shows a photograph with its numbers and sets the legend itself.
//!
//! In: photograph, regions, the column. Out: the drawing and the captions in the order of the
//! numbers. Not here: headings, links, the page.

use super::input::{Options, Photo, PlanError, Region};
use super::plan::plan;
use super::plane::Rect;
use super::svg::{Source, SvgStyle, svg};

/// A drawing and what its numbers mean.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// SVG text.
    pub svg: String,
    /// Width of the drawing when its numbers have the size asked for, mm.
    pub width_mm: f64,
    /// Height at that width, mm.
    pub height_mm: f64,
    /// Where the photograph lies in it, mm.
    pub photo_mm: Rect,
    /// Captions in the order of their numbers, from 1.
    pub entries: Vec<Entry>,
}

/// One line of a legend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Number in the picture.
    pub number: u32,
    /// Name of the region.
    pub id: String,
    /// Caption, on one line.
    pub caption: String,
}

/// Plans and draws a photograph with numbers. With `options.legend` off, the page sets
/// [`Figure::entries`] itself, as text that can be selected and linked.
///
/// # Errors
/// [`PlanError`], as [`plan()`](super::plan()).
pub fn figure(
    photo: &Photo,
    source: &Source<'_>,
    regions: &[Region],
    options: &Options,
    style: &SvgStyle<'_>,
) -> Result<Figure, PlanError> {
    let plan = plan(photo, regions, options)?;
    let svg = svg(&plan, source, style);
    let [width_mm, height_mm] = plan.size;
    let photo_mm = plan.photo;
    let entries = plan
        .callouts
        .into_iter()
        .map(|c| Entry {
            number: c.number,
            id: c.id,
            caption: c.caption,
        })
        .collect();
    Ok(Figure {
        svg,
        width_mm,
        height_mm,
        photo_mm,
        entries,
    })
}
