//! From the record and the price book to a bill.
//!
//! In: a case. Out: a bill, its lines as rows for readers, and everything that lacks a price.
//!
//! An item with a price of its own is bought whole: what is in it is not counted again. What has none is taken apart
//! until something has one. What is left without is listed.

use crate::inputs::locators;
use crate::{Cancelled, Case};
use ::cost::book::{Book, Confidence, Entry, Kind};
use ::cost::{
    Bill, Group, Ladder, Law, Level, Line, Pricing, Rate, Sort, Unknown, half_width_sigma,
};
use jiff::civil::Date;
use quantity::{Currency, Dimension, Origin, Source, Stated};
use record::{Place, PriceConfidence};
use std::collections::{BTreeMap, HashMap};

/// The level of boards, and that of the product.
pub(super) const BOARD: usize = 0;
pub(super) const FINAL: usize = 1;

/// A line as it is told.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub(super) place: Option<Place>,
    pub(super) amount: f64,
    /// What the amount counts; empty for pieces.
    pub(super) of: &'static str,
    pub(super) from: String,
}

/// What would give a price to something that lacks one.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Remedy {
    /// A price of this thing.
    Price(String),
    /// The mass of this thing.
    Mass(String),
    /// Length and width of this thing.
    Size(String),
    /// Anything else, in words.
    Words(String),
}

impl Remedy {
    pub(super) fn price(&self) -> Option<&String> {
        match self {
            Self::Price(what) => Some(what),
            _ => None,
        }
    }

    pub(super) fn mass(&self) -> Option<&String> {
        match self {
            Self::Mass(what) => Some(what),
            _ => None,
        }
    }

    pub(super) fn size(&self) -> Option<&String> {
        match self {
            Self::Size(what) => Some(what),
            _ => None,
        }
    }

    pub(super) fn words(&self) -> Option<&String> {
        match self {
            Self::Words(words) => Some(words),
            _ => None,
        }
    }
}

impl From<String> for Remedy {
    fn from(words: String) -> Self {
        Self::Words(words)
    }
}

impl From<&str> for Remedy {
    fn from(words: &str) -> Self {
        Self::Words(words.into())
    }
}

/// Everything taken.
pub(super) struct Taken<'c> {
    pub(super) bill: Bill,
    /// One for each line of the bill.
    pub(super) rows: Vec<Row>,
    /// What has no price, and what would give it one.
    pub(super) lacking: Vec<(String, Remedy)>,
    pub(super) book: &'c Book,
    unknowns: HashMap<String, Option<usize>>,
    prices: HashMap<&'c str, usize>,
}

impl<'c> Taken<'c> {
    pub(super) fn of(case: &'c Case<'_>) -> Result<Self, Cancelled> {
        let currency = currency(case);
        let level = |name: &str, into| Level {
            name: name.to_string(),
            into,
            good: None,
            rework: None,
        };
        let prices = case.dossier.prices.iter().enumerate();
        let mut taken = Self {
            bill: Bill {
                currency,
                unknowns: Vec::new(),
                lines: Vec::new(),
                levels: vec![level("board", Some(FINAL)), level("final", None)],
                rates: Vec::new(),
                indices: BTreeMap::new(),
                overhead: None,
                margin: None,
            },
            rows: Vec::new(),
            lacking: Vec::new(),
            book: case.known.prices(),
            unknowns: HashMap::new(),
            prices: prices.map(|(at, price)| (price.of.as_str(), at)).collect(),
        };
        taken.rates(case);
        taken.shares();
        taken.amounts(case)?;
        Ok(taken)
    }

    /// Notes something without a price.
    pub(super) fn lacks(&mut self, what: impl Into<String>, remedy: impl Into<Remedy>) {
        let lack = (what.into(), remedy.into());
        if !self.lacking.contains(&lack) {
            self.lacking.push(lack);
        }
    }

