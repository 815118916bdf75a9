//! From a scene to a picture, and from a picture to a JPEG file's bytes.

use crate::camera::photograph;
use crate::shading::speckle;
use crate::shapes::{Mat, Scene, Shape};
use crate::{body, ruler, simple_shapes};
use image::codecs::jpeg::{JpegEncoder, PixelDensity, PixelDensityUnit};
use imaging::Picture;
use imaging::canvas::Canvas;

/// Grey levels of noise on either side.
const NOISE: f32 = 2.2;
/// Share of the light lost in the corners.
const FALLOFF: f32 = 0.13;
/// JPEG quality, 1 to 100.
const QUALITY: u8 = 84;

/// Why a picture could not be written.
#[derive(Debug, thiserror::Error)]
#[error("the picture could not be written as JPEG")]
pub struct EncodeError(#[from] image::ImageError);

/// Draws a scene without noise and evenly lit, for a camera to look at.
pub fn flat(scene: &Scene) -> Picture {
    drawn(scene).picture(|_, _, p| p)
}

fn drawn(scene: &Scene) -> Canvas {
    let scale = scene.scale;
    let mut canvas = Canvas::new(scene.size[0] * scale, scene.size[1] * scale);
    draw_mat(&mut canvas, scene.mat, scale);
    if let Some(r) = scene.ruler {
        ruler::draw(&mut canvas, r, scale);
    }
    for shape in &scene.shapes {
        let seen = scene.view.as_ref().map(|view| view.on_table(shape));
        match seen.as_ref().unwrap_or(shape) {
            Shape::Body(b) => body::draw(&mut canvas, b, scale),
            Shape::Disc(d) => simple_shapes::disc(&mut canvas, d, scale),
            Shape::Lettering(w) => simple_shapes::words(&mut canvas, w, scale),
            Shape::Bar(b) => simple_shapes::bar(&mut canvas, b, scale),
        }
    }
    canvas
}

/// Draws a scene.
pub fn render(scene: &Scene) -> Picture {
    if let Some(view) = &scene.view {
        let sensor = view.sensor(scene.seed);
        return photograph(&flat(scene), scene.scale.into(), &view.camera(), &sensor);
    }
    let canvas = drawn(scene);
    let (w, h) = (canvas.width as f32, canvas.height as f32);
    canvas.picture(|x, y, p| {
        // Light comes from the upper left; the corners of the lens are darker.
        let (u, v) = (x as f32 / w - 0.42, y as f32 / h - 0.40);
        let light = 1.03 - FALLOFF * (u * u + v * v) / 0.5;
        let noise = NOISE * speckle(scene.seed, x as u64, y as u64);
        p.map(|c| c * light + noise)
    })
}

/// Draws a scene and writes it as JPEG with its density, so that a program that prints it knows its size.
///
/// # Errors
/// [`EncodeError`] for pictures larger than JPEG allows.
pub fn draw(scene: &Scene) -> Result<Vec<u8>, EncodeError> {
    let pixels_per_mm = match &scene.view {
        Some(view) => (view.focal / view.distance) as f32,
        None => scene.scale,
    };
    jpeg(&render(scene), pixels_per_mm)
}

/// Writes a picture as JPEG with its density.
///
/// # Errors
/// [`EncodeError`] for pictures larger than JPEG allows.
pub fn jpeg(picture: &Picture, pixels_per_mm: f32) -> Result<Vec<u8>, EncodeError> {
    let mut bytes = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut bytes, QUALITY);
    let per_centimetre = (pixels_per_mm * 10.0)
        .round()
        .clamp(1.0, f32::from(u16::MAX)) as u16;
    encoder.set_pixel_density(PixelDensity {
        density: (per_centimetre, per_centimetre),
        unit: PixelDensityUnit::Centimeters,
    });
    encoder.encode(
        &picture.rgb,
        picture.width,
        picture.height,
        image::ExtendedColorType::Rgb8,
    )?;
    Ok(bytes)
}

fn draw_mat(canvas: &mut Canvas, mat: Mat, scale: f32) {
    let colour = mat.colour.channels();
    let area = canvas.area();
    let grid = mat.grid * scale;
    canvas.paint(area, |x, y| {
        if grid < 4.0 {
            return (colour, 1.0);
        }
        let off = |v: f32| {
            let r = v - (v / grid).floor() * grid;
            r.min(grid - r)
        };
        let line = (1.2 - off(x).min(off(y))).clamp(0.0, 1.0);
        (colour.map(|c| c + 13.0 * line), 1.0)
    });
}
