//! `underlid bench`: what follows from geometry that was measured.

use crate::arguments::{BenchCommand, Format, FromItem, ShapeName};
use crate::failure::Failure;
use crate::{folder, screen};
use app::bench::{BenchOptions, Layer, Shape, SizedItem, bench};
use record::visible;
use serde_json::{Value as Json, json};
use std::fmt::Write as _;

pub(crate) fn run(command: BenchCommand, format: Format) -> Result<(), Failure> {
    let (options, sized) = asked(command)?;
    let found = bench(&options, sized.as_ref())?;
    match format {
        Format::Json => {
            let figures: Vec<Json> = found
                .figures
                .iter()
                .map(|figure| {
                    json!({
                        "name": figure.name,
                        "value": figure.value,
                        "unit": figure.unit.symbol(),
                        "low": figure.interval.low,
                        "high": figure.interval.high,
                        "text": figure.text,
                        "working": figure.working,
                    })
                })
                .collect();
            screen::print_json(&json!({
                "figures": figures,
                "assumptions": found.assumptions,
                "sources": found.sources,
            }))
        }
        Format::Text => {
            let mut out = String::new();
            // Writing to a String cannot fail.
            for figure in &found.figures {
                let _ = writeln!(out, "{}: {}", visible(&figure.name), visible(&figure.text));
            }
            let inputs = found.figures.iter().flat_map(|figure| &figure.inputs);
            let mut told: Vec<String> = Vec::new();
            for input in inputs {
                let line = match input.source.note.is_empty() {
                    true => format!("{}: {}", input.name, input.text),
                    false => format!("{}: {} ({})", input.name, input.text, input.source.note),
                };
                if !told.contains(&line) {
                    told.push(line);
                }
            }
            let lists = [
                ("From", &told),
                ("Taken for granted", &found.assumptions),
                ("Source", &found.sources),
            ];
            for (heading, lines) in lists {
                let _ = writeln!(out, "\n{heading}");
                for line in lines {
                    let _ = writeln!(out, "  {}", visible(line));
                }
            }
            screen::print(&out)
        }
    }
}

fn asked(command: BenchCommand) -> Result<(BenchOptions, Option<SizedItem>), Failure> {
    Ok(match command {
        BenchCommand::Trace {
            width,
            current,
            copper,
            warmer,
            internal,
            from,
        } => {
            let layer = match internal {
                true => Layer::Internal,
                false => Layer::External,
            };
            let options = BenchOptions::Trace {
                layer,
                copper,
                warmer,
                width,
                current,
            };
            (options, sized(from)?)
        }
        BenchCommand::Coil {
            shape,
            turns,
            outer,
            width,
            space,
            capacitor,
            from,
        } => {
            let shape = match shape {
                ShapeName::Square => Shape::Square,
                ShapeName::Hexagon => Shape::Hexagon,
                ShapeName::Octagon => Shape::Octagon,
                ShapeName::Circle => Shape::Circle,
            };
            let options = BenchOptions::Coil {
                shape,
                turns,
                outer,
                width,
                space,
                capacitor,
            };
            (options, sized(from)?)
        }
        BenchCommand::Wave {
            frequency,
            length,
            permittivity,
            from,
        } => {
            let options = BenchOptions::Wave {
                permittivity,
                frequency,
                length,
            };
            (options, sized(from)?)
        }
        BenchCommand::Resistor {
            current,
            resistance,
            thermal,
            around,
        } => {
            let options = BenchOptions::Resistor {
                current,
                resistance,
                thermal,
                around,
            };
            (options, None)
        }
    })
}

fn sized(from: FromItem) -> Result<Option<SizedItem>, Failure> {
    let Some(item) = from.item else {
        return Ok(None);
    };
    let folder = folder::of(from.folder)?;
    Ok(Some(SizedItem { folder, item }))
}
