//! Labels: a rating stands in the text it was read from, and label and contact of one socket agree.

use super::Contradiction;
use super::parts::can_be_equal;
use super::printed::Printed;
use crate::{Cancelled, Case};
use quantity::{Rating, Spread, Stated};
use record::{LabelText, Place};

/// Returns the contradictions about labels.
pub(super) fn found(case: &Case<'_>) -> Result<Vec<Contradiction>, Cancelled> {
    let mut found = Vec::new();
    for label in &case.dossier.product.labels {
        case.go_on()?;
        let printed = Printed::of(&label.text);
        for (key, rating) in ratings(label) {
            found.extend(not_in_the_text(label, key, rating, &printed));
        }
        found.extend(against_the_contact(case, label));
    }
    Ok(found)
}

fn ratings(label: &LabelText) -> impl Iterator<Item = (&'static str, &Rating)> {
    let both = [
        ("input", label.input.as_ref()),
        ("output", label.output.as_ref()),
    ];
    both.into_iter()
        .filter_map(|(key, rating)| Some((key, rating?)))
}

fn figures(rating: &Rating) -> impl Iterator<Item = &Stated> {
    [&rating.voltage, &rating.current, &rating.power]
        .into_iter()
        .flatten()
}

fn not_in_the_text(
    label: &LabelText,
    key: &'static str,
    rating: &Rating,
    printed: &Printed,
) -> Option<Contradiction> {
    let missing = figures(rating).find(|figure| {
        let ends = match figure.spread {
            Spread::Range { .. } => vec![figure.low_si(), figure.high_si()],
            _ => vec![figure.si()],
        };
        // Watts that only say what volts and amperes give were worked out, not read.
        let is_product = rating.power.as_ref() == Some(*figure)
            && !printed.says_any(figure.dimension())
            && is_volts_times_amperes(rating);
        !is_product && !ends.iter().all(|si| printed.says(*si, figure.dimension()))
    })?;
    Some(Contradiction {
        rule: "not-in-the-text",
        about: Place::label(&label.id),
        subject: format!("what the label {} says", label.place),
        what: format!(
            "The {key} of the label “{}” ({}) is recorded as {rating}, but its text, “{}”, does not print {missing}",
            label.id, label.place, label.text
        ),
        so: format!("Power and claims are judged by the rating. Correct `{key}` or `text`"),
        places: Vec::new(),
        with: Some(key.to_string()),
    })
}

fn is_volts_times_amperes(rating: &Rating) -> bool {
    match (&rating.voltage, &rating.current, &rating.power) {
        (Some(v), Some(a), Some(w)) => {
            let half = 0.5 * w.last_digit.abs() * w.unit.factor();
            (v.high_si() * a.high_si() - w.si()).abs() <= half
        }
        _ => false,
    }
}

fn against_the_contact(case: &Case<'_>, label: &LabelText) -> Option<Contradiction> {
    let contact = case.item(label.contact.as_deref()?)?;
    let own = contact.contact.as_ref()?.rating.as_ref()?;
    let mut all = ratings(label).peekable();
    all.peek()?;
    // A contact that gives and takes has two ratings on its label and one of its own.
    if all.any(|(_, rating)| disagree(rating, own).is_none()) {
        return None;
    }
    let (key, rating) = ratings(label).next()?;
    let (theirs, ours) = disagree(rating, own)?;
    Some(Contradiction {
        rule: "label-against-contact",
        about: Place::item(&contact.id).at("contact.rating"),
        subject: format!("what is printed for {}", contact.name),
        what: format!(
            "{} is recorded with {ours} printed at it, the label “{}” ({}) with {theirs} for it",
            contact.name, label.id, label.place
        ),
        so: format!(
            "What it takes or gives is worked out from its rating. Look again and correct `{key}` or `rating`; if both \
             are printed so, the maker contradicts itself: say so in a note and leave out the one that is not used"
        ),
        places: vec![Place::label(&label.id)],
        with: Some(label.id.clone()),
    })
}

/// Returns the first figures of two ratings that cannot be the same.
fn disagree<'r>(a: &'r Rating, b: &'r Rating) -> Option<(&'r Stated, &'r Stated)> {
    let pairs = [
        (&a.voltage, &b.voltage),
        (&a.current, &b.current),
        (&a.power, &b.power),
    ];
    pairs.into_iter().find_map(|(x, y)| {
        let (x, y) = (x.as_ref()?, y.as_ref()?);
        (!can_be_equal(x, y)).then_some((x, y))
    })
}
