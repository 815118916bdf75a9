//! What lines are for, and what sort of thing is not known.

/// What a line is for, in the order of a breakdown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Group {
    /// Parts bought by the piece.
    Parts,
    /// Bare boards.
    Boards,
    /// Placing parts on boards, and testing boards.
    Placement,
    /// Housing and other mechanical parts.
    Housing,
    /// Cells.
    Cells,
    /// Modules bought whole.
    Modules,
    /// Hands that put it together.
    Assembly,
    /// Packing and other things.
    Other,
    /// Tools, over the volume.
    Tools,
    /// Pieces that do not come out good.
    Losses,
    /// Overheads and the maker's margin.
    Overheads,
}

impl Group {
    /// All, in the order of a breakdown.
    pub const ALL: [Self; 11] = [
        Self::Parts,
        Self::Boards,
        Self::Placement,
        Self::Housing,
        Self::Cells,
        Self::Modules,
        Self::Assembly,
        Self::Other,
        Self::Tools,
        Self::Losses,
        Self::Overheads,
    ];

    /// Returns the words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Parts => "parts",
            Self::Boards => "bare boards",
            Self::Placement => "placement and test",
            Self::Housing => "housing and mechanics",
            Self::Cells => "cells",
            Self::Modules => "modules bought whole",
            Self::Assembly => "assembly",
            Self::Other => "packing and other things",
            Self::Tools => "tools",
            Self::Losses => "losses",
            Self::Overheads => "overheads and margin",
        }
    }
}

/// What sort of thing is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Sort {
    /// A price: a quote would tell it.
    Price,
    /// An amount: a measurement would tell it.
    Amount,
    /// A rate of exchange.
    Rate,
    /// An index of prices.
    Index,
    /// A share of good pieces.
    Yield,
    /// An overhead or margin.
    Overhead,
}
