//! The index of a library, made from examined views and brought up to date beside the work.
//!
//! In: views. Out: what is indexed of them; dossiers that could not be indexed, and why.
//! Not here: how it is kept and asked (`library`).
//!
//! A save does not wait for it. What is left to do is asked of the library alone, so a run that was killed goes on
//! where it was at the next start; among several revisions the newest wins.

use super::others::compared;
use super::{Desk, View, blocking, lock};
use crate::{Kind, Problem};
use library::{DossierId, FigureRange, Indexed, Part, Thing, ThingKind, Verdicts};
use methods::words::Words as _;
use methods::{Case, Finding, Findings, Method, verdict_counts};
use record::{Dossier, Item, Place};
use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Duration;

/// A candidate for a marking that is at least this probable is one that findings rest on.
const WORTH_NOTING: f64 = 0.001;

/// How long a library that cannot be reached is left alone.
const PAUSE: Duration = Duration::from_secs(5);

/// A dossier that could not be indexed.
pub struct Unindexed {
    /// The dossier.
    pub id: DossierId,
    /// Why.
    pub problem: Problem,
}

impl Desk {
    /// Says that a dossier was made or changed past the desk, so that it is indexed soon.
    pub fn changed(&self, id: &DossierId) {
        lock(&self.recent).insert(id.clone());
        self.saved.notify_one();
    }

    /// Indexes every dossier that is behind, those changed meanwhile first. Returns those that could not be examined;
    /// they stay behind.
    ///
    /// # Errors
    /// A library that cannot be reached.
    pub async fn bring_index_forward(&self) -> Result<Vec<Unindexed>, Problem> {
        let mut left = Vec::new();
        for id in self.library.behind().await? {
            self.index_recent(&mut left).await?;
            self.index_or_leave(id, &mut left).await?;
        }
        self.index_recent(&mut left).await?;
        Ok(left)
    }

    /// Keeps the index up to date for as long as it is waited for; it never ends by itself, and nothing is lost where
    /// it is ended.
    pub async fn keep_index(&self) {
        loop {
            match self.bring_index_forward().await {
                Ok(_) => self.saved.notified().await,
                Err(_) => tokio::time::sleep(PAUSE).await,
            }
        }
    }

    /// Takes in that parts of catalogues were changed: `names` are their part numbers, other numbers and top-marking
    /// codes, before the change and after it. Catalogue files are read again, and the dossiers that the change may
    /// touch are examined and indexed anew; all others stay as they are. Returns the dossiers touched.
    ///
    /// # Errors
    /// As [`Desk::view`].
    pub async fn parts_changed(&self, names: &[String]) -> Result<Vec<DossierId>, Problem> {
        lock(&self.known).clear();
        let touched = self.library.touched_by(names).await?;
        for id in &touched {
            lock(&self.views).remove(id);
            self.index_now(id).await?;
        }
        Ok(touched)
    }

    async fn index_recent(&self, left: &mut Vec<Unindexed>) -> Result<(), Problem> {
        let recent = std::mem::take(&mut *lock(&self.recent));
        for id in recent {
            self.index_or_leave(id, left).await?;
        }
        Ok(())
    }

    /// Indexes a dossier; where the dossier itself is in the way, it is left.
    async fn index_or_leave(
        &self,
        id: DossierId,
        left: &mut Vec<Unindexed>,
    ) -> Result<(), Problem> {
        match self.index_now(&id).await {
            Err(problem) if problem.kind == Kind::Outside => Err(problem),
            Err(problem) => {
                left.push(Unindexed { id, problem });
                Ok(())
            }
            Ok(()) => Ok(()),
        }
    }

    async fn index_now(&self, id: &DossierId) -> Result<(), Problem> {
        let view = self.seen(id).await?;
        let indexed = blocking(move || Ok(indexed(&view))).await?;
        Ok(self.library.index(id, &indexed).await?)
    }

    /// Returns the latest view without keeping it: an index that is made anew does not fill the memory.
    async fn seen(&self, id: &DossierId) -> Result<Arc<View>, Problem> {
        let head = self.library.head(id).await?;
        let kept = lock(&self.views).get(id).cloned();
        if let Some(view) = kept.filter(|view| view.revision == head.revision) {
            return Ok(view);
        }
        Ok(Arc::new(self.examined_now(id).await?))
    }
}

/// Returns what is indexed of a view. Numbers that tell a sample or a person apart are left out: identifiers, and
/// what is marked private.
pub fn indexed(view: &View) -> Indexed {
    let product = &view.dossier.product;
    let case = Case::new(&view.dossier, &view.known).with_logs(&view.recorded);
    Indexed {
        revision: view.revision,
        product: product.name.clone(),
        maker: product.maker.clone(),
        model: product.model.clone().unwrap_or_default(),
        category: product.category.clone().unwrap_or_default(),
        things: things(&view.dossier),
        verdicts: verdicts(&view.dossier, &view.findings),
        figures: figures(&view.findings),
        rests: candidates(&case),
        compared: compared(&case),
    }
}

