//! The index of smartphones and tablets: the points that each part earns, or what they can still be.
//!
//! In: listed parts with their ways, facts, points that the analyst read in the regulation. Out: a finding that gives the
//! index only where every input is there, and otherwise the interval that it can still take.

use super::Spare;
use super::facts::{latest, years};
use crate::assumed;
use crate::precedence::{WayTo, spare_class};
use crate::words::listed;
use crate::{Case, Cell, Column, Detail, Finding, Method, Missing, Table};
use ::repair::Surety;
use ::repair::index::{
    CRITERIA, Index, Informed, Inputs, LOCK_STEPS, SOURCE, SURETY, Span, Weights, of_fastening,
    of_information, of_software, of_spares, of_steps, of_tool,
};
use record::{
    Place, RepairAsked, RepairAudience, RepairFactKind, RepairProduct, SpareClass, ToolClass, YesNo,
};

/// Tells the index; `None` where it is not for such products.
pub(super) fn told(case: &Case<'_>, spares: &[Spare<'_>]) -> Option<Finding> {
    let asked = case.dossier.repair.as_ref()?;
    let weights = match asked.product? {
        RepairProduct::Smartphone | RepairProduct::Tablet => Weights::Flat,
        RepairProduct::FoldableSmartphone => {
            Weights::folding(&asked.part_weights).unwrap_or(Weights::FoldingOrder)
        }
        RepairProduct::MobilePhone | RepairProduct::Other | RepairProduct::Unknown => return None,
    };
    let mut finding = Finding::new(
        Method::Repair,
        word!("index"),
        "What the index of phones and tablets comes to",
    );
    finding.add_evidence([Place::dossier().at("repair.product")]);
    finding.cite(SOURCE);
    let classes = weights.parts();
    let inputs = Inputs {
        parts: classes
            .iter()
            .map(|class| part(case, asked, spares, *class))
            .collect(),
        rest: rest(case, asked, spares, &classes),
        weights,
    };
    let index = inputs.index();
    finding.sentence = sentence(asked, &index);
    finding.details.push(Detail::Table(criteria(asked, &index)));
    finding
        .details
        .push(Detail::Table(parts(&inputs, &classes)));
    finding.assume(
        "Steps are counted as operations that end with a removal or a change of tool; the regulation counts by rules of \
         its own, which were not read.",
    );
    finding.assume(format!(
        "{} steps are added where a part works only after the maker lets it; of several parts of a kind the \
         lowest points count; a part that `repair.lacks` names earns most.",
        assumed::INDEX_LOCK_STEPS.text()
    ));
    finding.assume(
        "Of the points for spare parts and for repair information only their order was found: what is offered to everybody \
         goes up the five points by display, battery, back cover, cameras and all listed parts; instructions for everybody \
         earn most, those that repairers pay for least.",
    );
    match inputs.weights {
        Weights::Flat => {}
        Weights::FoldingOrder => finding.assume(
            "What the parts of a phone that folds weigh was not found, but that battery and display weigh most and the hinge \
             next. The interval holds for all weights in this order. State `repair.part-weights` to narrow it.",
        ),
        Weights::Folding(_) => finding.add_evidence([Place::dossier().at("repair.part-weights")]),
    }
    if let Some(edition) = &asked.read_index {
        finding.add_evidence([Place::dossier().at("repair.read-index")]);
        finding.cite(format!(
            "Delegated Regulation (EU) 2023/1669, annex IV point 5, as the analyst read it: {edition}"
        ));
    }
    missing(asked, &index, &mut finding);
    Some(finding)
}

