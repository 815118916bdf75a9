//! What a catalogue says of the marking of every part.
//!
//! In: the items of a case, known parts made ready. Out: for each marked part what it may be, and the
//! probability of the identity recorded for it.
//! Not here: findings (`markings`); how a marking is weighed (`marking`).

use crate::Case;
use crate::assumed;
use crate::distinct::Distinct;
use ::cost::book::Book;
use ::repair::times::Times;
use catalogue::{Catalogue, Part, Parts};
use marking::{Answer, Clues, Costs, Index, Scratch, SeenBefore, StoredError};
use record::marking::Seen;
use record::{Certainty, Identity, Item, PartFacts};
use std::collections::{BTreeMap, HashMap};
use std::io::{self, Read, Write};
use std::sync::OnceLock;

/// An identity at least this probable is as good as read.
pub const SURE: f64 = assumed::SURE_IDENTITY.number();
/// An identity less probable than this is contradicted.
pub const CONTRADICTED: f64 = assumed::CONTRADICTED_IDENTITY.number();

/// Known parts, made ready for reading markings. The default knows none.
#[derive(Debug, Clone)]
pub struct Known {
    parts: Parts,
    index: Index,
    names: OnceLock<Names>,
    prices: Book,
    times: Times,
}

/// Parts by what they are called; made when it is asked for first.
#[derive(Debug, Clone, Default)]
struct Names {
    /// Parts by the folded name of one that they were seen with.
    seen_with: BTreeMap<String, Vec<usize>>,
    /// Parts by their folded name and those it is also known by, in the order of the catalogue.
    by_name: HashMap<String, Vec<usize>>,
}

impl Names {
    fn of(parts: &Parts) -> Self {
        let mut out = Self::default();
        for (at, part) in parts.iter().enumerate() {
            for name in std::iter::once(&part.name).chain(&part.aliases) {
                let parts = out.by_name.entry(folded(name)).or_default();
                if parts.last() != Some(&at) {
                    parts.push(at);
                }
            }
            for other in &part.seen_with {
                out.seen_with.entry(folded(other)).or_default().push(at);
            }
        }
        out
    }
}

impl Default for Known {
    fn default() -> Self {
        Self::new(Catalogue::default())
    }
}

impl Known {
    /// Makes a catalogue ready.
    pub fn new(catalogue: Catalogue) -> Self {
        Self {
            index: Index::build(&catalogue),
            parts: catalogue.into(),
            names: OnceLock::new(),
            prices: Book::default(),
            times: Times::default(),
        }
    }

    /// Writes the known parts in the form that [`Known::restore`] reads.
    ///
    /// # Errors
    /// What the writer refuses.
    pub fn store(&self, to: &mut dyn Write) -> io::Result<()> {
        let too_large = || io::Error::other("it would be too large");
        let (rows, begins) = self.parts.text().ok_or_else(too_large)?;
        self.index.store(to)?;
        to.write_all(&(begins.len() as u64).to_le_bytes())?;
        let places: Vec<u8> = begins.iter().flat_map(|at| at.to_le_bytes()).collect();
        to.write_all(&places)?;
        to.write_all(rows.as_bytes())
    }

    /// Reads known parts that [`Known::store`] wrote, to the end; a part itself is read when it is asked for.
    ///
    /// # Errors
    /// Bytes that are something else, or of another version.
    pub fn restore(from: &mut dyn Read) -> Result<Self, StoredError> {
        let index = Index::restore(from, Costs::default())?;
        let mut number = [0; 8];
        from.read_exact(&mut number)?;
        let unfit = || StoredError::Contents("rows");
        let length = u64::from_le_bytes(number)
            .checked_mul(4)
            .ok_or_else(unfit)?;
        let mut places = Vec::new();
        Read::take(&mut *from, length).read_to_end(&mut places)?;
        let begins = places.chunks_exact(4);
        let begins = begins.map(|at| u32::from_le_bytes([at[0], at[1], at[2], at[3]]));
        let begins: Vec<u32> = begins.collect();
        let mut rows = String::new();
        from.read_to_string(&mut rows)?;
        let parts = Parts::of_text(rows, begins).ok_or_else(unfit)?;
        if parts.len() != index.parts() {
            return Err(unfit());
        }
        Ok(Self {
            parts,
            index,
            names: OnceLock::new(),
            prices: Book::default(),
            times: Times::default(),
        })
    }

    /// Adds the analyst's own prices, which [`Known::store`] does not write.
    #[must_use]
    pub fn with_prices(self, prices: Book) -> Self {
        Self { prices, ..self }
    }

    /// Returns the analyst's own prices.
    pub fn prices(&self) -> &Book {
        &self.prices
    }

    /// Adds the analyst's own table of times, which [`Known::store`] does not write.
    #[must_use]
    pub fn with_times(self, times: Times) -> Self {
        Self { times, ..self }
    }

    /// Returns the analyst's own table of times.
    pub fn times(&self) -> &Times {
        &self.times
    }

    fn names(&self) -> &Names {
        self.names.get_or_init(|| Names::of(&self.parts))
    }

    /// Returns the parts that were seen on one board with some of the named ones, each with the number of
    /// them.
    pub fn seen_beside(&self, names: &[String]) -> Vec<SeenBefore> {
        let mut counts: BTreeMap<usize, u32> = BTreeMap::new();
        for name in names {
            for at in self
                .names()
                .seen_with
                .get(&folded(name))
                .into_iter()
                .flatten()
            {
                *counts.entry(*at).or_default() += 1;
            }
        }
        counts
            .into_iter()
            .filter_map(|(at, count)| {
                let name = self.parts().get(at)?.name.clone();
                Some(SeenBefore { name, count })
            })
            .collect()
    }

