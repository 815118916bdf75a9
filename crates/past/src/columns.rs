//! What the columns of a table hold, by their headings.
//!
//! In: the cells of the first row. Out: which column is which. Not here: cells (`text`).

/// Columns of a table of parts; none where no heading says so.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Columns {
    pub(crate) part: Option<usize>,
    pub(crate) maker: Option<usize>,
    pub(crate) role: Option<usize>,
}

const PART: &[&str] = &[
    "part",
    "part number",
    "part no",
    "part no.",
    "p/n",
    "mpn",
    "ic",
    "chip",
    "marking",
    "device",
    "type",
    "number",
    "component",
    "identity",
    "what it is",
    "marked",
    "identified as",
    "integrated circuit",
];
const MAKER: &[&str] = &[
    "maker",
    "manufacturer",
    "made by",
    "vendor",
    "brand",
    "supplier",
    "mfr",
    "mfg",
    "mfr.",
    "from",
    "by",
    "company",
    "source",
    "who makes it",
];
const ROLE: &[&str] = &[
    "role",
    "function",
    "job",
    "what it does",
    "purpose",
    "use",
    "task",
    "description",
    "does",
    "what for",
];

impl Columns {
    /// Reads the headings.
    pub(crate) fn of(headings: &[&str]) -> Self {
        let find = |names: &[&str]| {
            headings.iter().position(|heading| {
                let heading = heading.trim().trim_end_matches([':', '.']).to_lowercase();
                names
                    .iter()
                    .any(|name| heading == name.trim_end_matches('.'))
            })
        };
        Self {
            part: find(PART),
            maker: find(MAKER),
            role: find(ROLE),
        }
    }

    /// Whether the row is one of headings.
    pub(crate) fn any(&self) -> bool {
        self.part.is_some() && (self.maker.is_some() || self.role.is_some())
            || self.maker.is_some() && self.role.is_some()
    }
}
