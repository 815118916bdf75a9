//! What a charger may do at a temperature of the cell, and a charge through several of them.
//!
//! In: ranges of temperature with shares of current and limits of voltage; temperatures over time. Out: the charger
//! as it is set at each; stages that follow one another.
//! Not here: the temperature itself (the caller knows or assumes it).
//!
//! Source of the manner: public data sheets of chargers (SLVSE40C, SLUSD89B): 20 % or 40 % of the current or none from
//! 0 to 10 °C, a lower voltage or less current from 45 to 60 °C, nothing beyond, the timer suspended there (JAJSJE2A).

use crate::charger::Charger;
use crate::limit::{Law, Limits};
use crate::source::Source;
use crate::stage::{Ends, Phase, Stage};
use crate::{Binding, ChargingError};

/// What a charger may do in a range of the cell's temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TemperatureRange {
    /// Degrees Celsius from which it holds, inclusive.
    pub from_c: f64,
    /// Degrees Celsius up to which it holds, exclusive.
    pub to_c: f64,
    /// Share of the set current.
    pub current: f64,
    /// Volts at most, if lower than set.
    pub volt: Option<f64>,
}

/// A temperature of the cell for some time; the last of several lasts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TemperatureStep {
    /// Seconds.
    pub seconds: f64,
    /// Degrees Celsius.
    pub celsius: f64,
}

impl Charger {
    /// The charger as it is set at a temperature of the cell; none where no range allows a charge.
    #[must_use]
    pub fn at_temperature(&self, celsius: f64, ranges: &[TemperatureRange]) -> Option<Charger> {
        let range = ranges
            .iter()
            .find(|range| celsius >= range.from_c && celsius < range.to_c)?;
        (range.current > 0.0).then(|| Charger {
            ampere: self.ampere * range.current,
            volt: range.volt.map_or(self.volt, |volt| volt.min(self.volt)),
            ..*self
        })
    }

    /// The stages of a charge while the temperature changes. A precharge comes before the first step; where no range
    /// allows a charge, the cell rests and gives only the load. The charge is over where it terminates, whatever
    /// temperature follows; a timer begins anew with each step.
    ///
    /// # Errors
    /// As [`Charger::stages`].
    pub fn stages_through(
        &self,
        source: &Source,
        cable_ohm: f64,
        load_a: f64,
        ranges: &[TemperatureRange],
        steps: &[TemperatureStep],
    ) -> Result<Vec<Stage>, ChargingError> {
        let mut stages = Vec::with_capacity(steps.len() + 1);
        for (number, step) in steps.iter().enumerate() {
            let lasts = number + 1 == steps.len();
            let ends = Ends {
                finishes_at_a: self.termination_a,
                seconds: (!lasts).then_some(step.seconds),
                ..Ends::default()
            };
            let Some(charger) = self.at_temperature(step.celsius, ranges) else {
                let nothing = Limits::new().and(Law::Current(0.0), Binding::Rest)?;
                let rest = Ends {
                    finishes_at_a: None,
                    ..ends
                };
                stages.push(Stage::new(Phase::Rest, nothing, rest).with_load(load_a)?);
                continue;
            };
            for stage in charger.stages(source, cable_ohm, load_a)?.iter() {
                if stage.phase != Phase::Precharge {
                    stages.push(stage.until(ends));
                } else if number == 0 {
                    stages.push(*stage);
                }
            }
        }
        Ok(stages)
    }
}
