//! What products are compared by, across a library.
//!
//! In: what was indexed of each. Out: the products beside one of them; what a maker supplies; figures over the years.
//! Not here: where one product stands among the others (`methods`, `standing`); tables (`rows::find`).

use super::{Indexed, key};
use crate::{DossierId, Library, LibraryError};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Products that one is compared with at most.
const MOST_PEERS: usize = 500;

/// Rows of a list that are told at most.
pub(crate) const SHOWN: usize = 60;

/// Points of one figure that are told at most: the latest.
pub(crate) const DOTS: usize = 600;

/// Facts of a product that it is compared by.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Compared {
    /// Market it was made for; empty if not known.
    pub market: String,
    /// Its family; empty if not known.
    pub family: String,
    /// First day on sale.
    pub released: Option<Date>,
    /// A day on which it was there.
    pub there: Option<Date>,
    /// Figures of the product as a whole.
    pub figures: Vec<Whole>,
}

/// A figure of a product as a whole, in the coherent SI unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Whole {
    /// Which quantity it is.
    pub kind: String,
    /// Value.
    pub value: f64,
    /// Standard uncertainty.
    pub uncertainty: f64,
}

/// A product beside another.
#[derive(Debug, Clone, PartialEq)]
pub struct Peer {
    /// Its dossier.
    pub dossier: DossierId,
    /// Whether a report of it was published.
    pub published: bool,
    /// What it is compared by.
    pub facts: PeerFacts,
}

/// What the tables keep of a product to compare it by.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PeerFacts {
    /// Trade name.
    pub product: String,
    /// Maker.
    pub maker: String,
    /// What it is; empty if not known.
    pub category: String,
    /// Facts of the whole.
    pub compared: Compared,
    /// Its parts that have a name or a role: name, maker, role, whether the name was read; each once.
    pub parts: Vec<(String, String, String, bool)>,
}

impl PeerFacts {
    /// Takes them from what is indexed.
    pub(crate) fn of(indexed: &Indexed) -> Self {
        let mut parts = Vec::new();
        for part in indexed.things.iter().filter_map(|thing| thing.part.as_ref()) {
            let read = part.certainty == Some(record::Certainty::Read);
            let row = (part.name.clone(), part.maker.clone(), part.role.clone(), read);
            if !(part.name.is_empty() && part.role.is_empty()) && !parts.contains(&row) {
                parts.push(row);
            }
        }
        Self {
            product: indexed.product.clone(),
            maker: indexed.maker.clone(),
            category: indexed.category.clone(),
            compared: indexed.compared.clone(),
            parts,
        }
    }

    /// The day it is put on: the first on sale, or one on which it was there; days from 1 January 1970.
    pub(crate) fn day(&self) -> Option<i64> {
        let day = self.compared.released.or(self.compared.there)?;
        Some(day_number(day))
    }
}

/// Which products are wanted beside one: those of its class, those with its parts, those of its maker, then others.
#[derive(Debug, Clone, PartialEq)]
pub struct Beside {
    /// The one.
    pub dossier: DossierId,
    /// What it is, in words.
    pub category: String,
    /// Its maker.
    pub maker: String,
    /// Names of its parts.
    pub parts: Vec<String>,
    /// Most that are returned.
    pub most: usize,
}

/// The products beside one.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Peers {
    /// Those asked for.
    pub peers: Vec<Peer>,
    /// How many more the library holds.
    pub left: usize,
}

/// What changes with every product beside one that is indexed anew, comes or goes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PeersMark(pub i64, pub i64);

/// A part that a maker supplies.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Supplied {
    /// Its name.
    pub part: String,
    /// What it does; empty if not known.
    pub role: String,
    /// Products that have it.
    pub products: usize,
}

/// A figure of one product on its day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Dot {
    /// Its dossier.
    pub dossier: String,
    /// Its name.
    pub product: String,
    /// Day, from 1 January 1970.
    pub day: i64,
    /// Value in the coherent SI unit.
    pub value: f64,
    /// Standard uncertainty.
    pub uncertainty: f64,
}

/// Names that begin so.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Begun {
    /// Parts.
    pub parts: Vec<String>,
    /// Makers of parts and of products.
    pub makers: Vec<String>,
}

/// A question across products.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Across {
    /// What a maker supplies, the most widespread first.
    Supplied(String),
    /// Parts and makers whose names begin so.
    Begun(String),
    /// A figure over the years, in one class or in all; the latest.
    Over(String, Option<String>),
    /// The classes there are, the largest first.
    Classes,
}

/// Its answer.
#[derive(Debug, Clone, PartialEq)]
pub enum AcrossAnswer {
    /// To [`Across::Supplied`].
    Supplied(Vec<Supplied>),
    /// To [`Across::Begun`].
    Begun(Begun),
    /// To [`Across::Over`]: the points, and whether there are earlier ones.
    Over(Vec<Dot>, bool),
    /// To [`Across::Classes`].
    Classes(Vec<(String, usize)>),
}

/// Counts the days from 1 January 1970.
pub(crate) fn day_number(day: Date) -> i64 {
    let begin = Date::constant(1970, 1, 1);
    i64::from((day - begin).get_days())
}

/// What is asked of tables for a beginning: from this text to before that.
pub(crate) fn begun(text: &str) -> Option<(String, String)> {
    let low = key(text);
    let high = format!("{low}{}", char::MAX);
    (!low.is_empty()).then_some((low, high))
}


impl Library {
    /// Returns the products beside one that are in use, at most 500.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn peers(&self, beside: &Beside) -> Result<Peers, LibraryError> {
        let beside = Beside {
            most: beside.most.min(MOST_PEERS),
            ..beside.clone()
        };
        self.keeper.peers(&beside).await
    }

    /// Returns what changes whenever [`Library::peers`] may answer otherwise.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn peers_mark(&self, id: &DossierId) -> Result<PeersMark, LibraryError> {
        self.keeper.peers_mark(id).await
    }

    /// Answers a question across products.
    ///
    /// # Errors
    /// Where the library cannot be reached.
    pub async fn across(&self, asked: &Across) -> Result<AcrossAnswer, LibraryError> {
        self.keeper.across(asked).await
    }
}
