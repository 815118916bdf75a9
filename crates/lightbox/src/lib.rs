//! A second source of photographs with known truth, which shares no code with the measurements or the first source.
//!
//! In: a seed and the size of the picture. Out: the bytes of a JPEG file as a telephone would keep it, and where
//! everything in it truly is ([`Truth`]). Each pixel is cast as rays through a lens onto solid things with side
//! walls; nothing is painted through a homography. Not here: measuring, marking, clicking.
//! Source: pinhole and lens after D. C. Brown, Photogrammetric Engineering 32 (1966) 444 and A. Conrady, MNRAS 79
//! (1919) 384; solids by sphere tracing, J. C. Hart, The Visual Computer 12 (1996) 527; sizes of the card from
//! ISO/IEC 7810; tone curve from IEC 61966-2-1. How things are drawn at random: common practice.
//!
//! | file | subject |
//! | --- | --- |
//! | `chance.rs`, `vector.rs` | random numbers, three coordinates |
//! | `lens.rs`, `camera.rs` | from the world to pixels and back |
//! | `solid.rs`, `paint.rs`, `world.rs` | things, their surfaces, what a ray meets and how bright it is |
//! | `render.rs`, `develop.rs`, `file.rs` | rays to light, light to levels, levels to a file |
//! | `layout.rs`, `dress.rs`, `shot.rs` | what lies where, what it looks like, and the whole photograph |
//! | `truth.rs` | where everything truly is |

mod camera;
mod chance;
mod develop;
mod dress;
mod file;
mod layout;
mod lens;
mod paint;
mod render;
mod shot;
mod solid;
mod truth;
mod vector;
mod world;

pub use camera::Camera;
pub use chance::Chance;
pub use file::stored_place;
pub use lens::Lens;
pub use shot::{Shot, ShotOptions, shoot};
pub use solid::{Leads, Solid};
pub use truth::{Kind, Ruler, Thing, Truth};
