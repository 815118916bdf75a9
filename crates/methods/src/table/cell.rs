//! One cell of a table, as what it is.
//!
//! In: numbers, units, days, words. Out: plain data that reads back as it was written.
//! Not here: how it is printed (`print`).

use crate::Verdict;
use jiff::civil::Date;
use quantity::{COVERAGE, COVERED, Interval, Sense, Stated, Unit, digits};
use record::{Item, Place};
use serde::{Deserialize, Serialize};

/// What stands in one cell of a table.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "cell", deny_unknown_fields)]
pub enum Cell {
    /// Nothing.
    #[default]
    Nothing,
    /// Words.
    Words {
        /// The words.
        words: String,
    },
    /// How many of something.
    Count {
        /// The count.
        count: u64,
    },
    /// A number without unit, or in the unit of its column.
    Number(Number),
    /// A value with its unit.
    Quantity(QuantityValue),
    /// The days that something may have been, both included.
    Date {
        /// The first day.
        first: Date,
        /// The last day; the first one where the day is known.
        last: Date,
    },
    /// A probability.
    Probability {
        /// 0 to 1.
        probability: f64,
    },
    /// A decision.
    Verdict {
        /// The decision.
        verdict: Verdict,
    },
    /// A place in the record.
    Place {
        /// The place.
        place: Place,
        /// The words shown for it.
        words: String,
    },
    /// Something with its name before it (`charge current 0.5 A`).
    Named {
        /// The name.
        name: String,
        /// What it is the name of.
        of: Box<Cell>,
    },
    /// Several things.
    List {
        /// The things in order.
        cells: Vec<Cell>,
        /// What is printed between them.
        between: Between,
    },
}

/// A number and the digits it is printed with.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Number {
    /// The number.
    pub value: f64,
    /// Decimals shown.
    pub decimals: usize,
    /// Whether it is the number itself or a limit of it.
    pub sense: Sense,
    /// Whether a positive number shows its sign, as differences do.
    pub signed: bool,
}

/// A value with its unit (VIM 1.19). Its digits follow the uncertainty; without one, the writing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct QuantityValue {
    /// The value, in `unit`.
    pub value: f64,
    /// Standard uncertainty, in `unit` (of a difference), where it is known.
    pub standard_uncertainty: Option<f64>,
    /// 95 % coverage interval, in `unit`, where it is to be shown: half of it is printed behind ±.
    pub interval: Option<Interval>,
    /// The unit.
    pub unit: Unit,
    /// The figure as somebody wrote it, where somebody did.
    pub written: Option<Written>,
}

/// How somebody wrote a figure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Written {
    /// The text.
    pub text: String,
    /// Decimals of the figure in it.
    pub decimals: usize,
}

/// What is printed between the things of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Between {
    /// `, `, between names.
    Comma,
    /// `; `, between things that may hold commas.
    Semicolon,
    /// A space, between sentences.
    Space,
}

impl Cell {
    /// Makes a cell of words; an empty one without words.
    pub fn words(words: impl Into<String>) -> Self {
        let words = words.into();
        if words.is_empty() {
            Self::Nothing
        } else {
            Self::Words { words }
        }
    }

    /// Makes a cell of what a thing displays as, empty where there is none.
    pub fn text(thing: Option<&impl ToString>) -> Self {
        thing.map_or(Self::Nothing, |thing| Self::words(thing.to_string()))
    }

    /// Makes a count.
    pub fn count(count: impl TryInto<u64>) -> Self {
        Self::Count {
            count: count.try_into().unwrap_or(u64::MAX),
        }
    }

    /// Makes a count as the record states it; words where it states none.
    pub fn pieces(count: record::Count) -> Self {
        match count {
            record::Count::Of(n) => Self::count(n),
            record::Count::NotStated => Self::words("not stated"),
            record::Count::Unknown => Self::words("unknown"),
        }
    }

    /// Makes a number with so many decimals; words where it is not finite.
    pub fn number(value: f64, decimals: usize) -> Self {
        if !value.is_finite() {
            return Self::words(digits::decimal(value, decimals));
        }
        Self::Number(Number {
            value,
            decimals,
            sense: Sense::Exactly,
            signed: false,
        })
    }

    /// Makes a number with so many significant digits; words where it is not finite.
    pub fn significant(value: f64, figures: usize) -> Self {
        Self::number(value, digits::significant(value, figures))
    }

