//! How fast a cell can be charged at most.
//!
//! In: a cell and the paths into it. Out: the greatest charge current, and whether it is measured, set by a
//! charger, or a mere bound; capacity ÷ current, which no charge beats; the span of the constant-voltage tail.
//! Not here: the course of a charge.

use super::draw::charging_reading;
use super::rates::charge_rate;
use super::store::capacity;
use super::{logged, simulated};
use crate::Case;
use crate::assumed;
use crate::cells::is_cell;
use crate::grounds::Grounds;
use crate::inputs::{hour, unit};
use crate::network::{Joined, Path, best};
use quantity::{Sheet, Term};
use record::Item;

/// Hours below which a charge is told in minutes.
const TOLD_IN_MINUTES: f64 = 10.0;

/// What a charge current is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Worth {
    /// Read while charging.
    Measured,
    /// Set by the charger, less where something before it gives less.
    Set,
    /// Neither: no charge exceeds it, but it may be far less.
    Bound,
}

/// The greatest charge current of a cell.
#[derive(Debug)]
pub(crate) struct Reach<'s> {
    /// Current into one cell, or one group of joined cells.
    pub(crate) current: Term<'s>,
    /// That current, A.
    pub(crate) amps: f64,
    pub(crate) worth: Worth,
    /// The limit that binds, in words.
    pub(crate) binds: String,
    /// The path, in words.
    pub(crate) path: String,
    pub(crate) grounds: Grounds,
}

/// Returns the greatest charge current that is plausible for one cell or group of its chemistry and size,
/// with what it is in words.
pub(crate) fn plausible<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<(Term<'s>, String)> {
    let held = capacity(sheet, case, cell, grounds)?;
    let ampere_hours = sheet.value(held.term).ok()? / unit("Ah").factor();
    let row = charge_rate(cell, ampere_hours)?;
    let (_, most) = row.bounds();
    grounds.assume(format!(
        "charge rate of {}: {}; neither charger nor cell states a limit, so the upper end bounds it: it may \
         refute a claim, not prove one",
        cell.name,
        row.text()
    ));
    grounds.source(row.source());
    let per_hour = sheet.number(most) / sheet.input(hour());
    let current = (held.term * per_hour).named("greatest plausible charge current", &unit("A"));
    let words = format!("greatest plausible charge rate, {most} times the capacity per hour,");
    Some((current, words))
}

/// Finds the path that lets the most current into the cell.
pub(crate) fn charge_reach<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
) -> Option<Reach<'s>> {
    let network = case.network();
    // A path that begins at a contact fed from inside the product is the tail of a longer one.
    let whole = |p: &&Path<'_>| is_cell(p.start()) || !network.is_fed(p.start());
    let any_whole = network.paths_into(cell).any(|p| whole(&p));
    let kept = || {
        let paths = network.paths_into(cell);
        paths.filter(move |p| !any_whole || whole(p))
    };
    if let Some(reading) = charging_reading(case, cell) {
        let mut grounds = Grounds::default();
        let name = format!("charge current of {}", cell.name);
        let whole = grounds.reading(sheet, case, &name, reading);
        let pieces = f64::from(reading.pieces.unwrap_or(1).max(1));
        let current = if pieces > 1.0 { whole / pieces } else { whole };
        let path = kept().next().map_or_else(|| cell.name.clone(), Path::text);
        let amps = reading.value.si() / pieces;
        return Some(Reach {
            current,
            amps,
            worth: Worth::Measured,
            binds: "measured charge current".to_string(),
            path,
            grounds,
        });
    }
    let mut grounds = Grounds::default();
    if let Some((current, amps)) = logged::charging_current(sheet, case, cell, &mut grounds) {
        let path = kept().next().map_or_else(|| cell.name.clone(), Path::text);
        return Some(Reach {
            current,
            amps,
            worth: Worth::Measured,
            binds: "logged charge current".to_string(),
            path,
            grounds,
        });
    }
    let mut most: Option<Reach<'s>> = None;
    for path in kept() {
        let Some(reach) = along(sheet, case, cell, path) else {
            continue;
        };
        if most.as_ref().is_none_or(|m| reach.amps > m.amps) {
            most = Some(reach);
        }
    }
    most
}

