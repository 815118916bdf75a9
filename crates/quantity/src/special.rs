//! Quantiles and probabilities of the standard distributions.
//!
//! In: probability and shape. Out: quantile or probability, quantiles of the
//! normal distribution to 1e-14 relative, probabilities to 1e-10. Source: M. J. Wichura, "Algorithm AS 241: The percentage
//! points of the normal distribution", Applied Statistics 37 (1988) 477, routine PPND16.

use statrs::distribution::{Beta, Continuous, ContinuousCDF, StudentsT};
use statrs::function::erf::erfc;
use std::sync::LazyLock;

/// Returns the probability that a standard normal variable is at most `z`.
pub(crate) fn normal_probability(z: f64) -> f64 {
    0.5 * erfc(-z / std::f64::consts::SQRT_2)
}

/// Distance of the nodes of [`BELL`], and how far out they reach.
const BELL_STEP: f64 = 1.0 / 64.0;
const BELL_REACH: usize = 9 * 64;

/// Φ and φ at nodes from −9 to 9.
static BELL: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
    let node = |k: usize| (k as f64 - BELL_REACH as f64) * BELL_STEP;
    (0..=2 * BELL_REACH)
        .map(|k| {
            let z = node(k);
            let density = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
            (normal_probability(z), density)
        })
        .collect()
});

/// Returns Φ(z) and φ(z) to 1e-10 from a series about the nearest node of a table: for integrals
/// that ask very often.
pub(crate) fn bell(z: f64) -> (f64, f64) {
    let place = z / BELL_STEP + BELL_REACH as f64;
    if !(place >= 0.0 && place <= 2.0 * BELL_REACH as f64) {
        return (f64::from(z > 0.0), 0.0);
    }
    let k = (place + 0.5) as usize;
    let u = (k as f64 - BELL_REACH as f64) * BELL_STEP;
    let (below, density) = BELL[k];
    let d = z - u;
    let v = u * u;
    let (two, three) = (v - 1.0, u * (v - 3.0));
    (
        below + density * d * (1.0 - d * (u / 2.0 - d * (two / 6.0 - d * three / 24.0))),
        density * (1.0 - d * (u - d * (two / 2.0 - d * three / 6.0))),
    )
}

/// Returns the quantile of the standard normal distribution; ±∞ at 1 and 0.
#[allow(clippy::excessive_precision, reason = "the digits stand as published")]
pub(crate) fn normal_quantile(p: f64) -> f64 {
    const A: [f64; 8] = [
        3.387_132_872_796_366_6,
        133.141_667_891_784_38,
        1_971.590_950_306_551_4,
        13_731.693_765_509_461,
        45_921.953_931_549_87,
        67_265.770_927_008_7,
        33_430.575_583_588_13,
        2_509.080_928_730_122_7,
    ];
    const B: [f64; 8] = [
        1.0,
        42.313_330_701_600_91,
        687.187_007_492_057_9,
        5_394.196_021_424_751,
        21_213.794_301_586_597,
        39_307.895_800_092_71,
        28_729.085_735_721_943,
        5_226.495_278_852_854,
    ];
    const C: [f64; 8] = [
        1.423_437_110_749_683_5,
        4.630_337_846_156_546,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        0.241_780_725_177_450_6,
        0.022_723_844_989_269_184,
        7.745_450_142_783_414e-4,
    ];
    const D: [f64; 8] = [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        0.689_767_334_985_1,
        0.148_103_976_427_480_08,
        0.015_198_666_563_616_457,
        5.475_938_084_995_345e-4,
        1.050_750_071_644_416_9e-9,
    ];
    const E: [f64; 8] = [
        6.657_904_643_501_103,
        5.463_784_911_164_114,
        1.784_826_539_917_291_3,
        0.296_560_571_828_504_87,
        0.026_532_189_526_576_124,
        0.001_242_660_947_388_078_4,
        2.711_555_568_743_487_6e-5,
        2.010_334_399_292_288_1e-7,
    ];
    const F: [f64; 8] = [
        1.0,
        0.599_832_206_555_888,
        0.136_929_880_922_735_8,
        0.014_875_361_290_850_615,
        7.868_691_311_456_133e-4,
        1.846_318_317_510_054_7e-5,
        1.421_511_758_316_446e-7,
        2.044_263_103_389_939_8e-15,
    ];
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * polynomial(&A, r) / polynomial(&B, r);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    if tail <= 0.0 {
        return if q < 0.0 {
            f64::NEG_INFINITY
        } else {
            f64::INFINITY
        };
    }
    let r = (-tail.ln()).sqrt();
    let z = if r <= 5.0 {
        polynomial(&C, r - 1.6) / polynomial(&D, r - 1.6)
    } else {
        polynomial(&E, r - 5.0) / polynomial(&F, r - 5.0)
    };
    if q < 0.0 { -z } else { z }
}

