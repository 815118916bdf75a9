//! Every figure that measuring photographs takes for granted, in one table.
//!
//! In: nothing. Out: rows with value, unit, meaning, source and year. Not here: what a caller states
//! instead (`Options`, `SnapOptions`); steps and limits of numerical methods, which stand beside them.
//! Source: of each row, its own; `common practice` where nothing better is known, with the year in which
//! the figure was set down.

/// One figure taken for granted. Rows are made in this table alone.
#[derive(Debug, Clone, Copy)]
pub struct Assumption {
    /// Name of the row.
    pub key: &'static str,
    /// The figure, in `unit`.
    pub value: f64,
    /// Symbol of the unit; empty for a bare number.
    pub unit: &'static str,
    /// What the figure is, in words.
    pub what: &'static str,
    /// Where it is from.
    pub source: &'static str,
    /// Year of the source, or that in which a figure of common practice was set down.
    pub year: u16,
}

const PRACTICE: &str = "common practice";

/// Makes each row a constant and lists them all.
macro_rules! rows {
    ($($key:ident = $value:literal, $unit:literal, $what:literal, $source:expr, $year:literal;)+) => {
        $(#[doc = $what] pub(crate) const $key: Assumption = Assumption {
            key: stringify!($key),
            value: $value,
            unit: $unit,
            what: $what,
            source: $source,
            year: $year,
        };)+
        /// All rows, in the order of the table.
        pub const ASSUMPTIONS: &[Assumption] = &[$($key),+];
    };
}

rows! {
    DISTORTION = 0.01, "",
        "Standard uncertainty of the lens's displacement at the corner, of the half diagonal: residual \
         distortion of up to 2 %", PRACTICE, 2026;
    TILT = 8.0, "°",
        "Standard uncertainty of looking straight down, about each of two axes: a camera held by hand over a \
         desk is within 20° in 19 of 20 photographs", PRACTICE, 2026;
    FOCAL_SHARE = 1.1, "",
        "Focal length over the longer side of the picture: wide phone cameras have 0.7, close-up lenses 2.5",
        PRACTICE, 2026;
    FOCAL_SPREAD = 0.4, "", "Standard uncertainty of the logarithm of that share", PRACTICE, 2026;
    NEAREST = 80.0, "mm",
        "Least distance of a camera from what it takes; what looks nearer was cut out of a larger picture",
        PRACTICE, 2026;
    COARSE = 0.10, "", "Relative uncertainty of the scale above which a reference is refused", PRACTICE, 2026;
    SQUARE = 0.005, "",
        "Standard uncertainty of equal scales and right angles of a picture's own axes, of one scale: the optical \
         axis misses its middle by some per cent", PRACTICE, 2026;
    UNLIKELY = 0.01, "",
        "Probability of the chi-square check below which uncertainties are widened", PRACTICE, 2026;
    CONTRADICTING = 5.0, "",
        "Standard uncertainties beyond which two references exclude each other, where they also differ by \
         CONTRADICTING_SHARE", PRACTICE, 2026;
    CONTRADICTING_SHARE = 0.02, "",
        "Share of a size beyond which it contradicts another reference; below it, uncertainties are widened",
        PRACTICE, 2026;
    STEEP = 25.0, "°",
        "Tilt above which a rectangle's sides count as swapped, where swapping brings it below LEVEL",
        PRACTICE, 2026;
    LEVEL = 20.0, "°", "Tilt below which a photograph counts as taken from above", PRACTICE, 2026;
    WELL_DETERMINED = 0.5, "",
        "Share of its former uncertainty below which a lens term counts as told by the points", PRACTICE, 2026;
    UNMODELLED = 0.25, "px",
        "What the model of an edge leaves out in photographs of unknown origin: rounded edges above all", PRACTICE, 2026;
    CLICK = 1.2, "px", "Standard uncertainty of a point marked by hand: within two pixels of its edge, \
         rectangular", PRACTICE, 2026;
    LEFT_FOR_THE_EDGE = 0.3, "",
        "Probability that a mark left as it was, too far from the nearest edge, stood for that edge", PRACTICE, 2026;
    CARELESS = 0.05, "", "Share of marks that are five times as far off as stated", PRACTICE, 2026;
    HIDDEN_WALL = 0.25, "",
        "Probability that a wall as bright as the top hides the upper edge, so that the foot is seen alone",
        PRACTICE, 2026;
    WALL = 2.0, "px", "Mean width of such a wall", PRACTICE, 2026;
    UNSEEN = 0.05, "", "Probability that the edge meant cannot be seen in the picture", PRACTICE, 2026;
    CHANCE_EDGES = 0.1, "1/px", "Edges along a whole mark that lie beside it by chance", PRACTICE, 2026;
    SHADOW_MEANT = 0.15, "",
        "Odds that the soft rim of a shadow is what was marked, against a sharp edge as near", PRACTICE, 2026;
    HALO_MEANT = 0.01, "",
        "Odds that a halo of sharpening is what was marked, against a sharp edge as near", PRACTICE, 2026;
    TONE = 0.2, "",
        "Standard uncertainty of the exponent by which a photograph's levels differ from their stated \
         curve: tone curve and sharpening", PRACTICE, 2026;
    TONE_APART = 0.5, "", "Share of that which differs from edge to edge", PRACTICE, 2026;
    USUAL_BLUR = 0.7, "px", "Standard deviation of the blur of an edge", PRACTICE, 2026;
    BLUR_SPREAD = 0.5, "px", "Standard uncertainty of the blur of an edge", PRACTICE, 2026;
    UNKNOWN_OUTLINE = 0.05, "",
        "Probability beforehand that a body has an outline that is not in the table", PRACTICE, 2026;
    MISCOUNT = 0.02, "", "Probability that pins are miscounted", PRACTICE, 2026;
    OUTLINE_LIMIT = 0.1, "mm",
        "Tolerance of a body whose limits are not known, where it is less than OUTLINE_LIMIT_SHARE",
        PRACTICE, 2026;
    OUTLINE_LIMIT_SHARE = 0.08, "", "The same as a share of the size", PRACTICE, 2026;
    OUTLINE_PITCH = 0.005, "mm", "Standard uncertainty of an outline's own pitch", PRACTICE, 2026;
    LN_SIZES = 5.3, "",
        "Logarithm of the greatest over the least size of a body of unknown outline", PRACTICE, 2026;
    LN_PITCHES = 3.0, "",
        "Logarithm of the greatest over the least pitch of a body of unknown outline", PRACTICE, 2026;
    PIN_COUNTS = 60.0, "", "Number of usual pin counts", PRACTICE, 2026;
}
