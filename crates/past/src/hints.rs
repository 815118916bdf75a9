//! What the words beside a number say for or against a part number.
//!
//! In: the words of a sentence and the place of one. Out: logits. Not here: its shape (`shape`).
//! Source: common practice; weights fitted on the texts of `tests/fitted.rs`.

use crate::words::Word;

/// Words right before that speak for a part number.
const NAMES_A_PART: &[&str] = &[
    "marked",
    "labelled",
    "labeled",
    "marking",
    "markings",
    "chip",
    "chips",
    "ic",
    "ics",
    "p/n",
    "mpn",
    "component",
    "silicon",
    "stamped",
    "etched",
    "reads",
    "called",
    "identified",
    "datasheet",
    "pinout",
    "codenamed",
    "printed",
    "package",
    "die",
    "soldered",
    "using",
    "uses",
];

/// Words right behind that do.
const PART_FOLLOWED_BY: &[&str] = &[
    "chip",
    "ic",
    "datasheet",
    "die",
    "package",
    "handles",
    "drives",
    "regulates",
    "switches",
    "steps",
    "converts",
    "charges",
    "senses",
    "provides",
    "amplifies",
    "boosts",
    "measures",
    "stores",
    "supplies",
    "manages",
    "in",
    "soldered",
    "sits",
];

/// Words right before that speak of another number.
const NAMES_OTHERS: &[&str] = &[
    "model",
    "models",
    "serial",
    "s/n",
    "sn",
    "version",
    "firmware",
    "revision",
    "rev",
    "release",
    "build",
    "lot",
    "batch",
    "order",
    "invoice",
    "room",
    "id",
    "patent",
    "tracking",
    "coupon",
    "voucher",
    "postcode",
    "figure",
    "fig",
    "page",
    "screw",
    "bit",
    "driver's",
    "photo",
    "picture",
    "step",
    "chapter",
    "article",
    "standard",
    "certificate",
    "certified",
    "approval",
    "licence",
    "license",
    "plate",
    "sku",
    "asin",
    "ean",
    "date",
    "week",
    "discount",
    "promo",
    "grant",
    "ticket",
    "case",
    "standards",
    "norm",
    "directive",
    "scope",
    "multimeter",
    "oscilloscope",
    "meter",
    "microscope",
    "scale",
    "iron",
    "camera",
    "channel",
    "episode",
    "season",
    "size",
    "sizes",
    "torx",
    "phillips",
    "resolution",
    "class",
    "grade",
    "glue",
    "adhesive",
    "steel",
    "alloy",
    "plastic",
    "mode",
    "sensor's",
    "colour",
    "color",
    "code",
    "section",
    "clause",
    "annex",
    "table",
    "item",
    "aluminium",
    "aluminum",
    "tape",
    "solder",
    "wire",
    "profile",
    "preset",
    "level",
    "generation",
    "gen",
    "series",
    "flight",
    "route",
];

/// Words right behind that speak of the product as a whole, or of a tool.
const PRODUCT_DOES: &[&str] = &[
    "teardown",
    "review",
    "box",
    "housing",
    "lid",
    "shell",
    "weighs",
    "weigh",
    "costs",
    "cost",
    "sells",
    "retails",
    "sold",
    "arrives",
    "ships",
    "shipped",
    "launched",
    "owners",
    "users",
    "manual",
    "unboxing",
    "lasts",
    "opens",
    "compliant",
    "compliance",
    "certification",
    "certified",
    "standard",
    "rated",
    "screws",
    "screwdriver",
    "bit",
    "glue",
    "adhesive",
    "film",
    "video",
    "resolution",
    "recording",
    "sealed",
    "replaces",
    "succeeds",
    "buyers",
    "series",
    "family",
    "sibling",
    "successor",
    "pro",
    "edition",
    "steel",
    "plastic",
    "tape",
    "alloy",
    "grade",
    "connector",
    "plug",
    "header",
    "multimeter",
    "scope",
    "cable",
    "socket",
];

/// Two words before that speak of the product as a whole.
const PRODUCT_IS_MEANT: &[&str] = &[
    "inside",
    "opened",
    "owned",
    "unboxing",
    "predecessor",
    "competitor",
    "rival",
    "successor",
    "older",
    "newer",
    "bought",
    "ordered",
    "reviewed",
    "own",
    "owning",
    "unlike",
    "sibling",
    "versus",
    "vs",
    "previous",
    "whole",
    "retail",
    "closing",
    "opening",
    "dropped",
    "meet",
    "brought",
    "price",
    "weight",
    "sell",
    "sold",
    "test",
    "tested",
];

/// Words anywhere in a sentence that speak of parts.
const OF_PARTS: &[&str] = &[
    "datasheet",
    "silkscreen",
    "board",
    "pcb",
    "chip",
    "ic",
    "soldered",
    "pin",
    "marking",
    "markings",
];

/// What speaks for, and what speaks against.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Hints {
    pub(crate) plus: f64,
    pub(crate) minus: f64,
}

/// Weighs the words around the word at a place.
pub(crate) fn hints(words: &[Word<'_>], at: usize) -> Hints {
    let before = |n: usize| at.checked_sub(n).map_or("", |n| words[n].lower.as_str());
    let behind = words.get(at + 1).map_or("", |word| word.lower.as_str());
    let behind = match words.get(at + 1).is_some_and(Word::follows) {
        true => behind,
        false => "",
    };
    let in_list = |list: &[&str], word: &str| list.contains(&word);
    let mut hints = Hints::default();
    let first = before(1);
    let skips = matches!(
        first,
        "the" | "a" | "an" | "as" | "number" | "no" | "is" | "to" | "of" | "it"
    );
    let second = before(2);
    if in_list(NAMES_A_PART, first)
        || first == "number" && second == "part"
        || skips && in_list(NAMES_A_PART, second)
        || skips && second == "of" && in_list(NAMES_A_PART, before(3))
    {
        hints.plus += 1.6;
    }
    if in_list(PART_FOLLOWED_BY, behind) {
        hints.plus += 1.0;
    }
    if words
        .iter()
        .any(|word| OF_PARTS.contains(&word.lower.as_str()))
    {
        hints.plus += 0.4;
    }
    // "Serial number is …", "model no. …", "FCC ID: …".
    let fillers = [
        "the", "a", "an", "number", "no", "is", "was", "it", "code", "of",
    ];
    let names = (1..=4).map(before).find(|word| !fillers.contains(word));
    if in_list(NAMES_OTHERS, first) || names.is_some_and(|word| in_list(NAMES_OTHERS, &word)) {
        hints.minus += 3.5;
    }
    if in_list(PRODUCT_DOES, behind) {
        hints.minus += 2.5;
    }
    if words[at].owns
        && words
            .get(at + 1)
            .is_some_and(|word| PRODUCT_DOES.contains(&word.lower.as_str()))
    {
        hints.minus += 2.5;
    }
    if skips && in_list(PRODUCT_IS_MEANT, second) || in_list(PRODUCT_IS_MEANT, first) {
        hints.minus += 2.0;
    }
    hints
}
