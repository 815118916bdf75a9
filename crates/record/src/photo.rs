//! Photographs, what of known size is in them, and what is measured on them.

use crate::count::UNKNOWN;
use crate::{Moment, Note, ReadingSubject};
use quantity::Stated;
use serde::{Deserialize, Serialize};

/// `[[photos]]`
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Photo {
    /// Id.
    pub id: String,
    /// File name inside `photos/`.
    pub file: String,
    /// Caption.
    pub caption: String,
    /// Who took it; as the disclosure says if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub credit: Option<String>,
    /// Width and height, pixels.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pixels: Option<[u32; 2]>,
    /// A known length in view.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale: Option<ScaleReference>,
    /// Other things of known size in the same plane.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub references: Vec<Reference>,
    /// Where the camera was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub camera: Option<PhotoCamera>,
    /// Named regions.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub regions: Vec<Region>,
    /// Taken after this step.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// When it was taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken: Option<Moment>,
    /// Set for the one that opens the report.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub hero: bool,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

impl Photo {
    /// Whether something of known size is marked in it.
    pub fn has_reference(&self) -> bool {
        self.scale.is_some() || !self.references.is_empty()
    }
}

/// Two points a known distance apart.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct ScaleReference {
    /// First point, pixels.
    pub from: [f64; 2],
    /// Second point, pixels.
    pub to: [f64; 2],
    /// The distance between them (`20 mm`).
    pub length: Stated,
}

/// Number of points on each side of an outline that is marked on its sides.
pub const ON_A_SIDE: usize = 3;

/// Something of known size that was marked in a photograph.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Reference {
    /// What the reader calls it ("steel ruler").
    pub name: String,
    /// What was marked of it.
    pub shape: ReferenceShape,
    /// The points marked, pixels.
    pub at: Vec<[f64; 2]>,
    /// Set when they lie on the sides of a rectangle, [`ON_A_SIDE`] to each, instead of at its corners.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub on_sides: bool,
    /// Distance of two points, or first side of a rectangle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<Stated>,
    /// Second side of a rectangle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<Stated>,
    /// The mark of each point of a ruler.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<Stated>,
    /// Distance from one point to the next of a ruler or grid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pitch: Option<Stated>,
    /// Points in one row of a grid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub columns: Option<u32>,
    /// Standard uncertainty of a point in each direction, pixels.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<f64>,
    /// For each point found in the pixels: its standard uncertainty, how far it moves outwards for one standard
    /// uncertainty of the picture's tones, and the standard uncertainty of the shift that the points of its side
    /// have together, pixels. Stands in place of `within`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub snapped: Vec<[f64; 3]>,
}

/// What was marked of a thing of known size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ReferenceShape {
    /// Two points a known distance apart.
    Distance,
    /// A rectangle: its four corners one after the other, or points on its sides.
    Rectangle,
    /// Points on a ruler.
    Ruler,
    /// Points of a grid, row by row.
    Grid,
    /// Not noted what was marked.
    Unknown,
}

/// Where the camera was (distance or focal length is enough to correct for heights), and its lens.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct PhotoCamera {
    /// Distance from the reference plane to the lens.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub distance: Option<Stated>,
    /// Focal length that gives the same view on a frame of 36 mm × 24 mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub equivalent_focal_length: Option<Stated>,
    /// Greatest displacement by the lens at the corner of the picture, as a share of half the diagonal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub distortion: Option<Stated>,
    /// Most that the view is off straight down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tilt: Option<Stated>,
}

/// A rectangle in a photograph, pixels.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Region {
    /// Id within the photo.
    pub id: String,
    /// Left, top, width, height in pixels.
    pub rect: [u32; 4],
    /// The item seen there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// Set when the rectangle is the outline of the item, so that it can be measured.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub outline: bool,
    /// Height of that outline above the plane of the references.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Stated>,
    /// Set when nothing that is published may show what is there (a serial number, an address).
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub private: bool,
    /// Caption.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caption: Option<String>,
}

