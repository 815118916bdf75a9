//! A dossier with known parts, and what several methods need of both, worked out once.
//!
//! In: a dossier, known parts. Out: shared results, each made when it is asked for first.
//! Not here: findings. A method takes another's result from the case and never looks into its files.

mod lookup;
mod tree;

pub use lookup::Lookup;
pub use tree::{Tree, own_count};

use crate::assessment::{Assessments, Known};
use crate::cells::Dangers;
use crate::deadline::Deadlines;
use crate::energy::Supplies;
use crate::claims;
use crate::mass::{self, MassSolution};
use crate::network::{Network, NumberedLink};
use crate::precedence::Precedence;
use crate::others::{Others, Trait};
use crate::presence::Named;
use crate::recorded::Recorded;
use crate::sizes::Sources;
use crate::{Finding, inputs};
use quantity::Input;
use record::{Dossier, Item, Place, Reading};
use std::cell::OnceCell;
use std::ops::ControlFlow;

/// What the one who waits for an examination is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// A method begins.
    Begins {
        /// Its name.
        method: &'static str,
        /// Its number, from 1.
        number: usize,
        /// How many there are.
        of: usize,
    },
    /// Work goes on inside a method; asked often.
    Works,
}

/// The examination was stopped before it was complete; there are no findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the examination was stopped")]
pub struct Cancelled;

/// The findings of a method, unless it was stopped.
pub type Answer = Result<Vec<Finding>, Cancelled>;

/// Asked between and inside methods whether to go on.
pub type Watch<'w> = dyn Fn(Progress) -> ControlFlow<()> + 'w;

/// Logs of a dossier that has none, or whose files nobody read.
static NO_LOGS: Recorded = Recorded::none();

/// A dossier examined without a library.
static NO_LIBRARY: Others = Others::unknown();

/// A dossier with known parts and shared results.
pub struct Case<'d> {
    /// The dossier.
    pub dossier: &'d Dossier,
    /// The known parts.
    pub known: &'d Known,
    recorded: &'d Recorded,
    others: &'d Others,
    watch: &'d Watch<'d>,
    tree: OnceCell<Tree<'d>>,
    lookup: OnceCell<Lookup<'d>>,
    links: OnceCell<Vec<Place>>,
    network: OnceCell<Network<'d>>,
    supplies: OnceCell<Supplies<'d>>,
    masses: OnceCell<MassSolution>,
    assessments: OnceCell<Assessments<'d>>,
    deadlines: OnceCell<Deadlines>,
    named: OnceCell<Named>,
    sizes: OnceCell<Sources<'d>>,
    dangers: OnceCell<Dangers>,
    precedence: OnceCell<Precedence<'d>>,
    traits: OnceCell<Vec<Trait>>,
}

impl<'d> Case<'d> {
    /// Makes a case that nothing has been worked out of yet.
    pub fn new(dossier: &'d Dossier, known: &'d Known) -> Self {
        Self::watched(dossier, known, &|_| ControlFlow::Continue(()))
    }

    /// As [`Case::new`], with someone who may stop the work.
    pub fn watched(dossier: &'d Dossier, known: &'d Known, watch: &'d Watch<'d>) -> Self {
        Self {
            dossier,
            known,
            recorded: &NO_LOGS,
            others: &NO_LIBRARY,
            watch,
            tree: OnceCell::new(),
            lookup: OnceCell::new(),
            links: OnceCell::new(),
            network: OnceCell::new(),
            supplies: OnceCell::new(),
            masses: OnceCell::new(),
            assessments: OnceCell::new(),
            deadlines: OnceCell::new(),
            named: OnceCell::new(),
            sizes: OnceCell::new(),
            dangers: OnceCell::new(),
            precedence: OnceCell::new(),
            traits: OnceCell::new(),
        }
    }

    /// The same case with the logs of the dossier, as they were read.
    #[must_use]
    pub fn with_logs(self, recorded: &'d Recorded) -> Self {
        Self { recorded, ..self }
    }