/// Steps, fastening and tools of a listed part.
fn part(
    case: &Case<'_>,
    asked: &RepairAsked,
    spares: &[Spare<'_>],
    class: SpareClass,
) -> [Span; 3] {
    if asked.lacks.contains(&class) {
        return [Span::of(5); 3];
    }
    let here: Vec<&Spare<'_>> = spares
        .iter()
        .filter(|s| spare_class(s.item) == Some(class))
        .collect();
    let each = here.iter().map(|s| {
        s.way
            .as_ref()
            .map_or([Span::ANY; 3], |way| earned(case, way))
    });
    // The lowest of several counts.
    each.reduce(|a, b| {
        std::array::from_fn(|c| Span {
            low: a[c].low.min(b[c].low),
            high: a[c].high.min(b[c].high),
        })
    })
    .unwrap_or([Span::ANY; 3])
}

fn earned(case: &Case<'_>, way: &WayTo<'_>) -> [Span; 3] {
    let counted = way.route.counted(&case.dossier.steps);
    let (free, locked) = (
        of_steps(counted),
        of_steps(counted + usize::from(LOCK_STEPS)),
    );
    let steps = match way.lock(case) {
        Some(true) => locked,
        Some(false) => free,
        None => Span {
            low: locked.low,
            high: free.high,
        },
    };
    let fastening = match (way.fastening.known(), way.fastening.least) {
        (Some(known), _) => of_fastening(Some(known)),
        (None, least) => Span {
            low: Span::ANY.low,
            high: of_fastening(least).high,
        },
    };
    let tools = match (way.tools.known(), way.tools.least) {
        (Some(known), _) => of_tool(known),
        (None, least) => Span {
            low: Span::ANY.low,
            high: of_tool(least.unwrap_or(ToolClass::Unknown)).high,
        },
    };
    [steps, fastening, tools]
}

fn rest(
    case: &Case<'_>,
    asked: &RepairAsked,
    spares: &[Spare<'_>],
    classes: &[SpareClass],
) -> [Span; 3] {
    // What a repairer alone gets is on offer to nobody else.
    let offered = |class: SpareClass| {
        if asked.lacks.contains(&class) {
            return Some(true);
        }
        let item = spares
            .iter()
            .find(|s| spare_class(s.item) == Some(class))?
            .item;
        let (fact, _) = latest(case, RepairFactKind::Spare, Some(&item.id))?;
        match (fact.is, fact.until, fact.to) {
            (Some(YesNo::No), ..)
            | (_, _, Some(RepairAudience::Repairers | RepairAudience::Authorised)) => Some(false),
            (Some(YesNo::Yes), _, Some(RepairAudience::Everyone))
            | (None, Some(_), Some(RepairAudience::Everyone)) => Some(true),
            (Some(YesNo::Yes | YesNo::Unknown) | None, ..) => None,
        }
    };
    let spares = asked
        .points_spares
        .map_or_else(|| of_spares(classes, offered), Span::stated);
    let software = asked.points_software.map(Span::stated).or_else(|| {
        let (fact, _) = latest(case, RepairFactKind::Software, None)?;
        let years = u32::try_from(years(asked.last_sold?, fact.until?)).ok()?;
        Some(of_software(f64::from(years)))
    });
    let information = asked.points_information.map(Span::stated);
    [
        spares,
        software.unwrap_or(Span::ANY),
        information.or_else(|| informed(case)).unwrap_or(Span::ANY),
    ]
}

/// Points for instructions; `None` where the record does not say who gets them.
fn informed(case: &Case<'_>) -> Option<Span> {
    let (fact, _) = latest(case, RepairFactKind::Manual, None)?;
    match (fact.is?, fact.to) {
        (YesNo::Yes, None | Some(RepairAudience::Everyone)) => {
            Some(of_information(Informed::Users))
        }
        // Whether they pay, the record has no word for.
        (YesNo::Yes, Some(RepairAudience::Repairers)) => Some(Span {
            low: of_information(Informed::RepairersPay).low,
            high: of_information(Informed::RepairersFree).high,
        }),
        (YesNo::No, _) => Some(Span {
            low: of_information(Informed::RepairersPay).low,
            high: of_information(Informed::RepairersFree).high,
        }),
        (YesNo::Yes, Some(RepairAudience::Authorised | RepairAudience::Unknown))
        | (YesNo::Unknown, _) => None,
    }
}

/// How surely the arithmetic is known.
fn surety(asked: &RepairAsked) -> Surety {
    match asked.read_index {
        Some(_) => Surety::ByAnalyst,
        None => SURETY,
    }
}

fn sentence(asked: &RepairAsked, index: &Index) -> String {
    let (low, high) = index.points();
    let classes: Vec<String> = index.classes().into_iter().map(String::from).collect();
    let found = match index.is_settled() {
        true => format!(
            "By the record the index comes to {low:.2}, class {}",
            listed(classes)
        ),
        false => {
            let word = if classes.len() == 1 {
                "class"
            } else {
                "classes"
            };
            format!(
                "By the record the index can still be anything from {low:.2} to {high:.2}, {word} {}; no score is given",
                classes.join(", ")
            )
        }
    };
    match surety(asked) {
        sure if sure.decides() => format!(
            "{found}. Its arithmetic was {}; what decides is the rating that the maker declares and an authority checks.",
            sure.words()
        ),
        sure => format!(
            "{found}. Its arithmetic is known {}, so that this is no rating of the product.",
            sure.words()
        ),
    }
}

fn criteria(asked: &RepairAsked, index: &Index) -> Table {
    let rows = CRITERIA
        .iter()
        .zip(index.criteria)
        .map(|((name, weight), span)| {
            vec![
                Cell::words(*name),
                Cell::words(format!("{weight} %")),
                Cell::words(points(span)),
            ]
        });
    Table {
        caption: format!(
            "Points by criterion, 1 to 5 (arithmetic known: {})",
            surety(asked).words()
        ),
        columns: ["Criterion", "Weight", "Points"].map(Column::words).into(),
        rows: rows.collect(),
    }
}

fn parts(inputs: &Inputs, classes: &[SpareClass]) -> Table {
    let weight = |at: usize| {
        let percent = inputs.weights.percent(at);
        percent.map_or(NOT_FOUND.to_string(), |percent| {
            format!("{} %", short(percent))
        })
    };
    let rows =
        classes
            .iter()
            .zip(&inputs.parts)
            .enumerate()
            .map(|(at, (class, [steps, held, tools]))| {
                vec![
                    Cell::words(name(*class)),
                    Cell::words(weight(at)),
                    Cell::words(points(*steps)),
                    Cell::words(points(*held)),
                    Cell::words(points(*tools)),
                ]
            });
    Table {
        caption: "Points of each listed part".into(),
        columns: ["Part", "Weight", "Steps", "Fasteners", "Tools"]
            .map(Column::words)
            .into(),
        rows: rows.collect(),
    }
}

/// Stands where a weight was not found.
const NOT_FOUND: &str = "not found";

/// Writes points or percent with as many digits as they have.
fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

fn points(span: Span) -> String {
    let (low, high) = span.points();
    match span.is_settled() {
        true => short(low),
        false => format!("{} to {}", short(low), short(high)),
    }
}

const fn name(class: SpareClass) -> &'static str {
    match class {
        SpareClass::Battery => "battery",
        SpareClass::Display => "display",
        SpareClass::BackCover => "back cover",
        SpareClass::FrontCamera => "front camera",
        SpareClass::RearCamera => "rear camera",
        SpareClass::ChargingPort => "charging port",
        SpareClass::Button => "buttons",
        SpareClass::Microphone => "microphones",
        SpareClass::Speaker => "speaker",
        SpareClass::AudioConnector => "audio connector",
        SpareClass::Hinge => "hinge",
        SpareClass::FoldingMechanism => "folding mechanism",
        SpareClass::Other => "other part",
    }
}

/// Asks for what leaves the index open and no step can tell.
fn missing(asked: &RepairAsked, index: &Index, finding: &mut Finding) {
    let [.., spares, software, information] = index.criteria;
    for (span, stated, what) in [
        (spares, asked.points_spares, "spare parts"),
        (software, asked.points_software, "software updates"),
        (information, asked.points_information, "repair information"),
    ] {
        if !span.is_settled() && stated.is_none() {
            finding.missing.push(Missing::at_any_time(format!(
                "read in the regulation what points the {what} earn, or record what is offered to whom"
            )));
        }
    }
}
