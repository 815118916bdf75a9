//! The value that the record gives for what a claim says.
//!
//! In: a claim about a quantity. Out: a term with how it was found, or nothing. A direct reading
//! always beats a derived value. Not here: deciding.

use super::times::{derived_charging_time, derived_recharges, derived_run_time, quick_charge};
use crate::basis::unit;
use crate::ledger::Ledger;
use crate::power::{Network, cell_voltage, within};
use crate::runtime::{capacity, cells_of};
use crate::sizes::{self, Sizes, Sources};
use quantity::{Dimension, Sheet, Term};
use record::{Claim, ClaimKind, Item, ItemKind, Reading, ReadingSubject};

/// A value for a claim.
pub(super) struct Found<'s> {
    pub(super) term: Term<'s>,
    /// How it was found, as a past participle ("weighed").
    pub(super) how: &'static str,
}

/// Returns the value for a claim about a quantity.
pub(super) fn find<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    claim: &Claim,
    ledger: &mut Ledger,
) -> Option<Found<'s>> {
    let found = match claim.kind {
        ClaimKind::Mass => mass(sheet, network, claim, ledger),
        ClaimKind::Dimension => dimension(sheet, network, claim, ledger),
        ClaimKind::Capacity => one_cell(network, claim, ledger).and_then(|cell| {
            let held = capacity(sheet, network.dossier, cell, ledger)?;
            Some(Found {
                term: held.term,
                how: if held.measured {
                    "measured"
                } else {
                    "the cell itself says"
                },
            })
        }),
        ClaimKind::Energy => energy(sheet, network, claim, ledger),
        ClaimKind::RunTime => read(
            sheet,
            network,
            claim,
            ReadingSubject::RunTime,
            "timed",
            ledger,
        )
        .or_else(|| derived_run_time(sheet, network, claim, ledger)),
        ClaimKind::ChargingTime => read(
            sheet,
            network,
            claim,
            ReadingSubject::ChargingTime,
            "timed",
            ledger,
        )
        .or_else(|| derived_charging_time(sheet, network, claim, ledger)),
        ClaimKind::QuickCharge => quick_charge(sheet, network, claim, ledger),
        ClaimKind::Recharges => {
            derived_recharges(sheet, network, claim, ledger).map(|term| Found {
                term,
                how: "computed",
            })
        }
        ClaimKind::NoiseReduction => read(
            sheet,
            network,
            claim,
            ReadingSubject::NoiseReduction,
            "measured",
            ledger,
        ),
        ClaimKind::Delay => read(
            sheet,
            network,
            claim,
            ReadingSubject::Delay,
            "measured",
            ledger,
        ),
        _ => None,
    }?;
    let wanted = claim.value.as_ref()?;
    // Plain numbers and counts both answer "three recharges".
    let counts = |d: Dimension| d == Dimension::COUNT || d == Dimension::NONE;
    let (have, want) = (found.term.dimension(), wanted.dimension());
    if have != want && !(counts(have) && counts(want)) {
        ledger.unused(format!(
            "claims.{}: says {wanted}, but the value found is {have}",
            claim.id
        ));
        return None;
    }
    Some(found)
}

/// Returns the item that a claim is about: the one named, or the whole product.
pub(super) fn subject<'d>(network: &Network<'d>, claim: &Claim) -> Option<&'d Item> {
    match claim.says.item.as_deref() {
        Some(id) => network.dossier.item(id),
        None => {
            let roots = || network.dossier.items.iter().filter(|i| i.parent.is_none());
            roots()
                .find(|i| i.kind == ItemKind::Product)
                .or_else(|| roots().next())
        }
    }
}

