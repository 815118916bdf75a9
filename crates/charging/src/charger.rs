//! Chargers: what they are set to, and the stages that follow from it.
//!
//! In: settings, source, cable. Out: the limits of each stage, and what is taken at the socket.
//! Not here: the cell's answer (`walk`).

use crate::input::{Converter, Feed, Input};
use crate::limit::{Law, Limits};
use crate::source::{Source, share};
use crate::stage::{Ends, Phase, Stage, Timer};
use crate::{Binding, ChargingError};

/// A small current until the cell has come up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Precharge {
    /// Amperes.
    pub ampere: f64,
    /// Volts of the cell at which it ends.
    pub until_v: f64,
    /// Its timer; half an hour in many chargers (SLUS940D and others).
    pub timer: Option<Timer>,
}

/// A charger that lowers its current before it becomes too hot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoldBack {
    /// Degrees Celsius that it keeps to.
    pub limit_c: f64,
    /// Degrees Celsius around it.
    pub ambient_c: f64,
    /// Kelvins that it warms for each watt.
    pub kelvin_per_watt: f64,
}

impl FoldBack {
    /// Watts that it may turn into heat.
    #[must_use]
    pub fn watt(&self) -> f64 {
        (self.limit_c - self.ambient_c) / self.kelvin_per_watt
    }
}

/// A charger and what it is set to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charger {
    /// How it turns its input into the cell's current.
    pub converter: Converter,
    /// Amperes into the cell.
    pub ampere: f64,
    /// Volts at the cell.
    pub volt: f64,
    /// Amperes at which it ends; none if it holds on until something else ends the charge.
    pub termination_a: Option<f64>,
    /// A small current first.
    pub precharge: Option<Precharge>,
    /// A timer for the charge after that.
    pub timer: Option<Timer>,
    /// Its own limit of input current in amperes.
    pub input_limit_a: Option<f64>,
    /// Volts at its input below which it takes no more current.
    pub input_floor_v: Option<f64>,
    /// Amperes that it and what it feeds directly take at the input.
    pub aside_a: f64,
    /// Ohms of its pass element: a linear charger needs that much of its input voltage.
    pub pass_ohm: f64,
    /// How it keeps cool.
    pub fold_back: Option<FoldBack>,
}

/// Most stages that a charger goes through here.
pub const MAX_STAGES: usize = 3;

/// Stages of a charge, without a place in memory of their own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stages {
    list: [Stage; MAX_STAGES],
    count: usize,
}

impl std::ops::Deref for Stages {
    type Target = [Stage];

    fn deref(&self) -> &[Stage] {
        self.list.get(..self.count).unwrap_or_default()
    }
}

impl Charger {
    /// A charger with one current and one voltage, without losses that are not named.
    #[must_use]
    pub fn new(
        converter: Converter,
        ampere: f64,
        volt: f64,
        termination_a: Option<f64>,
    ) -> Charger {
        Charger {
            converter,
            ampere,
            volt,
            termination_a,
            precharge: None,
            timer: None,
            input_limit_a: None,
            input_floor_v: None,
            aside_a: 0.0,
            pass_ohm: 0.0,
            fold_back: None,
        }
    }

    /// The stages of a charge from `source` through a cable, with `load_a` amperes drawn at the cell meanwhile.
    ///
    /// # Errors
    /// A setting that cannot be; a source of which nothing is left for the cell.
    pub fn stages(
        &self,
        source: &Source,
        cable_ohm: f64,
        load_a: f64,
    ) -> Result<Stages, ChargingError> {
        let input = Input::Fed(Feed {
            converter: self.converter,
            source_v: source.volt.1,
            cable_ohm,
            aside_a: self.aside_a,
            upstream: source.upstream,
        });
        let main = Stage {
            timer: self.timer,
            input,
            ..Stage::new(
                Phase::Charge,
                self.limits(source, cable_ohm, self.ampere)?,
                Ends {
                    falls_to_a: self.termination_a,
                    ..Ends::default()
                },
            )
            .with_load(load_a)?
        };
        let mut stages = Stages {
            list: [main; MAX_STAGES],
            count: 1,
        };
        if let Some(precharge) = self.precharge {
            stages.list[0] = Stage {
                phase: Phase::Precharge,
                limits: self.limits(source, cable_ohm, precharge.ampere)?,
                ends: Ends {
                    rises_to_v: Some(precharge.until_v),
                    ..Ends::default()
                },
                timer: precharge.timer,
                ..main
            };
            stages.count = 2;
        }
        Ok(stages)
    }

