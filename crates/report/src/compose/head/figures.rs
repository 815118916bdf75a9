//! Five figures: what it weighs, stores, how long it runs and charges, how long it takes to open.
//!
//! In: findings and claims. Out: key figures, large and without ±; where one is not known, another takes its place.
//! Not here: any arithmetic.

use super::super::Page;
use super::{is_claim, level, owner_words};
use crate::{KeyFigure, finding_anchor};
use methods::words::{listed, lower};
use methods::{Cell, Detail, Finding, Method, QuantityValue, Verdict};
use quantity::{Unit, digits};
use record::{Claim, ClaimKind, ItemKind, Place};

/// How many there are.
const COUNT: usize = 5;
/// Digits of a large figure.
const LARGE: usize = 4;

/// Returns at most five figures in the order of a reader's questions.
pub(super) fn figures(page: &Page<'_>) -> Vec<KeyFigure> {
    let makers: [fn(&Page<'_>) -> Option<KeyFigure>; 7] =
        [weighs, stores, runs, charges, opens, costs, chips];
    makers
        .into_iter()
        .filter_map(|make| make(page))
        .take(COUNT)
        .collect()
}

fn weighs(page: &Page<'_>) -> Option<KeyFigure> {
    let claimed = claims(page, ClaimKind::Mass).find_map(|(claim, finding)| {
        let Cell::Quantity(found) = &finding.judgement.as_ref()?.found else {
            return None;
        };
        let item = claim.says.item.as_deref();
        Some((
            found.clone(),
            owner_words(page.dossier, item),
            Some(claim),
            finding,
        ))
    });
    let (found, what, claim, finding) = claimed.or_else(|| {
        let pieces = page.of(Method::Mass);
        let (finding, figure) = pieces
            .flat_map(|f| f.figures.iter().map(move |figure| (f, figure)))
            .find(|(_, figure)| figure.key.what.as_str() == "mass")?;
        let item = figure.key.of.as_ref().and_then(Place::item_id);
        Some((
            quantity(figure)?,
            owner_words(page.dossier, item),
            None,
            finding,
        ))
    })?;
    Some(KeyFigure {
        name: "Weighs",
        value: large(&found),
        unit: found.unit.symbol().to_string(),
        what,
        anchor: finding_anchor(&finding.id),
        ..said(claim.map(|claim| (claim, finding)))
    })
}

fn stores(page: &Page<'_>) -> Option<KeyFigure> {
    let mut values: Vec<(QuantityValue, String, &Finding)> = Vec::new();
    for finding in page.of(Method::Cell) {
        let measured = finding
            .figures
            .iter()
            .find(|f| f.key.what.as_str() == "energy-from-charge");
        let energy = measured.or_else(|| {
            finding
                .figures
                .iter()
                .find(|f| f.key.what.as_str() == "energy")
        });
        let item = finding.about.as_ref().and_then(Place::item_id);
        if let Some(value) = energy.and_then(|f| quantity(f)) {
            values.push((value, owner_words(page.dossier, item), finding));
        }
    }
    // More than three are a table, not a figure.
    let (first, _, finding) = values.first().filter(|_| values.len() <= 3)?;
    let same: Vec<String> = values
        .iter()
        .filter_map(|(value, ..)| Some(rounded(value.to(&first.unit)?.value, 3)))
        .collect();
    Some(KeyFigure {
        name: "Stores",
        value: same.join(" + "),
        unit: first.unit.symbol().to_string(),
        what: listed(values.iter().map(|(_, owner, _)| owner.clone()).collect()),
        anchor: finding_anchor(&finding.id),
        ..said(claims(page, ClaimKind::Energy).next())
    })
}

fn runs(page: &Page<'_>) -> Option<KeyFigure> {
    let claimed: Vec<(&Claim, &Finding)> = claims(page, ClaimKind::RunTime).collect();
    let mut modes: Vec<(QuantityValue, String, &Finding)> = Vec::new();
    for finding in page.of(Method::Runtime) {
        let figure = finding
            .figures
            .iter()
            .find(|f| f.key.what.as_str() == "run-time");
        let (Some(figure), Some(mode)) = (figure, finding.id.words.first()) else {
            continue;
        };
        let is_claimed = claimed
            .iter()
            .any(|(claim, _)| claim.says.mode.as_ref() == Some(mode));
        if is_claimed || (claimed.is_empty() && mode != "standby") {
            modes.extend(quantity(figure).map(|value| (value, mode.clone(), finding)));
        }
    }
    let least = modes
        .iter()
        .min_by(|a, b| a.0.value.total_cmp(&b.0.value))?;
    let most = modes
        .iter()
        .max_by(|a, b| a.0.value.total_cmp(&b.0.value))?;
    let what = match (least.1.rsplit_once(' '), most.1.rsplit_once(' ')) {
        _ if least.1 == most.1 => format!("on {}", least.1),
        (Some((first, same)), Some((_, other))) if same == other => {
            format!("{first} to {}", most.1)
        }
        _ => format!("{} to {}", least.1, most.1),
    };
    let value = if least.1 == most.1 {
        rounded(least.0.value, 3)
    } else {
        let most = most.0.to(&least.0.unit)?.value;
        format!("{} to {}", rounded(least.0.value, 2), rounded(most, 2))
    };
    Some(KeyFigure {
        name: "Runs",
        value,
        unit: least.0.unit.symbol().to_string(),
        what,
        anchor: finding_anchor(&least.2.id),
        ..said_of_both(&claimed, [&least.1, &most.1])
    })
}

fn charges(page: &Page<'_>) -> Option<KeyFigure> {
    let claimed: Vec<(&Claim, &Finding)> = claims(page, ClaimKind::ChargingTime).collect();
    let claim = worst(&claimed);
    let wanted = claim
        .and_then(|(claim, _)| claim.says.item.as_deref())
        .map(Place::item);
    let charging = || {
        page.of(Method::Power)
            .filter(|f| f.id.question.as_str() == "charge")
    };
    let finding = charging()
        .find(|f| wanted.is_some() && f.about == wanted)
        .or_else(|| charging().next())?;
    let times = finding
        .figures
        .iter()
        .filter(|f| f.key.what.as_str().ends_with("charging-time"));
    let full = times
        .clone()
        .find(|f| f.key.what.as_str() == "full-charging-time");
    let times: Vec<QuantityValue> = match full {
        Some(full) => quantity(full).into_iter().collect(),
        None => times.filter_map(|f| quantity(f)).collect(),
    };
    let unit = Unit::parse("min").ok()?;
    let minutes = |value: &QuantityValue| value.to(&unit).map(|value| value.value);
    let minutes: Vec<f64> = times.iter().filter_map(minutes).collect();
    let least = minutes.iter().copied().reduce(f64::min)?;
    let most = minutes.iter().copied().reduce(f64::max)?;
    Some(KeyFigure {
        name: "Charges",
        value: match (rounded(least, 2), rounded(most, 2)) {
            (least, most) if least == most => least,
            (least, most) => format!("{least} to {most}"),
        },
        unit: unit.symbol().to_string(),
        what: owner_words(
            page.dossier,
            finding.about.as_ref().and_then(Place::item_id),
        ),
        anchor: finding_anchor(&finding.id),
        ..said(claim)
    })
}

fn opens(page: &Page<'_>) -> Option<KeyFigure> {
    let routes = page
        .of(Method::Opening)
        .filter(|f| f.id.question.as_str() == "route");
    let (finding, time) = routes
        .filter_map(|f| Some((f, f.figures.iter().find(|g| g.key.what.as_str() == "time")?)))
        .next()?;
    let value = quantity(time)?;
    let item = finding
        .about
        .as_ref()
        .and_then(Place::item_id)
        .and_then(|id| page.dossier.item(id));
    let what = item.map_or_else(String::new, |item| {
        let thing = if item.kind == ItemKind::Cell {
            "cell".to_string()
        } else {
            lower(&item.name)
        };
        if level(page.dossier, item) < 2 {
            format!("to the {thing}")
        } else {
            format!(
                "to the {}'s {thing}",
                owner_words(page.dossier, Some(&item.id))
            )
        }
    });
    Some(KeyFigure {
        name: "Opens",
        value: rounded(value.value, 2),
        unit: value.unit.symbol().to_string(),
        what,
        anchor: finding_anchor(&finding.id),
        ..KeyFigure::default()
    })
}

fn costs(page: &Page<'_>) -> Option<KeyFigure> {
    let paid = &page.dossier.product.price.as_ref()?.paid;
    let text = paid.to_string();
    let (value, unit) = text.rsplit_once(' ')?;
    Some(KeyFigure {
        name: "Costs",
        value: value.to_string(),
        unit: unit.to_string(),
        what: "paid".into(),
        anchor: "section-method".into(),
        ..KeyFigure::default()
    })
}

fn chips(page: &Page<'_>) -> Option<KeyFigure> {
    let rows = page.details().filter_map(|detail| match detail {
        Detail::Parts { rows } => Some(rows),
        _ => None,
    });
    let known = rows
        .flatten()
        .filter(|row| row.kind == ItemKind::Part && !row.identity.is_empty());
    let count = known.count();
    (count > 0).then(|| KeyFigure {
        name: "Parts",
        value: count.to_string(),
        what: "identified".into(),
        anchor: "section-inside".into(),
        ..KeyFigure::default()
    })
}

/// Returns the claims of a kind with their findings, in the order of the record.
fn claims<'a>(
    page: &Page<'a>,
    kind: ClaimKind,
) -> impl Iterator<Item = (&'a Claim, &'a Finding)> + use<'a> {
    let findings: Vec<&'a Finding> = page.of(Method::Claims).collect();
    page.dossier
        .claims
        .iter()
        .filter(move |claim| claim.kind == kind)
        .filter_map(move |claim| {
            let finding = findings
                .iter()
                .find(|f| is_claim(f.about.as_ref(), &claim.id))?;
            Some((claim, *finding))
        })
}

