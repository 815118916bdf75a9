//! Lengths, areas, diameters and angles out of a photograph.
//!
//! In: clicks in pixels on things of known size and on what is to be measured. Out: measures in
//! millimetres with their uncertainty, fast or with their working. Not here: decoding and warping
//! pictures, the dossier, verdicts. Formulas, sources, limits and checks: `docs/methods/
//! geometry.md`.
//!
//! | file | subject |
//! | --- | --- |
//! | `click.rs`, `references.rs`, `reference_objects.rs`, `assumptions.rs`, `assumed.rs` | what goes in |
//! | `dlt.rs`, `lens.rs`, `mapping.rs`, `least_squares.rs`, `solve.rs` | the fit |
//! | `plane.rs`, `contradiction.rs`, `plane_error.rs` | the fitted plane: pixels to millimetres, checks, notes; why there is none |
//! | `projection.rs`, `measure_gradient.rs`, `chain_rule.rs` | places and measures with their derivatives |
//! | `measure.rs`, `estimate.rs`, `working.rs`, `measurement_model.rs`, `height.rs` | measures |
//! | `side_points.rs` | outlines marked on their sides |
//! | `ellipse.rs` | circles and ellipses through points |
//! | `outline_table.rs` | the known package outlines, in words |
//! | `package_outline.rs` | which package outline a size fits |
//! | `snap`, `row_detection.rs` | edges, corners, circles and rows found in the pixels |

mod assumed;
mod assumptions;
mod chain_rule;
mod click;
mod contradiction;
mod dlt;
mod ellipse;
mod estimate;
mod height;
mod least_squares;
pub mod lens;
mod mapping;
mod measure;
mod measure_gradient;
mod measurement_model;
mod outline_table;
mod package_outline;
mod plane;
mod plane_error;
mod projection;
mod reference_objects;
mod references;
mod row_detection;
mod side_points;
mod snap;
mod solve;
mod working;

pub use assumed::{ASSUMPTIONS, Assumption};
pub use assumptions::Options;
pub use click::{Click, Measured};
pub use ellipse::{Circle, Ellipse, circle, ellipse};
pub use estimate::Estimate;
pub use height::{CameraPlace, Height, HeightCorrection};
pub use mapping::Model;
pub use measure::Measure;
pub use outline_table::{Outline, OutlineKind, outlines};
pub use package_outline::{Match, Matches, MeasuredBody, matching};
pub use plane::{ChiSquare, Plane, Residual};
pub use plane_error::PlaneError;
pub use reference_objects::{Object, ObjectShape, objects, round_object};
pub use references::{Reference, ReferenceKind};
pub use row_detection::{Counted, DetectedRow, RowOptions, propose_row};
pub use side_points::{ON_A_SIDE, OutlinePoints, corners_of_sides, outwards};
pub use snap::{
    EdgeKind, Move, Rival, SnapError, SnapOptions, Snapped, SnappedCircle, SnappedEdge,
    snap_circle, snap_corner, snap_edge, snap_ends, snap_rim, snap_sides,
};
pub use working::{Marks, PlaneOnSheet};
