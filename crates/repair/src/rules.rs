//! What regulations ask of repair, one row a criterion.
//!
//! In: nothing. Out: rows: what is asked, where it is read, how surely. Not here: what a record shows.
//! Source: each row names its own. None of the texts was read in the Official Journal from end to end; rows read in
//! summaries say so and decide nothing.

use crate::Surety;

/// What a criterion is about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Asks {
    /// Tools that everybody can buy suffice.
    ToolsOnTheMarket,
    /// No specialised tools, unless they come with the product free of charge.
    NoSpecialTools,
    /// No tools that only the maker has.
    NoProprietaryTools,
    /// No heat.
    NoHeat,
    /// No solvents.
    NoSolvent,
    /// It comes out whole and another can go in at any time.
    GoesBack,
    /// Instructions are public.
    Manual,
    /// Spare parts for so many years after the last unit.
    SpareYears(f64),
    /// Software does not keep another part out.
    NoLock,
    /// What holds it can be used again, or new ones come with it.
    Fasteners {
        /// Whether what must be renewed is good enough.
        removable: bool,
    },
    /// No tool, one that is supplied, or a basic one.
    BasicTools {
        /// Whether tools on the market are good enough.
        market: bool,
    },
    /// A workshop is good enough.
    Workshop,
    /// Someone who repairs such things in general can do it.
    Generalist,
}

/// One criterion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// A word for it, for readers.
    pub name: &'static str,
    /// What is asked.
    pub asks: Asks,
    /// Where it was read.
    pub read_in: &'static str,
    /// How surely it is known.
    pub surety: Surety,
}

const fn rule(name: &'static str, asks: Asks, read_in: &'static str, surety: Surety) -> Rule {
    Rule {
        name,
        asks,
        read_in,
        surety,
    }
}

use Surety::{Read, SecondHand};

/// The rule on batteries, for readers.
pub const BATTERY_LAW: &str = "Regulation (EU) 2023/1542, article 11";

/// The day from which it holds.
pub const BATTERY_FROM: &str = "18 February 2027";

/// Years for which spare batteries are to be had after the last unit.
pub const BATTERY_YEARS: f64 = 5.0;

/// Years for which spare parts of phones are to be had after the last unit.
pub const PHONE_YEARS: f64 = 7.0;

/// Where article 11 was read.
pub const BATTERY_SOURCE: &str = "Regulation (EU) 2023/1542, article 11, as public summaries and a quoted recital give it; \
    not read in the Official Journal; exemptions may have been widened in July 2026 (unconfirmed)";

/// Portable batteries, replaceable by users.
pub const BATTERY: [Rule; 9] = [
    rule(
        "Tools that anybody can buy",
        Asks::ToolsOnTheMarket,
        "two summaries",
        SecondHand,
    ),
    rule(
        "No special tools, unless supplied free",
        Asks::NoSpecialTools,
        "two summaries",
        SecondHand,
    ),
    rule(
        "No tools of the maker alone",
        Asks::NoProprietaryTools,
        "two summaries",
        SecondHand,
    ),
    rule("No heat", Asks::NoHeat, "two summaries", SecondHand),
    rule("No solvents", Asks::NoSolvent, "two summaries", SecondHand),
    rule(
        "Comes out, and another goes in",
        Asks::GoesBack,
        "summaries",
        SecondHand,
    ),
    rule(
        "Instructions with it and online",
        Asks::Manual,
        "summaries",
        SecondHand,
    ),
    rule(
        "Spare batteries for five years",
        Asks::SpareYears(BATTERY_YEARS),
        "summaries",
        SecondHand,
    ),
    rule(
        "Software keeps none out",
        Asks::NoLock,
        "summaries",
        SecondHand,
    ),
];

/// The rule on phones and tablets, for readers.
pub const PHONE_LAW: &str = "Regulation (EU) 2023/1670, annex II";

/// Where it was read.
pub const PHONE_SOURCE: &str = "Regulation (EU) 2023/1670: seven years of spare parts and the parts listed, annex II A \
    (mobile phones other than smartphones), read in its stored German text; fasteners, tools, place and person as a \
    guidance site gives them";

/// The battery of phones and tablets.
pub const PHONE_BATTERY: [Rule; 2] = [
    rule(
        "Battery: fasteners reusable or resupplied",
        Asks::Fasteners { removable: false },
        "a guidance site",
        SecondHand,
    ),
    rule(
        "Battery: no tool, a supplied or a basic one",
        Asks::BasicTools { market: false },
        "a guidance site",
        SecondHand,
    ),
];

/// Other listed parts of phones and tablets.
pub const PHONE_PARTS: [Rule; 4] = [
    rule(
        "Listed parts: fasteners removable or better",
        Asks::Fasteners { removable: true },
        "a guidance site",
        SecondHand,
    ),
    rule(
        "Listed parts: tools on the market or better",
        Asks::BasicTools { market: true },
        "a guidance site",
        SecondHand,
    ),
    rule(
        "Listed parts: a workshop is enough",
        Asks::Workshop,
        "a guidance site",
        SecondHand,
    ),
    rule(
        "Listed parts: a generalist is enough",
        Asks::Generalist,
        "a guidance site",
        SecondHand,
    ),
];

/// Spare parts of mobile phones other than smartphones. Of other products the passage was not read.
pub const PHONE_SPARES: Rule = rule(
    "Spare parts for seven years",
    Asks::SpareYears(PHONE_YEARS),
    "annex II A",
    Read,
);
