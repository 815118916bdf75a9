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
fn nothing_is_offered_on_a_picture_without_contrast() {
    for (width, height, level) in [(0, 0, 0), (1, 1, 7), (200, 150, 0), (200, 150, 255)] {
        let picture = filled(width, height, |_| level);
        assert!(find(&picture, &Look::default()).is_empty());
        assert!(grow(&picture, [0.5, 0.5], &Look::default()).is_empty());
    }
}

#[test]
fn noise_and_strange_questions_get_finite_answers() {
    for (width, height) in [(1, 300), (300, 2), (3, 3), (160, 120)] {
        let picture = filled(width, height, noise);
        for px_per_mm in [None, Some(12.0), Some(1e-9), Some(1e9), Some(f64::NAN)] {
            let look = Look {
                px_per_mm,
                ..Look::default()
            };
            let places = [[0.5, 0.5], [80.0, 60.0], [-3.0, 1e12], [f64::NAN, 1.0]];
            let grown = places.iter().flat_map(|at| grow(&picture, *at, &look));
            for outline in find(&picture, &look).into_iter().chain(grown) {
                let numbers = outline.corners.concat();
                assert!(numbers.iter().all(|v| v.is_finite()), "{px_per_mm:?}");
                assert!((0.0..=1.0).contains(&outline.probability));
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