    /// Takes the price that the record gives an item.
    pub(super) fn own_price(&mut self, case: &Case<'_>, of: &Named<'_>) -> bool {
        let Some(&at) = of.place.item_id().and_then(|id| self.prices.get(id)) else {
            return false;
        };
        let price = &case.dossier.prices[at];
        let Some(currency) = money(&price.each) else {
            return false;
        };
        let Ok(ladder) = Ladder::flat(price.each.si()) else {
            return false;
        };
        let sure = price.confidence != PriceConfidence::Estimate;
        let evidence = Place::item_price(case.dossier, at);
        let source = price.source.as_deref().unwrap_or_default();
        let from = said_of(word(price.confidence), price.date, source, "this record");
        let unknown = Unknown {
            name: of.name.to_string(),
            sort: Sort::Price,
            value: 1.0,
            law: spread(price.within.as_ref().map_or(0.0, Stated::si)),
            source: Source {
                origin: if sure {
                    Origin::DataSheet
                } else {
                    Origin::Estimated
                },
                evidence: locators(&evidence.into_iter().collect::<Vec<_>>()),
                note: from.clone(),
            },
            sourced: sure && !source.is_empty() && price.date.is_some(),
        };
        let unknowns = self.unknown(format!("prices.{}", price.of), unknown);
        let line = Line {
            name: of.name.to_string(),
            group: of.group,
            level: Some(of.level),
            amount: of.amount,
            attrition: None,
            pricing: Pricing::Each(ladder),
            currency,
            series: None,
            unknowns: unknowns.into_iter().collect(),
        };
        let row = Row {
            place: Some(of.place.clone()),
            amount: of.amount,
            of: "",
            from,
        };
        self.push(line, row);
        true
    }

    /// Takes a row of the book for something.
    pub(super) fn take(
        &mut self,
        entry: &Entry,
        of: &Named<'_>,
        unit: &'static str,
        more: &[usize],
    ) {
        let Some(ladder) = entry.prices() else { return };
        let pricing = match entry.kind {
            Kind::Tool | Kind::SetUp => Pricing::Once {
                cost: ladder.stair(1.0),
                life: entry.life,
            },
            _ => Pricing::Each(ladder.clone()),
        };
        let mut unknowns: Vec<usize> = self.of_row(entry).into_iter().collect();
        unknowns.extend(more);
        let line = Line {
            name: of.name.to_string(),
            group: of.group,
            level: (entry.kind != Kind::Tool).then_some(of.level),
            amount: of.amount,
            attrition: entry.attrition,
            pricing,
            currency: entry.currency.unwrap_or(self.bill.currency),
            series: entry.series.clone(),
            unknowns,
        };
        let row = Row {
            place: of.place.item_id().is_some().then(|| of.place.clone()),
            amount: of.amount,
            of: unit,
            from: from_row(entry),
        };
        self.push(line, row);
    }

    fn push(&mut self, line: Line, row: Row) {
        let (own, to) = (line.currency, self.bill.currency);
        let rated = own == to || self.bill.rates.iter().any(|rate| rate.of == own);
        let series = line
            .series
            .as_ref()
            .filter(|s| !self.bill.indices.contains_key(*s));
        if !rated {
            self.lacks(
                format!("{}: its price is in {}", line.name, own.code()),
                format!("note a rate from {} to {}", own.code(), to.code()),
            );
        } else if let Some(series) = series {
            let what = format!("{}: its price follows the index “{series}”", line.name);
            self.lacks(
                what,
                format!("note a value of the index “{series}” in the price book"),
            );
        } else {
            self.bill.lines.push(line);
            self.rows.push(row);
        }
    }

