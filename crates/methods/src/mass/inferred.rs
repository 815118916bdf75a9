//! The working of a mass that was not weighed.
//!
//! In: a solved set of masses and an item. Out: the figure "what it holds" or "whole − rest" with its
//! working. Not here: which masses are inferred.
//!
//! The inputs are the adjusted masses of the neighbours in the tree with their correlations, so that the
//! figure and the adjusted mass are the same number. Of more than [`MANY`] neighbours the working would fill
//! pages and their correlations grow with the square: the figure is then the adjusted mass itself.

use super::solution::MassSolution;
use crate::inputs;
use quantity::{Figure, Sheet, SheetError, Term};
use record::Dossier;

/// The most neighbours that are written out.
const MANY: usize = 24;

/// Works out the mass of item number `item`; `None` where its neighbours in the tree do not give it in one
/// line.
pub(super) fn inferred_figure(
    dossier: &Dossier,
    solution: &MassSolution,
    item: usize,
) -> Option<Result<Figure, SheetError>> {
    let known = |&i: &usize| solution.adjusted(i).is_some();
    let tree = &solution.tree;
    if tree.is_sum(item) && tree.children(item).iter().all(known) {
        return Some(figure(dossier, solution, item, None, tree.children(item)));
    }
    let parent = tree.parent(item).filter(|&p| tree.is_sum(p))?;
    let rest: Vec<usize> = tree
        .children(parent)
        .iter()
        .copied()
        .filter(|&i| i != item)
        .collect();
    (known(&parent) && rest.iter().all(known))
        .then(|| figure(dossier, solution, item, Some(parent), &rest))
}

/// The sum of `pieces`, or what they leave of `whole`, for one of `item`.
fn figure(
    dossier: &Dossier,
    solution: &MassSolution,
    item: usize,
    whole: Option<usize>,
    pieces: &[usize],
) -> Result<Figure, SheetError> {
    let sheet = Sheet::new();
    let adjusted = |i: usize| {
        let part = &dossier.items[i];
        solution
            .input(&part.id, &part.name)
            .ok_or_else(|| SheetError::Value(format!("the mass of {} is not known", part.name)))
    };
    let label = format!("mass of {}", dossier.items[item].name);
    if pieces.len() > MANY {
        let mass = sheet.input(adjusted(item)?);
        return sheet.figure(mass.named(&label, &inputs::unit("g")));
    }
    let mut inputs: Vec<(usize, Term<'_>)> = Vec::new();
    for &part in whole.iter().chain(pieces) {
        inputs.push((part, sheet.input(adjusted(part)?)));
    }
    for (at, (a, x)) in inputs.iter().enumerate() {
        for (b, y) in &inputs[at + 1..] {
            if let Some(coefficient) = solution.correlation(*a, *b)
                && coefficient.abs() > 1e-12
            {
                sheet.correlate(*x, *y, coefficient);
            }
        }
    }
    let result = match whole {
        None => {
            let terms: Vec<Term<'_>> = inputs.iter().map(|i| scaled(solution, i)).collect();
            sheet.sum(&terms)
        }
        Some(_) => {
            let left = inputs[1..]
                .iter()
                .fold(inputs[0].1, |left, i| left - scaled(solution, i));
            match solution.tree.count(item) {
                1.0 => left,
                count => left / count,
            }
        }
    };
    sheet.figure(result.named(&label, &inputs::unit("g")))
}

/// The mass of all pieces of an item.
fn scaled<'s>(solution: &MassSolution, &(item, mass): &(usize, Term<'s>)) -> Term<'s> {
    match solution.tree.count(item) {
        1.0 => mass,
        count => mass * count,
    }
}
