//! `[[readings]]`, instruments and correlations.

use super::asked::{self, Asked};
use super::{ITEM_IDS, Ids, Kind, Table, Thing, Word, evidence, may, need, note, word};

pub(crate) static READING: Table = Table {
    name: "readings",
    thing: Thing::Reading,
    natural: &["id"],
    doc: "one measured value",
    keys: &[
        need("id", Kind::Id(Ids::Readings), "id"),
        need("item", Kind::Ref(Ids::Items), "the item measured"),
        need("what", Kind::Words(READING_SUBJECTS), "what was measured"),
        may("mode", Kind::Text, "mode of use, for currents and times"),
        need("value", Kind::Quantity(&asked::ANY), "the value as read"),
        may("instrument", Kind::Ref(Ids::Instruments), "the instrument"),
        may(
            "pieces",
            Kind::Whole { least: 1 },
            "how many pieces were measured together; 1 if not given",
        ),
        may(
            "tare",
            Kind::Quantity(&asked::ANY),
            "what the value still holds of a vessel or a zero: taken off",
        ),
        may("started", Kind::Moment, "when it was begun"),
        may("stopped", Kind::Moment, "when it was finished"),
        may("before", Kind::Ref(Ids::Steps), "taken before this step"),
        may("after", Kind::Ref(Ids::Steps), "taken after this step"),
        may(
            "without",
            ITEM_IDS,
            "items inside it that were already missing",
        ),
        may(
            "private",
            Kind::Boolean,
            "set when nothing that is published may tell it: no published figure uses it",
        ),
        evidence(),
        note(),
    ],
};

pub(crate) const READING_SUBJECTS: &[Word] = &[
    word("mass", "mass"),
    word("length", "greatest extent"),
    word("width", "extent across"),
    word("height", "extent upwards"),
    word("thickness", "least extent"),
    word("diameter", "diameter"),
    word("voltage", "voltage"),
    word("current", "current"),
    word("charge", "charge taken or given"),
    word("energy", "energy taken or given"),
    word("resistance", "resistance"),
    word("temperature", "temperature"),
    word("run-time", "run time in a mode"),
    word("charging-time", "charging time from empty to full"),
    word("delay", "signal delay"),
    word("noise-reduction", "depth of noise reduction"),
    word("unknown", "not noted; the value is kept and not used"),
];

/// Returns what the value of a reading of this subject must be.
pub(crate) fn reading_measure(what: &str) -> Option<&'static Asked> {
    Some(match what {
        "mass" => &asked::MASS,
        "length" | "width" | "height" | "thickness" | "diameter" => &asked::LENGTH,
        "voltage" => &asked::VOLTAGE_READ,
        "current" => &asked::CURRENT_READ,
        "charge" => &asked::CHARGE_READ,
        "energy" => &asked::ENERGY_READ,
        "resistance" => &asked::RESISTANCE,
        "temperature" => &asked::TEMPERATURE,
        "run-time" | "charging-time" => &asked::TIME,
        "delay" => &asked::DELAY,
        "noise-reduction" => &asked::LEVEL,
        _ => return None,
    })
}

pub(crate) static INSTRUMENT: Table = Table {
    name: "instruments",
    thing: Thing::Instrument,
    natural: &["id"],
    doc: "what was measured with, described once",
    keys: &[
        need("id", Kind::Id(Ids::Instruments), "id"),
        need("name", Kind::Text, "what it is (pocket scale)"),
        may(
            "resolution",
            Kind::Quantity(&asked::STEP_OF),
            "digital resolution (0.01 g)",
        ),
        may(
            "accuracy",
            Kind::Quantity(&asked::TOLERANCE),
            "limit of error (0.03 g, or 0.5 % of the reading)",
        ),
        may(
            "repeatability",
            Kind::Quantity(&asked::TOLERANCE),
            "standard deviation of repeated readings (0.01 g)",
        ),
        may("calibrated", Kind::Text, "last calibration, in words"),
        note(),
    ],
};

pub(crate) static CORRELATION: Table = Table {
    name: "correlations",
    thing: Thing::Correlation,
    natural: &["between"],
    doc: "what two readings have in common (the error of one scale)",
    keys: &[
        need(
            "between",
            Kind::Row(&Kind::Ref(Ids::Readings), 2),
            "two reading ids",
        ),
        need(
            "coefficient",
            Kind::Number {
                low: -1.0,
                high: 1.0,
            },
            "correlation coefficient, -1 to 1",
        ),
        may("because", Kind::Note, "why"),
    ],
};
