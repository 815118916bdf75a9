//! Whose word a piece of evidence is.
//!
//! In: origins and places. Out: the side that speaks: the maker's print, a data sheet, what was seen, what
//! was measured here, or a judgement. What the maker prints can refute what the maker claims, never prove
//! it, so that two prints of one maker are not independent. Not here: deciding a claim.

use quantity::{Figure, FigureInput, Origin};
use record::{Evidence, ProvidesOrigin, Thing};

/// Who says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// The maker of the product: box, label, leaflet, web page, the print on a cell.
    MakersPrint,
    /// The data sheet of a part.
    DataSheet,
    /// Somebody's judgement, an assumption, a standard.
    Judged,
    /// Seen on the thing itself.
    Seen,
    /// Measured on this product.
    Measured,
}

impl Side {
    /// Returns whether the maker of the claim is the one who says so.
    pub fn is_makers(self) -> bool {
        self == Self::MakersPrint
    }
}

impl From<Origin> for Side {
    fn from(origin: Origin) -> Self {
        match origin {
            Origin::Label => Self::MakersPrint,
            Origin::Measured => Self::Measured,
            Origin::DataSheet => Self::DataSheet,
            Origin::Estimated
            | Origin::Standard
            | Origin::Assumed
            | Origin::Derived
            | Origin::Unknown => Self::Judged,
        }
    }
}

impl From<ProvidesOrigin> for Side {
    fn from(origin: ProvidesOrigin) -> Self {
        match origin {
            ProvidesOrigin::Seen => Self::Seen,
            ProvidesOrigin::Measured => Self::Measured,
            ProvidesOrigin::DataSheet => Self::DataSheet,
            ProvidesOrigin::Maker => Self::MakersPrint,
            ProvidesOrigin::Unknown => Self::Judged,
        }
    }
}

/// Returns who speaks at a place of evidence. A page or publication is the maker's word unless the record
/// says otherwise.
pub fn of_evidence(evidence: &Evidence) -> Side {
    match evidence.place().map(|place| place.thing()) {
        Ok(Thing::Photo | Thing::Region) => Side::Seen,
        Ok(Thing::Reading | Thing::Measure | Thing::Logged | Thing::Log | Thing::Sound) => {
            Side::Measured
        }
        Ok(Thing::Label | Thing::Claim | Thing::Page | Thing::Publication) => Side::MakersPrint,
        _ => Side::Judged,
    }
}

/// Returns the inputs of a figure that only the maker prints. Printed voltages are left out: they are
/// nominal, name the supply or the chemistry, and promise nothing.
pub fn prints(figure: &Figure) -> Vec<&FigureInput> {
    let inputs = figure.inputs.iter();
    inputs
        .filter(|i| Side::from(i.source.origin).is_makers() && !i.name.contains("voltage"))
        .collect()
}
