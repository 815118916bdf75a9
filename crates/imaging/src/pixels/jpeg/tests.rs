//! Files are those that another encoder writes, read by another decoder.

use super::*;
use crate::pixels::{Limits, decode};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

fn picture(width: u32, height: u32) -> Picture {
    // Waves with noise.
    let rgb = (0..width * height * 3)
        .map(|i| {
            let (x, y, c) = (i / 3 % width, i / 3 / width, i % 3);
            let wave = (x as f32 / (5.0 + c as f32)).sin() + (y as f32 / (9.0 - c as f32)).cos();
            let noise = (i.wrapping_mul(2_654_435_761) >> 27) as f32;
            (120.0 + 50.0 * wave + noise) as u8
        })
        .collect();
    Picture { width, height, rgb }
}

/// Mean square of the differences.
fn apart(file: &[u8], wanted: &Picture) -> f64 {
    let found = decode(file, &Limits::default()).unwrap().picture;
    assert_eq!((found.width, found.height), (wanted.width, wanted.height));
    let squares = found
        .rgb
        .iter()
        .zip(&wanted.rgb)
        .map(|(a, b)| f64::from(a.abs_diff(*b)).powi(2));
    squares.sum::<f64>() / wanted.rgb.len() as f64
}

fn written(picture: &Picture, quality: u8) -> Vec<u8> {
    let style = Style {
        quality,
        density: None,
        profile: None,
    };
    let size = [picture.width, picture.height].map(|v| v as u16);
    write(picture, [0, 0], size, &style).unwrap()
}

/// Source: the encoder library `jpeg-encoder` with the same tables, read by `zune-jpeg`.
#[test]
fn files_are_as_true_and_as_small_as_those_of_another_encoder() {
    for size in [[256, 256], [250, 131], [17, 16], [1, 1], [16, 33], [9, 80]] {
        let picture = picture(size[0], size[1]);
        for quality in [1, 30, 50, 85, 89, 90, 97, 100] {
            let ours = written(&picture, quality);
            let mut theirs = Vec::new();
            let mut encoder = Encoder::new(&mut theirs, quality);
            encoder.set_sampling_factor(if quality < 90 {
                SamplingFactor::F_2_2
            } else {
                SamplingFactor::F_1_1
            });
            encoder.set_chroma_subsampling_method(jpeg_encoder::ChromaSubsamplingMethod::Average);
            encoder
                .encode(&picture.rgb, size[0] as u16, size[1] as u16, ColorType::Rgb)
                .unwrap();
            let (our_error, their_error) = (apart(&ours, &picture), apart(&theirs, &picture));
            // Of few blocks, a few coefficients that round the other way show.
            let most = if size[0] * size[1] > 10_000 {
                1.03
            } else {
                1.2
            };
            assert!(
                our_error < most * their_error + 0.05,
                "{size:?} {quality}: {our_error} {their_error}"
            );
            let (ours, theirs) = (ours.len() as f64, theirs.len() as f64);
            assert!(
                (ours / theirs - 1.0).abs() < 0.02,
                "{size:?} {quality}: {ours} {theirs}"
            );
        }
    }
}

/// The longest codes, and every byte that has to be stuffed.
#[test]
fn noise_comes_back() {
    let rgb = (0..333 * 97 * 3u32)
        .map(|i| {
            if i.wrapping_mul(2_654_435_761) >> 31 == 0 {
                0
            } else {
                255
            }
        })
        .collect();
    let picture = Picture {
        width: 333,
        height: 97,
        rgb,
    };
    // Brightness and colours in whole levels: at most half a level each.
    assert!(apart(&written(&picture, 100), &picture) < 1.5);
    for quality in [5, 60, 95] {
        assert!(decode(&written(&picture, quality), &Limits::default()).is_ok());
    }
}

#[test]
fn a_part_is_the_same_as_the_part_alone() {
    let whole = picture(100, 90);
    let style = Style {
        quality: 85,
        density: Some(475),
        profile: None,
    };
    let part = crate::pixels::cut(&whole, 31, 40, 50);
    let alone = write(&part, [0, 0], [50, 50], &style);
    assert!(alone.is_some());
    assert_eq!(write(&whole, [31, 40], [50, 50], &style), alone);
    assert!(write(&whole, [51, 0], [50, 50], &style).is_none());
    assert!(write(&whole, [0, 0], [0, 50], &style).is_none());
}

#[test]
fn a_profile_of_several_segments_comes_back() {
    let mut profile: Vec<u8> = (0..200_000u32).map(|i| (i % 251) as u8).collect();
    profile[16..20].copy_from_slice(b"RGB ");
    let picture = picture(8, 8);
    let style = |profile| Style {
        quality: 85,
        density: None,
        profile: Some(profile),
    };
    let file = write(&picture, [0, 0], [8, 8], &style(&profile)).unwrap();
    assert_eq!(
        decode(&file, &Limits::default()).unwrap().profile,
        Some(profile.clone())
    );
    assert!(write(&picture, [0, 0], [8, 8], &style(&vec![0; 17_000_000])).is_none());
}
