//! Arithmetic of levels, noise floors, averaging.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

mod support;

use sound::level::{Cleared, REFERENCE_PA, cleared, energy_mean, of_noise_sd, of_power, sum};
use sound::weighting::Weighting;
use sound::{bands, mean_square};
use support::{near, number, rows, sine};

/// Computed with numpy 2.4.6.
#[test]
fn levels_add_as_powers() {
    near("60 + 60", sum([60.0, 60.0]), 63.010_300, 1e-6);
    near("60 + 50", sum([60.0, 50.0]), 60.413_927, 1e-6);
    near("mean", energy_mean(&[60.0, 70.0, 80.0]), 75.682_017, 1e-6);
    near(
        "1 Pa",
        of_power((1.0 / REFERENCE_PA).powi(2)),
        93.979_400,
        1e-6,
    );
    near(
        "94 dB",
        REFERENCE_PA * 10_f64.powf(94.0 / 20.0),
        1.002_374,
        1e-6,
    );
    let half = mean_square(&sine(1000.0, 48_000.0, 1.0, 0.5));
    near("root mean square", half.sqrt(), 0.353_553, 1e-6);
    near(
        "re a root mean square of 1",
        of_power(half),
        -9.030_900,
        1e-5,
    );
    near(
        "re a full-scale sine",
        of_power(half) + sound::calibration::SINE_BELOW,
        -6.020_600,
        1e-5,
    );
}

/// Constructed octave spectra, computed with numpy 2.4.6.
#[test]
fn a_background_is_taken_off_where_it_is_far_enough_below() {
    let open = [78.2, 80.1, 81.5, 82.0, 80.7, 78.3, 74.9, 70.4];
    let closed = [74.9, 73.2, 69.8, 64.1, 57.5, 50.2, 44.6, 41.3];
    let background = [40.0, 38.0, 35.0, 32.0, 30.0, 35.0, 38.0, 39.5];
    let expected = [
        74.898_594, 73.198_688, 69.798_562, 64.097_321, 57.492_270, 50.066_824, 43.527_755,
    ];
    for k in 0..7 {
        let Cleared::Level(db) = cleared(closed[k], background[k]) else {
            panic!("{k}")
        };
        near("cleared", db, expected[k], 1e-6);
    }
    assert_eq!(cleared(closed[7], background[7]), Cleared::AtMost(41.3));
    let losses: Vec<f64> = open.iter().zip(closed).map(|(o, c)| o - c).collect();
    for (loss, printed) in losses
        .iter()
        .zip([3.3, 6.9, 11.7, 17.9, 23.2, 28.1, 30.3, 29.1])
    {
        near("loss", *loss, printed, 1e-9);
    }
    near(
        "mean of 500, 1k, 2k",
        losses[3..6].iter().sum::<f64>() / 3.0,
        23.066_667,
        1e-6,
    );
    let a = sound::protector::A_WEIGHTS;
    let c = [-0.8, -0.2, 0.0, 0.0, 0.0, -0.2, -0.8, -3.0];
    let overall =
        |levels: &[f64; 8], weights: &[f64; 8]| sum(levels.iter().zip(weights).map(|(l, w)| l + w));
    for (weights, expected) in [
        (a, [85.466_134, 65.891_312, 19.574_821]),
        (c, [88.232_625, 77.669_330, 10.563_295]),
        ([0.0; 8], [88.420_520, 78.104_047, 10.316_472]),
    ] {
        let (before, after) = (overall(&open, &weights), overall(&closed, &weights));
        near("open", before, expected[0], 1e-6);
        near("closed", after, expected[1], 1e-6);
        near("difference", before - after, expected[2], 2e-6);
    }
}

/// 4.343/√(BT); the 100 Hz band over 10 s was confirmed by 2,000 draws through the filter: 0.2536.
#[test]
fn the_level_of_noise_is_as_sure_as_its_average_is_long() {
    let table = rows(include_str!("published/sound_averaging.csv"));
    for (row, band) in table.iter().zip(bands::between(3, 50.0, 10_000.0)) {
        near("name", band.nominal_hz(), number(row, "nominal_hz"), 1e-9);
        near("width", band.width_hz(), number(row, "bandwidth_hz"), 1e-6);
        for (seconds, column) in [
            (1.0, "sd_1s_db"),
            (10.0, "sd_10s_db"),
            (30.0, "sd_30s_db"),
            (60.0, "sd_60s_db"),
        ] {
            near(
                column,
                of_noise_sd(band.width_hz(), seconds),
                number(row, column),
                1e-6,
            );
        }
        // Of a difference of two, 0.1 dB.
        let seconds = number(row, "seconds_for_sd_0.1dB_of_loss");
        // Printed to a thousandth of a second.
        near(
            "seconds",
            of_noise_sd(band.width_hz(), seconds) * 2_f64.sqrt(),
            0.1,
            2e-5,
        );
    }
    let wider = sound::filter::STATISTICAL_WIDTH * bands::Band::third(-10).width_hz();
    near("100 Hz, 10 s", of_noise_sd(wider, 10.0), 0.2550, 5e-5);
    near("A of Z", Weighting::Z.db(31.5), 0.0, 0.0);
}
