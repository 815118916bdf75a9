//! `[[claims]]`, and what each kind of claim has to state.

use super::asked::{self, Asked};
use super::{Ids, Kind, LENGTHS, Table, Thing, Word, evidence, may, need, note, word};

pub(crate) static CLAIM: Table = Table {
    name: "claims",
    thing: Thing::Claim,
    natural: &["id"],
    doc: "one sentence the maker prints, word for word, and what it says",
    keys: &[
        need("id", Kind::Id(Ids::Claims), "id"),
        need("text", Kind::Text, "the sentence, word for word"),
        need(
            "printed",
            Kind::Text,
            "where it is printed (front of the box)",
        ),
        need("kind", Kind::Words(CLAIM_KINDS), "the kind of statement"),
        may(
            "says",
            Kind::Inline(&SUBJECT),
            "what it is about; the whole product if not given",
        ),
        may(
            "value",
            Kind::Quantity(&asked::ANY),
            "the figure with its sense (up to 40 h)",
        ),
        may("rating", Kind::Rating, "an electrical rating (9 V ⎓ 2 A)"),
        may(
            "names",
            Kind::Text,
            "the part, interface, radio standard, function or ingress code",
        ),
        may(
            "role",
            Kind::Text,
            "role of the part it names (motion sensor)",
        ),
        may("maker", Kind::Text, "maker of the part it names"),
        may(
            "leads",
            Kind::Words(LEADS),
            "what it is said to be foremost in (lightest)",
        ),
        may(
            "among",
            Kind::Words(SCOPES),
            "among which products it is said to be first or foremost; those of its class if not given",
        ),
        may(
            "at-voltage",
            Kind::Quantity(&asked::VOLTAGE),
            "voltage that a capacity is stated for",
        ),
        may(
            "our-reading",
            Kind::Boolean,
            "set when the figure is our reading of a sentence that does not print it",
        ),
        may(
            "after",
            Kind::Quantity(&asked::RUN_TIME),
            "charging time of a quick-charge claim",
        ),
        may(
            "tolerance",
            Kind::Quantity(&asked::TOLERANCE),
            "tolerance the reader is granted (5 %, 0.5 g)",
        ),
        evidence(),
        note(),
    ],
};

pub(crate) static SUBJECT: Table = Table {
    name: "claims.says",
    thing: Thing::ClaimSubject,
    natural: &[],
    doc: "what a claim is about",
    keys: &[
        may(
            "item",
            Kind::Ref(Ids::Items),
            "the item it is about; the whole product if not given",
        ),
        may("mode", Kind::Text, "mode of use"),
        may(
            "dimension",
            Kind::Words(DIMENSIONS),
            "which dimension, for dimension claims",
        ),
    ],
};

/// The names of lengths, and that the print does not tell which.
const DIMENSIONS: &[Word] = &[
    LENGTHS[0],
    LENGTHS[1],
    LENGTHS[2],
    LENGTHS[3],
    LENGTHS[4],
    word("unknown", "not known which"),
];

const LEADS: &[Word] = &[
    word("lightest", "least mass"),
    word("thinnest", "least thickness"),
    word("longest-run-time", "longest run time"),
    word("largest-capacity", "greatest capacity"),
    word("most-energy", "most energy stored"),
    word("shortest-charging-time", "shortest charging time"),
    word("brightest", "most light given out"),
    word("deepest-noise-reduction", "deepest noise reduction"),
    word("shortest-delay", "shortest delay"),
];

const SCOPES: &[Word] = &[
    word("class", "products of the same category"),
    word("maker", "products of the same maker"),
    word("market", "everything on sale"),
];

pub(crate) const CLAIM_KINDS: &[Word] = &[
    word("mass", "mass of an item; needs value"),
    word("capacity", "capacity of a cell; needs value"),
    word("energy", "energy of a cell; needs value"),
    word(
        "input",
        "electrical input rating at a contact; needs rating",
    ),
    word(
        "output",
        "electrical output rating at a contact; needs rating",
    ),
    word("cable", "rating of a cable; needs rating"),
    word("power", "power taken or given; needs value"),
    word("luminous-flux", "light given out; needs value"),
    word("view-angle", "angle of view; needs value"),
    word(
        "resolution",
        "number of picture elements; needs value or names",
    ),
    word("bands", "radio bands, several; needs names"),
    word("run-time", "run time in a mode; needs value"),
    word(
        "charging-time",
        "charging time from empty to full; needs value",
    ),
    word(
        "quick-charge",
        "minutes of charging for hours of use; needs after and value",
    ),
    word(
        "recharges",
        "recharges that a case or cradle gives; needs value",
    ),
    word(
        "dimension",
        "a dimension of an item; needs says.dimension and value",
    ),
    word("noise-reduction", "depth of noise reduction; needs value"),
    word("delay", "signal delay; needs value"),
    word("ingress", "ingress protection code; needs names"),
    word("part", "presence of a part; needs names, role or maker"),
    word("interface", "presence of an interface; needs names"),
    word("radio", "presence of a radio standard; needs names"),
    word("function", "presence of a function; needs names"),
    word(
        "repair",
        "that the part of says.item can be replaced, or the product repaired",
    ),
    word(
        "first",
        "being the first with a part; needs names, role or maker",
    ),
    word(
        "leading",
        "being foremost in a figure, as the lightest or the thinnest; needs leads",
    ),
    word("slogan", "a statement without figure or fact"),
    word("unknown", "not known what it states"),
];

/// Returns what the `value` of a claim of this kind must be, where it needs one.
pub(crate) fn claim_measure(kind: &str) -> Option<&'static Asked> {
    Some(match kind {
        "mass" => &asked::MASS,
        "capacity" => &asked::CHARGE,
        "energy" => &asked::ENERGY,
        "run-time" | "charging-time" | "quick-charge" => &asked::RUN_TIME,
        "recharges" => &asked::RECHARGES,
        "dimension" => &asked::LENGTH,
        "noise-reduction" => &asked::LEVEL,
        "delay" => &asked::DELAY,
        "power" => &asked::POWER,
        "luminous-flux" => &asked::LUMINOUS_FLUX,
        "view-angle" => &asked::ANGLE,
        _ => return None,
    })
}

/// Returns whether a claim of this kind needs `names`.
fn says_presence(kind: &str) -> bool {
    matches!(
        kind,
        "ingress" | "part" | "interface" | "radio" | "function" | "first" | "bands"
    )
}

/// Returns the keys that a claim of this kind has to state and `has` not: the figure, the rating or the name that it
/// is judged by.
pub(crate) fn claim_needs(kind: &str, has: impl Fn(&str) -> bool) -> Vec<&'static str> {
    let mut needs = Vec::new();
    if claim_measure(kind).is_some() {
        needs.push("value");
    } else if says_presence(kind) {
        let by_part = matches!(kind, "part" | "first") && (has("role") || has("maker"));
        if !by_part {
            needs.push("names");
        }
    } else if kind == "resolution" && !has("value") {
        needs.push("names");
    } else if matches!(kind, "input" | "output" | "cable") {
        needs.push("rating");
    }
    if kind == "leading" {
        needs.push("leads");
    }
    if kind == "quick-charge" {
        needs.push("after");
    }
    if kind == "dimension" {
        needs.push("says.dimension");
    }
    needs.retain(|key| !has(key));
    needs
}
