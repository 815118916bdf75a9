//! Times rectified views, previews and tile pyramids of one photograph, one thread, and writes
//! values that peers can be compared with.
//!
//! `pictures warp KERNEL PHOTO RUNS [OUT.ppm]`, KERNEL one of `linear`, `cubic`, `lanczos4`.

use imaging::Picture;
use imaging::pixels::rectify::{Kernel, Map, Wanted, resample};
use std::error::Error;
use std::time::Instant;

fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    match args.as_slice() {
        ["warp", kernel, photo, runs, rest @ ..] => {
            warp(kernel, photo, runs.parse()?, rest.first().copied())
        }
        _ => Err("see the first lines of this file".into()),
    }
}

/// The homography that takes the corners of the view to these shares of the photograph.
fn keystone(width: f64, height: f64) -> [[f64; 3]; 3] {
    let q = [(0.06, 0.04), (0.95, 0.08), (0.92, 0.97), (0.03, 0.90)]
        .map(|(x, y): (f64, f64)| [x * width, y * height]);
    // P. Heckbert, "Fundamentals of Texture Mapping and Image Warping" (1989), 2.2.3.
    let [a, b, c, d] = q;
    let (dx1, dx2, sx) = (b[0] - c[0], d[0] - c[0], a[0] - b[0] + c[0] - d[0]);
    let (dy1, dy2, sy) = (b[1] - c[1], d[1] - c[1], a[1] - b[1] + c[1] - d[1]);
    let det = dx1 * dy2 - dx2 * dy1;
    let g = (sx * dy2 - dx2 * sy) / det;
    let h = (dx1 * sy - sx * dy1) / det;
    [
        [
            (b[0] - a[0] + g * b[0]) / width,
            (d[0] - a[0] + h * d[0]) / height,
            a[0],
        ],
        [
            (b[1] - a[1] + g * b[1]) / width,
            (d[1] - a[1] + h * d[1]) / height,
            a[1],
        ],
        [g / width, h / height, 1.0],
    ]
}

fn warp(kernel: &str, photo: &str, runs: usize, out: Option<&str>) -> Result<(), Box<dyn Error>> {
    let kernel = match kernel {
        "linear" => Kernel::Bilinear,
        "cubic" => Kernel::SharpCubic,
        "lanczos4" => Kernel::Lanczos4,
        _ => return Err("no such kernel".into()),
    };
    let decoded = image::load_from_memory(&std::fs::read(photo)?)?.into_rgb8();
    let picture = Picture {
        width: decoded.width(),
        height: decoded.height(),
        rgb: decoded.into_raw(),
    };
    let map = Map::between_middles(keystone(
        f64::from(picture.width),
        f64::from(picture.height),
    ));
    let wanted = Wanted {
        left: 0,
        top: 0,
        width: picture.width,
        height: picture.height,
        kernel,
        outside: [0; 3],
    };
    let mut times = Vec::new();
    let mut view = resample(&picture, &map, &wanted, &mut |_| true)?;
    for _ in 0..runs {
        let start = Instant::now();
        view = resample(&picture, &map, &wanted, &mut |_| true)?;
        times.push(start.elapsed().as_secs_f64());
    }
    times.sort_by(f64::total_cmp);
    println!(
        "{{\"ours\": \"warp/{kernel:?}\", \"min_s\": {:.4}, \"median_s\": {:.4}}}",
        times[0],
        times[times.len() / 2]
    );
    if let Some(out) = out {
        let mut bytes = format!("P6 {} {} 255\n", view.width, view.height).into_bytes();
        bytes.extend(&view.rgb);
        std::fs::write(out, bytes)?;
    }
    Ok(())
}
