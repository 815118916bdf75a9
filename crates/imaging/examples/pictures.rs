//! Times rectified views, previews and tile pyramids of one photograph on one thread.
//!
//! `pictures warp KERNEL PHOTO.ppm RUNS OUT.ppm`, KERNEL one of `linear`, `cubic`, `lanczos4`;
//! `pictures preview PHOTO.jpg RUNS OUT.ppm` (file to 2048 pixels in memory);
//! `pictures tiles PHOTO.jpg RUNS OUT.ppm` (file to 256-pixel tiles; OUT is the full level of the
//! tiles put together again); `pictures rectified PHOTO.jpg RUNS OUT.png` (file to a rectified PNG file);
//! `pictures tile PHOTO.jpg RUNS` (one 256-pixel tile of the decoded
//! photograph and of a view of it, the slowest of 100 places);
//! `pictures decode PHOTO OUT.ppm`;
//! `pictures memory WHAT PHOTO.jpg`, WHAT one of `decode`, `rectified`, `preview`, `tiles` (each once, then the
//! most memory the process has held). Each prints lines of JSON.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files, and is timed"
)]

use imaging::Picture;
use imaging::pixels::rectify::{Kernel, Map, RectifyOptions, resample, resample_into};
use imaging::pixels::{
    Encoding, Limits, TileOptions, cut, decode, encode, key, preview as small, pyramid, size,
};
use std::error::Error;
use std::time::Instant;

type Done<T> = Result<T, Box<dyn Error>>;

fn main() -> Done<()> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    match args.as_slice() {
        ["warp", kernel, photo, runs, out] => warp(kernel, photo, runs.parse()?, out),
        ["preview", photo, runs, out] => preview(photo, runs.parse()?, out),
        ["tiles", photo, runs, out] => tiles(photo, runs.parse()?, out),
        ["rectified", photo, runs, out] => rectified(photo, runs.parse()?, out),
        ["decode", photo, out] => {
            let file = std::fs::read(photo)?;
            write_ppm(&decode(&file, &Limits::default())?.picture, out)
        }
        ["tile", photo, runs] => tile(photo, runs.parse()?),
        ["memory", what, photo] => memory(what, photo),
        _ => Err("see the first lines of this file".into()),
    }
}

/// Seconds of processor time of this thread, where the system tells.
fn processor() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    let nanoseconds: f64 = text.split_whitespace().next()?.parse().ok()?;
    Some(nanoseconds * 1e-9)
}

/// Runs once to warm up, then `runs` times, and prints the medians.
fn timed<T>(what: &str, runs: usize, mut work: impl FnMut() -> Done<T>) -> Done<T> {
    let mut last = work()?;
    let (mut wall, mut cpu) = (Vec::new(), Vec::new());
    for _ in 0..runs {
        let (start, before) = (Instant::now(), processor());
        last = work()?;
        wall.push(start.elapsed().as_secs_f64());
        cpu.extend(processor().zip(before).map(|(now, before)| now - before));
    }
    let median = |mut all: Vec<f64>| {
        all.sort_by(f64::total_cmp);
        all.get(all.len() / 2).copied().unwrap_or(f64::NAN)
    };
    println!(
        "{{\"ours\": \"{what}\", \"time\": {{\"median_s\": {:.6}, \"cpu_median_s\": {:.6}, \"runs\": {runs}}}}}",
        median(wall),
        median(cpu)
    );
    Ok(last)
}

/// The homography that takes the corners of the view to these shares of the photograph.
fn keystone(width: f64, height: f64) -> [[f64; 3]; 3] {
    let shares = [(0.06, 0.04), (0.95, 0.08), (0.92, 0.97), (0.03, 0.90)];
    let [a, b, c, d] = shares.map(|(x, y): (f64, f64)| [x * width, y * height]);
    // P. Heckbert, "Fundamentals of Texture Mapping and Image Warping" (1989), 2.2.3.
    let (dx1, dx2, sx) = (b[0] - c[0], d[0] - c[0], a[0] - b[0] + c[0] - d[0]);
    let (dy1, dy2, sy) = (b[1] - c[1], d[1] - c[1], a[1] - b[1] + c[1] - d[1]);
    let whole = dx1 * dy2 - dx2 * dy1;
    let g = (sx * dy2 - dx2 * sy) / whole;
    let h = (dx1 * sy - sx * dy1) / whole;
    let row = |i: usize| {
        [
            (b[i] - a[i] + g * b[i]) / width,
            (d[i] - a[i] + h * d[i]) / height,
            a[i],
        ]
    };
    [row(0), row(1), [g / width, h / height, 1.0]]
}

