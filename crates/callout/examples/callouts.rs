//! Numbers a photograph of the demo for publication: one drawing and one picture for light and for
//! dark surroundings.
//!
//! `cargo run -p underlid-callout --example callouts -- FOLDER [SCENE [COLUMN_MM]]`

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads and writes files"
)]

use callout::{Options, Photo, PngStyle, Region, Source, Surroundings, SvgStyle, plan, png, svg};
use scene::Scene;
use std::error::Error;
use std::fs;
use std::path::Path;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder = arguments.next().ok_or("name a folder for the pictures")?;
    let id = arguments.next().unwrap_or_else(|| "lamp-main".to_owned());
    let column_mm = arguments.next().map_or(Ok(85.0), |a| a.parse())?;
    let scenes = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp/scenes");
    let text = fs::read_to_string(scenes.join(format!("{id}.toml")))?;
    let scene: Scene = toml_edit::de::from_str(&text)?;

    let picture = scene::render(&scene);
    let jpeg = scene::jpeg(&picture, scene.scale)?;
    let photo = Photo {
        width: picture.width,
        height: picture.height,
        pixels_per_mm: Some(f64::from(scene.scale)),
    };
    let regions: Vec<Region> = scene::regions(&scene)
        .into_iter()
        .map(|place| Region {
            rect: place.rect.map(f64::from),
            caption: place.caption.unwrap_or_else(|| place.id.clone()),
            id: place.id,
            ..Region::default()
        })
        .collect();
    let options = Options {
        column_mm,
        ..Options::default()
    };
    let plan = plan(&photo, &regions, &options)?;
    let nearest = plan.nearest_leaders().map_or(0.0, |n| n.2);
    println!(
        "{} callouts, leaders nearest {nearest:.2} mm apart",
        plan.callouts.len()
    );

    fs::create_dir_all(&folder)?;
    for (surroundings, name) in [(Surroundings::Light, "light"), (Surroundings::Dark, "dark")] {
        let source = Source::Embedded {
            media_type: "image/jpeg",
            bytes: &jpeg,
        };
        let style = SvgStyle {
            surroundings,
            ground: true,
            alternative: &scene.caption,
            ..SvgStyle::default()
        };
        let drawing = svg(&plan, &source, &style);
        fs::write(Path::new(&folder).join(format!("{id}-{name}.svg")), drawing)?;
        let style = PngStyle {
            surroundings,
            pixels_per_mm: None,
            profile: None,
        };
        let file = png(&plan, &picture, &style)?;
        fs::write(Path::new(&folder).join(format!("{id}-{name}.png")), file)?;
    }
    Ok(())
}
