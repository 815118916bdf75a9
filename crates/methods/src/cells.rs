//! Which items are cells, which of them lithium, and what is said wherever one is handled.
//!
//! In: an item. Out: what it is. Not here: cautions at single steps (`opening`).

use record::{Item, ItemKind};

/// Said wherever a lithium cell is handled.
pub const LITHIUM: &str = "Lithium cells burn when punctured, bent, crushed, short-circuited or \
    overheated: work with the cell discharged as far as the product allows, without metal tools against \
    it, with a fire-proof container and ventilation at hand; never go on with a swollen, leaking or warm \
    cell. Local rules and the cell maker's safety sheet come first; leave it to licensed practice where \
    they ask for it.";

/// Returns whether a cell is to be treated as lithium: unless another chemistry is stated.
pub fn is_lithium(item: &Item) -> bool {
    const OTHERS: [&str; 8] = [
        "ni", "nimh", "nicd", "alkaline", "zinc", "silver", "lead", "carbon",
    ];
    if item.kind != ItemKind::Cell {
        return false;
    }
    let chemistry = item
        .cell
        .as_ref()
        .and_then(|c| c.chemistry.as_deref())
        .unwrap_or("");
    let plain: String = chemistry
        .to_lowercase()
        .chars()
        .filter(|c| c.is_alphanumeric() || *c == ' ')
        .collect();
    !plain.split(' ').any(|word| OTHERS.contains(&word))
}

/// Returns whether an item stores energy.
pub fn is_cell(item: &Item) -> bool {
    item.cell.is_some() || item.kind == ItemKind::Cell
}
