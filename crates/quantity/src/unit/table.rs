//! The tables of unit symbols and prefixes.
//!
//! A factor is kept as a mantissa and a power of ten, so that a compound unit's factor is rounded
//! once, at the end.
//! Source: SI Brochure, 9th edition (2019), tables 2, 4, 7, 8; ISO 80000-13 for binary prefixes.

use crate::{Currency, Dimension, LevelReference};

/// Which prefixes a unit takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Prefixes {
    /// None.
    No,
    /// All of the SI.
    All,
    /// From kilo upward.
    Large,
    /// From kilo upward and the binary ones.
    Binary,
    /// Nano to kilo: a megaampere hour is a misprinted milliampere hour.
    UpToKilo,
}

/// One unit symbol.
pub(super) struct Atom {
    /// The printed symbol first, then others that also take prefixes.
    pub(super) symbols: &'static [&'static str],
    /// Other spellings without prefixes.
    pub(super) words: &'static [&'static str],
    /// Factor without its power of ten.
    pub(super) mantissa: f64,
    /// Power of ten of the factor.
    pub(super) exponent: i32,
    /// Value of the scale's zero in SI.
    pub(super) offset: f64,
    pub(super) dimension: Dimension,
    pub(super) prefixes: Prefixes,
}

/// The SI prefixes, table 7, with `u` for µ.
pub(super) const PREFIXES: [(&str, i32); 25] = [
    ("da", 1),
    ("h", 2),
    ("k", 3),
    ("M", 6),
    ("G", 9),
    ("T", 12),
    ("P", 15),
    ("E", 18),
    ("Z", 21),
    ("Y", 24),
    ("R", 27),
    ("Q", 30),
    ("d", -1),
    ("c", -2),
    ("m", -3),
    ("µ", -6),
    ("u", -6),
    ("n", -9),
    ("p", -12),
    ("f", -15),
    ("a", -18),
    ("z", -21),
    ("y", -24),
    ("r", -27),
    ("q", -30),
];

/// The binary prefixes with their factors.
pub(super) const BINARY: [(&str, f64); 4] = [
    ("Ki", 1024.0),
    ("Mi", 1_048_576.0),
    ("Gi", 1_073_741_824.0),
    ("Ti", 1_099_511_627_776.0),
];

const fn base(e: [i8; 7]) -> Dimension {
    Dimension::of(&e)
}

/// Force.
const FORCE: Dimension = base([1, 1, -2, 0, 0, 0, 0]);
/// Luminous intensity, also luminous flux (the steradian is a plain number).
/// Energy per mass, as absorbed or equivalent dose.
const DOSE: Dimension = base([2, 0, -2, 0, 0, 0, 0]);

macro_rules! atoms {
    ($($symbols:expr, $words:expr, $m:expr, $e:expr, $d:expr, $p:ident;)*) => {
        &[$(Atom { symbols: &$symbols, words: &$words, mantissa: $m, exponent: $e, offset: 0.0,
            dimension: $d, prefixes: Prefixes::$p }),*]
    };
}

