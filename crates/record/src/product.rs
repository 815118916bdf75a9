//! The product as bought.

use crate::{Count, Evidence, Note};
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
    /// Revision of the hardware, as printed or told by the software.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hardware_revision: Option<String>,
    /// Version of the firmware it ran.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub firmware: Option<String>,
    /// State before opening.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condition: Option<String>,
    /// What it is, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub category: Option<String>,
    /// Market it was made for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub market: Option<String>,
    /// The family it belongs to: siblings and revisions of one family count once where products are compared.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub family: Option<String>,
    /// First day on sale, as announced.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub released: Option<Date>,
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
    /// Who paid, where the sample came from, who took the photographs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub disclosure: Option<Disclosure>,
    /// Serial numbers and the like.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub identifiers: Vec<Identifier>,
    /// Label texts, verbatim.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub labels: Vec<LabelText>,
    /// What else was in the package.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub accessories: Vec<Accessory>,
    /// Further samples of the same product.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub samples: Vec<Sample>,
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

/// What readers must know of whoever is behind the report.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Disclosure {
    /// Who paid for the sample and the work.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub paid_by: Option<String>,
    /// Where the sample came from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sample_from: Option<String>,
    /// Who took the photographs that name nobody else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photographs_by: Option<String>,
}

/// A serial number, article number or address.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Identifier {
    /// What it is (`serial number`, `GTIN`).
    pub kind: String,
    /// As printed.
    pub text: String,
    /// Set when nothing that is published may tell it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub private: bool,
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
    /// Parts of it that nothing published may tell.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub private: Vec<String>,
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
    #[serde(default, skip_serializing_if = "Count::is_not_stated")]
    pub count: Count,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// A further sample of the same product.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Sample {
    /// Name for readers.
    pub name: String,
    /// Date bought.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bought: Option<Date>,
    /// Revision of its hardware.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hardware_revision: Option<String>,
    /// Version of its firmware.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub firmware: Option<String>,
    /// State before opening.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condition: Option<String>,
    /// What differs from the sample that was opened first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub differs: Vec<String>,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}
