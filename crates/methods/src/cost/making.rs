//! What making takes beside what is bought: hands, tests of the product, tools, packing.
//!
//! In: steps and fasteners, the price book. Out: lines of the bill.

use super::amounts::names;
use super::taken::{FINAL, Named, Taken};
use crate::inputs::unit;
use crate::words::Words as _;
use crate::{Cancelled, Case};
use ::cost::Group;
use ::cost::book::{Entry, Kind};
use record::{Item, ItemKind, Place, Step};

impl Taken<'_> {
    /// Hands: each act of opening is done backwards, each fastener by itself.
    pub(super) fn hands(&mut self, case: &Case<'_>) -> Result<(), Cancelled> {
        let Some(labour) = self.book.all(Kind::Labour).next().cloned() else {
            if !case.dossier.steps.is_empty() {
                self.lacks(
                    "assembly by hand",
                    "note an hour of labour in the price book",
                );
            }
            return Ok(());
        };
        let mut seconds = 0.0;
        let mut widest: Option<Entry> = None;
        for step in case.dossier.steps.iter().filter(|step| step.done) {
            case.go_on()?;
            for (count, act) in acts(case, step) {
                let Some(row) = self.book.of(Kind::Act, &act).cloned() else {
                    self.lacks(
                        format!("the time of “{act}”"),
                        format!("note the seconds of “{act}” in the price book"),
                    );
                    continue;
                };
                seconds += count * row.number().unwrap_or(0.0);
                if widest.as_ref().is_none_or(|w| w.within < row.within) {
                    widest = Some(row);
                }
            }
        }
        let Some(widest) = widest else { return Ok(()) };
        // One table by one estimator: its rows are off together.
        let times = self.of_row(&widest);
        let balance = self
            .book
            .of(Kind::Yield, "line balance")
            .and_then(Entry::number);
        let of = Named {
            name: "assembly by hand",
            place: Place::dossier(),
            group: Group::Assembly,
            level: FINAL,
            amount: seconds / unit("h").factor() / balance.unwrap_or(1.0),
        };
        let more: Vec<usize> = times.into_iter().collect();
        self.take(&labour, &of, "h", &more);
        Ok(())
    }

    /// Tests of the product, tools, packing and other things.
    pub(super) fn once(&mut self, case: &Case<'_>) {
        let rows: Vec<Entry> = [Kind::Test, Kind::Tool, Kind::Other]
            .into_iter()
            .flat_map(|kind| self.book.all(kind).cloned())
            .collect();
        for row in rows {
            let (group, amount) = match row.kind {
                Kind::Tool => (Group::Tools, self.tools(case, &row)),
                Kind::Test if row.name != "final" => continue,
                Kind::Test => (Group::Placement, 1.0),
                _ => (Group::Other, 1.0),
            };
            if amount == 0.0 {
                continue;
            }
            let name = match row.kind {
                Kind::Tool => format!("tools for “{}”", row.name),
                Kind::Test => "final test".to_string(),
                _ => row.name.clone(),
            };
            let of = Named {
                name: &name,
                place: Place::dossier(),
                group,
                level: FINAL,
                amount,
            };
            self.take(&row, &of, "", &[]);
        }
        let shells = case
            .dossier
            .items
            .iter()
            .filter(|i| i.kind == ItemKind::Shell);
        if shells.count() > 0 && self.book.all(Kind::Tool).next().is_none() {
            self.lacks("tools", "note what the tools of moulded parts cost");
        }
    }

    /// How many sets of a tool: one for each item of that name, role, material or kind.
    fn tools(&self, case: &Case<'_>, row: &Entry) -> f64 {
        let fits = |item: &&Item| {
            let words = [
                item.role.as_deref(),
                item.material.as_deref(),
                Some(item.kind.words()),
            ];
            let mut named = names(item).chain(words.into_iter().flatten());
            named.any(|name| self.book.of(Kind::Tool, name) == Some(row))
        };
        case.dossier.items.iter().filter(fits).count() as f64
    }
}

/// What a step undoes, as acts with their number.
fn acts(case: &Case<'_>, step: &Step) -> Vec<(f64, String)> {
    let fasteners: Vec<(f64, String)> = step
        .fasteners
        .iter()
        .filter_map(|id| case.item(id))
        .map(|item| {
            let sort = item.fastener.as_ref().map(|f| f.sort.clone());
            let sort = sort.unwrap_or_else(|| item.kind.words().to_string());
            (f64::from(case.tree().pieces(item)), sort)
        })
        .collect();
    match (fasteners.as_slice(), step.fastener_count) {
        ([], _) => vec![(1.0, step.action.words().to_string())],
        ([(_, sort)], Some(count)) => vec![(f64::from(count), sort.clone())],
        _ => fasteners,
    }
}
