//! The table behind the schema of the findings: every object, field, kind and meaning.

/// One object of the format.
pub(super) struct Shape {
    /// Name of the definition.
    pub(super) name: &'static str,
    /// Meaning.
    pub(super) about: &'static str,
    /// Value of `detail` or `cell`, for the kinds of these.
    pub(super) tag: Option<&'static str>,
    /// Field name, kind, meaning.
    pub(super) fields: &'static [(&'static str, &'static str, &'static str)],
}

/// One list of fixed words.
pub(super) struct WordList {
    /// Name of the definition.
    pub(super) name: &'static str,
    /// Meaning.
    pub(super) about: &'static str,
    /// The words.
    pub(super) words: &'static [&'static str],
}

/// Fixed words.
pub(super) const WORDS: &[WordList] = &[
    WordList {
        name: "Verdict",
        about: "A decision.",
        words: &["holds", "fails", "undecided", "needs-evidence"],
    },
    WordList {
        name: "Origin",
        about: "Where a number comes from.",
        words: &[
            "label",
            "measured",
            "data-sheet",
            "estimated",
            "standard",
            "assumed",
            "derived",
            "unknown",
        ],
    },
    WordList {
        name: "ItemKind",
        about: "What a thing is.",
        words: &[
            "product",
            "assembly",
            "board",
            "flex",
            "connector",
            "part",
            "cell",
            "coil",
            "antenna",
            "transducer",
            "sensor",
            "fastener",
            "adhesive",
            "shell",
            "cable",
            "other",
            "unknown",
        ],
    },
    WordList {
        name: "OpenReason",
        about: "Why a claim is not decided.",
        words: &[
            "repeated-not-tested",
            "not-testable",
            "not-measured",
            "limit-inside-uncertainty",
            "identity-unsure",
            "record-contradicts",
            "refutes-only",
            "not-tried",
            "other-products",
            "not-understood",
        ],
    },
    WordList {
        name: "WayStanding",
        about: "What is known of a way on which nothing on record stops a hazard.",
        words: &["unguarded", "not-seen", "not-looked-for"],
    },
    WordList {
        name: "PathRole",
        about: "What an item does on the power path.",
        words: &["contact", "converter", "cell", "load", "pass", "unknown"],
    },
    WordList {
        name: "Certainty",
        about: "How sure the record is of an identity.",
        words: &["unknown", "assumed", "inferred", "read"],
    },
    WordList {
        name: "Action",
        about: "What was done in a step.",
        words: &[
            "heat", "pry", "unclip", "unscrew", "peel", "unplug", "unsolder", "cut", "lift",
            "pull", "dissolve", "weigh", "other", "unknown",
        ],
    },
    WordList {
        name: "Undo",
        about: "Whether a step can be undone.",
        words: &["yes", "with-new-material", "no", "unknown"],
    },
];

