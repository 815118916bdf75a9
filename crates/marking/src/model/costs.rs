//! The cost table: data, not code.
//!
//! In: text as in `costs.toml`. Out: [`Costs`], with every price in thousandths of a nat as a whole
//! number, so that rankings are exact and repeat on every machine.
//! Not here: using the prices (`align`), making new ones (`learn`).

use crate::symbol::{PLACEHOLDER, PLAIN, SYMBOLS, Symbol, shown, symbol};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Thousandths of a nat.
pub type MilliNat = i32;

/// More than any alignment costs.
pub(crate) const NEVER: MilliNat = 1 << 28;

/// So many placeholders of a name do not count against the dearest alignment.
const MOST_FILLED: MilliNat = 4;

const BUILT_IN: &str = include_str!("../../costs.toml");

/// Converts nats; the result is rounded.
#[allow(clippy::cast_possible_truncation, reason = "clamped before")]
pub(crate) fn milli(nats: f64) -> MilliNat {
    (nats * 1000.0).round().clamp(-1e8, 1e8) as MilliNat
}

/// Converts to nats.
pub(crate) fn nats(cost: MilliNat) -> f64 {
    f64::from(cost) / 1000.0
}

/// Prices inside a text.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the keys are explained in costs.toml")]
pub struct EditCosts {
    pub lost: f64,
    pub extra: f64,
    pub other: f64,
    pub placeholder: f64,
    pub exchanged: f64,
    pub doubled: f64,
    pub beside: f64,
    pub miscounted: f64,
}

/// Prices at the ends of a text.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the keys are explained in costs.toml")]
pub struct EndCosts {
    pub rubbed_open: f64,
    pub rubbed_each: f64,
    pub gap_empty: f64,
    pub gap_each: f64,
    pub prefix_dropped: f64,
    pub suffix_dropped: f64,
    pub added_open: f64,
    pub added_each: f64,
}

/// Prices of how lines are laid out.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the keys are explained in costs.toml")]
pub struct LineCosts {
    pub split: f64,
    pub space: f64,
    pub glued: f64,
}

/// Short top-marking codes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the keys are explained in costs.toml")]
pub struct CodeCosts {
    pub share_small: f64,
    pub share_any: f64,
    pub in_use: f64,
    pub character: f64,
    pub lot_letter: f64,
}

/// Prices of what a part may carry.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the keys are explained in costs.toml")]
pub struct NameCosts {
    pub name: f64,
    pub alias: f64,
    pub code: f64,
}

/// Shares of hypotheses.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the keys are explained in costs.toml")]
pub struct HypothesisShares {
    pub unknown_share: f64,
    pub variant_share: f64,
    pub variant_place: f64,
    pub variant_ending: f64,
    pub variant_inside: f64,
    pub variant_added: f64,
    pub variant_added_each: f64,
    pub variant_same: f64,
    pub unworn_share: f64,
    pub badly_worn_share: f64,
    pub badly_worn_each: f64,
    pub cut_share: f64,
    pub farthest: f64,
    pub slip_farthest: f64,
}

/// Log-odds of clues, nats.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the keys are explained in costs.toml")]
pub struct ClueOdds {
    pub package_equal: f64,
    pub package_family: f64,
    pub package_other: f64,
    pub pins_equal: f64,
    pub pins_pad: f64,
    pub pins_other: f64,
    pub body_equal: f64,
    pub body_other: f64,
    pub body_sd_mm: f64,
    pub pitch_equal: f64,
    pub pitch_other: f64,
    pub maker_equal: f64,
    pub maker_other: f64,
    pub role_missing: f64,
    pub role_other: f64,
    pub seen_before_weight: f64,
    pub code_on_large: f64,
    pub name_on_small: f64,
}

/// The table as written, nats.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the tables are explained in costs.toml")]
pub struct CostTable {
    pub inside: EditCosts,
    pub ends: EndCosts,
    pub lines: LineCosts,
    pub codes: CodeCosts,
    pub names: NameCosts,
    pub prior: HypothesisShares,
    pub clues: ClueOdds,
    pub look_alike: BTreeMap<String, f64>,
}

/// Why a text is not a cost table.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CostError {
    /// The text is not TOML of the expected form.
    #[error("the cost table cannot be read: {0}")]
    Form(String),
    /// A price is negative, not a number, or too large.
    #[error(
        "the price `{key}` must lie between 0.01 and 50 nats (`farthest`: 1 and 200), found {value}"
    )]
    Price {
        /// Key in the table.
        key: String,
        /// What was found.
        value: f64,
    },
    /// A share or spread is outside its range.
    #[error("`{key}` must lie above 0 and below 1, found {value}")]
    Share {
        /// Key in the table.
        key: &'static str,
        /// What was found.
        value: f64,
    },
    /// A look-alike key does not name two characters.
    #[error("the look-alike \"{0}\" does not name two different digits or letters")]
    Pair(String),
    /// A log-odds is not a usable number.
    #[error("the clue `{0}` must lie between -20 and 20 nats")]
    Clue(String),
}

