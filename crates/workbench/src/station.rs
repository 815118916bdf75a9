//! The eight places, in the order of the day.

/// A place of the workbench.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Station {
    Intake,
    Opening,
    Inside,
    Power,
    Claims,
    Cost,
    Standing,
    Publish,
}

impl Station {
    pub(crate) const ALL: [Self; 8] = [
        Self::Intake,
        Self::Opening,
        Self::Inside,
        Self::Power,
        Self::Claims,
        Self::Cost,
        Self::Standing,
        Self::Publish,
    ];

    pub(crate) fn number(self) -> usize {
        Self::ALL
            .iter()
            .position(|s| *s == self)
            .map_or(0, |at| at + 1)
    }

    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Intake => "Intake",
            Self::Opening => "Opening",
            Self::Inside => "Inside",
            Self::Power => "Power",
            Self::Claims => "Claims",
            Self::Cost => "Cost",
            Self::Standing => "Standing",
            Self::Publish => "Publish",
        }
    }

    /// The last part of its address, and the name of its module in the browser.
    pub(crate) fn path(self) -> &'static str {
        match self {
            Self::Intake => "intake",
            Self::Opening => "opening",
            Self::Inside => "inside",
            Self::Power => "power",
            Self::Claims => "claims",
            Self::Cost => "cost",
            Self::Standing => "standing",
            Self::Publish => "publish",
        }
    }

    pub(crate) fn at(path: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|s| s.path() == path)
    }
}
