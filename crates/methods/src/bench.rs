//! Bench calculations: what follows from geometry that was measured.
//!
//! In: inputs with their uncertainty: sizes of tracks and coils, currents, frequencies. Out: figures with their working,
//! what is assumed, the source of the form. Not here: the forms (`guards`), where sizes are from (`sizes`), findings.
//! The forms are models of their own: a figure's interval is that of its inputs, and how far a form itself may be off is
//! said beside it.

use crate::inputs::unit;
use guards::bench::{
    Coil, heat_w, quarter_wave_mm, resistor_share, resonance_hz, trace_current_a, trace_width_mm,
    warmer_k,
};
pub use guards::bench::{Layer, Shape};
use quantity::{Dimension, Figure, Input, Model, Sheet, SheetError, Term};
use std::sync::Arc;

/// What came out.
#[derive(Debug, Clone, PartialEq)]
pub struct Calculated {
    /// Figures in the order in which they are told.
    pub figures: Vec<Figure>,
    /// What is taken for granted.
    pub assumptions: Vec<String>,
    /// Where the forms are from, and how far they may be off.
    pub sources: Vec<String>,
}

/// A form as a model of a sheet.
struct Formula<F>(F);

impl<F: Fn(&[f64], &mut [f64]) + Send + Sync> Model for Formula<F> {
    fn run(&self, arguments: &[f64], results: &mut [f64]) {
        (self.0)(arguments, results);
    }
}

/// What a result is called, what it measures, and the unit it is told in.
type Told<'t> = (&'t str, Dimension, &'t str);

fn model<'s>(
    sheet: &'s Sheet,
    inputs: &[Term<'s>],
    results: &[Told<'_>],
    form: impl Fn(&[f64], &mut [f64]) + Send + Sync + 'static,
) -> Vec<Term<'s>> {
    let named: Vec<(&str, Dimension)> = results.iter().map(|r| (r.0, r.1)).collect();
    let terms = sheet.model(inputs, &named, Arc::new(Formula(form)));
    terms
        .into_iter()
        .zip(results)
        .map(|(term, (name, _, told))| term.named(name, &unit(told)))
        .collect()
}

fn figures(sheet: &Sheet, terms: &[Term<'_>]) -> Result<Vec<Figure>, SheetError> {
    terms.iter().map(|term| sheet.figure(*term)).collect()
}

/// Millimetres and micrometres of metres.
const MM: f64 = 1e3;
const UM: f64 = 1e6;

/// A track.
#[derive(Debug, Clone)]
pub struct Trace {
    /// Where it lies.
    pub layer: Layer,
    /// Thickness of its copper.
    pub copper: Input,
    /// By how much it may get warmer than what is around it, kelvin.
    pub warmer: Input,
    /// Its width; the current that it bears follows.
    pub width: Option<Input>,
    /// A current; the width that it needs follows.
    pub current: Option<Input>,
}

/// Returns what a track bears, and how wide it has to be.
///
/// # Errors
/// Inputs that give no figure.
pub fn trace(track: Trace) -> Result<Calculated, SheetError> {
    let sheet = Sheet::new();
    let (copper, warmer) = (sheet.input(track.copper), sheet.input(track.warmer));
    let layer = track.layer;
    let mut terms = Vec::new();
    if let Some(width) = track.width {
        let told = [("current of the track", Dimension::CURRENT, "A")];
        terms.extend(model(
            &sheet,
            &[sheet.input(width), copper, warmer],
            &told,
            move |a, r| {
                r[0] = trace_current_a(layer, a[0] * MM, a[1] * UM, a[2]);
            },
        ));
    }
    if let Some(current) = track.current {
        let told = [("width of the track", Dimension::LENGTH, "mm")];
        terms.extend(model(
            &sheet,
            &[sheet.input(current), copper, warmer],
            &told,
            move |a, r| {
                r[0] = trace_width_mm(layer, a[0], a[1] * UM, a[2]) / MM;
            },
        ));
    }
    Ok(Calculated {
        figures: figures(&sheet, &terms)?,
        assumptions: vec![
            "a long track in still air, alone on its board; vias, planes and other tracks beside it change the answer"
                .to_string(),
        ],
        sources: vec![
            "IPC-2221, curve fit I = k ΔT^0.44 A^0.725 with k 0.048 on the surface, 0.024 inside; its own spread is not \
             stated, and IPC-2152 stands for new work. Valid to about 35 A, 10 K to 100 K and 10 mm (from memory)"
                .to_string(),
        ],
    })
}

/// A flat coil of one layer.
#[derive(Debug, Clone)]
pub struct FlatCoil {
    /// Its outline.
    pub shape: Shape,
    /// Turns.
    pub turns: Input,
    /// Outer diameter, or width of a square.
    pub outer: Input,
    /// Width of the conductor.
    pub width: Input,
    /// Space between turns.
    pub space: Input,
    /// A capacitor across it.
    pub capacitor: Option<Input>,
}

/// Returns the inductance of a coil by each form that is given for its outline, and its resonance with a capacitor.
///
/// # Errors
/// Inputs that give no figure, such as turns that do not fit.
pub fn coil(coil: FlatCoil) -> Result<Calculated, SheetError> {
    let sheet = Sheet::new();
    let shape = coil.shape;
    let inputs = [coil.turns, coil.outer, coil.width, coil.space].map(|input| sheet.input(input));
    let wound = move |a: &[f64]| {
        let coil = Coil::wound(shape, a[0], a[1] * MM, a[2] * MM, a[3] * MM);
        (coil.inner_mm > 0.0).then_some(coil)
    };
    let form = |name: &'static str, of: fn(&Coil) -> Option<f64>| {
        let told = [(name, Dimension::INDUCTANCE, "µH")];
        model(&sheet, &inputs, &told, move |a, r| {
            r[0] = wound(a).and_then(|coil| of(&coil)).unwrap_or(f64::NAN);
        })
    };
    let mut terms = form("inductance, current sheet", |coil| Some(coil.sheet_h()));
    let sheet_form = terms[0];
    if shape != Shape::Circle {
        terms.extend(form("inductance, modified Wheeler", Coil::wheeler_h));
        terms.extend(form("inductance, monomial fit", Coil::monomial_h));
        let told = [("forms apart, of the current sheet", Dimension::NONE, "%")];
        terms.extend(model(&sheet, &inputs, &told, move |a, r| {
            r[0] = wound(a).and_then(|coil| coil.spread()).unwrap_or(f64::NAN);
        }));
    }
    if let Some(capacitor) = coil.capacitor {
        let told = [("resonance with the capacitor", Dimension::FREQUENCY, "kHz")];
        let pair = [sheet_form, sheet.input(capacitor)];
        terms.extend(model(&sheet, &pair, &told, |a, r| {
            r[0] = resonance_hz(a[0], a[1])
        }));
    }
    Ok(Calculated {
        figures: figures(&sheet, &terms)?,
        assumptions: vec![
            "one layer in air: a coil on a thick sheet of ferrite has up to twice the inductance, one of several layers \
             is none of these"
                .to_string(),
        ],
        sources: vec![
            "Mohan, Hershenson, Boyd, Lee, IEEE J. Solid-State Circuits 34 (1999) 1419: current sheet, modified Wheeler, \
             monomial fit; usually 2 % to 3 % off, the forms part by 5 % to 6 % at a fill of 0.65; for a circle the \
             current sheet alone is given"
                .to_string(),
        ],
    })
}

