//! One thing measured on a photograph against its recorded size.

use crate::Cell;
use crate::photogrammetry::{MeasuredSize, Measurement};
use crate::sizes::Sources;
use quantity::{COVERED, Input, Unit, format_measured, units};
use record::ReadingSubject;

/// One side measured, and what the record says of it without any photograph.
pub(super) struct Compared<'a> {
    pub(super) side: &'a MeasuredSize,
    /// As recorded.
    pub(super) recorded: Option<Input>,
    /// Difference over its standard uncertainty.
    pub(super) z: Option<f64>,
}

/// Finds what is recorded of every side of a thing measured.
pub(super) fn compare<'a>(sources: &Sources<'_>, taken: &'a Measurement<'_>) -> Vec<Compared<'a>> {
    let recorded = |side: &MeasuredSize| {
        let item = taken.item?;
        side.subject?;
        sources.recorded(item, side.name)
    };
    let mut inputs: Vec<Option<Input>> = taken.sides.iter().map(recorded).collect();
    if let [Some(a), Some(b)] = inputs.as_slice() {
        // Sides are compared longer with longer.
        if a.distribution.mean() < b.distribution.mean() {
            inputs.swap(0, 1);
        }
    } else if let [_, _] = inputs.as_slice() {
        // With one side alone recorded nobody can tell which of the two it is.
        inputs = vec![None, None];
    }
    let against = |(side, recorded): (&'a MeasuredSize, Option<Input>)| {
        let z = recorded.as_ref().map(|input| {
            let (mm, u) = (
                input.distribution.mean() * 1e3,
                input.distribution.sd() * 1e3,
            );
            (side.found.value - mm) / side.found.uncertainty.hypot(u)
        });
        Compared { side, recorded, z }
    };
    taken.sides.iter().zip(inputs).map(against).collect()
}

impl Compared<'_> {
    /// The measured value as text.
    pub(super) fn measured_text(&self) -> String {
        let found = self.side.found;
        let half = COVERED * found.uncertainty;
        let interval = (found.value - half, found.value + half);
        format_measured(found.value, interval, &side_unit(self.side))
    }

    /// The recorded value as text; empty where nothing is recorded.
    pub(super) fn recorded_text(&self) -> String {
        self.recorded.as_ref().map_or_else(String::new, |input| {
            let law = &input.distribution;
            let (low, high) = law.interval();
            let interval = (low * 1e3, high * 1e3);
            format_measured(law.mean() * 1e3, interval, &units::millimetre())
        })
    }

    /// The measured value.
    pub(super) fn measured(&self) -> Cell {
        let found = self.side.found;
        Cell::measured(found.value, found.uncertainty, side_unit(self.side))
    }

    /// The recorded value; nothing where none is recorded.
    pub(super) fn recorded(&self) -> Cell {
        self.recorded.as_ref().map_or(Cell::Nothing, |input| {
            let law = &input.distribution;
            Cell::measured(law.mean() * 1e3, law.sd() * 1e3, units::millimetre())
        })
    }

    /// Whether it is a length or a width, in this order.
    pub(super) fn is_body(&self) -> bool {
        matches!(
            self.side.subject,
            Some(ReadingSubject::Length | ReadingSubject::Width)
        )
    }
}

/// The unit a side is told in.
fn side_unit(side: &MeasuredSize) -> Unit {
    match side.name {
        "area" => units::square_millimetre(),
        "angle" => crate::inputs::unit("°"),
        _ => units::millimetre(),
    }
}
