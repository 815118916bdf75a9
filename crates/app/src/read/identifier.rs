//! What an identifier printed on a product says: article numbers, device identities and addresses, by their check
//! digits.

use codes::{Context, Kind, MarkedObject, Value};

/// How an identifier reads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Identifier {
    /// What it is, in a word: `GTIN-13`.
    pub kind: String,
    /// What it says, its check digit among it.
    pub meaning: String,
    /// Whether its check digit is right; none where it has none.
    pub check_digit: Option<bool>,
}

/// Tells what an identifier may be; nothing where no family of numbers reads it.
pub fn identifier(text: &str) -> Option<Identifier> {
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
    let check_digit = match &reading.value {
        Some(Value::Number {
            check_digit_right, ..
        }) => *check_digit_right,
        _ => None,
    };
    let kind = match reading.kind {
        Kind::Imei => "IMEI",
        Kind::Imeisv => "IMEISV",
        Kind::HardwareAddress => "hardware address",
        _ => reading.meaning.split(' ').next().unwrap_or_default(),
    };
    Some(Identifier {
        kind: kind.to_string(),
        meaning: reading.meaning,
        check_digit,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the worked example of the check digit, GS1 General Specifications, section 7.9: 629104150021 gives 3.
    #[test]
    fn a_check_digit_that_agrees_is_told() {
        let told = identifier("6291041500213").unwrap();
        assert_eq!(told.kind, "GTIN-13");
        assert_eq!(told.check_digit, Some(true));
        let slip = identifier("6291041500231").unwrap();
        assert_eq!(slip.check_digit, Some(false));
        assert!(slip.meaning.contains("should be"), "{slip:?}");
        assert_eq!(identifier("NV3-2631-004417"), None);
    }
}
