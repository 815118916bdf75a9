//! All markings at a glance: what is recorded, what is likeliest, how sure.

use super::explain;
use crate::assessment::{Assessments, CONTRADICTED, Known, SURE};
use crate::words::{Words as _, called, percent};
use crate::{Detail, Finding, Method};
use record::Place;

pub(super) fn examine(assessed: &Assessments<'_>, known: &Known) -> Finding {
    let mut finding = Finding::new(
        Method::Markings,
        word!("identities"),
        "What do the markings say?",
    );
    let mut rows = Vec::new();
    let (mut sure, mut open, mut against, mut unknown) = (0, 0, 0, 0);
    let assessed = assessed.all();
    let mut places = Vec::new();
    for a in assessed {
        let identity = a.identity();
        let probability = a.probability(known);
        match probability {
            Some(p) if p >= SURE => sure += 1,
            Some(p) if p < CONTRADICTED => against += 1,
            Some(_) => open += 1,
            None => unknown += usize::from(identity.is_some()),
        }
        let best = a.answer.candidates.first();
        rows.push(vec![
            called(a.item),
            a.facts.marking.join(" / "),
            identity.map_or_else(String::new, |i| {
                format!("{} ({})", i.name, i.certainty.words())
            }),
            match (identity, probability) {
                (None, _) => String::new(),
                (Some(_), None) => "not in the catalogue".to_string(),
                (Some(_), Some(p)) => percent(p),
            },
            best.map_or_else(String::new, |c| c.name.clone()),
            best.map_or_else(String::new, |c| percent(c.probability)),
            percent(a.answer.none),
        ]);
        places.push(Place::item(&a.item.id).at("part.marking"));
    }
    finding.add_evidence(places);
    let with_identity = sure + open + against + unknown;
    finding.sentence = format!(
        "{} parts carry a marking and {with_identity} of them an identity: {sure} are as good as read, \
         {open} are less sure, {against} are contradicted by their marking, {unknown} are in no catalogue \
         given ({} parts known).",
        assessed.len(),
        known.parts().len()
    );
    finding.details.push(Detail::Table {
        caption: "Markings against the catalogue".to_string(),
        columns: [
            "Part",
            "Marking as seen",
            "Recorded identity",
            "Its probability",
            "Likeliest",
            "Probability",
            "None of the known",
        ]
        .map(String::from)
        .to_vec(),
        rows,
    });
    explain(&mut finding);
    finding
}
