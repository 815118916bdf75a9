//! Parts, makers and figures across the products of a library.
//!
//! In: what is asked, the library's index. Out: products with a part, what a maker supplies, a figure over the years with
//! its trend. Not here: where one product stands (`methods`); words around it (`workbench`).

use super::{Desk, blocking};
use crate::Problem;
use ::standing::trend::{LEAST, Trend, trend};
use library::{Across, AcrossAnswer, Begun, DossierId, Dot, Supplied};
use methods::words::percent;
use methods::{Axis, Chart, Form, Point, Series, Standing, TraitKind};
use quantity::{GAP, Unit, digits};

/// Products that are told.
const MOST: usize = 60;
/// How sure the limits of a slope are, and how rare an order has to be to count as a trend.
const SURE: f64 = 0.95;
/// Days of a year of the calendar, and the year that days count from.
const DAYS: f64 = 365.2425;
const BEGIN: f64 = 1970.0;
/// Digits that a slope is told with.
const DIGITS: i32 = 2;

/// What is asked; nothing where everything is empty.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AcrossAsked {
    /// The beginning of a part or of a maker.
    pub words: String,
    /// A part.
    pub part: String,
    /// A maker.
    pub maker: String,
    /// A figure, by its key.
    pub figure: String,
    /// A class that the figure is told of; empty for all.
    pub class: String,
}

/// What was found.
#[derive(Debug, Clone, Default)]
pub struct AcrossSeen {
    /// Names that begin so.
    pub names: Option<Begun>,
    /// Products with a part.
    pub part: Option<Holders>,
    /// What a maker supplies.
    pub maker: Option<Supplier>,
    /// A figure over the years.
    pub figure: Option<Over>,
    /// The classes there are, the largest first.
    pub classes: Vec<(String, usize)>,
}

/// Products with a part.
#[derive(Debug, Clone)]
pub struct Holders {
    /// The part.
    pub part: String,
    /// Who makes it, as the products say.
    pub makers: Vec<String>,
    /// The products: dossier, name, maker.
    pub products: Vec<(DossierId, String, String)>,
    /// Whether there are more.
    pub more: bool,
}

/// What a maker supplies.
#[derive(Debug, Clone)]
pub struct Supplier {
    /// The maker.
    pub maker: String,
    /// Its parts, the most widespread first.
    pub parts: Vec<Supplied>,
}

/// A figure over the years.
#[derive(Debug, Clone)]
pub struct Over {
    /// Which figure.
    pub kind: TraitKind,
    /// What the trend is.
    pub sentence: String,
    /// The drawing; none under two products.
    pub chart: Option<Chart>,
    /// The products, the latest first: dossier, name, year, value as printed.
    pub rows: Vec<(String, String, String, String)>,
    /// Whether there are earlier ones.
    pub more: bool,
}

impl Desk {
    /// Answers what is asked across products.
    ///
    /// # Errors
    /// A library that cannot be reached.
    pub async fn across(&self, asked: &AcrossAsked) -> Result<AcrossSeen, Problem> {
        let mut seen = AcrossSeen::default();
        let (mut part, mut maker) = (asked.part.clone(), asked.maker.clone());
        let words = asked.words.trim();
        if !words.is_empty()
            && let AcrossAnswer::Begun(names) =
                self.library.across(&Across::Begun(words.into())).await?
        {
            // One name alone is meant.
            match (names.parts.as_slice(), names.makers.as_slice()) {
                ([one], []) => part.clone_from(one),
                ([], [one]) => maker.clone_from(one),
                _ => {}
            }
            seen.names = Some(names);
        }
        if !part.is_empty() {
            seen.part = Some(self.holders(part).await?);
        }
        if !maker.is_empty()
            && let AcrossAnswer::Supplied(parts) = self
                .library
                .across(&Across::Supplied(maker.clone()))
                .await?
        {
            seen.maker = Some(Supplier { maker, parts });
        }
        if let AcrossAnswer::Classes(classes) = self.library.across(&Across::Classes).await? {
            seen.classes = classes;
        }
        if let Some(kind) = TraitKind::of_key(&asked.figure) {
            let class = Some(asked.class.clone()).filter(|class| !class.is_empty());
            let over = Across::Over(kind.key().into(), class.clone());
            if let AcrossAnswer::Over(dots, more) = self.library.across(&over).await? {
                let mixed = class.is_none() && seen.classes.len() > 1;
                seen.figure =
                    Some(blocking(move || Ok(over_years(kind, &dots, more, mixed))).await?);
            }
        }
        Ok(seen)
    }

    async fn holders(&self, part: String) -> Result<Holders, Problem> {
        let found = self.library.with_part(&part, MOST).await?;
        let all = found.hits.iter().flat_map(|hit| &hit.matched);
        let mut makers: Vec<String> = all
            .filter_map(|matched| Some(matched.part.as_ref()?.maker.clone()))
            .filter(|maker| !maker.is_empty())
            .collect();
        makers.sort_unstable();
        makers.dedup();
        let hits = found.hits.into_iter();
        Ok(Holders {
            part,
            makers,
            products: hits
                .map(|hit| (hit.dossier, hit.product, hit.maker))
                .collect(),
            more: found.more,
        })
    }
}

