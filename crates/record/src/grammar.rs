//! The one description of every table and key of `dossier.toml`.
//!
//! In: nothing. Out: [`ROOT`], from which the validator (`check`), the writer (`write`), the editor
//! (`draft`), the JSON Schema (`schema`) and the page `docs/dossier.md` are made. The serde types
//! must have the same keys; a test compares them.
//! Not here: rules that span several keys (`check`).

mod asked;
mod claim;
mod cost;
mod example;
mod film;
mod item;
mod link;
mod log;
mod photo;
mod product;
mod reading;
mod recording;
mod repair;
mod step;

use crate::place::Thing;

pub(crate) use asked::{ANY, Asked, Bound, Sort};
pub(crate) use claim::{claim_measure, claim_needs};
pub(crate) use item::ITEM_KINDS;
pub(crate) use reading::reading_measure;

#[cfg(test)]
pub(crate) use {
    claim::{CLAIM, CLAIM_KINDS, SUBJECT},
    cost::{COST, ITEM_PRICE, PRICE_CONFIDENCES, RATE},
    film::{CLIP, CUT, FILM, PAST_RULING, PRONUNCIATION, RULING},
    item::{
        CELL, CELL_CONDITIONS, CERTAINTY, FASTENER, IDENTITY, ITEM, PART, PROVIDES_ORIGINS,
        ROLE_ORIGINS,
    },
    link::{CONTACT, CONTACT_KINDS, CONVERSION, CONVERSION_KINDS, LINK, LINK_KINDS, LOAD, MODE},
    log::{
        COLUMN, COLUMNS, DECIMALS, DELIMITERS, LOG, LOG_KINDS, LOG_SEATS, LOG_STARTS, SIGNS, TIME,
        TIME_FORMS,
    },
    photo::{CAMERA, MEASURE, MEASURE_SUBJECTS, PHOTO, REFERENCE, REFERENCE_SHAPES, REGION, SCALE},
    product::{ACCESSORY, IDENTIFIER, LABEL, PRICE, PRODUCT, SAMPLE},
    reading::{CORRELATION, INSTRUMENT, READING, READING_SUBJECTS},
    recording::{HEARD, RECORDING, RECORDING_KINDS, SWITCHED},
    repair::{
        BATTERY_EXEMPTIONS, ENVIRONMENTS, RENEWALS, REPAIR, REPAIR_AUDIENCES, REPAIR_FACT,
        REPAIR_FACTS, REPAIR_PRODUCTS, SKILLS, SPARE_CLASSES, TOOL_CLASSES, YES_NO,
    },
    step::{ACTIONS, HAZARDS, STEP, UNDO},
};

/// A table and its keys, in the order they are written.
#[derive(Debug)]
pub(crate) struct Table {
    /// Header as written (`items.part`).
    pub(crate) name: &'static str,
    /// What one of it is about.
    pub(crate) thing: Thing,
    /// For a list of tables, the keys whose values tell its entries apart and so make their
    /// addresses; a counter is added only where two are equal.
    pub(crate) natural: &'static [&'static str],
    /// One line for the reader.
    pub(crate) doc: &'static str,
    pub(crate) keys: &'static [Key],
}

/// One key of a table.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Key {
    pub(crate) name: &'static str,
    pub(crate) kind: Kind,
    pub(crate) required: bool,
    /// One line for the reader.
    pub(crate) doc: &'static str,
}

