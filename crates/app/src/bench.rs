//! Bench calculations on what is typed, and on sizes that a dossier's items carry.
//!
//! In: quantities as text; an item whose sizes are measured. Out: figures with working, assumptions and sources, as plain
//! data. Not here: the calculations (`methods::bench`).

use crate::{Problem, Unwatched, dossier};
use methods::bench::{self, Calculated, FlatCoil, QuarterWave, Trace, WarmResistor};
pub use methods::bench::{Layer, Shape};
use methods::{Case, Known};
use quantity::{Dimension, Figure, Input, Origin, Source, Spread, Stated, Unit};
use std::path::PathBuf;

/// An item of a dossier whose sizes are taken where none is typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SizedItem {
    /// The dossier's folder.
    pub folder: PathBuf,
    /// The item's id.
    pub item: String,
}

/// What is calculated; quantities are text with their unit.
#[derive(Debug, Clone, PartialEq)]
pub enum BenchOptions {
    /// A track: what it bears, how wide it has to be.
    Trace {
        /// Where it lies.
        layer: Layer,
        /// Thickness of the copper.
        copper: String,
        /// How much warmer it may get.
        warmer: String,
        /// Its width; that of the item where none is typed.
        width: Option<String>,
        /// A current that needs a width.
        current: Option<String>,
    },
    /// A flat coil.
    Coil {
        /// Its outline.
        shape: Shape,
        /// Turns.
        turns: f64,
        /// Outer diameter; that of the item where none is typed.
        outer: Option<String>,
        /// Width of the conductor.
        width: String,
        /// Space between turns.
        space: String,
        /// A capacitor across it.
        capacitor: Option<String>,
    },
    /// A quarter of a wave.
    Wave {
        /// Effective permittivity.
        permittivity: f64,
        /// Frequency.
        frequency: Option<String>,
        /// Length; that of the item where neither is typed.
        length: Option<String>,
    },
    /// A resistor that a current warms.
    Resistor {
        /// Current.
        current: String,
        /// Resistance.
        resistance: String,
        /// Kelvin per watt.
        thermal: Option<f64>,
        /// Temperature around it.
        around: Option<String>,
    },
}

/// Calculates.
///
/// # Errors
/// Texts that are no quantities of their kind, an item without the size, a geometry that cannot be.
pub fn bench(options: &BenchOptions, sized: Option<&SizedItem>) -> Result<Calculated, Problem> {
    let given = |name: &str, text: &Option<String>, dimension| {
        let text = text.as_deref();
        text.map(|text| asked(name, text, dimension)).transpose()
    };
    let or_item = |name: &str, text: &Option<String>, size: &str| match (text, sized) {
        (None, Some(sized)) => of_item(sized, size).map(Some),
        (text, _) => {
            let text = text.as_deref();
            text.map(|text| typed(name, text, Dimension::LENGTH))
                .transpose()
        }
    };
    let calculated = match options {
        BenchOptions::Trace {
            layer,
            copper,
            warmer,
            width,
            current,
        } => {
            let width = or_item("width", width, "width")?;
            let current = given("current", current, Dimension::CURRENT)?;
            if width.is_none() && current.is_none() {
                return Err(lacks("a width or a current", "0.25 mm"));
            }
            bench::trace(Trace {
                layer: *layer,
                copper: asked("copper", copper, Dimension::LENGTH)?,
                warmer: difference("warmer", warmer)?,
                width,
                current,
            })
        }
        BenchOptions::Coil {
            shape,
            turns,
            outer,
            width,
            space,
            capacitor,
        } => bench::coil(FlatCoil {
            shape: *shape,
            turns: plain("turns", *turns, "")?,
            outer: or_item("outer diameter", outer, "diameter")?
                .ok_or_else(|| lacks("the outer diameter", "40 mm"))?,
            width: typed("width of the conductor", width, Dimension::LENGTH)?,
            space: typed("space between turns", space, Dimension::LENGTH)?,
            capacitor: given("capacitor", capacitor, Dimension::CAPACITANCE)?,
        }),
        BenchOptions::Wave {
            permittivity,
            frequency,
            length,
        } => {
            let frequency = given("frequency", frequency, Dimension::FREQUENCY)?;
            let length = or_item("length", length, "length")?;
            if frequency.is_none() && length.is_none() {
                return Err(lacks("a frequency or a length", "2.44 GHz"));
            }
            bench::quarter_wave(QuarterWave {
                permittivity: plain("effective permittivity", *permittivity, "")?,
                frequency,
                length,
            })
        }
        BenchOptions::Resistor {
            current,
            resistance,
            thermal,
            around,
        } => bench::resistor(WarmResistor {
            current: asked("current", current, Dimension::CURRENT)?,
            resistance: asked("resistance", resistance, Dimension::RESISTANCE)?,
            thermal: thermal
                .map(|value| plain("thermal resistance in K/W", value, "K/W"))
                .transpose()?,
            around: given("temperature around it", around, Dimension::TEMPERATURE)?,
        }),
    };
    let calculated = calculated.map_err(|error| {
        Problem::unfit(
            format!("nothing follows from these figures: {error}"),
            "check the sizes: turns, conductor and space have to fit inside the outer diameter",
        )
    })?;
    let finite = |figure: &Figure| figure.value.is_finite();
    match calculated.figures.iter().all(finite) {
        true => Ok(calculated),
        false => Err(Problem::unfit(
            "these sizes do not fit together",
            "check them: turns, conductor and space have to fit inside the outer diameter",
        )),
    }
}

