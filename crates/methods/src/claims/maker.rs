//! A claim on the maker or the role of a part, judged as printed and not by our narrower reading.
//!
//! In: a claim with `maker` or `role`, or one whose text names the maker of the part we looked for but not
//! its number. Out: the part that answers best, and the probability that its maker is the one named: the
//! sum over all candidates of that maker, so that two part numbers of one maker do not compete. Not here:
//! finding a part by its number (`presence`).

use crate::Case;
use crate::assessment::SURE;
use super::same_words;
use crate::presence::presence;
use crate::words::{Words as _, likely};
use record::{Certainty, Claim, ClaimKind, Item, RoleOrigin};

/// The part that answers to a maker and a role.
pub(super) struct ByMaker<'d> {
    pub(super) item: &'d Item,
    /// What was looked for, with article: "a motion sensor by Oskvale".
    pub(super) wanted: String,
    /// Probability that the maker is the one named, by the marking; `None` where no catalogue says.
    pub(super) probability: Option<f64>,
    certainty: Option<Certainty>,
    maker: Option<String>,
    /// Whether its role is seen on it.
    seen: bool,
}

impl ByMaker<'_> {
    /// Returns whether it answers for sure.
    pub(super) fn sure(&self) -> bool {
        match (self.maker.is_some(), self.probability) {
            (_, Some(p)) => p >= SURE,
            (true, None) => self.certainty == Some(Certainty::Read),
            (false, None) => self.certainty == Some(Certainty::Read) || self.seen,
        }
    }

    /// Returns how that is known, as the end of a sentence.
    pub(super) fn how(&self) -> String {
        match (&self.maker, self.probability, self.certainty) {
            (Some(maker), Some(p), _) => {
                format!(
                    "is {} by {maker}, whichever of the parts that fit its marking it is",
                    likely(p)
                )
            }
            (Some(maker), None, Some(sure)) => format!("is by {maker} (identity {})", sure.words()),
            (Some(_), None, None) => "is not identified".to_string(),
            (None, _, Some(sure)) => format!("has that role (identity {})", sure.words()),
            (None, ..) if self.seen => "has that role, as seen".to_string(),
            (None, ..) => {
                "has that role, but neither its identity nor what was seen says so".to_string()
            }
        }
    }
}

/// Returns the part that answers best to the maker and role that the claim states or its text names;
/// `None` where it is about something else, or nothing answers.
pub(super) fn by_maker<'d>(case: &Case<'d>, claim: &Claim) -> Option<ByMaker<'d>> {
    if !matches!(claim.kind, ClaimKind::Part | ClaimKind::First) {
        return None;
    }
    let names = claim.names.as_deref().unwrap_or_default().trim();
    if claim.maker.is_some() || claim.role.is_some() {
        let inside = claim.says.item.as_deref();
        let parts = case.dossier.items.iter().filter(|i| i.part.is_some());
        return parts
            .filter(|i| inside.is_none_or(|id| case.tree().within(&i.id, id)))
            .filter(|i| claim.role.as_deref().is_none_or(|role| has_role(i, role)))
            .map(|i| answer(case, i, claim.maker.as_deref(), claim.role.as_deref()))
            .max_by(|a, b| worth(a).total_cmp(&worth(b)));
    }
    if names.is_empty() || same_words(&claim.text, names) {
        return None;
    }
    let found = presence(case, claim.kind, names, claim.says.item.as_deref())
        .into_iter()
        .next()?;
    let maker = found
        .item
        .part
        .as_ref()?
        .identity
        .as_ref()?
        .maker
        .as_deref()?;
    same_words(&claim.text, maker)
        .then(|| answer(case, found.item, Some(maker), found.item.role.as_deref()))
}

fn worth(found: &ByMaker<'_>) -> f64 {
    found.probability.unwrap_or(match found.certainty {
        Some(Certainty::Read) => 1.0,
        Some(_) => 0.5,
        None => 0.0,
    })
}

fn answer<'d>(
    case: &Case<'d>,
    item: &'d Item,
    maker: Option<&str>,
    role: Option<&str>,
) -> ByMaker<'d> {
    let identity = item.part.as_ref().and_then(|p| p.identity.as_ref());
    let fits = |own: &str| maker.is_some_and(|m| m.eq_ignore_ascii_case(own));
    let assessed = case
        .assessments()
        .all()
        .iter()
        .find(|a| a.item.id == item.id);
    let probability = maker.and(assessed).and_then(|a| {
        let candidates = a.answer.candidates.iter();
        let sum: f64 = candidates
            .filter(|c| fits(&case.known.parts()[c.part].maker))
            .map(|c| c.probability)
            .sum();
        (!a.answer.candidates.is_empty()).then_some(sum)
    });
    let by_identity = identity.filter(|i| i.maker.as_deref().is_none_or(fits));
    let article = role.map_or_else(|| "a part".to_string(), |r| format!("a {r}"));
    ByMaker {
        item,
        wanted: maker.map_or_else(|| article.clone(), |m| format!("{article} by {m}")),
        probability,
        certainty: by_identity.map(|i| i.certainty),
        maker: maker.map(String::from),
        seen: item.role_origin == Some(RoleOrigin::Seen),
    }
}

fn has_role(item: &Item, role: &str) -> bool {
    item.role.as_deref().is_some_and(|own| same_words(own, role)) || same_words(&item.name, role)
}
