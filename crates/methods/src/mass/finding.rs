//! The masses as findings: sentences, tables, workings.

use super::inferred::inferred_figure;
use super::next::{self, NextWeighing, weighable};
use super::solution::MassSolution;
use super::{balance, tables};
use crate::assumed;
use crate::deadline::Needs;
use crate::words::{capital, counted, listed, spelt_of, the};
use crate::{
    Answer, Case, Detail, FigureKey, Finding, KeyedFigure, MassRow, Method, Missing, Verdict,
    inputs,
};
use quantity::{GAP, digits, format_quantity};
use record::{Dossier, Place, ReadingSubject};

const SOURCE: &str = "Balance-constrained weighted least squares with global, measurement and nodal \
    tests: S. Narasimhan, C. Jordache, Data Reconciliation and Gross Error Detection, 2000.";
const SIDAK: &str = "Critical values for several tests at once: Z. Šidák, J. Am. Stat. Assoc. 62 \
    (1967) 626–633.";

/// Answers what the weighings of a dossier say.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let solution = case.masses();
    if solution.weighings.is_empty() {
        return Ok(vec![nothing_weighed(case, solution)]);
    }
    case.go_on()?;
    let agreement = agreement(case, solution);
    case.go_on()?;
    Ok(vec![agreement, pieces(case, solution)])
}

fn nothing_weighed(case: &Case<'_>, solution: &MassSolution) -> Finding {
    let dossier = case.dossier;
    let mut finding = Finding::new(Method::Mass, word!("balance"), "Do the weighings agree?")
        .saying("Nothing has been weighed, so no mass is known.");
    finding.verdict = Some(Verdict::NeedsEvidence);
    finding.unused.clone_from(&solution.unused);
    if let Some(root) = dossier.items.iter().find(|i| i.parent.is_none()) {
        finding.missing.push(missing(
            case,
            &root.id,
            format!("weigh {} whole", the(root)),
            &assumed::SCALE_RESOLUTION.text(),
        ));
    }
    finding
}

/// A missing weighing of `item`, with the step it must come before.
fn missing(case: &Case<'_>, item: &str, measure: String, resolution: &str) -> Missing {
    let chance = case.deadlines().until(case, Some(item), Needs::Whole);
    chance.missing(measure, Some(resolution))
}

fn name(dossier: &Dossier, item: &str) -> String {
    dossier.item(item).map_or_else(|| item.to_string(), the)
}

fn assumptions(dossier: &Dossier, solution: &MassSolution, finding: &mut Finding) {
    finding.assume(
        "A product or assembly is taken to hold exactly its listed items; anything unlisted (glue, dust) \
         shows as a balance that does not close or goes into the item that was not weighed. Add items \
         to change this.",
    );
    finding.assume(format!(
        "Masses are as the scale shows them (air {}, weights {}). Air buoyancy makes \
         plastics about 0.1 % heavier than shown and cancels between a whole and its pieces.",
        assumed::AIR_DENSITY.text(),
        assumed::WEIGHT_DENSITY.text(),
    ));
    let shared = dossier
        .readings
        .iter()
        .any(|r| r.what == ReadingSubject::Mass && inputs::shared_uncertainty(dossier, r) > 0.0);
    if shared {
        finding.assume(
            "Half of the variance of an instrument's constant limit of error is taken as an offset common to \
             all readings on it; the rest, and a limit in %, is each reading's own. State a correlation to \
             change this.",
        );
    }
    let assumed_limit = |r: &&record::Reading| {
        let instrument = r
            .instrument
            .as_deref()
            .and_then(|id| dossier.instrument(id));
        r.what == ReadingSubject::Mass && inputs::limit_is_assumed(instrument, r)
    };
    let without: Vec<String> = dossier
        .readings
        .iter()
        .filter(assumed_limit)
        .map(|r| dossier.item(&r.item).map_or_else(|| r.id.clone(), the))
        .collect();
    if !without.is_empty() {
        finding.assume(format!(
            "The accuracy of the scale is not stated for {}: a limit of error of {} is assumed. Give `accuracy` of \
             the instrument to change this.",
            listed(without),
            assumed::SCALE_DIGITS.text()
        ));
        finding.cite(assumed::SCALE_DIGITS.source());
    }
    for weighing in &solution.weighings {
        let count = dossier.items[weighing.at].count.at_least();
        if count > 1 && !weighing.pieces_given {
            finding.assume(format!(
                "Reading '{}' is taken to be of one piece of '{}' (there are {count}); give 'pieces' \
                 to change this.",
                weighing.reading, weighing.item
            ));
        }
    }
    finding.cite(SOURCE);
}

