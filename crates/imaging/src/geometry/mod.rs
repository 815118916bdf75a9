//! Lengths, areas, diameters and angles out of a photograph.
//!
//! In: clicks in pixels on things of known size and on what is to be measured. Out: measures in
//! millimetres with their uncertainty, fast or with their working. Not here: decoding and warping
//! pictures, the dossier, verdicts. Formulas, sources, limits and checks: `docs/methods/
//! geometry.md`.
//!
//! | file | subject |
//! | --- | --- |
//! | `click.rs`, `references.rs`, `objects.rs`, `options.rs` | what goes in |
//! | `dlt.rs`, `lens.rs`, `mapping.rs`, `least_squares.rs`, `solve.rs` | the fit |
//! | `plane.rs` | the fitted plane: pixels to millimetres, checks, notes |
//! | `sighting.rs`, `slopes.rs`, `chain.rs` | places and measures with their derivatives |
//! | `measure.rs`, `quick.rs`, `working.rs`, `taking.rs`, `height.rs` | measures |
//! | `sides.rs` | outlines marked on their sides |
//! | `ellipse.rs` | circles and ellipses through points |
//! | `outline.rs` | which package outline a size fits |
//! | `snap`, `propose.rs` | edges, corners, circles and rows found in the pixels |

mod chain;
mod click;
mod dlt;
mod ellipse;
mod height;
mod least_squares;
pub mod lens;
mod mapping;
mod measure;
mod objects;
mod options;
mod outline;
mod plane;
mod problem;
mod propose;
mod quick;
mod references;
mod sides;
mod sighting;
mod slopes;
mod snap;
mod solve;
mod taking;
mod working;

pub use click::{Click, Measured};
pub use ellipse::{Circle, Ellipse, circle, ellipse};
pub use height::{CameraPlace, HeightError, Lift};
pub use mapping::Model;
pub use measure::Measure;
pub use objects::{Object, ObjectShape, objects};
pub use options::Options;
pub use outline::{Match, Matches, Outline, Seen, matching, outlines};
pub use plane::{ChiSquare, Plane, Residual};
pub use problem::PlaneError;
pub use propose::{Row, RowOptions, propose_row};
pub use quick::Estimate;
pub use references::{Reference, ReferenceKind};
pub use sides::{Marked, ON_A_SIDE, corners_of_sides};
pub use snap::{
    SnapError, SnapOptions, SnappedCircle, SnappedEdge, snap_circle, snap_corner, snap_edge,
    snap_ends, snap_rim, snap_sides,
};
pub use working::{Marks, OnSheet};