/// Returns the first that fails, else the first.
fn worst<'a>(claims: &[(&'a Claim, &'a Finding)]) -> Option<(&'a Claim, &'a Finding)> {
    let failing = claims
        .iter()
        .find(|(_, finding)| finding.verdict == Some(Verdict::Fails));
    failing.or(claims.first()).copied()
}

/// Says what is printed.
fn said(claim: Option<(&Claim, &Finding)>) -> KeyFigure {
    let words = claim.and_then(|(claim, finding)| {
        let value = claim.value.as_ref()?;
        Some((
            format!("{} says {}", printed_on(&claim.printed), value.text),
            finding.verdict,
        ))
    });
    let (said, verdict) = words.unwrap_or_default();
    KeyFigure {
        said,
        verdict,
        ..KeyFigure::default()
    }
}

/// Says what is printed of two modes, in their order, with the worse verdict of both.
fn said_of_both(claims: &[(&Claim, &Finding)], modes: [&String; 2]) -> KeyFigure {
    let of = |mode: &String| {
        let mut own = claims
            .iter()
            .filter(|(claim, _)| claim.says.mode.as_ref() == Some(mode));
        own.next().copied()
    };
    let (Some(first), Some(second)) = (of(modes[0]), of(modes[1])) else {
        return said(worst(claims));
    };
    // One mark stands for both only where both fail alike.
    let mut one = said(worst(&[first, second]));
    if first.1.verdict != second.1.verdict {
        one.verdict = None;
    }
    let values = [first, second].map(|(claim, _)| claim.value.as_ref());
    match values {
        [Some(low), Some(high)] if modes[0] != modes[1] => KeyFigure {
            said: format!(
                "{} says {} and {}",
                printed_on(&first.0.printed),
                low.text,
                high.text
            ),
            ..one
        },
        _ => one,
    }
}

