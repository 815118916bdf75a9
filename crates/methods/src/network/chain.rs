//! What one path can pass.
//!
//! In: a path and what its supply offers. Out: every limit along it, expressed as the current it
//! allows at the end of the path, and which is the smallest.
//! Not here: finding paths; wording.
//!
//! A stage that passes current (linear charger, linear regulator, switch) has a current ratio of
//! one; a stage that passes energy has `efficiency × volts in ÷ volts out`. With these ratios each
//! limit is linear in the current at the end, so the limits compare without a search. Amounts are
//! totals over equal items working side by side.

use super::graph::Path;
use super::limits::{Collector, Limit};
use super::stage::{Ratio, Stage, cell_voltage, gains, power_as_current, stage};
use crate::Case;
use crate::cells::is_cell;
use crate::ledger::Ledger;
use crate::words::called;
use quantity::{Dimension, Origin, Sheet, Term};

/// What is offered at the start of a path.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Supply<'s> {
    pub(crate) volts: Option<Term<'s>>,
    pub(crate) amps: Option<Term<'s>>,
    pub(crate) watts: Option<Term<'s>>,
}

/// Everything found along one path.
#[derive(Debug)]
pub(crate) struct Chain<'s> {
    pub(crate) stages: Vec<Stage<'s>>,
    pub(crate) limits: Vec<Limit<'s>>,
    /// Index of the smallest limit.
    pub(crate) binding: Option<usize>,
    /// The current that the smallest limit allows at the end, total of equal items.
    pub(crate) current: Option<Term<'s>>,
    /// Current at the end over current at the start.
    pub(crate) gain: Ratio<'s>,
    pub(crate) ledger: Ledger,
}

/// Follows a path from its supply and compares the limits on it.
pub(crate) fn follow<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    path: &Path<'_>,
    supply: Supply<'s>,
) -> Chain<'s> {
    let mut ledger = Ledger::default();
    let end = path.end();
    let cell_volts = is_cell(end).then(|| cell_voltage(sheet, end, &mut ledger));
    let mut stages = Vec::new();
    let mut efficiencies = Vec::new();
    let mut volts = supply.volts;
    for (k, item) in path.items.iter().enumerate() {
        let link_volts = path.links.get(k).and_then(|link| {
            let stated = link.voltage.as_ref()?;
            let name = format!(
                "voltage from {} to {}",
                called(item),
                called(path.items[k + 1])
            );
            let place = case.link_place(*link).at("voltage");
            ledger.fact(
                sheet,
                name,
                stated,
                Dimension::VOLTAGE,
                Origin::Measured,
                place,
            )
        });
        let volts_in = volts;
        // A path that starts at a cell leaves it at the cell's own voltage.
        let conversion = if k + 1 < path.items.len() || !is_cell(item) {
            item.converts.as_ref()
        } else {
            None
        };
        let (volts_out, ratio, efficiency) = stage(
            sheet,
            item,
            conversion,
            volts_in,
            link_volts,
            cell_volts,
            &mut ledger,
        );
        stages.push(Stage {
            volts_in,
            volts_out,
            ratio,
        });
        efficiencies.push(efficiency);
        volts = volts_out;
    }
    let after = gains(&stages);
    let mut collector = Collector {
        sheet,
        case,
        path,
        stages: &stages,
        after: &after,
        ledger: &mut ledger,
        limits: Vec::new(),
    };
    let start = path.start();
    if let Some(amps) = supply.amps {
        collector.add(
            start,
            false,
            format!("rated current of {}", start.name),
            amps,
            0,
        );
    } else if let Some(watts) = supply.watts {
        let what = format!("rated power of {}", start.name);
        match power_as_current(&stages, &efficiencies, watts) {
            Some((amps, k)) => collector.add(start, false, what, amps, k),
            None => collector.ledger.unused(format!(
                "{what}: no voltage is known to turn it into a current"
            )),
        }
    }
    for k in 0..path.items.len() {
        collector.item(k);
    }
    let limits = collector.limits;
    let binding = limits
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.amps.total_cmp(&b.1.amps))
        .map(|(k, _)| k);
    let current = binding.map(|k| limits[k].term);
    Chain {
        stages,
        limits,
        binding,
        current,
        gain: after[0],
        ledger,
    }
}
