//! `underlid log`: what a meter's log says.

use crate::arguments::{Format, LogArguments, SeatName};
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen;
use app::log::{ChannelRead, LogOptions, LogRead, Seat, log};
use record::visible;
use std::fmt::Write as _;

pub(crate) fn run(arguments: LogArguments, format: Format) -> Result<(), Failure> {
    let seat = arguments.seat.map(|seat| match seat {
        SeatName::Cell => Seat::Cell,
        SeatName::Socket => Seat::Socket,
        SeatName::Output => Seat::Output,
    });
    let options = LogOptions {
        path: arguments.file,
        interval_s: arguments.interval,
        window_s: arguments.window,
        seat,
    };
    let read = log(&options, &Terminal)?;
    let text = match format {
        Format::Json => format!("{:#}\n", serde_json::json!(read)),
        Format::Text => text(&read),
    };
    screen::print_as(format, &text)
}

fn text(read: &LogRead) -> String {
    let mut out = format!(
        "{}: {} rows used, {} left out\n\nRead as\n",
        visible(&read.file),
        read.rows.used,
        read.rows.dropped
    );
    // Writing to a String cannot fail.
    for reason in &read.reasons {
        let mark = if reason.unsure { "?" } else { " " };
        let _ = writeln!(
            out,
            "{mark} {}: {}",
            visible(&reason.about),
            visible(&reason.why)
        );
    }
    if !read.notes.is_empty() {
        out += "\nNoted\n";
    }
    for note in &read.notes {
        let line = note
            .line
            .map_or_else(String::new, |line| format!("line {line}: "));
        let _ = writeln!(out, "  {line}{}", visible(&note.what));
    }
    for channel in &read.channels {
        out += &told(channel);
    }
    if let Some(share) = read.efficiency {
        let _ = writeln!(
            out,
            "\nInto the cell: {:.1} % of the energy at the input",
            100.0 * share.value
        );
    }
    out
}

fn told(channel: &ChannelRead) -> String {
    let name = if channel.name.is_empty() {
        "meter"
    } else {
        &channel.name
    };
    let (from, to) = channel.from_to_s;
    let mut out = format!(
        "\n{} from line {}, {from:.1} s to {to:.1} s\n",
        visible(name),
        channel.line
    );
    if channel.turned {
        out += "  sign of the current turned, because the voltage says so\n";
    }
    let charge = channel.charge;
    let _ = writeln!(
        out,
        "  charge {:.6} Ah ± {:.6} Ah by sampling (at most {:.6} Ah off)",
        charge.value / 3600.0,
        charge.standard / 3600.0,
        charge.bound / 3600.0
    );
    if let Some(energy) = channel.energy {
        let _ = writeln!(
            out,
            "  energy {:.6} Wh ± {:.6} Wh by sampling",
            energy.value / 3600.0,
            energy.standard / 3600.0
        );
    }
    if let Some(counted) = channel.counted_c {
        let _ = writeln!(
            out,
            "  charge by the meter's counter {:.6} Ah",
            counted / 3600.0
        );
    }
    if let Some(peak) = channel.peak {
        let _ = writeln!(
            out,
            "  highest power over {} s: {:.3} W, from {:.1} s",
            peak.window_s, peak.watts, peak.from_s
        );
    }
    for phase in &channel.phases {
        let _ = writeln!(
            out,
            "  {:<17} from {:.1}…{:.1} s to {:.1}…{:.1} s: {:.6} Ah",
            phase.kind.word(),
            phase.begins.from_s,
            phase.begins.to_s,
            phase.ends.from_s,
            phase.ends.to_s,
            phase.charge.value / 3600.0
        );
    }
    for step in &channel.resistances {
        let _ = writeln!(
            out,
            "  {:.4} Ω within {:.2} s of a step of {:.3} A at {:.1} s",
            step.ohm, step.after_s, step.step_a, step.t_s
        );
    }
    out
}
