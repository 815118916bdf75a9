//! What a log of a charge or a discharge says, as a finding.
//!
//! In: a log of the record, read. Out: charge, energy, time, highest power, efficiency; its phases as a table; its course
//! as charts, that of the circuit fitted to it drawn over. Not here: how they follow (`energy`, `logs`), claims.

use super::logged_chart::charts;
use crate::cells::is_cell;
use crate::energy::{Course, Fit, Logged, fit_of, is_measured, whole_charge, whole_discharge};
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::words::{capital, counted, the, the_start};
use crate::{Case, Cell, Column, Detail, Finding, Method, Missing, Table, Verdict};
use logs::Seat;
use logs::phases::{Kind, Phase};
use quantity::{Distribution, Sheet, Stated, format_quantity};
use record::{Item, Log, LogKind, LogSeat, Place};

/// Says what a log tells, or why it cannot be read.
pub(super) fn examine(case: &Case<'_>, log: &Log) -> Finding {
    let item = case.item(&log.item);
    let name = item.map_or_else(|| log.item.clone(), the);
    let what = match log.what {
        LogKind::Charge => "charge",
        LogKind::Discharge => "discharge",
        LogKind::Unknown => "log",
    };
    let whose = match log.seat {
        LogSeat::Socket => format!("A {what} through {name}, as logged"),
        _ => format!("A {what} of {name}, as logged"),
    };
    let mut finding =
        Finding::new(Method::Power, word!("log"), whose).about(Place::logged(&log.id));
    let mut grounds = Grounds::default();
    grounds.evidence(Place::logged(&log.id));
    grounds.seen(&log.evidence);
    let recording = match case.logs().get(&log.id) {
        Ok(recording) => recording,
        Err(why) => {
            finding.verdict = Some(Verdict::NeedsEvidence);
            finding.sentence = format!("The log {} could not be read: {why}.", log.file);
            finding.missing.push(Missing::at_any_time(format!(
                "correct the `columns` of the log {}, or export it again",
                log.id
            )));
            grounds.close(&mut finding);
            return finding;
        }
    };
    let logged = Logged { log, recording };
    if !is_measured(log) {
        grounds.unused(format!(
            "{}: was not measured on this product, so it decides no claim",
            Place::logged(&log.id)
        ));
    }
    for note in &recording.notes {
        let at = note
            .line
            .map_or(String::new(), |line| format!(", line {line}"));
        grounds.unused(format!("{}{at}: {}", log.file, note.what));
    }
    let cell = item.filter(|i| is_cell(i));
    let course = match log.what {
        LogKind::Charge => logged.charge(),
        LogKind::Discharge => logged.discharge(cell.and_then(cutoff)),
        LogKind::Unknown => None,
    };
    let fit = cell
        .filter(|_| log.what == LogKind::Charge && recording.series.seat == Seat::Cell)
        .and_then(|cell| fit_of(logged, cell));
    match course {
        Some(course) => {
            finding.sentence = told(case, &logged, &course, item, &mut finding, &mut grounds);
        }
        None => {
            finding.verdict = Some(Verdict::NeedsEvidence);
            finding.sentence = format!("The log {} shows no {what}.", log.file);
        }
    }
    if let Some(fit) = &fit {
        fitted(&mut finding, &logged, fit, &mut grounds);
    }
    finding.details.extend(phases(&recording.phases));
    finding.details.extend(charts(&logged, fit.as_ref()));
    grounds.caution(
        "Charge and discharge lithium cells only within their rated current, voltage and temperature, watched, on a \
         surface that does not burn; local rules and licensed practice come first.",
    );
    grounds.close(&mut finding);
    finding
}

fn cutoff(cell: &Item) -> Option<f64> {
    let facts = cell.cell.as_ref()?;
    facts.cutoff_voltage.as_ref().map(Stated::si)
}

