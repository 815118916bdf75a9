//! The sheet of cells: what is printed on each, and what follows from it.

use super::sheet::{Cell, Sheet};
use super::tables::decimals_as_written;
use crate::digits;
use methods::{Finding, Findings, Method};
use quantity::{Figure, Stated, Unit};
use record::{CellFacts, Dossier, Item, Place};

/// Makes the sheet: one row per cell; one pair of columns per figure that any cell has.
pub(super) fn cells(dossier: &Dossier, findings: &Findings) -> Sheet {
    let derived: Vec<&Finding> = findings
        .findings
        .iter()
        .filter(|f| f.method() == Method::Cell)
        .collect();
    let mut kinds: Vec<(&str, &str)> = Vec::new();
    for figure in derived.iter().flat_map(|f| &f.figures) {
        let kind = (figure.name.as_str(), figure.unit.symbol());
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    let mut columns: Vec<(String, f64)> = [
        ("Item", 16.0),
        ("Name", 24.0),
        ("Count", 7.0),
        ("Form", 11.0),
        ("Chemistry", 11.0),
        ("Capacity / mAh", 10.0),
        ("Nominal voltage / V", 10.0),
        ("Limit voltage / V", 10.0),
        ("End-of-discharge voltage / V", 11.0),
        ("Printed energy / Wh", 10.0),
        ("Largest charge current / mA", 11.0),
        ("Held by", 22.0),
        ("Connected by", 18.0),
    ]
    .into_iter()
    .map(|(h, w)| (h.to_owned(), w))
    .collect();
    for (name, unit) in &kinds {
        let name = sentence_case(name);
        columns.push((with_unit(&name, unit), 12.0));
        columns.push((
            with_unit(&format!("{name}, standard uncertainty"), unit),
            12.0,
        ));
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
                let figure = own
                    .iter()
                    .find(|f| f.name == *name && f.unit.symbol() == *unit);
                row.extend(figure.map_or([Cell::Empty, Cell::Empty], |f| pair(f)));
            }
            row
        })
        .collect();
    Sheet {
        name: "Cells",
        columns,
        rows,
    }
}

fn printed(item: &Item, facts: &CellFacts) -> Vec<Cell> {
    vec![
        Cell::text(&item.id),
        Cell::text(&item.name),
        Cell::count(usize::try_from(item.count.at_least()).unwrap_or_default()),
        Cell::text(&facts.form),
        Cell::optional(facts.chemistry.as_deref()),
        in_unit(facts.capacity.as_ref(), "mAh"),
        in_unit(facts.nominal_voltage.as_ref(), "V"),
        in_unit(facts.limit_voltage.as_ref(), "V"),
        in_unit(facts.cutoff_voltage.as_ref(), "V"),
        in_unit(facts.energy.as_ref(), "Wh"),
        in_unit(facts.charge_current.as_ref(), "mA"),
        Cell::optional(facts.held.as_deref()),
        Cell::optional(facts.connected.as_deref()),
    ]
}

/// Value and standard uncertainty, both to the digits the uncertainty deserves.
fn pair(figure: &Figure) -> [Cell; 2] {
    let decimals = digits::decimals(figure.standard_uncertainty)
        .unwrap_or_else(|| digits::carried(figure.value));
    [
        Cell::number(figure.value, decimals),
        Cell::number(figure.standard_uncertainty, decimals),
    ]
}

/// Returns a stated figure in the unit of its column.
fn in_unit(stated: Option<&Stated>, symbol: &str) -> Cell {
    let Some(stated) = stated else {
        return Cell::Empty;
    };
    if stated.unit.symbol() == symbol {
        return Cell::number(stated.value, decimals_as_written(stated));
    }
    match Unit::parse(symbol) {
        Ok(unit) if unit.dimension() == stated.dimension() => {
            let value = unit.of_si(stated.si());
            Cell::number(value, digits::carried(value))
        }
        Ok(_) | Err(_) => Cell::text(&stated.text),
    }
}

/// Writes a heading; a compound unit is put in brackets (`Specific energy / (Wh/kg)`).
fn with_unit(name: &str, unit: &str) -> String {
    if unit.is_empty() {
        name.to_owned()
    } else if unit.contains(['/', '·', ' ']) {
        format!("{name} / ({unit})")
    } else {
        format!("{name} / {unit}")
    }
}

fn sentence_case(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