    /// Returns the unknown that a row of the book is; the same wherever the row is used.
    pub(super) fn of_row(&mut self, entry: &Entry) -> Option<usize> {
        let named = match entry.kind {
            Kind::Act => "times of assembly".to_string(),
            _ if entry.name.is_empty() => entry.kind.word().to_string(),
            kind => format!("{} “{}”", kind.word(), entry.name),
        };
        let (sort, law) = match (entry.kind, entry.number()) {
            (Kind::Yield, Some(value)) => (Sort::Yield, share_law(value, entry.within)),
            (Kind::Overhead | Kind::Margin, Some(value)) => {
                (Sort::Overhead, share_law(value, entry.within))
            }
            (Kind::Act, _) => (Sort::Amount, spread(entry.within)),
            (Kind::Rate, _) => (Sort::Rate, spread(entry.within)),
            (Kind::Index, _) => (Sort::Index, spread(entry.within)),
            _ => (Sort::Price, spread(entry.within)),
        };
        let value = match entry.kind {
            Kind::Act => 1.0,
            _ => entry.number().unwrap_or(1.0),
        };
        let sure = entry.confidence != Confidence::Estimate;
        let unknown = Unknown {
            name: named,
            sort,
            value,
            law,
            source: Source {
                origin: if sure {
                    Origin::DataSheet
                } else {
                    Origin::Estimated
                },
                evidence: Vec::new(),
                note: from_row(entry),
            },
            sourced: entry.is_sourced(),
        };
        self.unknown(format!("{} {}", entry.kind.word(), entry.name), unknown)
    }

    /// Adds an unknown under a key, once; a factor of one without doubt is none.
    pub(super) fn unknown(&mut self, key: String, unknown: Unknown) -> Option<usize> {
        let all = &mut self.bill.unknowns;
        *self.unknowns.entry(key).or_insert_with(|| {
            if unknown.law == Law::Exact && unknown.value == 1.0 {
                return None;
            }
            all.push(unknown);
            Some(all.len() - 1)
        })
    }

    /// One rate for each currency: that of the record before that of the book, either way round.
    fn rates(&mut self, case: &Case<'_>) {
        let to = self.bill.currency;
        for of in Currency::ALL.into_iter().filter(|of| *of != to) {
            let recorded = case
                .dossier
                .rates
                .iter()
                .enumerate()
                .find_map(|(at, rate)| {
                    let is = money(&rate.is)?;
                    let value = straight(code(&rate.of)?, is, rate.is.si(), [of, to])?;
                    let within = rate.within.as_ref().map_or(0.0, Stated::si);
                    let source = rate.source.as_deref().unwrap_or_default();
                    Some((
                        value,
                        within,
                        at,
                        said_of("rate", Some(rate.date), source, "this record"),
                    ))
                });
            let unknown = match recorded {
                Some((value, within, at, from)) => {
                    let sourced = !case.dossier.rates[at]
                        .source
                        .as_deref()
                        .unwrap_or_default()
                        .is_empty();
                    let evidence: Vec<Place> = Place::rate(case.dossier, at).into_iter().collect();
                    let origin = Origin::DataSheet;
                    Some(rate_unknown(
                        [of, to],
                        value,
                        within,
                        sourced,
                        Source {
                            origin,
                            evidence: locators(&evidence),
                            note: from,
                        },
                    ))
                }
                None => self.book.all(Kind::Rate).find_map(|row| {
                    let value = straight(code(&row.name)?, row.currency?, row.number()?, [of, to])?;
                    Some(rate_unknown(
                        [of, to],
                        value,
                        row.within,
                        row.is_sourced(),
                        Source {
                            origin: Origin::DataSheet,
                            evidence: Vec::new(),
                            note: from_row(row),
                        },
                    ))
                }),
            };
            if let Some(unknown) = unknown {
                self.bill.unknowns.push(unknown);
                let unknown = self.bill.unknowns.len() - 1;
                self.bill.rates.push(Rate { of, unknown });
            }
        }
        for row in self.book.all(Kind::Index) {
            let row = row.clone();
            // An index of exactly one is an unknown too: the series must have a value.
            let index = self.of_row(&row).unwrap_or_else(|| {
                self.bill.unknowns.push(Unknown {
                    name: row.name.clone(),
                    sort: Sort::Index,
                    value: 1.0,
                    law: Law::Exact,
                    source: Source {
                        origin: Origin::DataSheet,
                        evidence: Vec::new(),
                        note: from_row(&row),
                    },
                    sourced: row.is_sourced(),
                });
                self.bill.unknowns.len() - 1
            });
            self.bill.indices.insert(row.name.clone(), index);
        }
    }

