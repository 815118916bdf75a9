//! Whether ratings leave room for each other.
//!
//! In: printed voltages, stand-off and clamping voltages, thresholds, absolute maxima, limit voltages; fuses, current
//! limits, what a cell bears. Out: one row for
//! each pair, with the probability that there is room. Not here: pulses. A clamping voltage holds at the pulse of its
//! data sheet alone.
//!
//! A pair is compared only where both are stated. Sources of a supply stay within the assumed tolerance of its print.

mod currents;

use super::does::{is_identified, is_shunt};
use crate::assumed;
use crate::cells::is_cell;
use crate::grounds::Grounds;
use crate::network::{is_charger, ratings_and_claims};
use crate::words::{capital, likely, the};
use crate::{Cancelled, Case, Cell, Column, Finding, Method, RowsOf, Verdict};
use guards::margin::Law;
use quantity::{Dimension, Distribution, Origin, Stated};
use record::{Item, Place};
use std::collections::HashMap;

/// A rating with its place and words.
struct Rating {
    /// Whether no verdict may rest on it: estimated, of a part that is not identified, or stated for a pulse.
    soft: bool,
    law: Law,
    words: String,
    place: Place,
}

fn law(stated: &Stated) -> Law {
    match stated.stated_distribution() {
        Some(Distribution::Normal { mean, sd }) => Law::Normal { mean, sd },
        Some(Distribution::Triangular { low, mode, high }) => Law::Triangular { low, mode, high },
        Some(Distribution::Rectangular { low, high }) => Law::Uniform { low, high },
        _ => Law::Exact(stated.si()),
    }
}

fn rating(case: &Case<'_>, item: &Item, key: &str, what: &str) -> Option<Rating> {
    let stated = item.part.as_ref()?.ratings.get(key)?;
    let place = Place::item(&item.id).at("part.ratings").at_key(key);
    let origin = item.part.as_ref()?.ratings_origin;
    let shown = matches!(
        origin,
        Some(Origin::DataSheet | Origin::Measured | Origin::Label)
    );
    let dimension = match key.contains("current") {
        true => Dimension::CURRENT,
        false => Dimension::VOLTAGE,
    };
    (stated.dimension() == dimension).then(|| Rating {
        soft: !shown || !is_identified(case, item) || key == "clamping-voltage",
        law: law(stated),
        words: format!("{what} of {} ({stated})", the(item)),
        place,
    })
}

fn maximum(case: &Case<'_>, item: &Item) -> Option<Rating> {
    rating(
        case,
        item,
        "input-absolute-maximum",
        "the most allowed at the input",
    )
}

fn threshold(case: &Case<'_>, item: &Item) -> Option<Rating> {
    rating(case, item, "over-voltage-threshold", "the threshold")
}

/// Returns the voltage that works at a contact: the highest printed, with the tolerance of its source.
fn working(case: &Case<'_>, contact: &Item, grounds: &mut Grounds) -> Option<Rating> {
    let printed = ratings_and_claims(case, contact);
    let highest = printed
        .iter()
        .filter_map(|p| Some((p, p.rating.highest_voltage()?)));
    let (printed, volts) = highest.max_by(|a, b| a.1.high_si().total_cmp(&b.1.high_si()))?;
    let row = &assumed::SUPPLY_TOLERANCE;
    let (middle, half) = (volts.high_si(), volts.high_si() * row.si());
    grounds.assume(format!(
        "voltage at {}: ± {} assumed",
        the(contact),
        row.text()
    ));
    Some(Rating {
        soft: false,
        law: Law::Uniform {
            low: middle - half,
            high: middle + half,
        },
        words: format!("the voltage at {} ({volts})", the(contact)),
        place: printed.place.clone(),
    })
}

/// Pairs as they are found.
#[derive(Default)]
struct Pairs {
    rows: Vec<Vec<Cell>>,
    worst: Option<(Verdict, f64, String)>,
    grounds: Grounds,
}

impl Pairs {
    /// Compares two ratings of which the first should be the lower.
    fn pair(&mut self, lower: Option<&Rating>, higher: Option<&Rating>) {
        let Some((lower, higher)) = lower.zip(higher) else {
            return;
        };
        let p = lower.law.below_other(higher.law);
        let words = format!("{} should lie below {}", lower.words, higher.words);
        [lower, higher]
            .iter()
            .for_each(|r| self.grounds.evidence(r.place.clone()));
        let verdict = match decided(p) {
            Verdict::Fails if lower.soft || higher.soft => Verdict::Undecided,
            verdict => verdict,
        };
        let rank = |v: Verdict| u8::from(v != Verdict::Holds) + u8::from(v == Verdict::Fails);
        let worse = |(v, q, _): &(Verdict, f64, String)| {
            rank(verdict) > rank(*v) || (rank(verdict) == rank(*v) && p < *q)
        };
        if self.worst.as_ref().is_none_or(worse) {
            self.worst = Some((verdict, p, words.clone()));
        }
        self.rows.push(vec![
            Cell::words(capital(&words)),
            Cell::probability(p),
            Cell::verdict(verdict),
        ]);
    }
}