fn over_years(kind: TraitKind, dots: &[Dot], more: bool, mixed: bool) -> Over {
    let unit = kind.unit();
    let years: Vec<f64> = dots
        .iter()
        .map(|dot| BEGIN + dot.day as f64 / DAYS)
        .collect();
    let values: Vec<f64> = dots.iter().map(|dot| unit.of_si(dot.value)).collect();
    let found = trend(&years, &values, SURE);
    let row = |dot: &Dot, year: f64| {
        let half = quantity::COVERED * dot.uncertainty;
        let ends = (unit.of_si(dot.value - half), unit.of_si(dot.value + half));
        let text = quantity::format_measured(unit.of_si(dot.value), ends, &unit);
        let year = format!("{:.0}", year.floor());
        (dot.dossier.clone(), dot.product.clone(), year, text)
    };
    let rows = dots
        .iter()
        .zip(&years)
        .take(MOST)
        .map(|(dot, year)| row(dot, *year));
    Over {
        kind,
        sentence: sentence(kind, dots.len(), found.as_ref(), (more, mixed)),
        chart: chart(kind, dots, (&years, &values), found.as_ref()),
        rows: rows.collect(),
        more,
    }
}

fn sentence(
    kind: TraitKind,
    n: usize,
    found: Option<&Trend>,
    (more, mixed): (bool, bool),
) -> String {
    let of = if more {
        format!("the latest {n} products")
    } else {
        format!("{n} products")
    };
    let words = kind.words();
    let mut told = match found {
        None if n < LEAST => format!(
            "Under {LEAST} products no trend can be told from chance; of this library, {} a day and this figure.",
            methods::words::spelt_of(n, "product has", "products have")
        ),
        None => format!("The days of {of} of this library allow no trend."),
        Some(found) if found.probability > 1.0 - SURE => format!(
            "Over {of} of this library the {words} shows no trend beyond chance (so much order comes by chance in {} of cases).",
            percent(found.probability)
        ),
        Some(found) => {
            let unit = kind.unit();
            let change = |slope: f64| format!("{}{GAP}{}", rounded(slope.abs()), unit.symbol());
            let goes = if found.line.slope < 0.0 {
                "falls"
            } else {
                "rises"
            };
            let (a, b) = match found.line.slope < 0.0 {
                true => (found.line.high, found.line.low),
                false => (found.line.low, found.line.high),
            };
            format!(
                "Over {of} of this library the {words} {goes} by {} a year (95 %: {} to {}); so much order comes by chance in {} of cases.",
                change(found.line.slope),
                change(a),
                change(b),
                percent(found.probability)
            )
        }
    };
    if mixed && found.is_some() {
        told.push_str(" Classes are mixed here, which can turn a trend round: choose one.");
    }
    told
}

fn rounded(value: f64) -> String {
    if value == 0.0 {
        return "0".to_string();
    }
    let power = value.log10().floor() as i32;
    digits::decimal(value, usize::try_from(DIGITS - 1 - power).unwrap_or(0))
}

fn chart(
    kind: TraitKind,
    dots: &[Dot],
    (years, values): (&[f64], &[f64]),
    found: Option<&Trend>,
) -> Option<Chart> {
    let point = |at: f64, value: f64| Point {
        at: Some(at),
        ..Point::new("", value)
    };
    let points = dots.iter().zip(years.iter().zip(values));
    let points: Vec<Point> = points
        .map(|(dot, (year, value))| Point {
            words: dot.product.clone(),
            ..point(*year, *value)
        })
        .collect();
    let ends = years.iter().copied();
    let first = ends.clone().min_by(f64::total_cmp)?;
    let last = ends.max_by(f64::total_cmp)?;
    let mut series = vec![Series {
        words: "Products".to_string(),
        points,
    }];
    if let Some(found) = found.filter(|found| found.probability <= 1.0 - SURE) {
        let on_line = |year: f64| found.line.intercept + found.line.slope * year;
        let ends = [first, last].map(|year| Point {
            standing: Standing::Inferred,
            ..point(year, on_line(year))
        });
        series.push(Series {
            words: "Median line".to_string(),
            points: ends.to_vec(),
        });
    }
    (first < last).then(|| Chart {
        caption: format!(
            "{} over the years, in this library",
            methods::words::capital(kind.words())
        ),
        form: Form::Dots,
        values: Axis {
            quantity: kind.words().to_string(),
            unit: kind.unit(),
        },
        over: Some(Axis {
            quantity: "year".to_string(),
            unit: Unit::parse("").expect("no unit is a unit"),
        }),
        series,
        divisions: Vec::new(),
    })
}
