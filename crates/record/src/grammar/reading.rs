//! `[[readings]]`, instruments, correlations and photographs.

use super::asked::{self, Asked};
use super::{ITEM_IDS, Ids, Kind, Table, Word, evidence, may, need, note, word};

pub(crate) static READING: Table = Table {
    name: "readings",
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
        may("before", Kind::Ref(Ids::Steps), "taken before this step"),
        may("after", Kind::Ref(Ids::Steps), "taken after this step"),
        may(
            "without",
            ITEM_IDS,
            "items inside it that were already missing",
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
        may("calibrated", Kind::Text, "last calibration, in words"),
        note(),
    ],
};

pub(crate) static CORRELATION: Table = Table {
    name: "correlations",
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
        may("because", Kind::Text, "why"),
    ],
};

pub(crate) static PHOTO: Table = Table {
    name: "photos",
    doc: "one picture in photos/",
    keys: &[
        need("id", Kind::Id(Ids::Photos), "id"),
        need("file", Kind::PhotoFile, "file name inside photos/"),
        need("caption", Kind::Text, "caption"),
        may("scale", Kind::Inline(&SCALE), "a known length in view"),
        may("after", Kind::Ref(Ids::Steps), "taken after this step"),
        note(),
        may("regions", Kind::Tables(&REGION), "named rectangles"),
    ],
};

const PIXELS: f64 = 1e6;
const POINT: Kind = Kind::Row(
    &Kind::Number {
        low: 0.0,
        high: PIXELS,
    },
    2,
);

pub(crate) static SCALE: Table = Table {
    name: "photos.scale",
    doc: "two points a known distance apart",
    keys: &[
        need("from", POINT, "first point: x, y in pixels"),
        need("to", POINT, "second point: x, y in pixels"),
        need(
            "length",
            Kind::Quantity(&asked::LENGTH),
            "the distance between them",
        ),
    ],
};

pub(crate) static REGION: Table = Table {
    name: "photos.regions",
    doc: "a named rectangle in a picture",
    keys: &[
        need("id", Kind::Id(Ids::Regions), "id within the photo"),
        need(
            "rect",
            Kind::Row(&Kind::Whole { least: 0 }, 4),
            "left, top, width, height in pixels",
        ),
        may("item", Kind::Ref(Ids::Items), "the item seen there"),
        may(
            "outline",
            Kind::Boolean,
            "set when the rectangle is the outline of the item, along the sides of the picture: it is measured",
        ),
        may("caption", Kind::Text, "caption"),
    ],
};
