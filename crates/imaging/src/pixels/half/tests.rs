//! The short way gives what the long way gives: decoding with the library `zune-jpeg`, then halving.

use super::decode;
use crate::pixels::{Limits, halve};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

fn file(size: [u16; 2], colour: ColorType, set: impl Fn(&mut Encoder<&mut Vec<u8>>)) -> Vec<u8> {
    let channels = if colour == ColorType::Luma { 1 } else { 3 };
    let [width, height] = size.map(u32::from);
    // Smooth waves with a little noise: no value is clipped, which halving would show.
    let values: Vec<u8> = (0..width * height)
        .flat_map(|i| {
            let (x, y) = ((i % width) as f32, (i / width) as f32);
            let noise = (i.wrapping_mul(2_654_435_761) >> 28) as f32;
            (0..channels).map(move |c| {
                let wave = (x / (9.0 + c as f32)).sin() + (y / (13.0 - c as f32)).cos();
                (128.0 + 40.0 * wave + noise) as u8
            })
        })
        .collect();
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, 92);
    set(&mut encoder);
    encoder.encode(&values, size[0], size[1], colour).unwrap();
    bytes
}

/// Mean and largest difference between both ways.
fn apart(bytes: &[u8]) -> (f64, u8) {
    let long = halve(
        &crate::pixels::decode(bytes, &Limits::default())
            .unwrap()
            .picture,
    );
    let short = decode(bytes).expect("an even baseline file is read");
    assert_eq!((short.width, short.height), (long.width, long.height));
    let off = short.rgb.iter().zip(&long.rgb).map(|(a, b)| a.abs_diff(*b));
    let sum: u64 = off.clone().map(u64::from).sum();
    (
        sum as f64 / short.rgb.len() as f64,
        off.max().unwrap_or_default(),
    )
}

#[test]
fn colours_at_full_resolution_agree_within_rounding() {
    for size in [[64, 48], [50, 34], [2, 2], [130, 18]] {
        let full = |e: &mut Encoder<&mut Vec<u8>>| e.set_sampling_factor(SamplingFactor::F_1_1);
        let (mean, most) = apart(&file(size, ColorType::Rgb, full));
        // Both round brightness, colours and the result: half a level each, weighed by up to 1.8.
        assert!(mean < 0.7 && most <= 2, "{size:?}: {mean} {most}");
        let (mean, most) = apart(&file(size, ColorType::Luma, |_| {}));
        assert!(mean < 0.5 && most <= 1, "{size:?} grey: {mean} {most}");
    }
}

#[test]
fn colours_at_half_resolution_agree_up_to_their_smoothing() {
    for factor in [
        SamplingFactor::F_2_1,
        SamplingFactor::F_1_2,
        SamplingFactor::F_2_2,
    ] {
        for size in [[64, 48], [50, 34], [130, 18]] {
            for restart in [0, 3] {
                let bytes = file(size, ColorType::Rgb, |e| {
                    e.set_sampling_factor(factor);
                    e.set_restart_interval(restart);
                });
                let (mean, most) = apart(&bytes);
                assert!(
                    mean < 1.0 && most <= 12,
                    "{factor:?} {size:?}: {mean} {most}"
                );
            }
        }
    }
}

#[test]
fn what_no_camera_writes_goes_the_long_way() {
    assert!(decode(&file([33, 48], ColorType::Luma, |_| {})).is_none());
    let waves = |e: &mut Encoder<&mut Vec<u8>>| e.set_progressive(true);
    assert!(decode(&file([64, 48], ColorType::Rgb, waves)).is_none());
    let whole = file([64, 48], ColorType::Rgb, |_| {});
    for cut in (0..whole.len() - 2).step_by(23) {
        assert!(decode(&whole[..cut]).is_none(), "{cut}");
    }
}