/// Every unit but the two temperature scales with an offset and the currencies.
pub(super) static ATOMS: &[Atom] = atoms! {
    // Plain numbers. What is counted in cycles or times has no symbol.
    [""], ["times", "cycle", "cycles"], 1.0, 0, Dimension::NONE, No;
    ["%"], ["percent", "pct", "per cent"], 1.0, -2, Dimension::NONE, No;
    ["‰"], ["permille"], 1.0, -3, Dimension::NONE, No;
    ["ppm"], [], 1.0, -6, Dimension::NONE, No;
    ["ppb"], [], 1.0, -9, Dimension::NONE, No;
    ["rad"], ["radian", "radians"], 1.0, 0, Dimension::NONE, All;
    ["sr"], ["steradian"], 1.0, 0, Dimension::NONE, All;
    ["°"], ["deg", "degree", "degrees"], std::f64::consts::PI / 180.0, 0, Dimension::NONE, No;
    ["arcmin"], [], std::f64::consts::PI / 10_800.0, 0, Dimension::NONE, No;
    ["arcsec"], [], std::f64::consts::PI / 648_000.0, 0, Dimension::NONE, No;
    ["px"], ["pixel", "pixels"], 1.0, 0, Dimension::NONE, No;
    // Memory, counted in bytes, so that 8 Mbit is 1 MB.
    ["B"], ["byte", "bytes"], 1.0, 0, Dimension::MEMORY, Binary;
    ["bit"], ["bits"], 0.125, 0, Dimension::MEMORY, Binary;
    ["pcs"], ["pc", "pc.", "pcs.", "piece", "pieces"], 1.0, 0, Dimension::COUNT, No;
    // Levels: a plain dB is a difference, the others have a reference.
    ["dB"], ["decibel", "decibels"], 1.0, 0, Dimension::LEVEL, No;
    ["dB(A)"], ["dBA", "dB A"], 1.0, 0, Dimension::level(LevelReference::SoundA), No;
    ["dB(C)"], ["dBC", "dB C"], 1.0, 0, Dimension::level(LevelReference::SoundC), No;
    ["dB(Z)"], ["dBZ", "dB Z"], 1.0, 0, Dimension::level(LevelReference::SoundZ), No;
    ["dBSPL"], ["dB SPL", "dB(SPL)"], 1.0, 0, Dimension::level(LevelReference::SoundPressure), No;
    ["dBm"], [], 1.0, 0, Dimension::level(LevelReference::Milliwatt), No;
    ["dBi"], [], 1.0, 0, Dimension::level(LevelReference::Isotropic), No;
    ["dBV"], [], 1.0, 0, Dimension::level(LevelReference::Volt), No;
    ["dBu"], [], 1.0, 0, Dimension::level(LevelReference::Unloaded), No;
    ["dBFS"], ["dB FS"], 1.0, 0, Dimension::level(LevelReference::FullScale), No;
    // Base quantities.
    ["m"], ["metre", "metres", "meter", "meters"], 1.0, 0, Dimension::LENGTH, All;
    ["in"], ["inch", "inches"], 254.0, -4, Dimension::LENGTH, No;
    ["mil"], ["mils", "thou"], 254.0, -7, Dimension::LENGTH, No;
    ["ft"], ["foot", "feet"], 3048.0, -4, Dimension::LENGTH, No;
    ["au"], [], 149_597_870_700.0, 0, Dimension::LENGTH, No;
    ["g"], ["gram", "grams", "gramme", "grammes", "gr"], 1.0, -3, Dimension::MASS, All;
    ["t"], ["tonne", "tonnes"], 1.0, 3, Dimension::MASS, Large;
    ["Da"], ["dalton"], 1.660_539_066_60, -27, Dimension::MASS, Large;
    ["lb"], ["lbs", "pound", "pounds"], 45_359_237.0, -8, Dimension::MASS, No;
    ["oz"], ["ounce", "ounces"], 28_349_523_125.0, -12, Dimension::MASS, No;
    ["s"], ["sec", "secs", "sec.", "second", "seconds"], 1.0, 0, Dimension::TIME, All;
    ["min"], ["mins", "minute", "minutes"], 60.0, 0, Dimension::TIME, No;
    ["h"], ["hr", "hrs", "hour", "hours"], 3600.0, 0, Dimension::TIME, No;
    ["d"], ["day", "days"], 86_400.0, 0, Dimension::TIME, No;
    ["wk"], ["week", "weeks"], 604_800.0, 0, Dimension::TIME, No;
    ["month"], ["months"], 2_629_800.0, 0, Dimension::TIME, No;
    ["year"], ["years", "yr", "yrs"], 31_557_600.0, 0, Dimension::TIME, No;
    ["A"], ["amp", "amps", "ampere", "amperes", "ADC"], 1.0, 0, Dimension::CURRENT, All;
    ["K"], ["kelvin", "kelvins"], 1.0, 0, Dimension::TEMPERATURE, All;
    ["mol"], ["mole", "moles"], 1.0, 0, base([0, 0, 0, 0, 0, 1, 0]), All;
    ["cd"], ["candela"], 1.0, 0, Dimension::LUMINOUS_FLUX, All;
    // Derived, mechanical.
    ["ha"], ["hectare"], 1.0, 4, Dimension::AREA, No;
    ["L", "l"], ["litre", "litres", "liter", "liters"], 1.0, -3, Dimension::VOLUME, All;
    ["Hz"], ["hertz"], 1.0, 0, Dimension::FREQUENCY, All;
    ["rpm"], [], 1.0 / 60.0, 0, Dimension::FREQUENCY, No;
    ["N"], ["newton", "newtons"], 1.0, 0, FORCE, All;
    ["Pa"], ["pascal", "pascals"], 1.0, 0, Dimension::PRESSURE, All;
    ["bar"], [], 1.0, 5, Dimension::PRESSURE, All;
    ["psi"], [], 6_894.757_293_168_361, 0, Dimension::PRESSURE, No;
    ["J"], ["joule", "joules"], 1.0, 0, Dimension::ENERGY, All;
    ["eV"], [], 1.602_176_634, -19, Dimension::ENERGY, All;
    ["Wh", "W·h", "W h"], ["watt hour", "watt hours"], 3600.0, 0, Dimension::ENERGY, All;
    ["W"], ["watt", "watts"], 1.0, 0, Dimension::POWER, All;
    ["VA"], [], 1.0, 0, Dimension::POWER, All;
    // Derived, electrical.
    ["C"], ["coulomb", "coulombs"], 1.0, 0, Dimension::CHARGE, All;
    ["Ah", "A·h", "A h"], ["amp hour", "amp hours"], 3600.0, 0, Dimension::CHARGE, UpToKilo;
    ["V"], ["volt", "volts", "VDC", "V DC", "VAC", "V AC"], 1.0, 0, Dimension::VOLTAGE, All;
    ["Ω", "ohm", "Ohm"], ["ohms", "Ohms", "OHM"], 1.0, 0, Dimension::RESISTANCE, All;
    ["S"], ["siemens"], 1.0, 0, base([-2, -1, 3, 2, 0, 0, 0]), All;
    ["F"], ["farad", "farads"], 1.0, 0, Dimension::CAPACITANCE, All;
    ["H"], ["henry", "henries"], 1.0, 0, Dimension::INDUCTANCE, All;
    ["Wb"], ["weber"], 1.0, 0, base([2, 1, -2, -1, 0, 0, 0]), All;
    ["T"], ["tesla"], 1.0, 0, base([0, 1, -2, -1, 0, 0, 0]), All;
    // Derived, light, radiation and chemistry.
    ["lm"], ["lumen", "lumens"], 1.0, 0, Dimension::LUMINOUS_FLUX, All;
    ["lx"], ["lux"], 1.0, 0, base([-2, 0, 0, 0, 0, 0, 1]), All;
    ["Bq"], ["becquerel"], 1.0, 0, Dimension::FREQUENCY, All;
    ["Gy"], ["gray"], 1.0, 0, DOSE, All;
    ["Sv"], ["sievert"], 1.0, 0, DOSE, All;
    ["kat"], ["katal"], 1.0, 0, base([0, 0, -1, 0, 0, 1, 0]), All;
};

