//! The solution of a piece of a charge, and the event that ends it.
//!
//! In: the limit that binds, the bounds of the piece. Out: the shape of the piece, how long it lasts, what ends it.
//! Not here: the formulas (`modes`, `ramp`, `stepped`), which limit binds and what follows an event (`walk`).

use crate::ChargingError;
use crate::bounds::{Bounds, Event};
use crate::decay::{Side, root};
use crate::limit::{Law, Limit};
use crate::modes::{constant_current, constant_voltage};
use crate::piece::Shape;
use crate::ramp::Ramp;
use crate::stepped::Step;
use crate::walk::Walker;

impl Walker<'_> {
    /// The solution under a law, how long it holds, and what ends it.
    pub(crate) fn solve(
        &mut self,
        bound: Limit,
        bounds: &Bounds,
        stage: usize,
    ) -> Result<(Shape, f64, Option<Event>), ChargingError> {
        let segment = self.cell.ocv().segment(self.index);
        let modes = match bound.law {
            Law::Current(ampere) => constant_current(
                &self.circuit,
                &segment,
                &self.state,
                ampere - self.circuit.load_a,
            ),
            Law::Voltage { volt, ohm } => {
                constant_voltage(&self.circuit, &segment, &self.state, volt, ohm)
            }
            Law::Power(_) | Law::Heat { .. } => {
                return Ok(
                    match Ramp::new(bound.law, &self.circuit, segment, self.state.soc) {
                        Some(ramp) => ramped(ramp, bounds),
                        None => self.stepped(bound.law, bounds),
                    },
                );
            }
        };
        let mut first = (bounds.horizon, Event::Time);
        let soc = self.state.soc;
        if modes.resistance == 0.0 {
            let current = modes.steady_a;
            let (bound, event) = if current > 0.0 {
                (bounds.upper, Event::Upper)
            } else {
                (bounds.lower, Event::Lower)
            };
            let time = (bound - soc) * self.circuit.coulombs / current;
            if current != 0.0 && time <= first.0 {
                first = (time, event);
            }
        } else {
            let path = modes.soc(&self.circuit, soc);
            // The end of the table may be approached without end; the last digits must not reach it.
            let at_end = self.index == self.cell.ocv().last() && bounds.upper == segment.to;
            let slack = if at_end { 1e-12 } else { 0.0 };
            if let Some(time) = path.first_crossing(bounds.upper + slack, Side::Below, first.0) {
                first = (time, Event::Upper);
            }
            if self.circuit.load_a > 0.0
                && let Some(time) = path.first_crossing(bounds.lower, Side::Above, first.0)
            {
                first = (time, Event::Lower);
            }
        }
        let (level, act) = bounds.rising;
        if level.is_finite()
            && let Some(time) = modes.w.first_crossing(level, Side::Below, first.0)
        {
            first = (time, Event::Crossed(act, Side::Below));
        }
        let (level, act) = bounds.falling;
        if level.is_finite()
            && let Some(time) = modes.w.first_crossing(level, Side::Above, first.0)
        {
            first = (time, Event::Crossed(act, Side::Above));
        }
        if first.0.is_infinite() {
            let lasting: f64 = (0..modes.rates.len())
                .filter(|k| modes.rates[*k] == 0.0)
                .map(|k| modes.current[k])
                .sum();
            return Err(ChargingError::NeverEnds {
                stage: stage + 1,
                tends_to_a: modes.steady_a + lasting + self.circuit.load_a,
                binding: bound.binding,
            });
        }
        Ok((Shape::Modes(modes), first.0, Some(first.1)))
    }

    fn stepped(&mut self, law: Law, bounds: &Bounds) -> (Shape, f64, Option<Event>) {
        let step = Step {
            law,
            segment: self.cell.ocv().segment(self.index),
            circuit: self.circuit,
            from: self.state,
        };
        let (length, end, next) = step.take(self.tried, bounds.horizon);
        self.tried = next;
        let mut first = (length, (length == bounds.horizon).then_some(Event::Time));
        let (soc, w) = (end.state.soc, step.w_in(&end.state));
        let crossings = [
            (soc - bounds.upper, bounds.upper, true, Event::Upper),
            (bounds.lower - soc, bounds.lower, true, Event::Lower),
            (
                w - bounds.rising.0,
                bounds.rising.0,
                false,
                Event::Crossed(bounds.rising.1, Side::Below),
            ),
            (
                bounds.falling.0 - w,
                bounds.falling.0,
                false,
                Event::Crossed(bounds.falling.1, Side::Above),
            ),
        ];
        for (over, level, of_soc, event) in crossings {
            if over < 0.0 || !level.is_finite() {
                continue;
            }
            let up = matches!(event, Event::Upper | Event::Crossed(_, Side::Below));
            let time = root(
                0.0,
                first.0,
                |gap| if up { gap > 0.0 } else { gap < 0.0 },
                |h| {
                    let (value, rate) = if of_soc {
                        step.soc_after(h)
                    } else {
                        step.w_after(h)
                    };
                    (value - level, rate)
                },
            );
            if time <= first.0 {
                first = (time, Some(event));
            }
        }
        let end = if first.0 < length {
            step.after(first.0)
        } else {
            end
        };
        (Shape::Step(step, end), first.0, first.1)
    }
}

/// A piece in closed form along the state of charge: it rises, and w with it.
fn ramped(ramp: Ramp, bounds: &Bounds) -> (Shape, f64, Option<Event>) {
    let (mut soc, mut event) = (bounds.upper, Event::Upper);
    let (level, act) = bounds.rising;
    if ramp.segment.slope > 0.0 {
        let at = ramp.segment.from + (level - ramp.segment.volts) / ramp.segment.slope;
        if at < soc {
            (soc, event) = (at.max(ramp.from), Event::Crossed(act, Side::Below));
        }
    }
    let time = ramp.time_to(soc);
    if bounds.horizon < time {
        let to = ramp.soc_after(bounds.horizon);
        return (
            Shape::Ramp(Ramp { to, ..ramp }),
            bounds.horizon,
            Some(Event::Time),
        );
    }
    (Shape::Ramp(Ramp { to: soc, ..ramp }), time, Some(event))
}
