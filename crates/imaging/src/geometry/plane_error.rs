//! Why a photograph cannot be measured, each with what to do about it.

/// Why references do not make a plane, or a measure cannot be taken.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlaneError {
    /// Nothing of known size was marked.
    #[error(
        "no reference: mark two points a known distance apart, or the four corners of something of known size"
    )]
    NoReference,
    /// A reference has fewer clicks than it needs.
    #[error("{reference}: {found} points marked, {needed} needed")]
    TooFew {
        /// The reference.
        reference: String,
        /// Clicks given.
        found: usize,
        /// Clicks needed.
        needed: usize,
    },
    /// A size is not a positive number.
    #[error("{reference}: its {what} cannot be {value}; give a length above zero in mm")]
    Size {
        /// The reference.
        reference: String,
        /// "length", "width" …
        what: &'static str,
        /// The number given.
        value: f64,
    },
    /// A click is not a place, or its uncertainty is not above zero.
    #[error("{reference}: point {number} has no usable place or uncertainty; mark it again")]
    Click {
        /// The reference or measure.
        reference: String,
        /// Number of the click, from 1.
        number: usize,
    },
    /// A click lies outside the picture.
    #[error(
        "{reference}: point {number} at ({x:.0}, {y:.0}) lies outside the picture of {width} × {height} pixels; mark it again"
    )]
    Outside {
        /// The reference.
        reference: String,
        /// Number of the click, from 1.
        number: usize,
        /// Across, pixels.
        x: f64,
        /// Down, pixels.
        y: f64,
        /// Width of the picture, pixels.
        width: u32,
        /// Height of the picture, pixels.
        height: u32,
    },
    /// Two clicks that should be apart fall together.
    #[error("{reference}: points {first} and {second} fall together; mark them apart")]
    Together {
        /// The reference.
        reference: String,
        /// One click, from 1.
        first: usize,
        /// The other.
        second: usize,
    },
    /// Corners lie on a line.
    #[error(
        "{reference}: its corners lie on one line; mark four corners that enclose an area, or use two of them as a known distance"
    )]
    Collinear {
        /// The reference.
        reference: String,
    },
    /// Corners were not marked around the outline.
    #[error(
        "{reference}: the corners cross over; mark them one after the other around the outline, the first side being its length"
    )]
    Order {
        /// The reference.
        reference: String,
    },
    /// Points of a ruler do not follow each other as their marks do.
    #[error(
        "{reference}: points {first} and {second} do not lie in the order of their marks; mark the points in the order in which the ruler counts"
    )]
    Marks {
        /// The reference.
        reference: String,
        /// One click, from 1.
        first: usize,
        /// The one whose mark follows.
        second: usize,
    },
    /// Two references give different scales.
    #[error(
        "{reference} and {other} contradict each other: by {reference}, what is stated as {stated_mm:.2} mm of {other} is {found_mm:.2} mm ± {uncertainty_mm:.2} mm (standard uncertainty); correct the size or the points of one, or remove the one that does not lie in the same plane"
    )]
    Contradiction {
        /// The reference that tells most.
        reference: String,
        /// The one that contradicts it.
        other: String,
        /// A stated length of the other, mm.
        stated_mm: f64,
        /// The same by the first, mm.
        found_mm: f64,
        /// Standard uncertainty of the difference, mm.
        uncertainty_mm: f64,
    },
    /// The first side marked looks like the other one.
    #[error(
        "{reference}: the first side marked looks like its width, not its length; begin with the side that is {length} mm long, or say that the view is oblique"
    )]
    SidesSwapped {
        /// The reference.
        reference: String,
        /// Length of the first side, mm.
        length: f64,
    },
    /// The reference is too small to measure with.
    #[error(
        "{reference}: it gives the scale only within {percent:.0} %; use a longer reference, or mark it more exactly"
    )]
    TooSmall {
        /// The reference.
        reference: String,
        /// Relative standard uncertainty of the scale, %.
        percent: f64,
    },
    /// The equations have no stable answer.
    #[error("the references together do not fit a view of one flat surface: {why}")]
    NoFit {
        /// What went wrong.
        why: &'static str,
    },
    /// A measured point has no place on the plane.
    #[error(
        "point {number} of {measure} lies beyond the horizon of the reference plane, or where the lens correction has no answer; mark it nearer to the references"
    )]
    BeyondHorizon {
        /// The measure.
        measure: String,
        /// Number of the click, from 1.
        number: usize,
    },
    /// A measure has no answer for the clicks given.
    #[error("{measure}: {why}")]
    Measure {
        /// The measure.
        measure: String,
        /// Why, and what to do.
        why: &'static str,
    },
}
