//! What the weighings of one item say together with those around it.
//!
//! In: a dossier, an item. Out: a sentence for each whole that holds it and can be held against its pieces.
//! Not here: the adjustment and which weighing is wrong (`methods::mass`).

use methods::mass;
use quantity::{COVERED, digits};
use record::Dossier;

/// Says by how much the item and each whole above it is off from its pieces, and within what that is expected: with a
/// coverage of 95 %.
pub fn balance(dossier: &Dossier, item: &str) -> Vec<String> {
    let mut around = Vec::new();
    let mut next = Some(item);
    while let Some(item) = next.and_then(|id| dossier.item(id)) {
        if around.contains(&item.id.as_str()) {
            break;
        }
        around.push(item.id.as_str());
        next = item.parent.as_deref();
    }
    let solution = mass::adjusted(dossier);
    let grams = |mass: f64| format!("{}{}g", digits::decimal(mass, 2), quantity::GAP);
    let nodes = solution.nodes();
    let said = around.iter().filter_map(|id| {
        let node = nodes.iter().find(|n| dossier.items[n.item].id == **id)?;
        let name = &dossier.items[node.item].name;
        let within = COVERED * node.uncertainty;
        let judged = match node.residual.abs() <= within {
            true => "expected within",
            false => "unaccounted for, expected within",
        };
        Some(format!(
            "{name}: whole and pieces {} apart, {judged} {}",
            grams(node.residual.abs()),
            grams(within)
        ))
    });
    said.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use record::{AnyFile, read_text};

    fn dossier(base: &str) -> Dossier {
        let demo = include_str!("../../../demo/lamp/dossier.toml");
        let text = demo.replace("value = \"48.83 g\"", &format!("value = \"{base}\""));
        read_text(&text, "dossier.toml", &AnyFile).expect("it reads")
    }

    #[test]
    fn a_weighing_is_told_by_what_it_leaves_unaccounted() {
        let fits = balance(&dossier("48.83 g"), "cradle-base");
        let slip = balance(&dossier("49.83 g"), "cradle-base");
        assert!(!fits.is_empty());
        assert_ne!(fits, slip);
        assert!(
            slip.iter().any(|one| one.contains("unaccounted")),
            "{slip:?}"
        );
    }
}
