//! How long what a person waits for takes: a key of a marking, a box that snaps, a box that grows, tiles.
//!
//! `cargo run --release -p underlid-app --example plates` prints p50 and p95 in ms.

#![allow(
    clippy::unwrap_used,
    reason = "an example stops where its ground is missing"
)]
#![allow(clippy::print_stdout, reason = "it prints what it measures")]

#[path = "../../marking/examples/drawn/mod.rs"]
mod drawn;

use app::desk::Desk;
use app::plates::{Budget, Picture, Plate, Plates, Snap};
use app::read::{Asked, choices};
use imaging::pixels::{Encoding, Limits, crop, decode, encode};
use library::{Library, Person};
use std::fmt::Write as _;
use std::time::Instant;
use store::cache::Cache;

const BOARD: &[u8] = include_bytes!("../../../demo/lamp/photos/lamp-main.jpg");
const NAMES: usize = 200_000;
/// The photograph enlarged to 100 megapixels.
const LARGE: u32 = 12_000;

fn text(shrink: f64) -> String {
    let at = |v: f64| v * shrink;
    format!(
        "format = 1\n\n[product]\nname = \"Lamp\"\nmaker = \"Ondrelkamp\"\nopened = 2026-10-05\n\n\
         [[photos]]\nid = \"board\"\nfile = \"board.jpg\"\ncaption = \"Board\"\n\
         scale = {{ from = [{:.1}, {:.1}], to = [{:.1}, {:.1}], length = \"40 mm\" }}\n\n\
         [[items]]\nid = \"lamp\"\nname = \"Lamp\"\nkind = \"product\"\n",
        at(176.0),
        at(770.0),
        at(1056.0),
        at(770.0)
    )
}

fn catalogue() -> String {
    let mut csv = String::from("name,maker,packages,pins,body_mm,role\n");
    for (name, maker) in drawn::names(NAMES, 0) {
        let _ = writeln!(csv, "{name},Maker {maker},QFN-16,16,3 x 3,regulator");
    }
    csv
}

fn told(what: &str, mut all: Vec<f64>) {
    all.sort_by(f64::total_cmp);
    let at = |share: f64| all[((all.len() - 1) as f64 * share) as usize];
    println!(
        "{what}: p50 {:.2} ms, p95 {:.2} ms, n {}",
        at(0.5),
        at(0.95),
        all.len()
    );
}

fn ms(begun: Instant) -> f64 {
    begun.elapsed().as_secs_f64() * 1e3
}

async fn photograph(jpeg: Vec<u8>, shrink: f64, csv: &str) {
    let library = Library::in_memory();
    let files = vec![
        ("photos/board.jpg".to_string(), jpeg.into()),
        ("catalogue/parts.csv".to_string(), csv.to_string().into()),
    ];
    let by = Person::from("A");
    let at = "2026-10-05T10:00:00Z".parse().unwrap();
    let id = library.create(&text(shrink), files, &by, at).await.unwrap();
    let folder = std::env::temp_dir().join(format!("underlid-plates-{}", std::process::id()));
    let plates = Plates::at(library.clone(), Cache::at(folder), Budget::default());
    let view = Desk::at(library, Vec::new()).view(&id).await.unwrap();
    let plate = Plate::of(&view, "board").unwrap();
    let [width, height] = plate.pixels.unwrap();
    println!("photograph of {width} × {height} pixels");
    let begun = Instant::now();
    plates.jpeg(plate.sha256, Picture::Preview).await.unwrap();
    told("  preview", vec![ms(begun)]);
    let begun = Instant::now();
    plates.levels(plate.sha256, [width, height]).await.unwrap();
    told("  decoded and all tiles", vec![ms(begun)]);
    let begun = Instant::now();
    let found = plates.bodies(&view, "board").await.unwrap();
    told("  bodies", vec![ms(begun)]);
    let (mut snaps, mut grows, mut tiles) = (Vec::new(), Vec::new(), Vec::new());
    let within = (f64::from(width.max(height)) / 1600.0).max(2.0);
    plates.ready_to_grow(&view, "board").await.unwrap();
    for body in found.bodies.iter().take(12) {
        let corners = body.corners.map(|c| c.map(|v| v + 0.7 * within));
        let begun = Instant::now();
        let snapped = plates
            .snap(&view, "board", &Snap::new(corners, within))
            .await;
        snaps.push(ms(begun));
        snapped.unwrap();
        let begun = Instant::now();
        plates.grow(&view, "board", body.middle()).await.unwrap();
        grows.push(ms(begun));
    }
    for column in 0..width.div_ceil(512) {
        let what = Picture::Tile {
            level: 0,
            column,
            row: 0,
        };
        let begun = Instant::now();
        plates.jpeg(plate.sha256, what).await.unwrap();
        tiles.push(ms(begun));
    }
    told("  snap", snaps);
    told("  grow", grows);
    told("  tile from the disk", tiles);
}

#[tokio::main]
async fn main() {
    let library = Library::in_memory();
    let begun = Instant::now();
    let files = vec![("catalogue/parts.csv".to_string(), catalogue().into())];
    let text = text(1.0);
    let (head, rest) = text.split_once("[[photos]]").unwrap();
    let (_, items) = rest.split_once("[[items]]").unwrap();
    let by = Person::from("A");
    let at = "2026-10-05T10:00:00Z".parse().unwrap();
    let id = library
        .create(&format!("{head}[[items]]{items}"), files, &by, at)
        .await
        .unwrap();
    let view = Desk::at(library, Vec::new()).view(&id).await.unwrap();
    println!(
        "{} names ready after {:.0} ms",
        view.known.parts().len(),
        ms(begun)
    );
    let mut scratch = marking::Scratch::default();
    let mut keys = Vec::new();
    let names = (0..60).map(|n| view.known.parts()[n * 3_001].name.clone());
    for (n, name) in names.enumerate() {
        // As it is typed: each further character a question; every third marking with a worn one.
        let mut typed = String::new();
        for (at, c) in name.chars().enumerate() {
            typed.push(if n % 3 == 0 && at == 3 { '?' } else { c });
            let asked = Asked {
                text: typed.clone(),
                body_mm: Some([3.02, 2.98]),
                ..Asked::default()
            };
            let begun = Instant::now();
            let said = choices(&view, &asked, &mut scratch);
            keys.push(ms(begun));
            assert!(said.fault.is_none());
        }
    }
    told("a key of a marking", keys);

    let small = decode(BOARD, &Limits::default()).unwrap().picture;
    photograph(BOARD.to_vec(), 1.0, "name,maker\nA1,B\n").await;
    // Enlarged in two steps, as one is four-fold at most.
    let whole = [0, 0, small.width, small.height];
    let double = crop(&small, whole, small.width * 3);
    let large = crop(&double, [0, 0, double.width, double.height], LARGE);
    let shrink = f64::from(large.width) / f64::from(small.width);
    let jpeg = encode(&large, Encoding::Jpeg(88), None, None).unwrap();
    drop((double, large));
    photograph(jpeg, shrink, "name,maker\nA1,B\n").await;
}
