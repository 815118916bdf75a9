//! How long a cell lasts once it has aged, and in the cold.
//!
//! In: a cell, its run time as it is. Out: that run time times what age and cold leave of the capacity, both assumed
//! for the chemistry. Not here: how fast this cell ages, which nothing on record tells.

use crate::assumed::Row;
use crate::energy::{Ordinary, Whole, aged, cold, ordinary_use, resting, run_time};
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::words::{the, the_start};
use crate::{Case, Finding, Method};
use quantity::{Sheet, Term};
use record::{Item, Place};

/// Says what age and cold leave of the run time of a cell, in ordinary use or else in its first mode of use; nothing
/// for chemistries of which no share is known.
pub(super) fn worn(case: &Case<'_>, cell: &Item) -> Option<Finding> {
    let (aged, cold) = (aged(cell)?, cold(cell)?);
    let sheet = Sheet::new();
    let mut grounds = Grounds::default();
    let (time, whole, when) = as_it_is(&sheet, case, cell, &mut grounds)?;
    let title = format!("Run time of {}, aged and in the cold", the(cell));
    let mut finding =
        Finding::new(Method::Runtime, word!("worn"), title).about(Place::item(&cell.id));
    let mut left = |row: &'static Row, what: &str| {
        let name = format!("what is left of {} {what}", cell.name);
        let share = grounds.assumed(&sheet, &name, row, "measure its capacity so to replace it");
        grounds.source(row.source());
        let time = (share * time).named(&format!("run time {what}"), &unit("h"));
        sheet.figure(time).ok()
    };
    let old = left(aged, "after 500 full charges")?;
    let cool = left(cold, "at −10 °C")?;
    let bound = match whole {
        Whole::Part(_) => "at most ",
        Whole::Yes | Whole::AsRecorded => "",
    };
    finding.sentence = format!(
        "{} would last {bound}{} {when} after 500 full charges, and {bound}{} at −10 °C: shares of its capacity that \
         are assumed for its chemistry, not measured.",
        the_start(cell),
        old.text,
        cool.text
    );
    finding.add_figure(word!("aged-run-time"), old);
    finding.add_figure(word!("cold-run-time"), cool);
    grounds.close(&mut finding);
    Some(finding)
}

/// The run time of a cell as it is, whether it is a bound, and in what use.
fn as_it_is<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<(Term<'s>, Whole, String)> {
    let mut tried = Grounds::default();
    if let Some(Ordinary { time, whole, .. }) = ordinary_use(sheet, case, cell, &mut tried) {
        grounds.absorb(tried);
        return Some((time, whole, "in ordinary use".to_string()));
    }
    let modes = case.supplies().modes(cell);
    let mode = modes.into_iter().find(|mode| !resting(mode))?;
    let running = run_time(sheet, case, cell, &mode, grounds)?;
    Some((running.time, running.drawn.whole, format!("on {mode}")))
}
