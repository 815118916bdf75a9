//! The trade's common units under names, for formulas in code.
//!
//! Each is the unit that [`Unit::parse`] gives for its symbol; a test holds that.

use crate::{Dimension, Unit};

macro_rules! named {
    ($($name:ident $symbol:literal $factor:literal $dimension:ident;)*) => {
        $(
            #[doc = concat!("Returns the unit `", $symbol, "`.")]
            pub fn $name() -> Unit {
                Unit::from_parts($symbol, $factor, 0.0, Dimension::$dimension)
            }
        )*

        /// Returns every named unit, in the order of this file.
        pub fn all() -> Vec<Unit> {
            vec![$($name()),*]
        }
    };
}

named! {
    one "" 1.0 NONE;
    percent "%" 1e-2 NONE;
    decibel "dB" 1.0 LEVEL;
    pieces "pcs" 1.0 COUNT;
    gram "g" 1e-3 MASS;
    kilogram "kg" 1.0 MASS;
    milligram "mg" 1e-6 MASS;
    metre "m" 1.0 LENGTH;
    millimetre "mm" 1e-3 LENGTH;
    micrometre "µm" 1e-6 LENGTH;
    square_millimetre "mm²" 1e-6 AREA;
    cubic_millimetre "mm³" 1e-9 VOLUME;
    litre "L" 1e-3 VOLUME;
    second "s" 1.0 TIME;
    minute "min" 60.0 TIME;
    hour "h" 3600.0 TIME;
    day "d" 86400.0 TIME;
    volt "V" 1.0 VOLTAGE;
    millivolt "mV" 1e-3 VOLTAGE;
    ampere "A" 1.0 CURRENT;
    milliampere "mA" 1e-3 CURRENT;
    microampere "µA" 1e-6 CURRENT;
    watt "W" 1.0 POWER;
    milliwatt "mW" 1e-3 POWER;
    ohm "Ω" 1.0 RESISTANCE;
    milliohm "mΩ" 1e-3 RESISTANCE;
    joule "J" 1.0 ENERGY;
    coulomb "C" 1.0 CHARGE;
    watt_hour "Wh" 3600.0 ENERGY;
    ampere_hour "Ah" 3600.0 CHARGE;
    milliamp_hour "mAh" 3.6 CHARGE;
    wh_per_kg "Wh/kg" 3600.0 SPECIFIC_ENERGY;
    wh_per_litre "Wh/L" 3.6e6 ENERGY_DENSITY;
    hertz "Hz" 1.0 FREQUENCY;
    kelvin "K" 1.0 TEMPERATURE;
}

/// Returns the unit `°C`.
pub fn celsius() -> Unit {
    Unit::from_parts("°C", 1.0, 273.15, Dimension::TEMPERATURE)
}

/// Returns the unit of money of `currency` (`EUR`).
pub fn money(currency: crate::Currency) -> Unit {
    Unit::from_parts(currency.code(), 1.0, 0.0, Dimension::money(currency))
}
