//! What the catalogue knows of each part, and how well it fits the clues.
//!
//! In: parts, and [`Clues`] of one part on a board. Out: a [`Factor`] for each clue, or their sum.
//! A clue that the catalogue cannot answer is worth nothing either way.
//! Not here: the kinds of clues (`clues`), equal words (`vocabulary`).

use crate::clues::{ClueKind, Clues, Factor};
use crate::model::costs::{ClueOdds, MilliNat, milli, nats};
use crate::packages::Packages;
use crate::stored::{StoredError, ensure, put, take, take_begins, take_exactly};
use crate::symbol::EncodedName;
use crate::vocabulary::{Vocabulary, family, is_small, plain};
use catalogue::Part;
use std::io::{self, Read, Write};

/// Bodies up to this length carry codes, mm.
const SMALL_BODY_MM: f64 = 3.2;
/// A name longer than this does not fit a small body.
const FITS_SMALL: usize = 7;

#[derive(Debug, Clone, Copy, Default)]
struct Attributes {
    pins: Option<u32>,
    body_mm: Option<[f32; 2]>,
    pitch_mm: Option<f32>,
    maker: u32,
    role: u32,
    small: Option<bool>,
}

/// What the catalogue knows of each part.
#[derive(Debug, Clone, Default)]
pub(crate) struct PartAttributes {
    rows: Vec<Attributes>,
    /// Package and family of each part, and where those of each part begin.
    packages: Vec<(u32, u32)>,
    begins: Vec<u32>,
    equal_packages: Packages,
    package_words: Vocabulary,
    family_words: Vocabulary,
    maker_words: Vocabulary,
    role_words: Vocabulary,
}

/// The clues of one question, in numbers.
#[derive(Debug, Clone, Default)]
pub(crate) struct WeighedClues {
    package: Option<(u32, u32)>,
    pins: Option<u32>,
    body_mm: Option<[f64; 2]>,
    pitch_mm: Option<f64>,
    maker: Option<u32>,
    roles: Vec<u32>,
    pub(crate) small: Option<bool>,
    /// Parts seen before and their log-odds; that of all others.
    pub(crate) seen_before: Vec<(u32, MilliNat)>,
    unseen: Option<MilliNat>,
    /// The most that all clues together can speak for a part not seen before.
    most: MilliNat,
}

