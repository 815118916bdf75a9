//! Questions across products, in memory: the model that tables are compared with.

use super::compared::{DOTS, PeerFacts, SHOWN, begun};
use super::memory::Filed;
use super::{Across, AcrossAnswer, Begun, Beside, Dot, Peer, Peers, PeersMark, Supplied, key};
use crate::memory::{Memory, Rows};
use crate::DossierId;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

impl Memory {
    /// Those in use that are indexed, the one indexed last first.
    fn filed<T>(&self, see: impl Fn(&DossierId, &Rows, &Filed) -> T) -> Vec<T> {
        let rows = self.rows();
        let present = rows.values().filter(|rows| !rows.head.withdrawn);
        let mut filed: Vec<_> = present
            .filter_map(|rows| Some((rows.filed.as_ref()?, rows)))
            .collect();
        filed.sort_by_key(|(filed, _)| Reverse(filed.turn));
        let see = |(filed, rows): &(&Filed, &Rows)| see(&rows.head.id, rows, filed);
        filed.iter().map(see).collect()
    }

    pub(crate) fn peers_of(&self, beside: &Beside) -> Peers {
        let all: Vec<Peer> = self
            .filed(|id, rows, filed| Peer {
                dossier: id.clone(),
                published: !rows.publications.is_empty(),
                facts: PeerFacts::of(&filed.indexed),
            })
            .into_iter()
            .filter(|peer| peer.dossier != beside.dossier)
            .collect();
        let class = key(&beside.category);
        let names: BTreeSet<String> = beside.parts.iter().map(|name| key(name)).collect();
        let maker = key(&beside.maker);
        let has = |peer: &Peer| {
            let mut parts = peer.facts.parts.iter();
            parts.any(|part| !key(&part.0).is_empty() && names.contains(&key(&part.0)))
        };
        let of_class = |p: &&Peer| !class.is_empty() && key(&p.facts.category) == class;
        let mut with: Vec<&Peer> = all.iter().filter(|p| has(p)).collect();
        with.sort_by_key(|p| p.facts.day().unwrap_or(i64::MAX));
        let by = |p: &&Peer| !maker.is_empty() && key(&p.facts.maker) == maker;
        let order = all
            .iter()
            .filter(of_class)
            .chain(with)
            .chain(all.iter().filter(by))
            .chain(&all);
        let mut peers: Vec<Peer> = Vec::new();
        for peer in order {
            if peers.len() < beside.most && !peers.contains(peer) {
                peers.push(peer.clone());
            }
        }
        let left = all.len() - peers.len();
        Peers { peers, left }
    }

    pub(crate) fn mark_of(&self, id: &DossierId) -> PeersMark {
        let rows = self.rows();
        let others = || rows.values().filter(|rows| rows.head.id != *id);
        let last = others().filter_map(|rows| Some(rows.filed.as_ref()?.turn)).max();
        let present = others().filter(|rows| !rows.head.withdrawn).count();
        PeersMark(
            i64::try_from(last.unwrap_or(0)).unwrap_or(i64::MAX),
            i64::try_from(present).unwrap_or(i64::MAX),
        )
    }

    pub(crate) fn answer_across(&self, asked: &Across) -> AcrossAnswer {
        let all = self.filed(|id, rows, filed| {
            (id.clone(), rows.head.name.clone(), filed.indexed.clone())
        });
        match asked {
            Across::Supplied(maker) => {
                let mut sorts: BTreeMap<(String, String), (String, String, usize)> = BTreeMap::new();
                for (_, _, indexed) in &all {
                    let parts = indexed.things.iter().filter_map(|thing| thing.part.as_ref());
                    let by = parts.filter(|part| key(&part.maker) == key(maker));
                    let named = by.filter(|part| !key(&part.name).is_empty());
                    let own: BTreeMap<_, _> = named
                        .map(|p| ((key(&p.name), key(&p.role)), (p.name.clone(), p.role.clone())))
                        .collect();
                    for (sort, (part, role)) in own {
                        sorts.entry(sort).or_insert((part, role, 0)).2 += 1;
                    }
                }
                let mut supplied: Vec<_> = sorts.into_iter().collect();
                supplied.sort_by(|(a, x), (b, y)| y.2.cmp(&x.2).then_with(|| a.cmp(b)));
                let row = |(_, (part, role, products))| Supplied {
                    part,
                    role,
                    products,
                };
                AcrossAnswer::Supplied(supplied.into_iter().map(row).take(SHOWN).collect())
            }
            Across::Begun(text) => {
                let mut found = Begun::default();
                let Some((low, high)) = begun(text) else {
                    return AcrossAnswer::Begun(found);
                };
                let (mut parts, mut makers) = (BTreeMap::new(), BTreeMap::new());
                for (_, _, indexed) in &all {
                    makers.insert(key(&indexed.maker), indexed.maker.clone());
                    for part in indexed.things.iter().filter_map(|t| t.part.as_ref()) {
                        parts.insert(key(&part.name), part.name.clone());
                        makers.insert(key(&part.maker), part.maker.clone());
                    }
                }
                let within = |names: BTreeMap<String, String>| -> Vec<String> {
                    names.range(low.clone()..high.clone()).map(|(_, n)| n.clone()).take(SHOWN).collect()
                };
                found.parts = within(parts);
                found.makers = within(makers);
                AcrossAnswer::Begun(found)
            }
            Across::Over(kind, class) => {
                let mut dots = Vec::new();
                for (id, name, indexed) in &all {
                    let facts = PeerFacts::of(indexed);
                    let fits = class.as_ref().is_none_or(|c| key(&indexed.category) == key(c));
                    let Some(day) = facts.day().filter(|_| fits) else {
                        continue;
                    };
                    let figures = facts.compared.figures.iter().filter(|f| f.kind == *kind);
                    dots.extend(figures.map(|figure| Dot {
                        dossier: id.to_string(),
                        product: name.clone(),
                        day,
                        value: figure.value,
                        uncertainty: figure.uncertainty,
                    }));
                }
                dots.sort_by_key(|dot| Reverse(dot.day));
                let more = dots.len() > DOTS;
                dots.truncate(DOTS);
                AcrossAnswer::Over(dots, more)
            }
            Across::Classes => {
                let mut classes: BTreeMap<String, (String, usize)> = BTreeMap::new();
                for (_, _, indexed) in &all {
                    let entry = classes.entry(key(&indexed.category));
                    entry.or_insert((indexed.category.clone(), 0)).1 += 1;
                }
                classes.remove("");
                let mut classes: Vec<_> = classes.into_iter().collect();
                classes.sort_by(|(a, x), (b, y)| y.1.cmp(&x.1).then_with(|| a.cmp(b)));
                AcrossAnswer::Classes(classes.into_iter().map(|(_, c)| c).take(SHOWN).collect())
            }
        }
    }
}
