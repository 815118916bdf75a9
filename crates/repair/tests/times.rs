//! Tables of times: what is read, what is refused, what is added up.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use record::Action;
use repair::times::{Act, Times, Way, read};

#[track_caller]
fn table(text: &str) -> Times {
    let read = read(text.as_bytes(), "times.csv");
    assert_eq!(read.remarks, []);
    read.times
}

#[track_caller]
fn refused(text: &str, why: &str) {
    let read = read(text.as_bytes(), "times.csv");
    assert!(read.times.is_empty());
    let told = read.remarks[0].to_string();
    assert!(told.contains(why), "{told}");
}

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!(
        (found - wanted).abs() < 1e-9,
        "found {found}, wanted {wanted}"
    );
}

fn act(action: Action, tool: Option<&str>, fasteners: u32) -> Act<'_> {
    Act {
        action,
        tool,
        fasteners: Some(fasteners),
    }
}

/// Source: 1 TMU = 10⁻⁵ h; index sums 4 and 17, times ten, are 40 and 170 TMU (arithmetic; the unit from memory).
#[test]
fn tmu_are_hundred_thousandths_of_an_hour() {
    let times = table("action,tool,TMU,source\nlift,,40,own\npull,,170,own\nother,,100000,own\n");
    let of = |action| times.sum(Way::There, &[act(action, None, 0)], 0).seconds();
    near(of(Action::Lift), 1.44);
    near(of(Action::Pull), 6.12);
    near(of(Action::Other), 3600.0);
}

/// Source: rows times counts, summed by category, by hand: 6 × 3 + 2 × 4 + 5 + 3 × 1.5.
#[test]
fn rows_times_counts_by_category() {
    let times = table(
        "action,tool,per,category,seconds,source\n\
         unscrew,PH0 driver,fastener,disconnection,3,own clock\n\
         unscrew,,fastener,disconnection,9,own clock\n\
         unscrew,,act,positioning,4,own clock\n\
         lift,,act,removing,5,own clock\n\
         tool change,,,tool change,1.5,own clock\n",
    );
    let acts = [
        act(Action::Unscrew, Some("PH0 driver"), 4),
        act(Action::Unscrew, Some("ph0-driver"), 2),
        act(Action::Lift, None, 0),
    ];
    let sum = times.sum(Way::There, &acts, 3);
    assert!(sum.is_whole());
    near(sum.categories["disconnection"], 18.0);
    near(sum.categories["positioning"], 8.0);
    near(sum.categories["removing"], 5.0);
    near(sum.categories["tool change"], 4.5);
    near(sum.seconds(), 35.5);
    // Nothing says how long it takes back.
    assert_eq!(times.sum(Way::Back, &acts, 3).without, [0, 1, 2]);
}

#[test]
fn what_no_row_is_for_is_named_and_not_nothing() {
    let times = table("action,tool,per,seconds,source\nunscrew,,fastener,3,own\n");
    let unknown = Act {
        action: Action::Unscrew,
        tool: None,
        fasteners: None,
    };
    let sum = times.sum(Way::There, &[act(Action::Heat, None, 0), unknown], 1);
    assert_eq!(sum.without, [0, 1]);
    assert!(sum.changes_without);
}

#[test]
fn a_table_is_written_as_it_was_read() {
    let times = table(
        "action,tool,per,way,category,TMU,source\n\
         unscrew,PH0 driver,fastener,,turning,55,\"own, clock\"\nany,,,back,,3,=own\ntool change,,,,,17,own\n",
    );
    let again = table(&repair::times::write(times.rows()));
    let plain = |times: &Times| {
        let rows = times.rows().iter().map(|row| repair::times::Entry {
            line: 0,
            ..row.clone()
        });
        rows.collect::<Vec<_>>()
    };
    assert_eq!(plain(&times), plain(&again));
}

#[test]
fn a_later_row_corrects_an_earlier_one() {
    let mut times = table("action,seconds,source\nlift,5,own\n");
    times.merge(table("action,seconds,source\nlift,7,own again\n"));
    near(
        times
            .sum(Way::There, &[act(Action::Lift, None, 0)], 0)
            .seconds(),
        7.0,
    );
}

#[test]
fn bad_rows_are_refused_with_a_remedy() {
    refused("action,seconds,source\nfly,5,own\n", "no action of a step");
    refused("action,seconds,source\nlift,-5,own\n", "no time");
    refused("action,seconds,source\nlift,NaN,own\n", "no time");
    refused("action,seconds,source\nlift,5,\n", "without a source");
    refused("action,seconds,tmu,source\nlift,5,9,own\n", "both given");
    refused(
        "action,seconds,way,source\nlift,5,sideways,own\n",
        "neither there nor back",
    );
    refused("action,source\nlift,own\n", "how long it takes");
    refused("", "");
}

proptest::proptest! {
    /// Whatever bytes come, they are read or refused.
    #[test]
    fn no_bytes_stop_the_reader(bytes in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..400)) {
        let mut table = b"action,tool,seconds,per,way,source\n".to_vec();
        table.extend(&bytes);
        for bytes in [&bytes, &table] {
            let read = read(bytes, "times.csv");
            for row in read.times.rows() {
                proptest::prop_assert!(row.seconds.is_finite() && row.seconds >= 0.0);
            }
        }
    }
}
