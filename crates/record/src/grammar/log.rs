//! `[[logs]]`: what a meter recorded of a charge or a discharge, and what its columns are.

use super::{Ids, Kind, LOGS, ORIGINS, Table, Thing, Word, asked, evidence, may, need, note, word};

pub(crate) static LOG: Table = Table {
    name: "logs",
    thing: Thing::Logged,
    natural: &["id"],
    doc: "a charge or a discharge that a meter recorded",
    keys: &[
        need("id", Kind::Id(Ids::Logs), "id"),
        need("file", Kind::FileIn(LOGS), "file name inside logs/"),
        need("what", Kind::Words(LOG_KINDS), "what was recorded"),
        need("seat", Kind::Words(LOG_SEATS), "where the meter sat"),
        need(
            "item",
            Kind::Ref(Ids::Items),
            "the cell that was charged or discharged, or the product or part that the meter fed",
        ),
        may(
            "from",
            Kind::Words(LOG_STARTS),
            "state of the cell when it began; not known if not given",
        ),
        may("mode", Kind::Text, "mode of use, for a discharge in use"),
        may("instrument", Kind::Ref(Ids::Instruments), "the meter"),
        may("started", Kind::Moment, "when it was begun"),
        may(
            "origin",
            Kind::Words(ORIGINS),
            "where it is from; measured if not given",
        ),
        may(
            "columns",
            Kind::Table(&COLUMNS),
            "what its columns are; guessed from the file if not given",
        ),
        evidence(),
        note(),
    ],
};

pub(crate) const LOG_KINDS: &[Word] = &[
    word("charge", "a charge"),
    word("discharge", "a discharge"),
    word("unknown", "not noted; the log is kept and not used"),
];

pub(crate) const LOG_SEATS: &[Word] = &[
    word("cell", "at the cell or pack itself"),
    word("socket", "between source and product"),
    word("output", "between product and load"),
    word("unknown", "not known"),
];

pub(crate) const LOG_STARTS: &[Word] = &[
    word(
        "empty",
        "the product had switched itself off for want of charge",
    ),
    word("full", "charged until the charger ended it"),
    word("unknown", "not known"),
];

pub(crate) static COLUMNS: Table = Table {
    name: "logs.columns",
    thing: Thing::LogColumns,
    natural: &[],
    doc: "what stands where in the file; `underlid add log` writes down what it took them for",
    keys: &[
        may(
            "delimiter",
            Kind::Words(DELIMITERS),
            "what stands between cells; comma if not given",
        ),
        may(
            "decimal",
            Kind::Words(DECIMALS),
            "what begins the decimals; point if not given",
        ),
        may(
            "header",
            Kind::Whole { least: 1 },
            "line with the names of the columns",
        ),
        need(
            "first-row",
            Kind::Whole { least: 1 },
            "line of the first row of numbers",
        ),
        may(
            "sign",
            Kind::Words(SIGNS),
            "which way a positive current flows; told by the voltage if not given",
        ),
        may(
            "interval",
            Kind::Quantity(&asked::TIME),
            "time between rows, where no column holds a time",
        ),
        may("time", Kind::Inline(&TIME), "time of a row"),
        may("voltage", Kind::Inline(&COLUMN), "voltage"),
        may("current", Kind::Inline(&COLUMN), "current"),
        may("power", Kind::Inline(&COLUMN), "power"),
        may(
            "charge",
            Kind::Inline(&COLUMN),
            "charge counted by the meter",
        ),
        may(
            "energy",
            Kind::Inline(&COLUMN),
            "energy counted by the meter",
        ),
        may("temperature", Kind::Inline(&COLUMN), "temperature"),
    ],
};

pub(crate) const DELIMITERS: &[Word] = &[
    word("comma", "`,`"),
    word("semicolon", "`;`"),
    word("tab", "the tab character"),
    word("bar", "`|`"),
    word("blanks", "one or more blanks"),
];

pub(crate) const DECIMALS: &[Word] = &[word("point", "`3.7`"), word("comma", "`3,7`")];

pub(crate) const SIGNS: &[Word] = &[
    word("as-written", "into the cell or product"),
    word("turned", "out of it"),
    word(
        "by-voltage",
        "charging is the way in which the voltage rises",
    ),
];

pub(crate) static TIME: Table = Table {
    name: "logs.columns.time",
    thing: Thing::LogColumn,
    natural: &[],
    doc: "where the time of a row stands, and how it is written",
    keys: &[
        need("column", Kind::Whole { least: 1 }, "its column, from 1"),
        need("form", Kind::Words(TIME_FORMS), "how it is written"),
        may("unit", Kind::Text, "unit of a number: s, ms, min, h or d"),
        may(
            "clock",
            Kind::Whole { least: 1 },
            "column of the time of day, where the date has one of its own",
        ),
    ],
};

pub(crate) const TIME_FORMS: &[Word] = &[
    word("number", "a number in a unit"),
    word("clock", "h:mm:ss"),
    word("minutes", "m:ss"),
    word("day-first", "date and time, the day before the month"),
    word("month-first", "date and time, the month before the day"),
];

pub(crate) static COLUMN: Table = Table {
    name: "logs.columns.column",
    thing: Thing::LogColumn,
    natural: &[],
    doc: "one column of numbers",
    keys: &[
        need(
            "column",
            Kind::Whole { least: 1 },
            "its place in a row, from 1",
        ),
        need(
            "unit",
            Kind::Text,
            "unit of its numbers: V, mV, A, mA, W, mAh, Wh, °C and the like",
        ),
    ],
};