    /// Makes a number a lower limit.
    #[must_use]
    pub fn at_least(mut self) -> Self {
        if let Self::Number(number) = &mut self {
            number.sense = Sense::AtLeast;
        }
        self
    }

    /// Makes a number show its sign.
    #[must_use]
    pub fn signed(mut self) -> Self {
        if let Self::Number(number) = &mut self {
            number.signed = true;
        }
        self
    }

    /// Makes a quantity of what is exact or of unknown uncertainty; words where it is not finite.
    pub fn quantity(value: f64, unit: Unit) -> Self {
        Self::measured(value, f64::NAN, unit)
    }

    /// Makes a quantity with its standard uncertainty, in the same unit, and the 95 % interval of a
    /// normal distribution; words where the value is not finite. An uncertainty of zero or without
    /// bound is none.
    pub fn measured(value: f64, standard_uncertainty: f64, unit: Unit) -> Self {
        if !value.is_finite() {
            return Self::words(digits::decimal(value, 0));
        }
        let known = standard_uncertainty.is_finite() && standard_uncertainty > 0.0;
        let half = COVERED * standard_uncertainty;
        Self::Quantity(QuantityValue {
            value,
            standard_uncertainty: known.then_some(standard_uncertainty),
            interval: known.then_some(Interval {
                probability: COVERAGE,
                low: value - half,
                high: value + half,
            }),
            unit,
            written: None,
        })
    }

    /// Makes a quantity of a figure of a finding, with its 95 % interval; words where it has no value.
    pub fn figure(figure: &quantity::Figure) -> Self {
        let Interval { low, high, .. } = figure.interval;
        match Self::measured(
            figure.value,
            figure.standard_uncertainty,
            figure.unit.clone(),
        ) {
            Self::Quantity(value) => Self::Quantity(QuantityValue {
                interval: (low < high).then_some(figure.interval),
                ..value
            }),
            other => other,
        }
    }

    /// Makes a quantity of a figure that somebody wrote.
    pub fn stated(stated: &Stated) -> Self {
        Self::Quantity(QuantityValue {
            value: stated.value,
            standard_uncertainty: None,
            interval: None,
            unit: stated.unit.clone(),
            written: Some(Written {
                text: stated.text.clone(),
                // The place value of the last digit is a power of ten, shown with its own decimals.
                decimals: digits::carried(stated.last_digit),
            }),
        })
    }

    /// Makes a quantity of what somebody wrote, without the spread that was written with it: beside ≤ it would read as
    /// a second limit.
    pub fn nominal(stated: &Stated) -> Self {
        Self::Quantity(QuantityValue {
            value: stated.value,
            standard_uncertainty: None,
            interval: None,
            unit: stated.unit.clone(),
            written: None,
        })
    }

    /// Makes a day.
    pub fn date(day: Date) -> Self {
        Self::Date {
            first: day,
            last: day,
        }
    }

    /// Makes a probability.
    pub fn probability(probability: f64) -> Self {
        if probability.is_finite() {
            Self::Probability { probability }
        } else {
            Self::words(crate::words::percent(probability))
        }
    }

    /// Makes a decision.
    pub fn verdict(verdict: Verdict) -> Self {
        Self::Verdict { verdict }
    }

    /// Makes a place, shown with other words than its address.
    pub fn place(place: Place, words: impl Into<String>) -> Self {
        Self::Place {
            place,
            words: words.into(),
        }
    }

    /// Makes the place of an item, shown with its name.
    pub fn item(item: &Item) -> Self {
        Self::place(Place::item(&item.id), &item.name)
    }

    /// Puts a name before the cell.
    #[must_use]
    pub fn named(self, name: impl Into<String>) -> Self {
        Self::Named {
            name: name.into(),
            of: Box::new(self),
        }
    }

    /// Makes a list; nothing of none, the thing itself of one.
    pub fn list(cells: impl IntoIterator<Item = Self>, between: Between) -> Self {
        let mut cells: Vec<Self> = cells.into_iter().collect();
        match cells.len() {
            0 => Self::Nothing,
            1 => cells.swap_remove(0),
            _ => Self::List { cells, between },
        }
    }

    /// Makes a list of words with commas between.
    pub fn names(words: impl IntoIterator<Item = impl Into<String>>) -> Self {
        Self::list(words.into_iter().map(Self::words), Between::Comma)
    }

    /// Returns whether there is nothing to print.
    pub fn is_nothing(&self) -> bool {
        *self == Self::Nothing
    }
}