/// Adds the figures of a charge or discharge and says them in words.
fn told(
    case: &Case<'_>,
    logged: &Logged<'_>,
    course: &Course,
    item: Option<&Item>,
    finding: &mut Finding,
    grounds: &mut Grounds,
) -> String {
    let sheet = Sheet::new();
    let series = &logged.recording.series;
    let ends = course.ends();
    let time = logged.time(&sheet, "time logged", course, grounds);
    let charge = logged.moved(&sheet, case, ("charge logged", "mAh"), ends, grounds);
    let time = sheet.figure(time);
    let charge = sheet.figure(charge);
    let energy = logged
        .energy(&sheet, case, "energy logged", ends, grounds)
        .map(|energy| sheet.figure(energy));
    let text = |figure: &Result<quantity::Figure, _>| {
        figure
            .as_ref()
            .map_or_else(|_| "an unknown amount".to_string(), |f| f.text.clone())
    };
    let whole = match (item.filter(|i| is_cell(i)), logged.log.what) {
        (Some(cell), LogKind::Discharge) => whole_discharge(logged, cell).is_some(),
        (_, LogKind::Charge) => whole_charge(logged).is_some(),
        _ => false,
    };
    let mut amount = text(&charge);
    if let Some(energy) = &energy {
        amount += &format!(" ({})", text(energy));
    }
    let discharge = logged.log.what == LogKind::Discharge;
    let mut sentence = match item.map(the_start) {
        Some(who) => format!(
            "{who} {} {amount} in {}",
            if discharge { "gave" } else { "took in" },
            text(&time)
        ),
        None => format!(
            "In {} {amount} {}",
            text(&time),
            if discharge { "came out" } else { "went in" }
        ),
    };
    sentence += match (whole, logged.log.what) {
        (true, LogKind::Discharge) => ", from full to the cut-off.",
        (true, _) => ", from empty until the charger ended it.",
        (false, _) if course.ended => "; how full the cell was when it began is not recorded.",
        (false, _) => "; the log does not show how it ended.",
    };
    let switch = logged.recording.phases.windows(2).find(|pair| {
        pair[0].kind == Kind::ConstantCurrent && pair[1].kind == Kind::ConstantVoltage
    });
    if let Some([before, after]) = switch {
        let begun = series.points[course.first].t_s;
        let minutes = |t: f64| (t - begun) / 60.0;
        let mean = before.charge.value / before.duration_s();
        let (from, to) = (minutes(after.begins.from_s), minutes(after.begins.to_s));
        sentence += &match series.seat {
            Seat::Cell => format!(
                " A constant current of {} gave way to a constant voltage of {} between {from:.1} and {to:.1} minutes after it began.",
                format_quantity(three(mean * 1000.0), &unit("mA")),
                format_quantity(three(series.points[after.last].volts), &unit("V")),
            ),
            _ => format!(
                " The power was highest, and fell from between {from:.1} and {to:.1} minutes after it began."
            ),
        };
    }
    finding.add_result(word!("time"), "time", time);
    finding.add_result(word!("charge"), "charge", charge);
    if let Some(energy) = energy {
        finding.add_result(word!("energy"), "energy", energy);
    }
    if logged.log.what == LogKind::Charge
        && let Some(peak) = logged.peak()
    {
        let law = logged.power_law(case, peak.watts);
        let seconds = counted(peak.window_s.round() as u32, "second", "seconds");
        let name = format!("highest mean power over {seconds}");
        let term = logged.input(&sheet, &name, law, unit("W"), grounds);
        let figure = sheet.figure(term);
        if let Ok(figure) = &figure {
            sentence += &format!(" The {name} was {}.", figure.text);
        }
        finding.add_result(word!("peak-power"), &capital(&name), figure);
    }
    if let Some(words) = efficiency(case, logged, finding, grounds) {
        sentence += &words;
    }
    sentence
}

