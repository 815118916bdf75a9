//! What ends a piece of a charge: thresholds of w, of the state of charge and of time.
//!
//! In: stage, the limit that binds, the state. Out: the nearest threshold each way, and what it leads to.
//! Not here: when it is reached (`solve`), what follows (`walk`).

use crate::Binding;
use crate::decay::Side;
use crate::limit::{Law, Limit, NEAR};
use crate::ocv::Segment;
use crate::stage::Stage;
use crate::walk::{Ended, Until};

/// Takeovers at one moment; more would be the same two by turns.
const MOST_TAKEOVERS: usize = 8;

/// What a crossing of w leads to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Act {
    Takeover,
    Leave(Left),
}

/// How a stage was left: on to the next, or with the charge over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Left {
    Next(Ended),
    Over(Ended),
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Event {
    /// w has crossed a threshold, upwards or downwards.
    Crossed(Act, Side),
    /// The state of charge has reached the upper or lower bound of the piece.
    Upper,
    Lower,
    /// The time at which the piece must end.
    Time,
}

pub(crate) struct Bounds {
    pub(crate) upper: f64,
    pub(crate) lower: f64,
    pub(crate) rising: (f64, Act),
    pub(crate) falling: (f64, Act),
    pub(crate) horizon: f64,
}

impl Bounds {
    /// The bounds of a piece that begins at `soc` with `w` behind the resistance; its time is not bounded yet.
    pub(crate) fn new(
        stage: &Stage,
        until: &Until,
        bound: Limit,
        (r0, segment, soc, w): (f64, Segment, f64, f64),
    ) -> Bounds {
        let (mut upper, mut lower) = (segment.to, segment.from);
        for target in [stage.ends.soc, until.soc].into_iter().flatten() {
            if target > soc {
                upper = upper.min(target);
            } else {
                lower = lower.max(target);
            }
        }
        let next = stage.limits.takeovers(bound, w, r0);
        let mut rising = (f64::INFINITY, Act::Takeover);
        let mut falling = (f64::NEG_INFINITY, Act::Takeover);
        if let Some(volt) = stage.ends.rises_to_v {
            rising.0 = behind(bound.law, volt, r0, Side::Below);
            rising.1 = Act::Leave(Left::Next(Ended::StagesDone));
        }
        if let Some(volt) = stage.ends.falls_to_v {
            falling.0 = behind(bound.law, volt, r0, Side::Above);
            falling.1 = Act::Leave(Left::Next(Ended::StagesDone));
        }
        let held = match bound.law {
            Law::Voltage { volt, ohm } => Some((volt, r0 + ohm)),
            Law::Current(_) if bound.binding == Binding::Full => Some((w, 0.0)),
            _ => None,
        };
        if let Some((volt, ohm)) = held {
            for (ampere, left) in [
                (stage.ends.falls_to_a, Left::Next(Ended::Terminated)),
                (stage.ends.finishes_at_a, Left::Over(Ended::Terminated)),
            ] {
                if let Some(ampere) = ampere {
                    let at = volt - ohm * ampere;
                    if at < rising.0 {
                        rising = (at, Act::Leave(left));
                    }
                }
            }
        }
        if next.rising < rising.0 {
            rising = (next.rising, Act::Takeover);
        }
        if next.falling > falling.0 {
            falling = (next.falling, Act::Takeover);
        }
        Bounds {
            upper,
            lower,
            rising,
            falling,
            horizon: f64::INFINITY,
        }
    }
}

/// What happens before any time passes.
pub(crate) fn at_once(
    bounds: &Bounds,
    w: f64,
    climb: f64,
    takeovers: usize,
) -> Option<(Act, Side)> {
    let may = |act: Act, towards: bool| match act {
        Act::Takeover => towards && takeovers < MOST_TAKEOVERS,
        Act::Leave(_) => true,
    };
    let (level, act) = bounds.rising;
    if w >= level - NEAR && may(act, climb > 0.0) {
        return Some((act, Side::Below));
    }
    let (level, act) = bounds.falling;
    (w <= level + NEAR && may(act, climb < 0.0)).then_some((act, Side::Above))
}

/// The w at which the cell's terminals show `volt` under a law; infinite, on the side it comes from, if never.
fn behind(law: Law, volt: f64, r0: f64, side: Side) -> f64 {
    match law {
        Law::Current(ampere) => volt - r0 * ampere,
        // Below this voltage the cell gives less power with more current, which nobody draws.
        Law::Power(watt) if watt < 0.0 && volt * volt < -r0 * watt => f64::NEG_INFINITY,
        Law::Power(watt) => volt - r0 * watt / volt,
        Law::Heat { watt, input_v, ohm } => {
            // i·(Vin − v − ohm·i) = G at v.
            let left = input_v - volt;
            let square = left * left - 4.0 * ohm * watt;
            if left <= 0.0 || square < 0.0 {
                return f64::INFINITY;
            }
            volt - r0 * 2.0 * watt / (left + square.sqrt())
        }
        Law::Voltage { volt: held, ohm } => {
            let reached = match side {
                Side::Below => held >= volt - NEAR,
                Side::Above => held <= volt + NEAR,
            };
            match side {
                // A held voltage stays; behind a resistance it rises as the current falls.
                _ if ohm > 0.0 => ((r0 + ohm) * volt - r0 * held) / ohm,
                Side::Below if reached => f64::NEG_INFINITY,
                Side::Below => f64::INFINITY,
                Side::Above if reached => f64::INFINITY,
                Side::Above => f64::NEG_INFINITY,
            }
        }
    }
}
