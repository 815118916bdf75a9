//! What an identifier printed on a product says: article numbers, device identities and addresses, by their check
//! digits.

use codes::{Context, Kind, MarkedObject};

/// Tells what an identifier may be; nothing where no family of numbers reads it.
pub fn identifier(text: &str) -> Option<String> {
    let context = Context::on(MarkedObject::Label);
    let readings = codes::read(text.trim(), &context);
    let of_numbers = |kind: Kind| {
        matches!(
            kind,
            Kind::Gs1 | Kind::Imei | Kind::Imeisv | Kind::HardwareAddress
        )
    };
    let reading = readings
        .into_iter()
        .find(|reading| of_numbers(reading.kind))?;
    Some(reading.meaning)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the worked example of the check digit, GS1 General Specifications, section 7.9: 629104150021 gives 3.
    #[test]
    fn a_check_digit_that_agrees_is_told() {
        let told = identifier("6291041500213").unwrap();
        assert!(
            told.contains("6291041500213") || told.to_lowercase().contains("article"),
            "{told}"
        );
        assert_eq!(identifier("NV3-2631-004417"), None);
    }
}
