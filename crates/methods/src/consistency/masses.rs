//! Masses: no piece is heavier than what it is in, nothing weighs less than nothing, no vessel more than
//! what it holds.

use super::Contradiction;
use crate::words::listed;
use crate::{Cancelled, Case, inputs};
use quantity::format_quantity;
use record::Place;

/// Returns the contradictions between weighings.
pub(super) fn found(case: &Case<'_>) -> Result<Vec<Contradiction>, Cancelled> {
    let solution = case.masses();
    let items = &case.dossier.items;
    let mut found = tares(case)?;
    for excess in &solution.excesses {
        case.go_on()?;
        let whole = &items[excess.whole];
        let names: Vec<String> = excess
            .pieces
            .iter()
            .map(|&p| items[p].name.clone())
            .collect();
        let (subject, verb) = match names.len() {
            1 => (listed(names), "is"),
            _ => (format!("{} together", listed(names)), "are"),
        };
        let readings = excess
            .weighings
            .iter()
            .map(|&j| solution.weighings[j].reading.as_str());
        found.push(Contradiction {
            rule: "heavier-than-the-whole",
            about: Place::item(&whole.id),
            subject: format!("what {} and its pieces weigh", whole.name),
            what: format!(
                "{subject} {verb} heavier than {}, which holds them: {} against {}",
                whole.name,
                grams(excess.together),
                grams(excess.mass)
            ),
            so: "Every mass worked out from these is impossible. Weigh again, or correct `value`, `pieces`, `tare` \
                 or `count`, or what is in what"
                .to_string(),
            places: readings.map(Place::reading).collect(),
            with: None,
        });
    }
    for (at, mass) in &solution.below_nothing {
        case.go_on()?;
        let item = &items[*at];
        let is_of_whole = solution.excesses.iter().any(|e| {
            let whole = &items[e.whole].id;
            case.tree().within(&item.id, whole)
        });
        if is_of_whole {
            continue;
        }
        found.push(Contradiction {
            rule: "less-than-nothing",
            about: Place::item(&item.id),
            subject: format!("what {} weighs", item.name),
            what: format!(
                "What was weighed leaves less than nothing for {}: the rest is heavier than the whole by {}",
                item.name,
                grams(mass.abs())
            ),
            so: "No mass is given for it. Weigh again, or correct the readings, their `without` and `pieces`, or what \
                 is in what"
                .to_string(),
            places: solution.evidence(&item.id),
            with: None,
        });
    }
    Ok(found)
}

fn grams(value: f64) -> String {
    format_quantity(inputs::tidy(value), &inputs::unit("g"))
}

/// Returns the readings whose vessel would weigh more than what stood on the scale.
fn tares(case: &Case<'_>) -> Result<Vec<Contradiction>, Cancelled> {
    let mut found = Vec::new();
    for reading in &case.dossier.readings {
        case.go_on()?;
        let Some(tare) = reading
            .tare
            .as_ref()
            .filter(|_| inputs::tare_is_impossible(reading))
        else {
            continue;
        };
        let other = tare.dimension() != reading.value.dimension();
        found.push(Contradiction {
            rule: "tare-beyond-the-reading",
            about: Place::reading(&reading.id).at("tare"),
            subject: format!("what reading {} still holds", reading.id),
            what: if other {
                format!("The tare of reading {} is {tare}, which cannot be taken off {}", reading.id, reading.value)
            } else {
                format!(
                    "The tare of reading {} is {tare}, which leaves nothing of the {} on the display",
                    reading.id, reading.value
                )
            },
            so: "The reading is not used. Correct `tare` or `value`".to_string(),
            places: Vec::new(),
            with: None,
        });
    }
    Ok(found)
}