/// Objects.
pub(super) const SHAPES: &[Shape] = &[
    Shape {
        name: "Findings",
        about: "All answers about one dossier.",
        tag: None,
        fields: &[
            ("format", "whole", "Version of this format: 2."),
            ("product", "text", "Product name."),
            ("edition", "Edition?", "The version they were published as."),
            (
                "findings",
                "[Finding]",
                "The answers in the order of the day.",
            ),
        ],
    },
    Shape {
        name: "Edition",
        about: "One version of a report.",
        tag: None,
        fields: &[
            ("version", "whole", "1 for the first publication."),
            ("date", "text?", "The day it was published, as 2026-03-14."),
            ("corrects", "Earlier?", "The version that it corrects."),
            ("reason", "text?", "Why, in the author's words."),
            (
                "corrections",
                "[Correction]",
                "What is another than in the version before, verdicts first.",
            ),
            (
                "before",
                "[Corrected]",
                "The corrections before these, the first one first.",
            ),
        ],
    },
    Shape {
        name: "Corrected",
        about: "A version that corrected another, as later ones tell of it.",
        tag: None,
        fields: &[
            ("version", "whole", "Its number."),
            ("date", "text?", "The day it was published, where known."),
            ("reason", "text?", "Why, in the author's words."),
            ("corrections", "[Correction]", "What it corrected."),
        ],
    },
    Shape {
        name: "Earlier",
        about: "The version before.",
        tag: None,
        fields: &[
            ("version", "whole", "Its number."),
            ("date", "text?", "The day it was published, where known."),
        ],
    },
    Shape {
        name: "Correction",
        about: "A verdict or a figure that is another than before.",
        tag: None,
        fields: &[
            ("finding", "FindingId", "The finding."),
            ("title", "text", "Its heading."),
            ("figure", "text?", "Which figure; null for the verdict."),
            ("was", "text?", "What the version before says."),
            ("now", "text?", "What this one says."),
        ],
    },
    Shape {
        name: "Finding",
        about: "One answer with what it rests on.",
        tag: None,
        fields: &[
            ("id", "FindingId", "What tells it apart from all others."),
            ("title", "text", "Heading."),
            ("about", "Place?", "What it is about."),
            ("verdict", "Verdict?", "The decision, where there is one."),
            (
                "conformance",
                "probability?",
                "Probability that the statement is true.",
            ),
            (
                "judgement",
                "Judgement?",
                "Of a claim: what was found beside what is said.",
            ),
            (
                "told-in",
                "RowsOf?",
                "The table in which a row says it beside others of its kind.",
            ),
            ("sentence", "text", "The answer in a sentence."),
            ("figures", "[KeyedFigure]", "Figures with their working."),
            ("details", "[Detail]", "Tables, parts lists, diagrams."),
            ("evidence", "[Place]", "Places it rests on."),
            ("missing", "[Missing]", "What is missing and how to get it."),
            ("assumptions", "[text]", "What was assumed."),
            (
                "sources",
                "[text]",
                "Publications and common practice used.",
            ),
            ("cautions", "[text]", "Cautions."),
            ("unused", "[text]", "What could not be used and why."),
        ],
    },
    Shape {
        name: "Judgement",
        about: "How a claim came out, part by part.",
        tag: None,
        fields: &[
            ("meaning", "text?", "How the claim is read."),
            ("found", "Cell", "What was found."),
            ("how", "text", "How it was found."),
            ("limits", "Limits?", "What a figure has to keep."),
            (
                "open",
                "OpenReason?",
                "Why nothing is decided, where nothing is.",
            ),
            ("why", "text", "Why it came out so."),
        ],
    },
    Shape {
        name: "Limits",
        about: "Limits that the true value of a figure has to keep.",
        tag: None,
        fields: &[
            ("unit", "text", "The unit of the claim."),
            ("low", "number?", "The least value that keeps it."),
            ("high", "number?", "The greatest value that keeps it."),
            ("tolerance", "number", "Width allowed around the figure."),
            ("granted", "text", "What is allowed, in words."),
        ],
    },
    Shape {
        name: "KeyedFigure",
        about: "A figure with what tells it apart from the others of its finding.",
        tag: None,
        fields: &[
            ("key", "FigureKey", "What tells it apart."),
            ("figure", "Figure", "The figure."),
        ],
    },
    Shape {
        name: "Figure",
        about: "One result; numbers are in its unit.",
        tag: None,
        fields: &[
            ("name", "text", "What it is."),
            ("value", "number", "The value."),
            (
                "standard-uncertainty",
                "number?",
                "Standard uncertainty; null where there is none.",
            ),
            (
                "degrees-of-freedom",
                "number?",
                "Effective degrees of freedom; null if infinite.",
            ),
            ("interval", "Interval", "Coverage interval."),
            ("unit", "text", "Symbol of the unit."),
            (
                "text",
                "text",
                "Value and 95 % interval as printed; ± is half of it.",
            ),
            ("working", "[text]", "The working, line by line."),
            (
                "inputs",
                "[Input]",
                "The inputs, greatest share of the variance first.",
            ),
            ("notes", "[text]", "Warnings."),
            ("method", "text", "How the interval was found."),
        ],
    },
    Shape {
        name: "Interval",
        about: "A coverage interval.",
        tag: None,
        fields: &[
            ("probability", "probability", "Coverage probability."),
            (
                "low",
                "number?",
                "Lower end, in the figure's unit; null if unbounded.",
            ),
            (
                "high",
                "number?",
                "Upper end, in the figure's unit; null if unbounded.",
            ),
        ],
    },
    Shape {
        name: "Input",
        about: "One named input of a figure.",
        tag: None,
        fields: &[
            ("name", "text", "Name in the formula."),
            ("text", "text", "Value and 95 % interval as printed."),
            ("source", "Source", "Where it comes from."),
            (
                "variance-share",
                "number?",
                "Share of the result's variance, first order.",
            ),
        ],
    },
    Shape {
        name: "Source",
        about: "Where a number comes from.",
        tag: None,
        fields: &[
            ("origin", "Origin", "The kind of origin."),
            (
                "evidence",
                "[Place]",
                "Places in the record, photographs, logs, publications.",
            ),
            ("note", "text", "A note for the reader; may be empty."),
        ],
    },
    Shape {
        name: "Missing",
        about: "A measurement that would help.",
        tag: None,
        fields: &[
            ("measure", "text", "What to measure."),
            (
                "resolution",
                "text?",
                "The resolution or accuracy that would settle it.",
            ),
            (
                "before-step",
                "Place?",
                "The step before which it must be done.",
            ),
            (
                "too-late",
                "truth",
                "Whether it is already too late on this sample.",
            ),
            (
                "settles",
                "Place?",
                "The claim it is for, where the finding is not about it.",
            ),
        ],
    },
    Shape {
        name: "Masses",
        about: "Masses, one row per item.",
        tag: Some("masses"),
        fields: &[("rows", "[MassRow]", "Rows in tree order.")],
    },
    Shape {
        name: "MassRow",
        about: "One item's mass; pairs are value and standard uncertainty in grams.",
        tag: None,
        fields: &[
            ("item", "text", "Item id."),
            ("name", "text", "Item name."),
            ("depth", "whole", "Depth in the tree, 0 for the root."),
            ("parent", "text?", "Parent item id."),
            ("measured", "pair?", "As weighed, g."),
            ("adjusted", "pair?", "After reconciling all weighings, g."),
            ("z", "number?", "Measurement-test statistic of the reading."),
            ("flagged", "truth", "Whether the reading is flagged."),
            (
                "inferred",
                "truth",
                "Whether the mass is inferred, not weighed.",
            ),
        ],
    },
    Shape {
        name: "Power",
        about: "The power path.",
        tag: Some("power"),
        fields: &[
            ("nodes", "[PowerNode]", "Items on the path."),
            ("edges", "[PowerEdge]", "Links in the direction of flow."),
        ],
    },
    Shape {
        name: "PowerNode",
        about: "One item on the power path.",
        tag: None,
        fields: &[
            ("item", "text", "Item id."),
            ("name", "text", "Name."),
            ("sort", "PathRole", "What it does on the path."),
            ("group", "text?", "Assembly it is in."),
            (
                "limits",
                "[Cell]",
                "What it gives, takes and stands, each with its name.",
            ),
            ("binds", "truth", "Whether it binds the path."),
        ],
    },
    Shape {
        name: "PowerEdge",
        about: "One power link.",
        tag: None,
        fields: &[
            ("from", "text", "From item id."),
            ("to", "text", "To item id."),
            ("net", "Cell", "Net."),
            ("volts", "Cell", "Volts, as measured, stated or following."),
            ("limit", "Cell", "Current that the link is rated for."),
            ("amps", "Cell", "The most amperes, or the range drawn."),
            ("watts", "Cell", "The most watts, or the range drawn."),
            ("binds", "truth", "Whether it binds the path."),
        ],
    },
    Shape {
        name: "Signals",
        about: "Who talks to whom.",
        tag: Some("signals"),
        fields: &[
            ("nodes", "[SignalNode]", "Items on a signal link."),
            ("edges", "[SignalEdge]", "Links as recorded."),
        ],
    },
    Shape {
        name: "SignalNode",
        about: "One item on a signal link.",
        tag: None,
        fields: &[
            ("item", "text", "Item id."),
            ("name", "text", "Name."),
            ("group", "text?", "Assembly it is in."),
            (
                "outside",
                "Cell",
                "How it faces the outside; nothing for what stays inside.",
            ),
        ],
    },
    Shape {
        name: "SignalEdge",
        about: "One signal link.",
        tag: None,
        fields: &[
            ("from", "text", "From item id."),
            ("to", "text", "To item id."),
            ("net", "Cell", "Net or bus."),
        ],
    },
    Shape {
        name: "Parts",
        about: "The parts list.",
        tag: Some("parts"),
        fields: &[("rows", "[PartRow]", "Rows in tree order.")],
    },
    Shape {
        name: "PartRow",
        about: "One line of the parts list.",
        tag: None,
        fields: &[
            ("item", "text", "Item id."),
            ("name", "text", "Name."),
            ("kind", "ItemKind", "Kind of item."),
            ("on", "text", "Board or assembly it sits on."),
            (
                "count",
                "Cell",
                "Total count in the product; in words where not stated.",
            ),
            ("role", "text", "Role."),
            ("marking", "text", "Marking lines as seen."),
            ("package", "text", "Package."),
            ("identity", "text", "Part number it is taken for."),
            ("maker", "text", "Maker of the part."),
            (
                "certainty",
                "Certainty?",
                "How sure the record is of the identity.",
            ),
            (
                "probability",
                "number?",
                "Probability of the identity by its marking and a catalogue.",
            ),
            ("ratings", "Cell", "Ratings, with their names."),
            ("evidence", "[Place]", "Places in the record."),
        ],
    },
    Shape {
        name: "Steps",
        about: "The opening.",
        tag: Some("steps"),
        fields: &[("rows", "[StepRow]", "Rows in order.")],
    },
    Shape {
        name: "StepRow",
        about: "One step of opening.",
        tag: None,
        fields: &[
            ("number", "whole", "Number, from 1."),
            ("step", "text", "Step id."),
            ("action", "Action", "Action."),
            ("text", "text", "In words."),
            ("tool", "text", "Tool."),
            ("temperature", "Cell", "Temperature."),
            ("duration-min", "number?", "Duration, minutes."),
            ("fasteners", "Cell", "Fasteners undone."),
            ("frees", "[text]", "Names of items freed."),
            ("destroys", "[text]", "Names of things destroyed."),
            ("undo", "Undo", "Whether it can be undone."),
            ("cautions", "[text]", "Cautions at this step."),
        ],
    },
    Shape {
        name: "Way",
        about: "A way on which nothing on record stops a hazard.",
        tag: Some("way"),
        fields: &[
            ("hazard", "text", "The hazard."),
            ("items", "[text]", "Items on the way, by id."),
            ("standing", "WayStanding", "What is known of it."),
        ],
    },
    Shape {
        name: "Marks",
        about: "What was marked on a photograph.",
        tag: Some("marks"),
        fields: &[
            ("photo", "text", "Photo id."),
            ("marks", "[Mark]", "Marks in the order of the record."),
        ],
    },
    Shape {
        name: "Mark",
        about: "What was marked to measure one thing, in pixels from the top left corner.",
        tag: None,
        fields: &[
            ("measure", "text", "Measure id."),
            ("item", "text?", "Item id."),
            ("words", "text", "What came out."),
            (
                "line",
                "[pair]",
                "The line measured: x and y of its points.",
            ),
            ("points", "[pair]", "The points marked: x and y of each."),
        ],
    },
];
