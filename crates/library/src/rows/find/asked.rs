//! What is asked, as the statements take it.

use super::derived::{kind, ordered};
use crate::LibraryError;
use crate::rows::kept::json;
use crate::search::{Find, Judged, NAMED, TIERS, Tier};
use std::collections::BTreeSet;

pub(super) struct Asked<'f> {
    find: &'f Find,
    /// What words anywhere and in their columns are to be, without those of the tier.
    columns: Vec<String>,
    /// Least and most of each verdict.
    pub(super) verdicts: [(i64, i64); 4],
    /// Figures, as JSON.
    pub(super) figures: Option<String>,
    /// What one part is to be, where several words are asked of it.
    pub(super) sort: Option<String>,
    markings: Option<BTreeSet<i64>>,
}

impl<'f> Asked<'f> {
    pub(super) fn of(find: &'f Find) -> Result<Self, LibraryError> {
        let of_part = [
            ("part", &find.part),
            ("maker", &find.maker),
            ("role", &find.role),
        ];
        let begun = |(column, words): &(&str, &Vec<String>)| {
            let column = (*column).to_string();
            let words = words.iter();
            words
                .map(move |word| beginning(Some(&column), word))
                .collect::<Vec<_>>()
        };
        let part: Vec<String> = of_part.iter().flat_map(begun).collect();
        let sort = (part.len() > 1).then(|| part.join(" AND "));
        let mut columns = begun(&("category", &find.category));
        columns.extend(part);
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

    /// What the words of a dossier of a tier are to match, as FTS5 writes it; `None` where no word is asked for.
    pub(super) fn words(&self, tier: Tier) -> Option<String> {
        let of_tier = self.find.words.iter().map(|word| match tier {
            0 => beginning(Some(NAMED), word),
            1 => format!("\"{word}\""),
            _ => beginning(None, word),
        });
        let all: Vec<String> = of_tier.chain(self.columns.iter().cloned()).collect();
        (!all.is_empty()).then(|| all.join(" AND "))
    }
}

/// A word by its beginning. Folded words are letters and digits, so none of them ends the quotes.
fn beginning(column: Option<&str>, word: &str) -> String {
    match column {
        Some(column) => format!("{column} : \"{word}\" *"),
        None => format!("\"{word}\" *"),
    }
}
