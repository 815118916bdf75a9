//! The table behind the schema of tables and charts: cells, columns, axes, points.

use super::shapes::{Shape, WordList};

/// Fixed words of tables and charts.
pub(super) const WORDS: &[WordList] = &[
    WordList {
        name: "Kind",
        about: "What the cells of a column hold, unless they hold words or nothing.",
        words: &[
            "words",
            "count",
            "number",
            "quantity",
            "date",
            "probability",
            "verdict",
            "place",
        ],
    },
    WordList {
        name: "Sense",
        about: "Whether a number is the number itself or a limit of it.",
        words: &["exactly", "about", "up-to", "at-least", "between"],
    },
    WordList {
        name: "Between",
        about: "What is printed between the things of a list.",
        words: &["comma", "semicolon", "space"],
    },
    WordList {
        name: "RowsOf",
        about: "What the rows of a table are.",
        words: &[
            "paths", "voltages", "sums", "cells", "hazards", "margins", "outside", "costs",
        ],
    },
    WordList {
        name: "Form",
        about: "How a chart is drawn.",
        words: &[
            "parts",
            "bars",
            "intervals",
            "lines",
            "steps",
            "ratios",
            "octaves",
        ],
    },
    WordList {
        name: "Standing",
        about: "How a point stands out from the others.",
        words: &["plain", "inferred", "contradicted"],
    },
];

/// Tables and charts.
pub(super) const SHAPES: &[Shape] = &[
    Shape {
        name: "Rows",
        about: "A table whose rows tell findings of one kind.",
        tag: Some("rows"),
        fields: &[
            ("of", "RowsOf", "What its rows are."),
            ("table", "PlainTable", "The table."),
        ],
    },
    Shape {
        name: "PlainTable",
        about: "The table of rows.",
        tag: None,
        fields: &[
            ("caption", "text", "Caption."),
            ("columns", "[Column]", "Columns."),
            ("rows", "[[Cell]]", "Cells, row by row."),
        ],
    },
    Shape {
        name: "Table",
        about: "Any other table.",
        tag: Some("table"),
        fields: &[
            ("caption", "text", "Caption."),
            ("columns", "[Column]", "Columns."),
            ("rows", "[[Cell]]", "Cells, row by row."),
        ],
    },
    Shape {
        name: "Column",
        about: "One column of a table.",
        tag: None,
        fields: &[
            ("heading", "text", "Heading, without unit."),
            (
                "unit",
                "text?",
                "The unit of every cell in it, where there is one.",
            ),
            ("kind", "Kind", "What its cells hold."),
        ],
    },
    Shape {
        name: "Chart",
        about: "A chart; all values are in the unit of the value axis.",
        tag: Some("chart"),
        fields: &[
            ("caption", "text", "Caption."),
            ("form", "Form", "How it is drawn."),
            ("values", "Axis", "What the values are."),
            ("over", "Axis?", "What they are drawn over."),
            ("series", "[Series]", "The series in order."),
            (
                "divisions",
                "[Division]",
                "Named parts of the axis that values are drawn over.",
            ),
        ],
    },
    Shape {
        name: "Division",
        about: "A named part of an axis, to where the next one begins.",
        tag: None,
        fields: &[
            ("at", "number", "Where it begins, in the unit of the axis."),
            ("words", "text", "What it is called."),
        ],
    },
    Shape {
        name: "Axis",
        about: "What an axis measures.",
        tag: None,
        fields: &[
            ("quantity", "text", "The quantity."),
            ("unit", "text", "Symbol of the unit."),
        ],
    },
    Shape {
        name: "Series",
        about: "Points that belong together.",
        tag: None,
        fields: &[
            ("words", "text", "Its name; may be empty."),
            ("points", "[Point]", "The points in order."),
        ],
    },
    Shape {
        name: "Point",
        about: "One value of a chart.",
        tag: None,
        fields: &[
            ("words", "text", "What it is the value of."),
            ("place", "text?", "Where that stands in the record."),
            (
                "level",
                "whole",
                "Level in a tree of parts, 0 for the whole.",
            ),
            (
                "at",
                "number?",
                "Position on the axis that values are drawn over.",
            ),
            ("value", "number", "The value."),
            ("low", "number?", "Lower end of its whisker or interval."),
            ("high", "number?", "Upper end of its whisker or interval."),
            ("limit", "number?", "The limit it stands against."),
            ("standing", "Standing", "How it stands out."),
            ("remark", "text", "Words beside the value."),
        ],
    },
    Shape {
        name: "Written",
        about: "How somebody wrote a figure.",
        tag: None,
        fields: &[
            ("text", "text", "The text."),
            ("decimals", "whole", "Decimals of the figure in it."),
        ],
    },
];

/// The kinds of cell; the tag is the value of `cell`.
pub(super) const CELLS: &[Shape] = &[
    Shape {
        name: "NothingCell",
        about: "Nothing.",
        tag: Some("nothing"),
        fields: &[],
    },
    Shape {
        name: "WordsCell",
        about: "Words.",
        tag: Some("words"),
        fields: &[("words", "text", "The words.")],
    },
    Shape {
        name: "CountCell",
        about: "How many of something.",
        tag: Some("count"),
        fields: &[("count", "whole", "The count.")],
    },
    Shape {
        name: "NumberCell",
        about: "A number without unit, or in the unit of its column.",
        tag: Some("number"),
        fields: &[
            ("value", "number", "The number."),
            ("decimals", "whole", "Decimals shown."),
            ("sense", "Sense", "The number itself or a limit of it."),
            (
                "signed",
                "truth",
                "Whether a positive number shows its sign.",
            ),
        ],
    },
    Shape {
        name: "QuantityCell",
        about: "A value with its unit.",
        tag: Some("quantity"),
        fields: &[
            ("value", "number", "The value."),
            (
                "standard-uncertainty",
                "number?",
                "Standard uncertainty, in the unit.",
            ),
            (
                "interval",
                "Interval?",
                "95 % interval, in the unit, half of which is printed behind ±.",
            ),
            ("unit", "text", "Symbol of the unit."),
            ("written", "Written?", "The figure as somebody wrote it."),
        ],
    },
    Shape {
        name: "DateCell",
        about: "The days that something may have been, both included.",
        tag: Some("date"),
        fields: &[
            ("first", "text", "The first day."),
            (
                "last",
                "text",
                "The last day; the first one where the day is known.",
            ),
        ],
    },
    Shape {
        name: "ProbabilityCell",
        about: "A probability.",
        tag: Some("probability"),
        fields: &[("probability", "probability", "0 to 1.")],
    },
    Shape {
        name: "VerdictCell",
        about: "A decision.",
        tag: Some("verdict"),
        fields: &[("verdict", "Verdict", "The decision.")],
    },
    Shape {
        name: "PlaceCell",
        about: "A place in the record.",
        tag: Some("place"),
        fields: &[
            ("place", "text", "The place."),
            ("words", "text", "The words shown for it."),
        ],
    },
    Shape {
        name: "NamedCell",
        about: "Something with its name before it.",
        tag: Some("named"),
        fields: &[
            ("name", "text", "The name."),
            ("of", "Cell", "What it is the name of."),
        ],
    },
    Shape {
        name: "ListCell",
        about: "Several things.",
        tag: Some("list"),
        fields: &[
            ("cells", "[Cell]", "The things in order."),
            ("between", "Between", "What is printed between them."),
        ],
    },
];
