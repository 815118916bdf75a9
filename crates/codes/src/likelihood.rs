//! How the likelihood of a reading is made.
//!
//! In: drafts of readings with their fit. Out: readings with likelihoods, the greatest first.
//!
//! weight = commonness × fit, likelihood = weight / sum of the weights of all readings of the string.
//!
//! *Commonness* says how often a string on such a thing is a code of the family: [`commonness`], a table
//! of judgement. Where the thing is known, families that are at home on it keep their commonness and all
//! others keep one part in fifty of theirs. *Fit* is the share of this one string among the codes of the
//! family, estimated from the number of codes: 1 in 96 × 8 for a two-digit value with a multiplier
//! letter, 1 in 52 × the weight of the year for a year and week, and so on. A member of a preferred series
//! has a share of 0.9 divided by the size of the series, all other values share the remaining 0.1.
//! Families whose single codes are too rare to be counted (numbers with check digits, addresses, cells,
//! sizes) have a judged fit: 0.1 for a right check digit, 0.0005 for a wrong one, far less for eight digits,
//! which are as often a date.
//!
//! The likelihood compares readings with each other. It is not the probability that the string is a code
//! at all: a single far-fetched reading has the likelihood 1.

use crate::reading::{Draft, Kind, Reading};
use crate::{Context, MarkedObject};

/// What a family away from home keeps of its commonness.
const AWAY: f64 = 0.02;

/// Returns how common codes of a family are, and the objects they are at home on.
pub fn commonness(kind: Kind) -> (f64, &'static [MarkedObject]) {
    use MarkedObject::{Capacitor, Cell, Chip, Inductor, Label, Outline, Resistor, UsbDevice};
    match kind {
        Kind::ResistorLetters | Kind::ResistorDigits => (1.0, &[Resistor]),
        Kind::ResistorEia96 => (0.6, &[Resistor]),
        Kind::ResistorColours => (1.0, &[Resistor]),
        Kind::CapacitorLetters | Kind::CapacitorDigits => (0.8, &[Capacitor]),
        Kind::CapacitorTable => (0.1, &[Capacitor]),
        Kind::Inductor => (0.2, &[Inductor]),
        Kind::DielectricClass1 | Kind::DielectricClass2 => (0.5, &[Capacitor]),
        Kind::VoltageTwoCharacters => (0.3, &[Capacitor]),
        Kind::VoltageLetter => (0.15, &[Capacitor]),
        Kind::DateYearMonth => (0.25, &[Capacitor, Resistor, Chip, Label]),
        Kind::DateMonthYear => (0.001, &[Capacitor, Resistor]),
        Kind::DateYearWeek => (1.0, &[Chip, Label, Cell, Capacitor, Inductor]),
        Kind::DateWeekYear => (0.1, &[Chip, Label, Cell]),
        Kind::DateShortYearWeek => (0.1, &[Chip, Label, Cell]),
        Kind::DateLetter => (0.05, &[Capacitor, Chip]),
        Kind::DateTenYears => (0.05, &[Capacitor, Resistor, Chip]),
        Kind::DateCalendar => (1.0, &[Label, Cell]),
        Kind::DateIsoWeek => (1.0, &[Label, Cell, Chip]),
        Kind::CellDesignation => (1.0, &[Cell, Label]),
        Kind::PouchSize => (0.5, &[Cell]),
        Kind::RoundCell => (0.8, &[Cell, Label]),
        Kind::Ingress => (1.0, &[Label]),
        Kind::Gs1 => (1.0, &[Label]),
        Kind::Imei => (0.5, &[Label]),
        Kind::Imeisv => (0.1, &[Label]),
        Kind::HardwareAddress => (0.5, &[Label, Chip]),
        Kind::UsbId => (0.5, &[UsbDevice, Label]),
        Kind::ChipSizeImperial => (0.5, &[Outline]),
        Kind::ChipSizeMetric => (0.25, &[Outline]),
        Kind::TantalumCase => (0.2, &[Outline]),
    }
}

/// Turns drafts into readings with likelihoods, the greatest first; equal ones keep a fixed order.
pub(crate) fn settle(drafts: Vec<Draft>, context: &Context<'_>) -> Vec<Reading> {
    let weigh = |draft: &Draft| {
        let (common, home) = commonness(draft.reading.kind);
        let away = context.on.is_some_and(|thing| !home.contains(&thing));
        let fit = if draft.fit.is_finite() {
            draft.fit
        } else {
            0.0
        };
        common * fit.max(1e-12) * if away { AWAY } else { 1.0 }
    };
    let total: f64 = drafts.iter().map(weigh).sum();
    let mut readings: Vec<Reading> = drafts
        .into_iter()
        .map(|draft| {
            let likelihood = weigh(&draft) / total;
            Reading {
                likelihood,
                ..draft.reading
            }
        })
        .collect();
    readings.sort_by(|a, b| {
        b.likelihood
            .total_cmp(&a.likelihood)
            .then_with(|| a.kind.cmp(&b.kind))
            .then_with(|| a.meaning.cmp(&b.meaning))
    });
    readings
}