/// The share of what entered at the socket that reached the cell, where both were logged in one file or at one time.
fn efficiency(
    case: &Case<'_>,
    at_cell: &Logged<'_>,
    finding: &mut Finding,
    grounds: &mut Grounds,
) -> Option<String> {
    if at_cell.recording.series.seat != Seat::Cell || at_cell.log.what != LogKind::Charge {
        return None;
    }
    let same = |log: &&Log| {
        let together = log.started.is_some() && log.started == at_cell.log.started;
        log.seat == LogSeat::Socket
            && log.what == LogKind::Charge
            && (log.file == at_cell.log.file || together)
    };
    let log = case.dossier.logs.iter().find(same)?;
    let recording = case.logs().get(&log.id).ok()?;
    let socket = Logged { log, recording };
    let sheet = Sheet::new();
    let whole = |logged: &Logged<'_>, name: &str, grounds: &mut Grounds| {
        let ends = [0, logged.recording.series.last()];
        logged.energy(&sheet, case, name, ends, grounds)
    };
    let into_cell = whole(at_cell, "energy into the cell", grounds)?;
    let entered = whole(&socket, "energy that entered", grounds)?;
    let share = (into_cell / entered).named("efficiency of the charge", &unit("%"));
    let figure = sheet.figure(share);
    let words = figure.as_ref().ok().map(|figure| {
        format!(
            " Of the energy that entered at {}, {} reached the cell.",
            case.item(&log.item).map_or_else(|| log.item.clone(), the),
            figure.text
        )
    });
    finding.add_result(word!("efficiency"), "efficiency of the charge", figure);
    words
}

/// Says what was fitted, and how well.
fn fitted(finding: &mut Finding, logged: &Logged<'_>, fit: &Fit<'_>, grounds: &mut Grounds) {
    let sheet = Sheet::new();
    let (circuit, sd) = (&fit.circuit, &fit.standard);
    let quick = circuit.ohm + circuit.pair_ohm[0];
    let law = Distribution::Normal {
        mean: quick,
        sd: sd.ohm.hypot(sd.pair_ohm[0]).max(f64::MIN_POSITIVE),
    };
    let name = "resistance fitted to the log";
    let term = logged.input(&sheet, name, law, unit("mΩ"), grounds);
    finding.add_result(word!("resistance"), "fitted resistance", sheet.figure(term));
    grounds.assume(format!(
        "fitted, to {:.0} mV of the logged voltage, with the open-circuit voltage of {}: {}, the likeliest of the \
         published ones of its kind ({})",
        fit.rms_v * 1000.0,
        fit.table.name,
        fit.table.cell,
        crate::words::percent(fit.weight)
    ));
    grounds.source(fit.table.source);
}

/// Rounds for print to three significant digits.
fn three(value: f64) -> f64 {
    let scale = 10_f64.powf(3.0 - value.abs().log10().ceil());
    match scale.is_finite() {
        true => (value * scale).round() / scale,
        false => value,
    }
}

/// The phases as a table.
fn phases(phases: &[Phase]) -> Option<Detail> {
    if phases.is_empty() {
        return None;
    }
    let begun = phases[0].begins.from_s;
    let row = |phase: &Phase| {
        let minutes = |t: f64| Cell::number((t - begun) / 60.0, 1);
        let amount = |value: f64, factor: f64, digits: usize| Cell::number(value / factor, digits);
        vec![
            Cell::words(capital(phase.kind.word())),
            minutes(phase.begins.from_s),
            minutes(phase.begins.to_s),
            minutes(phase.ends.from_s),
            minutes(phase.ends.to_s),
            amount(phase.charge.value, unit("mAh").factor(), 1),
            phase.energy.map_or(Cell::Nothing, |energy| {
                amount(energy.value, unit("Wh").factor(), 3)
            }),
        ]
    };
    let minutes = |heading: &str| Column::in_unit(heading, unit("min"));
    Some(Detail::Table(Table {
        caption: "Phases; each switch lies between two rows of the log".to_string(),
        columns: vec![
            Column::words("Phase"),
            minutes("Begins after"),
            minutes("and before"),
            minutes("Ends after"),
            minutes("and before"),
            Column::in_unit("Charge", unit("mAh")),
            Column::in_unit("Energy", unit("Wh")),
        ],
        rows: phases.iter().map(row).collect(),
    }))
}
