//! Charts as plain data: bars and parts of a whole, intervals against limits, lines over an axis.
//!
//! In: numbers with their words. Out: data that one place draws and every table lists.
//! Not here: any drawing; scales, colours.

use crate::{Cell, Column, Table};
use quantity::{COVERED, Unit};
use record::Place;
use serde::{Deserialize, Serialize};

/// A chart. All values are in the unit of the value axis.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Chart {
    /// Caption.
    pub caption: String,
    /// How it is drawn.
    pub form: Form,
    /// What the values are.
    pub values: Axis,
    /// What they are drawn over, where they are drawn over something.
    pub over: Option<Axis>,
    /// The series in the order in which they are named.
    pub series: Vec<Series>,
    /// Named parts of the axis that values are drawn over, in order; none in most charts.
    #[serde(default)]
    pub divisions: Vec<Division>,
}

/// A named part of the axis that values are drawn over: to where the next one begins.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Division {
    /// Where it begins, in the unit of the axis.
    pub at: f64,
    /// What it is called.
    pub words: String,
}

/// How a chart is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Form {
    /// Bars, each behind the one before on its level: parts of a whole.
    Parts,
    /// Bars side by side, each from zero.
    Bars,
    /// Intervals, each against its limit.
    Intervals,
    /// Lines from point to point.
    Lines,
    /// Values that last until the next point.
    Steps,
    /// Lines between axes on which equal ratios are equally far apart; positions and values are above zero.
    Ratios,
    /// Lines over frequencies, on which octaves are equally far apart; positions are in hertz and above zero.
    Octaves,
    /// A dot for each point of the first series, lines for those behind it.
    Dots,
    /// A strip for each series on one axis of ratios: a dot for each point, the one with a place in the record marked.
    Strips,
}

/// What an axis measures.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Axis {
    /// The quantity ("mass").
    pub quantity: String,
    /// Its unit.
    pub unit: Unit,
}

/// Points that belong together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Series {
    /// Its name; may be empty where there is one only.
    pub words: String,
    /// The points in order.
    pub points: Vec<Point>,
}

/// One value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Point {
    /// What it is the value of; may be empty for the points of a line.
    pub words: String,
    /// Where that stands in the record.
    pub place: Option<Place>,
    /// Level in a tree of parts, 0 for the whole.
    pub level: usize,
    /// Position on the axis that values are drawn over.
    pub at: Option<f64>,
    /// The value.
    pub value: f64,
    /// Lower end of its whisker or interval.
    pub low: Option<f64>,
    /// Upper end of its whisker or interval.
    pub high: Option<f64>,
    /// The limit it stands against.
    pub limit: Option<f64>,
    /// How it stands out.
    pub standing: Standing,
    /// Words beside the value: why it stands out, what was decided.
    pub remark: String,
}

/// How a point stands out from the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// As the others.
    Plain,
    /// Worked out and not measured.
    Inferred,
    /// In contradiction.
    Contradicted,
}

impl Point {
    /// Makes a point of a value alone.
    pub fn new(words: impl Into<String>, value: f64) -> Self {
        Self {
            words: words.into(),
            place: None,
            level: 0,
            at: None,
            value,
            low: None,
            high: None,
            limit: None,
            standing: Standing::Plain,
            remark: String::new(),
        }
    }

    /// Returns the value as a cell in the unit of its axis; a whisker is its 95 % interval.
    fn cell(&self, unit: &Unit) -> Cell {
        let half = self
            .low
            .zip(self.high)
            .map(|(low, high)| (high - low) / 2.0);
        let u = half.map_or(f64::NAN, |half| half / COVERED);
        Cell::measured(self.value, u, unit.clone())
    }
}

impl Chart {
    /// Returns the numbers of the chart, row by row.
    pub fn table(&self) -> Table {
        let unit = &self.values.unit;
        let value = |heading: &str| Column::in_unit(heading, unit.clone());
        let mut columns = vec![Column::words("Series"), Column::words("What")];
        columns.extend(
            self.over.iter().map(|axis| {
                Column::in_unit(crate::words::capital(&axis.quantity), axis.unit.clone())
            }),
        );
        columns.push(value(&crate::words::capital(&self.values.quantity)));
        columns.extend(["From", "To", "Limit"].map(value));
        columns.push(Column::words("Remark"));
        let mut rows = Vec::new();
        for series in &self.series {
            for point in &series.points {
                rows.push(self.row(series, point));
            }
        }
        Table {
            caption: self.caption.clone(),
            columns,
            rows,
        }
    }

    fn row(&self, series: &Series, point: &Point) -> Vec<Cell> {
        let unit = &self.values.unit;
        let own = point.cell(unit);
        // The ends are told to the digits of the value.
        let decimals = match &own {
            Cell::Quantity(value) => value.decimals(),
            _ => 0,
        };
        let end = |end: Option<f64>| end.map_or(Cell::Nothing, |x| Cell::number(x, decimals));
        let mut row = vec![
            Cell::words(&series.words),
            match &point.place {
                Some(place) => Cell::place(place.clone(), &point.words),
                None => Cell::words(&point.words),
            },
        ];
        row.extend(self.over.iter().map(|axis| {
            let at = point.at.unwrap_or(f64::NAN);
            Cell::quantity(at, axis.unit.clone())
        }));
        row.extend([own, end(point.low), end(point.high), end(point.limit)]);
        row.push(Cell::words(&point.remark));
        row
    }
}
