//! What kind of tool a step needs, by the name of the tool.
//!
//! In: a step. Out: its class, where the record or the name says it.
//! Source: basic tools as Regulation (EU) 2023/1670 defines them (annex I, definition 50), read in a public discussion
//! that quotes them, not in the Official Journal. Heat, solvents and suction cups are not among them.

use record::{Step, ToolClass};

/// Where the list is from.
pub const SOURCE: &str =
    "Basic tools: Regulation (EU) 2023/1670, definition 50, as a public discussion quotes it";

/// Names of basic tools, small.
const BASIC: [&str; 13] = [
    "hex key",
    "hexagon socket key",
    "combination wrench",
    "combination pliers",
    "wire stripper",
    "half round nose pliers",
    "diagonal cutters",
    "multigrip pliers",
    "locking pliers",
    "prying lever",
    "tweezers",
    "magnifying glass",
    "spudger",
];

/// Recesses of basic screwdrivers: slotted, cross, hexalobular.
const RECESSES: [&str; 5] = ["slotted", "cross", "hexalobular", "flat", "hexalobe"];

/// Returns the class of the tool of a step: as recorded, by its name, or that it needs none.
pub fn class(step: &Step) -> ToolClass {
    step.tool_class.unwrap_or_else(|| match &step.tool {
        None => ToolClass::None,
        Some(name) if is_basic(name) => ToolClass::Basic,
        Some(_) => ToolClass::Unknown,
    })
}

fn is_basic(name: &str) -> bool {
    let name = name.trim().to_lowercase();
    let words: Vec<&str> = name.split(|c: char| !c.is_alphanumeric()).collect();
    if words.iter().any(|word| word.ends_with("driver")) {
        return words
            .iter()
            .any(|word| RECESSES.contains(word) || is_size(word));
    }
    words.last() == Some(&"pick") || BASIC.iter().any(|basic| name.ends_with(basic))
}

/// Whether a word is the size of a cross or hexalobular recess: `ph00`, `pz1`, `t5`.
fn is_size(word: &str) -> bool {
    let size = ["ph", "pz", "t"]
        .iter()
        .find_map(|sort| word.strip_prefix(sort));
    size.is_some_and(|size| !size.is_empty() && size.bytes().all(|b| b.is_ascii_digit()))
}

/// Returns the words for a class.
pub const fn words(class: ToolClass) -> &'static str {
    match class {
        ToolClass::None => "no tool",
        ToolClass::Basic => "basic tools",
        ToolClass::SuppliedWithPart => "comes with the spare part",
        ToolClass::SuppliedWithProduct => "comes with the product",
        ToolClass::ProductGroup => "made for such products",
        ToolClass::Commercial => "on the market",
        ToolClass::Proprietary => "the maker's own",
        ToolClass::NoneExists => "no tool exists",
        ToolClass::Unknown => "not known",
    }
}
