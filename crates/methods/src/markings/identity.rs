//! Is an identity as sure as the record says?

use super::{explain, inspection};
use crate::assessment::{Assessment, CONTRADICTED, Known, SURE};
use crate::assumed;
use crate::words::{Words as _, likely, percent, the, the_start};
use crate::{Between, Cell, Column, Detail, Finding, Method, Missing, Table, Verdict};
use marking::Candidate;
use record::{Certainty, Place};

/// Rivals less probable than this need no second look.
const RIVAL: f64 = assumed::RIVAL_IDENTITY.number();

/// Answers for one part; `None` where the marking bears out what is recorded, or where nothing is
/// recorded and nothing is likely.
pub(super) fn examine(assessment: &Assessment<'_>, known: &Known) -> Option<Finding> {
    let probability = assessment.probability(known);
    let (verdict, sentence) = match assessment.identity() {
        Some(_) => judged(assessment, known, probability)?,
        None => (None, suggested(assessment, known)?),
    };
    let item = assessment.item;
    let title = format!("Is {} what we took it for?", the(item));
    let mut finding = Finding::new(Method::Markings, word!("identity"), title)
        .about(Place::item(&item.id))
        .saying(sentence);
    finding.verdict = verdict;
    finding.conformance = probability;
    finding.add_evidence([Place::item(&item.id).at("part.marking")]);
    finding.add_evidence(item.evidence.iter().map(Place::from));
    finding.details.push(candidates(assessment, known));
    finding.missing.extend(second_look(assessment));
    explain(&mut finding);
    Some(finding)
}

/// Judges a recorded identity; `None` where there is nothing to say.
fn judged(
    assessment: &Assessment<'_>,
    known: &Known,
    probability: Option<f64>,
) -> Option<(Option<Verdict>, String)> {
    let identity = assessment.identity()?;
    let recorded = format!(
        "We took {} for {} ({})",
        the(assessment.item),
        identity.name,
        identity.certainty.words()
    );
    let marking = assessment.facts.marking.join(" / ");
    match probability {
        // An assumed identity promises nothing that a marking could weaken.
        _ if matches!(identity.certainty, Certainty::Assumed | Certainty::Unknown)
            && probability.is_none_or(|p| p >= CONTRADICTED) =>
        {
            None
        }
        None if identity.certainty == Certainty::Read => {
            let best = assessment.answer.candidates.first();
            let rival = best
                .filter(|c| c.probability > 0.5)
                .map_or_else(String::new, |c| {
                    format!(
                        "; that the marking is that of {} is {}",
                        name(known, c),
                        likely(c.probability)
                    )
                });
            Some((
                Some(Verdict::NeedsEvidence),
                format!("{recorded}, but no catalogue knows that part{rival}."),
            ))
        }
        Some(p) if p < CONTRADICTED => {
            let best = assessment
                .answer
                .candidates
                .first()
                .filter(|c| c.probability > assessment.answer.none);
            let instead = best.map_or_else(
                || {
                    format!(
                        "none of the parts we know fits better ({})",
                        percent(assessment.answer.none)
                    )
                },
                |c| format!("{} fits it, {}", name(known, c), likely(c.probability)),
            );
            Some((
                Some(Verdict::Fails),
                format!(
                    "{recorded}. By its marking “{marking}” that is {}; {instead}.",
                    likely(p)
                ),
            ))
        }
        Some(p) if identity.certainty == Certainty::Read && p < SURE => Some((
            Some(Verdict::Undecided),
            format!(
                "{recorded}. By its marking “{marking}” that is {}, less than the {} that a reading needs.",
                likely(p),
                percent(SURE)
            ),
        )),
        _ => None,
    }
}

/// Returns the part that a candidate names by its number, its other number or its code.
fn name<'k>(known: &'k Known, candidate: &'k Candidate) -> &'k str {
    let part = known.parts().get(candidate.part);
    part.map_or(&candidate.name, |part| &part.name)
}

/// Says what an unidentified part may well be.
fn suggested(assessment: &Assessment<'_>, known: &Known) -> Option<String> {
    let best = assessment.answer.candidates.first()?;
    (best.probability >= 0.5).then(|| {
        let part = known.parts().get(best.part);
        let what = part
            .map(|p| [p.maker.as_str(), p.role.as_str()])
            .into_iter()
            .flatten()
            .filter(|t| !t.is_empty())
            .collect::<Vec<_>>()
            .join(", ");
        let what = if what.is_empty() {
            what
        } else {
            format!(" ({what})")
        };
        format!(
            "{} was not identified; its marking “{}” is that of {}{what}, {}.",
            the_start(assessment.item),
            assessment.facts.marking.join(" / "),
            name(known, best),
            likely(best.probability)
        )
    })
}

/// The likeliest parts as a table.
fn candidates(assessment: &Assessment<'_>, known: &Known) -> Detail {
    let answer = &assessment.answer;
    let mut rows: Vec<Vec<Cell>> = answer
        .candidates
        .iter()
        .take(5)
        .map(|c| {
            vec![
                Cell::words(name(known, c)),
                Cell::text(known.parts().get(c.part).map(|p| &p.maker)),
                Cell::probability(c.probability),
                Cell::words(inspection::shown(c)),
                Cell::list(
                    c.factors.iter().map(|f| Cell::words(f.to_string())),
                    Between::Semicolon,
                ),
            ]
        })
        .collect();
    let mut none = vec![Cell::Nothing; 5];
    none[0] = Cell::words("none of the parts we know");
    none[2] = Cell::probability(answer.none);
    rows.push(none);
    Detail::Table(Table {
        caption: format!("What {} can be", the(assessment.item)),
        columns: vec![
            Column::words("Part"),
            Column::words("Maker"),
            Column::probability("Probability"),
            Column::words("Marking and name"),
            Column::words("Other clues"),
        ],
        rows,
    })
}

/// What to look at again: the characters that tell the likeliest parts apart.
fn second_look(assessment: &Assessment<'_>) -> Option<Missing> {
    let mut rivals = assessment
        .answer
        .candidates
        .iter()
        .filter(|c| c.probability >= RIVAL);
    let name = the(assessment.item);
    let likely = assessment
        .answer
        .candidates
        .first()
        .map_or(0.0, |c| c.probability);
    if is_legible(&assessment.facts.marking) && assessment.answer.none > likely {
        return Some(Missing::at_any_time(format!(
            "find out what “{}” on {name} stands for and add it to the catalogue: the marking is legible, and none of \
             the parts we know carries it",
            assessment.facts.marking.join(" / ")
        )));
    }
    let best = rivals.next()?;
    let measure = match rivals.next() {
        Some(rival) => {
            let places = inspection::differences(best, rival).join(", ");
            let look = if places.is_empty() {
                "the package and its pins".to_string()
            } else {
                places
            };
            format!(
                "look at {name} again under light from the side: {look} ({} or {})",
                best.name, rival.name
            )
        }
        None if assessment.answer.none >= RIVAL => {
            format!("photograph the marking of {name} again, cleaned and magnified")
        }
        None => return None,
    };
    Some(Missing::at_any_time(measure))
}

/// Returns whether every character of a marking was read: looking again would change nothing.
fn is_legible(lines: &[String]) -> bool {
    !lines.is_empty() && !lines.iter().any(|line| line.contains(['?', '[', '~']))
}