    /// What limits the current when the charger is set to `ampere`.
    ///
    /// # Errors
    /// As [`Charger::stages`].
    pub fn limits(
        &self,
        source: &Source,
        cable_ohm: f64,
        ampere: f64,
    ) -> Result<Limits, ChargingError> {
        let volt = source.volt.1;
        let limits = Limits::new()
            .and(Law::Current(ampere), Binding::ChargeCurrent)?
            .and(
                Law::Voltage {
                    volt: self.volt,
                    ohm: 0.0,
                },
                Binding::ChargeVoltage,
            )?;
        let (input_a, binding) = self.input_current(source, cable_ohm);
        let left = input_a - self.aside_a;
        if !(left.is_finite() && left > 0.0) {
            return Err(ChargingError::NothingLeft {
                input_w: input_a * volt,
                taken_w: self.aside_a * volt,
            });
        }
        match self.converter {
            Converter::Linear => self.linear(limits, volt, cable_ohm, left, binding),
            Converter::Switched { efficiency } => {
                let efficiency = share("efficiency of the charger", efficiency)?;
                let watt = efficiency * (volt - input_a * cable_ohm) * left;
                let binding = match binding {
                    Binding::SourceCurrent => Binding::SourcePower,
                    other => other,
                };
                let limits = limits.and(Law::Power(watt), binding)?;
                self.cooled(limits, efficiency)
            }
            Converter::Pump { ratio, efficiency } => {
                let efficiency = share("efficiency of the charger", efficiency)?;
                if source.volt.0 >= volt {
                    return Err(ChargingError::FixedBeforePump { volt });
                }
                let limits = limits.and(Law::Current(ratio * left), binding)?.and(
                    Law::Voltage {
                        volt: efficiency * (volt - self.aside_a * cable_ohm) / ratio,
                        ohm: efficiency * cable_ohm / (ratio * ratio),
                    },
                    Binding::Headroom,
                )?;
                self.cooled(limits, efficiency)
            }
        }
    }

    fn linear(
        &self,
        limits: Limits,
        volt: f64,
        cable_ohm: f64,
        left: f64,
        binding: Binding,
    ) -> Result<Limits, ChargingError> {
        let before_v = volt - self.aside_a * cable_ohm;
        let limits = limits.and(Law::Current(left), binding)?.and(
            Law::Voltage {
                volt: before_v,
                ohm: cable_ohm + self.pass_ohm,
            },
            Binding::Headroom,
        )?;
        let Some(fold_back) = self.fold_back else {
            return Ok(limits);
        };
        limits.and(
            Law::Heat {
                watt: fold_back.watt(),
                input_v: before_v,
                ohm: cable_ohm,
            },
            Binding::Temperature,
        )
    }

    /// The loss is a share of the output, so that a limit of heat is one of power.
    fn cooled(&self, limits: Limits, efficiency: f64) -> Result<Limits, ChargingError> {
        match self.fold_back {
            Some(fold_back) if efficiency < 1.0 => limits.and(
                Law::Power(fold_back.watt() * efficiency / (1.0 - efficiency)),
                Binding::Temperature,
            ),
            _ => Ok(limits),
        }
    }

    /// Amperes at the input, and what holds them down.
    fn input_current(&self, source: &Source, cable_ohm: f64) -> (f64, Binding) {
        let volt = source.volt.1;
        let mut least = (source.ampere, Binding::SourceCurrent);
        let mut take = |ampere: f64, binding| {
            if ampere < least.0 {
                least = (ampere, binding);
            }
        };
        if let Some(watt) = source.watt {
            take(watt / volt, Binding::SourcePower);
        }
        if let Some(ampere) = self.input_limit_a {
            take(ampere, Binding::InputLimit);
        }
        if cable_ohm > 0.0 {
            if let Some(floor) = self.input_floor_v {
                take((volt - floor) / cable_ohm, Binding::InputVoltage);
            }
            if matches!(self.converter, Converter::Switched { .. }) {
                // More current than this brings less power to the end of the cable.
                take(volt / (2.0 * cable_ohm), Binding::InputVoltage);
            }
        }
        least
    }
}
