//! Units against the published tables.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use quantity::{Currency, Dimension, Unit, UnitError, units};

fn unit(symbol: &str) -> Unit {
    Unit::parse(symbol).unwrap_or_else(|e| panic!("{symbol}: {e}"))
}

/// Source: SI Brochure, 9th edition (2019, prefixes of 2022 included), table 7.
#[test]
fn prefixes_have_the_factors_of_the_si_brochure() {
    const PREFIXES: [(&str, f64); 24] = [
        ("da", 1e1),
        ("h", 1e2),
        ("k", 1e3),
        ("M", 1e6),
        ("G", 1e9),
        ("T", 1e12),
        ("P", 1e15),
        ("E", 1e18),
        ("Z", 1e21),
        ("Y", 1e24),
        ("R", 1e27),
        ("Q", 1e30),
        ("d", 1e-1),
        ("c", 1e-2),
        ("m", 1e-3),
        ("µ", 1e-6),
        ("n", 1e-9),
        ("p", 1e-12),
        ("f", 1e-15),
        ("a", 1e-18),
        ("z", 1e-21),
        ("y", 1e-24),
        ("r", 1e-27),
        ("q", 1e-30),
    ];
    for (prefix, factor) in PREFIXES {
        for base in ["m", "s", "V", "Hz"] {
            assert_eq!(
                unit(&format!("{prefix}{base}")).factor(),
                factor,
                "{prefix}{base}"
            );
        }
    }
}

/// Source: SI Brochure, 9th edition, table 8. The neper and the bel are left out: levels here are
/// in decibels only.
#[test]
fn accepted_units_have_the_factors_of_the_si_brochure() {
    use std::f64::consts::PI;
    const TABLE: [(&str, f64, Dimension); 13] = [
        ("min", 60.0, Dimension::TIME),
        ("h", 3600.0, Dimension::TIME),
        ("d", 86_400.0, Dimension::TIME),
        ("au", 149_597_870_700.0, Dimension::LENGTH),
        ("°", PI / 180.0, Dimension::NONE),
        ("arcmin", PI / 10_800.0, Dimension::NONE),
        ("arcsec", PI / 648_000.0, Dimension::NONE),
        ("ha", 1e4, Dimension::AREA),
        ("L", 1e-3, Dimension::VOLUME),
        ("l", 1e-3, Dimension::VOLUME),
        ("t", 1e3, Dimension::MASS),
        ("Da", 1.660_539_066_60e-27, Dimension::MASS),
        ("eV", 1.602_176_634e-19, Dimension::ENERGY),
    ];
    for (symbol, factor, dimension) in TABLE {
        let found = unit(symbol);
        assert_eq!(
            (found.factor(), found.dimension()),
            (factor, dimension),
            "{symbol}"
        );
    }
}

/// Source: SI Brochure, 9th edition, table 4 (the expression in base units).
#[test]
fn special_names_have_the_base_units_of_the_si_brochure() {
    const TABLE: [(&str, &str); 21] = [
        ("rad", "m/m"),
        ("sr", "m²/m²"),
        ("Hz", "s⁻¹"),
        ("N", "kg·m·s⁻²"),
        ("Pa", "kg·m⁻¹·s⁻²"),
        ("J", "kg·m²·s⁻²"),
        ("W", "kg·m²·s⁻³"),
        ("C", "A·s"),
        ("V", "kg·m²·s⁻³·A⁻¹"),
        ("F", "kg⁻¹·m⁻²·s⁴·A²"),
        ("Ω", "kg·m²·s⁻³·A⁻²"),
        ("S", "kg⁻¹·m⁻²·s³·A²"),
        ("Wb", "kg·m²·s⁻²·A⁻¹"),
        ("T", "kg·s⁻²·A⁻¹"),
        ("H", "kg·m²·s⁻²·A⁻²"),
        ("lm", "cd·sr"),
        ("lx", "cd·sr·m⁻²"),
        ("Bq", "s⁻¹"),
        ("Gy", "m²·s⁻²"),
        ("Sv", "m²·s⁻²"),
        ("kat", "mol·s⁻¹"),
    ];
    for (name, base) in TABLE {
        assert_eq!(unit(name).dimension(), unit(base).dimension(), "{name}");
        assert_eq!(
            (unit(name).factor(), unit(base).factor()),
            (1.0, 1.0),
            "{name}"
        );
    }
}