fn warp(kernel: &str, photo: &str, runs: usize, out: &str) -> Done<()> {
    let filter = match kernel {
        "linear" => Kernel::Bilinear,
        "cubic" => Kernel::SharpCubic,
        "lanczos4" => Kernel::Lanczos4,
        _ => return Err("no such kernel".into()),
    };
    let picture = read_ppm(photo)?;
    let (width, height) = (picture.width, picture.height);
    let map = Map::between_middles(keystone(f64::from(width), f64::from(height)));
    let wanted = RectifyOptions {
        left: 0,
        top: 0,
        width,
        height,
        kernel: filter,
        outside: [0; 3],
    };
    // The peers write into the same memory each time, and so do we.
    let mut view = picture.clone();
    timed(&format!("warp/{kernel}"), runs, || {
        Ok(resample_into(
            &picture,
            &map,
            &wanted,
            &mut view,
            &mut |_| true,
        )?)
    })?;
    write_ppm(&view, out)
}

/// What the command runs for a plain view from straight above: a file in, a file out.
fn rectified(photo: &str, runs: usize, out: &str) -> Done<()> {
    let file = std::fs::read(photo)?;
    let written = timed("rectified", runs, || rectified_file(&file))?;
    std::fs::write(out, written)?;
    Ok(())
}

fn rectified_file(file: &[u8]) -> Done<Vec<u8>> {
    let limits = Limits::default();
    let stated = size(file, &limits)?;
    let map = Map::between_middles(keystone(f64::from(stated.width), f64::from(stated.height)));
    let wanted = RectifyOptions {
        left: 0,
        top: 0,
        width: stated.width,
        height: stated.height,
        kernel: Kernel::Bilinear,
        outside: [0; 3],
    };
    let picture = decode(file, &limits)?.picture;
    let view = resample(&picture, &map, &wanted, &mut |_| true)?;
    drop(picture);
    Ok(encode(&view, Encoding::Png, Some(20.0), None)?)
}

fn preview(photo: &str, runs: usize, out: &str) -> Done<()> {
    let file = std::fs::read(photo)?;
    let small = timed("preview", runs, || {
        Ok(small(&file, 2048, &Limits::default())?.picture)
    })?;
    write_ppm(&small, out)
}

fn tiles(photo: &str, runs: usize, out: &str) -> Done<()> {
    let file = std::fs::read(photo)?;
    let options = TileOptions::default();
    let parts = timed("tiles", runs, || {
        let mut parts = Vec::new();
        let photo = decode(&file, &Limits::default())?;
        pyramid(&key(&file, &options), &photo, &options, &mut |part, _| {
            parts.push(part);
            true
        })?;
        Ok(parts)
    })?;
    let bytes: usize = parts.iter().map(|p| p.bytes.len()).sum();
    println!("{{\"parts\": {}, \"bytes\": {bytes}}}", parts.len());
    let mut whole = decode(&file, &Limits::default())?.picture;
    whole.rgb.fill(0);
    for part in &parts {
        let mut name = part.name.split('/').skip(1);
        let (Some("0"), Some(place)) = (name.next(), name.next()) else {
            continue;
        };
        let numbers: Vec<usize> = place
            .trim_end_matches(".jpg")
            .split('-')
            .map(str::parse)
            .collect::<Result<_, _>>()?;
        let tile = decode(&part.bytes, &Limits::default())?.picture;
        let (x, y) = (numbers[0] * 256, numbers[1] * 256);
        for (row, line) in tile.rgb.chunks(tile.width as usize * 3).enumerate() {
            let from = ((y + row) * whole.width as usize + x) * 3;
            whole.rgb[from..from + line.len()].copy_from_slice(line);
        }
    }
    write_ppm(&whole, out)
}

