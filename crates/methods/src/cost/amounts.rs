//! How much of what one product takes.
//!
//! In: the item tree, boards, shells, cells, steps and fasteners. Out: lines of the bill.

use super::taken::{BOARD, FINAL, Named, Remedy, Taken};
use crate::inputs::unit;
use crate::words::{Words as _, lower, the};
use crate::{Cancelled, Case};
use ::cost::book::{Entry, Kind};
use ::cost::moulding::{Cooled, Wall};
use ::cost::panel::Panel;
use ::cost::{Group, Law, Sort, Unknown};
use quantity::{Origin, Source};
use record::{Item, ItemKind, Place};

/// The name of a row that holds for all that have none of their own.
const ANY: &str = "part";

impl Taken<'_> {
    /// Takes everything that the product is made of, and what making takes.
    pub(super) fn amounts<'d>(&mut self, case: &Case<'d>) -> Result<(), Cancelled> {
        let roots = case.dossier.items.iter().filter(|i| i.parent.is_none());
        let mut waiting: Vec<(&'d Item, usize)> = roots.map(|item| (item, FINAL)).collect();
        waiting.reverse();
        while let Some((item, level)) = waiting.pop() {
            case.go_on()?;
            if let Some(inner) = self.item(case, item, level) {
                let children: Vec<&'d Item> = case.tree().children(&item.id).collect();
                waiting.extend(children.into_iter().rev().map(|child| (child, inner)));
            }
        }
        self.hands(case)?;
        self.once(case);
        Ok(())
    }

    /// Takes one item; returns the level of what is in it where that is to be taken too.
    fn item<'d>(&mut self, case: &Case<'d>, item: &'d Item, level: usize) -> Option<usize> {
        let pieces = f64::from(case.tree().pieces(item));
        let is_empty = case.tree().children(&item.id).next().is_none();
        let whole = matches!(
            item.kind,
            ItemKind::Assembly | ItemKind::Board | ItemKind::Flex
        );
        let of = |group| Named {
            name: &item.name,
            place: Place::item(&item.id),
            group,
            level,
            amount: pieces,
        };
        let group = if whole || !is_empty {
            Group::Modules
        } else {
            group(item.kind)
        };
        if self.own_price(case, &of(group)) {
            self.placed(case, item, level, pieces);
            return None;
        }
        let modules = names(item)
            .find_map(|name| self.book.of(Kind::Module, name))
            .cloned();
        if let Some(row) = modules {
            self.take(&row, &of(Group::Modules), "", &[]);
            return None;
        }
        match item.kind {
            ItemKind::Product | ItemKind::Assembly => return Some(level),
            ItemKind::Board | ItemKind::Flex => {
                self.board(case, item, pieces);
                return Some(BOARD);
            }
            ItemKind::Cell => self.cell(item, &of(Group::Cells)),
            ItemKind::Shell => self.shell(case, item, &of(Group::Housing)),
            _ => {
                let row = self.class(item).cloned();
                match row {
                    Some(row) => self.take(&row, &of(group), "", &[]),
                    None if is_empty => self.unpriced(item),
                    None => return Some(level),
                }
            }
        }
        self.placed(case, item, level, pieces);
        None
    }

    /// Finds the row of a part: its number, or else the class that tells most.
    fn class(&self, item: &Item) -> Option<&Entry> {
        let package = item.part.as_ref().and_then(|part| part.package.as_deref());
        let sort = item.fastener.as_ref().map(|f| f.sort.as_str());
        let classes = [item.role.as_deref(), sort, package, Some(item.kind.words())];
        names(item)
            .find_map(|name| self.book.of(Kind::Part, name))
            .or_else(|| {
                let mut classes = classes.into_iter().flatten();
                classes.find_map(|class| self.book.of(Kind::Class, class))
            })
    }

    fn unpriced(&mut self, item: &Item) {
        self.lacks(item.name.clone(), Remedy::Price(the(item)));
    }

    /// Puts a part on its board.
    fn placed(&mut self, case: &Case<'_>, item: &Item, level: usize, pieces: f64) {
        let on = case.tree().parent(&item.id);
        let on = on.filter(|on| matches!(on.kind, ItemKind::Board | ItemKind::Flex));
        let (Some(on), BOARD) = (on, level) else {
            return;
        };
        let package = item.part.as_ref().and_then(|part| part.package.as_deref());
        let row = package.and_then(|p| self.book.of(Kind::Placement, p));
        let Some(row) = row.or_else(|| self.book.of(Kind::Placement, ANY)).cloned() else {
            self.lacks(
                "placing parts on boards",
                "note the cost of placing one “part” in the price book",
            );
            return;
        };
        let name = format!("placing {} on {}", lower(&item.name), lower(&on.name));
        let of = Named {
            name: &name,
            place: Place::dossier(),
            group: Group::Placement,
            level: BOARD,
            amount: pieces,
        };
        self.take(&row, &of, "", &[]);
    }

    fn board<'d>(&mut self, case: &Case<'d>, item: &'d Item, pieces: f64) {
        let of = |group, amount| Named {
            name: &item.name,
            place: Place::item(&item.id),
            group,
            level: BOARD,
            amount,
        };
        for kind in [Kind::SetUp, Kind::Test] {
            let row = self.book.of(kind, "board").cloned();
            if let Some(row) = row {
                let name = format!("{} of {}", kind.word(), lower(&item.name));
                let amount = if kind == Kind::Test { pieces } else { 1.0 };
                let of = Named {
                    name: &name,
                    ..of(Group::Placement, amount)
                };
                self.take(&row, &of, "", &[]);
            }
        }
        let side = |name| {
            let size = case.sizes().input(item, name)?;
            Some(size.distribution.mean() / unit("mm").factor())
        };
        let sides = side("length").zip(side("width"));
        let sides = sides.or_else(|| side("diameter").map(|d| (d, d)));
        let Some((length, width)) = sides else {
            self.lacks(item.name.clone(), Remedy::Size(the(item)));
            return;
        };
        let utilisation = match self.utilisation(length, width) {
            Some(utilisation) => utilisation,
            None => {
                self.lacks(
                    format!("what is cut off beside {}", lower(&item.name)),
                    "note the panel in the price book; the bare area is counted until then",
                );
                1.0
            }
        };
        let area =
            length * width * unit("mm").factor().powi(2) / unit("dm²").factor() / utilisation;
        let amount = pieces * area;
        let Some((row, layers)) = self.layers(item) else {
            let layers = item
                .layers
                .map_or(String::new(), |n| format!(" of {n} layers"));
            self.lacks(
                item.name.clone(),
                format!("find a price of bare boards{layers}, per dm²"),
            );
            return;
        };
        let more: Vec<usize> = layers.into_iter().collect();
        self.take(&row, &of(Group::Boards, amount), "dm²", &more);
    }

    /// Share of the best panel that boards of a size are.
    fn utilisation(&self, length: f64, width: f64) -> Option<f64> {
        let panels = self.book.all(Kind::Panel).filter_map(|row| {
            let panel = Panel {
                length: row.setting("length")?,
                width: row.setting("width")?,
                gap: row.setting("gap").unwrap_or(0.0),
                border: row.setting("border").unwrap_or(0.0),
            };
            let laid = panel.laid(length, width);
            (laid.count() > 0).then_some(laid.utilisation)
        });
        panels.max_by(f64::total_cmp)
    }

    /// Returns the row of a board by its layers; where these are unknown, the likeliest, and an unknown of the others.
    fn layers(&mut self, item: &Item) -> Option<(Entry, Option<usize>)> {
        if let Some(layers) = item.layers {
            return Some((
                self.book.of(Kind::Board, &layers.to_string())?.clone(),
                None,
            ));
        }
        let mut rows: Vec<&Entry> = self
            .book
            .all(Kind::Board)
            .filter(|r| r.weight.is_some())
            .collect();
        rows.sort_by(|a, b| b.weight.unwrap_or(0.0).total_cmp(&a.weight.unwrap_or(0.0)));
        let first = (*rows.first()?).clone();
        let base = first.prices()?.stair(1.0);
        let factors = rows.iter().filter_map(|row| {
            let same = row.currency == first.currency;
            let price = row.prices().filter(|_| same && base > 0.0)?.stair(1.0);
            Some((row.weight?, price / base))
        });
        let law = Law::Alternatives(factors.collect());
        let key = format!("layers.{}", item.id);
        let unknown = Unknown {
            name: format!("layers of {}", lower(&item.name)),
            sort: Sort::Amount,
            value: 1.0,
            law,
            source: Source {
                origin: Origin::Unknown,
                evidence: Vec::new(),
                note: "weighted alternatives of the price book".to_string(),
            },
            sourced: false,
        };
        let unknown = self.unknown(key, unknown);
        Some((first, unknown))
    }

    fn cell(&mut self, item: &Item, of: &Named<'_>) {
        if let Some(row) = names(item)
            .find_map(|name| self.book.of(Kind::Part, name))
            .cloned()
        {
            return self.take(&row, of, "", &[]);
        }
        let facts = item.cell.as_ref();
        let form = facts.map(|f| f.form.as_str()).unwrap_or_default();
        let chemistry = facts
            .and_then(|f| f.chemistry.as_deref())
            .unwrap_or_default();
        let classes = [format!("{chemistry} {form}"), form.into(), chemistry.into()];
        let row = classes
            .iter()
            .find_map(|class| self.book.of(Kind::Cell, class))
            .cloned();
        let energy = facts.and_then(|f| {
            let printed = f.energy.as_ref().map(|e| e.si());
            let product = || Some(f.capacity.as_ref()?.si() * f.nominal_voltage.as_ref()?.si());
            printed.or_else(product)
        });
        match (row, energy) {
            (Some(row), Some(energy)) => {
                let amount = of.amount * energy / unit("Wh").factor();
                self.take(
                    &row,
                    &Named {
                        amount,
                        ..named(of)
                    },
                    "Wh",
                    &[],
                );
            }
            (None, _) => self.lacks(
                item.name.clone(),
                format!(
                    "find a price per Wh of cells of this class ({})",
                    classes[0].trim()
                ),
            ),
            (_, None) => self.lacks(
                item.name.clone(),
                format!(
                    "read the energy, or capacity and voltage, of {}",
                    lower(&item.name)
                ),
            ),
        }
    }

    /// A moulded part: material by weight, time on a machine by its wall.
    fn shell<'d>(&mut self, case: &Case<'d>, item: &'d Item, of: &Named<'_>) {
        let material = item.material.as_deref().unwrap_or_default();
        let Some(resin) = self.book.of(Kind::Material, material).cloned() else {
            match self.class(item).cloned() {
                Some(row) => self.take(&row, of, "", &[]),
                None => self.lacks(
                    item.name.clone(),
                    format!(
                        "find a price per kg of “{material}”, or of {}",
                        lower(&item.name)
                    ),
                ),
            }
            return;
        };
        match case.masses().of(&item.id) {
            Some((grams, _)) => {
                let amount = of.amount * grams * unit("g").factor();
                self.take(
                    &resin,
                    &Named {
                        amount,
                        ..named(of)
                    },
                    "kg",
                    &[],
                );
            }
            None => self.lacks(item.name.clone(), Remedy::Mass(the(item))),
        }
        let machine = self.book.of(Kind::Machine, material);
        let machine = machine
            .or_else(|| self.book.of(Kind::Machine, "moulding"))
            .cloned();
        let cycle = self.book.of(Kind::Moulding, material).and_then(|row| {
            let own = case.sizes().recorded(item, "thickness");
            let wall = own.map(|size| size.distribution.mean() / unit("mm").factor());
            let wall = Wall {
                thickness: row.setting("wall").or(wall)?,
                diffusivity: row.setting("diffusivity")?,
                melt: row.setting("melt")?,
                mould: row.setting("mould")?,
                eject: row.setting("eject")?,
            };
            let cooling = wall.cooling_exact(Cooled::Centre)?;
            let each = row.setting("cavities").unwrap_or(1.0) * row.setting("runs").unwrap_or(1.0);
            Some((cooling + row.setting("handling").unwrap_or(0.0)) / each)
        });
        match (machine, cycle) {
            (Some(machine), Some(seconds)) => {
                let name = format!("moulding {}", lower(&item.name));
                let of = Named {
                    name: &name,
                    place: Place::dossier(),
                    amount: of.amount * seconds / unit("h").factor(),
                    ..named(of)
                };
                self.take(&machine, &of, "h", &[]);
            }
            _ => self.lacks(
                format!("moulding {}", lower(&item.name)),
                format!("note an hour of the machine and how “{material}” is moulded"),
            ),
        }
    }
}

/// What an item is called: its part number, its name.
pub(super) fn names(item: &Item) -> impl Iterator<Item = &str> {
    let identity = item.part.as_ref().and_then(|part| part.identity.as_ref());
    identity
        .map(|i| i.name.as_str())
        .into_iter()
        .chain([item.name.as_str()])
}

fn named<'a>(of: &Named<'a>) -> Named<'a> {
    Named {
        name: of.name,
        place: of.place.clone(),
        group: of.group,
        level: of.level,
        amount: of.amount,
    }
}

fn group(kind: ItemKind) -> Group {
    match kind {
        ItemKind::Shell | ItemKind::Fastener | ItemKind::Adhesive => Group::Housing,
        ItemKind::Cell => Group::Cells,
        ItemKind::Other | ItemKind::Unknown => Group::Other,
        _ => Group::Parts,
    }
}