/// The scales whose zero is not that of the kelvin.
pub(super) static SCALES: [Atom; 2] = [
    Atom {
        symbols: &["°C"],
        words: &["° C", "degC", "deg C", "celsius"],
        mantissa: 1.0,
        exponent: 0,
        offset: 273.15,
        dimension: Dimension::TEMPERATURE,
        prefixes: Prefixes::No,
    },
    Atom {
        symbols: &["°F"],
        words: &["° F", "degF", "deg F", "fahrenheit"],
        mantissa: 5.0 / 9.0,
        exponent: 0,
        offset: 459.67 * 5.0 / 9.0,
        dimension: Dimension::TEMPERATURE,
        prefixes: Prefixes::No,
    },
];

/// Spellings of currencies.
pub(super) const MONEY: [(Currency, &[&str]); 5] = [
    (Currency::Eur, &["EUR", "€", "euro", "euros", "Euro"]),
    (Currency::Usd, &["USD", "$", "US$", "dollar", "dollars"]),
    (Currency::Cny, &["CNY", "RMB", "CN¥", "yuan"]),
    (Currency::Gbp, &["GBP", "£"]),
    (Currency::Jpy, &["JPY", "JP¥", "yen"]),
];

/// Symbols that are read in two ways, with what to write instead.
pub(super) const UNCLEAR: [(&str, &str); 12] = [
    ("¥", "may be yuan or yen; write CNY or JPY"),
    ("\"", "may be inch or second of angle; write in or arcsec"),
    ("″", "may be inch or second of angle; write in or arcsec"),
    ("'", "may be foot or minute of angle; write ft or arcmin"),
    ("′", "may be foot or minute of angle; write ft or arcmin"),
    ("KB", "may be 1000 or 1024 bytes; write kB or KiB"),
    ("kb", "may be kilobit or kilobyte; write kbit or kB"),
    ("Kb", "may be kilobit or kilobyte; write kbit or kB"),
    ("Mb", "may be megabit or megabyte; write Mbit or MB"),
    ("Gb", "may be gigabit or gigabyte; write Gbit or GB"),
    ("Tb", "may be terabit or terabyte; write Tbit or TB"),
    ("cent", "needs its currency; write 0.01 EUR or 0.01 USD"),
];
