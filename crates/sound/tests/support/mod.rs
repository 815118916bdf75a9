//! Tables of published values and sounds made for tests.

#![allow(dead_code, reason = "each test uses a part of it")]

use std::collections::HashMap;
use std::f64::consts::PI;

pub(crate) type Row = HashMap<String, String>;

/// Rows of a table by the names in its head.
pub(crate) fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head: Vec<String> = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            head.iter()
                .cloned()
                .zip(record.iter().map(str::to_owned))
                .collect()
        })
        .collect()
}

/// A number of a row; "inf" and "-inf" are read too, nothing is NaN.
pub(crate) fn number(row: &Row, name: &str) -> f64 {
    let text = &row[name];
    if text.is_empty() {
        f64::NAN
    } else {
        text.parse().unwrap()
    }
}

#[track_caller]
pub(crate) fn near(what: &str, got: f64, expected: f64, within: f64) {
    assert!(
        (got - expected).abs() <= within,
        "{what}: got {got}, expected {expected} within {within}"
    );
}

/// A sine of a peak amplitude.
pub(crate) fn sine(hz: f64, rate_hz: f64, seconds: f64, amplitude: f64) -> Vec<f32> {
    (0..(seconds * rate_hz) as usize)
        .map(|n| (amplitude * (2.0 * PI * hz * n as f64 / rate_hz).sin()) as f32)
        .collect()
}

/// Numbers from 0 to 1 (SplitMix64).
pub(crate) struct Draws(pub(crate) u64);

impl Draws {
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A standard normal number (Box and Muller).
    pub(crate) fn normal(&mut self) -> f64 {
        (-2.0 * (1.0 - self.unit()).ln()).sqrt() * (2.0 * PI * self.unit()).cos()
    }

    pub(crate) fn noise(&mut self, count: usize, sd: f64) -> Vec<f32> {
        (0..count).map(|_| (sd * self.normal()) as f32).collect()
    }
}
