//! The working of a mass that was not weighed.
//!
//! In: a solved set of masses and an item. Out: the figure "what it holds" or "whole − rest" with its
//! working. Not here: which masses are inferred.
//!
//! The inputs are the adjusted masses of the neighbours in the tree with their correlations, so that the
//! figure and the adjusted mass are the same number.

use super::finding::name;
use super::solution::MassSolution;
use super::tree::is_container;
use crate::basis;
use quantity::{Figure, Sheet, SheetError, Term};
use record::{Dossier, Item};

/// Works out the mass of `item`; `None` where its neighbours in the tree do not give it in one line.
pub(super) fn inferred_figure(
    dossier: &Dossier,
    solution: &MassSolution,
    item: &Item,
) -> Option<Result<Figure, SheetError>> {
    let known = |i: &Item| solution.is_sound(&i.id);
    let mut held = dossier.children(&item.id).peekable();
    if is_container(item) && held.peek().is_some() {
        let held: Vec<&Item> = held.collect();
        if held.iter().all(|i| known(i)) {
            return Some(figure(dossier, solution, item, None, &held));
        }
    }
    let parent = dossier.item(item.parent.as_deref()?)?;
    let rest: Vec<&Item> = dossier
        .children(&parent.id)
        .filter(|i| i.id != item.id)
        .collect();
    (is_container(parent) && known(parent) && rest.iter().all(|i| known(i)))
        .then(|| figure(dossier, solution, item, Some(parent), &rest))
}

/// The sum of `pieces`, or what they leave of `whole`, for one of `item`.
fn figure(
    dossier: &Dossier,
    solution: &MassSolution,
    item: &Item,
    whole: Option<&Item>,
    pieces: &[&Item],
) -> Result<Figure, SheetError> {
    let sheet = Sheet::new();
    let mut inputs: Vec<(&Item, Term<'_>)> = Vec::new();
    for part in whole.iter().chain(pieces) {
        let input = solution
            .input(&part.id, &part.name)
            .ok_or_else(|| SheetError::Value(format!("the mass of {} is not known", part.name)))?;
        inputs.push((part, sheet.input(input)));
    }
    for (at, (a, x)) in inputs.iter().enumerate() {
        for (b, y) in &inputs[at + 1..] {
            if let Some(coefficient) = solution.correlation(&a.id, &b.id)
                && coefficient.abs() > 1e-12
            {
                sheet.correlate(*x, *y, coefficient);
            }
        }
    }
    let result = match whole {
        None => {
            let terms: Vec<Term<'_>> = inputs.iter().map(scaled).collect();
            sheet.sum(&terms)
        }
        Some(_) => {
            let all = inputs[0].1;
            let left = inputs[1..].iter().fold(all, |left, i| left - scaled(i));
            if item.count > 1 {
                left / f64::from(item.count)
            } else {
                left
            }
        }
    };
    let label = format!("mass of {}", name(dossier, &item.id));
    sheet.figure(result.named(&label, &basis::unit("g")))
}

/// The mass of all pieces of an item.
fn scaled<'s>((item, mass): &(&Item, Term<'s>)) -> Term<'s> {
    if item.count == 1 {
        *mass
    } else {
        *mass * f64::from(item.count)
    }
}