impl PartAttributes {
    pub(crate) fn new(parts: &[Part]) -> Self {
        let mut out = Self {
            begins: vec![0],
            ..Self::default()
        };
        for part in parts {
            let mut sizes = Vec::new();
            for package in &part.packages {
                let word = out.equal_packages.word(package);
                let name = family(&word);
                sizes.push(is_small(&word, part.pins));
                let numbers = (
                    out.package_words.number(word),
                    out.family_words.number(name),
                );
                out.packages.push(numbers);
            }
            out.begins
                .push(u32::try_from(out.packages.len()).unwrap_or(u32::MAX));
            let small = match part.body_mm {
                Some([long, _]) => Some(long <= SMALL_BODY_MM),
                None if sizes.contains(&Some(false)) => Some(false),
                None => sizes.iter().copied().reduce(|a, b| a.and(b)).flatten(),
            };
            #[allow(
                clippy::cast_possible_truncation,
                reason = "millimetres to seven digits"
            )]
            out.rows.push(Attributes {
                pins: part.pins,
                body_mm: part.body_mm.map(|sides| ordered(sides).map(|mm| mm as f32)),
                pitch_mm: part.pitch_mm.map(|mm| mm as f32),
                maker: out.maker_words.number(plain(&part.maker)),
                role: out.role_words.number(plain(&part.role)),
                small,
            });
        }
        out
    }

    /// Writes what is known of each part.
    pub(crate) fn put(&self, to: &mut dyn Write) -> io::Result<()> {
        let rows = &self.rows;
        let some = |of: fn(&Attributes) -> f32| rows.iter().map(of).collect::<Vec<f32>>();
        put(to, &some(|r| r.body_mm.map_or(f32::NAN, |[long, _]| long)))?;
        put(
            to,
            &some(|r| r.body_mm.map_or(f32::NAN, |[_, short]| short)),
        )?;
        put(to, &some(|r| r.pitch_mm.unwrap_or(f32::NAN)))?;
        let some = |of: fn(&Attributes) -> u32| rows.iter().map(of).collect::<Vec<u32>>();
        put(to, &some(|r| r.pins.unwrap_or(u32::MAX)))?;
        put(to, &some(|r| r.maker))?;
        put(to, &some(|r| r.role))?;
        put(
            to,
            &rows
                .iter()
                .map(|r| r.small.map_or(2, u8::from))
                .collect::<Vec<u8>>(),
        )?;
        put(to, &self.packages.iter().map(|p| p.0).collect::<Vec<u32>>())?;
        put(to, &self.packages.iter().map(|p| p.1).collect::<Vec<u32>>())?;
        put(to, &self.begins)?;
        for words in [
            &self.package_words,
            &self.family_words,
            &self.maker_words,
            &self.role_words,
        ] {
            words.put(to)?;
        }
        Ok(())
    }

    /// Reads what is known of so many parts.
    pub(crate) fn take(from: &mut dyn Read, parts: usize) -> Result<Self, StoredError> {
        let what = "attributes";
        let known = |mm: f32| (!mm.is_nan()).then_some(mm);
        let [long, short, pitch] = {
            let mut next = || take_exactly::<f32>(from, parts, what);
            [next()?, next()?, next()?]
        };
        let [pins, maker, role] = {
            let mut next = || take_exactly::<u32>(from, parts, what);
            [next()?, next()?, next()?]
        };
        let small = take_exactly::<u8>(from, parts, what)?;
        let rows = (0..parts).map(|at| Attributes {
            pins: Some(pins[at]).filter(|n| *n != u32::MAX),
            body_mm: known(long[at]).zip(known(short[at])).map(|(a, b)| [a, b]),
            pitch_mm: known(pitch[at]),
            maker: maker[at],
            role: role[at],
            small: Some(small[at] == 1).filter(|_| small[at] < 2),
        });
        let rows = rows.collect();
        let packages: Vec<u32> = take(from)?;
        let families = take_exactly::<u32>(from, packages.len(), what)?;
        let begins = take_begins(from, packages.len(), what)?;
        ensure(begins.len() == parts + 1, what)?;
        let mut words = || Vocabulary::take(from);
        Ok(Self {
            rows,
            packages: packages.into_iter().zip(families).collect(),
            begins,
            equal_packages: Packages::default(),
            package_words: words()?,
            family_words: words()?,
            maker_words: words()?,
            role_words: words()?,
        })
    }

    /// Whether a text is the name of a maker in the catalogue.
    pub(crate) fn is_maker(&self, text: &str) -> bool {
        self.maker_words.has(&plain(text))
    }

    /// Number of makers.
    pub(crate) fn makers(&self) -> usize {
        self.maker_words.len()
    }

    /// Weighs clues; `rows` finds the parts with a name.
    pub(crate) fn weigh(
        &self,
        clues: &Clues,
        logo: Option<&str>,
        odds: &ClueOdds,
        rows: impl Fn(&EncodedName) -> Vec<u32>,
    ) -> WeighedClues {
        let usable = |mm: &f64| mm.is_finite() && *mm > 0.0;
        let words = |text: &str| !plain(text).is_empty();
        let maker = clues.maker.as_deref().filter(|m| words(m)).or(logo);
        let package = clues.package.as_deref().filter(|p| words(p));
        let package = package.map(|p| self.equal_packages.word(p));
        let body_mm = clues
            .body_mm
            .filter(|sides| sides.iter().all(usable))
            .map(ordered);
        let mut out = WeighedClues {
            package: package.as_deref().map(|p| {
                (
                    self.package_words.find(p),
                    self.family_words.find(&family(p)),
                )
            }),
            pins: clues.pins,
            body_mm,
            pitch_mm: clues.pitch_mm.filter(usable),
            maker: maker.map(|m| self.maker_words.find(&plain(m))),
            roles: clues
                .roles_missing
                .iter()
                .map(|r| self.role_words.find(&plain(r)))
                .collect(),
            small: match body_mm {
                Some([long, _]) => Some(long <= SMALL_BODY_MM),
                None => package.as_deref().and_then(|p| is_small(p, clues.pins)),
            },
            ..WeighedClues::default()
        };
        self.weigh_history(clues, odds, rows, &mut out);
        out.most = self.most(&out, odds);
        out
    }

    fn weigh_history(
        &self,
        clues: &Clues,
        odds: &ClueOdds,
        rows: impl Fn(&EncodedName) -> Vec<u32>,
        out: &mut WeighedClues,
    ) {
        let total: f64 = clues.seen_before.iter().map(|s| f64::from(s.count)).sum();
        if total <= 0.0 {
            return;
        }
        let weight = odds.seen_before_weight;
        // Catalogues have fewer than 2^28 parts.
        #[allow(clippy::cast_precision_loss, reason = "exact below 2^53")]
        let parts = self.rows.len() as f64;
        let unseen = (weight / (total + weight)).ln();
        out.unseen = Some(milli(unseen));
        for seen in &clues.seen_before {
            let more = (f64::from(seen.count) * parts / weight).ln_1p();
            for row in rows(&EncodedName::of(&seen.name)) {
                out.seen_before.push((row, milli(unseen + more)));
            }
        }
        // Named twice: the larger count holds.
        out.seen_before
            .sort_unstable_by_key(|(row, odds)| (*row, std::cmp::Reverse(*odds)));
        out.seen_before.dedup_by_key(|(row, _)| *row);
    }

    fn most(&self, w: &WeighedClues, odds: &ClueOdds) -> MilliNat {
        let mut sum = w.unseen.unwrap_or(0);
        if let Some((package, family)) = w.package {
            sum += match (package, family) {
                (p, _) if p != u32::MAX => milli(
                    odds.package_equal
                        .max(odds.package_family)
                        .max(odds.package_other),
                ),
                (_, f) if f != u32::MAX => milli(odds.package_family.max(odds.package_other)),
                _ => milli(odds.package_other),
            }
            .max(0);
        }
        let most = |given: bool, all: &[f64]| match given {
            true => all.iter().map(|x| milli(*x)).max().unwrap_or(0).max(0),
            false => 0,
        };
        sum += most(
            w.pins.is_some(),
            &[odds.pins_equal, odds.pins_pad, odds.pins_other],
        );
        sum += most(w.body_mm.is_some(), &[odds.body_equal, odds.body_other]);
        sum += most(w.pitch_mm.is_some(), &[odds.pitch_equal, odds.pitch_other]);
        sum += match w.maker {
            Some(u32::MAX) => milli(odds.maker_other).max(0),
            given => most(given.is_some(), &[odds.maker_equal, odds.maker_other]),
        };
        sum += most(!w.roles.is_empty(), &[odds.role_missing, odds.role_other]);
        sum + most(true, &[odds.code_on_large, odds.name_on_small])
    }

    /// Calls `each` with every clue that says something about a part.
    fn factors_of(
        &self,
        part: u32,
        code: bool,
        symbols: usize,
        w: &WeighedClues,
        odds: &ClueOdds,
        mut each: impl FnMut(ClueKind, MilliNat),
    ) {
        let row = part as usize;
        let known = &self.rows[row];
        if let Some((package, family)) = w.package {
            let known = &self.packages[self.begins[row] as usize..self.begins[row + 1] as usize];
            let one = |&(p, f): &(u32, u32)| match () {
                () if p == package => odds.package_equal,
                () if f == family => odds.package_family,
                () => odds.package_other,
            };
            if let Some(best) = known.iter().map(one).reduce(f64::max) {
                each(ClueKind::Package, milli(best));
            }
        }
        if let (Some(a), Some(b)) = (w.pins, known.pins) {
            each(
                ClueKind::Pins,
                milli(match a.abs_diff(b) {
                    0 => odds.pins_equal,
                    1 => odds.pins_pad,
                    _ => odds.pins_other,
                }),
            );
        }
        if let (Some(a), Some(b)) = (w.body_mm, known.body_mm) {
            let off = |i: usize| (a[i] - f64::from(b[i])) / odds.body_sd_mm;
            let chi = off(0).powi(2) + off(1).powi(2);
            each(
                ClueKind::Body,
                milli((odds.body_equal - chi / 2.0).max(odds.body_other.min(odds.body_equal))),
            );
        }
        if let (Some(a), Some(b)) = (w.pitch_mm, known.pitch_mm) {
            let equal = (a - f64::from(b)).abs() <= PITCH_EQUAL_MM;
            each(
                ClueKind::Pitch,
                milli(if equal {
                    odds.pitch_equal
                } else {
                    odds.pitch_other
                }),
            );
        }
        if let (Some(a), true) = (w.maker, known.maker != 0) {
            let equal = a == known.maker;
            each(
                ClueKind::Maker,
                milli(if equal {
                    odds.maker_equal
                } else {
                    odds.maker_other
                }),
            );
        }
        if !w.roles.is_empty() && known.role != 0 {
            let equal = w.roles.contains(&known.role);
            each(
                ClueKind::Role,
                milli(if equal {
                    odds.role_missing
                } else {
                    odds.role_other
                }),
            );
        }
        if let Some(unseen) = w.unseen {
            let seen = w.seen_before.iter().find(|(row, _)| *row == part);
            each(ClueKind::SeenBefore, seen.map_or(unseen, |(_, odds)| *odds));
        }
        match w.small.or(known.small) {
            Some(false) if code => each(ClueKind::Room, milli(odds.code_on_large)),
            Some(true) if !code && symbols > FITS_SMALL => {
                each(ClueKind::Room, milli(odds.name_on_small));
            }
            _ => {}
        }
    }

    /// Returns which package of a part agrees best with that of the clues, the first of equal ones.
    pub(crate) fn agreeing_package(&self, part: u32, w: &WeighedClues) -> Option<usize> {
        let row = part as usize;
        let known = &self.packages[self.begins[row] as usize..self.begins[row + 1] as usize];
        let (package, family) = w.package.unwrap_or((u32::MAX, u32::MAX));
        (0..known.len()).min_by_key(|i| match known[*i] {
            (p, _) if p == package => 0,
            (_, f) if f == family => 1,
            _ => 2,
        })
    }

    /// What all clues together say about a part.
    pub(crate) fn log_odds(
        &self,
        part: u32,
        code: bool,
        symbols: usize,
        w: &WeighedClues,
        odds: &ClueOdds,
    ) -> MilliNat {
        let mut sum = 0;
        self.factors_of(part, code, symbols, w, odds, |_, log_odds| sum += log_odds);
        sum
    }

    /// The most the clues can speak for a part not seen before.
    pub(crate) fn most_of(w: &WeighedClues) -> MilliNat {
        w.most
    }

    /// Returns the clues that say something about a part.
    pub(crate) fn factors(
        &self,
        part: u32,
        code: bool,
        symbols: usize,
        w: &WeighedClues,
        odds: &ClueOdds,
    ) -> Vec<Factor> {
        let mut out = Vec::new();
        self.factors_of(part, code, symbols, w, odds, |clue, log_odds| {
            out.push(Factor {
                clue,
                log_odds: nats(log_odds),
            });
        });
        out
    }

    /// Bytes held, words not counted.
    pub(crate) fn bytes(&self) -> usize {
        self.rows.len() * size_of::<Attributes>() + self.packages.len() * 8 + self.begins.len() * 4
    }
}

