//! Energy, specific energy and energy density of cells, against data sheets and reference values that were
//! computed from them with a calculator.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "support/answers.rs"]
mod support;

use methods::assumed::{SMALL_BATTERY, SMALL_CELL};
use methods::cell::label::{PairFit, cell_code, pair};
use methods::cell::transport::{is_button, within};
use methods::cells::reach::{BandPosition, position, reach};
use methods::chemistry::Chemistry;
use methods::{Finding, cell};
use record::{CellFacts, Dossier};
use support::answers;

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "found {found}, expected {expected}"
    );
}

/// A dossier with one cell: capacity, nominal voltage, form, chemistry, sizes, mass.
fn one_cell(facts: &str, form: &str, chemistry: &str, size: &str, mass: Option<&str>) -> Dossier {
    let weighing = mass.map_or_else(String::new, |m| {
        format!("[[readings]]\nid = \"m\"\nitem = \"cell\"\nwhat = \"mass\"\nvalue = \"{m}\"\n")
    });
    let text = format!(
        "format = 1\n[product]\nname = \"Sample\"\nmaker = \"Nobody\"\nopened = 2026-01-01\n\
         [[items]]\nid = \"product\"\nname = \"Sample\"\nkind = \"product\"\n\
         [[items]]\nid = \"cell\"\nname = \"Cell\"\nkind = \"cell\"\nparent = \"product\"\nsize = {{ {size} }}\n\
         [items.cell]\n{facts}\nform = \"{form}\"\nchemistry = \"{chemistry}\"\n{weighing}"
    );
    record::read_text(&text, "dossier.toml", &record::AnyFile).expect("the text is well formed")
}

fn figure(finding: &Finding, name: &str) -> f64 {
    finding
        .figures
        .iter()
        .find(|f| f.name == name)
        .unwrap_or_else(|| panic!("no {name}: {finding:?}"))
        .value
}

struct Sheet {
    facts: &'static str,
    form: &'static str,
    chemistry: &'static str,
    size: &'static str,
    mass: Option<&'static str>,
    energy: f64,
    specific: Option<f64>,
    density: Option<f64>,
}

/// Source: cell data sheets (rechargeable 2450 coin; pouch module 250 mAh; pouch 10 Ah; 21700 of 4.0 Ah,
/// which prints 206 Wh/kg and 594 Wh/L; 21700 of 5.0 Ah; lithium iron phosphate 26 × 65 mm) for capacity,
/// voltage, size and mass; energies and densities are reference values computed from them, E = Q V, apart
/// from this program.
#[test]
fn cells_of_data_sheets() {
    let sheets = [
        Sheet {
            facts: "capacity = \"120 mAh\"\nnominal-voltage = \"3.6 V\"",
            form: "button",
            chemistry: "Li-ion",
            size: "diameter = \"24.5 mm\", height = \"5.0 mm\"",
            mass: Some("5.2 g"),
            energy: 0.4320,
            specific: Some(83.1),
            density: Some(183.3),
        },
        Sheet {
            facts: "capacity = \"250 mAh\"\nnominal-voltage = \"3.7 V\"",
            form: "pouch",
            chemistry: "Li-ion",
            size: "thickness = \"3.7 mm\", width = \"26 mm\", length = \"40 mm\"",
            mass: None,
            energy: 0.925,
            specific: None,
            density: Some(240.4),
        },
        Sheet {
            facts: "capacity = \"10 Ah\"\nnominal-voltage = \"3.7 V\"",
            form: "pouch",
            chemistry: "Li-ion",
            size: "thickness = \"9.2 mm\", width = \"59 mm\", length = \"157 mm\"",
            mass: Some("196 g"),
            energy: 37.0,
            specific: Some(188.8),
            density: Some(434.2),
        },
        Sheet {
            facts: "capacity = \"4.0 Ah\"\nnominal-voltage = \"3.6 V\"\nenergy = \"14.4 Wh\"",
            form: "cylindrical",
            chemistry: "Li-ion",
            size: "diameter = \"21.0 mm\", height = \"70.0 mm\"",
            mass: Some("70 g"),
            energy: 14.4,
            specific: Some(205.7),
            density: Some(593.9),
        },
        Sheet {
            facts: "capacity = \"5.0 Ah\"\nnominal-voltage = \"3.6 V\"",
            form: "cylindrical",
            chemistry: "Li-ion",
            size: "diameter = \"21.25 mm\", height = \"70.62 mm\"",
            mass: Some("72 g"),
            energy: 18.0,
            specific: Some(250.0),
            density: Some(718.7),
        },
        Sheet {
            facts: "capacity = \"4.0 Ah\"\nnominal-voltage = \"3.2 V\"",
            form: "cylindrical",
            chemistry: "LiFePO4",
            size: "diameter = \"26 mm\", height = \"65 mm\"",
            mass: Some("90 g"),
            energy: 12.8,
            specific: Some(142.2),
            density: Some(370.9),
        },
    ];
    for sheet in sheets {
        let dossier = one_cell(
            sheet.facts,
            sheet.form,
            sheet.chemistry,
            sheet.size,
            sheet.mass,
        );
        let findings = answers(cell::examine, &dossier);
        let finding = &findings[0];
        near(figure(finding, "energy"), sheet.energy, 1e-9);
        if let Some(expected) = sheet.density {
            near(figure(finding, "energy density"), expected, 0.05);
        }
        match sheet.specific {
            Some(expected) => near(figure(finding, "specific energy"), expected, 0.05),
            None => assert!(finding.missing.iter().any(|m| m.measure.contains("weigh"))),
        }
    }
}

