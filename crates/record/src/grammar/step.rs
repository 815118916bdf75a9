//! `[[steps]]`.

use super::{
    ITEM_IDS, Ids, Kind, Table, Thing, Word, asked, evidence, may, need, note, repair, word,
};

pub(crate) static STEP: Table = Table {
    name: "steps",
    thing: Thing::Step,
    natural: &["id"],
    doc: "one act of opening",
    keys: &[
        need("id", Kind::Id(Ids::Steps), "id"),
        need("action", Kind::Words(ACTIONS), "what was done"),
        need("text", Kind::Text, "in words"),
        may("on", Kind::Ref(Ids::Items), "item worked on"),
        may(
            "tool",
            Kind::Text,
            "tool (opening pick, hot plate, PH00 driver); by hand if not given",
        ),
        may(
            "temperature",
            Kind::Quantity(&asked::TEMPERATURE),
            "temperature",
        ),
        may("duration", Kind::Quantity(&asked::TIME), "duration"),
        may("started", Kind::Moment, "when it was begun"),
        may("stopped", Kind::Moment, "when it was finished"),
        may("fasteners", ITEM_IDS, "fasteners undone"),
        may(
            "fastener-count",
            Kind::Whole { least: 1 },
            "how many fasteners",
        ),
        may(
            "after",
            Kind::List(&Kind::Ref(Ids::Steps)),
            "steps that must come first; the one before if not given",
        ),
        may("frees", ITEM_IDS, "items freed"),
        may("destroys", ITEM_IDS, "items destroyed"),
        need("undo", Kind::Words(UNDO), "whether it can be undone"),
        may(
            "only-way",
            Kind::Boolean,
            "set when another way was looked for and there is none",
        ),
        may(
            "renews",
            Kind::List(&Kind::Text),
            "what must be new when it goes back (seal, thermal paste)",
        ),
        may(
            "renewal",
            Kind::Words(repair::RENEWALS),
            "whether that can be had",
        ),
        may(
            "tool-class",
            Kind::Words(repair::TOOL_CLASSES),
            "what kind of tool it is, where its name does not say so",
        ),
        may(
            "environment",
            Kind::Words(repair::ENVIRONMENTS),
            "where it can be done",
        ),
        may("skill", Kind::Words(repair::SKILLS), "who can do it"),
        may("hazards", Kind::List(&Kind::Words(HAZARDS)), "hazards"),
        may(
            "done",
            Kind::Boolean,
            "whether it has been done yet; true if not given",
        ),
        evidence(),
        note(),
    ],
};

pub(crate) const ACTIONS: &[Word] = &[
    word("heat", "heat"),
    word("pry", "pry"),
    word("unclip", "unclip"),
    word("unscrew", "unscrew"),
    word("peel", "peel"),
    word("unplug", "unplug"),
    word("unsolder", "unsolder"),
    word("cut", "cut"),
    word("lift", "lift"),
    word("pull", "pull"),
    word("dissolve", "dissolve"),
    word("weigh", "weigh"),
    word("other", "anything else"),
    word("unknown", "not known"),
];

pub(crate) const UNDO: &[Word] = &[
    word("yes", "goes back together as it was"),
    word("with-new-material", "goes back with new glue, tape or seal"),
    word("no", "cannot be undone"),
    word("unknown", "not known"),
];

pub(crate) const HAZARDS: &[Word] = &[
    word("lithium-cell", "a lithium cell can be hurt"),
    word("heat", "burns"),
    word("blade", "cuts"),
    word("charged-capacitor", "a capacitor can hold charge"),
    word("mains", "mains voltage"),
    word("laser", "laser light"),
    word("glass-splinters", "glass splinters"),
    word("solvent", "a solvent"),
    word("unknown", "not looked into"),
];