    /// Returns the places of the parts that an identity names; a maker left out on either side fits any.
    fn places_of(&self, identity: &Identity) -> impl Iterator<Item = usize> {
        let maker = identity.maker.as_deref().unwrap_or_default();
        let named = self.names().by_name.get(&folded(&identity.name));
        named.into_iter().flatten().copied().filter(move |at| {
            let own = &self.parts()[*at].maker;
            maker.is_empty() || own.is_empty() || maker.eq_ignore_ascii_case(own)
        })
    }

    /// Returns the parts that an identity names; a maker left out on either side fits any.
    pub fn named(&self, identity: &Identity) -> impl Iterator<Item = &Part> {
        self.places_of(identity).map(|at| &self.parts()[at])
    }

    /// Makes ready what the first question about names would wait for.
    pub fn warm(&self) {
        self.names();
    }

    /// Returns the parts.
    pub fn parts(&self) -> &Parts {
        &self.parts
    }

    /// Returns the index.
    pub fn index(&self) -> &Index {
        &self.index
    }
}

/// One part with a marking, and what it may be.
#[derive(Debug, Clone)]
pub struct Assessment<'d> {
    /// The item.
    pub item: &'d Item,
    /// Its facts.
    pub facts: &'d PartFacts,
    /// What the catalogue says of its marking.
    pub answer: Answer,
}

impl Assessment<'_> {
    /// Returns what the analyst decided.
    pub fn identity(&self) -> Option<&Identity> {
        self.facts.identity.as_ref()
    }

    /// Returns the probability of the recorded identity, all entries of that name together; `None`
    /// where there is no identity or the catalogue does not know it.
    pub fn probability(&self, known: &Known) -> Option<f64> {
        let identity = self.identity()?;
        let meant: Vec<usize> = known.places_of(identity).collect();
        if meant.is_empty() {
            return None;
        }
        let listed = self.answer.candidates.iter();
        let listed = listed.filter(|c| meant.contains(&c.part));
        Some(listed.map(|c| c.probability).sum())
    }
}

/// Letters and digits in upper case: hyphens and spaces in a part number do not count.
pub(crate) fn folded(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_uppercase)
        .collect()
}

/// What the markings say, part by part.
#[derive(Debug)]
pub struct Assessments<'d> {
    all: Vec<Assessment<'d>>,
    probabilities: HashMap<&'d str, f64>,
}

impl<'d> Assessments<'d> {
    /// Reads the marking of every part that has one, in the order of the record. Empty where the
    /// catalogue knows no part.
    pub(crate) fn of(case: &Case<'d>) -> Self {
        let mut all = Vec::new();
        if !case.known.parts().is_empty() {
            let mut scratch = Scratch::default();
            let items = case.dossier.items.iter();
            all.extend(items.filter_map(|item| {
                let facts = item.part.as_ref().filter(|p| !p.marking.is_empty())?;
                // The record was checked when it was read.
                let seen = Seen::of_lines(&facts.marking).ok()?;
                let clues = clues(case, item, facts);
                let answer = case.known.index.read(&seen, &clues, &mut scratch);
                Some(Assessment {
                    item,
                    facts,
                    answer,
                })
            }));
        }
        let probability = |a: &Assessment<'d>| Some((&*a.item.id, a.probability(case.known)?));
        let probabilities = all.iter().filter_map(probability).collect();
        Self { all, probabilities }
    }

    /// Returns what is known of every marked part, in the order of the record.
    pub fn all(&self) -> &[Assessment<'d>] {
        &self.all
    }

    /// Returns the probability of the recorded identity of an item; `None` where the catalogue does not
    /// know it.
    pub fn probability(&self, item: &Item) -> Option<f64> {
        self.probabilities.get(item.id.as_str()).copied()
    }
}

/// Returns the part numbers that were read from the markings of the other parts on the board of an item.
pub fn neighbours(case: &Case<'_>, item: &Item) -> Vec<String> {
    let beside: Box<dyn Iterator<Item = &Item>> = match item.parent.as_deref() {
        Some(board) => Box::new(case.tree().children(board)),
        None => Box::new(case.dossier.items.iter().filter(|i| i.parent.is_none())),
    };
    let identities = beside
        .filter(|other| other.id != item.id)
        .filter_map(|other| {
            let identity = other.part.as_ref()?.identity.as_ref()?;
            (identity.certainty == Certainty::Read).then(|| identity.name.clone())
        });
    identities.collect::<Distinct>().into_vec()
}

/// Returns length and width of an item, the longer first, each in mm with its standard uncertainty. `None`
/// unless both are known.
pub fn body_mm<'d>(case: &Case<'d>, item: &'d Item) -> Option<[(f64, f64); 2]> {
    let side = |name: &'static str| {
        let input = case.sizes().input(item, name)?;
        Some((
            input.distribution.mean() * 1e3,
            input.distribution.sd() * 1e3,
        ))
    };
    let a = side("length")?;
    let b = side("width")?;
    Some(if a.0 >= b.0 { [a, b] } else { [b, a] })
}

/// What is recorded of a part besides its marking and its identity.
fn clues<'d>(case: &Case<'d>, item: &'d Item, facts: &PartFacts) -> Clues {
    Clues {
        package: facts.package.clone(),
        pins: facts.pins,
        body_mm: body_mm(case, item).map(|sides| sides.map(|(mm, _)| mm)),
        pitch_mm: case.sizes().pitch_mm(item),
        roles_missing: item.role.iter().cloned().collect(),
        seen_before: case.known.seen_beside(&neighbours(case, item)),
        ..Clues::default()
    }
}
