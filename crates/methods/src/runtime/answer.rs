//! The findings on run time: one per cell and mode, per claimed run time, per pair of cells.

use crate::basis::unit;
use crate::energy::{capacity, recharges, run_time, usable};
use crate::ledger::Ledger;
use crate::network::Path;
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
    let mut ledger = Ledger::default();
    let title = format!("Run time on {} in mode {mode}", cell.name);
    let mut finding = Finding::new(Method::Runtime, word!("mode"), title)
        .named(mode)
        .about(Place::item(&cell.id));
    let found = run_time(&sheet, case, cell, mode, &mut ledger);
    match found.map(|(time, drawn)| (sheet.figure(time), drawn.measured)) {
        Some((Ok(figure), measured)) => {
            let how = if measured { "measured" } else { "stated" };
            finding.sentence = format!(
                "{} lasts {} in mode {mode}, from its usable charge and the {how} current.",
                cell.name, figure.text
            );
            finding.add_figure(word!("run-time"), figure);
        }
        other => {
            if let Some((Err(error), _)) = other {
                ledger.unused(error.to_string());
            }
            needs(
                &mut finding,
                format!(
                    "The run time on {} in mode {mode} needs the capacity of the cell and its current.",
                    cell.name
                ),
                format!(
                    "read the capacity printed on {} and measure its current in mode {mode}",
                    cell.name
                ),
            );
        }
    }
    ledger.close(&mut finding);
    finding
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
    let mut ledger = Ledger::default();
    let held = capacity(&sheet, case, cell, &mut ledger)?;
    let place = Place::claim(&claim.id);
    let time = ledger.nominal(
        &sheet,
        "claimed run time",
        stated,
        Dimension::TIME,
        Origin::Label,
        place,
    )?;
    let charge = usable(&sheet, cell, held, &mut ledger);
    let current = (charge / time).named("mean current that the claim implies", &unit("mA"));
    let title = format!("Mean current behind “{}”", claim.text);
    let mut finding =
        Finding::new(Method::Runtime, word!("implied"), title).about(Place::claim(&claim.id));
    let figure = sheet.figure(current).ok()?;
    finding.sentence = format!(
        "To run {stated} on the usable charge of {}, the mean current must be {} or less.",
        cell.name, figure.text
    );
    finding.add_figure(word!("implied-current"), figure);
    ledger.close(&mut finding);
    Some(finding)
}

/// How often one cell recharges another.
pub(super) fn per_pair(case: &Case<'_>, path: &Path<'_>) -> Finding {
    let (giver, taker) = (path.start(), path.end());
    let sheet = Sheet::new();
    let mut ledger = Ledger::default();
    let title = format!("Recharges of {} from {}", taker.name, giver.name);
    let mut finding = Finding::new(Method::Runtime, word!("recharges"), title)
        .named(&*taker.id)
        .about(Place::item(&giver.id));
    // The storage time that a claim about this giver states holds here too.
    let holding = case.tree().upwards(&giver.id).map(|i| i.id.as_str());
    let claim = case.lookup().storage_claim(holding);
    let storage = claim.and_then(|c| {
        let place = Place::claim(&c.id).at("after");
        Some((c.after.as_ref()?, place))
    });
    match recharges(&sheet, case, path, storage, &mut ledger).map(|t| sheet.figure(t)) {
        Some(Ok(figure)) => {
            finding.sentence = format!(
                "{} gives {} full recharges of {}, through {}.",
                giver.name,
                figure.text,
                taker.name,
                path.text()
            );
            finding.add_figure(word!("recharges"), figure);
        }
        other => {
            if let Some(Err(error)) = other {
                ledger.unused(error.to_string());
            }
            needs(
                &mut finding,
                format!(
                    "The recharges that {} gives {} need both capacities and the voltages between them.",
                    giver.name, taker.name
                ),
                format!(
                    "read the capacities of {} and {} and the output voltage of each converter between them",
                    giver.name, taker.name
                ),
            );
        }
    }
    ledger.close(&mut finding);
    finding
}
