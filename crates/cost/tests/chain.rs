//! Margins, indices, currencies.

use cost::chain::{carried, cost, crossed, mark_up, price, running_shares};

#[track_caller]
fn near(found: f64, printed: f64, within: f64) {
    assert!(
        (found - printed).abs() <= within,
        "{found}, printed {printed} ± {within}"
    );
}

const EIGHT: [f64; 8] = [73.39, 23.27, 8.36, 4.94, 2.89, 2.37, 1.85, 0.84];

/// Source: J. Dedrick, slides for a seminar of the USITC, 21 Mar 2012: a portable player of 2005, as printed.
#[test]
fn a_published_cost_table() {
    let eight: f64 = EIGHT.iter().sum();
    near(eight, 117.91, 5e-3);
    near(eight + 22.79, 140.70, 5e-3);
    let whole = eight + 22.79 + 3.86;
    near(whole, 144.56, 5e-3);
    let printed = [
        0.5077, 0.6686, 0.7265, 0.7607, 0.7806, 0.7970, 0.8098, 0.8156,
    ];
    for (found, printed) in running_shares(&EIGHT, whole).iter().zip(printed) {
        near(*found, printed, 5e-5);
    }
    near(3.86 / whole, 0.0267, 5e-5);
    near(22.79 / whole, 0.1577, 5e-5);
    near(22.79 / 433.0, 0.0526, 5e-5);
}

/// The same table: gross margins and what they capture. The seventh is printed 0.46 for 0.44.
#[test]
fn what_margins_capture() {
    let margins = [0.265, 0.287, 0.525, 0.448, 0.30, 0.282, 0.24, 0.10];
    let found = [19.45, 6.68, 4.39, 2.21, 0.87, 0.67, 0.44, 0.08];
    for ((part, margin), found) in EIGHT.iter().zip(margins).zip(found) {
        near(part * margin, found, 6e-3);
    }
    assert!((EIGHT[6] * margins[6] - 0.46_f64).abs() > 0.01);
}

#[test]
fn a_margin_is_no_mark_up() {
    for (margin, printed) in [(0.25, 0.33333), (0.32, 0.47059), (0.40, 0.66667)] {
        near(mark_up(margin), printed, 5e-6);
    }
    let margins = [0.35, 0.08, 0.25];
    near(price(40.0, &margins, 0.2), 107.0234, 5e-5);
    near(40.0 * 1.35 * 1.08 * 1.25 * 1.2, 87.48, 1e-9);
    near(cost(119.90, &margins, 0.2), 44.8126, 5e-5);
    near(cost(price(7.0, &margins, 0.19), &margins, 0.19), 7.0, 1e-12);
}

/// Source: US Census table 1277: 1998 margin over purchases and margin, all and durable goods (thousand million).
#[test]
fn a_census_margin_includes_what_was_in_stock() {
    near(882.0 / (1878.0 + 882.0), 0.3196, 5e-5);
    assert!((882.0 / (1878.0 + 882.0) - 0.321_f64).abs() > 1e-3);
    // The printed margins: all 31.9 and 32.1; durable 26.5, 25.0; furniture 38.1, 36.6 %.
    for (margin, up) in [
        (0.319, 0.4684),
        (0.321, 0.4728),
        (0.265, 0.3605),
        (0.25, 0.3333),
        (0.381, 0.6155),
        (0.366, 0.5773),
    ] {
        near(mark_up(margin), up, 5e-5);
    }
}

/// Source: finplan.com, lfpl.org quoting the BLS (4.7, 4.1 %); labor.alaska.gov (2.22859 %).
#[test]
fn indices_carry_forward_and_back() {
    for (from, to, percent) in [
        (129.9, 136.0, 4.69592),
        (113.8, 118.5, 4.13005),
        (201.427, 205.916, 2.22860),
    ] {
        near(carried(100.0, from, to) - 100.0, percent, 5e-6);
    }
    let later = carried(40.0, 129.9, 136.0);
    near(later, 41.8784, 5e-5);
    near(later * (1.0 - 0.047), 39.9101, 5e-5);
    near(carried(later, 136.0, 129.9), 40.0, 1e-12);
}

/// Source: reference rates of the euro, bancaditalia.it: 24 Oct 2005 USD 1.1944, CNY 9.6646; 19 Jun 2009 1.3932, 9.5242; 4 and
/// 23 Jun 2004 USD 1.2203, 1.2087.
#[test]
fn rates_of_one_day() {
    near(crossed(1.0, 1.1944, 9.6646), 8.09159, 5e-6);
    near(crossed(1.0, 1.3932, 9.5242), 6.83620, 5e-6);
    near(crossed(100.0, 9.6646, 1.1944), 12.3585, 5e-5);
    near(crossed(100.0, 9.5242, 1.3932), 14.6280, 5e-5);
    let two_days = crossed(100.0, 9.6646, 1.3932);
    near(two_days, 14.4155, 5e-5);
    near(carried(100.0, 1.2203, 1.2087) - 100.0, -0.9506, 5e-5);
}
