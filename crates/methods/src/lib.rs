//! Pure methods: a dossier in, findings out. No disk, no clock, no network.
//!
//! A [`Case`] holds a dossier, the known parts and everything that several methods need of both, worked
//! out once. The [`METHODS`] answer one question each from the case. What they share stands beside them:
//! `network`, `energy`, `precedence`, `deadline`, `assessment`, `presence`, `sizes`, `photogrammetry`; none looks into another.

#[macro_use]
mod word;

pub mod assessment;
pub mod assumed;
pub mod bench;
mod case;
pub mod cell;
pub mod cells;
mod chart;
pub mod chemistry;
pub mod claims;
pub mod codes;
pub mod consistency;
pub mod cost;
pub mod deadline;
pub mod decimal;
mod detail;
mod distinct;
mod energy;
pub mod film;
mod finding;
pub mod geometry;
mod grounds;
mod heard;
mod id;
pub mod inputs;
pub mod inventory;
mod judgement;
pub mod markings;
pub mod mass;
mod moved;
mod network;
pub mod opening;
pub mod others;
pub mod photogrammetry;
pub mod power;
pub mod precedence;
pub mod presence;
pub mod protection;
mod recorded;
mod registry;
pub mod repair;
mod rows_of;
pub mod runtime;
pub mod side;
pub mod sizes;
pub mod sound;
pub mod standing;
mod table;

pub mod words;

pub use assessment::Known;
pub use case::{Answer, Cancelled, Case, Lookup, Progress, Tree, Watch, own_count};
pub use chart::{Axis, Chart, Division, Form, Point, Series, Standing};
pub use claims::{VerdictCounts, verdict_counts};
pub use detail::*;
pub use finding::*;
pub use id::{FigureId, FigureKey, FindingId, IdError};
pub use judgement::{Judgement, Limits, Margin, OpenReason};
pub use moved::{FigureMoved, Moved, VerdictMoved, moved};
pub use others::{Other, OtherPart, Others, Trait, TraitKind};
pub use recorded::{Recorded, Recording, seat_of};
pub use registry::{Entry, METHODS, Method, Section};
pub use rows_of::RowsOf;
pub use table::{Between, Cell, Column, Kind, Number, QuantityValue, Table, Written};
pub use word::{Word, WordError};

use record::Dossier;

/// Examines a dossier with every method, in the order of the day. `known` are the parts that
/// markings are held against. `watch` is told the name of each method before it runs, with its
/// number from 1 and how many there are; it is asked often whether to go on.
///
/// # Errors
/// [`Cancelled`] if `watch` answers that the work is to stop; there are no findings then.
pub fn examine(dossier: &Dossier, known: &Known, watch: &Watch<'_>) -> Result<Findings, Cancelled> {
    examine_with(dossier, known, &Recorded::none(), watch)
}

/// As [`examine`], with the logs of the dossier as they were read.
///
/// # Errors
/// As [`examine`].
pub fn examine_with(
    dossier: &Dossier,
    known: &Known,
    recorded: &Recorded,
    watch: &Watch<'_>,
) -> Result<Findings, Cancelled> {
    examine_among(dossier, known, recorded, &Others::unknown(), watch)
}

/// As [`examine_with`], among the other products of a library.
///
/// # Errors
/// As [`examine`].
pub fn examine_among(
    dossier: &Dossier,
    known: &Known,
    recorded: &Recorded,
    others: &Others,
    watch: &Watch<'_>,
) -> Result<Findings, Cancelled> {
    let case = Case::watched(dossier, known, watch)
        .with_logs(recorded)
        .among(others);
    let mut findings = Vec::new();
    for (k, method) in METHODS.iter().enumerate() {
        case.begin(method.name, k + 1, METHODS.len())?;
        findings.extend((method.examine)(&case)?);
    }
    Ok(Findings {
        format: FINDINGS_FORMAT,
        product: dossier.product.name.clone(),
        findings,
    })
}