/// Returns the greatest charge current along one path.
fn along<'s>(sheet: &'s Sheet, case: &Case<'_>, cell: &Item, path: &Path<'_>) -> Option<Reach<'s>> {
    let mut chain = best(sheet, case, path, &[]);
    let mut grounds = std::mem::take(&mut chain.grounds);
    let groups = f64::from(Joined::of(case, cell).groups);
    let limit = chain.current.zip(chain.binding).map(|(current, k)| {
        let one = if groups > 1.0 {
            current / groups
        } else {
            current
        };
        let limit = &chain.limits[k];
        (one, limit.amps / groups, limit.what.clone())
    });
    let facts = cell.cell.as_ref();
    let allowed = facts.is_some_and(|c| c.charge_current.is_some());
    let (worth, name) = if chain.charge_is_set {
        (Worth::Set, format!("charge current of {}", cell.name))
    } else {
        (
            Worth::Bound,
            "greatest plausible charge current".to_string(),
        )
    };
    let (current, amps, binds) = match limit {
        Some(limit) if chain.charge_is_set || allowed => limit,
        limit => {
            let (current, words) = plausible(sheet, case, cell, &mut grounds)?;
            let amps = sheet.value(current).ok()?;
            match limit {
                Some(limit) if limit.1 <= amps => limit,
                _ => (current, amps, words),
            }
        }
    };
    Some(Reach {
        current: current.named(&name, &unit("A")),
        amps,
        worth,
        binds,
        path: path.text(),
        grounds,
    })
}

/// The time of a charge from empty.
#[derive(Debug)]
pub(crate) struct ChargingTime<'s> {
    /// Capacity ÷ current: no charge is shorter.
    pub(crate) least: Term<'s>,
    /// Until the charger ends it, simulated; none where the current is a bound, or nothing is known of such cells.
    pub(crate) full: Option<Term<'s>>,
    /// Whether a log says so, and it was not simulated.
    pub(crate) logged: bool,
    /// With the shortest and the longest tail of the computed runs, where it cannot be simulated; none where the
    /// current is a bound.
    pub(crate) span: Option<(Term<'s>, Term<'s>)>,
    pub(crate) reach: Reach<'s>,
}

/// Returns the least time to charge a cell and the span with the constant-voltage tail.
pub(crate) fn charging_time<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<ChargingTime<'s>> {
    let mut reach = charge_reach(sheet, case, cell)?;
    let capacity = capacity(sheet, case, cell, grounds)?;
    grounds.absorb(std::mem::take(&mut reach.grounds));
    let least = capacity.term / reach.current;
    // A charge and its end are told in one unit.
    let short = sheet
        .value(least)
        .is_ok_and(|t| t < TOLD_IN_MINUTES * unit("h").factor());
    let told = if short { unit("min") } else { unit("h") };
    let least = least.named(&format!("least charging time of {}", cell.name), &told);
    let seen = logged::full_time(sheet, case, cell, grounds);
    let logged = seen.is_some();
    let full = seen
        .map(|(time, _)| time)
        .or_else(|| {
            (reach.worth != Worth::Bound)
                .then(|| simulated::full(sheet, case, cell, capacity.term, reach.current, grounds))
                .flatten()
        })
        .map(|full| full.named(&format!("charging time of {}", cell.name), &told));
    let span = (reach.worth != Worth::Bound && full.is_none()).then(|| {
        let row = &assumed::CHARGING_TAIL;
        grounds.assume(format!(
            "constant-voltage tail: {} times charge ÷ current, the span of computed runs, assumed; it may refute \
             a claim, not prove one; record a `charging-time` reading to replace it",
            row.text()
        ));
        grounds.source(row.source());
        let (short, long) = row.bounds();
        // No run was computed below C/2, where the tail vanishes.
        let slow = sheet.value(least).is_ok_and(|t| t > 2.0 * unit("h").factor());
        let with = |factor: f64, word: &str| {
            (sheet.number(factor) * least).named(
                &format!("{word} charging time of {} with the tail", cell.name),
                &told,
            )
        };
        let short = if slow { 1.0 } else { short };
        (with(short, "shortest"), with(long, "longest"))
    });
    Some(ChargingTime {
        least,
        full,
        logged,
        span,
        reach,
    })
}
