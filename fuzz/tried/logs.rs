//! Any bytes as a meter's log: read or refused, never a panic, and what was read is finite and in order.

use logs::phases::phases;
use logs::{Options, look_at_text, read_text};

/// Reads the bytes, finds phases and answers, and reads them again by the mapping that was guessed.
pub fn tried(data: &[u8]) {
    let guess = look_at_text(data, "log.csv", None);
    let options = Options {
        interval_s: Some(1.0),
        most_points: 64,
        ..Options::default()
    };
    let Ok(log) = read_text(data, "log.csv", &options, &mut |_| true) else {
        return;
    };
    assert!(guess.is_ok());
    for series in log.runs.iter().flat_map(|run| &run.series) {
        assert!(
            series
                .points
                .windows(2)
                .all(|pair| pair[0].t_s <= pair[1].t_s)
        );
        let found = phases(series);
        assert_eq!(found.first().map(|phase| phase.first), Some(0));
        assert_eq!(found.last().map(|phase| phase.last), Some(series.last()));
        let _ = logs::answers::peak_power(series, 1.0);
        let _ = logs::answers::step_resistances(series);
        let _ = logs::answers::discharges(series, &found);
    }
    let again = Options {
        mapping: Some(log.mapping.clone()),
        ..options
    };
    assert!(read_text(data, "log.csv", &again, &mut |_| true).is_ok());
}