fn read<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    claim: &Claim,
    what: ReadingSubject,
    how: &'static str,
    ledger: &mut Ledger,
) -> Option<Found<'s>> {
    let dossier = network.dossier;
    let item = subject(network, claim)?;
    let mode = claim.says.mode.as_deref();
    let fits = |r: &&Reading| {
        let inside = within(dossier, &item.id, &r.item)
            || (claim.says.item.is_none() && within(dossier, &r.item, &item.id));
        r.what == what
            && (r.item == item.id || inside)
            && (mode.is_none() || r.mode.as_deref() == mode)
    };
    let candidates: Vec<&Reading> = dossier.readings.iter().filter(fits).collect();
    // Without a mode the claim is about the best one: longest, deepest; for times to wait, shortest.
    let longest = !matches!(what, ReadingSubject::ChargingTime | ReadingSubject::Delay);
    let best = candidates.into_iter().reduce(|a, b| {
        if (b.value.si() > a.value.si()) == longest && b.value.si() != a.value.si() {
            b
        } else {
            a
        }
    })?;
    let name = match what {
        ReadingSubject::RunTime => "run time",
        ReadingSubject::ChargingTime => "charging time",
        ReadingSubject::Delay => "delay",
        ReadingSubject::NoiseReduction => "noise reduction",
        _ => "value",
    };
    Some(Found {
        term: ledger.reading(sheet, dossier, name, best),
        how,
    })
}

fn mass<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    claim: &Claim,
    ledger: &mut Ledger,
) -> Option<Found<'s>> {
    let dossier = network.dossier;
    let item = subject(network, claim)?;
    let name = format!("mass of {}", item.name);
    let reading = dossier
        .readings
        .iter()
        .find(|r| r.item == item.id && r.what == ReadingSubject::Mass && r.without.is_empty());
    if let Some(reading) = reading {
        let whole = ledger.reading(sheet, dossier, &name, reading);
        let pieces = f64::from(reading.pieces.unwrap_or(1).max(1));
        let term = if pieces > 1.0 {
            (whole / pieces).named("mass of one", &unit("g"))
        } else {
            whole
        };
        return Some(Found {
            term,
            how: "weighed",
        });
    }
    let solution = crate::mass::adjusted(dossier);
    let input = solution.input(&item.id, &name)?;
    for place in solution.evidence(&item.id) {
        ledger.evidence(place);
    }
    Some(Found {
        term: sheet.input(input),
        how: "its pieces weigh",
    })
}

fn dimension<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    claim: &Claim,
    ledger: &mut Ledger,
) -> Option<Found<'s>> {
    let dossier = network.dossier;
    let item = subject(network, claim)?;
    let which = claim.says.dimension.as_deref().unwrap_or("length");
    if sizes::subject(which).is_none() {
        ledger.unused(format!("claims.{}: unknown dimension '{which}'", claim.id));
        return None;
    }
    let sources = Sources::of(dossier);
    let size = Sizes::new(sheet, &sources).of(item, which)?;
    for place in size.evidence {
        ledger.evidence(place);
    }
    Some(Found {
        term: size.term,
        how: match size.from {
            sizes::From::Measure(_) => "measured on a photograph",
            sizes::From::Reading(_) | sizes::From::Stated(_) => "measured",
        },
    })
}

pub(super) fn one_cell<'d>(
    network: &Network<'d>,
    claim: &Claim,
    ledger: &mut Ledger,
) -> Option<&'d Item> {
    let cells = cells_of(network, claim.says.item.as_deref());
    match cells.as_slice() {
        [cell] => Some(cell),
        [] => {
            ledger.unused("no cell is recorded for what the claim is about");
            None
        }
        many => {
            let names: Vec<&str> = many.iter().map(|c| c.name.as_str()).collect();
            ledger.unused(format!(
                "claims.{}: more than one kind of cell fits ({}); name one in `says.item`",
                claim.id,
                names.join(", ")
            ));
            None
        }
    }
}

fn energy<'s>(
    sheet: &'s Sheet,
    network: &Network<'_>,
    claim: &Claim,
    ledger: &mut Ledger,
) -> Option<Found<'s>> {
    let cell = one_cell(network, claim, ledger)?;
    let name = format!("energy of {}", cell.name);
    let reading = network
        .dossier
        .readings
        .iter()
        .find(|r| r.item == cell.id && r.what == ReadingSubject::Energy);
    if let Some(reading) = reading {
        return Some(Found {
            term: ledger.reading(sheet, network.dossier, &name, reading),
            how: "measured",
        });
    }
    let held = capacity(sheet, network.dossier, cell, ledger)?;
    let volts = cell_voltage(sheet, cell, ledger);
    Some(Found {
        term: (held.term * volts).named(&name, &unit("Wh")),
        how: "computed",
    })
}
