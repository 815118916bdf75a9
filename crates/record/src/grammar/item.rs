//! `[[items]]` and its tables of facts.

use super::{
    ITEM_IDS, Ids, Kind, LENGTHS, Name, Names, ORIGINS, Table, Thing, Word, asked, evidence, link,
    may, need, note, word,
};

pub(crate) static ITEM: Table = Table {
    name: "items",
    thing: Thing::Item,
    natural: &["id"],
    doc: "one physical thing, or `count` equal ones, in or on its parent",
    keys: &[
        need("id", Kind::Id(Ids::Items), "id"),
        need("name", Kind::Text, "name for readers"),
        need("kind", Kind::Words(ITEM_KINDS), "what sort of thing"),
        may(
            "parent",
            Kind::Ref(Ids::Items),
            "the item it is in or on; only the product has none",
        ),
        may(
            "count",
            Kind::Count,
            "how many equal ones, or unknown; masses are per piece",
        ),
        may(
            "role",
            Kind::Text,
            "what it does here (charger, processor, motion sensor)",
        ),
        may(
            "role-origin",
            Kind::Words(ROLE_ORIGINS),
            "how the role is known; a role from the catalogue is no clue for the marking",
        ),
        may(
            "designator",
            Kind::Text,
            "reference printed beside it on the board (U5)",
        ),
        may(
            "spare",
            Kind::Text,
            "class of spare part (battery, port, display, shell), if it is one",
        ),
        may(
            "spare-class",
            Kind::Words(super::repair::SPARE_CLASSES),
            "which of the parts that regulations list it is, where the class does not say so",
        ),
        may("material", Kind::Text, "material"),
        may(
            "layers",
            Kind::Whole { least: 1 },
            "copper layers of a board",
        ),
        may("size", Kind::Named(&SIZE), "sizes by name"),
        may(
            "provides",
            Kind::List(&Kind::Text),
            "functions, interfaces and radio standards it gives the product",
        ),
        may(
            "provides-origin",
            Kind::Words(PROVIDES_ORIGINS),
            "how that is known; what the maker prints does not prove it",
        ),
        may(
            "protects",
            Kind::List(&Kind::Words(PROTECTIONS)),
            "what it does against hazards, all of it unless `unknown` is among them",
        ),
        may(
            "protects-origin",
            Kind::Words(PROVIDES_ORIGINS),
            "how that is known; what the maker prints does not prove it",
        ),
        may(
            "in-return-of",
            ITEM_IDS,
            "cells and contacts whose return current runs through it",
        ),
        evidence(),
        note(),
        may("part", Kind::Table(&PART), "for electronic parts"),
        may("cell", Kind::Table(&CELL), "for cells"),
        may(
            "fastener",
            Kind::Table(&FASTENER),
            "for fasteners and adhesives",
        ),
        may(
            "contact",
            Kind::Table(&link::CONTACT),
            "what faces the outside world here",
        ),
        may(
            "converts",
            Kind::Table(&link::CONVERSION),
            "how it turns its input power into its output power",
        ),
        may(
            "loads",
            Kind::Tables(&link::LOAD),
            "currents it draws by mode of use",
        ),
    ],
};

pub(crate) const ITEM_KINDS: &[Word] = &[
    word("product", "the whole product, root of the tree"),
    word("assembly", "several things that stay together"),
    word("board", "a circuit board"),
    word("flex", "a flexible circuit"),
    word("connector", "a connector"),
    word("part", "an electronic part"),
    word("cell", "a battery cell"),
    word("coil", "a coil"),
    word("antenna", "an antenna"),
    word("transducer", "a loudspeaker, microphone, motor or lamp"),
    word("sensor", "a sensor"),
    word("fastener", "a screw, clip or rivet"),
    word("adhesive", "glue or tape"),
    word("shell", "a piece of the housing"),
    word("cable", "a cable or wire"),
    word("other", "anything else"),
    word("unknown", "not known"),
];

pub(crate) const ROLE_ORIGINS: &[Word] = &[
    word(
        "seen",
        "seen on the thing itself: its place, traces, print, behaviour",
    ),
    word(
        "catalogue",
        "looked up for the part number it is decided to be",
    ),
    word("analyst", "judged by the analyst"),
    word("unknown", "not known"),
];

