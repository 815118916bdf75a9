//! Ranks of the figures, with what chance makes of them.

use super::{Set, begin};
use crate::others::{Other, Trait, TraitKind};
use crate::words::{capital, listed, percent, spelt_start};
use crate::{
    Axis, Case, Cell, Chart, Column, Detail, Finding, Form, Point, Series, Table, assumed,
};
use ::standing::many::benjamini_hochberg;
use ::standing::odd;
use ::standing::rank::{Measured, rank_probabilities};
use ::standing::record::chance_of_any;
use quantity::{Unit, format_measured};
use record::Place;

/// Products with a figure, this one among them, from which on an order is told.
const LEAST: usize = 5;
/// Figures that are drawn.
const DRAWN: usize = 5;
/// What is told must be this sure, and one in so many of what is called unusual may be so by chance.
const SURE: f64 = assumed::CLAIM_DECIDED.number();

/// One figure among the others.
struct Standing<'d> {
    what: TraitKind,
    own: &'d Trait,
    others: Vec<(&'d Other, &'d Trait)>,
    /// Least and greatest number of others that may be less, 95 % sure.
    less: Option<[usize; 2]>,
    /// Probability that chance alone puts it as far out, either way.
    chance: f64,
    /// How far it lies from the middle of the others, in their spread; none where that is not unusual.
    odd: Option<f64>,
}

pub(super) fn told(case: &Case<'_>, set: &Set<'_>) -> Option<Finding> {
    let mut all: Vec<Standing<'_>> = case
        .traits()
        .iter()
        .filter_map(|own| Standing::of(own, set))
        .collect();
    if all.is_empty() {
        return None;
    }
    // The most telling first: those that most others have.
    all.sort_by_key(|s| std::cmp::Reverse(s.others.len()));
    let ranked: Vec<&Standing<'_>> = all.iter().filter(|s| s.less.is_some()).collect();
    let chances: Vec<f64> = ranked.iter().map(|s| s.chance).collect();
    let adjusted = benjamini_hochberg(&chances);
    let mut finding = begin(word!("figures"), "Where its figures stand");
    let start = format!("Compared with {}", set.words());
    finding.sentence = match ranked.is_empty() {
        true => format!(
            "{start}, no order is told: it takes {LEAST} products with a figure, this one among them."
        ),
        false => {
            let (open, told): (Vec<&Standing<'_>>, Vec<&Standing<'_>>) =
                ranked.iter().copied().partition(|s| s.is_open());
            let told: Vec<String> = told.iter().map(|s| s.place()).collect();
            let open: Vec<String> = open.iter().map(|s| s.what.words().to_string()).collect();
            match (told.is_empty(), open.is_empty()) {
                (false, true) => format!("{start}, it is {}.", listed(told)),
                (true, _) => format!("{start}, it cannot be told apart in {}.", listed(open)),
                (false, false) => format!(
                    "{start}, it is {}; in {} it cannot be told apart.",
                    listed(told),
                    listed(open)
                ),
            }
        }
    };
    if !ranked.is_empty() {
        let unusual: Vec<String> = ranked
            .iter()
            .zip(&adjusted)
            .filter(|(_, p)| **p <= 1.0 - SURE)
            .map(|(s, _)| s.what.words().to_string())
            .collect();
        let any = chance_of_any(ranked.iter().map(|s| s.others.len()));
        let rest = match unusual.is_empty() {
            true => "none of it is more than chance may do".to_string(),
            false => format!("beyond chance is its {}", listed(unusual)),
        };
        let one = spelt_start(ranked.len(), "figure was", "figures were");
        finding.sentence.push_str(&format!(
            " {one} looked at together; chance alone puts at least one of them at an end of its order in {} of cases, and {rest}.",
            percent(any)
        ));
    }
    finding.details.extend(chart(case, &all).map(Detail::Chart));
    finding.details.push(Detail::Table(table(&all, &ranked, &adjusted)));
    finding.sources.push(SOURCE.to_string());
    set.close(&mut finding);
    Some(finding)
}

const SOURCE: &str = "ranks of uncertain values counted out; records in random orders; Y. Benjamini and Y. Hochberg, 1995, \
     for many figures at once; B. Iglewicz and D. C. Hoaglin, 1993, for values far out";

impl<'d> Standing<'d> {
    fn of(own: &'d Trait, set: &Set<'d>) -> Option<Self> {
        let with = set.others.iter().copied();
        let others: Vec<(&Other, &Trait)> = with
            .filter_map(|other| Some((other, other.figure(own.what)?)))
            .collect();
        let measured: Vec<Measured> = others.iter().map(|(_, t)| of(t)).collect();
        let n = others.len();
        let ranks = (n + 1 >= LEAST).then(|| rank_probabilities(of(own), &measured));
        let chance = ranks.as_ref().map_or(1.0, |ranks| by_chance(ranks));
        let values: Vec<f64> = others.iter().map(|(_, t)| t.value).collect();
        let middle = odd::middle(&values).filter(|_| n >= odd::LEAST);
        let score = middle.and_then(|middle| middle.score(own.value));
        (n > 0).then(|| Self {
            what: own.what,
            own,
            others,
            less: ranks.as_deref().map(sure_range),
            chance,
            odd: score.filter(|score| score.abs() > odd::LIMIT),
        })
    }

    /// Returns whether any place among the others is possible.
    fn is_open(&self) -> bool {
        self.less == Some([0, self.others.len()])
    }

