//! The stages that a charge goes through.
//!
//! In: limits, ends, load. Out: one stage after another, each left for good once it ends.
//! Not here: which stages a kind of charger has (`charger`), the walk through them (`walk`).
//!
//! A stage that has ended does not come back: after a step down in current the voltage falls below the threshold
//! that caused it, and a charger that looked again would chatter.

use crate::input::Input;
use crate::limit::{Law, Limits};
use crate::{Binding, ChargingError};

/// What a stage is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// A small current until the cell has come up to a safe voltage.
    Precharge,
    /// Constant current, then constant voltage.
    Charge,
    /// Held at the voltage after the charge has ended.
    TopUp,
    /// No charge.
    Rest,
    /// The cell gives.
    Discharge,
}

/// When a stage ends. Whatever comes first ends it and begins the next; without a next the charge is over.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Ends {
    /// The cell's voltage has risen to these volts, at the first moment included.
    pub rises_to_v: Option<f64>,
    /// The cell's voltage has fallen to these volts.
    pub falls_to_v: Option<f64>,
    /// The charger's current has fallen to these amperes while a voltage holds it down; a current held down by the
    /// source or by heat says nothing about the cell, and chargers do not end on it.
    pub falls_to_a: Option<f64>,
    /// The same, and the charge is over, whatever stages follow.
    pub finishes_at_a: Option<f64>,
    /// The state of charge is reached.
    pub soc: Option<f64>,
    /// The stage has lasted these seconds.
    pub seconds: Option<f64>,
}

/// A safety timer of one stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timer {
    /// Seconds that it shows when it ends the charge.
    pub seconds: f64,
    /// Its pace while the charger is held back by source, input or temperature: one half in most chargers that
    /// slow it. Source: data sheets SLUS940D, JAJSL08H, JAJSL87H.
    pub pace_held_back: f64,
}

/// One stage of a charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stage {
    /// What it is for.
    pub phase: Phase,
    /// What limits the current.
    pub limits: Limits,
    /// Amperes drawn at the cell's terminals meanwhile, out of the charger first.
    pub load_a: f64,
    /// When it ends.
    pub ends: Ends,
    /// A timer that ends the whole charge.
    pub timer: Option<Timer>,
    /// What the charger takes from its source meanwhile.
    pub input: Input,
}

impl Stage {
    /// A stage with these limits and ends, without load, timer or known input.
    #[must_use]
    pub fn new(phase: Phase, limits: Limits, ends: Ends) -> Stage {
        Stage {
            phase,
            limits,
            load_a: 0.0,
            ends,
            timer: None,
            input: Input::None,
        }
    }

    /// Constant current until a voltage is reached.
    ///
    /// # Errors
    /// A current that is negative or not finite.
    pub fn current(ampere: f64, until_v: f64) -> Result<Stage, ChargingError> {
        let limits = Limits::new().and(Law::Current(ampere), Binding::ChargeCurrent)?;
        let ends = Ends {
            rises_to_v: Some(until_v),
            ..Ends::default()
        };
        Ok(Stage::new(Phase::Charge, limits, ends))
    }

    /// Constant current, then constant voltage until the current has fallen to `until_a`.
    ///
    /// # Errors
    /// A current that is negative, a voltage that is not positive, or either not finite.
    pub fn current_voltage(ampere: f64, volt: f64, until_a: f64) -> Result<Stage, ChargingError> {
        let limits = Limits::new()
            .and(Law::Current(ampere), Binding::ChargeCurrent)?
            .and(Law::Voltage { volt, ohm: 0.0 }, Binding::ChargeVoltage)?;
        let ends = Ends {
            falls_to_a: Some(until_a),
            ..Ends::default()
        };
        Ok(Stage::new(Phase::Charge, limits, ends))
    }

    /// No current for some seconds.
    ///
    /// # Errors
    /// None in practice: a current of zero is always allowed.
    pub fn rest(seconds: f64) -> Result<Stage, ChargingError> {
        let limits = Limits::new().and(Law::Current(0.0), Binding::Rest)?;
        let ends = Ends {
            seconds: Some(seconds),
            ..Ends::default()
        };
        Ok(Stage::new(Phase::Rest, limits, ends))
    }

    /// A constant current out of the cell until its voltage has fallen to `until_v`.
    ///
    /// # Errors
    /// A current that is negative or not finite.
    pub fn discharge(ampere: f64, until_v: f64) -> Result<Stage, ChargingError> {
        let limits = Limits::new().and(Law::Current(0.0), Binding::Draw)?;
        let ends = Ends {
            falls_to_v: Some(until_v),
            ..Ends::default()
        };
        Stage::new(Phase::Discharge, limits, ends).with_load(ampere)
    }

    /// A constant power out of the cell until its voltage has fallen to `until_v`.
    ///
    /// # Errors
    /// A power that is not positive or not finite.
    pub fn discharge_power(watt: f64, until_v: f64) -> Result<Stage, ChargingError> {
        let limits = Limits::new().and(Law::Power(-watt), Binding::Draw)?;
        let ends = Ends {
            falls_to_v: Some(until_v),
            ..Ends::default()
        };
        Ok(Stage::new(Phase::Discharge, limits, ends))
    }

    /// The same with a constant current drawn at the cell's terminals.
    ///
    /// # Errors
    /// A current that is negative or not finite.
    pub fn with_load(self, ampere: f64) -> Result<Stage, ChargingError> {
        Limits::new().and(Law::Current(ampere), Binding::Draw)?;
        Ok(Stage {
            load_a: ampere,
            ..self
        })
    }

    /// The same, ended by other means as well.
    #[must_use]
    pub fn until(self, ends: Ends) -> Stage {
        Stage { ends, ..self }
    }
}
