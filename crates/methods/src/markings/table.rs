//! All markings at a glance: what is recorded, what is likeliest, how sure.

use super::explain;
use crate::assessment::{Assessments, CONTRADICTED, Known, SURE};
use crate::words::{Words as _, called, counted};
use crate::{Cell, Column, Detail, Finding, Method, Table};
use record::Place;

pub(super) fn examine(assessed: &Assessments<'_>, known: &Known) -> Finding {
    let mut finding = Finding::new(
        Method::Markings,
        word!("identities"),
        "The markings and the parts they name",
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
            Cell::place(Place::item(&a.item.id), called(a.item)),
            Cell::words(a.facts.marking.join(" / ")),
            identity.map_or(Cell::Nothing, |i| {
                Cell::words(format!("{} ({})", i.name, i.certainty.words()))
            }),
            match (identity, probability) {
                (None, _) => Cell::Nothing,
                (Some(_), None) => Cell::words("not in the catalogue"),
                (Some(_), Some(p)) => Cell::probability(p),
            },
            Cell::text(best.map(|c| &c.name)),
            best.map_or(Cell::Nothing, |c| Cell::probability(c.probability)),
            Cell::probability(a.answer.none),
        ]);
        places.push(Place::item(&a.item.id).at("part.marking"));
    }
    finding.add_evidence(places);
    let with_identity = sure + open + against + unknown;
    finding.sentence = format!(
        "{} a marking, and {with_identity} of them a name: {} it for certain, {} less surely, {} another part, {} \
         in no catalogue ({} parts known).",
        counted(assessed.len(), "part carries", "parts carry"),
        counted(sure, "gives", "give"),
        open,
        counted(against, "names", "name"),
        counted(unknown, "is", "are"),
        known.parts().len()
    );
    finding.details.push(Detail::Table(Table {
        caption: "Markings against the catalogue".to_string(),
        columns: vec![
            Column::place("Part"),
            Column::words("Marking as seen"),
            Column::words("Taken as"),
            Column::probability("Its probability"),
            Column::words("Likeliest"),
            Column::probability("Probability"),
            Column::probability("None of the known"),
        ],
        rows,
    }));
    explain(&mut finding);
    finding
}
