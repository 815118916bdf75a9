//! Curves of losses, spectra and correlation.
//!
//! In: what was heard. Out: charts as data.

use super::is_noise;
use crate::heard::{HeardDelay, Noise, part_words};
use crate::inputs::unit;
use crate::{Axis, Chart, Detail, Form, Point, Series};
use ::sound::bands::Band;
use ::sound::loss::Losses;
use ::sound::reading::Part;
use quantity::{COVERED, Dimension, Unit};
use record::{RecordingKind, Switched};

fn name(band: Band) -> String {
    format!("{} Hz", band.nominal_hz())
}

fn over_frequency() -> Axis {
    Axis {
        quantity: "frequency".to_string(),
        unit: unit("Hz"),
    }
}

fn lines(caption: &str, quantity: &str, series: Vec<Series>) -> Option<Detail> {
    let enough = series.iter().any(|series| series.points.len() > 1);
    enough.then(|| {
        Detail::Chart(Chart {
            caption: caption.to_string(),
            form: Form::Octaves,
            values: Axis {
                quantity: quantity.to_string(),
                unit: unit("dB"),
            },
            over: Some(over_frequency()),
            series,
            divisions: Vec::new(),
        })
    })
}

/// The loss in each band, by part.
pub(super) fn losses(noise: &Noise<'_>) -> Option<Detail> {
    let parts = [
        (Part::Total, &noise.parts.total),
        (Part::Passive, &noise.parts.passive),
        (Part::Active, &noise.parts.active),
    ];
    let curve = |part: Part, losses: &Losses| Series {
        words: part_words(part).to_string(),
        points: losses
            .bands
            .iter()
            .zip(losses.curve())
            .map(|(band, loss)| Point {
                at: Some(band.nominal_hz()),
                low: Some(loss.db - COVERED * loss.u_db),
                high: Some(loss.db + COVERED * loss.u_db),
                remark: if loss.at_least { "at least" } else { "" }.to_string(),
                ..Point::new(name(*band), loss.db)
            })
            .collect(),
    };
    let series = parts
        .into_iter()
        .filter_map(|(part, losses)| Some(curve(part, losses.as_ref()?)))
        .collect();
    lines("What it takes off in each third octave", "loss", series)
}

/// Levels outside and inside, the mean of what was recorded.
pub(super) fn spectra(noise: &Noise<'_>) -> Option<Detail> {
    let kinds = [
        ("outside", RecordingKind::Outside, None),
        (
            "inside, switched off",
            RecordingKind::Inside,
            Some(Switched::Off),
        ),
        (
            "inside, switched on",
            RecordingKind::Inside,
            Some(Switched::On),
        ),
        ("in quiet", RecordingKind::Quiet, None),
    ];
    if !noise
        .used
        .iter()
        .any(|(recording, _)| is_noise(recording.what))
    {
        return None;
    }
    let series = kinds
        .into_iter()
        .filter_map(|(words, what, switched)| {
            let all = noise.levels(what, switched);
            (!all.is_empty()).then(|| Series {
                words: words.to_string(),
                points: noise
                    .bands
                    .iter()
                    .enumerate()
                    .map(|(k, band)| {
                        let levels: Vec<f64> = all.iter().map(|levels| levels.db[k]).collect();
                        Point {
                            at: Some(band.nominal_hz()),
                            ..Point::new(name(*band), ::sound::level::energy_mean(&levels))
                        }
                    })
                    .collect(),
            })
        })
        .collect();
    lines("What was recorded, in third octaves", "level", series)
}

/// The correlation around its peak.
pub(super) fn peak(delay: &HeardDelay<'_>) -> Option<Detail> {
    let points: Vec<Point> = delay
        .heard
        .peak
        .iter()
        .map(|[lag_s, coefficient]| Point {
            at: Some(lag_s * 1e3),
            ..Point::new("", *coefficient)
        })
        .collect();
    (points.len() > 2).then(|| {
        Detail::Chart(Chart {
            caption: "How alike the two channels are, by the shift between them".to_string(),
            form: Form::Lines,
            values: Axis {
                quantity: "coefficient of correlation".to_string(),
                unit: Unit::coherent(Dimension::NONE),
            },
            over: Some(Axis {
                quantity: "shift".to_string(),
                unit: unit("ms"),
            }),
            series: vec![Series {
                words: String::new(),
                points,
            }],
            divisions: Vec::new(),
        })
    })
}
