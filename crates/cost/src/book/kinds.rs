//! What the rows of a price book price.

/// What a row prices.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// A part by its number.
    Part,
    /// A class of parts: a role, a package or a kind of item.
    Class,
    /// A module or assembly bought whole, by name.
    Module,
    /// Bare board by number of layers, per dm².
    Board,
    /// The panel that boards are cut from.
    Panel,
    /// Placing one part, by package or “part”.
    Placement,
    /// Setting a line up once.
    SetUp,
    /// Testing one of something, by the level.
    Test,
    /// Material of moulded parts, per kg.
    Material,
    /// An hour of a machine, by name of the material or “moulding”.
    Machine,
    /// How a material is moulded.
    Moulding,
    /// Cells by chemistry and form, per Wh.
    Cell,
    /// Seconds of one act of assembly: an action of a step or a sort of fastener.
    Act,
    /// An hour of hands.
    Labour,
    /// Share of good pieces of a level.
    Yield,
    /// A tool, bought whole.
    Tool,
    /// Packing and other things, per product.
    Other,
    /// Overhead on the cost.
    Overhead,
    /// The maker's margin on the price.
    Margin,
    /// One of a currency in that of the row.
    Rate,
    /// Factor on the prices of a series.
    Index,
}

/// What its value is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Says {
    /// Prices, each for so many of this unit (empty: pieces).
    Prices(&'static str),
    /// Seconds.
    Seconds,
    /// A share from 0 to 1.
    Share,
    /// A number above zero.
    Factor,
    /// Numbers of these names.
    Settings(&'static [&'static str]),
}

impl Kind {
    /// All, with the word in the column.
    pub const ALL: [(Self, &'static str); 21] = [
        (Self::Part, "part"),
        (Self::Class, "class"),
        (Self::Module, "module"),
        (Self::Board, "board"),
        (Self::Panel, "panel"),
        (Self::Placement, "placement"),
        (Self::SetUp, "set-up"),
        (Self::Test, "test"),
        (Self::Material, "material"),
        (Self::Machine, "machine"),
        (Self::Moulding, "moulding"),
        (Self::Cell, "cell"),
        (Self::Act, "act"),
        (Self::Labour, "labour"),
        (Self::Yield, "yield"),
        (Self::Tool, "tool"),
        (Self::Other, "other"),
        (Self::Overhead, "overhead"),
        (Self::Margin, "margin"),
        (Self::Rate, "rate"),
        (Self::Index, "index"),
    ];

    /// Returns the word in the column.
    pub fn word(self) -> &'static str {
        Self::ALL[self as usize].1
    }

    pub(super) fn says(self) -> Says {
        match self {
            Self::Part
            | Self::Class
            | Self::Module
            | Self::Placement
            | Self::SetUp
            | Self::Test
            | Self::Tool
            | Self::Other => Says::Prices(""),
            Self::Board => Says::Prices("dm²"),
            Self::Material => Says::Prices("kg"),
            Self::Machine | Self::Labour => Says::Prices("h"),
            Self::Cell => Says::Prices("Wh"),
            Self::Act => Says::Seconds,
            Self::Yield | Self::Overhead | Self::Margin => Says::Share,
            Self::Rate | Self::Index => Says::Factor,
            Self::Panel => Says::Settings(&["length", "width", "gap", "border"]),
            Self::Moulding => Says::Settings(&[
                "diffusivity",
                "melt",
                "mould",
                "eject",
                "wall",
                "handling",
                "cavities",
                "runs",
            ]),
        }
    }
}