pub(crate) const PROVIDES_ORIGINS: &[Word] = &[
    word("seen", "seen on the thing itself"),
    word("measured", "tested here"),
    word("data-sheet", "from the data sheet of the part"),
    word("maker", "from what the maker of the product prints"),
    word("unknown", "not known"),
];

pub(crate) const PROTECTIONS: &[Word] = &[
    word("over-voltage", "switches off above a voltage"),
    word("clamp", "clamps a voltage"),
    word("discharge", "takes electrostatic discharges"),
    word("fuse", "melts"),
    word("resettable-fuse", "trips by heat and comes back"),
    word("over-current", "limits or switches off a current"),
    word("short-circuit", "switches off a short circuit"),
    word("reverse-current", "lets no current flow backwards"),
    word(
        "reverse-polarity",
        "stands a supply connected the wrong way round",
    ),
    word("charge-voltage", "holds a cell at its limit voltage"),
    word("over-charge", "ends a charge above a limit"),
    word("over-discharge", "ends a discharge below a limit"),
    word(
        "over-temperature",
        "ends a charge or discharge outside a range of temperature",
    ),
    word("none", "it or its data were looked at: nothing of these"),
    word("unknown", "whether it does more is not known"),
];

const fn length(name: &'static str, doc: &'static str) -> Name {
    Name {
        name,
        asked: &asked::LENGTH,
        doc,
    }
}

static SIZE: Names = Names {
    thing: Thing::Size,
    known: &[
        length(LENGTHS[0].word, LENGTHS[0].doc),
        length(LENGTHS[1].word, LENGTHS[1].doc),
        length(LENGTHS[2].word, LENGTHS[2].doc),
        length(LENGTHS[3].word, LENGTHS[3].doc),
        length(LENGTHS[4].word, LENGTHS[4].doc),
    ],
    open: false,
    inline: true,
};

pub(crate) static PART: Table = Table {
    name: "items.part",
    thing: Thing::Part,
    natural: &[],
    doc: "facts about an electronic part",
    keys: &[
        may(
            "marking",
            Kind::List(&Kind::Marking),
            "lines as seen: `?` unreadable, `[8B]` one of several",
        ),
        may("package", Kind::Text, "package (QFN-16, SOT-23-5)"),
        may("pins", Kind::Whole { least: 1 }, "number of pins"),
        may(
            "ratings-origin",
            Kind::Words(ORIGINS),
            "where the ratings are from",
        ),
        may(
            "identity",
            Kind::Table(&IDENTITY),
            "what it is decided to be",
        ),
        may("ratings", Kind::Named(&RATINGS), "ratings by name"),
    ],
};

const fn rating(name: &'static str, asked: &'static asked::Asked, doc: &'static str) -> Name {
    Name { name, asked, doc }
}

static RATINGS: Names = Names {
    thing: Thing::Rating,
    known: &[
        rating(
            "charge-current-limit",
            &asked::CURRENT,
            "greatest charge current",
        ),
        rating(
            "input-current-limit",
            &asked::CURRENT,
            "greatest input current",
        ),
        rating(
            "output-current-limit",
            &asked::CURRENT,
            "greatest output current",
        ),
        rating(
            "discharge-current-limit",
            &asked::CURRENT,
            "greatest discharge current that a cell bears",
        ),
        rating(
            "rated-current",
            &asked::CURRENT,
            "current that a fuse bears for long",
        ),
        rating(
            "trip-current",
            &asked::CURRENT,
            "current at which it trips or switches off",
        ),
        rating(
            "input-absolute-maximum",
            &asked::VOLTAGE,
            "input voltage never to exceed",
        ),
        rating(
            "over-voltage-threshold",
            &asked::VOLTAGE,
            "input voltage at which it switches off",
        ),
        rating(
            "stand-off-voltage",
            &asked::VOLTAGE,
            "working voltage of a protector",
        ),
        rating(
            "clamping-voltage",
            &asked::VOLTAGE,
            "voltage a protector lets through",
        ),
        rating(
            "efficiency",
            &asked::EFFICIENCY,
            "output power by input power",
        ),
        rating(
            "quiescent-current",
            &asked::CURRENT_DRAWN,
            "current drawn while idle",
        ),
        rating("memory-size", &asked::STEP_OF, "size of the memory"),
    ],
    open: true,
    inline: false,
};

