//! The findings on run time: one per cell and mode, per claimed run time, per pair of cells.

use super::takes::{Taker, most};
use crate::energy::{
    Feeding, Ordinary, Part, Running, Whole, capacity, draw, ordinary_use, recharges, resting,
    run_time, usable,
};
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::words::{listed, the, the_start};
use crate::{Case, Finding, Method, Missing, Verdict};
use quantity::{Dimension, Origin, Sheet};
use record::{Claim, Item, Place};

fn needs(finding: &mut Finding, sentence: String, measure: String) {
    finding.verdict = Some(Verdict::NeedsEvidence);
    finding.sentence = sentence;
    finding.missing.push(Missing::at_any_time(measure));
}

/// How long one cell lasts in a mode.
pub(super) fn per_mode(case: &Case<'_>, cell: &Item, mode: &str) -> Finding {
    let sheet = Sheet::new();
    let mut grounds = Grounds::default();
    let title = format!("Run time of {} on {mode}", the(cell));
    let mut finding = Finding::new(Method::Runtime, word!("mode"), title)
        .named(mode)
        .about(Place::item(&cell.id));
    let found = run_time(&sheet, case, cell, mode, &mut grounds);
    match found.map(|running| (sheet.figure(running.time), running)) {
        Some((Ok(figure), Running { charge, drawn, .. })) => {
            let text = |term| sheet.figure(term).map(|f| f.text).unwrap_or_default();
            finding.sentence = if let Whole::Part(why) = &drawn.whole {
                let measure = format!("measure the whole current of {} on {mode}", the(cell));
                finding.missing.push(Missing::at_any_time(measure));
                format!(
                    "{} lasts at most {} on {mode}: {why}, so this is a bound, not a value.",
                    the_start(cell),
                    figure.text
                )
            } else {
                format!(
                    "{} lasts {} on {mode}: its usable charge, {}, at the {} {}{}.",
                    the_start(cell),
                    figure.text,
                    text(charge),
                    if drawn.measured { "measured" } else { "stated" },
                    text(drawn.term),
                    // At rest a cell loses about as much by itself.
                    if resting(mode) {
                        " and its assumed self-discharge"
                    } else {
                        ""
                    },
                )
            };
            finding.add_result(word!("current"), "current", sheet.figure(drawn.term));
            finding.add_figure(word!("run-time"), figure);
            let takers = drawn.parts.into_iter().map(taker).collect();
            if let Some(said) = most(&sheet, &mut finding, drawn.term, takers) {
                finding.sentence = format!("{} {said}", finding.sentence);
            }
        }
        other => {
            if let Some((Err(error), _)) = other {
                grounds.unused(error.to_string());
            }
            needs(
                &mut finding,
                format!(
                    "The run time of {} on {mode} needs the capacity of the cell and its current.",
                    the(cell)
                ),
                format!(
                    "read the capacity printed on {} and measure its current on {mode}",
                    the(cell)
                ),
            );
        }
    }
    grounds.close(&mut finding);
    finding
}

