//! Contacts that share one limit.
//!
//! In: a contact that names others and the power they have together. Out: one finding for the group, told at
//! its first contact. Not here: what flows.

use crate::grounds::Grounds;
use crate::inputs::{tidy, unit};
use crate::words::{capital, listed, the};
use crate::{Case, Finding, Method};
use quantity::format_quantity;
use record::{Item, Place};

/// Tells what a group of contacts gives or takes at most, alone and together.
pub(crate) fn examine(case: &Case<'_>, contact: &Item) -> Option<Finding> {
    let facts = contact.contact.as_ref()?;
    let limit = facts.shared_limit.as_ref()?;
    let others = facts.shares_with.iter().filter_map(|id| case.item(id));
    let group: Vec<&Item> = std::iter::once(contact).chain(others).collect();
    // Each of them may state the group; the first in the record tells it.
    let first = |other: &&&Item| {
        let states = other
            .contact
            .as_ref()
            .is_some_and(|c| c.shared_limit.is_some());
        states && case.tree().number(&other.id) < case.tree().number(&contact.id)
    };
    if group.iter().any(|i| first(&i)) {
        return None;
    }
    let names = listed(group.iter().map(|i| the(i)).collect());
    let mut finding = Finding::new(
        Method::Power,
        word!("shared"),
        format!("{} share one limit", capital(&names)),
    )
    .about(Place::item(&contact.id));
    let mut grounds = Grounds::default();
    grounds.evidence(Place::item(&contact.id).at("contact.shared-limit"));
    let alone = |item: &&Item| {
        let rating = item.contact.as_ref()?.rating.as_ref()?;
        rating.greatest_power()
    };
    let each: Vec<Option<f64>> = group.iter().map(alone).collect();
    let sum: Option<f64> = each.iter().copied().sum();
    let beyond = match sum {
        Some(sum) if sum > limit.si() => format!(
            " Their own ratings add up to {}, so not all are met at once.",
            format_quantity(tidy(sum), &unit("W"))
        ),
        _ => String::new(),
    };
    finding.sentence = format!("{} have {limit} together at most.{beyond}", capital(&names));
    grounds.close(&mut finding);
    Some(finding)
}
