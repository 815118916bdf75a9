//! Writes the photograph of a seed, and where the edges of its things are.
//!
//! `cargo run -p underlid-lightbox --example shoot SEED FILE.jpg`

#![allow(
    clippy::disallowed_methods,
    reason = "an example reads its arguments and writes a picture to look at"
)]

use lightbox::{ShotOptions, shoot};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut words = std::env::args().skip(1);
    let (Some(seed), Some(file)) = (words.next(), words.next()) else {
        return Err("state a seed and a file".into());
    };
    let shot = shoot(seed.parse()?, &ShotOptions::default());
    std::fs::write(&file, &shot.file)?;
    let truth = &shot.truth;
    println!(
        "orientation {}, tilt {:.1}°, distance {:.0} mm, focal length {:.0} px",
        truth.orientation,
        truth.tilt.to_degrees(),
        truth.camera.eye_mm[2],
        truth.camera.focal_px
    );
    for thing in std::iter::once(&truth.card).chain(&truth.things) {
        let [length, width] = thing.sides_mm();
        println!(
            "{:?}: {length:.3} × {width:.3} mm, top {:.2} mm, top corners {:.1?}",
            thing.kind,
            thing.solid.top,
            truth.px(&thing.corners_mm(thing.solid.top))
        );
    }
    Ok(())
}