fn taker(part: Part<'_>) -> Taker<'_> {
    Taker::thing(word!("share"), &part.item, part.name, part.term)
}

/// The mean current that a claimed run time implies.
pub(super) fn implied(case: &Case<'_>, claim: &Claim) -> Option<Finding> {
    let stated = claim
        .value
        .as_ref()
        .filter(|v| v.dimension() == Dimension::TIME)?;
    let [cell] = case.supplies().cells_of(claim.says.item.as_deref()) else {
        return None;
    };
    let sheet = Sheet::new();
    let mut grounds = Grounds::default();
    let held = capacity(&sheet, case, cell, &mut grounds)?;
    let place = Place::claim(&claim.id);
    let time = grounds.nominal(
        &sheet,
        "claimed run time",
        stated,
        Dimension::TIME,
        Origin::Label,
        place,
    )?;
    let charge = usable(&sheet, cell, held, &mut grounds);
    let current = (charge / time).named("mean current that the claim implies", &unit("mA"));
    let title = format!("The current behind “{}”", claim.text);
    let mut finding =
        Finding::new(Method::Runtime, word!("implied"), title).about(Place::claim(&claim.id));
    let figure = sheet.figure(current).ok()?;
    let mut takes = None;
    let drawn = claim.says.mode.as_deref().and_then(|mode| {
        let drawn = draw(&sheet, case, cell, mode)?;
        grounds.absorb(drawn.grounds);
        let text = sheet.figure(drawn.term).ok()?.text;
        let how = if drawn.measured {
            "was measured"
        } else {
            "is stated"
        };
        // More than it may draw: what is known of its parts does not fit the claim.
        let share = (drawn.term / current).named("of the implied current", &unit("%"));
        let over = match sheet.figure(share) {
            Ok(share) if share.value > 100.0 => ", more than that",
            _ => "",
        };
        takes = Some((drawn.term, drawn.parts));
        Some(format!("; on {mode} {text} {how}{over}"))
    });
    finding.sentence = format!(
        "Running {stated} on the usable charge of {} needs a mean current of {} or less{}.",
        the(cell),
        figure.text,
        drawn.unwrap_or_default()
    );
    finding.add_figure(word!("implied-current"), figure);
    if let Some((whole, parts)) = takes {
        let takers = parts.into_iter().map(taker).collect();
        if let Some(said) = most(&sheet, &mut finding, whole, takers) {
            finding.sentence = format!("{} {said}", finding.sentence);
        }
    }
    grounds.close(&mut finding);
    Some(finding)
}

/// How long one cell lasts in ordinary use, where the share of the time of each mode is stated.
pub(super) fn ordinary(case: &Case<'_>, cell: &Item) -> Option<Finding> {
    let sheet = Sheet::new();
    let mut grounds = Grounds::default();
    let Ordinary {
        time,
        mean,
        whole,
        modes,
        parts,
    } = ordinary_use(&sheet, case, cell, &mut grounds)?;
    let figure = sheet.figure(time).ok()?;
    let title = format!("Run time of {} in ordinary use", the(cell));
    let mut finding =
        Finding::new(Method::Runtime, word!("ordinary"), title).about(Place::item(&cell.id));
    finding.sentence = match &whole {
        Whole::Part(why) => format!(
            "{} lasts at most {} in ordinary use: {why}, so this is a bound, not a value.",
            the_start(cell),
            figure.text
        ),
        _ => format!(
            "{} lasts {} in ordinary use, from the stated share of the time of each mode.",
            the_start(cell),
            figure.text
        ),
    };
    finding.add_figure(word!("run-time"), figure);
    finding.add_result(word!("current"), "current", sheet.figure(mean));
    let by_mode = modes.iter();
    let by_mode = by_mode.map(|(mode, term)| Taker::mode(word!("share-of-mode"), mode, *term));
    let by_mode = most(&sheet, &mut finding, mean, by_mode.collect());
    let by_thing = parts.into_iter().map(taker).collect();
    let by_thing = most(&sheet, &mut finding, mean, by_thing);
    for said in by_mode.into_iter().chain(by_thing) {
        finding.sentence = format!("{} {said}", finding.sentence);
    }
    grounds.close(&mut finding);
    Some(finding)
}

/// How often one cell recharges those that hang on it, all together.
pub(super) fn per_giver(case: &Case<'_>, feeding: &Feeding<'_>) -> Finding {
    let giver = feeding.giver;
    let takers: Vec<&Item> = feeding.paths.iter().map(|p| p.end()).collect();
    let names = listed(takers.iter().map(|t| the(t)).collect());
    let sheet = Sheet::new();
    let mut grounds = Grounds::default();
    let title = format!("Full charges of {names} from {}", the(giver));
    let mut finding =
        Finding::new(Method::Runtime, word!("recharges"), title).about(Place::item(&giver.id));
    finding.id.words = takers.iter().map(|t| t.id.clone()).collect();
    // The storage time that a claim about this giver states holds here too.
    let holding = case.tree().upwards(&giver.id).map(|i| i.id.as_str());
    let claim = case.lookup().storage_claim(holding);
    let storage = claim.and_then(|c| {
        let place = Place::claim(&c.id).at("after");
        Some((c.after.as_ref()?, place))
    });
    let found = recharges(&sheet, case, feeding, storage, &mut grounds);
    let through = match feeding.paths.as_slice() {
        [_] => String::new(),
        _ => ", all charged together".to_string(),
    };
    match found {
        Some(rounds) => {
            let (least, most) = (
                sheet.figure(rounds.least),
                rounds.most.map(|m| sheet.figure(m)),
            );
            let text = |f: &Result<quantity::Figure, _>| match f {
                Ok(f) => f.text.clone(),
                Err(_) => "an unknown number of".to_string(),
            };
            finding.sentence = match &most {
                None => format!(
                    "{} gives {} full charges of {names}{through}.",
                    the_start(giver),
                    text(&least)
                ),
                Some(most) => {
                    let asks = rounds.asks.unwrap_or_default();
                    finding.missing.push(Missing::at_any_time(format!(
                        "identify {asks}: that narrows the answer most"
                    )));
                    format!(
                        "{} gives {} to {} full charges of {names}{through}, as a stage on the way is not \
                         known; what {asks} is would narrow this most.",
                        the_start(giver),
                        text(&least),
                        text(most)
                    )
                }
            };
            finding.add_result(word!("recharges"), "recharges", least);
            if let Some(most) = most {
                finding.add_result(word!("most-recharges"), "most recharges", most);
            }
        }
        None => needs(
            &mut finding,
            format!(
                "The charges that {} gives {names} need all capacities, a stage between the cells and the \
                 voltages on the way{}.",
                the(giver),
                grounds
                    .unused
                    .as_slice()
                    .last()
                    .map_or_else(String::new, |why| format!(" ({why})"))
            ),
            format!(
                "read the capacities of {} and {names}, identify the stages between them and measure their output \
                 voltages",
                the(giver)
            ),
        ),
    }
    grounds.close(&mut finding);
    finding
}