/// What may stand under a key.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Kind {
    /// Any text that is not empty.
    Text,
    /// The analyst's own words, in which places of the record may be named.
    Note,
    /// Marking lines: `?` unreadable, `[8B]` one of several.
    Marking,
    /// The id of this entry.
    Id(Ids),
    /// The id of an entry elsewhere.
    Ref(Ids),
    /// The id of a region of the photo that is named under this key of the same table.
    RegionOf(&'static str),
    /// A place where something can be checked.
    Evidence,
    /// A file inside this folder of the dossier.
    FileIn(&'static str),
    /// A calendar date.
    Date,
    /// A date and time of day with its offset from UTC.
    Moment,
    /// A time of a film.
    FilmTime,
    /// A quantity as text.
    Quantity(&'static Asked),
    /// An electrical rating as text.
    Rating,
    /// One of a closed list of words.
    Words(&'static [Word]),
    /// A whole number of pieces from 1, or the word `unknown`.
    Count,
    /// A whole number.
    Whole { least: u32 },
    /// A number between two limits.
    Number { low: f64, high: f64 },
    /// `true` or `false`.
    Boolean,
    /// A list of any length.
    List(&'static Kind),
    /// A list of exactly so many.
    Row(&'static Kind, usize),
    /// A table under its own header.
    Table(&'static Table),
    /// A table written in line, `{ … }`.
    Inline(&'static Table),
    /// A list of tables, each under its own `[[…]]` header.
    Tables(&'static Table),
    /// Quantities by name.
    Named(&'static Names),
}

/// Quantities by name.
#[derive(Debug)]
pub(crate) struct Names {
    /// What one of them is about.
    pub(crate) thing: Thing,
    pub(crate) known: &'static [Name],
    /// Whether other names are allowed, holding quantities of any dimension.
    pub(crate) open: bool,
    /// Whether it is written in line.
    pub(crate) inline: bool,
}

/// One known name of [`Names`].
#[derive(Debug)]
pub(crate) struct Name {
    pub(crate) name: &'static str,
    pub(crate) asked: &'static Asked,
    pub(crate) doc: &'static str,
}

/// One word of a closed list.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Word {
    pub(crate) word: &'static str,
    pub(crate) doc: &'static str,
}

/// The families of ids. An id is unique within its family.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Ids {
    Items,
    Photos,
    Steps,
    Readings,
    Measures,
    Instruments,
    Claims,
    Labels,
    Films,
    Logs,
    Recordings,
    /// Unique within one photo.
    Regions,
}

impl Ids {
    /// Returns the word before the colon of the short form of a place (`photo:lid`), for those
    /// that have one.
    pub(crate) fn short_form(self) -> Option<&'static str> {
        match self {
            Self::Photos => Some("photo"),
            Self::Readings => Some("reading"),
            Self::Measures => Some("measure"),
            Self::Labels => Some("label"),
            _ => None,
        }
    }
    /// Returns the word for one of them.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Items => "item",
            Self::Photos => "photo",
            Self::Steps => "step",
            Self::Readings => "reading",
            Self::Measures => "measure",
            Self::Instruments => "instrument",
            Self::Claims => "claim",
            Self::Labels => "label",
            Self::Films => "film",
            Self::Logs => "log",
            Self::Recordings => "recording",
            Self::Regions => "region",
        }
    }
    /// Returns the header under which they are declared.
    pub(crate) fn table(self) -> &'static str {
        match self {
            Self::Items => "[[items]]",
            Self::Photos => "[[photos]]",
            Self::Steps => "[[steps]]",
            Self::Readings => "[[readings]]",
            Self::Measures => "[[measures]]",
            Self::Instruments => "[[instruments]]",
            Self::Claims => "[[claims]]",
            Self::Labels => "[[product.labels]]",
            Self::Films => "[[films]]",
            Self::Logs => "[[logs]]",
            Self::Recordings => "[[recordings]]",
            Self::Regions => "[[photos.regions]]",
        }
    }
}

impl Table {
    pub(crate) fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|k| k.name == name)
    }
}

/// Returns how the header of `table` is written.
pub(crate) fn header(table: &Table) -> String {
    match kind_of(&ROOT, table.name) {
        Some(Kind::Tables(_)) => format!("[[{}]]", table.name),
        Some(Kind::Table(_)) => format!("[{}]", table.name),
        Some(_) => format!("`{}`", table.name),
        None => "the dossier".to_string(),
    }
}

/// Finds the kind of the key that holds the table `name`.
fn kind_of(within: &'static Table, name: &str) -> Option<&'static Kind> {
    within.keys.iter().find_map(|key| match &key.kind {
        Kind::Table(t) | Kind::Inline(t) | Kind::Tables(t) if t.name == name => Some(&key.kind),
        Kind::Table(t) | Kind::Inline(t) | Kind::Tables(t) => kind_of(t, name),
        _ => None,
    })
}

const fn need(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key {
        name,
        kind,
        required: true,
        doc,
    }
}

const fn may(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key {
        name,
        kind,
        required: false,
        doc,
    }
}

const fn word(word: &'static str, doc: &'static str) -> Word {
    Word { word, doc }
}

const fn evidence() -> Key {
    may("evidence", Kind::List(&Kind::Evidence), "where it is seen")
}

const fn note() -> Key {
    may("note", Kind::Note, "free notes")
}

/// Folder of photographs.
pub(crate) const PHOTOS: &str = "photos";
/// Folder of measured series.
pub(crate) const LOGS: &str = "logs";
/// Folder of sound recordings.
pub(crate) const RECORDINGS: &str = "recordings";

const ITEM_IDS: Kind = Kind::List(&Kind::Ref(Ids::Items));

/// Origins a figure can have.
pub(crate) const ORIGINS: &[Word] = &[
    word("label", "read off a label, a package or an advertisement"),
    word("measured", "measured with an instrument"),
    word("data-sheet", "from a data sheet"),
    word("estimated", "estimated by the analyst"),
    word("standard", "from a standard, a regulation or a definition"),
    word("assumed", "assumed because nothing better is known"),
    word("derived", "computed from other numbers"),
    word("unknown", "not known"),
];

/// The names of lengths.
const LENGTHS: &[Word] = &[
    word("length", "greatest extent"),
    word("width", "extent across"),
    word("height", "extent upwards"),
    word("thickness", "least extent"),
    word("diameter", "of something round"),
];

/// The whole text.
pub(crate) static ROOT: Table = Table {
    name: "",
    thing: Thing::Dossier,
    natural: &[],
    doc: "everything recorded about one opened product",
    keys: &[
        need(
            "format",
            Kind::Whole { least: 1 },
            "version of the text format: 1",
        ),
        need(
            "product",
            Kind::Table(&product::PRODUCT),
            "the product as bought",
        ),
        may(
            "instruments",
            Kind::Tables(&reading::INSTRUMENT),
            "what was measured with",
        ),
        may(
            "claims",
            Kind::Tables(&claim::CLAIM),
            "what the maker prints, word for word",
        ),
        may("photos", Kind::Tables(&photo::PHOTO), "pictures in photos/"),
        may(
            "items",
            Kind::Tables(&item::ITEM),
            "physical things, as a tree",
        ),
        may(
            "links",
            Kind::Tables(&link::LINK),
            "how power and signals run",
        ),
        may("modes", Kind::Tables(&link::MODE), "modes of use"),
        may(
            "steps",
            Kind::Tables(&step::STEP),
            "acts of opening, in the order done",
        ),
        may(
            "readings",
            Kind::Tables(&reading::READING),
            "measured values",
        ),
        may(
            "logs",
            Kind::Tables(&log::LOG),
            "charges and discharges that a meter recorded, in logs/",
        ),
        may(
            "recordings",
            Kind::Tables(&recording::RECORDING),
            "sound recordings, in recordings/",
        ),
        may(
            "measures",
            Kind::Tables(&photo::MEASURE),
            "readings taken on photographs",
        ),
        may(
            "correlations",
            Kind::Tables(&reading::CORRELATION),
            "what readings have in common",
        ),
        may(
            "cost",
            Kind::Table(&cost::COST),
            "for what the cost to build is worked out",
        ),
        may(
            "prices",
            Kind::Tables(&cost::ITEM_PRICE),
            "prices of items, for this product alone",
        ),
        may("rates", Kind::Tables(&cost::RATE), "rates of exchange"),
        may(
            "repair",
            Kind::Table(&repair::REPAIR),
            "which rules on repair hold for the product",
        ),
        may(
            "repair-facts",
            Kind::Tables(&repair::REPAIR_FACT),
            "what the maker offers for repair, or keeps from it",
        ),
        may("films", Kind::Tables(&film::FILM), "films of the opening"),
        may(
            "pronunciations",
            Kind::Tables(&film::PRONUNCIATION),
            "how names and part numbers are said",
        ),
        may(
            "caption-rulings",
            Kind::Tables(&film::RULING),
            "what was decided on corrections of captions",
        ),
        may(
            "past-rulings",
            Kind::Tables(&film::PAST_RULING),
            "what was decided on parts that texts published before speak of",
        ),
    ],
};