/// Names the thing that a claim is printed on, by the first word for one in the record's own words.
fn printed_on(printed: &str) -> &'static str {
    const THINGS: [(&str, &str); 6] = [
        ("box", "the box"),
        ("label", "the label"),
        ("leaflet", "the leaflet"),
        ("manual", "the manual"),
        ("page", "the maker's page"),
        ("sheet", "the data sheet"),
    ];
    let at = |word: &str| printed.to_lowercase().find(word);
    let found = THINGS
        .iter()
        .filter_map(|(word, words)| Some((at(word)?, *words)));
    found
        .min_by_key(|(at, _)| *at)
        .map_or("the maker", |(_, words)| words)
}

fn quantity(figure: &quantity::Figure) -> Option<QuantityValue> {
    match Cell::figure(figure) {
        Cell::Quantity(value) => Some(value),
        _ => None,
    }
}

/// Writes a value to the digits that its uncertainty leaves certain, at most four.
fn large(value: &QuantityValue) -> String {
    let most = digits::significant(value.value, LARGE);
    // Half the 95 % interval; about twice the standard uncertainty where none was worked out.
    let half = value
        .interval
        .map(|i| (i.high - i.low) / 2.0)
        .or(value.standard_uncertainty.map(|u| 2.0 * u));
    let certain = half.map_or(most, |half| digits::significant(half, 1));
    digits::decimal(value.value, most.min(certain))
}

/// Writes a number to so many digits, and to whole ones.
fn rounded(value: f64, figures: usize) -> String {
    digits::decimal(value, digits::significant(value, figures))
}
