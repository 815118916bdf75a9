//! What the record says of repair: which rules hold, what the maker offers, what a step asks for.

use crate::{Evidence, Note};
use jiff::civil::Date;
use quantity::Stated;
use serde::{Deserialize, Serialize};

/// `[repair]`: which rules on repair hold for the product.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RepairAsked {
    /// The kind of product, for rules that hold for one kind alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub product: Option<RepairProduct>,
    /// What exempts it from batteries that users replace.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exempt: Option<BatteryExemption>,
    /// The day the last unit is placed on the market.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last_sold: Option<Date>,
    /// Listed parts that it has none of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lacks: Vec<SpareClass>,
    /// Points of the index for spare parts, as the analyst read the regulation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub points_spares: Option<f64>,
    /// The same for software updates.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub points_software: Option<f64>,
    /// The same for repair information.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub points_information: Option<f64>,
    /// Weights of the listed parts of a phone that folds, in percent, as the analyst read the regulation.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub part_weights: Vec<f64>,
    /// Where the analyst read the rule on batteries and found it as it is stated here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_batteries: Option<String>,
    /// The same for the rule on phones and tablets.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_phones: Option<String>,
    /// The same for the index of phones and tablets.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_index: Option<String>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// `[[repair-facts]]`: what the maker offers for repair, or keeps from it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RepairFact {
    /// What is told.
    pub what: RepairFactKind,
    /// The part it is about; the product if none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<String>,
    /// Whether it is so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub is: Option<YesNo>,
    /// Until when.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<Date>,
    /// What one costs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<Stated>,
    /// Who gets it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<RepairAudience>,
    /// Where it is from.
    pub source: String,
    /// The day it was looked up or tried.
    pub date: Date,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

macro_rules! words {
    ($($(#[$doc:meta])* $name:ident { $($word:ident),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(rename_all = "kebab-case")]
        #[allow(missing_docs, reason = "the grammar says what each word means")]
        pub enum $name { $($word),+ }
    )+};
}

words! {
    /// Kinds of product that rules on repair tell apart.
    RepairProduct { Smartphone, FoldableSmartphone, MobilePhone, Tablet, Other, Unknown }
    /// What exempts a product from batteries that users replace.
    BatteryExemption { None, Wet, Medical, Supply, Unknown }
    /// Facts about repair.
    RepairFactKind { Spare, Manual, Software, SerialLock, SparePrice }
    /// Whether something is so.
    YesNo { Yes, No, Unknown }
    /// Who gets a part or a manual.
    RepairAudience { Everyone, Repairers, Authorised, Unknown }
    /// Parts that regulations on repair list.
    SpareClass {
        Battery, Display, BackCover, FrontCamera, RearCamera, ChargingPort, Button, Microphone, Speaker,
        AudioConnector, Hinge, FoldingMechanism, Other,
    }
    /// What kind of tool a step needs, the easiest to have first.
    ToolClass {
        None, Basic, SuppliedWithPart, SuppliedWithProduct, ProductGroup, Commercial, Proprietary, NoneExists, Unknown,
    }
    /// Where a step can be done, the plainest place first.
    Environment { Use, Workshop, Production, Unknown }
    /// Who can do a step, the least trained first.
    Skill { Layman, Generalist, Expert, Maker, NotFeasible, Unknown }
    /// Whether what a step uses up can be had.
    Renewal { WithPart, Bought, None, Unknown }
}