/// Prices of one change that makes a known name that of an unknown part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct VariantCosts {
    /// Another character, besides what that character costs between its neighbours.
    pub(crate) place: MilliNat,
    /// A beginning or an end missing.
    pub(crate) ending: MilliNat,
    /// A character more or less inside.
    pub(crate) inside: MilliNat,
    /// Characters more at an end: once, and for each.
    pub(crate) added: MilliNat,
    pub(crate) added_each: MilliNat,
    /// Any change of which the text shows nothing.
    pub(crate) same: MilliNat,
}

impl VariantCosts {
    /// Price of so many characters more at an end.
    pub(crate) fn more(&self, n: usize) -> MilliNat {
        let n = MilliNat::try_from(n).unwrap_or(NEVER / 1_000_000);
        self.added.saturating_add(n.saturating_mul(self.added_each))
    }
}

/// Prices, ready for use.
#[derive(Debug, Clone)]
pub struct Costs {
    table: CostTable,
    /// Row by the symbol seen, column by the symbol of the name.
    pub(crate) swap: Vec<[MilliNat; SYMBOLS]>,
    pub(crate) lost: MilliNat,
    pub(crate) extra: MilliNat,
    pub(crate) other: MilliNat,
    pub(crate) exchanged: MilliNat,
    pub(crate) doubled: MilliNat,
    pub(crate) miscounted: MilliNat,
    pub(crate) rubbed_open: MilliNat,
    pub(crate) rubbed_each: MilliNat,
    pub(crate) gap_empty: MilliNat,
    pub(crate) gap_each: MilliNat,
    pub(crate) prefix_dropped: MilliNat,
    pub(crate) suffix_dropped: MilliNat,
    pub(crate) added_open: MilliNat,
    pub(crate) added_each: MilliNat,
    pub(crate) split: MilliNat,
    pub(crate) space: MilliNat,
    pub(crate) glued: MilliNat,
    pub(crate) variant: VariantCosts,
    /// Price of a text in which every character was read belonging to a worn marking.
    pub(crate) worn: MilliNat,
    pub(crate) cut: MilliNat,
    pub(crate) farthest: MilliNat,
    /// The same besides a slip of the one who read.
    pub(crate) slip_farthest: MilliNat,
}

impl Default for Costs {
    fn default() -> Self {
        Self::parse(BUILT_IN).expect("the built-in table is tested")
    }
}

impl CostTable {
    /// Writes the table as TOML that [`Costs::parse`] reads.
    pub fn to_toml(&self) -> String {
        let value = serde_json::to_value(self).unwrap_or_default();
        let mut out = String::new();
        for (table, entries) in value.as_object().into_iter().flatten() {
            let _ = writeln!(out, "[{table}]");
            for (key, price) in entries.as_object().into_iter().flatten() {
                let _ = writeln!(out, "\"{key}\" = {:?}", price.as_f64().unwrap_or(0.0));
            }
            out.push('\n');
        }
        out
    }
}

impl Costs {
    /// Reads a cost table.
    ///
    /// # Errors
    /// The first fault: not TOML, a key missing or unknown, a price out of range.
    pub fn parse(text: &str) -> Result<Self, CostError> {
        let table: CostTable =
            toml_edit::de::from_str(text).map_err(|e| CostError::Form(e.to_string()))?;
        Self::new(table)
    }