fn things(dossier: &Dossier) -> Vec<Thing> {
    let thing = |kind, id: &str, text: String, place| Thing {
        kind,
        id: id.to_string(),
        text,
        place: Some(place),
        part: None,
    };
    let mut all = Vec::new();
    for claim in &dossier.claims {
        let place = Place::claim(&claim.id);
        all.push(thing(
            ThingKind::Claim,
            &claim.id,
            claim.text.clone(),
            place,
        ));
    }
    for label in dossier
        .product
        .labels
        .iter()
        .filter(|label| label.private.is_empty())
    {
        let place = Place::label(&label.id);
        all.push(thing(
            ThingKind::Label,
            &label.id,
            label.text.clone(),
            place,
        ));
    }
    for step in &dossier.steps {
        let place = Place::step(&step.id);
        let tool = step.tool.as_ref().map(|tool| format!(", {tool}"));
        let text = format!("{}{}", step.text, tool.unwrap_or_default());
        all.push(thing(ThingKind::Step, &step.id, text, place));
    }
    for item in &dossier.items {
        let beside = item
            .designator
            .as_ref()
            .map(|printed| format!(", {printed}"));
        let text = format!("{}{}", item.name, beside.unwrap_or_default());
        let place = Place::item(&item.id);
        all.push(Thing {
            part: part(item),
            ..thing(ThingKind::Item, &item.id, text, place)
        });
    }
    for reading in dossier.readings.iter().filter(|reading| !reading.private) {
        let of = dossier.item(&reading.item);
        let of = of.map_or(reading.item.as_str(), |item| item.name.as_str());
        let text = format!("{} of {of}: {}", reading.what.words(), reading.value.text);
        let place = Place::reading(&reading.id);
        all.push(thing(ThingKind::Reading, &reading.id, text, place));
    }
    for photo in &dossier.photos {
        let place = Place::photo(&photo.id);
        all.push(thing(
            ThingKind::Photograph,
            &photo.id,
            photo.caption.clone(),
            place,
        ));
    }
    all
}

/// What is known of an item as a part; nothing where neither part nor role is recorded.
fn part(item: &Item) -> Option<Part> {
    let facts = item.part.as_ref();
    if facts.is_none() && item.role.is_none() {
        return None;
    }
    let identity = facts.and_then(|facts| facts.identity.as_ref());
    Some(Part {
        name: identity
            .map(|identity| identity.name.clone())
            .unwrap_or_default(),
        marking: facts.map(|facts| facts.marking.clone()).unwrap_or_default(),
        maker: identity
            .and_then(|identity| identity.maker.clone())
            .unwrap_or_default(),
        role: item.role.clone().unwrap_or_default(),
        package: facts
            .and_then(|facts| facts.package.clone())
            .unwrap_or_default(),
        certainty: identity.map(|identity| identity.certainty),
    })
}

/// Those settled by other products are left out: they change with these, and an index made anew is to be the same.
fn verdicts(dossier: &Dossier, findings: &Findings) -> Verdicts {
    let alone = |f: &&Finding| !f.claim(dossier).is_some_and(methods::claims::compares);
    let counts = verdict_counts(findings.findings.iter().filter(alone));
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    Verdicts {
        holds: count(counts.holds),
        fails: count(counts.fails),
        undecided: count(counts.undecided),
        needs_evidence: count(counts.needs_evidence),
    }
}

/// The 95 % intervals of all figures, each once.
fn figures(findings: &Findings) -> Vec<FigureRange> {
    let mut all: Vec<FigureRange> = Vec::new();
    for keyed in findings
        .findings
        .iter()
        .filter(|finding| finding.method() != Method::Standing)
        .flat_map(|finding| &finding.figures)
    {
        let unit = &keyed.figure.unit;
        let interval = keyed.figure.interval;
        let range = FigureRange::of(
            &keyed.key.what.to_string(),
            &unit.dimension().to_string(),
            unit.to_si(interval.low),
            unit.to_si(interval.high),
        );
        if !all.contains(&range) {
            all.push(range);
        }
    }
    all
}

/// The known parts that markings were held to be, each name once.
fn candidates(case: &Case<'_>) -> Vec<String> {
    let known = case.known;
    let assessed = case.assessments().all().iter();
    let listed = assessed.flat_map(|assessment| &assessment.answer.candidates);
    let probable = listed.filter(|candidate| candidate.probability >= WORTH_NOTING);
    let names = probable.filter_map(|candidate| known.parts().get(candidate.part));
    let names: BTreeSet<String> = names.map(|part| part.name.clone()).collect();
    names.into_iter().collect()
}
