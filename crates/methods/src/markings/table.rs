//! All markings at a glance: what is recorded, what is likeliest, how sure.

use super::explain;
use crate::assessment::{Assessments, CONTRADICTED, Known, SURE};
use crate::words::{Words as _, called, counted, listed, percent};
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
    let told = [
        (
            sure,
            format!("bears out {sure} of them with {} or more", percent(SURE)),
        ),
        (open, format!("leaves {open} less likely")),
        (against, format!("speaks against {against}")),
        (
            unknown,
            format!("tells nothing of {unknown}, which no catalogue knows"),
        ),
    ];
    let told = told.into_iter().filter(|(n, _)| *n > 0);
    let told = listed(told.map(|(_, words)| words).collect());
    finding.sentence = format!(
        "{} a marking, and we took {with_identity} of them for a certain part{}.",
        counted(assessed.len(), "part carries", "parts carry"),
        match told.as_str() {
            "" => String::new(),
            told => format!(": the marking {told} ({} parts known)", known.parts().len()),
        }
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
            Column::probability("None of the parts we know"),
        ],
        rows,
    }));
    explain(&mut finding);
    finding
}
