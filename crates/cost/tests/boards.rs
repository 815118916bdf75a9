//! Boards on panels, layers, placements, parts lost.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use cost::panel::{Panel, array};
use cost::placement::{Attrition, apart, per_board, per_placement, per_placement_by_hour, steps};

#[track_caller]
fn near(found: f64, printed: f64, within: f64) {
    assert!(
        (found - printed).abs() <= within,
        "{found}, printed {printed} ± {within}"
    );
}

/// Source: `published/cost_panel.csv`, counted in numpy.
#[test]
fn grids_in_both_orientations() {
    let mut rows = csv::Reader::from_reader(&include_bytes!("published/cost_panel.csv")[..]);
    let mut seen = 0;
    for row in rows.records() {
        let row = row.unwrap();
        let of: Vec<f64> = row.iter().map(|cell| cell.parse().unwrap()).collect();
        let panel = Panel {
            length: of[0],
            width: of[1],
            gap: of[4],
            border: of[5],
        };
        let laid = panel.laid(of[2], of[3]);
        assert_eq!(
            [laid.straight, laid.turned, laid.count()].map(|n| n as f64),
            [of[6], of[7], of[8]]
        );
        assert_eq!(panel.quotient(of[2], of[3]).floor(), of[9]);
        near(laid.utilisation, of[10], 5e-7);
        seen += 1;
    }
    assert_eq!(seen, 7);
}

/// Computed: without gaps, grids of both orientations; mixed orientations hold more (5, 8, 9, 23, 8, 23, 41, 53).
#[test]
fn a_grid_holds_what_a_grid_holds() {
    let cases = [
        (7, 5, 3, 2, 4, 5),
        (10, 10, 4, 3, 6, 8),
        (13, 11, 5, 3, 8, 9),
        (14, 10, 3, 2, 21, 23),
        (17, 15, 7, 4, 8, 8),
        (22, 16, 5, 3, 21, 23),
        (57, 44, 12, 5, 33, 41),
        (43, 26, 7, 3, 48, 53),
    ];
    for (length, width, l, w, grid, mixed) in cases {
        let panel = Panel {
            length: f64::from(length),
            width: f64::from(width),
            gap: 0.0,
            border: 0.0,
        };
        let count = panel.laid(f64::from(l), f64::from(w)).count();
        assert_eq!(count, grid);
        assert!(count <= mixed);
    }
}

/// Source: taili-pcb.com (outer size of an array); a public calculator (128 of 180 square inches, 71.11 %).
#[test]
fn arrays_and_areas() {
    near(array(4, 50.0, 2.0, 5.0), 216.0, 1e-12);
    near(array(3, 40.0, 2.0, 5.0), 134.0, 1e-12);
    near(128.0 / 180.0 * 100.0, 71.1111, 5e-5);
}

#[test]
fn a_board_that_does_not_fit_has_no_count() {
    let panel = Panel {
        length: 100.0,
        width: 80.0,
        gap: 2.0,
        border: 10.0,
    };
    assert_eq!(panel.laid(90.0, 90.0).count(), 0);
    assert_eq!(panel.laid(0.0, 10.0).count(), 0);
    assert_eq!(panel.laid(f64::NAN, 10.0).count(), 0);
}

/// Source: three makers on the step from 4 to 8 layers: wellpcb.com (+30–40 and +30–35 % a step), cerrasystems.com (±10–20 % a
/// pair), an AtlasPCB blog (+125 %). They differ by 1.86: layers alone do not tell a price.
#[test]
fn layers_by_three_makers() {
    near(steps(&[0.30, 0.30]), 1.69, 1e-12);
    near(steps(&[0.40, 0.35]), 1.89, 1e-12);
    near(steps(&[0.10, 0.10]), 1.21, 1e-12);
    near(steps(&[0.20, 0.20]), 1.44, 1e-12);
    near(apart(&[2.25, steps(&[0.10, 0.10])]), 1.86, 5e-3);
}

/// Source: smtnet.com thread 2278, 13 Oct 1999, a yearly sheet in EUR, each line recomputed; circuitnet.com on rates.
#[test]
fn a_placement_by_the_year_and_by_the_hour() {
    let year = [
        ("depreciation", 1_697_263.0 / 5.0),
        ("interest", 1_697_263.0 * 0.06),
        ("service", 91_401.0),
        ("operator", 50_000.0),
        ("supervisor", 40_000.0),
        ("energy", 59.6 * 2000.0 * 0.07),
        ("floor", 89.4 * 100.0),
        ("training", 6_750.0),
    ];
    let printed = [
        339_453.0, 101_836.0, 91_401.0, 50_000.0, 40_000.0, 8_344.0, 8_940.0, 6_750.0,
    ];
    for ((_, cost), printed) in year.iter().zip(printed) {
        near(*cost, printed, 0.5);
    }
    near(per_placement(&year, 1.0), 646_723.0, 1.5);
    let made = per_placement(&year, 71_270_144.0);
    near(made, 0.00907425, 5e-9);
    let nameplate = per_placement(&year, 1e8);
    near(nameplate, 0.00646723, 5e-9);
    near(1.0 - nameplate / made, 0.29, 5e-3);
    near(per_placement_by_hour(75.0, 5000.0), 0.015, 1e-12);
    for (run, printed) in [(100.0, 3.09), (1e3, 0.39), (1e4, 0.12), (1e5, 0.093)] {
        near(per_board(300.0, run, 60.0, 0.0015), printed, 1e-9);
    }
}

/// Source: hopetimepcb.com (01005: 50 %, at least 100; 0201: 50 %, at least 50; others) and soniclab.com.
#[test]
fn parts_lost() {
    let rule = |share, least| Attrition { share, least };
    assert_eq!(rule(0.5, 100.0).bought(70.0), 170.0);
    assert_eq!(rule(0.5, 50.0).bought(70.0), 120.0);
    for (need, bought) in [(20.0, 30.0), (100.0, 110.0), (5000.0, 5500.0)] {
        assert_eq!(rule(0.1, 10.0).bought(need), bought);
    }
    // The rules as they are printed: 0402, 0603, 0805, 1206, then SOT-23 and DPAK of the second assembler.
    let rules = [
        (0.25, 20.0, 125.0),
        (0.15, 20.0, 120.0),
        (0.10, 10.0, 110.0),
        (0.10, 5.0, 110.0),
        (0.05, 3.0, 105.0),
        (0.02, 3.0, 103.0),
    ];
    for (share, least, bought) in rules {
        assert_eq!(rule(share, least).bought(100.0), bought);
    }
}
