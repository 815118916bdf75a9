//! What is asked, as the statements take it.

use super::derived::{kind, ordered};
use crate::LibraryError;
use crate::rows::kept::json;
use crate::search::{Find, Judged, NAMED, TIERS, Tier};
use std::collections::BTreeSet;

/// A word that is to be there; folded words are letters and digits.
#[derive(Clone, Copy)]
pub(super) struct Begun<'f> {
    pub(super) word: &'f str,
    /// Where; anywhere if none is named.
    pub(super) column: Option<&'static str>,
    /// Whether it is the whole word, and not the beginning of one.
    pub(super) whole: bool,
}

pub(super) struct Asked<'f> {
    find: &'f Find,
    /// What words in their columns are to be, without those of the tier.
    columns: Vec<Begun<'f>>,
    /// Least and most of each verdict.
    pub(super) verdicts: [(i64, i64); 4],
    /// Figures, as JSON.
    pub(super) figures: Option<String>,
    /// What one part is to be, where several words are asked of it.
    pub(super) sort: Vec<Begun<'f>>,
    markings: Option<BTreeSet<i64>>,
}

impl<'f> Asked<'f> {
    pub(super) fn of(find: &'f Find) -> Result<Self, LibraryError> {
        let of_part = [
            ("part", &find.part),
            ("maker", &find.maker),
            ("role", &find.role),
        ];
        let begun = |(column, words): (&'static str, &'f Vec<String>)| {
            words.iter().map(move |word| Begun {
                word,
                column: Some(column),
                whole: false,
            })
        };
        let part: Vec<_> = of_part.into_iter().flat_map(begun).collect();
        let mut columns: Vec<_> = begun(("category", &find.category)).collect();
        columns.extend(&part);
        let sort = if part.len() > 1 { part } else { Vec::new() };
        let mut verdicts = [(0, i64::from(u32::MAX)); 4];
        for counted in &find.verdicts {
            let at = match counted.judged {
                Judged::Holds => 0,
                Judged::Fails => 1,
                Judged::Undecided => 2,
                Judged::NeedsEvidence => 3,
            };
            let (least, most) = &mut verdicts[at];
            *least = i64::from(counted.least).max(*least);
            *most = i64::from(counted.most).min(*most);
        }
        let figures: Vec<_> = find
            .figures
            .iter()
            .map(|ranged| {
                let kind = kind(&ranged.kind, &ranged.dimension);
                (kind, ordered(ranged.low), ordered(ranged.high))
            })
            .collect();
        let figures = (!figures.is_empty()).then(|| json(&figures)).transpose()?;
        Ok(Self {
            find,
            columns,
            verdicts,
            figures,
            sort,
            markings: None,
        })
    }

    /// Leaves only dossiers of these turns.
    pub(super) fn only(&mut self, seqs: BTreeSet<i64>) {
        self.markings = Some(match self.markings.take() {
            Some(before) => before.intersection(&seqs).copied().collect(),
            None => seqs,
        });
    }

    pub(super) fn markings(&self) -> Result<Option<String>, LibraryError> {
        self.markings.as_ref().map(json).transpose()
    }

    /// The tiers that are to be asked for; without words there is one.
    pub(super) fn tiers(&self) -> std::ops::Range<Tier> {
        let tiers = if self.find.words.is_empty() { 1 } else { TIERS };
        0..tiers
    }

    /// What the words of a dossier of a tier are to be; none where no word is asked for.
    pub(super) fn words(&self, tier: Tier) -> Vec<Begun<'f>> {
        let of_tier = self.find.words.iter().map(|word| Begun {
            word,
            column: (tier == 0).then_some(NAMED),
            whole: tier == 1,
        });
        of_tier.chain(self.columns.iter().copied()).collect()
    }
}
