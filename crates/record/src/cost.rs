//! What is asked of the cost to build, and prices and rates for this product alone.

use crate::Note;
use jiff::civil::Date;
use quantity::Stated;
use serde::{Deserialize, Serialize};

/// `[cost]`: for what the cost to build is worked out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct CostAsked {
    /// How many are built in all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume: Option<u32>,
    /// The currency of the answer, by its code.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub currency: Option<String>,
    /// Share of the price in the shop, before tax, that traders keep.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trade_margin: Option<Stated>,
    /// Tax on the price in the shop.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tax: Option<Stated>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// `[[prices]]`: what one piece of an item costs, bought whole at the volume asked for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct ItemPrice {
    /// The item.
    pub of: String,
    /// Price of one piece (`1.20 EUR`).
    pub each: Stated,
    /// How far off it may be: 8 times in 10 it lies within.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<Stated>,
    /// How sure it is.
    pub confidence: PriceConfidence,
    /// The day it held.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub date: Option<Date>,
    /// Where it is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// `[[rates]]`: a rate of exchange of one day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct ExchangeRate {
    /// The currency, by its code.
    pub of: String,
    /// What one of it is (`0.92 EUR`).
    pub is: Stated,
    /// How far off it may be when the parts are bought.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<Stated>,
    /// The day.
    pub date: Date,
    /// Where it is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

/// How sure a price is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PriceConfidence {
    /// Quoted for such a purchase.
    Quote,
    /// On a public list.
    List,
    /// Estimated by the analyst.
    Estimate,
}
