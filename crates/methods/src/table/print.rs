//! How a cell is printed: one rule for every output that shows words.
//!
//! In: a cell and its column. Out: one line of text; for a number the decimals it is shown with.
//! Not here: alignment; number formats of spreadsheets, which take the same decimals.
//! Source: JCGM 100:2008 (GUM), 7.2.6; SI Brochure, 9th edition, 5.4.3 and 5.4.6.

use super::{Between, Cell, Column, Number, QuantityValue};
use crate::words::{Words as _, percent};
use codes::date::Span;
use quantity::{
    COVERED, Figure, GAP, Interval, Sense, Unit, decimals_beside, digits, format_quantity,
    time_unit,
};

/// Significant digits of a figure that stands without its ±.
const BARE: usize = 5;

impl Column {
    /// Returns the heading with the unit behind a stroke, a compound one in brackets
    /// (`Mass / g`, `Specific energy / (Wh/kg)`; SI Brochure, 5.4.1).
    pub fn text(&self) -> String {
        match self.unit.as_ref().map_or("", Unit::symbol) {
            "" => self.heading.clone(),
            unit if unit.contains(['/', '·', ' ']) => format!("{} / ({unit})", self.heading),
            unit => format!("{} / {unit}", self.heading),
        }
    }

    /// Returns a cell of this column as every output prints it.
    pub fn print(&self, cell: &Cell) -> String {
        cell.print(self.unit.as_ref())
    }
}

impl Cell {
    /// Returns the cell as printed where it stands in no column.
    pub fn printed(&self) -> String {
        self.print(None)
    }

    /// Returns the cell as printed; without unit where its column has that one.
    fn print(&self, unit: Option<&Unit>) -> String {
        match self {
            Self::Nothing => String::new(),
            Self::Words { words } | Self::Place { words, .. } => words.clone(),
            Self::Count { count } => count.to_string(),
            Self::Number(number) => number.print(),
            Self::Quantity(value) => match unit.and_then(|unit| value.to(unit)) {
                Some(value) => digits::decimal(value.value, value.decimals()),
                None => value.print_beside(&[]),
            },
            Self::Date { first, last } => Span {
                first: *first,
                last: *last,
            }
            .to_string(),
            Self::Probability { probability } => percent(*probability),
            Self::Verdict { verdict } => verdict.words().to_string(),
            Self::Named { name, of } => format!("{name} {}", of.print(None)),
            Self::List { cells, between } => {
                let printed: Vec<String> = cells.iter().map(|cell| cell.print(unit)).collect();
                printed.join(match between {
                    Between::Comma => ", ",
                    Between::Semicolon => "; ",
                    Between::Space => " ",
                })
            }
        }
    }
}

impl Number {
    fn print(&self) -> String {
        let number = digits::decimal(self.value, self.decimals);
        let sign = match self.sense {
            Sense::AtLeast => "≥ ",
            Sense::UpTo => "≤ ",
            Sense::About => "≈ ",
            Sense::Exactly | Sense::Between if self.signed && self.value >= 0.0 => "+",
            Sense::Exactly | Sense::Between => "",
        };
        format!("{sign}{number}")
    }
}

impl QuantityValue {
    /// Returns the value without its interval, as it stands where the interval is shown elsewhere;
    /// its digits are those it has beside it.
    #[must_use]
    pub fn without_interval(self) -> Self {
        Self {
            standard_uncertainty: self.half().map(|half| half / COVERED),
            interval: None,
            ..self
        }
    }

    /// Returns the value in another unit, no longer as somebody wrote it; itself in its own unit;
    /// `None` where the dimensions differ.
    pub fn to(&self, unit: &Unit) -> Option<Self> {
        if self.unit == *unit {
            return Some(self.clone());
        }
        let to = |value: f64| unit.of_si(self.unit.to_si(value));
        (self.unit.dimension() == unit.dimension()).then(|| Self {
            value: to(self.value),
            standard_uncertainty: self
                .standard_uncertainty
                .map(|u| u * self.unit.factor() / unit.factor()),
            interval: self.interval.map(|interval| Interval {
                low: to(interval.low),
                high: to(interval.high),
                ..interval
            }),
            unit: unit.clone(),
            written: None,
        })
    }

    /// Returns half the 95 % interval, which ± stands for; `None` where none is known.
    pub fn half(&self) -> Option<f64> {
        let of_interval = self.interval.map(|i| (i.high - i.low) / 2.0);
        of_interval.or_else(|| Some(COVERED * self.standard_uncertainty?))
    }

    /// Returns the decimals that the value is shown with where it stands without its writing.
    pub fn decimals(&self) -> usize {
        self.decimals_beside(&[])
    }

    /// Returns the decimals that show the value on its side of limits, in its unit.
    fn decimals_beside(&self, limits: &[f64]) -> usize {
        self.half()
            .and_then(|half| decimals_beside(self.value, half, limits))
            .or_else(|| self.written.as_ref().map(|w| w.decimals))
            .unwrap_or_else(|| digits::carried(self.value))
    }

    /// As [`QuantityValue::decimals_beside`], where no ± follows: five figures say what can be read at a glance, and
    /// more stand only where a limit lies between.
    fn decimals_bare(&self, limits: &[f64]) -> usize {
        let all = self.decimals_beside(limits);
        let few = all.min(digits::significant(self.value, BARE));
        let rounded = |decimals: usize| {
            let place = 10_f64.powi(i32::try_from(decimals).unwrap_or(0));
            (self.value * place).round() / place
        };
        let same = |limit: &f64| (rounded(few) < *limit) == (rounded(all) < *limit);
        if limits.iter().all(same) { few } else { all }
    }

    /// Returns the value as printed beside limits, in its unit: with as many decimals as show on
    /// which side of them it lies.
    pub fn print_beside(&self, limits: &[f64]) -> String {
        if let Some(written) = &self.written {
            return written.text.clone();
        }
        let Some(interval) = self.interval else {
            let told = time_unit(self.value, &self.unit).and_then(|unit| self.to(&unit));
            let told = told.as_ref().unwrap_or(self);
            if told.standard_uncertainty.is_none() {
                return format_quantity(told.value, &told.unit);
            }
            let to = |limit: &f64| told.unit.of_si(self.unit.to_si(*limit));
            let limits: Vec<f64> = limits.iter().map(to).collect();
            let number = digits::decimal(told.value, told.decimals_bare(&limits));
            return format!("{number}{GAP}{}", told.unit.symbol())
                .trim_end()
                .to_string();
        };
        let ends = (interval.low, interval.high);
        Figure::told(self.value, ends, limits, &self.unit)
    }
}
