//! What one reading of a string says.
//!
//! In: nothing; types only. Not here: how a likelihood is made (`likelihood.rs`).

use crate::date::Span;
use crate::tolerance::Tolerance;
use serde::Serialize;

/// The family of code that a reading belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Resistance with a letter at the decimal point (`4K7`).
    ResistorLetters,
    /// Resistance in three or four digits (`473`, `4992`).
    ResistorDigits,
    /// Resistance by table number and letter (`66B`).
    ResistorEia96,
    /// Resistance in colour bands.
    ResistorColours,
    /// Capacitance with a letter at the decimal point (`4n7`).
    CapacitorLetters,
    /// Capacitance in digits (`104`, `47`).
    CapacitorDigits,
    /// Capacitance by letter and exponent (`A1`).
    CapacitorTable,
    /// Inductance in digits or with a letter at the decimal point (`4R7`).
    Inductor,
    /// Dielectric of class 1 (`C0G`).
    DielectricClass1,
    /// Dielectric of class 2 or 3 (`X7R`).
    DielectricClass2,
    /// Rated voltage by digit and letter (`1E`).
    VoltageTwoCharacters,
    /// Rated voltage by one letter (`J`).
    VoltageLetter,
    /// Date by year letter and month (`R4`).
    DateYearMonth,
    /// Date by month and year letter, the order before 1976 (`4R`).
    DateMonthYear,
    /// Date by year and week (`2413`).
    DateYearWeek,
    /// Date by week and year (`1324`).
    DateWeekYear,
    /// Date by last digit of the year and week (`413`).
    DateShortYearWeek,
    /// Date by one letter over four years (`A`).
    DateLetter,
    /// Date by last digit of the year and month (`4C`).
    DateTenYears,
    /// A date in figures (`2024-06-12`).
    DateCalendar,
    /// A week (`2024-W24`).
    DateIsoWeek,
    /// Designation of a lithium cell (`ICP103450`).
    CellDesignation,
    /// Size of a pouch cell in digits (`403450`).
    PouchSize,
    /// Round cell by its size (`CR2032`).
    RoundCell,
    /// Ingress protection (`IP67`).
    Ingress,
    /// Article, location or shipping number with check digit.
    Gs1,
    /// Identity of a mobile device with check digit.
    Imei,
    /// Identity of a mobile device with software version.
    Imeisv,
    /// Hardware address.
    HardwareAddress,
    /// USB vendor and product.
    UsbId,
    /// Size of a chip part in hundredths of an inch.
    ChipSizeImperial,
    /// Size of a chip part in tenths of a millimetre.
    ChipSizeMetric,
    /// Size of a moulded tantalum capacitor.
    TantalumCase,
}

impl Kind {
    /// Tells whether readings of this family are dates.
    pub fn is_date(self) -> bool {
        matches!(
            self,
            Self::DateYearMonth
                | Self::DateMonthYear
                | Self::DateYearWeek
                | Self::DateWeekYear
                | Self::DateShortYearWeek
                | Self::DateLetter
                | Self::DateTenYears
                | Self::DateCalendar
                | Self::DateIsoWeek
        )
    }

    /// Returns the standard or practice the family follows.
    pub fn standard(self) -> &'static str {
        match self {
            Self::ResistorLetters | Self::CapacitorLetters => {
                "IEC 60062, letter and digit code (clause 3)"
            }
            Self::ResistorDigits => "three and four digit code of chip resistors, common practice",
            Self::ResistorEia96 => "EIA-96 with values of IEC 60063 (E96)",
            Self::ResistorColours => "IEC 60062, colour code (clause 2)",
            Self::CapacitorDigits => "three digit code in picofarads, common practice",
            Self::CapacitorTable => "EIA-198, two characters on chip capacitors",
            Self::Inductor => "maker practice on inductors, not checked against a standard",
            Self::DielectricClass1 => "EIA-198, class 1",
            Self::DielectricClass2 => "EIA-198, classes 2 and 3",
            Self::VoltageTwoCharacters => "ordering codes of capacitor makers",
            Self::VoltageLetter => "data sheets of tantalum capacitors",
            Self::DateYearMonth | Self::DateMonthYear => "IEC 60062, clause 5.1",
            Self::DateYearWeek => "IEC 60062, clause 5.2; weeks of ISO 8601",
            Self::DateWeekYear | Self::DateShortYearWeek => "maker practice",
            Self::DateLetter => {
                "IEC 60062:2004 has such a form; letters from capacitor data sheets"
            }
            Self::DateTenYears => "IEC 60062:2004 has such a form; months from maker practice",
            Self::DateCalendar => "ISO 8601 and common ways of writing a date",
            Self::DateIsoWeek => "ISO 8601",
            Self::CellDesignation => "IEC 61960, clause 5.1",
            Self::PouchSize => "practice of pouch cell makers",
            Self::RoundCell => "IEC 60086 size code",
            Self::Ingress => "IEC 60529",
            Self::Gs1 => "GS1 General Specifications, check digit",
            Self::Imei | Self::Imeisv => "3GPP TS 23.003",
            Self::HardwareAddress => "IEEE 802, EUI-48 and EUI-64",
            Self::UsbId => "USB device descriptor, vendor and product",
            Self::ChipSizeImperial => "EIA size code in hundredths of an inch",
            Self::ChipSizeMetric => "size code in tenths of a millimetre",
            Self::TantalumCase => "EIA case code (metric)",
        }
    }
}

