//! Yields, rework, inspection and tests.

use cost::process::{
    Rework, Step, coverage_for, each_of, escapes, level, per_good, starts, test, through,
    without_defect,
};

#[track_caller]
fn near(found: f64, printed: f64, within: f64) {
    assert!(
        (found - printed).abs() <= within,
        "{found}, printed {printed} ± {within}"
    );
}

/// Source: lean6sigmahub; a course's three steps, printed 84.8 % (coursehero 6499461).
#[test]
fn what_comes_through() {
    near(through(&[0.95; 3]), 0.857375, 1e-12);
    near(through(&[0.95, 0.92, 0.97]), 0.84778, 1e-12);
    assert_eq!(starts(3500.0, through(&[0.95, 0.92, 0.97])), 4129.0);
}

/// Computed on the data of the course.
#[test]
fn where_to_look() {
    let line = |looks: [bool; 3]| {
        let all = [(0.95, 35.0), (0.92, 15.0), (0.97, 20.0)];
        let steps: Vec<Step> = all
            .iter()
            .zip(looks)
            .map(|((good, value), looks)| Step {
                good: *good,
                value: *value,
                inspection: looks.then_some(0.5),
            })
            .collect();
        per_good(&steps)
    };
    near(line([false, false, true]), 83.1584, 5e-5);
    near(line([true, false, true]), 81.6544, 5e-5);
    near(line([false, true, true]), 80.7014, 5e-5);
    near(line([true, true, true]), 80.3770, 5e-5);
}

/// Computed on the data of a text: 20 operations at 1.00, 3 % lost at each (tutorsglobe 52249527).
#[test]
fn one_sort_or_twenty() {
    let steps = |last: Option<f64>, each: Option<f64>| -> Vec<Step> {
        (0..20)
            .map(|k| Step {
                good: 0.97,
                value: 1.0,
                inspection: if k == 19 { last.or(each) } else { each },
            })
            .collect()
    };
    let good = 100.0 * through(&[0.97; 20]);
    near(good, 54.3794, 5e-5);
    let once = per_good(&steps(Some(2.0), None));
    near(once, 40.4565, 5e-5);
    near(once * good, 2200.0, 1e-6);
    let always = per_good(&steps(None, Some(0.1)));
    near(always, 30.7608, 5e-5);
    near(always * good, 1672.754, 5e-4);
}

/// Source: peninsulaelectronics.com (81.87 %); Six Sigma for Electronics Design and Manufacturing, p. 111 (90, 59, 35 %
/// and 0.975, 0.951, 0.97); bmpcoe.org (.97327, .9932).
#[test]
fn many_chances_of_a_defect() {
    near((1.0 - 1e-4_f64).powi(2000), 0.818723, 5e-7);
    near(without_defect(2000.0, 1e-4), 0.818731, 5e-7);
    let part = [100e-6 * 2.5, 500e-6, 300e-6];
    for (parts, printed) in [(100.0, 0.9003), (500.0, 0.5916), (1000.0, 0.3499)] {
        near(without_defect(parts, part.iter().sum()), printed, 5e-5);
    }
    for (chance, printed) in part.iter().zip([0.9753, 0.9512, 0.9704]) {
        near(without_defect(100.0, *chance), printed, 5e-5);
    }
    near(each_of(0.85, 6.0), 0.97328, 5e-6);
    near(each_of(0.85, 24.0), 0.99325, 5e-6);
}

/// Six Sigma Demystified, p. 93, prints 1 − DPU: 0.95, 0.85, 0.75. It is the first term of e^−DPU.
#[test]
fn defects_per_unit_are_no_share() {
    for (dpu, printed, found) in [
        (0.05, 0.95, 0.95123),
        (0.15, 0.85, 0.86071),
        (0.25, 0.75, 0.77880),
    ] {
        near(without_defect(1.0, dpu), found, 5e-6);
        assert!(without_defect(1.0, dpu) > printed);
    }
}

/// Computed: a step of 8.00 with 90 % good at first.
#[test]
fn rework() {
    near(level(8.0, 0.9, None).0, 8.888889, 5e-7);
    let (cost, good) = level(
        8.0,
        0.9,
        Some(Rework {
            cost: 2.5,
            saves: 0.8,
        }),
    );
    near(cost, 8.418367, 5e-7);
    near(good, 0.98, 1e-12);
}

/// Formula: Williams and Brown 1981, read in its abstract; data openbooks.link; computed. The proportional form
/// (1−Y)(1−T)/(Y+(1−Y)(1−T)) gives 0.033149.
#[test]
fn what_slips_through_a_test() {
    near(escapes(0.7, 0.92), 0.028131, 5e-7);
    near(0.3 * 0.08 / (0.7 + 0.3 * 0.08), 0.033149, 5e-7);
    near(coverage_for(0.5, 200e-6), 0.999711, 5e-7);
    near(coverage_for(0.9, 200e-6), 0.998102, 5e-7);
    let (pass, out, cost) = test(0.8, 0.95, 10.0, 0.4);
    near(pass, 0.808976, 5e-7);
    near(out, 0.988905, 5e-7);
    near(cost, 12.855763, 5e-7);
    // Form from memory; held by pass × out = in.
    near(pass * out, 0.8, 1e-12);
    near(cost / out, 13.0, 1e-9);
}
