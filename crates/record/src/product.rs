//! The product as bought.

use crate::{Evidence, Note};
use jiff::civil::Date;
use quantity::Stated;
use serde::{Deserialize, Serialize};

/// `[product]`
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Product {
    /// Trade name.
    pub name: String,
    /// Maker.
    pub maker: String,
    /// Model code.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<String>,
    /// What it is, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub category: Option<String>,
    /// Market it was made for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub market: Option<String>,
    /// Date of manufacture as printed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made: Option<Date>,
    /// Date bought.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bought: Option<Date>,
    /// Date opened.
    pub opened: Date,
    /// Who opened it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub analyst: Option<String>,
    /// Price paid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<Price>,
    /// Serial numbers and the like.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub identifiers: Vec<Identifier>,
    /// Label texts, verbatim.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub labels: Vec<LabelText>,
    /// What else was in the package.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub accessories: Vec<Accessory>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
    /// Set when every part inside is listed: what is not listed is then taken to be absent.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub complete: bool,
    /// Set for invented demonstration data; the report prints it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub invented: bool,
}

/// Price paid.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Price {
    /// Amount with currency (`129 EUR`).
    pub paid: Stated,
    /// Whether tax is included.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tax_included: Option<bool>,
    /// Where it was bought.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seller: Option<String>,
}

/// A serial number, article number or address.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Identifier {
    /// What it is (`serial number`, `GTIN`).
    pub kind: String,
    /// As printed.
    pub text: String,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
}

/// Text of one label, verbatim.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct LabelText {
    /// Id for `label:ID` evidence.
    pub id: String,
    /// Where the label is.
    pub place: String,
    /// The text, verbatim, line breaks kept.
    pub text: String,
    /// Electrical input rating on this label (`5 V ⎓ 2 A`), if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub input: Option<quantity::Rating>,
    /// Electrical output rating on this label, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub output: Option<quantity::Rating>,
    /// The contact (item id) that the rating is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contact: Option<String>,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
}

/// Something that came in the package.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Accessory {
    /// Name.
    pub name: String,
    /// How many.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    pub count: u32,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

pub(crate) fn one() -> u32 {
    1
}

pub(crate) fn is_one(n: &u32) -> bool {
    *n == 1
}