/// Times one tile, as a viewer asks for it, at places all over the photograph.
fn tile(photo: &str, runs: usize) -> Done<()> {
    let picture = decode(&std::fs::read(photo)?, &Limits::default())?.picture;
    let (width, height) = (picture.width, picture.height);
    let map = Map::between_middles(keystone(f64::from(width), f64::from(height)));
    let places = |i: u32| (i % 10 * (width / 10), i / 10 * (height / 10));
    slowest("cut", runs, |i| {
        let (left, top) = places(i);
        Ok(cut(&picture, left, top, 256))
    })?;
    for kernel in [Kernel::Bilinear, Kernel::CatmullRom, Kernel::Lanczos4] {
        slowest(&format!("{kernel:?}"), runs, |i| {
            let (left, top) = places(i);
            let wanted = RectifyOptions {
                left,
                top,
                width: 256,
                height: 256,
                kernel,
                outside: [0; 3],
            };
            Ok(resample(&picture, &map, &wanted, &mut |_| true)?)
        })?;
    }
    Ok(())
}

/// Makes and encodes 100 tiles; of each the fastest run, of all the slowest and the middle one.
fn slowest(what: &str, runs: usize, make: impl Fn(u32) -> Done<Picture>) -> Done<()> {
    let mut times = Vec::new();
    for i in 0..100 {
        let mut best = f64::INFINITY;
        for _ in 0..runs {
            let start = Instant::now();
            encode(&make(i)?, Encoding::Jpeg(85), None, None)?;
            best = best.min(start.elapsed().as_secs_f64());
        }
        times.push(best * 1e3);
    }
    times.sort_by(f64::total_cmp);
    println!(
        "{{\"ours\": \"tile/{what}\", \"median_ms\": {:.3}, \"slowest_ms\": {:.3}, \"runs\": {runs}}}",
        times[50], times[99]
    );
    Ok(())
}

/// Does one thing and tells the most memory held, the file included.
fn memory(what: &str, photo: &str) -> Done<()> {
    let file = std::fs::read(photo)?;
    let limits = Limits::default();
    let pixels = size(&file, &limits)?;
    let megapixels = f64::from(pixels.width) * f64::from(pixels.height) * 1e-6;
    match what {
        "decode" => drop(decode(&file, &limits)?),
        "rectified" => drop(rectified_file(&file)?),
        "preview" => drop(small(&file, 2048, &limits)?),
        "tiles" => {
            let options = TileOptions::default();
            let photo = decode(&file, &limits)?;
            pyramid("k", &photo, &options, &mut |_, _| true)?;
        }
        _ => return Err("no such work".into()),
    }
    let status = std::fs::read_to_string("/proc/self/status")?;
    let most = status.lines().find_map(|l| l.strip_prefix("VmHWM:"));
    println!(
        "{{\"ours\": \"memory/{what}\", \"megapixels\": {megapixels:.1}, \"file_mb\": {:.1}, \"peak\": \"{}\"}}",
        file.len() as f64 * 1e-6,
        most.unwrap_or("not told here").trim()
    );
    Ok(())
}

/// Reads a binary portable pixmap of 8 bits without comments.
fn read_ppm(path: &str) -> Done<Picture> {
    let bytes = std::fs::read(path)?;
    let mut fields = bytes.splitn(5, u8::is_ascii_whitespace);
    let mut field = || fields.next().ok_or("the pixmap is cut off");
    field()?;
    let width = std::str::from_utf8(field()?)?.parse()?;
    let height = std::str::from_utf8(field()?)?.parse()?;
    field()?;
    let rgb = field()?.to_vec();
    Ok(Picture { width, height, rgb })
}

fn write_ppm(picture: &Picture, path: &str) -> Done<()> {
    let mut bytes = format!("P6 {} {} 255\n", picture.width, picture.height).into_bytes();
    bytes.extend(&picture.rgb);
    std::fs::write(path, bytes)?;
    Ok(())
}