fn lacks(what: &str, example: &str) -> Problem {
    Problem::unfit(
        format!("{what} is missing"),
        format!("give it with its unit, such as \"{example}\", or name an item that was measured"),
    )
}

fn source(note: &str) -> Source {
    Source {
        origin: Origin::Measured,
        evidence: Vec::new(),
        note: note.to_string(),
    }
}

/// Reads what is asked for or stands on a part, which is exact unless its spread is given: 1 A is 1000 mA.
fn asked(name: &str, text: &str, dimension: Dimension) -> Result<Input, Problem> {
    let input = typed(name, text, dimension)?;
    match Stated::parse(text) {
        Ok(stated) if stated.spread == Spread::None => Ok(Input::exact(
            name,
            stated.value,
            stated.unit,
            source("as typed"),
        )),
        _ => Ok(input),
    }
}

/// Reads a size above zero, measured to its last digit unless its spread is given.
fn typed(name: &str, text: &str, dimension: Dimension) -> Result<Input, Problem> {
    let unfit = |why: String| {
        Problem::unfit(
            format!("{name}: {why}"),
            format!(
                "write a {dimension} with its unit, and its spread where it is known, such as \"0.25 ± 0.01 mm\""
            ),
        )
    };
    let stated = Stated::parse(text).map_err(|e| unfit(e.to_string()))?;
    if stated.dimension() != dimension {
        return Err(unfit(format!(
            "\"{}\" is a {}",
            record::visible(text),
            stated.dimension()
        )));
    }
    if stated.low_si() <= 0.0 {
        return Err(unfit(format!(
            "\"{}\" is not above zero",
            record::visible(text)
        )));
    }
    Ok(Input::stated(name, &stated, None, source("as typed")))
}

/// Reads a difference of temperatures: one in °C would be a temperature.
fn difference(name: &str, text: &str) -> Result<Input, Problem> {
    let kelvin = Stated::parse(text).is_ok_and(|s| s.unit.to_si(0.0) == 0.0);
    match kelvin {
        true => asked(name, text, Dimension::TEMPERATURE),
        false => Err(Problem::unfit(
            format!(
                "{name}: \"{}\" is no difference of temperatures",
                record::visible(text)
            ),
            "write it in kelvin, such as \"10 K\"",
        )),
    }
}

fn plain(name: &str, value: f64, symbol: &str) -> Result<Input, Problem> {
    if !(value.is_finite() && value > 0.0) {
        return Err(Problem::unfit(
            format!("{name}: not a number above zero"),
            "give one",
        ));
    }
    let unit = Unit::parse(symbol).unwrap_or_else(|_| Unit::coherent(Dimension::NONE));
    Ok(Input::exact(name, value, unit, source("as typed")))
}

/// Returns a size of an item, as measured with an instrument or on a photograph, or as stated.
fn of_item(sized: &SizedItem, size: &str) -> Result<Input, Problem> {
    let dossier = dossier::open(&sized.folder, &Unwatched)?;
    let nothing = Known::default();
    let case = Case::new(&dossier, &nothing);
    let item = dossier.item(&sized.item).ok_or_else(|| {
        Problem::missing(
            format!(
                "there is no item with the id \"{}\"",
                record::visible(&sized.item)
            ),
            "name an item of the dossier",
        )
    })?;
    case.sizes().input(item, size).ok_or_else(|| {
        Problem::missing(
            format!("no {size} of {} is recorded", record::visible(&item.name)),
            "measure it, or give it with its unit",
        )
    })
}
