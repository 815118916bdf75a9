//! Rules on repair as data with their sources, and the arithmetic on them.
//!
//! In: classes of steps, tools and fasteners, points, the analyst's own table of times. Out: classes of a standard, what
//! rules ask, the points and the class of the index of phones and tablets, times of a way.
//! Not here: which way leads to a part and what the record shows of it (`methods`); any time of an act.
//!
//! Of each row it is said where it was read and how surely. What was read in summaries or is from memory never decides.

pub mod classes;
pub mod index;
pub mod rules;
pub mod times;
pub mod tools;

/// How surely a rule is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Surety {
    /// Read in the text that is in force.
    Read,
    /// Read there by the analyst, who found it as it is stated here.
    ByAnalyst,
    /// Read in summaries of it alone.
    SecondHand,
    /// From memory.
    Memory,
}

impl Surety {
    /// Returns the words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Read => "read in the text",
            Self::ByAnalyst => "read by the analyst",
            Self::SecondHand => "second-hand",
            Self::Memory => "from memory",
        }
    }

    /// Whether it may decide that a rule is met or not.
    pub const fn decides(self) -> bool {
        matches!(self, Self::Read | Self::ByAnalyst)
    }
}
