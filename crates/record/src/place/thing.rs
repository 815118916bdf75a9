//! What a place is about.

/// Kinds of things that a place can be about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words are those of the format")]
pub enum Thing {
    Dossier,
    Product,
    Price,
    Identifier,
    Label,
    Accessory,
    Instrument,
    Claim,
    ClaimSubject,
    Photo,
    Scale,
    Camera,
    Reference,
    Region,
    Measure,
    Item,
    Size,
    Part,
    Identity,
    Rating,
    Cell,
    Fastener,
    Contact,
    Conversion,
    Load,
    Link,
    Step,
    Reading,
    Correlation,
    Log,
    Page,
    Publication,
}

impl Thing {
    /// Returns the word for it, for readers.
    pub fn word(self) -> &'static str {
        match self {
            Self::Dossier => "dossier",
            Self::Product => "product",
            Self::Price => "price",
            Self::Identifier => "identifier",
            Self::Label => "label",
            Self::Accessory => "accessory",
            Self::Instrument => "instrument",
            Self::Claim => "claim",
            Self::ClaimSubject => "subject of a claim",
            Self::Photo => "photo",
            Self::Scale => "scale of a photo",
            Self::Camera => "camera of a photo",
            Self::Reference => "reference of a photo",
            Self::Region => "region of a photo",
            Self::Measure => "measure",
            Self::Item => "item",
            Self::Size => "size of an item",
            Self::Part => "part facts",
            Self::Identity => "identity of a part",
            Self::Rating => "rating of a part",
            Self::Cell => "cell facts",
            Self::Fastener => "fastener facts",
            Self::Contact => "contact",
            Self::Conversion => "conversion",
            Self::Load => "load of an item",
            Self::Link => "link",
            Self::Step => "step",
            Self::Reading => "reading",
            Self::Correlation => "correlation",
            Self::Log => "log",
            Self::Page => "web page",
            Self::Publication => "publication",
        }
    }
}