    /// Takes a table over.
    ///
    /// # Errors
    /// The first price out of range.
    pub fn new(table: CostTable) -> Result<Self, CostError> {
        check(&table)?;
        let other = milli(table.inside.other);
        let placeholder = milli(table.inside.placeholder);
        let mut swap = vec![[other; SYMBOLS]; SYMBOLS];
        for (s, row) in swap.iter_mut().enumerate() {
            row[s] = 0;
            row[usize::from(PLACEHOLDER)] = placeholder;
        }
        for (a, b) in keys_beside() {
            let price = milli(table.inside.beside).min(other);
            swap[usize::from(a)][usize::from(b)] = price;
            swap[usize::from(b)][usize::from(a)] = price;
        }
        for (pair, price) in &table.look_alike {
            let (name, seen, both) = characters(pair)?;
            swap[usize::from(seen)][usize::from(name)] = milli(*price);
            if both && !table.look_alike.contains_key(&key(seen, name)) {
                swap[usize::from(name)][usize::from(seen)] = milli(*price);
            }
        }
        let ends = table.ends;
        Ok(Self {
            swap,
            lost: milli(table.inside.lost),
            extra: milli(table.inside.extra),
            other,
            exchanged: milli(table.inside.exchanged),
            doubled: milli(table.inside.doubled),
            miscounted: milli(table.inside.miscounted),
            rubbed_open: milli(ends.rubbed_open),
            rubbed_each: milli(ends.rubbed_each),
            gap_empty: milli(ends.gap_empty),
            gap_each: milli(ends.gap_each),
            prefix_dropped: milli(ends.prefix_dropped),
            suffix_dropped: milli(ends.suffix_dropped),
            added_open: milli(ends.added_open),
            added_each: milli(ends.added_each),
            split: milli(table.lines.split),
            space: milli(table.lines.space),
            glued: milli(table.lines.glued),
            variant: VariantCosts {
                place: milli(table.prior.variant_place),
                ending: milli(table.prior.variant_ending),
                inside: milli(table.prior.variant_inside),
                added: milli(table.prior.variant_added),
                added_each: milli(table.prior.variant_added_each),
                same: milli(table.prior.variant_same),
            },
            worn: milli(-(1.0 - table.prior.unworn_share).ln()),
            cut: milli(-table.prior.cut_share.ln()),
            farthest: milli(table.prior.farthest),
            slip_farthest: milli(table.prior.slip_farthest),
            table,
        })
    }

    /// Returns the table as written.
    pub fn table(&self) -> &CostTable {
        &self.table
    }

    /// The dearest alignment that is considered with a name, with or without placeholders, when
    /// `farthest` is it for one without: what stands for placeholders is no misreading.
    pub(crate) fn farthest_of(&self, farthest: MilliNat, open: bool) -> MilliNat {
        if open {
            let filled = MOST_FILLED * milli(self.table.inside.placeholder);
            farthest
                .saturating_add(filled)
                .min(self.farthest.max(farthest))
        } else {
            farthest
        }
    }

    /// What wear of this price costs less because some markings are badly worn as a whole: a share of
    /// them, in which each thing that happened costs less than it does by itself.
    pub(crate) fn relief(&self, wear: MilliNat) -> MilliNat {
        let prior = &self.table.prior;
        let less = ((1.0 - prior.badly_worn_each) * nats(wear.max(0))).exp_m1();
        milli((prior.badly_worn_share * less).ln_1p())
    }

    /// Price of `n` symbols at the start of a name that were not seen.
    pub(crate) fn lead(&self, n: usize, prefix: u8, gap: bool) -> MilliNat {
        self.missing(n, prefix, gap, self.prefix_dropped)
    }

    /// Price of `n` symbols at the end of a name that were not seen.
    pub(crate) fn tail(&self, n: usize, suffix: u8, gap: bool) -> MilliNat {
        self.missing(n, suffix, gap, self.suffix_dropped)
    }

    fn missing(&self, n: usize, whole: u8, gap: bool, dropped: MilliNat) -> MilliNat {
        // NameCosts have at most `LONGEST` symbols.
        let count = MilliNat::try_from(n).unwrap_or(NEVER / 1000);
        if gap {
            return match count {
                0 => self.gap_empty,
                n => n * self.gap_each,
            };
        }
        match n {
            0 => 0,
            n if n == usize::from(whole) => {
                dropped.min(self.rubbed_open + count * self.rubbed_each)
            }
            _ => self.rubbed_open + count * self.rubbed_each,
        }
    }

    /// Price of `n` symbols seen before or after the name.
    pub(crate) fn added(&self, n: usize) -> MilliNat {
        match MilliNat::try_from(n) {
            Ok(0) => 0,
            Ok(n) if n < 1000 => self.added_open + n * self.added_each,
            _ => NEVER,
        }
    }
}

/// Rows of keys, ISO/IEC 9995 as it is laid out for English; each row stands half a key to the right of the one
/// above it.
const KEYS: [&str; 4] = ["1234567890", "QWERTYUIOP", "ASDFGHJKL", "ZXCVBNM"];

/// Symbols whose keys touch: beside each other in a row, and above and below between two rows.
fn keys_beside() -> impl Iterator<Item = (Symbol, Symbol)> {
    let row = KEYS
        .iter()
        .flat_map(|row| row.chars().zip(row.chars().skip(1)));
    let below = KEYS.iter().zip(&KEYS[1..]).flat_map(|(above, below)| {
        let left = above.chars().zip(below.chars());
        left.chain(above.chars().skip(1).zip(below.chars()))
    });
    row.chain(below)
        .filter_map(|(a, b)| Some((symbol(a)?, symbol(b)?)))
}

/// Writes the key of one direction: true character, `>`, character seen.
pub(crate) fn key(name: Symbol, seen: Symbol) -> String {
    format!("{}>{}", shown(name), shown(seen))
}