fn agreement(case: &Case<'_>, solution: &MassSolution) -> Finding {
    let dossier = case.dossier;
    let mut finding = Finding::new(Method::Mass, word!("balance"), "Do the weighings agree?");
    let result = &solution.reconciled;
    let dof = result.degrees_of_freedom;
    finding.evidence = solution.places(0..solution.weighings.len());
    finding.unused.clone_from(&solution.unused);
    assumptions(dossier, solution, &mut finding);
    let (Some(p), Some(limit)) = (
        result.p_value(),
        balance::chi_square_critical(super::ALPHA, dof),
    ) else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "{} taken, and none of them checks another: the masses stand as read.{}",
            counted(solution.weighings.len(), "weighing was", "weighings were"),
            impossible(dossier, solution)
        );
        next_weighing(case, solution, &mut finding);
        return finding;
    };
    let critical = solution.critical_z();
    let flagged: Vec<usize> = (0..result.z_power.len())
        .filter(|&j| result.z_power[j].abs() > critical)
        .collect();
    let agrees = p >= super::ALPHA;
    finding.verdict = Some(if agrees {
        Verdict::Holds
    } else {
        Verdict::Fails
    });
    finding.sentence = format!(
        "{} {}.",
        counted(solution.weighings.len(), "weighing", "weighings"),
        if agrees {
            "agree within their uncertainties"
        } else {
            "do not all agree"
        },
    );
    finding.assume(format!(
        "Weighings contradict each other where χ² is beyond what one case in twenty reaches: here {} with {}, \
         the limit being {}.",
        digits::decimal(result.chi_square, 2),
        counted(dof, "independent balance", "independent balances"),
        digits::decimal(limit, 2),
    ));
    if let Some(&worst) = flagged
        .iter()
        .max_by(|&&a, &&b| result.z_power[a].abs().total_cmp(&result.z_power[b].abs()))
    {
        finding.sentence.push(' ');
        finding
            .sentence
            .push_str(&suspicion(dossier, solution, worst));
        let scales = next::Scale::all(dossier);
        for j in solution.alike(worst) {
            let weighing = &solution.weighings[j];
            if case.deadlines().can_be_weighed(case, &weighing.item) {
                let measure = format!("weigh {} again", name(dossier, &weighing.item));
                let scale = next::Scale::best(&scales, weighing.shown);
                let resolution = format_quantity(scale.resolution, &inputs::unit("g"));
                finding
                    .missing
                    .push(missing(case, &weighing.item, measure, &resolution));
            }
        }
    } else if !agrees {
        finding.sentence.push_str(
            " No single reading stands out; look for an unlisted piece or several small errors.",
        );
    }
    finding.cite(SIDAK);
    finding.details.push(tables::readings(dossier, solution));
    finding.details.extend(tables::balances(dossier, solution));
    finding
}

