//! How long a way takes: by the clock of the analyst, and by a table of times of their own.
//!
//! In: ways, durations of steps, a table. Out: minutes there and back, sums by category.

use crate::distinct::Distinct;
use crate::inputs::unit;
use crate::precedence::{Route, WayTo, duration_s, fasteners, tool};
use crate::{Case, Cell, Column, Detail, Finding, Table};
use ::repair::times::{Act, Sum, Way};
use record::Dossier;

/// Seconds that the steps of a way took, and whether all were timed.
pub(super) fn clock(dossier: &Dossier, route: &Route) -> (f64, bool) {
    let times = route
        .steps
        .iter()
        .filter_map(|&i| duration_s(&dossier.steps[i]));
    let times: Vec<f64> = times.collect();
    (times.iter().sum(), times.len() == route.steps.len())
}

/// What the table gives for a way; nothing where there is no table.
pub(super) struct Timed {
    there: Option<Sum>,
    back: Option<Sum>,
    acts: usize,
}

impl Timed {
    pub(super) fn of(case: &Case<'_>, way: &WayTo<'_>) -> Self {
        let steps = &case.dossier.steps;
        let sum = |direction, order: &[usize]| {
            let times = case.known.times();
            if times.is_empty() {
                return None;
            }
            let acts = order.iter().map(|&i| Act {
                action: steps[i].action,
                tool: steps[i].tool.as_deref(),
                fasteners: fasteners(case, &steps[i]).exact(),
            });
            let acts: Vec<Act<'_>> = acts.collect();
            let mut hand = "hand";
            let mut changes = 0;
            for &i in order {
                changes += usize::from(tool(&steps[i]) != hand);
                hand = tool(&steps[i]);
            }
            Some(times.sum(direction, &acts, changes))
        };
        let mut back = way.route.steps.clone();
        back.reverse();
        Self {
            there: sum(Way::There, &way.route.steps),
            back: sum(Way::Back, &back),
            acts: back.len(),
        }
    }

    fn sum(&self, way: Way) -> Option<&Sum> {
        let sum = match way {
            Way::There => self.there.as_ref(),
            Way::Back => self.back.as_ref(),
        };
        // A table without any row for a way says nothing of it.
        sum.filter(|sum| sum.without.len() < self.acts)
    }

    /// Minutes, at least so many where acts are without a row.
    pub(super) fn cell(&self, way: Way) -> Cell {
        self.sum(way).map_or(Cell::Nothing, |sum| {
            let minutes = Cell::number(sum.seconds() / 60.0, 1);
            if sum.is_whole() {
                minutes
            } else {
                minutes.at_least()
            }
        })
    }
}

/// Sums by category, where the table has categories.
pub(super) fn table(case: &Case<'_>, ways: &[&WayTo<'_>], timed: &[Timed]) -> Option<Detail> {
    let rows = ways.iter().zip(timed).flat_map(|(way, timed)| {
        [(Way::There, "there"), (Way::Back, "back")]
            .into_iter()
            .filter_map(move |(at, word)| {
                let sum = timed.sum(at)?;
                let by = sum.categories.iter().map(|(category, seconds)| {
                    let name = if category.is_empty() { "all" } else { category };
                    format!("{name} {seconds:.1} s")
                });
                let without: Vec<String> = sum
                    .without
                    .iter()
                    .map(|at_act| case.dossier.steps[order(way, at)[*at_act]].text.clone())
                    .collect();
                Some(vec![
                    Cell::item(way.item),
                    Cell::words(word),
                    Cell::words(by.collect::<Vec<_>>().join(", ")),
                    Cell::number(sum.seconds(), 1),
                    Cell::words(without.join(" ")),
                ])
            })
    });
    let rows: Vec<Vec<Cell>> = rows.collect();
    (!rows.is_empty()).then(|| {
        Detail::Table(Table {
            caption: "Times by the analyst's own table: rows times counts, by category".into(),
            columns: vec![
                Column::place("Part"),
                Column::words("Way"),
                Column::words("Of which"),
                Column::in_unit("Time", unit("s")),
                Column::words("Steps without a row"),
            ],
            rows,
        })
    })
}

/// Steps of a way in the order in which they are done.
fn order(way: &WayTo<'_>, direction: Way) -> Vec<usize> {
    let mut steps = way.route.steps.clone();
    if direction == Way::Back {
        steps.reverse();
    }
    steps
}

/// Names where the times are from.
pub(super) fn cite(case: &Case<'_>, timed: &[Timed], finding: &mut Finding) {
    let rows = case.known.times().rows();
    let used = timed
        .iter()
        .flat_map(|t| [Way::There, Way::Back].into_iter().filter_map(|w| t.sum(w)));
    let sources: Distinct = used
        .flat_map(|sum| &sum.used)
        .map(|(at, _)| rows[*at].source.clone())
        .collect();
    for source in sources.into_vec() {
        finding.cite(format!(
            "Times of acts by the analyst's own table: {source}"
        ));
    }
}
