//! The other products of a library, as far as one is compared with them.
//!
//! In: a dossier, the library's index. Out: what `methods` compares with; a view that follows when others change.
//! Not here: comparing (`methods`); rows (`library`).

use super::{Desk, View, blocking, examined, lock};
use crate::Problem;
use library::{Beside, Compared, DossierId, Peer, PeersMark, Whole};
use methods::{Case, Known, Other, OtherPart, Others, Trait, TraitKind};
use record::{AnyFile, Dossier};
use std::collections::BTreeSet;
use std::sync::{Arc, Mutex};

/// Most products that one is compared with.
const MOST: usize = 500;

impl Desk {
    /// Returns what the library holds of other products.
    pub(super) async fn others(
        &self,
        id: &DossierId,
        dossier: &Dossier,
    ) -> Result<Others, Problem> {
        self.compared_with(id, dossier, |_| true).await
    }

    /// Returns the same as the view that is kept has it, where neither the others nor what is asked of them changed: most
    /// edits do neither, and whoever saves waits for it.
    pub(super) async fn others_again(
        &self,
        id: &DossierId,
        dossier: &Dossier,
        mark: &PeersMark,
    ) -> Result<Arc<Others>, Problem> {
        let kept = lock(&self.views).get(id).cloned();
        let same = kept.filter(|kept| {
            *lock(&kept.mark) == *mark && beside(id, &kept.dossier) == beside(id, dossier)
        });
        match same {
            Some(kept) => Ok(Arc::clone(&kept.others)),
            None => Ok(Arc::new(self.others(id, dossier).await?)),
        }
    }

    /// Returns the same as it may go out: of products that were published as they are now, with no section left out,
    /// and private text withheld.
    pub(super) async fn published_others(
        &self,
        id: &DossierId,
        dossier: &Dossier,
    ) -> Result<Others, Problem> {
        let all = self
            .compared_with(id, dossier, |peer| peer.published)
            .await?;
        let mut out = Vec::new();
        for other in all.products.into_iter().flatten() {
            out.extend(self.as_published(other).await?);
        }
        Ok(Others {
            products: Some(out),
            ..all
        })
    }

    async fn as_published(&self, other: Other) -> Result<Option<Other>, Problem> {
        let Ok(id) = other.id.parse::<DossierId>() else {
            return Ok(None);
        };
        let head = self.library.head(&id).await?;
        let publications = self.library.publications(&id).await?;
        let whole = self.library.leaving_out(&id).await?.sections.is_empty();
        let same = publications
            .last()
            .is_some_and(|last| last.revision == head.revision);
        if !same || !whole {
            return Ok(None);
        }
        let (_, text) = self.library.revision(&id, head.revision).await?;
        blocking(move || {
            let dossier = record::read_text(&text, store::TEXT, &AnyFile)?.published();
            let known = Known::default();
            let told = methods::others::profile(&Case::new(&dossier, &known), &other.id);
            Ok(Some(Other {
                traits: other.traits,
                ..told
            }))
        })
        .await
    }

    async fn compared_with(
        &self,
        id: &DossierId,
        dossier: &Dossier,
        counts: impl Fn(&Peer) -> bool,
    ) -> Result<Others, Problem> {
        let found = self.library.peers(&beside(id, dossier)).await?;
        let products = found.peers.into_iter().filter(counts).filter_map(other);
        Ok(Others {
            products: Some(products.collect()),
            left: found.left,
        })
    }

    /// Returns a view as it is among the products that are there now.
    pub(super) async fn among(&self, view: Arc<View>) -> Result<Arc<View>, Problem> {
        let mark = self.library.peers_mark(&view.id).await?;
        if mark == *lock(&view.mark) {
            return Ok(view);
        }
        let others = self.others(&view.id, &view.dossier).await?;
        if others == *view.others {
            *lock(&view.mark) = mark;
            return Ok(view);
        }
        let view = blocking(move || {
            Ok(View {
                id: view.id.clone(),
                revision: view.revision,
                text: view.text.clone(),
                files: library::Held(view.files.0.clone()),
                dossier: view.dossier.clone(),
                findings: examined(&view.dossier, &view.known, &view.recorded, &others)?,
                known: Arc::clone(&view.known),
                recorded: view.recorded.clone(),
                others: Arc::new(others),
                mark: Mutex::new(mark),
            })
        })
        .await?;
        let newer = |kept: &Arc<View>| kept.revision > view.revision;
        if lock(&self.views).get(&view.id).is_some_and(newer) {
            return Ok(Arc::new(view));
        }
        Ok(self.kept(view))
    }
}

/// Says which other products a dossier is compared with.
fn beside(id: &DossierId, dossier: &Dossier) -> Beside {
    let product = &dossier.product;
    let identities = dossier.items.iter();
    let identities = identities.filter_map(|item| item.part.as_ref()?.identity.as_ref());
    let named = identities.map(|identity| identity.name.clone());
    let claimed = dossier
        .claims
        .iter()
        .filter(|claim| methods::claims::compares(claim));
    let parts: BTreeSet<String> = named
        .chain(claimed.filter_map(|c| c.names.clone()))
        .collect();
    Beside {
        dossier: id.clone(),
        category: product.category.clone().unwrap_or_default(),
        maker: product.maker.clone(),
        parts: parts.into_iter().collect(),
        most: MOST,
    }
}

/// Returns what a library keeps of a case to compare others with it.
pub(super) fn compared(case: &Case<'_>) -> Compared {
    let product = &case.dossier.product;
    let whole = |figure: &Trait| Whole {
        kind: figure.what.key().to_string(),
        value: figure.value,
        uncertainty: figure.uncertainty,
    };
    Compared {
        market: product.market.clone().unwrap_or_default(),
        family: product.family.clone().unwrap_or_default(),
        released: product.released,
        there: Some(methods::others::there(product)),
        figures: case.traits().iter().map(whole).collect(),
    }
}

/// None where what was indexed says no day: it was before days were.
fn other(peer: Peer) -> Option<Other> {
    let facts = peer.facts;
    let figure = |whole: &Whole| {
        Some(Trait {
            what: TraitKind::of_key(&whole.kind)?,
            value: whole.value,
            uncertainty: whole.uncertainty,
        })
    };
    let part = |(name, maker, role, read)| OtherPart {
        name,
        maker,
        role,
        read,
    };
    Some(Other {
        id: peer.dossier.to_string(),
        product: facts.product,
        maker: facts.maker,
        category: facts.category,
        market: facts.compared.market,
        family: facts.compared.family,
        released: facts.compared.released,
        there: facts.compared.there?,
        traits: facts.compared.figures.iter().filter_map(figure).collect(),
        parts: facts.parts.into_iter().map(part).collect(),
    })
}