/// Says which weighing should have shown what, and which others it cannot be told from.
fn suspicion(dossier: &Dossier, solution: &MassSolution, worst: usize) -> String {
    let alike = solution.alike(worst);
    let grams = |mass: f64| format!("{}{GAP}g", digits::decimal(mass, 2));
    let label = |j: usize| name(dossier, &solution.weighings[j].item);
    let would_be = |j: usize| {
        let suspect = solution.without(j)?;
        let (item, shown) = (label(j), grams(solution.weighings[j].shown));
        Some((item, shown, grams(suspect.should_be)))
    };
    if let [one] = alike.as_slice() {
        return match would_be(*one) {
            Some((item, shown, should)) => format!(
                "{} was noted at {shown}; the others agree on {should}: probably a slip.",
                capital(&item)
            ),
            None => format!("The weighing of {} stands out.", label(*one)),
        };
    }
    let names = alike.iter().map(|&j| label(j)).collect();
    let each = alike.iter().filter_map(|&j| would_be(j));
    let each: Vec<String> = each
        .map(|(item, shown, should)| format!("{item} should have shown {should} and not {shown}"))
        .collect();
    let mut text = format!(
        "One of the weighings of {} is wrong, and weighing alone cannot tell which.",
        listed(names)
    );
    if !each.is_empty() {
        text.push_str(&format!(" If one alone is wrong: {}.", each.join("; ")));
    }
    text
}

fn pieces(case: &Case<'_>, solution: &MassSolution) -> Finding {
    let dossier = case.dossier;
    let mut finding = Finding::new(Method::Mass, word!("pieces"), "What the pieces weigh");
    assumptions(dossier, solution, &mut finding);
    let mut rows = Vec::new();
    let (mut unknown, mut light) = (Vec::new(), Vec::new());
    let (mut weighed, mut inferred) = (0, Vec::new());
    let mut rests = solution.kept.clone();
    for &(at, depth) in &solution.tree.order {
        let item = &dossier.items[at];
        let adjusted = solution.adjusted(at);
        let own = solution.weighings_of(at);
        if adjusted.is_none() && own.is_empty() {
            if let Some((_, u)) = solution.unlimited(at) {
                light.push((at, u));
            } else if weighable(dossier, solution, at) {
                unknown.push(the(item));
            } else {
                continue;
            }
        }
        let measured = solution.measured(at);
        let is_inferred = adjusted.is_some() && measured.is_none();
        if is_inferred {
            inferred.push(at);
        } else if measured.is_some() {
            weighed += 1;
        }
        let z = own
            .iter()
            .map(|&j| solution.z(j))
            .filter(|z| *z != 0.0)
            .max_by(|a, b| a.abs().total_cmp(&b.abs()));
        rows.push(MassRow {
            item: item.id.clone(),
            name: item.name.clone(),
            depth,
            parent: item.parent.clone(),
            measured,
            adjusted,
            z,
            flagged: own.iter().any(|&j| solution.is_flagged(j)),
            inferred: is_inferred,
        });
        if adjusted.is_none() {
            solution
                .direct(at)
                .iter()
                .for_each(|&(j, _)| rests[j] = true);
        }
    }
    finding.evidence = solution.places((0..rests.len()).filter(|&j| rests[j]));
    finding.sentence = format!(
        "{} weighed, {} from the others, {} not known.",
        counted(weighed, "piece was", "pieces were"),
        spelt_of(inferred.len(), "mass follows", "masses follow"),
        spelt_of(unknown.len() + light.len(), "is", "are"),
    );
    finding.sentence.push_str(&impossible(dossier, solution));
    if solution.agree() == Some(false) {
        finding.sentence.push_str(&set_aside(dossier, solution));
    }
    for item in inferred {
        match inferred_figure(dossier, solution, item) {
            // What the figures rest on is listed already.
            Some(Ok(figure)) => {
                let place = Place::item(&dossier.items[item].id);
                let key = FigureKey::from(word!("mass")).of(place);
                finding.figures.push(KeyedFigure { key, figure });
            }
            Some(Err(error)) => {
                let name = the(&dossier.items[item]);
                finding.unused.push(format!("mass of {name}: {error}"));
            }
            None => {}
        }
    }
    if !unknown.is_empty() {
        finding.unused.push(format!(
            "The weighings do not determine the mass of {}.",
            listed(unknown)
        ));
    }
    for (at, u) in light {
        let name = the(&dossier.items[at]);
        let impossible = solution.below_nothing.iter().any(|(item, _)| *item == at);
        finding.unused.push(if impossible {
            format!("No mass is given for {name}: the weighings leave less than nothing for it.")
        } else {
            format!(
                "{name} cannot be told from nothing: the weighings that leave its mass are uncertain by {}.",
                format_quantity(inputs::tidy(2.0 * u), &inputs::unit("g"))
            )
        });
    }
    finding.details.extend(tables::chart(dossier, &rows));
    finding.details.push(Detail::Masses { rows });
    next_weighing(case, solution, &mut finding);
    finding
}