pub(crate) static IDENTITY: Table = Table {
    name: "items.part.identity",
    thing: Thing::Identity,
    natural: &[],
    doc: "what a part is decided to be",
    keys: &[
        need("name", Kind::Text, "part number"),
        may("maker", Kind::Text, "its maker"),
        need("certainty", Kind::Words(CERTAINTY), "how sure"),
        may("because", Kind::Note, "why"),
        evidence(),
    ],
};

pub(crate) const CERTAINTY: &[Word] = &[
    word("read", "read from the marking"),
    word("inferred", "concluded from package, neighbours, traces"),
    word("assumed", "guessed from role or habit"),
    word("unknown", "how it is known was not noted"),
];

pub(crate) static CELL: Table = Table {
    name: "items.cell",
    thing: Thing::Cell,
    natural: &[],
    doc: "facts about a cell",
    keys: &[
        may("capacity", Kind::Quantity(&asked::CHARGE), "rated capacity"),
        may(
            "energy",
            Kind::Quantity(&asked::ENERGY),
            "energy printed on it",
        ),
        may(
            "nominal-voltage",
            Kind::Quantity(&asked::VOLTAGE),
            "nominal voltage",
        ),
        may(
            "limit-voltage",
            Kind::Quantity(&asked::VOLTAGE),
            "charge-limit voltage",
        ),
        may(
            "cutoff-voltage",
            Kind::Quantity(&asked::VOLTAGE),
            "end-of-discharge voltage",
        ),
        may(
            "charge-current",
            Kind::Quantity(&asked::CURRENT),
            "greatest charge current allowed",
        ),
        need("form", Kind::Words(FORMS), "form"),
        may(
            "series",
            Kind::Whole { least: 1 },
            "for a pack: cells in series; its figures are those of the pack",
        ),
        may(
            "parallel",
            Kind::Whole { least: 1 },
            "for a pack: cells side by side in each stage",
        ),
        may(
            "rechargeable",
            Kind::Boolean,
            "whether it can be charged; from the chemistry if not given",
        ),
        may(
            "lithium-content",
            Kind::Quantity(&asked::MASS),
            "lithium in a primary cell",
        ),
        may(
            "condition",
            Kind::Words(CELL_CONDITIONS),
            "what it looks like",
        ),
        may("chemistry", Kind::Text, "chemistry (Li-ion, LiFePO4)"),
        may(
            "origin",
            Kind::Words(ORIGINS),
            "where the figures are from; label if not given",
        ),
        may(
            "held",
            Kind::Text,
            "how it is held (pull tab, glued over the whole face, clip)",
        ),
        may(
            "connected",
            Kind::Text,
            "how it is connected (connector, soldered wires, spring contacts)",
        ),
    ],
};

const FORMS: &[Word] = &[
    word("pouch", "flat, in foil"),
    word("button", "a coin or button"),
    word("cylindrical", "a round can"),
    word("prismatic", "a flat can"),
    word("pack", "several cells built into one battery"),
    word("unknown", "not known"),
];

pub(crate) const CELL_CONDITIONS: &[Word] = &[
    word("sound", "no damage seen"),
    word("swollen", "puffed up"),
    word("leaking", "electrolyte outside"),
    word("damaged", "dented, pierced, torn or burnt"),
    word("unknown", "not looked at"),
];

pub(crate) static FASTENER: Table = Table {
    name: "items.fastener",
    thing: Thing::Fastener,
    natural: &[],
    doc: "facts about a fastener or adhesive",
    keys: &[
        need("sort", Kind::Words(SORTS), "sort"),
        may(
            "drive",
            Kind::Text,
            "drive of a screw (cross recess PH00, hexalobular T5)",
        ),
        may("reusable", Kind::Boolean, "whether it can be used again"),
    ],
};

const SORTS: &[Word] = &[
    word("screw", "a screw"),
    word("clip", "a clip or latch"),
    word("glue", "glue"),
    word("tape", "adhesive tape or foam"),
    word("press fit", "held by friction"),
    word("solder", "solder"),
    word("weld", "welded or heat-staked"),
    word("rivet", "a rivet"),
    word("magnet", "a magnet"),
    word("other", "anything else"),
    word("unknown", "not known"),
];