/// Pitches this close are the same, mm.
const PITCH_EQUAL_MM: f64 = 0.03;

fn ordered([a, b]: [f64; 2]) -> [f64; 2] {
    [a.max(b), a.min(b)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clues::SeenBefore;

    fn marks() -> PartAttributes {
        let part = |name: &str, package: &str, pins, maker: &str| Part {
            name: name.into(),
            packages: vec![package.into()],
            pins: Some(pins),
            maker: maker.into(),
            role: "charger".into(),
            body_mm: Some([4.0, 3.0]),
            pitch_mm: Some(0.5),
            ..Part::default()
        };
        PartAttributes::new(&[
            part("ZUC30", "QFN-16", 16, "Zulmarik"),
            part("TH310", "VQFN-17", 17, "Threndova"),
            part("OVP1", "SOT-23-6", 6, ""),
        ])
    }

    fn log_odds(clues: &Clues, part: u32) -> Vec<(ClueKind, f64)> {
        let odds = crate::Costs::default().table().clues;
        let marks = marks();
        let w = marks.weigh(clues, None, &odds, |_| Vec::new());
        let factors = marks.factors(part, false, 5, &w, &odds);
        factors.into_iter().map(|f| (f.clue, f.log_odds)).collect()
    }

    #[test]
    fn packages_are_equal_of_one_family_or_different() {
        let clues = Clues {
            package: Some("qfn 16".into()),
            ..Clues::default()
        };
        assert_eq!(log_odds(&clues, 0), [(ClueKind::Package, 2.1)]);
        assert_eq!(log_odds(&clues, 1), [(ClueKind::Package, 0.7)]);
        assert_eq!(log_odds(&clues, 2), [(ClueKind::Package, -3.0)]);
    }

    #[test]
    fn other_names_of_a_package_are_the_same_and_the_agreeing_one_is_told() {
        let part = Part {
            packages: vec!["PDIP-16".into(), "HVQFN-16-1EP".into()],
            ..Part::default()
        };
        let marks = PartAttributes::new(&[part]);
        let odds = crate::Costs::default().table().clues;
        for (package, agreeing) in [("DIP-16", 0), ("QFN-16", 1), ("qfn", 1), ("BGA-9", 0)] {
            let clues = Clues {
                package: Some(package.into()),
                ..Clues::default()
            };
            let w = marks.weigh(&clues, None, &odds, |_| Vec::new());
            assert_eq!(marks.agreeing_package(0, &w), Some(agreeing), "{package}");
        }
    }

    #[test]
    fn a_pad_counted_as_a_pin_is_not_a_contradiction() {
        let clues = Clues {
            pins: Some(16),
            ..Clues::default()
        };
        assert_eq!(log_odds(&clues, 0), [(ClueKind::Pins, 2.0)]);
        assert_eq!(log_odds(&clues, 1), [(ClueKind::Pins, 0.8)]);
        assert_eq!(log_odds(&clues, 2), [(ClueKind::Pins, -4.0)]);
    }

    #[test]
    fn what_the_catalogue_does_not_know_says_nothing() {
        let clues = Clues {
            maker: Some("Zulmarik".into()),
            ..Clues::default()
        };
        assert_eq!(log_odds(&clues, 0), [(ClueKind::Maker, 2.5)]);
        assert_eq!(log_odds(&clues, 1), [(ClueKind::Maker, -3.0)]);
        assert_eq!(log_odds(&clues, 2), []);
    }

    #[test]
    fn size_and_pitch_are_weighed_in_any_orientation() {
        let clues = Clues {
            body_mm: Some([3.0, 4.12]),
            pitch_mm: Some(0.65),
            ..Clues::default()
        };
        assert_eq!(
            log_odds(&clues, 0),
            [(ClueKind::Body, 1.0), (ClueKind::Pitch, -2.5)]
        );
        let odd = Clues {
            body_mm: Some([f64::NAN, 4.0]),
            ..Clues::default()
        };
        assert_eq!(log_odds(&odd, 0), []);
    }

    #[test]
    fn parts_seen_before_gain_what_their_counts_say() {
        let marks = marks();
        let odds = crate::Costs::default().table().clues;
        let clues = Clues {
            seen_before: vec![SeenBefore {
                name: "TH310".into(),
                count: 5,
            }],
            ..Clues::default()
        };
        let w = marks.weigh(&clues, None, &odds, |_| vec![1]);
        let at = |part| marks.factors(part, false, 5, &w, &odds)[0].log_odds;
        // (5 + 20/3)/(5 + 20) against 1/3, and (20/3)/(5 + 20) against 1/3.
        assert!((at(1) - (11.667_f64 / 25.0 * 3.0).ln()).abs() < 2e-3);
        assert!((at(0) - (20.0_f64 / 25.0).ln()).abs() < 2e-3);
        assert!(marks.log_odds(0, false, 5, &w, &odds) <= PartAttributes::most_of(&w));
    }
}
