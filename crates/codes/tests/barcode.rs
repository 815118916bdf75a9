//! Codes drawn with the library's own writer, turned, blurred and made noisy, are read back.
#![cfg(feature = "barcode")]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use codes::barcode::{BarcodeError, find};
use codes::{Context, Kind};
use rxing::{BarcodeFormat, MultiFormatWriter, Writer as _};

/// A grey picture.
struct Picture {
    grey: Vec<u8>,
    width: u32,
    height: u32,
}

fn drawn(text: &str, format: BarcodeFormat, width: i32, height: i32) -> Picture {
    let matrix = MultiFormatWriter
        .encode(text, &format, width, height)
        .unwrap();
    // The writers of some formats ignore the size asked for: whole pixels enlarge them, with a quiet edge.
    let (w, h) = (matrix.getWidth(), matrix.getHeight());
    let scale = (u32::try_from(width).unwrap() / w).max(1);
    let edge = 40;
    let (width, height) = (w * scale + 2 * edge, h * scale + 2 * edge);
    let mut grey = vec![235u8; (width * height) as usize];
    for y in 0..h * scale {
        for x in 0..w * scale {
            if matrix.get(x / scale, y / scale) {
                grey[((y + edge) * width + x + edge) as usize] = 25;
            }
        }
    }
    Picture {
        grey,
        width,
        height,
    }
}

impl Picture {
    /// Turns by an angle around the middle, onto a larger sheet, with values between pixels interpolated.
    fn turned(&self, degrees: f64) -> Self {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let (w, h) = (f64::from(self.width), f64::from(self.height));
        let width = (w * cos.abs() + h * sin.abs()).ceil() as u32 + 20;
        let height = (w * sin.abs() + h * cos.abs()).ceil() as u32 + 20;
        let at = |x: i64, y: i64| -> f64 {
            let inside =
                (0..i64::from(self.width)).contains(&x) && (0..i64::from(self.height)).contains(&y);
            if inside {
                f64::from(self.grey[(y * i64::from(self.width) + x) as usize])
            } else {
                235.0
            }
        };
        let mut grey = Vec::new();
        for y in 0..height {
            for x in 0..width {
                let (dx, dy) = (
                    f64::from(x) - f64::from(width) / 2.0,
                    f64::from(y) - f64::from(height) / 2.0,
                );
                let (sx, sy) = (
                    cos * dx + sin * dy + w / 2.0,
                    -sin * dx + cos * dy + h / 2.0,
                );
                let (x0, y0) = (sx.floor(), sy.floor());
                let (fx, fy) = (sx - x0, sy - y0);
                let (x0, y0) = (x0 as i64, y0 as i64);
                let top = at(x0, y0) * (1.0 - fx) + at(x0 + 1, y0) * fx;
                let bottom = at(x0, y0 + 1) * (1.0 - fx) + at(x0 + 1, y0 + 1) * fx;
                grey.push((top * (1.0 - fy) + bottom * fy) as u8);
            }
        }
        Self {
            grey,
            width,
            height,
        }
    }

    /// Adds noise from a small generator with a fixed seed, within ± `amount` grey levels.
    fn noisy(mut self, amount: u8) -> Self {
        let mut state = 0x2545_f491_4f6c_dd1du64;
        for pixel in &mut self.grey {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            let span = i32::from(amount) * 2 + 1;
            let change = (state >> 33) as i32 % span - i32::from(amount);
            *pixel = (i32::from(*pixel) + change).clamp(0, 255) as u8;
        }
        self
    }
}

#[track_caller]
fn check(text: &str, format: BarcodeFormat, symbology: &str, picture: &Picture) {
    let found = find(
        &picture.grey,
        picture.width,
        picture.height,
        &Context::default(),
    )
    .unwrap();
    let [code] = found.as_slice() else {
        panic!("{format} {text}: {found:?}");
    };
    assert_eq!(
        (code.text.as_str(), code.symbology.as_str()),
        (text, symbology)
    );
    assert!(code.points.len() >= 2);
    for (x, y) in &code.points {
        assert!(
            (0.0..=picture.width as f32).contains(x) && (0.0..=picture.height as f32).contains(y)
        );
    }
}

