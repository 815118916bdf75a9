//! `[[links]]`, contacts, conversions and loads.

use super::item::PROTECTIONS;
use super::{
    ITEM_IDS, Ids, Kind, ORIGINS, Table, Thing, Word, asked, evidence, may, need, note, word,
};

pub(crate) static LINK: Table = Table {
    name: "links",
    thing: Thing::Link,
    natural: &["from", "to", "kind", "net"],
    doc: "power or signal from one item to another, in the direction the power flows",
    keys: &[
        need("from", Kind::Ref(Ids::Items), "from this item"),
        need("to", Kind::Ref(Ids::Items), "to this item"),
        need("kind", Kind::Words(LINK_KINDS), "what runs here"),
        may("net", Kind::Text, "net or rail name"),
        may(
            "voltage",
            Kind::Quantity(&asked::VOLTAGE),
            "voltage on the link, where known",
        ),
        may(
            "current-limit",
            Kind::Quantity(&asked::CURRENT),
            "current limit of the link (fuse, connector)",
        ),
        may(
            "not-seen",
            Kind::List(&Kind::Words(PROTECTIONS)),
            "protections that were looked for along it and not seen",
        ),
        evidence(),
        note(),
    ],
};

pub(crate) const LINK_KINDS: &[Word] = &[
    word("power", "power"),
    word("signal", "a signal"),
    word("unknown", "not known"),
];

pub(crate) static CONTACT: Table = Table {
    name: "items.contact",
    thing: Thing::Contact,
    natural: &[],
    doc: "something that faces the outside world",
    keys: &[
        need("kind", Kind::Words(CONTACT_KINDS), "what it is"),
        may("rating", Kind::Rating, "rating printed for it"),
        may(
            "shares-with",
            ITEM_IDS,
            "contacts that it shares a limit with",
        ),
        may(
            "shared-limit",
            Kind::Quantity(&asked::POWER),
            "power that they give or take together at most",
        ),
    ],
};

pub(crate) const CONTACT_KINDS: &[Word] = &[
    word("socket", "a socket for a plug"),
    word("contacts", "bare contacts"),
    word("coil", "a coil for power without wires"),
    word("antenna", "an antenna"),
    word("button", "a button"),
    word("port-hole", "an opening"),
    word("unknown", "not known"),
];

pub(crate) static CONVERSION: Table = Table {
    name: "items.converts",
    thing: Thing::Conversion,
    natural: &[],
    doc: "how a part turns its input power into its output power",
    keys: &[
        need("kind", Kind::Words(CONVERSION_KINDS), "the principle"),
        may(
            "output-voltage",
            Kind::Quantity(&asked::VOLTAGE),
            "output voltage of a regulator",
        ),
        may(
            "efficiency",
            Kind::Quantity(&asked::EFFICIENCY),
            "efficiency of a switched or inductive converter",
        ),
        may(
            "output-current-limit",
            Kind::Quantity(&asked::CURRENT),
            "limit of the output (charge) current",
        ),
        may(
            "input-current-limit",
            Kind::Quantity(&asked::CURRENT),
            "limit of the input current",
        ),
        may(
            "output-power-limit",
            Kind::Quantity(&asked::POWER),
            "limit of the output power",
        ),
        may(
            "quiescent-current",
            Kind::Quantity(&asked::CURRENT_DRAWN),
            "current it draws while idle",
        ),
        may(
            "origin",
            Kind::Words(ORIGINS),
            "where the figures are from; data-sheet if not given",
        ),
    ],
};

pub(crate) const CONVERSION_KINDS: &[Word] = &[
    word("linear-charger", "passes current into a cell"),
    word("switched-charger", "passes energy × efficiency into a cell"),
    word("linear-regulator", "passes current at a lower voltage"),
    word("switched-regulator", "steps up or down"),
    word("inductive-receiver", "takes power without wires"),
    word(
        "switch",
        "a switch or protector: passes voltage and current",
    ),
    word("unknown", "not known"),
];

pub(crate) static LOAD: Table = Table {
    name: "items.loads",
    thing: Thing::Load,
    natural: &["mode"],
    doc: "current drawn in one mode of use",
    keys: &[
        need("mode", Kind::Text, "mode of use"),
        need(
            "current",
            Kind::Quantity(&asked::CURRENT_DRAWN),
            "current drawn from the cell or rail",
        ),
        may(
            "duty",
            Kind::Quantity(&asked::DUTY),
            "share of the time in that mode during which it is drawn",
        ),
        may("origin", Kind::Words(ORIGINS), "where it is from"),
        may(
            "instrument",
            Kind::Ref(Ids::Instruments),
            "what it was measured with",
        ),
        evidence(),
    ],
};

pub(crate) static MODE: Table = Table {
    name: "modes",
    thing: Thing::Mode,
    natural: &["name"],
    doc: "a mode of use: what is known of the currents in it",
    keys: &[
        need("name", Kind::Text, "name, as loads and readings use it"),
        may(
            "complete",
            Kind::Boolean,
            "whether the recorded currents are all that flows in it; unknown if not given",
        ),
        may(
            "share",
            Kind::Quantity(&asked::DUTY),
            "share of the time of ordinary use",
        ),
        evidence(),
        note(),
    ],
};
