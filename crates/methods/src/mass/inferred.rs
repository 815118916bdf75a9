//! The working of a mass that was not weighed.
//!
//! In: a solved set of masses and an item. Out: the figure "whole − rest" with its working.
//! Not here: which masses are inferred.

use super::solution::MassSolution;
use crate::basis;
use quantity::{Figure, Sheet, SheetError, Term};
use record::Dossier;

/// The working of a mass that was not weighed: the weighings added and subtracted.
pub(super) fn inferred_figure(
    dossier: &Dossier,
    solution: &MassSolution,
    item: &str,
) -> Result<Figure, SheetError> {
    let weights = solution
        .weights(item)
        .ok_or_else(|| SheetError::Value("not determined by the weighings".to_string()))?;
    let snapped: Vec<f64> = weights
        .iter()
        .map(|w| {
            if (w - w.round()).abs() < 1e-9 {
                w.round()
            } else {
                *w
            }
        })
        .collect();
    // What is added comes before what is taken away, as one would write it.
    let mut order: Vec<usize> = (0..snapped.len()).filter(|&j| snapped[j] != 0.0).collect();
    order.sort_by_key(|&j| (snapped[j] < 0.0, j));
    let sheet = Sheet::new();
    let mut inputs: Vec<(usize, Term<'_>)> = Vec::new();
    let mut sum: Option<Term<'_>> = None;
    for &j in &order {
        let weighing = &solution.weighings[j];
        let Some(reading) = dossier.reading(&weighing.reading) else {
            continue;
        };
        let what = if weighing.incomplete {
            format!(
                "{} ({})",
                super::finding::name(dossier, &weighing.item),
                weighing.reading
            )
        } else {
            super::finding::name(dossier, &weighing.item).to_string()
        };
        let term = sheet.input(basis::reading_input(dossier, reading, &what));
        inputs.push((j, term));
        let size = snapped[j].abs();
        let scaled = if size == 1.0 { term } else { term * size };
        sum = Some(match sum {
            None if snapped[j] < 0.0 => -scaled,
            None => scaled,
            Some(before) if snapped[j] < 0.0 => before - scaled,
            Some(before) => before + scaled,
        });
    }
    for (at, (i, a)) in inputs.iter().enumerate() {
        for (j, b) in &inputs[at + 1..] {
            let (Some(x), Some(y)) = (
                dossier.reading(&solution.weighings[*i].reading),
                dossier.reading(&solution.weighings[*j].reading),
            ) else {
                continue;
            };
            let coefficient = basis::correlation(dossier, x, y);
            if coefficient != 0.0 {
                sheet.correlate(*a, *b, coefficient);
            }
        }
    }
    let sum = sum.ok_or_else(|| SheetError::Value("no weighing enters".to_string()))?;
    let label = format!("mass of {}", super::finding::name(dossier, item));
    sheet.figure(sum.named(&label, &basis::unit("g")))
}