/// Source: the 4.0 Ah 21700 sheet prints 206 Wh/kg and 594 Wh/L.
#[test]
fn printed_density_of_a_21700_sheet() {
    let dossier = one_cell(
        "capacity = \"4.0 Ah\"\nnominal-voltage = \"3.6 V\"\nenergy = \"14.4 Wh\"",
        "cylindrical",
        "Li-ion",
        "diameter = \"21.0 mm\", height = \"70.0 mm\"",
        Some("70 g"),
    );
    let findings = answers(cell::examine, &dossier);
    near(figure(&findings[0], "specific energy"), 206.0, 0.5);
    near(figure(&findings[0], "energy density"), 594.0, 0.5);
    assert!(
        findings[0]
            .sentence
            .contains("is its capacity times its nominal voltage")
    );
}

/// Source: thresholds of 49 CFR 173.185(c)(1)(i) and special provision 188: not more than 20 Wh for a cell and
/// 100 Wh for a battery, by the rated figures. 5.405 Ah × 3.7 V is 19.9985 Wh, 5.406 Ah × 3.7 V is 20.0022 Wh.
#[test]
fn transport_thresholds() {
    assert!(within(20.0, &SMALL_CELL));
    assert!(within(5.405 * 3.7, &SMALL_CELL));
    assert!(!within(5.406 * 3.7, &SMALL_CELL));
    assert!(within(100.0, &SMALL_BATTERY));
    assert!(!within(100.1, &SMALL_BATTERY));
}

/// Source: UN Manual of Tests and Criteria, 38.3.2.3: round, overall height less than diameter.
#[test]
fn button_cells() {
    assert!(is_button(0.0245, 0.005));
    assert!(!is_button(0.018, 0.065));
    assert!(!is_button(0.010, 0.010));
}

/// Source: data sheets of cells for 3.6/4.2, 3.7/4.2 and 3.2/3.65 V.
#[test]
fn voltage_pairs() {
    for (nominal, limit) in [(3.6, 4.2), (3.7, 4.2), (3.2, 3.65)] {
        assert!(matches!(pair(nominal, limit), PairFit::Usual(p) if p.read));
    }
    assert!(matches!(pair(3.7, 4.35), PairFit::OtherLimit(p) if p.limit == 4.2));
    assert_eq!(pair(3.0, 3.6), PairFit::Unknown);
}

/// Source: worked designations of IEC 61960, 5.1: ICR18650, ICP103450 = 10 × 34 × 50,
/// ICP08/34/150, ICPt73448 = 0.7 × 34 × 48, INR19/65.
#[test]
fn cell_designations() {
    let sizes = |text: &str| {
        let code = cell_code(text).unwrap();
        (code.first, code.width, code.height)
    };
    assert_eq!(sizes("ICR18650"), (18.0, None, 65.0));
    assert_eq!(sizes("ICP103450"), (10.0, Some(34.0), 50.0));
    assert_eq!(sizes("ICP08/34/150"), (8.0, Some(34.0), 150.0));
    assert_eq!(sizes("ICPt73448"), (0.7, Some(34.0), 48.0));
    assert_eq!(sizes("INR19/65"), (19.0, None, 65.0));
    for other in [
        "",
        "ICP",
        "ICPt",
        "XYZ103450",
        "ICPäöü",
        "ICR1865x",
        "ICP1/2",
    ] {
        assert!(cell_code(other).is_none(), "{other}");
    }
}