/// `[[measures]]`: a reading taken on a photograph. What was marked is recorded; the value is worked out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct PhotoMeasure {
    /// Id.
    pub id: String,
    /// The photograph.
    pub photo: String,
    /// The item measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// The region of the photograph whose outline was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub region: Option<String>,
    /// What was measured.
    pub what: MeasureSubject,
    /// The points marked, pixels from the top left corner.
    pub at: Vec<[f64; 2]>,
    /// Set when they lie on the sides of an outline, [`ON_A_SIDE`] to each, instead of at its corners.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub on_sides: bool,
    /// Standard uncertainty of a point in each direction, pixels.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<f64>,
    /// For each point found in the pixels: its standard uncertainty, how far it moves outwards for one standard
    /// uncertainty of the picture's tones, and the standard uncertainty of the shift that the points of its side
    /// have together, pixels. Stands in place of `within`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub snapped: Vec<[f64; 3]>,
    /// Steps of a row from the first point to each, where not every thing was marked.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<u32>,
    /// Height above the plane of the references.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Stated>,
    /// The measure that this one takes the place of; it stays in the record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replaces: Option<String>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// What a measure on a photograph gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MeasureSubject {
    /// Greatest extent, between two points.
    Length,
    /// Extent across, between two points.
    Width,
    /// Extent upwards, between two points.
    Height,
    /// Least extent, between two points.
    Thickness,
    /// Diameter, from points on the rim.
    Diameter,
    /// Length and width, from the four corners or sides.
    Body,
    /// Area, from the corners or sides.
    Area,
    /// Pitch of a row of equal things.
    Pitch,
    /// Angle at the second of three points.
    Angle,
    /// Distance of two points that is no size of the item.
    Distance,
    /// Not noted what was measured.
    Unknown,
}

impl MeasureSubject {
    /// All that can be measured, in the order told.
    pub const ALL: [Self; 10] = [
        Self::Length,
        Self::Width,
        Self::Height,
        Self::Thickness,
        Self::Diameter,
        Self::Body,
        Self::Area,
        Self::Pitch,
        Self::Angle,
        Self::Distance,
    ];

    /// Returns the word of the text format.
    pub fn word(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Width => "width",
            Self::Height => "height",
            Self::Thickness => "thickness",
            Self::Diameter => "diameter",
            Self::Body => "body",
            Self::Area => "area",
            Self::Pitch => "pitch",
            Self::Angle => "angle",
            Self::Distance => "distance",
            Self::Unknown => UNKNOWN,
        }
    }

    /// Returns the sizes of an item that it gives.
    pub fn sizes(self) -> &'static [ReadingSubject] {
        match self {
            Self::Length => &[ReadingSubject::Length],
            Self::Width => &[ReadingSubject::Width],
            Self::Height => &[ReadingSubject::Height],
            Self::Thickness => &[ReadingSubject::Thickness],
            Self::Diameter => &[ReadingSubject::Diameter],
            Self::Body => &[ReadingSubject::Length, ReadingSubject::Width],
            Self::Area | Self::Pitch | Self::Angle | Self::Distance | Self::Unknown => &[],
        }
    }

    /// Whether it is taken of an outline, which may be marked on its sides.
    pub fn is_outline(self) -> bool {
        matches!(self, Self::Body | Self::Area)
    }

    /// Returns the least and the greatest number of points it takes, corners of an outline.
    pub fn points(self) -> (usize, usize) {
        match self {
            Self::Length | Self::Width | Self::Height | Self::Thickness | Self::Distance => (2, 2),
            Self::Body => (4, 4),
            Self::Angle => (3, 3),
            Self::Diameter | Self::Area => (3, usize::MAX),
            Self::Pitch => (2, usize::MAX),
            Self::Unknown => (0, usize::MAX),
        }
    }
}