    /// The same case with what a library holds of other products.
    #[must_use]
    pub fn among(self, others: &'d Others) -> Self {
        Self { others, ..self }
    }

    /// Returns what a library holds of other products.
    pub fn others(&self) -> &'d Others {
        self.others
    }

    /// Returns the logs of the dossier, as they were read.
    pub fn logs(&self) -> &'d Recorded {
        self.recorded
    }

    /// Says that a method begins.
    ///
    /// # Errors
    /// [`Cancelled`] if the work is to stop.
    pub fn begin(&self, method: &'static str, number: usize, of: usize) -> Result<(), Cancelled> {
        self.ask(Progress::Begins { method, number, of })
    }

    /// Asks whether to go on; methods do so at least once for every item, claim or path.
    ///
    /// # Errors
    /// [`Cancelled`] if the work is to stop.
    pub fn go_on(&self) -> Result<(), Cancelled> {
        self.ask(Progress::Works)
    }

    fn ask(&self, progress: Progress) -> Result<(), Cancelled> {
        match (self.watch)(progress) {
            ControlFlow::Continue(()) => Ok(()),
            ControlFlow::Break(()) => Err(Cancelled),
        }
    }

    /// Returns the item tree.
    pub fn tree(&self) -> &Tree<'d> {
        self.tree.get_or_init(|| Tree::of(self.dossier))
    }

    /// Returns the entries of the dossier by id.
    pub fn lookup(&self) -> &Lookup<'d> {
        self.lookup.get_or_init(|| Lookup::of(self.dossier))
    }

    /// Returns the item with an id.
    pub fn item(&self, id: &str) -> Option<&'d Item> {
        self.tree().item(id)
    }

    /// Returns where a link stands in the record.
    pub(crate) fn link_place(&self, link: NumberedLink<'_>) -> Place {
        let places = self.links.get_or_init(|| Place::links(self.dossier));
        places[link.number].clone()
    }

    /// Makes an input from a reading, for all its pieces together.
    pub fn reading_input(&self, reading: &Reading, name: &str) -> Input {
        let instrument = reading.instrument.as_deref();
        let instrument = instrument.and_then(|id| self.lookup().instrument(id));
        inputs::input_read_on(instrument, reading, name)
    }

    /// Returns the power links as a graph.
    pub(crate) fn network(&self) -> &Network<'d> {
        self.network.get_or_init(|| Network::of(self))
    }

    /// Returns what feeds what, and what is known of the currents.
    pub(crate) fn supplies(&self) -> &Supplies<'d> {
        self.supplies.get_or_init(|| Supplies::of(self))
    }

    /// Returns the masses, adjusted to each other.
    pub fn masses(&self) -> &MassSolution {
        self.masses.get_or_init(|| mass::adjusted(self.dossier))
    }

    /// Returns what the markings say of the parts.
    pub fn assessments(&self) -> &Assessments<'d> {
        self.assessments.get_or_init(|| Assessments::of(self))
    }

    /// Returns until when things can still be measured.
    pub fn deadlines(&self) -> &Deadlines {
        self.deadlines.get_or_init(|| Deadlines::of(self))
    }

    /// Returns what the items are called, for finding named things among them.
    pub(crate) fn named(&self) -> &Named {
        self.named.get_or_init(|| Named::of(self.dossier))
    }

    /// Returns where the sizes of items are from: readings, photographs, the items themselves.
    pub fn sizes(&self) -> &Sources<'d> {
        self.sizes.get_or_init(|| Sources::of(self.dossier))
    }

    /// Returns the steps in the order in which they can be done, and the ways to items.
    pub fn precedence(&self) -> &Precedence<'d> {
        self.precedence.get_or_init(|| Precedence::of(self))
    }

    /// Returns which cells are swollen, leaking or damaged, or may be.
    pub fn dangers(&self) -> &Dangers {
        self.dangers.get_or_init(|| Dangers::of(self))
    }

    /// Returns the figures of the product as a whole that products are compared by.
    pub fn traits(&self) -> &[Trait] {
        self.traits.get_or_init(|| claims::traits(self))
    }
}