    /// Yields, overhead and margin.
    fn shares(&mut self) {
        for level in [BOARD, FINAL] {
            let name = self.bill.levels[level].name.clone();
            match self.book.of(Kind::Yield, &name).cloned() {
                Some(row) => self.bill.levels[level].good = self.of_row(&row),
                None => self.lacks(
                    format!("losses at the level “{name}”"),
                    format!("note the yield of “{name}” in the price book"),
                ),
            }
        }
        for kind in [Kind::Overhead, Kind::Margin] {
            let row = self.book.all(kind).next().cloned();
            let unknown = row.and_then(|row| self.of_row(&row));
            match (kind, unknown) {
                (_, None) => self.lacks(
                    format!("the {} of the maker", kind.word()),
                    format!("note it in the price book, as a row of “{}”", kind.word()),
                ),
                (Kind::Overhead, found) => self.bill.overhead = found,
                (_, found) => self.bill.margin = found,
            }
        }
    }
}

/// What a line is for.
pub(super) struct Named<'a> {
    pub(super) name: &'a str,
    pub(super) place: Place,
    pub(super) group: Group,
    pub(super) level: usize,
    pub(super) amount: f64,
}

/// Returns the currency of the answer.
pub(super) fn currency(case: &Case<'_>) -> Currency {
    let asked = case.dossier.cost.as_ref();
    asked
        .and_then(|cost| code(cost.currency.as_deref()?))
        .unwrap_or(Currency::Eur)
}

fn code(text: &str) -> Option<Currency> {
    Currency::ALL
        .into_iter()
        .find(|c| c.code().eq_ignore_ascii_case(text))
}

/// Returns the currency of an amount.
pub(super) fn money(stated: &Stated) -> Option<Currency> {
    Currency::ALL
        .into_iter()
        .find(|&c| Dimension::money(c) == stated.dimension())
}

/// Returns what one of the first currency wanted is in the second, by a rate either way round.
fn straight(of: Currency, is: Currency, value: f64, wanted: [Currency; 2]) -> Option<f64> {
    match [of, is] {
        way if way == wanted => Some(value),
        [is, of] if [of, is] == wanted && value > 0.0 => Some(value.recip()),
        _ => None,
    }
}

fn rate_unknown(
    [of, to]: [Currency; 2],
    value: f64,
    within: f64,
    sourced: bool,
    source: Source,
) -> Unknown {
    Unknown {
        name: format!("{} for one {}", to.code(), of.code()),
        sort: Sort::Rate,
        value,
        law: spread(within),
        source,
        sourced,
    }
}

fn spread(within: f64) -> Law {
    match within > 0.0 {
        true => Law::Lognormal {
            sigma: half_width_sigma(within),
        },
        false => Law::Exact,
    }
}

/// A share with a spread in points, never beyond 0 and 1.
fn share_law(value: f64, within: f64) -> Law {
    match within > 0.0 {
        true => Law::Triangular {
            low: (value - within).max(0.0),
            high: (value + within).min(1.0),
        },
        false => Law::Exact,
    }
}

fn word(confidence: PriceConfidence) -> &'static str {
    match confidence {
        PriceConfidence::Quote => Confidence::Quote.word(),
        PriceConfidence::List => Confidence::List.word(),
        PriceConfidence::Estimate => Confidence::Estimate.word(),
    }
}

/// Returns where a row is from, in words.
pub(super) fn from_row(entry: &Entry) -> String {
    said_of(
        entry.confidence.word(),
        entry.date,
        &entry.source,
        "price book",
    )
}

fn said_of(word: &str, date: Option<Date>, source: &str, place: &str) -> String {
    let date = date.map(|date| format!(" of {date}")).unwrap_or_default();
    let source = match source {
        "" => "no source".to_string(),
        source => source.to_string(),
    };
    format!("{word}{date}, {source}; {place}")
}
