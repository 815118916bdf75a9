//! What a path takes at its start.
//!
//! In: a followed chain, a contact with its rating. Out: the power drawn. Not here: wording.

use super::chain::{Chain, follow};
use super::stage::Ratio;
use super::supply::Printed;
use crate::Case;
use crate::cells::is_cell;
use crate::grounds::Grounds;
use crate::inputs::unit;
use quantity::{Sheet, Term};
use record::Item;

/// Power drawn at the start when the end takes `current`.
pub(crate) fn taken<'s>(
    chain: &Chain<'s>,
    current: Term<'s>,
    (start, end): (&Item, &Item),
) -> Option<Term<'s>> {
    let volts = chain
        .stages
        .first()
        .and_then(|s| s.volts_in.or(s.volts_out))?;
    let amps = match chain.gain() {
        Ratio::One => current,
        Ratio::Times(gain) => current / gain,
        Ratio::Unknown => return None,
    };
    Some((volts * amps).named(
        &format!("power taken at {} for {}", start.name, end.name),
        &unit("W"),
    ))
}

/// Returns the most power that any path takes at a contact under a printed rating, with what binds
/// it.
pub(crate) fn greatest_use<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    contact: &Item,
    printed: &Printed,
    grounds: &mut Grounds,
) -> Option<(Term<'s>, String)> {
    let start = Some(contact).filter(|c| case.network().is_entrance(c))?;
    let mut best: Option<(f64, Term<'s>, String)> = None;
    let paths = case.network().paths_from(start).iter();
    let choices = &printed.rating.choices;
    for (path, choice) in paths.flat_map(|p| choices.iter().map(move |c| (p, c))) {
        let supply = printed.supply(sheet, start, choice, grounds);
        let chain = follow(sheet, case, path, supply, &[]);
        if is_cell(path.end()) && !chain.charge_is_set {
            continue;
        }
        let Some((current, binding)) = chain.current.zip(chain.binding) else {
            continue;
        };
        let Some(watts) = taken(&chain, current, (start, path.end())) else {
            continue;
        };
        let Ok(value) = sheet.value(watts) else {
            continue;
        };
        if best.as_ref().is_none_or(|b| value > b.0) {
            best = Some((value, watts, chain.limits[binding].what.clone()));
        }
        grounds.absorb(chain.grounds);
    }
    best.map(|(_, watts, binds)| (watts, binds))
}