/// Source: SI Brochure, 9th edition, 2.3.1 (Celsius temperature); international yard and pound
/// agreement of 1959 (inch, foot, pound); IEC 80000-13 (binary prefixes).
#[test]
fn other_defined_factors_are_exact() {
    const TABLE: [(&str, f64); 8] = [
        ("in", 0.0254),
        ("mil", 25.4e-6),
        ("ft", 0.3048),
        ("lb", 0.453_592_37),
        ("oz", 0.028_349_523_125),
        ("KiB", 1024.0),
        ("MiB", 1_048_576.0),
        ("GiB", 1_073_741_824.0),
    ];
    for (symbol, factor) in TABLE {
        assert_eq!(unit(symbol).factor(), factor, "{symbol}");
    }
    assert_eq!(unit("°C").to_si(0.0), 273.15);
    assert_eq!(unit("°C").of_si(373.15), 100.0);
    let fahrenheit = unit("°F");
    assert!((fahrenheit.to_si(32.0) - 273.15).abs() < 1e-12);
    assert!((fahrenheit.to_si(212.0) - 373.15).abs() < 1e-12);
}

/// Source: NIST Special Publication 811 (2008), appendix B.8, seven digits as printed.
#[test]
fn customary_units_have_the_factors_of_nist_sp_811() {
    for (symbol, printed) in [
        ("in", "2.540000E-02"),
        ("mil", "2.540000E-05"),
        ("ft", "3.048000E-01"),
        ("ft²", "9.290304E-02"),
        ("lb", "4.535924E-01"),
        ("oz", "2.834952E-02"),
        ("oz/ft²", "3.051517E-01"),
        ("°F", "5.555556E-01"),
    ] {
        let printed: f64 = printed.parse().unwrap();
        let factor = unit(symbol).factor();
        assert!(
            (factor / printed - 1.0).abs() < 2.5e-7,
            "{symbol}: {factor}"
        );
    }
}

#[test]
fn a_difference_of_celsius_is_kelvin() {
    assert_eq!(unit("°C").difference(), units::kelvin());
    assert_eq!(unit("ppm/°C"), unit("ppm/K"));
    assert_eq!(unit("dBA").difference(), units::decibel());
    assert_eq!(unit("°F").difference().to_si(9.0), 5.0);
    assert_eq!(unit("mAh").difference(), unit("mAh"));
}

#[test]
fn symbols_are_printed_one_way_however_they_are_written() {
    for (written, printed) in [
        ("mm2", "mm²"),
        ("mm^2", "mm²"),
        ("mm²", "mm²"),
        ("㎟", "mm²"),
        ("cm3", "cm³"),
        ("uF", "µF"),
        ("μF", "µF"),
        ("µF", "µF"),
        ("ohm", "Ω"),
        ("mOhm", "mΩ"),
        ("k\u{2126}", "kΩ"),
        ("dBA", "dB(A)"),
        ("dB(A)", "dB(A)"),
        ("ml", "mL"),
        ("℃", "°C"),
        ("º", "°"),
        ("Wh / kg", "Wh/kg"),
        ("EUR per pcs", "EUR/pcs"),
        ("€/pcs", "EUR/pcs"),
        ("pieces", "pcs"),
        ("hours", "h"),
        ("HOURS", "h"),
        ("Wh/l", "Wh/L"),
        ("g/cm3", "g/cm³"),
        ("s^-1", "s⁻¹"),
        ("W/(m2 K)", "W/(m²·K)"),
        ("m kg s-2", "m·kg/s²"),
        ("1/h", "h⁻¹"),
        ("", ""),
        ("VDC", "V"),
        ("\u{a0}mAh ", "mAh"),
        ("mA·h", "mAh"),
        ("mA h", "mAh"),
        ("kW·h", "kWh"),
        ("cycles", ""),
        ("weeks", "wk"),
    ] {
        assert_eq!(unit(written).symbol(), printed, "{written}");
        assert_eq!(unit(printed), unit(written), "{printed} reads back");
    }
}

/// A join that is itself a symbol becomes that symbol, so that it reads back to the same unit.
#[test]
fn a_product_that_has_its_own_symbol_takes_it() {
    for (written, printed) in [
        ("W×h", "Wh"),
        ("A*h", "Ah"),
        ("W·h/kg", "Wh/kg"),
        ("J/(A·h)", "J/Ah"),
    ] {
        assert_eq!(unit(written).symbol(), printed, "{written}");
        assert_eq!(unit(printed), unit(written), "{printed} reads back");
    }
    assert_eq!(unit("°C/W"), unit("K/W"));
}

