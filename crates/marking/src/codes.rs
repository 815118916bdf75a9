//! Short texts on tiny packages: top-marking codes.
//!
//! In: a text, whether the package is tiny. Out: what it costs to take the text for a code of the
//! catalogue, for a name, or for a code that nobody listed.
//!
//! Of texts of up to four characters on a tiny package most are codes: a share of the cost table. Some
//! thousands of codes are in use, each as likely, so that a catalogue with few of them seldom has the
//! one that was read, and one without any never.
//! Not here: codes of values and dates (the crate `codes`).

use crate::answer::EntryKind;
use crate::model::costs::{Costs, MilliNat, NEVER, milli};
use crate::model::query::{Query, Spot};

/// Longer texts are no codes.
pub(crate) const LONGEST: usize = 4;

/// What each kind of name costs for one text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct KindPrices {
    name: MilliNat,
    alias: MilliNat,
    code: MilliNat,
    /// Besides, for a name of which the text is not the whole.
    piece: MilliNat,
    /// The text as a code that nobody listed.
    pub(crate) unlisted: Option<MilliNat>,
}

/// Share of codes among such texts; `None` where none is expected.
pub(crate) fn share(query: &Query, small: Option<bool>, costs: &Costs) -> Option<f64> {
    let codes = costs.table().codes;
    match small {
        _ if query.len() > LONGEST || query.gap_before || query.gap_after => None,
        Some(true) => Some(codes.share_small),
        None => Some(codes.share_any),
        Some(false) => None,
    }
}

impl KindPrices {
    /// Prices for a text; `listed` codes are in the catalogue, any one of whose parts costs `part`.
    pub(crate) fn new(
        query: &Query,
        small: Option<bool>,
        only_code: bool,
        (listed, part): (usize, MilliNat),
        costs: &Costs,
    ) -> Self {
        let names = costs.table().names;
        let plain = Self {
            name: milli(names.name),
            alias: milli(names.alias),
            code: milli(names.code),
            piece: 0,
            unlisted: None,
        };
        let Some(share) = share(query, small, costs) else {
            return plain;
        };
        let codes = costs.table().codes;
        let is_code = -share.ln();
        let all = listed as f64 + codes.in_use;
        let spelled: f64 = query
            .spots
            .iter()
            .map(|spot| match spot {
                Spot::Read(_) => codes.character,
                Spot::Any => 0.0,
                Spot::OneOf(choices) => codes.character - (choices.len() as f64).ln().min(1.0),
            })
            .sum();
        let unlisted = (codes.in_use / all).ln();
        Self {
            code: milli(is_code + all.ln()) - part,
            piece: if only_code {
                NEVER
            } else {
                milli(-(1.0 - share).ln())
            },
            unlisted: Some(milli(is_code - unlisted + spelled)),
            ..plain
        }
    }

    /// Price of a part being marked with this kind of name.
    pub(crate) fn price(&self, kind: EntryKind, whole: bool) -> MilliNat {
        let piece = if whole { 0 } else { self.piece };
        match kind {
            EntryKind::Name => self.name.saturating_add(piece),
            EntryKind::Alias => self.alias.saturating_add(piece),
            EntryKind::Code => self.code,
        }
    }

    /// Price of a part number that nobody listed, besides that of its text.
    pub(crate) fn unlisted_name(&self) -> MilliNat {
        self.piece
    }

    /// The least of all codes and of names that may be as short as a code; or of longer names, of which a text
    /// that may be a code is never the whole.
    pub(crate) fn least(&self, brief: bool) -> MilliNat {
        let name = self.name.min(self.alias);
        match brief {
            true => name.min(self.code),
            false => name.saturating_add(self.piece),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use record::marking::Seen;

    fn prices(text: &str, small: Option<bool>, listed: usize) -> KindPrices {
        let costs = Costs::default();
        let mut query = Query::default();
        query.set(Seen::parse(text).unwrap().lines[0].glyphs.iter(), &costs);
        KindPrices::new(&query, small, false, (listed, 9000), &costs)
    }

    #[test]
    fn a_piece_of_a_name_is_dear_where_codes_are_expected() {
        let tiny = prices("K72", Some(true), 0);
        assert!(tiny.price(EntryKind::Name, false) > tiny.price(EntryKind::Name, true) + 3000);
        assert_eq!(prices("K72", Some(false), 0).unlisted, None);
        assert_eq!(prices("K7255", Some(true), 0).unlisted, None);
    }

    #[test]
    fn a_longer_code_that_agrees_says_more() {
        let rest = |text: &str| {
            let tiny = prices(text, Some(true), 100);
            tiny.unlisted.unwrap() - 9000 - tiny.price(EntryKind::Code, true)
        };
        assert!(rest("K7") > 0 && rest("K72") > rest("K7") && rest("K72B") > rest("K72"));
        // Among few codes of a catalogue the one that was read is seldom.
        let rest = |listed| {
            let tiny = prices("K", Some(true), listed);
            tiny.unlisted.unwrap() - 9000 - tiny.price(EntryKind::Code, true)
        };
        assert!(rest(1) < 0, "{}", rest(1));
    }
}
