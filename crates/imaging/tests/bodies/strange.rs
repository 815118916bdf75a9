//! Pictures without parts, without contrast, without pixels.

use imaging::Picture;
use imaging::bodies::{Look, find, grow};

fn filled(width: u32, height: u32, value: impl Fn(u32) -> u8) -> Picture {
    let rgb = (0..width * height * 3).map(value).collect();
    Picture { width, height, rgb }
}

fn noise(i: u32) -> u8 {
    let mut z = (i ^ 0x9e37_79b9).wrapping_mul(0x85eb_ca6b);
    z ^= z >> 13;
    (z.wrapping_mul(0xc2b2_ae35) >> 24) as u8
}

#[test]
fn nothing_is_offered_where_nothing_stands_out() {
    let pictures = [
        filled(0, 0, |_| 0),
        filled(1, 1, |_| 7),
        filled(1, 900, noise),
        filled(900, 2, noise),
        filled(640, 480, |_| 0),
        filled(640, 480, |_| 255),
        filled(640, 480, noise),
        filled(3, 3, noise),
    ];
    let scales = [None, Some(12.0), Some(1e-9), Some(1e9), Some(f64::NAN)];
    for picture in &pictures {
        for px_per_mm in scales {
            let look = Look {
                px_per_mm,
                ..Look::default()
            };
            let size = [picture.width, picture.height];
            assert!(find(picture, &look).is_empty(), "{size:?} {px_per_mm:?}");
            for at in [[0.5, 0.5], [320.0, 240.0], [-3.0, 1e12], [f64::NAN, 1.0]] {
                for outline in grow(picture, at, &look) {
                    let numbers = outline.corners.concat();
                    assert!(numbers.iter().all(|v| v.is_finite()), "{size:?} {at:?}");
                }
            }
        }
    }
}

#[test]
fn a_square_and_a_disc_are_found_where_they_are() {
    let mut picture = filled(400, 300, |_| 60);
    for y in 0..300i64 {
        for x in 0..400i64 {
            let in_square = (50..120).contains(&x) && (80..160).contains(&y);
            let in_disc = (x - 280).pow(2) + (y - 150).pow(2) < 45 * 45;
            if in_square || in_disc {
                let at = (y * 400 + x) as usize * 3;
                picture.rgb[at..at + 3].copy_from_slice(&[200, 190, 180]);
            }
        }
    }
    let look = Look {
        least_probability: 0.0,
        ..Look::default()
    };
    let found = find(&picture, &look);
    let square = [[50.0, 80.0], [120.0, 80.0], [120.0, 160.0], [50.0, 160.0]];
    assert!(
        found.iter().any(|o| o.agreement(&square) > 0.95),
        "{found:?}"
    );
    let disc: Vec<[f64; 2]> = (0..64)
        .map(|i| {
            let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 64.0).sin_cos();
            [280.5 + 45.0 * cos, 150.5 + 45.0 * sin]
        })
        .collect();
    assert!(found.iter().any(|o| o.agreement(&disc) > 0.93), "{found:?}");
}
