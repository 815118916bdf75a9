//! The worked example of ISO 4869-2:2018, to the printed digit.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

mod support;

use sound::level;
use sound::protector::{A_WEIGHTS, ALPHA, Octaves, Spread, at_ear, hml, hml_reduction, snr};
use support::{near, number, rows};

const NAMES: [&str; 8] = [
    "a63", "a125", "a250", "a500", "a1000", "a2000", "a4000", "a8000",
];
const NOISE: Octaves = [75.0, 84.0, 86.0, 88.0, 97.0, 99.0, 97.0, 96.0];

fn one_digit(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

fn subjects() -> Vec<(Octaves, support::Row)> {
    rows(include_str!("published/acoustics_iso4869.csv"))
        .into_iter()
        .map(|row| (NAMES.map(|name| number(&row, name)), row))
        .collect()
}

/// Annex A.
#[test]
fn means_and_deviations_are_printed_so() {
    let subjects = subjects();
    assert_eq!(subjects.len(), 16);
    let spreads: Vec<Spread> = (0..8)
        .map(|k| Spread::of(&subjects.iter().map(|(a, _)| a[k]).collect::<Vec<_>>()))
        .collect();
    let means = [7.4, 10.0, 14.4, 19.6, 22.8, 29.6, 38.8, 34.1];
    let sds = [3.3, 3.6, 3.6, 4.6, 4.0, 6.2, 7.4, 5.2];
    let printed = [4.1, 6.4, 10.8, 15.0, 18.8, 23.4, 31.4, 28.9];
    let exact = [
        4.091_201, 6.366_820, 10.744_114, 14.944_149, 18.842_298, 23.398_424, 31.315_845,
        28.905_385,
    ];
    for k in 0..8 {
        near("mean", one_digit(spreads[k].mean), means[k], 1e-9);
        near("sd", one_digit(spreads[k].sd), sds[k], 1e-9);
        // The print subtracts rounded numbers.
        near(
            "assumed, printed",
            one_digit(means[k] - sds[k]),
            printed[k],
            1e-9,
        );
        near("assumed", spreads[k].assumed(1.0), exact[k], 1e-6);
    }
    assert_eq!(
        ALPHA.map(|(_, alpha)| alpha),
        [0.0, 0.67, 0.84, 1.0, 1.28, 1.64, 2.0]
    );
}

/// Annex B.
#[test]
fn the_octave_method_gives_the_printed_level() {
    let assumed = [4.1, 6.4, 10.8, 15.0, 18.8, 23.4, 31.4, 28.9];
    let net = [44.7, 61.5, 66.6, 69.8, 78.2, 76.8, 66.6, 66.0];
    for k in 0..8 {
        near("net", NOISE[k] + A_WEIGHTS[k] - assumed[k], net[k], 1e-9);
    }
    near("at the ear", at_ear(&NOISE, &assumed), 81.400_275, 1e-6);
    near(
        "A",
        level::sum((0..8).map(|k| NOISE[k] + A_WEIGHTS[k])),
        104.021_963,
        1e-6,
    );
    let c = [-0.8, -0.2, 0.0, 0.0, 0.0, -0.2, -0.8, -3.0];
    near(
        "C",
        level::sum((0..8).map(|k| NOISE[k] + c[k])),
        103.022_628,
        1e-6,
    );
}

/// A help page of a maker of noise meters.
#[test]
fn a_second_example_of_the_octave_method_agrees() {
    let noise = [69.6, 74.0, 75.9, 77.3, 100.1, 105.8, 77.9, 57.1];
    let assumed = [8.6, 12.2, 13.9, 15.8, 16.4, 22.9, 24.6, 22.7];
    for (k, row) in [34.8, 45.7, 53.4, 58.3, 83.7, 84.1, 54.3, 33.3]
        .iter()
        .enumerate()
    {
        near("row", noise[k] + A_WEIGHTS[k] - assumed[k], *row, 1e-9);
    }
    near(
        "at the ear",
        one_digit(at_ear(&noise, &assumed)),
        86.9,
        1e-9,
    );
}

/// Annexes C and D; all 64 values of subjects.
#[test]
fn h_m_l_and_snr_are_printed_so() {
    let subjects = subjects();
    let mut all: [Vec<f64>; 4] = Default::default();
    for (attenuation, row) in &subjects {
        let [h, m, l] = hml(attenuation);
        for (k, (value, name)) in [h, m, l, snr(attenuation)]
            .into_iter()
            .zip(["H", "M", "L", "SNR"])
            .enumerate()
        {
            near(name, value, number(row, name), 6e-5);
            all[k].push(value);
        }
    }
    let expected = [
        (29.156_974, 4.834_310, 24.322_664),
        (21.710_677, 3.797_826, 17.912_851),
        (16.219_659, 3.531_180, 12.688_479),
        (24.620_540, 3.884_244, 20.736_296),
    ];
    for (values, (mean, sd, assumed)) in all.iter().zip(expected) {
        let spread = Spread::of(values);
        near("mean", spread.mean, mean, 1e-6);
        near("sd", spread.sd, sd, 1e-6);
        near("84 %", spread.assumed(1.0), assumed, 1e-6);
    }
    let reduction = hml_reduction([24.0, 18.0, 13.0], 103.0 - 104.0);
    near("HML", reduction, 22.5, 1e-9);
    near("HML level, printed", (104.0 - reduction).round(), 82.0, 0.0);
    near("SNR level", 103.0 - 21.0, 82.0, 0.0);
    near(
        "above 2 dB",
        hml_reduction([24.0, 18.0, 13.0], 6.0),
        15.5,
        1e-9,
    );
}
