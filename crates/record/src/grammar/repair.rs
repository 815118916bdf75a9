//! `[repair]` and `[[repair-facts]]`.

use super::{Ids, Kind, Table, Thing, Word, asked, evidence, may, need, note, word};

/// Points that a regulation gives for one criterion, as its reader found them.
const POINTS: Kind = Kind::Number {
    low: 1.0,
    high: 5.0,
};

/// One weight of a listed part.
const WEIGHT: Kind = Kind::Number {
    low: 0.0,
    high: 100.0,
};

pub(crate) static REPAIR: Table = Table {
    name: "repair",
    thing: Thing::Repair,
    natural: &[],
    doc: "which rules on repair hold for the product",
    keys: &[
        may(
            "product",
            Kind::Words(REPAIR_PRODUCTS),
            "the kind of product, for rules that hold for one kind alone",
        ),
        may(
            "exempt",
            Kind::Words(BATTERY_EXEMPTIONS),
            "what exempts it from batteries that users replace",
        ),
        may(
            "last-sold",
            Kind::Date,
            "the day the last unit is placed on the market; years of support count from it",
        ),
        may(
            "lacks",
            Kind::List(&Kind::Words(SPARE_CLASSES)),
            "listed parts that it has none of",
        ),
        may(
            "points-spares",
            POINTS,
            "points of the index for spare parts, read in the regulation by the analyst",
        ),
        may(
            "points-software",
            POINTS,
            "points of the index for software updates, read in the regulation by the analyst",
        ),
        may(
            "points-information",
            POINTS,
            "points of the index for repair information, read in the regulation by the analyst",
        ),
        may(
            "part-weights",
            Kind::List(&WEIGHT),
            "ten weights of the parts of a phone that folds, in percent, read in the regulation: battery, display, hinge, \
             back cover, front camera, rear camera, charging port, buttons, microphones, speaker",
        ),
        may(
            "read-batteries",
            Kind::Text,
            "edition and day in which the analyst read Regulation (EU) 2023/1542, article 11, and found it as stated here",
        ),
        may(
            "read-phones",
            Kind::Text,
            "the same for Regulation (EU) 2023/1670, annex II",
        ),
        may(
            "read-index",
            Kind::Text,
            "the same for Delegated Regulation (EU) 2023/1669, annex IV point 5",
        ),
        note(),
    ],
};

pub(crate) static REPAIR_FACT: Table = Table {
    name: "repair-facts",
    thing: Thing::RepairFact,
    natural: &["what", "of"],
    doc: "what the maker offers for repair, or keeps from it, with source and day",
    keys: &[
        need("what", Kind::Words(REPAIR_FACTS), "what is told"),
        may(
            "of",
            Kind::Ref(Ids::Items),
            "the part it is about; the product if not given",
        ),
        may("is", Kind::Words(YES_NO), "whether it is so"),
        may("until", Kind::Date, "until when"),
        may("price", Kind::Quantity(&asked::MONEY), "what one costs"),
        may("to", Kind::Words(REPAIR_AUDIENCES), "who gets it"),
        need("source", Kind::Text, "where it is from"),
        need("date", Kind::Date, "the day it was looked up or tried"),
        evidence(),
        note(),
    ],
};

pub(crate) const REPAIR_PRODUCTS: &[Word] = &[
    word("smartphone", "a smartphone"),
    word("foldable-smartphone", "a smartphone that folds"),
    word("mobile-phone", "a mobile phone other than a smartphone"),
    word("tablet", "a slate tablet"),
    word("other", "anything else"),
    word("unknown", "not known"),
];

pub(crate) const BATTERY_EXEMPTIONS: &[Word] = &[
    word("none", "nothing"),
    word("wet", "it is made to be washed or rinsed"),
    word("medical", "it is a medical device of the kind named"),
    word("supply", "it must be supplied without a break"),
    word("unknown", "not known"),
];

pub(crate) const REPAIR_FACTS: &[Word] = &[
    word("spare", "a spare part is offered; needs is or until"),
    word("manual", "instructions for repair are public; needs is"),
    word("software", "software updates are promised; needs until"),
    word(
        "serial-lock",
        "a part works only where the maker lets it; needs of and is",
    ),
    word("spare-price", "a spare part costs; needs of and price"),
];

pub(crate) const YES_NO: &[Word] = &[
    word("yes", "it is so"),
    word("no", "it is not so"),
    word("unknown", "not known"),
];

pub(crate) const REPAIR_AUDIENCES: &[Word] = &[
    word("everyone", "anybody"),
    word("repairers", "professional repairers"),
    word("authorised", "those whom the maker chose"),
    word("unknown", "not known"),
];

/// Parts that regulations on repair list.
pub(crate) const SPARE_CLASSES: &[Word] = &[
    word("battery", "battery"),
    word("display", "display assembly"),
    word("back-cover", "back cover or back cover assembly"),
    word("front-camera", "front camera"),
    word("rear-camera", "rear camera"),
    word("charging-port", "external charging port"),
    word("button", "mechanical button"),
    word("microphone", "main microphone"),
    word("speaker", "speaker"),
    word("audio-connector", "external audio connector"),
    word("hinge", "hinge assembly"),
    word("folding-mechanism", "mechanical folding mechanism"),
    word("other", "none that regulations list"),
];

pub(crate) const TOOL_CLASSES: &[Word] = &[
    word("none", "no tool"),
    word(
        "basic",
        "a basic tool: screwdriver, tweezers, spudger, pick",
    ),
    word("supplied-with-part", "comes with the spare part"),
    word("supplied-with-product", "comes with the product"),
    word("product-group", "made for this group of products"),
    word("commercial", "anybody can buy it"),
    word("proprietary", "only the maker has it or gives it out"),
    word("none-exists", "no tool that exists does it"),
    word("unknown", "not known"),
];

pub(crate) const ENVIRONMENTS: &[Word] = &[
    word("use", "where the product is used"),
    word("workshop", "a workshop"),
    word("production", "as where the product is made"),
    word("unknown", "not known"),
];

pub(crate) const SKILLS: &[Word] = &[
    word("layman", "anybody"),
    word("generalist", "someone who repairs such things in general"),
    word("expert", "someone trained on such products"),
    word("maker", "the maker, or whom the maker authorised"),
    word("not-feasible", "nobody can"),
    word("unknown", "not known"),
];

pub(crate) const RENEWALS: &[Word] = &[
    word("with-part", "comes with the spare part"),
    word("bought", "can be bought by anybody"),
    word("none", "cannot be had"),
    word("unknown", "not known"),
];