/// Says that pieces were weighed heavier than what holds them.
fn impossible(dossier: &Dossier, solution: &MassSolution) -> String {
    let wholes: Vec<String> = solution
        .excesses
        .iter()
        .map(|e| the(&dossier.items[e.whole]))
        .collect();
    if wholes.is_empty() {
        return String::new();
    }
    format!(
        " Pieces of {} were weighed heavier than the whole, so one of these weighings is wrong and the masses of \
         both are not to be relied on.",
        listed(wholes)
    )
}

/// Says what the masses rest on after a contradiction.
fn set_aside(dossier: &Dossier, solution: &MassSolution) -> String {
    if solution.set_aside.is_empty() {
        return " The weighings contradict each other and none stands out, so the adjusted masses are not \
            to be relied on until the wrong reading is found."
            .to_string();
    }
    let names = solution
        .set_aside
        .iter()
        .map(|&j| {
            format!(
                "the weighing of {}",
                name(dossier, &solution.weighings[j].item)
            )
        })
        .collect();
    // Beside one that is set aside the others may leave a mass open.
    let alone: Vec<String> = solution
        .set_aside
        .iter()
        .map(|&j| &solution.weighings[j])
        .filter(|w| solution.adjusted(w.at).is_none())
        .map(|w| name(dossier, &w.item))
        .collect();
    let alone = match alone.is_empty() {
        true => String::new(),
        false => format!(
            ", but that of {}, which no other tells, stands as it was weighed",
            listed(alone)
        ),
    };
    format!(
        " {} {} set aside; the masses follow from the others{alone}.",
        capital(&listed(names)),
        match solution.set_aside.len() {
            1 => "is",
            _ => "are",
        }
    )
}

fn next_weighing(case: &Case<'_>, solution: &MassSolution, finding: &mut Finding) {
    let dossier = case.dossier;
    let possible = |item: &record::Item| case.deadlines().can_be_weighed(case, &item.id);
    let Some(next) = next::best(dossier, solution, possible) else {
        return;
    };
    let measure = next_sentence(dossier, &next);
    let resolution = format_quantity(next.scale.resolution, &inputs::unit("g"));
    finding
        .missing
        .push(missing(case, &next.item, measure, &resolution));
}

fn next_sentence(dossier: &Dossier, next: &NextWeighing) -> String {
    let what = if next.pieces > 1 {
        format!(
            "all {} of {} together",
            next.pieces,
            name(dossier, &next.item)
        )
    } else {
        name(dossier, &next.item)
    };
    let gain = if next.newly_known.is_empty() {
        format!(
            "the variances of all known masses fall by {:.0}{GAP}% together",
            100.0 * (1.0 - next.variance_then / next.variance_now),
        )
    } else {
        let names = next.newly_known.iter().map(|i| name(dossier, i)).collect();
        format!(
            "the {} of {} {} from it",
            if next.newly_known.len() == 1 {
                "mass"
            } else {
                "masses"
            },
            listed(names),
            if next.newly_known.len() == 1 {
                "follows"
            } else {
                "follow"
            },
        )
    };
    format!(
        "weigh {what} on the {}, which helps most: {gain}",
        next.scale.name
    )
}