#[test]
fn qr_codes() {
    let text = "NC3-2631-004417";
    let flat = drawn(text, BarcodeFormat::QR_CODE, 240, 240);
    check(text, BarcodeFormat::QR_CODE, "QR code", &flat);
    check(
        text,
        BarcodeFormat::QR_CODE,
        "QR code",
        &flat.turned(17.0).noisy(25),
    );
    check(
        text,
        BarcodeFormat::QR_CODE,
        "QR code",
        &flat.turned(200.0).noisy(25),
    );
}

#[test]
fn article_numbers() {
    // GS1 pages: 629104150021 has the check digit 3.
    let text = "6291041500213";
    let flat = drawn(text, BarcodeFormat::EAN_13, 380, 120);
    check(text, BarcodeFormat::EAN_13, "EAN-13", &flat);
    check(
        text,
        BarcodeFormat::EAN_13,
        "EAN-13",
        &flat.turned(6.0).noisy(25),
    );
    let found = find(&flat.grey, flat.width, flat.height, &Context::default()).unwrap();
    assert_eq!(found[0].readings[0].kind, Kind::Gs1);
    assert!(found[0].readings[0].meaning.contains("check digit right"));
}

#[test]
fn code_128() {
    let text = "LOT 2631 A";
    let flat = drawn(text, BarcodeFormat::CODE_128, 420, 120);
    check(text, BarcodeFormat::CODE_128, "Code 128", &flat);
    check(
        text,
        BarcodeFormat::CODE_128,
        "Code 128",
        &flat.turned(-5.0).noisy(25),
    );
}

#[test]
fn data_matrix() {
    let text = "2628B";
    let flat = drawn(text, BarcodeFormat::DATA_MATRIX, 160, 160);
    check(text, BarcodeFormat::DATA_MATRIX, "Data Matrix", &flat);
    check(
        text,
        BarcodeFormat::DATA_MATRIX,
        "Data Matrix",
        &flat.turned(9.0).noisy(20),
    );
}

#[test]
fn two_codes_in_one_picture() {
    let (a, b) = (
        drawn("A-1", BarcodeFormat::QR_CODE, 240, 240),
        drawn("B-2", BarcodeFormat::QR_CODE, 240, 240),
    );
    let mut grey = a.grey.clone();
    grey.extend(&b.grey);
    assert_eq!(a.width, b.width);
    let found = find(&grey, a.width, a.height + b.height, &Context::default()).unwrap();
    let texts: Vec<&str> = found.iter().map(|f| f.text.as_str()).collect();
    assert_eq!(texts, ["A-1", "B-2"]);
}

#[test]
fn pictures_without_codes_and_wrong_sizes() {
    let blank = Picture {
        grey: vec![128; 300 * 200],
        width: 300,
        height: 200,
    }
    .noisy(100);
    assert_eq!(
        find(&blank.grey, 300, 200, &Context::default()),
        Ok(Vec::new())
    );
    assert_eq!(
        find(&[0; 10], 3, 3, &Context::default()),
        Err(BarcodeError::Size)
    );
    assert_eq!(
        find(&[], 0, 0, &Context::default()),
        Err(BarcodeError::Size)
    );
    assert_eq!(
        find(&[], u32::MAX, u32::MAX, &Context::default()),
        Err(BarcodeError::Size)
    );
    for (width, height) in [(1, 1), (2, 1), (1, 40), (40, 1), (7, 5)] {
        let grey = vec![9; width * height];
        let found = find(&grey, width as u32, height as u32, &Context::default());
        assert_eq!(found, Ok(Vec::new()));
    }
}
