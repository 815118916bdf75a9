//! The voltage that the text of a capacity claim names.
//!
//! In: a claim on a capacity, the cell it is about. Out: a voltage in its text that is not the cell's, where
//! the record does not say `at-voltage`: milliampere-hours at 5 V are not those of a cell of 3.7 V, so that
//! neither is held against the other. Not here: the charge at an output (`energy`).

use crate::Case;
use crate::assumed;
use quantity::{Dimension, Stated};
use record::{Claim, ClaimKind};

/// Returns why the charge of the cell does not answer the claim.
pub(super) fn other_voltage(case: &Case<'_>, claim: &Claim) -> Option<String> {
    if claim.kind != ClaimKind::Capacity || claim.at_voltage.is_some() {
        return None;
    }
    let [cell] = case.supplies().cells_of(claim.says.item.as_deref()) else {
        return None;
    };
    let own = cell.cell.as_ref()?.nominal_voltage.as_ref()?.si();
    let printed = voltages(&claim.text);
    let other = printed
        .iter()
        .all(|v| (v / own - 1.0).abs() > assumed::OTHER_VOLTAGE.si());
    let first = printed.first().filter(|_| other)?;
    Some(format!(
        "its text names {first} V, which is not the cell's, so only energies could be compared"
    ))
}

/// Returns the voltages that a text names, V.
fn voltages(text: &str) -> Vec<f64> {
    let text: Vec<char> = text.chars().collect();
    let figure = |c: &char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let mut found = Vec::new();
    for (at, c) in text.iter().enumerate() {
        if *c != 'V' || text.get(at + 1).is_some_and(|c| c.is_alphanumeric()) {
            continue;
        }
        let before: Vec<char> = text[..at]
            .iter()
            .rev()
            .skip_while(|c| c.is_whitespace())
            .take_while(|c| figure(c))
            .copied()
            .collect();
        let number: String = before.iter().rev().collect();
        if let Ok(stated) = Stated::parse(&format!("{} V", number.trim_matches([',', '.'])))
            && stated.dimension() == Dimension::VOLTAGE
        {
            found.push(stated.si());
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::voltages;

    #[test]
    fn voltages_are_read_off_a_text() {
        for (text, expected) in [
            ("6,500 mAh (5 V)", vec![5.0]),
            ("Cell 620 mAh 3.7 V", vec![3.7]),
            ("10000mAh 3,7V / 6500mAh 5V", vec![3.7, 5.0]),
            ("10,000 mAh", vec![]),
            ("VERY strong", vec![]),
        ] {
            assert_eq!(voltages(text), expected, "{text}");
        }
    }
}
