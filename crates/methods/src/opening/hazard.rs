//! Cautions at the steps of opening.
//!
//! In: a dossier and one step. Out: sentences. They state usual practice and defer to local rules.
//! Not here: routes.

use crate::mass::tree::is_inside;
use quantity::Dimension;
use record::{Action, Dossier, Hazard, Item, ItemKind, Step};

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

/// What makes a step dangerous to a cell, in words; `None` if nothing.
fn threat(step: &Step) -> Option<&'static str> {
    let hot = step
        .temperature
        .as_ref()
        .is_some_and(|t| t.dimension() == Dimension::TEMPERATURE && t.si() > 273.15 + 60.0);
    match step.action {
        Action::Heat => Some("heat"),
        Action::Unsolder => Some("soldering heat"),
        Action::Pry => Some("a prying tool"),
        Action::Cut => Some("a blade"),
        Action::Dissolve => Some("solvent"),
        _ if hot || step.hazards.contains(&Hazard::Heat) => Some("heat"),
        _ if step.hazards.contains(&Hazard::Blade) => Some("a blade"),
        _ => None,
    }
}

/// Returns whether a step uses heat.
pub fn uses_heat(step: &Step) -> bool {
    matches!(threat(step), Some("heat" | "soldering heat"))
}

/// Returns the part of the product (direct child of the root) that an item belongs to; `None` for the
/// root itself and for unknown items.
fn region<'d>(dossier: &'d Dossier, item: &'d str) -> Option<&'d str> {
    let mut at = dossier.item(item)?;
    for _ in 0..dossier.items.len() {
        let parent = dossier.item(at.parent.as_deref()?)?;
        if parent.parent.is_none() {
            return Some(&at.id);
        }
        at = parent;
    }
    None
}

/// How near a cell is to the work of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Nearness {
    /// In the same part of the product.
    SamePart,
    /// Beside, inside, under or wired to what is worked on, or itself worked on.
    Beside,
}

/// Returns how near `cell` is to what `step` works on; `None` if it is in another part of the product.
pub fn nearness(dossier: &Dossier, step: &Step, cell: &Item) -> Option<Nearness> {
    let touched: Vec<&str> = step
        .on
        .iter()
        .chain(&step.frees)
        .chain(&step.destroys)
        .chain(&step.fasteners)
        .map(String::as_str)
        .filter(|id| dossier.item(id).is_some())
        .collect();
    let beside = |id: &str| {
        let sibling = dossier
            .item(id)
            .is_some_and(|i| i.parent.is_some() && i.parent == cell.parent);
        let wired = dossier
            .links
            .iter()
            .any(|l| (l.from == id && l.to == cell.id) || (l.to == id && l.from == cell.id));
        id == cell.id
            || sibling
            || wired
            || is_inside(dossier, id, &cell.id)
            || cell.parent.as_deref() == Some(id)
    };
    if touched.iter().any(|id| beside(id)) {
        return Some(Nearness::Beside);
    }
    let here = region(dossier, &cell.id);
    let same = touched.is_empty()
        || touched.iter().any(|id| {
            let there = region(dossier, id);
            there.is_none() || there == here
        });
    same.then_some(Nearness::SamePart)
}

/// Returns the lithium cells still in place when step number `at` begins: those that no earlier step
/// freed.
pub fn cells_in_place(dossier: &Dossier, at: usize) -> Vec<&Item> {
    dossier
        .items
        .iter()
        .filter(|i| is_lithium(i))
        .filter(|i| {
            !dossier
                .steps
                .iter()
                .take(at)
                .any(|s| s.frees.contains(&i.id))
        })
        .collect()
}

/// Returns the cautions at step number `at`.
pub fn cautions(dossier: &Dossier, at: usize) -> Vec<String> {
    let Some(step) = dossier.steps.get(at) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    if let Some(threat) = threat(step) {
        for cell in cells_in_place(dossier, at) {
            let Some(near) = nearness(dossier, step, cell) else {
                continue;
            };
            let temperature = step
                .temperature
                .as_ref()
                .map(|t| format!(" at {t}"))
                .unwrap_or_default();
            found.push(match near {
                Nearness::Beside => format!(
                    "{}{temperature} right next to the lithium cell '{}', which is still in place: do \
                     not pierce, bend or overheat it; free or shield it first if the product allows.",
                    capital(threat),
                    cell.name
                ),
                Nearness::SamePart => format!(
                    "{}{temperature} while the lithium cell '{}' is still in this part of the product: \
                     keep tool depth and temperature low.",
                    capital(threat),
                    cell.name
                ),
            });
        }
    }
    let frees_cell = step
        .frees
        .iter()
        .filter_map(|id| dossier.item(id))
        .find(|i| is_lithium(i));
    if let Some(cell) = frees_cell {
        found.push(format!(
            "'{}' is a lithium cell: lift it without bending it, insulate its contacts at once, store it \
             apart from anything that burns.",
            cell.name
        ));
    }
    found.extend(step.hazards.iter().map(|h| hazard_words(*h).to_string()));
    found
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}

fn hazard_words(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::LithiumCell => "Lithium cell in reach: no puncture, no bending, no short circuit.",
        Hazard::Heat => "Hot surfaces and fumes: gloves, ventilation, a stable rest for the tool.",
        Hazard::Blade => {
            "Blade: cut away from the hand and away from any cell; wear eye protection."
        }
        Hazard::ChargedCapacitor => {
            "Capacitors may stay charged: measure, discharge through a resistor, measure again."
        }
        Hazard::Mains => {
            "Mains voltage: unplugged, waited for, checked dead; energised work only by licensed people."
        }
        Hazard::Laser => "Laser: never run it open; do not look along the beam path.",
        Hazard::GlassSplinters => {
            "Glass may splinter: tape it over first, wear eye protection and gloves."
        }
        Hazard::Solvent => "Solvent: gloves, ventilation, no flame or hot tool; keep it off cells.",
    }
}