    /// Returns its place in words: `third lightest of 14`, `third to fifth lightest of 14`.
    fn place(&self) -> String {
        let Some([least, most]) = self.less else {
            return "too few".to_string();
        };
        let n = self.others.len() + 1;
        // Told from the nearer end.
        let from_most = least + most > n - 1;
        let (first, last, end) = match from_most {
            true => (n - most, n - least, self.what.most()),
            false => (least + 1, most + 1, self.what.least()),
        };
        match (first, last) {
            (1, 1) => format!("the {end} of {n}"),
            (a, b) if a == b => format!("{} {end} of {n}", ordinal(a)),
            _ if self.is_open() => format!("not to be told apart among {n}"),
            (a, b) => format!("{} to {} {end} of {n}", ordinal(a), ordinal(b)),
        }
    }

    fn value(&self) -> String {
        printed(self.own)
    }
}

fn of(figure: &Trait) -> Measured {
    Measured {
        value: figure.value,
        uncertainty: figure.uncertainty,
    }
}

fn printed(figure: &Trait) -> String {
    let unit = figure.what.unit();
    let half = quantity::COVERED * figure.uncertainty;
    let ends = (
        unit.of_si(figure.value - half),
        unit.of_si(figure.value + half),
    );
    format_measured(unit.of_si(figure.value), ends, &unit)
}

/// The least range of numbers of others that are less that is sure enough: as much is left out at either end.
fn sure_range(ranks: &[f64]) -> [usize; 2] {
    let out = (1.0 - SURE) / 2.0;
    let end = |ranks: &mut dyn Iterator<Item = &f64>| {
        let mut sum = 0.0;
        ranks
            .take_while(|p| {
                sum += **p;
                sum <= out
            })
            .count()
    };
    let least = end(&mut ranks.iter());
    let most = ranks.len() - 1 - end(&mut ranks.iter().rev()).min(ranks.len() - 1 - least);
    [least, most]
}

/// The probability that chance alone puts a new product as far out, either way, the mean over the ranks it may have.
fn by_chance(ranks: &[f64]) -> f64 {
    let n = ranks.len() as f64;
    let two_sided = |k: usize| {
        let from_end = k.min(ranks.len() - 1 - k) as f64 + 1.0;
        (2.0 * from_end / n).min(1.0)
    };
    let mean: f64 = ranks.iter().enumerate().map(|(k, p)| p * two_sided(k)).sum();
    mean.min(1.0)
}

fn ordinal(n: usize) -> String {
    const WORDS: [&str; 9] = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
    ];
    let word = n.checked_sub(1).and_then(|at| WORDS.get(at));
    word.map_or_else(|| format!("{n}th"), |word| (*word).to_string())
}

/// The figures as strips of one axis: how many times this product each of the others has.
fn chart(case: &Case<'_>, all: &[Standing<'_>]) -> Option<Chart> {
    let drawable = |s: &&Standing<'_>| s.own.value > 0.0 && s.what != TraitKind::NoiseReduction;
    let series: Vec<Series> = all
        .iter()
        .filter(drawable)
        .take(DRAWN)
        .map(|s| {
            let half = quantity::COVERED * s.own.uncertainty / s.own.value;
            let own = Point {
                place: Some(Place::product()),
                low: Some(1.0 - half),
                high: Some(1.0 + half),
                limit: Some(1.0),
                remark: format!("{}, {}", s.value(), s.place()),
                ..Point::new(&case.dossier.product.name, 1.0)
            };
            let others = s.others.iter().filter(|(_, t)| t.value > 0.0);
            let others = others.map(|(other, t)| Point::new(&other.product, t.value / s.own.value));
            Series {
                words: capital(s.what.words()),
                points: std::iter::once(own).chain(others).collect(),
            }
        })
        .collect();
    (!series.is_empty()).then(|| Chart {
        caption: "This product and the others of this library: each dot is a product, its place how many times this one it has"
            .to_string(),
        form: Form::Strips,
        values: Axis {
            quantity: "times this product".to_string(),
            unit: Unit::parse("").expect("no unit is a unit"),
        },
        over: None,
        series,
        divisions: Vec::new(),
    })
}

fn table(all: &[Standing<'_>], ranked: &[&Standing<'_>], adjusted: &[f64]) -> Table {
    let remarks = all.iter().any(|s| s.odd.is_some());
    let row = |s: &Standing<'_>| {
        let at = ranked.iter().position(|r| r.what == s.what);
        let chance = at.map_or(Cell::Nothing, |at| Cell::probability(adjusted[at]));
        let odd = s.odd.map_or(String::new(), |score| {
            format!("far from the others (robust score {score:.1})")
        });
        let unit = s.what.unit();
        let mut row = vec![
            Cell::words(capital(s.what.words())),
            Cell::measured(
                unit.of_si(s.own.value),
                unit.difference().of_si(s.own.uncertainty),
                unit,
            ),
            Cell::count(s.others.len()),
            Cell::words(s.place()),
            chance,
        ];
        row.extend(remarks.then(|| Cell::words(odd)));
        row
    };
    let mut columns = vec![
        Column::words("Figure"),
        Column::quantity("This product"),
        Column::count("Others with one"),
        Column::words("Its place"),
        Column::probability("By chance, as one of so many"),
    ];
    columns.extend(remarks.then(|| Column::words("Remark")));
    Table {
        caption: "Figures of this product among those of this library".to_string(),
        columns,
        rows: all.iter().map(row).collect(),
    }
}
