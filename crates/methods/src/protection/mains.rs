//! Both sides of a product that is fed from the mains.
//!
//! In: contacts, links and roles of a case. Out: what hangs on the mains, what crosses to the other side, the way past
//! the separation if one is on record. Not here: creepage and clearance; whether a separation is enough, which test
//! houses decide.

use super::CAUTION;
use crate::grounds::Grounds;
use crate::inputs::item_evidence;
use crate::words::{listed, the};
use crate::{Case, Finding, Method, Missing, Verdict};
use guards::Graph;
use guards::standards::ES1;
use record::{Item, ItemKind, Place};

/// Words of roles of parts that are made to separate.
const SEPARATING: [&str; 6] = [
    "transformer",
    "optocoupler",
    "isolator",
    "y capacitor",
    "bridging capacitor",
    "safety capacitor",
];

/// Returns whether a contact is printed with a voltage that may not be touched.
fn is_mains(item: &Item) -> bool {
    let rating = item.contact.as_ref().and_then(|c| c.rating.as_ref());
    let highest = rating.and_then(|r| r.highest_voltage());
    highest.is_some_and(|v| v.high_si() > ES1.dc_v)
}

fn is_separating(item: &Item) -> bool {
    let role = item
        .role
        .as_deref()
        .unwrap_or_default()
        .to_lowercase()
        .replace('-', " ");
    SEPARATING.iter().any(|word| role.contains(word))
}

/// Answers for a product with a mains contact; none for all others.
pub(super) fn examine(case: &Case<'_>) -> Option<Finding> {
    let items = || case.dossier.items.iter();
    let ids = |wanted: &dyn Fn(&Item) -> bool| -> Vec<&str> {
        items()
            .filter(|i| wanted(i))
            .map(|i| i.id.as_str())
            .collect()
    };
    let mains = ids(&is_mains);
    if mains.is_empty() {
        return None;
    }
    let mut graph = Graph::default();
    for link in &case.dossier.links {
        graph.tie(&link.from, &link.to);
    }
    let touched = |i: &Item| (i.contact.is_some() && !is_mains(i)) || i.kind == ItemKind::Shell;
    let found = guards::sides(&graph, &mains, &ids(&touched), &ids(&is_separating));
    let title = "Which side hangs on the mains, and what crosses?";
    let mut finding = Finding::new(Method::Protection, word!("sides"), title);
    let mut grounds = Grounds::default();
    let names = |ids: &[String]| -> Vec<String> {
        ids.iter().filter_map(|id| case.item(id)).map(the).collect()
    };
    for item in found
        .breach
        .iter()
        .chain(&found.crossing)
        .filter_map(|id| case.item(id))
    {
        item_evidence(item)
            .into_iter()
            .for_each(|place| grounds.evidence(place));
    }
    mains
        .iter()
        .for_each(|id| grounds.evidence(Place::item(id).at("contact.rating")));
    let crossing = match found.crossing.as_slice() {
        [] => "No part on record is made to cross to another side".to_string(),
        all => format!("Made to cross: {}", listed(names(all))),
    };
    if found.breach.is_empty() {
        finding.verdict = Some(Verdict::Undecided);
        finding.sentence = format!(
            "{} hang on the mains. {crossing}; no way on record leads past what separates. Whether the distances and the \
             parts are enough is not shown here.",
            crate::words::capital(&listed(names(&found.primary)))
        );
        finding.missing.push(Missing::at_any_time(
            "measure the least distance over surfaces and through air between both sides on photographs, and hold it \
             against the standard that applies",
        ));
    } else {
        finding.verdict = Some(Verdict::Fails);
        let way: Vec<String> = found
            .breach
            .iter()
            .map(|id| case.tree().name(id).to_string())
            .collect();
        finding.sentence = format!(
            "A way on record leads from the mains to what can be touched past all that separates: {}. {crossing}.",
            way.join(" → ")
        );
    }
    grounds.caution(
        "Mains voltage kills, and capacitors hold it after the plug is pulled: leave work on such a product to those \
         who are licensed for it.",
    );
    grounds.caution(CAUTION);
    grounds.source("IEC 62368-1, national text of table 4: 60 V of direct voltage may be touched");
    grounds.close(&mut finding);
    Some(finding)
}
