//! Equal markings with unlike identities.

use super::explain;
use crate::assessment::folded;
use crate::distinct::Distinct;
use crate::words::the;
use crate::{Finding, Method, Verdict};
use record::{Dossier, Item, Place};
use std::collections::BTreeMap;

/// Answers for the whole record; `None` where every marking has one identity.
pub(super) fn examine(dossier: &Dossier) -> Option<Finding> {
    let mut by_marking: BTreeMap<String, Vec<&Item>> = BTreeMap::new();
    for item in &dossier.items {
        let Some(part) = &item.part else { continue };
        let marking: Vec<String> = part.marking.iter().map(|l| folded(l)).collect();
        let unsure = part.marking.iter().any(|l| l.contains(['?', '[', '~']));
        if part.identity.is_some() && !unsure && marking.iter().any(|l| !l.is_empty()) {
            by_marking.entry(marking.join("|")).or_default().push(item);
        }
    }
    let name = |item: &Item| {
        item.part
            .as_ref()
            .and_then(|p| p.identity.as_ref())
            .map(|i| i.name.clone())
            .unwrap_or_default()
    };
    let mut finding = Finding::new(
        Method::Markings,
        word!("equal"),
        "Do equal markings mean equal parts?",
    );
    let mut places = Distinct::default();
    for items in by_marking.values() {
        let mut names: Vec<String> = items.iter().map(|i| folded(&name(i))).collect();
        names.sort();
        names.dedup();
        if names.len() < 2 {
            continue;
        }
        let marking = items[0]
            .part
            .as_ref()
            .map(|p| p.marking.join(" / "))
            .unwrap_or_default();
        let parts: Vec<String> = items
            .iter()
            .map(|i| format!("{} as {}", the(i), name(i)))
            .collect();
        if !finding.sentence.is_empty() {
            finding.sentence.push(' ');
        }
        finding.sentence.push_str(&format!(
            "“{marking}” is recorded for {}: at most one of these can be right unless a maker uses one code \
             for several parts.",
            parts.join(" and ")
        ));
        places.extend(items.iter().map(|i| Place::item(&i.id).at("part.marking")));
    }
    if finding.sentence.is_empty() {
        return None;
    }
    finding.add_evidence(places);
    finding.verdict = Some(Verdict::Fails);
    explain(&mut finding);
    Some(finding)
}
