//! Specific energy and energy density against what such cells reach.
//!
//! In: the energy of a cell, its mass and volume. Out: figures and sentences in its finding; where they lie.

use crate::cells::reach::{BandPosition, position, reach};
use crate::cells::volume::Volume;
use crate::chemistry::Chemistry;
use crate::{Case, Finding, Missing, assumed, inputs};
use quantity::{Figure, Sheet, Term};
use record::Item;

const REACH_SOURCE: &str = "Specific energy and energy density of cells on sale: data sheets, most from memory; \
    each figure is a row of the assumptions with its year.";

/// A question about a reach answered: what, where it lies.
pub(super) type Positioned = (&'static str, BandPosition);

/// Specific energy and energy density against what such cells reach; `energy` as a term and in Wh.
pub(super) fn densities<'s, 'd>(
    case: &Case<'d>,
    item: &'d Item,
    chemistry: Chemistry,
    sheet: &'s Sheet,
    (energy, energy_wh): (Term<'s>, f64),
    volume: Volume<'s>,
    finding: &mut Finding,
) -> Vec<Positioned> {
    let form = item.cell.as_ref().map_or("", |c| c.form.as_str());
    let reach = reach(form, chemistry, energy_wh);
    let mut places = Vec::new();
    match case
        .masses()
        .input(&item.id, "mass")
        .filter(|m| m.distribution.mean() > 0.0)
    {
        Some(input) => {
            let term = energy / sheet.input(input);
            let result = sheet.figure(term.named("specific energy", &inputs::unit("Wh/kg")));
            let against = reach.map(|r| (r.name, r.specific));
            if case.masses().is_sound(&item.id) {
                places.extend(positioned(finding, "specific energy", &result, against));
            } else {
                finding.unused.push(
                    "Its mass rests on weighings that disagree, so it does not judge the label."
                        .into(),
                );
            }
            finding.add_result(word!("specific-energy"), "specific energy", result);
        }
        None => finding.missing.push(Missing {
            measure: format!("weigh {} alone", item.name),
            resolution: Some("0.01 g".to_string()),
            before_step: None,
            too_late: false,
            settles: None,
        }),
    }
    finding.unused.extend(volume.remarks);
    match volume.term {
        Some(term) => {
            let result =
                sheet.figure((energy / term).named("energy density", &inputs::unit("Wh/L")));
            if case.dangers().get(&item.id).is_none() {
                let against = reach.map(|r| (r.name, r.density));
                places.extend(positioned(finding, "energy density", &result, against));
            } else {
                finding.unused.push(
                    "The volume of a cell that is not sound says nothing about its label.".into(),
                );
            }
            finding.add_result(word!("energy-density"), "energy density", result);
        }
        // Nobody puts a calliper to a swollen cell.
        None if case.dangers().get(&item.id).is_some() => {}
        None => finding.missing.push(Missing {
            measure: format!("measure {} of {}", volume.missing.join(", "), item.name),
            resolution: Some("0.1 mm".to_string()),
            before_step: None,
            too_late: false,
            settles: None,
        }),
    }
    if reach.is_some() {
        finding.cite(REACH_SOURCE);
    } else {
        finding.unused.push(format!(
            "What cells of form '{form}' and chemistry '{}' reach is not known, so the label is not judged by \
             mass and size.",
            chemistry.words()
        ));
    }
    places
}

/// Compares a figure with what such cells reach, and says so.
fn positioned(
    finding: &mut Finding,
    what: &'static str,
    result: &Result<Figure, quantity::SheetError>,
    against: Option<(&str, &'static assumed::Row)>,
) -> Option<Positioned> {
    let figure = result.as_ref().ok()?;
    let (name, row) = against?;
    let found = position(figure.value, figure.standard_uncertainty, row);
    let (usual, greatest) = row.bounds();
    let unit = row.unit();
    finding.sentence.push_str(&format!(
        " At {} ({what}) it is {}.",
        figure.text,
        match found {
            BandPosition::Usual => format!("ordinary for {name} cells, which reach {usual} {unit}"),
            BandPosition::Edge =>
                format!("at the edge of the {usual} {unit} that {name} cells reach"),
            BandPosition::Unusual => format!(
                "above the {usual} {unit} that {name} cells usually reach at most, but below the {greatest} {unit} \
                 of the best on sale"
            ),
            BandPosition::Beyond =>
                format!("beyond the {greatest} {unit} of the best {name} cells on sale in {}", row.year()),
        },
    ));
    Some((what, found))
}
