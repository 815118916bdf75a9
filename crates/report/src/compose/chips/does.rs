//! What a chip does in this product, in one sentence, from its links.
//!
//! In: the item, its class, the record's links. Out: a sentence; empty where no link says more than the role.
//! Not here: whether the links carry what is asked of them (`methods::power`).

use super::class::Class;
use methods::Cell;
use methods::words::listed;
use record::{Dossier, Item, ItemKind, Link, LinkKind};

/// How many links a protector may be away from the cell that it guards.
const GUARD: usize = 2;
/// How many links a charger may be away from its cell.
const CHARGE: usize = 4;

/// Says what the chip does.
pub(super) fn sentence(dossier: &Dossier, item: &Item, class: Class) -> String {
    let links = Links { dossier, item };
    match class {
        Class::Processor | Class::Radio => links.processor(),
        Class::Charger => links.charger(),
        Class::Protection => links.guard(),
        Class::Receiver => links.passes("Takes power from", "and gives it to"),
        Class::Converter => links.supply(),
        Class::Sensor if !links.out(LinkKind::Power).is_empty() => links.supply(),
        Class::Sensor | Class::Memory | Class::Other => links.signals(),
    }
}

struct Links<'a> {
    dossier: &'a Dossier,
    item: &'a Item,
}

impl<'a> Links<'a> {
    fn out(&self, kind: LinkKind) -> Vec<&'a Link> {
        let links = self.dossier.links.iter();
        links
            .filter(|l| l.kind == kind && l.from == self.item.id)
            .collect()
    }

    fn into(&self, kind: LinkKind) -> Vec<&'a Link> {
        let links = self.dossier.links.iter();
        links
            .filter(|l| l.kind == kind && l.to == self.item.id)
            .collect()
    }

    fn names<'l>(&self, ids: impl Iterator<Item = &'l String>) -> String {
        let mut names: Vec<String> = Vec::new();
        for item in ids.filter_map(|id| self.dossier.item(id)) {
            let name = the(item);
            if !names.contains(&name) {
                names.push(name);
            }
        }
        listed(names)
    }

    /// Follows links of any kind downstream to the nearest cell, at most `most` links away.
    fn cell(&self, most: usize) -> Option<&'a Item> {
        let mut here = vec![self.item.id.as_str()];
        for _ in 0..most {
            let on = |from: &str| {
                let links = self.dossier.links.iter();
                let on = links.filter(move |l| l.from == from);
                on.map(|l| l.to.as_str()).collect::<Vec<_>>()
            };
            here = here.into_iter().flat_map(on).collect();
            let items = here.iter().filter_map(|id| self.dossier.item(id));
            if let Some(cell) = items.into_iter().find(|i| i.kind == ItemKind::Cell) {
                return Some(cell);
            }
        }
        None
    }

    fn processor(&self) -> String {
        let into = self.into(LinkKind::Signal);
        let out = self.out(LinkKind::Signal);
        let linked = self.names(
            into.iter()
                .map(|l| &l.from)
                .chain(out.iter().map(|l| &l.to)),
        );
        let mut above = self.item.parent.as_deref();
        let assembly = loop {
            let Some(item) = above.and_then(|id| self.dossier.item(id)) else {
                break None;
            };
            if item.kind == ItemKind::Assembly {
                break Some(item);
            }
            above = item.parent.as_deref();
        };
        match (assembly, linked.is_empty()) {
            (Some(assembly), false) => format!("Runs {} with {linked}.", the(assembly)),
            (Some(assembly), true) => format!("Runs {}.", the(assembly)),
            (None, false) => format!("Works with {linked}."),
            (None, true) => String::new(),
        }
    }

    fn charger(&self) -> String {
        let sources = self.names(self.into(LinkKind::Power).iter().map(|l| &l.from));
        let converts = self.item.converts.as_ref();
        let limit = converts.and_then(|c| c.output_current_limit.as_ref());
        // Its tolerance is in the table of what limits each path.
        let limit = limit.map_or(String::new(), |l| {
            format!(", at most {}", Cell::nominal(l).printed())
        });
        match (self.cell(CHARGE), sources.is_empty()) {
            (Some(cell), false) => format!("Charges {} from {sources}{limit}.", the(cell)),
            (Some(cell), true) => format!("Charges {}{limit}.", the(cell)),
            (None, _) => String::new(),
        }
    }

    fn guard(&self) -> String {
        match self.cell(GUARD) {
            Some(cell) => format!("Guards {}.", the(cell)),
            None => self.passes("Stands between", "and"),
        }
    }

    fn passes(&self, from: &str, to: &str) -> String {
        let sources = self.names(self.into(LinkKind::Power).iter().map(|l| &l.from));
        let loads = self.names(self.out(LinkKind::Power).iter().map(|l| &l.to));
        if sources.is_empty() || loads.is_empty() {
            return String::new();
        }
        format!("{from} {sources} {to} {loads}.")
    }

    fn supply(&self) -> String {
        let out = self.out(LinkKind::Power);
        let loads = self.names(out.iter().map(|l| &l.to));
        if loads.is_empty() {
            return self.signals();
        }
        let converts = self.item.converts.as_ref();
        let stated = converts.and_then(|c| c.output_voltage.as_ref());
        let voltage = stated.or(out.iter().find_map(|l| l.voltage.as_ref()));
        match voltage {
            Some(voltage) => format!("Makes {voltage} for {loads}."),
            None => format!("Feeds {loads}."),
        }
    }

    fn signals(&self) -> String {
        let sources = self.names(self.into(LinkKind::Signal).iter().map(|l| &l.from));
        let targets = self.names(self.out(LinkKind::Signal).iter().map(|l| &l.to));
        match (sources.is_empty(), targets.is_empty()) {
            (false, false) => format!("Reads {sources} for {targets}."),
            (false, true) => format!("Reads {sources}."),
            (true, false) => format!("Reports to {targets}."),
            (true, true) => String::new(),
        }
    }
}

/// Names an item inside a sentence: a chip by its role, anything else by its name.
fn the(item: &Item) -> String {
    let role = item.role.as_ref().filter(|_| item.part.is_some());
    format!("the {}", lowered(role.unwrap_or(&item.name)))
}

/// Lowers the first letter of a word, not that of an abbreviation.
fn lowered(name: &str) -> String {
    let mut letters = name.chars();
    let first = letters.next();
    match (first, letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => name.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_words_are_lowered() {
        assert_eq!(lowered("Pouch cell of the lamp"), "pouch cell of the lamp");
        assert_eq!(lowered("LED board"), "LED board");
        assert_eq!(lowered("16-contact socket"), "16-contact socket");
        assert_eq!(lowered("L"), "L");
    }
}