#[inline]
fn polynomial(coefficients: &[f64; 8], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// Returns the probability that a Student-t variable is at most `t`; `nu` may be infinite.
pub(crate) fn t_probability(t: f64, nu: f64) -> f64 {
    if nu > 1e9 {
        return normal_probability(t);
    }
    StudentsT::new(0.0, 1.0, nu).map_or(f64::NAN, |distribution| distribution.cdf(t))
}

/// Returns the quantile of Student's t; `nu` may be infinite.
pub(crate) fn t_quantile(p: f64, nu: f64) -> f64 {
    if nu > 1e9 {
        return normal_quantile(p);
    }
    if p == 0.5 {
        return 0.0;
    }
    if p > 0.5 {
        // The lower tail keeps its digits where 1 − p would lose them.
        return -t_quantile(1.0 - p, nu);
    }
    if p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    let Ok(distribution) = StudentsT::new(0.0, 1.0, nu) else {
        return f64::NAN;
    };
    let mut t = distribution.inverse_cdf(p);
    for _ in 0..4 {
        let slope = distribution.pdf(t);
        let step = (distribution.cdf(t) - p) / slope;
        if !step.is_finite() || step.abs() <= 1e-15 * t.abs() {
            break;
        }
        // The density falls outwards, so a full Newton step from far outside can overshoot zero.
        t = if t - step < 0.0 { t - step } else { t / 2.0 };
    }
    t
}

/// Returns the quantile of the beta distribution.
pub(crate) fn beta_quantile(p: f64, a: f64, b: f64) -> f64 {
    if p <= 0.0 || p >= 1.0 {
        return p.clamp(0.0, 1.0);
    }
    let Ok(distribution) = Beta::new(a, b) else {
        return f64::NAN;
    };
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    let mut x = a / (a + b);
    // Newton steps kept inside a shrinking bracket.
    for _ in 0..200 {
        let miss = distribution.cdf(x) - p;
        if miss < 0.0 {
            low = x
        } else {
            high = x
        }
        let newton = x - miss / distribution.pdf(x);
        let next = if newton > low && newton < high {
            newton
        } else {
            low + (high - low) / 2.0
        };
        if (next - x).abs() <= 1e-15 * x {
            return next;
        }
        x = next;
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Reference values computed with scipy 1.17.1 (`ndtri`).
    #[test]
    fn normal_quantile_agrees_with_reference_values() {
        for (p, z) in [
            (0.2095, -0.808_157_361_234_174_9),
            (0.074, -1.446_632_067_158_978_5),
            (0.025, -1.959_963_984_540_054_5),
            (1e-9, -5.997_807_015_007_686_5),
            (1e-20, -9.262_340_089_798_409),
            (1e-300, -37.047_096_299_361_2),
        ] {
            assert!(
                (normal_quantile(p) / z - 1.0).abs() < 1e-14,
                "{p}: {}",
                normal_quantile(p)
            );
        }
        assert_eq!(normal_quantile(0.5), 0.0);
        assert_eq!(normal_quantile(1.0), f64::INFINITY);
    }

    #[test]
    fn the_table_of_the_normal_law_agrees_with_the_error_function() {
        for i in -1000..=1000 {
            let z = f64::from(i) / 100.0 + 0.000_37;
            let (below, density) = bell(z);
            let exact = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
            assert!((below - normal_probability(z)).abs() < 2e-10, "{z}");
            assert!((density - exact).abs() < 1e-8, "{z}");
        }
    }

    #[test]
    fn normal_quantile_inverts_the_probability() {
        for i in 1..2000 {
            let p = f64::from(i) / 2000.0;
            // The error function used is good to about 1e-10.
            let back = normal_probability(normal_quantile(p));
            assert!((back - p).abs() < 1e-10, "{p} came back as {back}");
        }
    }

    #[test]
    fn t_quantile_inverts_the_probability() {
        for nu in [1.0, 2.0, 3.5, 16.75, 1e3, 1e6] {
            for p in [1e-6, 0.001, 0.025, 0.4, 0.6, 0.99865] {
                let back = t_probability(t_quantile(p, nu), nu);
                assert!(
                    (back / p - 1.0).abs() < 1e-9,
                    "{p} at {nu} came back as {back}"
                );
            }
        }
    }
}