fn decided(p: f64) -> Verdict {
    let limit = assumed::CLAIM_DECIDED.number();
    match p {
        p if p >= limit => Verdict::Holds,
        p if p <= 1.0 - limit => Verdict::Fails,
        _ => Verdict::Undecided,
    }
}

/// Answers whether ratings leave room for each other; none where no two can be compared.
///
/// # Errors
/// [`Cancelled`] if the case is to be worked on no longer.
pub(super) fn examine(case: &Case<'_>) -> Result<Option<Finding>, Cancelled> {
    let network = case.network();
    let mut pairs = Pairs::default();
    let mut hung: HashMap<&str, Vec<&Item>> = HashMap::new();
    for link in &case.dossier.links {
        for (one, other) in [(&link.from, &link.to), (&link.to, &link.from)] {
            if let Some(shunt) = case.item(one).filter(|i| is_shunt(i)) {
                hung.entry(other).or_default().push(shunt);
            }
        }
    }
    for contact in network.entrances() {
        case.go_on()?;
        let volts = working(case, contact, &mut pairs.grounds);
        let behind: Vec<&Item> = network.after(contact).map(|(item, _)| item).collect();
        for clamp in hung.get(contact.id.as_str()).into_iter().flatten() {
            let (stands, clamps) = (
                rating(case, clamp, "stand-off-voltage", "the stand-off voltage"),
                rating(case, clamp, "clamping-voltage", "the clamping voltage"),
            );
            pairs.pair(volts.as_ref(), stands.as_ref());
            for next in &behind {
                pairs.pair(clamps.as_ref(), maximum(case, next).as_ref());
            }
        }
        for next in &behind {
            let opens = threshold(case, next);
            pairs.pair(volts.as_ref(), opens.as_ref());
            pairs.pair(opens.as_ref(), maximum(case, next).as_ref());
            for (further, _) in network.after(next) {
                pairs.pair(opens.as_ref(), maximum(case, further).as_ref());
            }
        }
    }
    for cell in network.items().filter(|i| is_cell(i)) {
        case.go_on()?;
        charge(case, cell, &mut pairs);
        currents::charge(case, cell, &mut pairs);
        currents::discharge(case, cell, &mut pairs);
    }
    let Some((verdict, worst, words)) = pairs.worst else {
        return Ok(None);
    };
    let title = "Do the ratings leave room for each other?";
    let mut finding = Finding::new(Method::Protection, word!("margins"), title);
    finding.verdict = Some(verdict);
    finding.sentence = match verdict {
        Verdict::Holds => {
            format!(
                "Every pair of ratings that can be compared leaves room; tightest is that {words}."
            )
        }
        Verdict::Fails => {
            format!("Two ratings leave no room for each other: {words}, which it cannot.")
        }
        _ => format!(
            "Ratings may leave no room for each other: {words}, which is {}; but a part or one of its ratings is not certain.",
            likely(worst)
        ),
    };
    finding.conformance = Some(worst);
    let columns = vec![
        Column::words("Should be"),
        Column::probability("Probability"),
        Column::verdict("Verdict"),
    ];
    finding
        .details
        .extend(RowsOf::Margins.table(columns, pairs.rows));
    pairs.grounds.caution(
        "A clamping voltage is stated for one pulse: other pulses, other temperatures and other editions of a standard \
         do not compare.",
    );
    pairs.grounds.source("Guides to suppressors: stand-off above the working voltage, clamping below what the part behind withstands");
    pairs.grounds.close(&mut finding);
    Ok(Some(finding))
}

/// Compares the voltage that a charger is stated to charge to with the limit of its cell.
fn charge(case: &Case<'_>, cell: &Item, pairs: &mut Pairs) {
    let limit = cell.cell.as_ref().and_then(|c| c.limit_voltage.as_ref());
    let Some(limit) = limit.filter(|l| l.dimension() == Dimension::VOLTAGE) else {
        return;
    };
    let limit = Rating {
        soft: false,
        law: Law::Exact(limit.high_si()),
        words: format!("the limit voltage of {} ({limit})", the(cell)),
        place: Place::item(&cell.id).at("cell.limit-voltage"),
    };
    for charger in chargers(case, cell) {
        let stated = charger
            .converts
            .as_ref()
            .and_then(|c| c.output_voltage.as_ref());
        let stated = stated
            .filter(|s| s.dimension() == Dimension::VOLTAGE)
            .map(|s| Rating {
                soft: false,
                law: law(s),
                words: format!("the voltage that {} charges to ({s})", the(charger)),
                place: Place::item(&charger.id).at("converts.output-voltage"),
            });
        pairs.pair(stated.as_ref(), Some(&limit));
    }
}

/// Returns the chargers on the ways into a cell, each once.
fn chargers<'d>(case: &Case<'d>, cell: &Item) -> Vec<&'d Item> {
    let into = case.network().paths_into(cell);
    let mut chargers: Vec<&Item> = Vec::new();
    for item in into.flat_map(|path| &path.items) {
        let charges = item.converts.as_ref().is_some_and(is_charger);
        if charges && !chargers.iter().any(|c| c.id == item.id) {
            chargers.push(item);
        }
    }
    chargers
}
