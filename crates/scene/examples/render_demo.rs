//! Draws the demo's photographs anew from `demo/lamp/scenes/*.toml` and prints the photo entries
//! of the dossier that belong to them.
//!
//! `cargo run -p underlid-scene --example render_demo`

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads and writes files"
)]

use scene::Scene;
use std::error::Error;
use std::fs;
use std::path::Path;

fn main() -> Result<(), Box<dyn Error>> {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let mut scenes: Vec<_> = fs::read_dir(demo.join("scenes"))?
        .map(|entry| entry.map(|e| e.path()))
        .collect::<Result<_, _>>()?;
    scenes.sort();
    fs::create_dir_all(demo.join("photos"))?;
    for path in scenes {
        let read = |path: &Path| -> Result<Scene, Box<dyn Error>> {
            let scene = toml_edit::de::from_str(&fs::read_to_string(path)?);
            Ok(scene.map_err(|e| format!("{}: {e}", path.display()))?)
        };
        let scene = read(&path)?
            .completed(|id| read(&path.with_file_name(format!("{id}.toml"))).ok())
            .map_err(|id| format!("{}: there is no scene {id}", path.display()))?;
        let bytes = scene::draw(&scene)?;
        eprintln!("{}.jpg {} kB", scene.id, bytes.len() / 1000);
        fs::write(demo.join("photos").join(format!("{}.jpg", scene.id)), bytes)?;
        print_entry(&scene);
    }
    Ok(())
}

fn print_entry(scene: &Scene) {
    println!(
        "[[photos]]\nid = {:?}\nfile = \"{}.jpg\"\ncaption = {:?}",
        scene.id, scene.id, scene.caption
    );
    if let Some(k) = scene::known_length(scene) {
        println!(
            "scale = {{ from = {:?}, to = {:?}, length = \"{} mm\" }}",
            k.from, k.to, k.length_mm
        );
    }
    let places = scene::regions(scene);
    if !places.is_empty() {
        println!("regions = [");
        for p in places {
            let item = p
                .item
                .map(|i| format!(", item = {i:?}"))
                .unwrap_or_default();
            let caption = p
                .caption
                .map(|c| format!(", caption = {c:?}"))
                .unwrap_or_default();
            println!(
                "  {{ id = {:?}, rect = {:?}{item}{caption} }},",
                p.id, p.rect
            );
        }
        println!("]");
    }
    println!();
}
