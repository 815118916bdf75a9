//! The course of a log as charts: voltage and current over time, phases named, the fitted circuit's course over them.
//!
//! In: a log, the circuit fitted to it. Out: charts as plain data. Not here: drawing.

use crate::energy::{Fit, Logged};
use crate::inputs::unit;
use crate::{Axis, Chart, Detail, Division, Form, Point, Series, Standing};
use charging::{Stage, State, Until};
use logs::phases::Kind;

/// Points of a drawn line: more are not told apart on paper.
const DRAWN: usize = 120;

/// Returns voltage and current over time; nothing where the log has a single row.
pub(super) fn charts(logged: &Logged<'_>, fit: Option<&Fit<'_>>) -> Vec<Detail> {
    let series = &logged.recording.series;
    if series.points.len() < 2 {
        return Vec::new();
    }
    let simulated = fit.and_then(simulated).unwrap_or_default();
    let file = &logged.log.file;
    let mut drawn = Vec::new();
    if series.has_voltage {
        let measured = line(logged, |p| p.volts);
        let worked_out = simulated.iter().map(|s| (s.0, s.1)).collect();
        let caption = format!("Voltage over time, as logged in {file}");
        drawn.push(chart(
            logged,
            caption,
            ("voltage", "V"),
            measured,
            worked_out,
        ));
    }
    let measured = line(logged, |p| p.amperes * 1000.0);
    let worked_out = simulated.iter().map(|s| (s.0, s.2 * 1000.0)).collect();
    let caption = format!("Current over time, as logged in {file}");
    drawn.push(chart(
        logged,
        caption,
        ("current", "mA"),
        measured,
        worked_out,
    ));
    drawn
}

/// Minutes and values of the rows that are drawn: evenly chosen, with the first and the last of every phase.
fn line(logged: &Logged<'_>, value: impl Fn(&logs::Point) -> f64) -> Vec<(f64, f64)> {
    let points = &logged.recording.series.points;
    let begun = points[0].t_s;
    let last = points.len() - 1;
    let mut at: Vec<usize> = (0..=DRAWN).map(|k| k * last / DRAWN).collect();
    at.extend(
        logged
            .recording
            .phases
            .iter()
            .flat_map(|p| [p.first, p.last]),
    );
    at.sort_unstable();
    at.dedup();
    let drawn = at.into_iter().map(|at| &points[at]);
    drawn.map(|p| ((p.t_s - begun) / 60.0, value(p))).collect()
}

/// Minutes, volts and amperes of the fitted circuit, charged with the logged constant current to the logged constant
/// voltage until the logged last current.
fn simulated(fit: &Fit<'_>) -> Option<Vec<(f64, f64, f64)>> {
    let recording = fit.logged.recording;
    let points = &recording.series.points;
    let course = fit.logged.charge()?;
    let constant = recording
        .phases
        .iter()
        .find(|p| p.kind == Kind::ConstantCurrent)?;
    let amperes = constant.charge.value / constant.duration_s();
    let volts = fit.held_v?;
    let end = points[course.last].amperes;
    let cell = fit.cell()?;
    // What a precharge put in before stands in the log.
    let before = recording.series.charge(course.first, constant.first).value;
    let soc = fit.circuit.start_soc + before / unit("Ah").factor() / fit.circuit.capacity_ah;
    let stage = Stage::current_voltage(amperes, volts, end).ok()?;
    let start = State::rested(soc.clamp(0.0, 1.0));
    let charge = charging::charge(&cell, start, &[stage], Until::default()).ok()?;
    let offset = points[constant.first].t_s - points[0].t_s;
    let curve = charge.curve(DRAWN);
    let drawn = curve.iter().map(|sample| {
        let moment = &sample.moment;
        (
            (moment.time_s + offset) / 60.0,
            moment.voltage_v,
            moment.current_a,
        )
    });
    Some(drawn.collect())
}

fn chart(
    logged: &Logged<'_>,
    caption: String,
    (quantity, symbol): (&str, &str),
    measured: Vec<(f64, f64)>,
    worked_out: Vec<(f64, f64)>,
) -> Detail {
    let points = |line: Vec<(f64, f64)>, standing: Standing| -> Vec<Point> {
        let point = |(at, value)| Point {
            at: Some(at),
            standing,
            ..Point::new("", value)
        };
        line.into_iter().map(point).collect()
    };
    let mut series = vec![Series {
        words: "logged".to_string(),
        points: points(measured, Standing::Plain),
    }];
    if !worked_out.is_empty() {
        series.push(Series {
            words: "fitted circuit".to_string(),
            points: points(worked_out, Standing::Inferred),
        });
    }
    let begun = logged.recording.series.points[0].t_s;
    let phases = logged.recording.phases.iter();
    Detail::Chart(Chart {
        caption,
        form: Form::Lines,
        values: Axis {
            quantity: quantity.to_string(),
            unit: unit(symbol),
        },
        over: Some(Axis {
            quantity: "time".to_string(),
            unit: unit("min"),
        }),
        series,
        divisions: phases
            .map(|phase| Division {
                at: (phase.begins.to_s - begun) / 60.0,
                words: phase.kind.word().to_string(),
            })
            .collect(),
    })
}