/// Source: the cells of data sheets above, and a sodium-ion 18650 (1300 mAh, 3.05 V, 36.5 g, 18.35 mm ×
/// 65.2 mm); densities are reference values.
#[test]
fn no_cell_of_a_data_sheet_is_odd() {
    use Chemistry::{IronPhosphate, LithiumIon, SodiumIon};
    for (form, chemistry, wh, specific, density) in [
        ("button", LithiumIon, 0.432, 83.1, 183.3),
        ("pouch", LithiumIon, 37.0, 188.8, 434.2),
        ("cylindrical", LithiumIon, 14.4, 205.7, 593.9),
        ("cylindrical", LithiumIon, 18.0, 250.0, 718.7),
        ("cylindrical", IronPhosphate, 12.8, 142.2, 370.9),
        ("cylindrical", SodiumIon, 3.965, 108.6, 229.9),
    ] {
        let reach = reach(form, chemistry, wh).unwrap();
        assert_eq!(position(specific, 0.0, reach.specific), BandPosition::Usual);
        assert_eq!(position(density, 0.0, reach.density), BandPosition::Usual);
    }
    assert!(reach("cylindrical", Chemistry::Unknown, 3.0).is_none());
    assert!(reach("unknown", LithiumIon, 3.0).is_none());
}

/// Source: reviews of round cells by their sizes: 3500 mAh is the most of an 18650 in 2019, prints of 5000,
/// 6000 and 9900 mAh turned out to be about 1000 mAh. Masses are those of such cells; volumes are 16.5 mL.
#[test]
fn prints_that_were_found_false_are_beyond_every_cell_on_sale() {
    let reach = reach("cylindrical", Chemistry::LithiumIon, 13.0).unwrap();
    for (mah, grams) in [(5000.0, 45.0), (6000.0, 42.0), (9900.0, 42.0)] {
        let wh = mah / 1000.0 * 3.7;
        assert_eq!(
            position(wh / grams * 1000.0, 0.0, reach.specific),
            BandPosition::Beyond
        );
        assert_eq!(
            position(wh / 16.5 * 1000.0, 0.0, reach.density),
            BandPosition::Beyond
        );
    }
    let honest = 3.5 * 3.6;
    assert_eq!(
        position(honest / 47.0 * 1000.0, 0.0, reach.specific),
        BandPosition::Usual
    );
    assert_eq!(
        position(honest / 16.5 * 1000.0, 0.0, reach.density),
        BandPosition::Usual
    );
}

/// A value decides only where its expanded uncertainty (k = 2) leaves no other place.
#[test]
fn doubt_keeps_a_value_at_the_edge() {
    let row = reach("cylindrical", Chemistry::LithiumIon, 13.0)
        .unwrap()
        .specific;
    let (usual, greatest) = row.bounds();
    for (value, u, found) in [
        (usual - 3.0, 1.0, BandPosition::Usual),
        (usual - 1.0, 1.0, BandPosition::Edge),
        (usual + 1.0, 1.0, BandPosition::Edge),
        (usual + 3.0, 1.0, BandPosition::Unusual),
        (greatest + 1.0, 1.0, BandPosition::Unusual),
        (greatest + 3.0, 1.0, BandPosition::Beyond),
    ] {
        assert_eq!(position(value, u, row), found, "{value}");
    }
}

#[test]
fn a_printed_energy_that_is_not_charge_times_voltage_fails() {
    let dossier = one_cell(
        "capacity = \"500 mAh\"\nnominal-voltage = \"3.70 V\"\nenergy = \"2.85 Wh\"",
        "pouch",
        "Li-ion",
        "thickness = \"5 mm\", width = \"25 mm\", length = \"35 mm\"",
        Some("9.80 g"),
    );
    let finding = &answers(cell::examine, &dossier)[0];
    assert_eq!(finding.verdict, Some(methods::Verdict::Fails));
}

#[test]
fn a_cell_without_facts_asks_for_its_label() {
    let mut dossier = one_cell("capacity = \"1 Ah\"", "pouch", "Li-ion", "", None);
    assert_eq!(
        answers(cell::examine, &dossier)[0].verdict,
        Some(methods::Verdict::NeedsEvidence)
    );
    let facts: &mut Option<CellFacts> = &mut dossier.items[1].cell;
    *facts = None;
    assert!(!answers(cell::examine, &dossier)[0].missing.is_empty());
}