#[test]
fn joined_units_have_their_factor_rounded_once() {
    for (symbol, factor) in [
        ("mAh", 3.6),
        ("Wh/kg", 3600.0),
        ("Wh/L", 3.6e6),
        ("mm²", 1e-6),
        ("mm³", 1e-9),
        ("g/cm³", 1000.0),
        ("km/h", 1000.0 / 3600.0),
        ("kWh", 3.6e6),
        ("mΩ", 1e-3),
        ("kg", 1.0),
        ("µA/MHz", 1e-12),
        ("pF", 1e-12),
        ("%", 0.01),
        ("Mbit", 125_000.0),
        ("mbar", 100.0),
    ] {
        assert_eq!(unit(symbol).factor(), factor, "{symbol}");
    }
}

#[test]
fn named_units_are_those_that_their_symbols_give() {
    for named in units::all() {
        assert_eq!(named, unit(named.symbol()));
    }
    assert_eq!(units::celsius(), unit("°C"));
    for currency in Currency::ALL {
        assert_eq!(units::money(currency), unit(currency.code()));
        assert_eq!(
            units::money(currency).dimension(),
            Dimension::money(currency)
        );
    }
}

#[test]
fn currencies_levels_and_counts_are_unlike_everything() {
    let symbols = [
        "EUR", "USD", "CNY", "GBP", "JPY", "dB", "pcs", "%", "m", "g", "MB",
    ];
    for (i, a) in symbols.iter().enumerate() {
        for b in &symbols[i + 1..] {
            assert_ne!(unit(a).dimension(), unit(b).dimension(), "{a} {b}");
        }
    }
}

#[test]
fn coherent_units_read_back() {
    for symbol in [
        "mAh",
        "Wh",
        "kW",
        "mV",
        "kΩ",
        "µF",
        "µH",
        "kHz",
        "bar",
        "mm²",
        "mm³",
        "Wh/kg",
        "EUR/pcs",
        "dB",
        "pcs",
        "%",
        "°C",
        "lx",
        "mT",
        "g/mol",
        "W/(m²·K)",
        "USD",
        "1/s²",
    ] {
        let dimension = unit(symbol).dimension();
        let coherent = Unit::coherent(dimension);
        assert_eq!(
            (coherent.factor(), coherent.dimension()),
            (1.0, dimension),
            "{symbol}"
        );
        assert_eq!(unit(coherent.symbol()), coherent, "{symbol}");
    }
    assert_eq!(Unit::coherent(Dimension::CHARGE).symbol(), "C");
    assert_eq!(Unit::coherent(Dimension::MASS).symbol(), "kg");
    assert_eq!(
        Unit::coherent(unit("EUR/pcs").dimension()).symbol(),
        "EUR/pcs"
    );
}

#[track_caller]
fn refused(symbol: &str, expected: &str) {
    let message = Unit::parse(symbol).expect_err(symbol).to_string();
    assert!(message.contains(expected), "{symbol}: {message}");
}

#[test]
fn unknown_units_name_the_nearest() {
    refused("mah", "did you mean 'mAh'?");
    refused("MAh", "did you mean 'mAh'?");
    refused("KHz", "did you mean 'kHz'?");
    refused("wh", "did you mean 'Wh'?");
    refused("mAhh", "did you mean 'mAh'?");
    refused("grms", "did you mean 'g'?");
    refused("Wh/kgg", "did you mean 'kg'?");
    assert_eq!(
        Unit::parse("quux"),
        Err(UnitError::Unknown {
            symbol: "quux".into(),
            part: "quux".into()
        })
    );
    let message = Unit::parse("quux").unwrap_err().to_string();
    assert_eq!(message, "unknown unit 'quux'");
}

#[test]
fn symbols_with_two_readings_name_both() {
    refused("¥", "write CNY or JPY");
    refused("\"", "write in or arcsec");
    refused("Mb", "write Mbit or MB");
    refused("KB", "write kB or KiB");
    refused("W/m K", "needs brackets");
    refused("m/s/s", "two strokes");
    refused("m0", "exponent");
    refused("/kg", "nothing on one side");
    refused("Qm9Qm9Qm9", "unknown unit");
    refused("Qm⁹·Qm⁹", "out of range");
    refused(&"m·".repeat(500), "too long");
}
