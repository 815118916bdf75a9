//! What is found of one hazard at one contact or cell, as a finding and as a row.
//!
//! In: a question and its graph. Out: verdict, the open way, the places where a part would close it, what to look for.
//! Not here: how it is decided (`guards`).
//!
//! Three things are told apart where nothing stops a hazard: the record lists every part, so there is none (fails);
//! it was looked for along the whole way and not seen (undecided); it was not looked for (needs evidence).

use super::asked::Asked;
use super::does::{does, is_identified};
use super::wires::{Spot, Wired, Wires};
use super::words::{against, is_against, name, question, title, wanted};
use crate::cells::is_cell;
use crate::distinct::Distinct;
use crate::inputs::item_evidence;
use crate::words::{capital, listed, spelt, the};
use crate::{Case, Cell, Detail, Finding, Method, OpenWay, RowsOf, Verdict, WayStanding};
use guards::{Answer, Cut, Function, Hazard, Question};
use record::{Item, Place, Protection};

/// As many places are named as alternatives.
const FEW: usize = 3;

/// Lists items with their articles, the first few of many.
fn few(items: &[&Item], joint: &str) -> String {
    let mut names: Vec<String> = items.iter().map(|i| the(i)).collect();
    if names.len() > FEW + 1 {
        let more = names.split_off(FEW).len();
        names.push(format!("{} more", spelt(more)));
    }
    match names.pop() {
        Some(last) if !names.is_empty() => format!("{} {joint} {last}", names.join(", ")),
        Some(only) => only,
        None => String::new(),
    }
}

/// One hazard as told.
pub(super) struct Told<'d> {
    pub(super) finding: Finding,
    pub(super) row: Vec<Cell>,
    pub(super) wants: Wants<'d>,
}

/// What would settle what is open.
#[derive(Default)]
pub(super) struct Wants<'d> {
    /// Parts to identify.
    pub(super) identify: Vec<&'d Item>,
    /// Identified parts whose data may say it.
    pub(super) look_up: Vec<&'d Item>,
    /// Cells that may have a board of their own.
    pub(super) boards: Vec<&'d Item>,
    /// What to look for and where.
    pub(super) look_for: Option<String>,
}

impl Wants<'_> {
    /// Returns it as one sentence without a full stop; empty where nothing is wanted.
    fn words(&self, hazard: Hazard) -> String {
        let mut asks = Vec::new();
        if !self.identify.is_empty() {
            asks.push(format!("identify {}", few(&self.identify, "and")));
        }
        if !self.look_up.is_empty() {
            let parts = few(&self.look_up, "or");
            asks.push(format!(
                "look up in its data whether {parts} stops {}",
                against(hazard)
            ));
        }
        if !self.boards.is_empty() {
            asks.push(format!(
                "look for a protection board on {}",
                few(&self.boards, "and")
            ));
        }
        asks.extend(self.look_for.clone());
        asks.join("; ")
    }
}

/// What is said of an open or a stopped way.
struct Said<'d> {
    verdict: Verdict,
    /// As a sentence has it.
    stands: String,
    /// As a row has it.
    short: String,
    wants: Wants<'d>,
}

/// Answers a question; none where no way on record leads from one end to the other.
pub(super) fn told<'d>(
    case: &Case<'d>,
    wires: &Wires<'_, 'd>,
    asked: &Asked<'d>,
) -> Option<Told<'d>> {
    let wired = wires.graph(asked);
    let answer = wired.graph.answer(&Question {
        hazard: asked.hazard,
        sources: &wired.sources.iter().map(String::as_str).collect::<Vec<_>>(),
        targets: &wired.targets.iter().map(String::as_str).collect::<Vec<_>>(),
    });
    let teller = Teller {
        case,
        wires,
        asked,
        wired: &wired,
        answer: &answer,
    };
    let said = match answer.verdict {
        guards::Verdict::NoPath => return None,
        guards::Verdict::Guarded => teller.guarded(),
        guards::Verdict::Undecided => teller.undecided(),
        guards::Verdict::Unguarded => teller.unguarded(),
    };
    let title = title(asked);
    let mut finding = Finding::new(Method::Protection, question(asked.hazard), &title)
        .about(Place::item(&asked.about.id))
        .saying(sentence(
            &title,
            &said.stands,
            &said.wants.words(asked.hazard),
        ));
    finding.verdict = Some(said.verdict);
    finding.told_in = Some(RowsOf::Hazards);
    finding.add_evidence(teller.evidence());
    if answer.verdict == guards::Verdict::Unguarded {
        finding.details.extend(teller.open_way(said.verdict));
    }
    if said.verdict == Verdict::Fails {
        finding.add_evidence([Place::product().at("complete")]);
        finding.assume(
            "The record is complete, as `product.complete` states; remove it if a part may have been overlooked.",
        );
    }
    let row = vec![
        Cell::words(name(asked.hazard)),
        Cell::item(asked.about),
        Cell::verdict(said.verdict),
        Cell::words(capital(&said.short)),
    ];
    Some(Told {
        finding,
        row,
        wants: said.wants,
    })
}