fn characters(pair: &str) -> Result<(Symbol, Symbol, bool), CostError> {
    let wrong = || CostError::Pair(pair.to_string());
    let chars: Vec<char> = pair.chars().collect();
    let (name, seen, both) = match chars[..] {
        [a, b] => (a, b, true),
        [a, '>', b] => (a, b, false),
        _ => return Err(wrong()),
    };
    match (symbol(name), symbol(seen)) {
        (Some(a), Some(b)) if a != b && usize::from(a.max(b)) < PLAIN => Ok((a, b, both)),
        _ => Err(wrong()),
    }
}

fn check(table: &CostTable) -> Result<(), CostError> {
    let value = serde_json::to_value(table).unwrap_or_default();
    for (name, entries) in value.as_object().into_iter().flatten() {
        for (key, price) in entries.as_object().into_iter().flatten() {
            // What is not finite is written as null.
            let value = price.as_f64().unwrap_or(f64::NAN);
            match name.as_str() {
                "prior" | "codes" => {}
                "clues" if (-20.0..=20.0).contains(&value) => {}
                "clues" => return Err(CostError::Clue(key.clone())),
                "ends" | "lines" | "names" if (0.0..=50.0).contains(&value) => {}
                _ if (0.01..=50.0).contains(&value) => {}
                _ => {
                    let key = key.clone();
                    return Err(CostError::Price { key, value });
                }
            }
        }
    }
    for (key, value) in [
        ("unknown-share", table.prior.unknown_share),
        ("variant-share", table.prior.variant_share),
        ("unworn-share", table.prior.unworn_share),
        ("badly-worn-share", table.prior.badly_worn_share),
        ("badly-worn-each", table.prior.badly_worn_each),
        ("cut-share", table.prior.cut_share),
        ("share-small", table.codes.share_small),
        ("share-any", table.codes.share_any),
    ] {
        if !(value > 0.0 && value < 1.0) {
            return Err(CostError::Share { key, value });
        }
    }
    for (key, value) in [
        ("variant-place", table.prior.variant_place),
        ("variant-ending", table.prior.variant_ending),
        ("variant-inside", table.prior.variant_inside),
        ("variant-added", table.prior.variant_added),
        ("variant-added-each", table.prior.variant_added_each),
        ("variant-same", table.prior.variant_same),
        ("slip-farthest", table.prior.slip_farthest),
        ("character", table.codes.character),
        ("lot-letter", table.codes.lot_letter),
    ] {
        if !(0.01..=50.0).contains(&value) {
            let key = key.to_string();
            return Err(CostError::Price { key, value });
        }
    }
    let value = table.prior.farthest;
    if !(1.0..=200.0).contains(&value) {
        let key = "farthest".to_string();
        return Err(CostError::Price { key, value });
    }
    for (key, value) in [
        ("body-sd-mm", table.clues.body_sd_mm),
        ("seen-before-weight", table.clues.seen_before_weight),
        ("in-use", table.codes.in_use),
    ] {
        if value <= 0.0 {
            return Err(CostError::Clue(key.to_string()));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_written_and_read_again() {
        let costs = Costs::default();
        let again = Costs::parse(&costs.table().to_toml()).unwrap();
        assert_eq!(again.table(), costs.table());
        assert_eq!(again.swap, costs.swap);
    }

    #[test]
    fn look_alikes_are_cheaper_than_others_in_both_directions() {
        let costs = Costs::default();
        let at = |seen, name| {
            costs.swap[usize::from(symbol(seen).unwrap())][usize::from(symbol(name).unwrap())]
        };
        assert_eq!((at('8', 'B'), at('B', '8')), (2000, 2000));
        assert_eq!(at('8', 'W'), costs.other);
        assert!(at('8', '0') < at('Q', 'W'));
        // Keys beside each other that do not look alike.
        assert_eq!((at('Q', 'W'), at('Z', 'S')), (7000, 7000));
        assert_eq!(at('8', '8'), 0);
    }

    #[test]
    fn faults_are_named() {
        let built_in = BUILT_IN;
        let with = |from: &str, to: &str| Costs::parse(&built_in.replace(from, to)).unwrap_err();
        assert!(matches!(
            with("0O = 2.4", "0O = -1"),
            CostError::Price { .. }
        ));
        assert!(matches!(with("0O = 2.4", "00 = 1"), CostError::Pair(_)));
        assert!(matches!(
            with("0O = 2.4", "0O = nan"),
            CostError::Price { .. }
        ));
        assert!(matches!(
            with("lost = 7.0", "last = 7.0"),
            CostError::Form(_)
        ));
        assert!(matches!(
            with("unknown-share = 0.18", "unknown-share = 1"),
            CostError::Share { .. }
        ));
        assert!(matches!(
            with("pins-pad = 0.8", "pins-pad = 80"),
            CostError::Clue(_)
        ));
    }
}
