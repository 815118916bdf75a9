//! What a plan is made from: photograph, regions, options; and why it may be refused.

use lettering::Typefaces;

/// Smallest size of numbers, typographic points.
pub const SMALLEST_NUMBER_PT: f64 = 7.0;
/// Most callouts of one picture: numbers have at most two digits.
pub const MOST_CALLOUTS: usize = 99;

/// A photograph as it will be shown (upright).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Photo {
    /// Width, pixels.
    pub width: u32,
    /// Height, pixels.
    pub height: u32,
    /// Pixels that a millimetre of the object takes, if known; gives the scale bar.
    pub pixels_per_mm: Option<f64>,
}

/// What is to be numbered.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Region {
    /// Name that the caller knows it by.
    pub id: String,
    /// Left, top, width, height in pixels of the photograph; cut to the photograph.
    pub rect: [f64; 4],
    /// Text of the legend.
    pub caption: String,
    /// `id` attribute of its outline in the drawing, so that links can point there.
    pub element_id: Option<String>,
    /// What was measured there, drawn over the photograph.
    pub traces: Vec<Trace>,
}

/// A line drawn over the photograph, with a dot at each place that was marked.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trace {
    /// The line, pixels of the photograph; cut to the photograph.
    pub line: Vec<[f64; 2]>,
    /// The places marked, pixels.
    pub dots: Vec<[f64; 2]>,
}

/// A side of the photograph.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Margin {
    /// Above.
    Top,
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Below.
    Bottom,
}

/// Which sides may carry numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Margins {
    /// Above.
    pub top: bool,
    /// To the left.
    pub left: bool,
    /// To the right.
    pub right: bool,
    /// Below.
    pub bottom: bool,
}

impl Margins {
    /// All four.
    pub const ALL: Self = Self {
        top: true,
        left: true,
        right: true,
        bottom: true,
    };
    /// Left and right.
    pub const COLUMNS: Self = Self {
        top: false,
        left: true,
        right: true,
        bottom: false,
    };

    /// Returns whether a side is among them.
    pub fn has(self, side: Margin) -> bool {
        match side {
            Margin::Top => self.top,
            Margin::Left => self.left,
            Margin::Right => self.right,
            Margin::Bottom => self.bottom,
        }
    }

    pub(super) fn both(self, other: Self) -> Self {
        Self {
            top: self.top && other.top,
            left: self.left && other.left,
            right: self.right && other.right,
            bottom: self.bottom && other.bottom,
        }
    }

    pub(super) fn any(self) -> bool {
        self.top || self.left || self.right || self.bottom
    }
}

/// How the picture is to be made.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Width of the column that the picture is shown in, margins included, mm.
    pub column_mm: f64,
    /// Greatest height without the legend, mm.
    pub tallest_mm: f64,
    /// Size of the numbers when the picture is as wide as its column, points, at least
    /// [`SMALLEST_NUMBER_PT`].
    pub number_pt: f64,
    /// Margins that may carry numbers.
    pub sides: Margins,
    /// Whether leaders run along the axes and cross nothing that is marked, or the plan is refused; otherwise they may
    /// run at any angle over other regions.
    pub clear: bool,
    /// Whether the legend is part of the picture.
    pub legend: bool,
    /// Typefaces for characters that the packed ones lack.
    pub typefaces: Typefaces,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            column_mm: 85.0,
            tallest_mm: 200.0,
            number_pt: 7.5,
            sides: Margins::ALL,
            clear: false,
            legend: true,
            typefaces: Typefaces::default(),
        }
    }
}

/// Why a picture could not be planned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// No pixels.
    #[error("the photograph has no pixels")]
    EmptyPhoto,
    /// The column or height is not a usable length.
    #[error("a column of {column_mm} mm by {tallest_mm} mm leaves no room for the photograph")]
    Column {
        /// Width asked for.
        column_mm: f64,
        /// Height asked for.
        tallest_mm: f64,
    },
    /// Numbers too small to read, or of no size.
    #[error("numbers of {number_pt} pt are not legible; the least is {SMALLEST_NUMBER_PT} pt")]
    Numbers {
        /// Size asked for.
        number_pt: f64,
    },
    /// No side may carry numbers.
    #[error("no side of the photograph may carry numbers")]
    NoMargin,
    /// The scale is not a usable number.
    #[error("a scale of {pixels_per_mm} pixels per millimetre gives no scale bar")]
    Scale {
        /// Scale given.
        pixels_per_mm: f64,
    },
    /// A region that cannot be pointed at.
    #[error("region {id:?} does not lie in the photograph")]
    Region {
        /// Its name.
        id: String,
    },
    /// More regions than numbers fit.
    #[error("{callouts} numbers do not fit around the photograph; there is room for {fit}")]
    TooMany {
        /// Regions given.
        callouts: usize,
        /// Numbers that fit.
        fit: usize,
    },
    /// Some region has no clear way to a margin.
    #[error("not every region has a way to a margin that crosses no other region")]
    Unclear,
    /// No free place for a dot.
    #[error("too many regions lie on top of each other at {id:?}")]
    Crowded {
        /// One of them.
        id: String,
    },
    /// Leaders could not be kept apart.
    #[error("regions {first:?} and {second:?} lie too close together to be told apart")]
    TooClose {
        /// One name.
        first: String,
        /// The other name.
        second: String,
    },
}
