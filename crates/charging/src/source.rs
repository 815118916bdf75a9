//! What a source offers, and what is lost on the way to the charger.
//!
//! In: words and classes that sources advertise, wire gauges, coils. Out: volts, amperes, watts, ohms.
//! Not here: what the charger does with it (`charger`).

use crate::ChargingError;

/// Volts, amperes and watts at a socket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// Least and most volts; equal for a fixed supply.
    pub volt: (f64, f64),
    /// Most amperes.
    pub ampere: f64,
    /// Most watts, if they are fewer than volts times amperes.
    pub watt: Option<f64>,
    /// Output over input of what stands before: 1 at a socket, less behind coils.
    pub upstream: f64,
}

/// Currents that USB sources offer at 5 V without a message.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Usb {
    /// Suspended: 2.5 mA.
    Suspended,
    /// Not configured: 100 mA.
    Unconfigured,
    /// A configured USB 2 port, and the default current of a Type-C source: 500 mA.
    Default2,
    /// A USB 3 port: 900 mA.
    Default3,
    /// A charging port: 1.5 A.
    ChargingPort,
    /// Type-C with the middle pull-up: 1.5 A.
    TypeC1A5,
    /// Type-C with the strong pull-up: 3 A.
    TypeC3A,
}

impl Usb {
    /// Amperes offered at 5 V. Sources: IEC 63002, 4.4, for 0.5, 0.9, 1.5 and 3 A; BC 1.2, read in several
    /// translations, for the others.
    #[must_use]
    pub fn ampere(self) -> f64 {
        match self {
            Usb::Suspended => 0.0025,
            Usb::Unconfigured => 0.1,
            Usb::Default2 => 0.5,
            Usb::Default3 => 0.9,
            Usb::ChargingPort | Usb::TypeC1A5 => 1.5,
            Usb::TypeC3A => 3.0,
        }
    }

    /// The source.
    #[must_use]
    pub fn source(self) -> Source {
        Source::fixed(5.0, self.ampere())
    }
}

impl Source {
    /// A fixed supply.
    #[must_use]
    pub fn fixed(volt: f64, ampere: f64) -> Source {
        Source::programmable(volt, volt, ampere)
    }

    /// A supply whose volts follow what is asked for.
    #[must_use]
    pub fn programmable(least_v: f64, most_v: f64, ampere: f64) -> Source {
        Source {
            volt: (least_v, most_v),
            ampere,
            watt: None,
            upstream: 1.0,
        }
    }

    /// What a power word offers. Units: fixed 50 mV and 10 mA; variable the same; battery 50 mV and 250 mW;
    /// programmable 100 mV and 50 mA. Source: the Linux kernel's `include/linux/usb/pd.h`.
    ///
    /// # Errors
    /// A word of another kind.
    pub fn from_power_word(word: u32) -> Result<Source, ChargingError> {
        let field = |from: u32, bits: u32| f64::from((word >> from) & ((1 << bits) - 1));
        let source = match (word >> 30, (word >> 28) & 3) {
            (0, _) => Source::fixed(field(10, 10) / 20.0, field(0, 10) / 100.0),
            (1, _) => {
                let (least, most, watt) = (
                    field(10, 10) / 20.0,
                    field(20, 10) / 20.0,
                    field(0, 10) / 4.0,
                );
                Source {
                    watt: Some(watt),
                    ..Source::programmable(
                        least,
                        most,
                        if least > 0.0 { watt / least } else { 0.0 },
                    )
                }
            }
            (2, _) => Source::programmable(
                field(10, 10) / 20.0,
                field(20, 10) / 20.0,
                field(0, 10) / 100.0,
            ),
            (3, 0) => {
                Source::programmable(field(8, 8) / 10.0, field(17, 8) / 10.0, field(0, 7) / 20.0)
            }
            _ => return Err(ChargingError::PowerWord { word }),
        };
        if source.volt.1 <= 0.0 || source.ampere <= 0.0 {
            return Err(ChargingError::PowerWord { word });
        }
        Ok(source)
    }

    /// What a supply of that many watts offers at fixed voltages by the power rules: full current at every voltage it
    /// needs not for its watts, and the watts at the highest. None below 0 or above 100 W.
    /// Source: the power rules as read in two encyclopaedia entries, worked for 50 W (3 A at 5, 9, 15 V; 2.5 A at 20).
    #[must_use]
    pub fn by_power_rules(watt: f64) -> Vec<Source> {
        if !(watt > 0.0 && watt <= 100.0) {
            return Vec::new();
        }
        let mut offers = Vec::new();
        for (volt, enough) in [(5.0, 15.0), (9.0, 27.0), (15.0, 45.0), (20.0, 100.0)] {
            let most = if volt == 20.0 { 5.0 } else { 3.0 };
            offers.push(Source::fixed(volt, f64::min(watt / volt, most)));
            if watt <= enough {
                break;
            }
        }
        offers
    }

    /// Watts of the highest voltage. A programmable range has more watts than the fixed supply it stands beside:
    /// 3.3 to 11 V at 3 A is 33 W on a supply of 27 W.
    #[must_use]
    pub fn most_w(&self) -> f64 {
        let product = self.volt.1 * self.ampere;
        self.watt.map_or(product, |watt| watt.min(product))
    }

    /// What a pad gives through coils and receiver: `transmitter_w` at the pad's own input, times both efficiencies,
    /// at the receiver's output voltage.
    ///
    /// # Errors
    /// Watts or volts that are not positive, an efficiency that is not within 0 to 1.
    pub fn wireless(
        transmitter_w: f64,
        coil_efficiency: f64,
        receiver_efficiency: f64,
        output_v: f64,
    ) -> Result<Source, ChargingError> {
        for (what, value) in [
            ("power of the pad in watts", transmitter_w),
            ("output voltage of the receiver in volts", output_v),
        ] {
            if !(value.is_finite() && value > 0.0) {
                return Err(ChargingError::NotPositive { what, value });
            }
        }
        let coil = share("efficiency of the coils", coil_efficiency)?;
        let upstream = coil * share("efficiency of the receiver", receiver_efficiency)?;
        Ok(Source {
            upstream,
            ..Source::fixed(output_v, transmitter_w * upstream / output_v)
        })
    }
}

/// A share that is not zero.
pub(crate) fn share(what: &'static str, value: f64) -> Result<f64, ChargingError> {
    if value > 0.0 && value <= 1.0 {
        Ok(value)
    } else {
        Err(ChargingError::OutOfRange {
            what,
            value,
            from: 0.0,
            to: 1.0,
        })
    }
}

/// Ohms of a metre of annealed copper wire at 20 °C. Conductivity 58 m/(Ω·mm²), diameter 0.127 mm · 92^((36−n)/39);
/// both formulas from memory.
#[must_use]
pub fn wire_ohm_per_m(gauge: u32) -> f64 {
    let diameter_mm = 0.127 * 92f64.powf((36.0 - f64::from(gauge)) / 39.0);
    let area_mm2 = std::f64::consts::PI * diameter_mm * diameter_mm / 4.0;
    1.0 / (58.0 * area_mm2)
}

/// Ohms of a cable there and back, at a temperature; copper gains 0.393 % a kelvin (from memory).
#[must_use]
pub fn cable_ohm(gauge: u32, length_m: f64, celsius: f64) -> f64 {
    2.0 * length_m * wire_ohm_per_m(gauge) * (1.0 + 0.00393 * (celsius - 20.0))
}