fn sentence(title: &str, stands: &str, next: &str) -> String {
    match next {
        "" => format!("{title}: {stands}."),
        next => format!("{title}: {stands}. {}.", capital(next)),
    }
}

struct Teller<'a, 'c, 'd> {
    case: &'a Case<'d>,
    wires: &'a Wires<'c, 'd>,
    asked: &'a Asked<'d>,
    wired: &'a Wired<'d>,
    answer: &'a Answer,
}

impl<'d> Teller<'_, '_, 'd> {
    /// Returns the items that do something at names, each once.
    fn doers(&self, names: &[String], sure: bool) -> Vec<&'d Item> {
        let wanted = self.asked.hazard.answered_by();
        let mut found: Vec<&Item> = Vec::new();
        for (item, does) in names
            .iter()
            .filter_map(|n| self.wired.doers.get(n))
            .flatten()
        {
            let set = if sure { &does.does } else { &does.may };
            let known = found.iter().any(|f| f.id == item.id);
            if !known && wanted.iter().any(|f| set.contains(f)) {
                found.push(item);
            }
        }
        found
    }

    fn guarded(&self) -> Said<'d> {
        let doers = few(&self.doers(&self.answer.met, true), "and");
        let (stands, short) = match self.answer.depth {
            Some(depth) if depth > 1 => {
                let all = spelt(depth);
                (
                    format!("every way on record meets {doers}, at least {all} barriers on each"),
                    format!("{doers}; {all} barriers"),
                )
            }
            _ => (
                format!(
                    "every way on record meets {doers}; where that fails, nothing else stops it"
                ),
                format!("{doers}; one barrier"),
            ),
        };
        let (clamped, mark) = match self.clamped_alone() {
            Some(clamp) => (
                format!(
                    "; against a surge or a discharge, that is: {clamp} alone does not stand a voltage that lasts, and \
                     no over-voltage switch is known on that way"
                ),
                ", against surges alone",
            ),
            None => (String::new(), ""),
        };
        Said {
            verdict: Verdict::Holds,
            stands: stands + &clamped,
            short: short + mark,
            wants: Wants::default(),
        }
    }

    /// Returns the clamps on a way that nothing else guards against over-voltage, where there is one. By the definition
    /// that decides the verdict a clamp counts; what lasts burns it.
    fn clamped_alone(&self) -> Option<String> {
        if self.asked.hazard != Hazard::OverVoltage {
            return None;
        }
        let wired = self.wires.graph_without(self.asked, Some(Function::Clamp));
        let answer = wired.graph.answer(&Question {
            hazard: self.asked.hazard,
            sources: &wired.sources.iter().map(String::as_str).collect::<Vec<_>>(),
            targets: &wired.targets.iter().map(String::as_str).collect::<Vec<_>>(),
        });
        if answer.verdict == guards::Verdict::Guarded {
            return None;
        }
        let clamps: Vec<&Item> = self
            .doers(&answer.witness, true)
            .into_iter()
            .filter(|item| does(self.case, item).does.contains(&Function::Clamp))
            .collect();
        (!clamps.is_empty()).then(|| few(&clamps, "or"))
    }

    fn undecided(&self) -> Said<'d> {
        let doers = self.doers(&self.answer.witness, false);
        let names = few(&doers, "or");
        let (boards, parts): (Vec<&Item>, Vec<&Item>) = doers.into_iter().partition(|i| is_cell(i));
        let (look_up, identify) = parts.into_iter().partition(|i| is_identified(self.case, i));
        Said {
            verdict: Verdict::Undecided,
            stands: format!(
                "open on the way {} unless {names} stops it, which is not known",
                self.way()
            ),
            short: format!("perhaps {names}"),
            wants: Wants {
                identify,
                look_up,
                boards,
                look_for: None,
            },
        }
    }

    /// Absent, looked for and not seen, and not looked for are three things.
    fn unguarded(&self) -> Said<'d> {
        let (way, places, wanted) = (self.way(), self.places(), wanted(self.asked.hazard));
        let close = match places.as_str() {
            "" => String::new(),
            places => format!("; a part at {places} would"),
        };
        let open = format!("nothing on record stops it on the way {way}");
        if self.case.dossier.product.complete {
            return Said {
                verdict: Verdict::Fails,
                stands: format!("{open}, and every part is on record{close}"),
                short: format!("nothing: {way}{close}"),
                wants: Wants::default(),
            };
        }
        let against = |p: &Protection| is_against(*p, self.asked.hazard);
        let looked = |n: &usize| self.wires.link(*n).not_seen.iter().any(against);
        if self.nets().all(|links| links.iter().any(looked)) {
            let look_for = format!("magnify and lift shields along {way}: {wanted} may be hidden");
            return Said {
                verdict: Verdict::Undecided,
                stands: format!("{open}, where it was looked for and not seen{close}"),
                short: format!("nothing seen: {way}"),
                wants: Wants {
                    look_for: Some(look_for),
                    ..Wants::default()
                },
            };
        }
        let at = match places.as_str() {
            "" => format!("along {way}"),
            places => format!("at {places}"),
        };
        Said {
            verdict: Verdict::NeedsEvidence,
            stands: format!("{open}, where it was not looked for"),
            short: format!("not looked for: {way}"),
            wants: Wants {
                look_for: Some(format!("look for {wanted} {at}")),
                ..Wants::default()
            },
        }
    }

    /// Returns the links at each place of the open way.
    fn nets(&self) -> impl Iterator<Item = &Vec<usize>> {
        self.answer
            .witness
            .iter()
            .filter_map(|n| match self.wired.spots.get(n) {
                Some(Spot::Net(links)) => Some(links),
                _ => None,
            })
    }

    /// Returns the open way as a drawing marks it; none for a loop, whose way leads through ground.
    fn open_way(&self, verdict: Verdict) -> Option<Detail> {
        if self.asked.hazard.is_a_loop() {
            return None;
        }
        let spots = self
            .answer
            .witness
            .iter()
            .filter_map(|n| self.wired.spots.get(n));
        let items = spots.filter_map(|spot| match spot {
            Spot::Item(item) => Some(item.id.clone()),
            _ => None,
        });
        Some(Detail::Way(OpenWay {
            hazard: name(self.asked.hazard).to_string(),
            items: items.collect(),
            standing: match verdict {
                Verdict::Fails => WayStanding::Unguarded,
                Verdict::Undecided => WayStanding::NotSeen,
                _ => WayStanding::NotLookedFor,
            },
        }))
    }

    /// Returns the items of the open way, with arrows.
    fn way(&self) -> String {
        let mut names: Vec<String> = Vec::new();
        for spot in self
            .answer
            .witness
            .iter()
            .filter_map(|n| self.wired.spots.get(n))
        {
            match spot {
                Spot::Item(item) => names.push(item.name.clone()),
                Spot::Ground if names.last().is_none_or(|n| n != "ground") => {
                    names.push("ground".to_string())
                }
                Spot::Return => names.push("back".to_string()),
                Spot::Net(_) | Spot::Ground => {}
            }
        }
        names.join(" → ")
    }

    /// Returns the smallest sets of places where a part would close every open way: nets and tracks before items.
    fn places(&self) -> String {
        let Cut::Places { sets, .. } = &self.answer.cut else {
            return String::new();
        };
        let on_net = |set: &&Vec<String>| {
            set.iter()
                .all(|n| matches!(self.wired.spots.get(n), Some(Spot::Net(_))))
        };
        let nets: Vec<&Vec<String>> = sets.iter().filter(on_net).collect();
        let chosen = if nets.is_empty() {
            sets.iter().collect()
        } else {
            nets
        };
        let mut words: Distinct = Distinct::default();
        for set in chosen.into_iter().take(FEW) {
            let places: Vec<String> = set.iter().filter_map(|n| self.place(n)).collect();
            if !places.is_empty() {
                words.push(listed(places));
            }
        }
        words.into_vec().join(" or ")
    }

    fn place(&self, name: &str) -> Option<String> {
        match self.wired.spots.get(name)? {
            Spot::Item(item) => Some(the(item)),
            Spot::Net(links) => {
                let link = self.wires.link(*links.first()?);
                let end = |id: &str| self.case.item(id).map_or_else(|| id.to_string(), the);
                Some(match &link.net {
                    Some(net) => format!("the net {net}"),
                    None => format!("the track from {} to {}", end(&link.from), end(&link.to)),
                })
            }
            Spot::Ground | Spot::Return => Some("the common return".to_string()),
        }
    }

    /// Returns the places the answer rests on: links and items of the open way, or what guards.
    fn evidence(&self) -> Vec<Place> {
        let mut places = Distinct::default();
        places.push(Place::item(&self.asked.about.id));
        for spot in self
            .answer
            .witness
            .iter()
            .filter_map(|n| self.wired.spots.get(n))
        {
            match spot {
                Spot::Item(item) => places.extend(item_evidence(item)),
                Spot::Net(numbers) => places.extend(numbers.iter().map(|n| self.wires.place(*n))),
                Spot::Ground | Spot::Return => {}
            }
        }
        for item in self.doers(&self.answer.met, true) {
            places.extend(item_evidence(item));
        }
        places.into_vec()
    }
}