/// A quarter of a wave.
#[derive(Debug, Clone)]
pub struct QuarterWave {
    /// Effective permittivity around the conductor.
    pub permittivity: Input,
    /// A frequency; the length follows.
    pub frequency: Option<Input>,
    /// A length; the frequency follows.
    pub length: Option<Input>,
}

/// Returns how long a quarter of a wave is, and at which frequency a length is one.
///
/// # Errors
/// Inputs that give no figure.
pub fn quarter_wave(wave: QuarterWave) -> Result<Calculated, SheetError> {
    let sheet = Sheet::new();
    let around = sheet.input(wave.permittivity);
    let mut terms = Vec::new();
    if let Some(frequency) = wave.frequency {
        let told = [("quarter of the wave", Dimension::LENGTH, "mm")];
        terms.extend(model(
            &sheet,
            &[sheet.input(frequency), around],
            &told,
            |a, r| {
                r[0] = quarter_wave_mm(a[0], a[1]) / MM;
            },
        ));
    }
    if let Some(length) = wave.length {
        let told = [("frequency of that length", Dimension::FREQUENCY, "MHz")];
        // Length and frequency change places: the product is the same.
        terms.extend(model(
            &sheet,
            &[sheet.input(length), around],
            &told,
            |a, r| {
                r[0] = quarter_wave_mm(a[0], a[1]) / MM;
            },
        ));
    }
    Ok(Calculated {
        figures: figures(&sheet, &terms)?,
        assumptions: vec![
            "a straight thin conductor over a large ground; bends, housing and matching parts shift it by tenths"
                .to_string(),
        ],
        sources: vec![
            "λ/4 = c / (4 f √ε), c = 299 792 458 m/s exact (SI); the effective permittivity on a board lies between 1 and \
             that of the board"
                .to_string(),
        ],
    })
}

/// A resistor that a current warms.
#[derive(Debug, Clone)]
pub struct WarmResistor {
    /// Current.
    pub current: Input,
    /// Resistance.
    pub resistance: Input,
    /// Kelvin per watt.
    pub thermal: Option<Input>,
    /// Temperature around it.
    pub around: Option<Input>,
}

/// Returns the heat in a resistor, how much warmer it gets, and what share of its rating a chip resistor may take.
///
/// # Errors
/// Inputs that give no figure.
pub fn resistor(part: WarmResistor) -> Result<Calculated, SheetError> {
    let sheet = Sheet::new();
    let inputs = [sheet.input(part.current), sheet.input(part.resistance)];
    let told = [("heat", Dimension::POWER, "mW")];
    let mut terms = model(&sheet, &inputs, &told, |a, r| r[0] = heat_w(a[0], a[1]));
    if let Some(thermal) = part.thermal {
        let told = [("warmer by", Dimension::TEMPERATURE, "K")];
        let pair = [terms[0], sheet.input(thermal)];
        terms.extend(model(&sheet, &pair, &told, |a, r| {
            r[0] = warmer_k(a[0], a[1])
        }));
    }
    let mut sources = vec!["P = I² R (Joule)".to_string()];
    if let Some(around) = part.around {
        let told = [("share of the rated power", Dimension::NONE, "%")];
        let zero = unit("°C").to_si(0.0);
        let around = [sheet.input(around)];
        terms.extend(model(&sheet, &around, &told, move |a, r| {
            r[0] = resistor_share(a[0] - zero);
        }));
        sources.push(
            "chip resistors bear all of their rating to 70 °C and nothing at 155 °C, a straight line between (from memory)"
                .to_string(),
        );
    }
    Ok(Calculated {
        figures: figures(&sheet, &terms)?,
        assumptions: vec!["direct current, or its root mean square".to_string()],
        sources,
    })
}