/// What a reading says as data.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "value")]
pub enum Value {
    /// A resistance.
    Resistance {
        /// Ohms.
        ohm: f64,
        /// Tolerance, where the code says one.
        tolerance: Option<Tolerance>,
        /// Temperature coefficient, ± ppm/K, where the code says one.
        ppm_per_kelvin: Option<f64>,
    },
    /// A capacitance.
    Capacitance {
        /// Farads.
        farad: f64,
        /// Tolerance, where the code says one.
        tolerance: Option<Tolerance>,
        /// Rated voltage in volts, where the code says one.
        rated_volt: Option<f64>,
    },
    /// An inductance.
    Inductance {
        /// Henries.
        henry: f64,
        /// Tolerance, where the code says one.
        tolerance: Option<Tolerance>,
    },
    /// A rated voltage.
    Voltage {
        /// Volts.
        volt: f64,
    },
    /// How capacitance changes with temperature, class 1.
    Coefficient {
        /// Parts per million per kelvin.
        ppm_per_kelvin: f64,
        /// Its tolerance, ± ppm/K.
        tolerance_ppm_per_kelvin: f64,
    },
    /// How capacitance changes with temperature, classes 2 and 3.
    Change {
        /// Lowest temperature, °C.
        low_celsius: i32,
        /// Highest temperature, °C.
        high_celsius: i32,
        /// Greatest gain, %.
        up_percent: f64,
        /// Greatest loss, %.
        down_percent: f64,
    },
    /// Dates the code may mean, the most plausible first.
    Dates {
        /// First and last day of each.
        spans: Vec<Span>,
    },
    /// A cell of a known size.
    Cell(CellSize),
    /// Protection against solids and water.
    Ingress {
        /// First digit; none for `X`.
        solids: Option<u8>,
        /// Second digit; none for `X`.
        water: Option<u8>,
    },
    /// A number with or without a check digit.
    Number {
        /// The digits as they should be, with the right check digit where there is one.
        digits: String,
        /// Whether the check digit is right; none where it is absent or there is no such digit.
        check_digit_right: Option<bool>,
    },
    /// A hardware address.
    Address {
        /// The octets.
        octets: Vec<u8>,
        /// Whether it is administered locally (no registered maker).
        local: bool,
        /// Whether it addresses a group.
        group: bool,
        /// Who registered the block, where the caller's register knows it.
        vendor: Option<String>,
        /// How many bits of the address that block fixes.
        vendor_bits: Option<u8>,
    },
    /// A USB vendor and product.
    Usb {
        /// Vendor number.
        vendor: u16,
        /// Product number; none where only the vendor is written.
        product: Option<u16>,
        /// Name of the vendor, where the caller's list knows it.
        vendor_name: Option<String>,
        /// Name of the product, where the caller's list knows it.
        product_name: Option<String>,
    },
    /// A body size.
    Size {
        /// Longer side, mm.
        length_mm: f64,
        /// Shorter side, mm.
        width_mm: f64,
        /// Height, mm, where the code says it.
        height_mm: Option<f64>,
    },
}

/// Size of a cell, and what else its designation says. Millimetres.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CellSize {
    /// Chemistry in words.
    pub chemistry: Option<String>,
    /// Diameter, mm, of a round cell.
    pub diameter_mm: Option<f64>,
    /// Thickness, mm, of a flat cell.
    pub thickness_mm: Option<f64>,
    /// Width, mm, of a flat cell.
    pub width_mm: Option<f64>,
    /// Height, mm.
    pub height_mm: Option<f64>,
    /// Cells in series.
    pub series: u32,
    /// Cells in parallel.
    pub parallel: u32,
}

/// One reading of a string.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Reading {
    /// Family of code.
    pub kind: Kind,
    /// What it means, as a sentence.
    pub meaning: String,
    /// What it means, as data; none where a sentence is all there is.
    pub value: Option<Value>,
    /// Standard or practice.
    pub standard: String,
    /// Share among the readings of this string, 0 to 1; see [`crate::likelihood`] for how it is made.
    pub likelihood: f64,
    /// Why it is read so.
    pub because: String,
    /// What to be careful about.
    pub caution: Option<String>,
}

/// A reading before it is compared with the others.
#[derive(Debug, Clone)]
pub(crate) struct Draft {
    pub(crate) reading: Reading,
    /// How often a code of this family is exactly this string.
    pub(crate) fit: f64,
}

impl Draft {
    /// Starts a reading of a family; `fit` is the estimated share of this string among the codes of
    /// the family.
    pub(crate) fn new(
        kind: Kind,
        fit: f64,
        meaning: impl Into<String>,
        because: impl Into<String>,
    ) -> Self {
        Self {
            reading: Reading {
                kind,
                meaning: meaning.into(),
                value: None,
                standard: kind.standard().to_string(),
                likelihood: 0.0,
                because: because.into(),
                caution: None,
            },
            fit,
        }
    }

    #[must_use]
    pub(crate) fn value(mut self, value: Value) -> Self {
        self.reading.value = Some(value);
        self
    }

    /// Adds a caution after those already there.
    #[must_use]
    pub(crate) fn caution(mut self, text: impl AsRef<str>) -> Self {
        let text = text.as_ref();
        if text.is_empty() {
            return self;
        }
        let caution = match self.reading.caution.take() {
            Some(before) => format!("{before}; {text}"),
            None => text.to_string(),
        };
        self.reading.caution = Some(caution);
        self
    }

    /// Makes the reading less likely by a factor.
    #[must_use]
    pub(crate) fn weaker(mut self, factor: f64) -> Self {
        self.fit *= factor;
        self
    }
}
