//! The sheet of cells: what is printed on each, and what follows from it.

use super::sheet::Sheet;
use super::value::full;
use methods::words::capital;
use methods::{Cell, Column, Finding, Findings, Method};
use quantity::{Figure, Stated, Unit, units};
use record::{CellFacts, Dossier, Item, Place};

/// Makes the sheet: one row per cell; one pair of columns per figure that any cell has.
pub(super) fn cells(dossier: &Dossier, findings: &Findings) -> Sheet {
    let derived: Vec<&Finding> = findings
        .findings
        .iter()
        .filter(|f| f.method() == Method::Cell)
        .collect();
    let mut kinds: Vec<(&str, &Unit)> = Vec::new();
    for figure in derived.iter().flat_map(|f| &f.figures) {
        let kind = (figure.name.as_str(), &figure.unit);
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    let unit = |symbol: &str| Unit::parse(symbol).unwrap_or_else(|_| units::one());
    let in_unit = |heading: &str, symbol: &str| Column::in_unit(heading, unit(symbol));
    let mut columns = vec![
        (Column::words("Name"), 24.0),
        (Column::count("Count"), 7.0),
        (Column::words("Form"), 11.0),
        (Column::words("Chemistry"), 11.0),
        (in_unit("Capacity", "mAh"), 10.0),
        (in_unit("Nominal voltage", "V"), 10.0),
        (in_unit("Limit voltage", "V"), 10.0),
        (in_unit("End-of-discharge voltage", "V"), 11.0),
        (in_unit("Printed energy", "Wh"), 10.0),
        (in_unit("Largest charge current", "mA"), 11.0),
        (Column::words("Held by"), 22.0),
        (Column::words("Connected by"), 18.0),
    ];
    for (name, unit) in &kinds {
        let name = capital(name);
        let half = format!("{name}, ± (95 %)");
        columns.push((Column::in_unit(&name, (*unit).clone()), 12.0));
        columns.push((Column::in_unit(half, unit.difference()), 12.0));
        columns.push((Column::number(format!("{name}, full value")), 14.0));
    }
    let rows = dossier
        .items
        .iter()
        .filter_map(|item| Some((item, item.cell.as_ref()?)))
        .map(|(item, facts)| {
            let mut row = printed(item, facts);
            let own: Vec<&Figure> = derived
                .iter()
                .filter(|f| f.about == Some(Place::item(&item.id)))
                .flat_map(|f| f.figures.iter().map(|f| &f.figure))
                .collect();
            for (name, unit) in &kinds {
                let figure = own.iter().find(|f| f.name == *name && f.unit == **unit);
                row.extend(
                    figure.map_or([Cell::Nothing, Cell::Nothing, Cell::Nothing], |f| told(f)),
                );
            }
            row
        })
        .collect();
    Sheet::new("Cells", columns, rows)
}

fn printed(item: &Item, facts: &CellFacts) -> Vec<Cell> {
    let stated = |figure: &Option<Stated>| figure.as_ref().map_or(Cell::Nothing, Cell::stated);
    vec![
        Cell::words(&item.name),
        Cell::pieces(methods::own_count(item)),
        Cell::words(&facts.form),
        Cell::text(facts.chemistry.as_ref()),
        stated(&facts.capacity),
        stated(&facts.nominal_voltage),
        stated(&facts.limit_voltage),
        stated(&facts.cutoff_voltage),
        stated(&facts.energy),
        stated(&facts.charge_current),
        Cell::text(facts.held.as_ref()),
        Cell::text(facts.connected.as_ref()),
    ]
}

/// Value and half its 95 % interval, with the same decimals, and the value in full.
fn told(figure: &Figure) -> [Cell; 3] {
    let value = Cell::figure(figure);
    let half = match &value {
        Cell::Quantity(value) => value
            .half()
            .map(|half| Cell::number(half, value.decimals())),
        _ => None,
    };
    [value, half.unwrap_or_default(), full(figure.value)]
}
