//! The weighings and balances as tables.
//!
//! In: a solved set of masses. Out: table details of findings.
//! Not here: sentences (`finding`).

use super::solution::MassSolution;
use crate::{Detail, basis};
use quantity::format_measured;
use record::Dossier;

fn grams(value: f64, uncertainty: f64) -> String {
    format_measured(value, uncertainty, &basis::unit("g"))
}

/// Every weighing: shown, what the sound weighings say, statistic.
pub(super) fn readings(dossier: &Dossier, solution: &MassSolution) -> Detail {
    let rows = solution
        .weighings
        .iter()
        .enumerate()
        .map(|(j, w)| {
            let expected = solution.expected(j);
            let remark = if !solution.kept[j] {
                "set aside"
            } else if solution.is_flagged(j) {
                "flagged"
            } else if solution.z(j) == 0.0 {
                "unchecked"
            } else {
                ""
            };
            vec![
                w.reading.clone(),
                dossier.items[w.at].name.clone(),
                grams(w.shown, w.uncertainty),
                expected.map_or_else(|| "not known".to_string(), |(mass, u)| grams(mass, u)),
                expected.map_or_else(String::new, |(mass, _)| format!("{:+.3}", mass - w.shown)),
                format!("{:.2}", solution.z(j)),
                remark.to_string(),
            ]
        })
        .collect();
    Detail::Table {
        caption: format!(
            "Weighings before and after adjustment (flagged above |z| = {:.2}; set aside: z among all)",
            solution.critical_z()
        ),
        columns: [
            "Reading",
            "Item",
            "Shown",
            "Adjusted",
            "Change / g",
            "z",
            "Remark",
        ]
        .map(String::from)
        .to_vec(),
        rows,
    }
}

/// The balance of every assembly weighed whole and in all its pieces; `None` if there is none.
pub(super) fn balances(dossier: &Dossier, solution: &MassSolution) -> Option<Detail> {
    let nodes = solution.nodes();
    let rows: Vec<Vec<String>> = nodes
        .iter()
        .map(|n| {
            vec![
                dossier.items[n.item].name.clone(),
                format!("{:.3}", n.residual),
                format!("{:.3}", n.uncertainty),
                format!("{:.2}", n.z),
            ]
        })
        .collect();
    (!rows.is_empty()).then(|| Detail::Table {
        caption: "Balances: weighed whole minus the sum of what it holds".to_string(),
        columns: [
            "Assembly",
            "Difference / g",
            "Standard uncertainty / g",
            "z",
        ]
        .map(String::from)
        .to_vec(),
        rows,
    })
}
