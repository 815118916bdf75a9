//! The finding on the cost to build.

use super::taken::{Remedy, Taken};
use super::{ANY_VOLUME, RUN};
use crate::assumed;
use crate::grounds::Grounds;
use crate::words::{capital, listed, percent, spelt_of};
use crate::{
    Axis, Case, Cell, Chart, Column, Detail, Finding, Form, Method, Missing, Point, RowsOf, Series,
    Table, Verdict,
};
use ::cost::{Band, BillError, Drivers, Quote, Sort};
use quantity::{Dimension, Sheet, Unit, digits};
use record::Place;

/// Volumes of the curve, as powers of ten of the one asked for, in halves.
const CURVE: std::ops::RangeInclusive<i32> = -4..=2;
/// Drivers that are told.
const DRIVERS: usize = 8;

/// What the draws say.
struct Drawn {
    band: Band,
    curve: Vec<Band>,
    drivers: Drivers,
    quote: Option<Quote>,
}

/// Tells the cost to build; with the band, where there is one.
pub(super) fn built(case: &Case<'_>, taken: &Taken<'_>) -> (Finding, Option<Band>) {
    let title = "What it costs to build";
    let mut finding = Finding::new(Method::Cost, word!("build"), title);
    let mut grounds = Grounds::default();
    let asked = case.dossier.cost.as_ref().and_then(|cost| cost.volume);
    let volume = f64::from(asked.unwrap_or(ANY_VOLUME));
    if asked.is_some() {
        grounds.evidence(Place::dossier().at("cost.volume"));
    }
    let drawn = asked.map(|_| drawn(taken, volume));
    let band = drawn
        .as_ref()
        .and_then(|drawn| Some(drawn.as_ref().ok()?.band));
    match drawn {
        Some(Ok(drawn)) => told(taken, volume, &drawn, &mut finding, &mut grounds),
        Some(Err(error)) => {
            finding.verdict = Some(Verdict::NeedsEvidence);
            finding.sentence = format!("What it costs to build is not told: {error}.");
        }
        None => {
            finding.verdict = Some(Verdict::NeedsEvidence);
            finding.sentence =
                "What it costs to build depends on how many are built, which is not said.".into();
            finding
                .missing
                .push(Missing::at_any_time("say how many are built in all"));
        }
    }
    lacking(taken, &mut finding);
    grounds.source(SOURCE);
    grounds.close(&mut finding);
    (finding, band)
}

fn drawn(taken: &Taken<'_>, volume: f64) -> Result<Drawn, BillError> {
    let bill = &taken.bill;
    let drivers = bill.drivers(volume)?;
    let volumes: Vec<f64> = CURVE
        .map(|half| (volume * 10_f64.powf(f64::from(half) / 2.0)).round())
        .filter(|v| *v >= 1.0)
        .collect();
    Ok(Drawn {
        band: bill.rollup(volume, RUN)?.band,
        curve: bill.curve(&volumes)?,
        quote: drivers.best_quote(volume),
        drivers,
    })
}

fn unit_of(taken: &Taken<'_>) -> Unit {
    Unit::coherent(Dimension::money(taken.bill.currency))
}

fn told(
    taken: &Taken<'_>,
    volume: f64,
    drawn: &Drawn,
    finding: &mut Finding,
    grounds: &mut Grounds,
) {
    let unit = unit_of(taken);
    let figures = Digits::of(&drawn.band);
    let code = unit.symbol();
    let band = &drawn.band;
    let number = digits::decimal(volume, 0);
    finding.sentence = format!(
        "At {number} built, one piece costs {} to {} {code} 8 times in 10, as likely below {} {code} as above",
        figures.text(band.low),
        figures.text(band.high),
        figures.text(band.median),
    );
    if !taken.lacking.is_empty() {
        finding.sentence += &format!(
            "; {} without a price or an amount {} left out",
            spelt_of(taken.lacking.len(), "thing", "things"),
            if taken.lacking.len() == 1 {
                "is"
            } else {
                "are"
            },
        );
    }
    finding.sentence += ".";
    let top = drawn
        .drivers
        .drivers
        .first()
        .filter(|driver| driver.share > 0.0);
    if let Some(top) = top {
        let share = percent(top.share);
        let of = match top.sort {
            Sort::Price => "the price of ",
            _ => "",
        };
        finding.sentence += &format!(
            " The largest share of the doubt, {share} of the variance, rests on {of}{}",
            top.name
        );
        if top.sourced {
            finding.sentence += ".";
        } else {
            finding.verdict = Some(Verdict::Undecided);
            finding.sentence += ", for which there is no source, so this decides nothing.";
        }
    }
    if let Some(quote) = &drawn.quote {
        finding.missing.push(Missing::at_any_time(format!(
            "ask for a quote of {}: of all quotes it would narrow most, to {} {code} to {} {code} if it confirms what is thought",
            quote.name,
            figures.text(quote.then.low),
            figures.text(quote.then.high),
        )));
    }
    let sheet = Sheet::new();
    match taken
        .bill
        .term(&sheet, volume)
        .map(|term| sheet.figure(term))
    {
        Ok(figure) => finding.add_result(word!("cost"), "the cost of one piece", figure),
        Err(error) => finding.unused.push(error.to_string()),
    }
    finding.details.push(Detail::Chart(curve(drawn, &unit)));
    finding.details.extend(breakdown(taken, volume, &unit));
    finding.details.push(Detail::Table(drivers(drawn)));
    finding.details.extend(lines(taken, volume, &unit));
    grounds.assume(format!(
        "Prices hold for the volume asked for: between two quoted quantities along a power law, beyond the last one with \
         its slope and a doubt that grows by {} of the logarithm with every tenfold; quote a larger quantity to change it",
        assumed::PRICE_BEYOND.text()
    ));
    grounds.assume(
        "Amounts (sizes, weights, energies, counts) are taken as recorded; their doubt is small beside that of prices",
    );
    grounds.assume(
        "Royalties, software, warranty, development, freight and duty are not included unless the price book has them",
    );
}

/// Decimals that a cost is told with: by the width of its band, or, of parts of it, by the whole.
struct Digits(usize);

impl Digits {
    fn of_value(value: f64) -> Self {
        Self(digits::significant(value, 4))
    }

    fn rounded(&self, value: f64) -> f64 {
        let scale = 10_f64.powi(i32::try_from(self.0).unwrap_or(0));
        (value * scale).round() / scale
    }

    fn of(band: &Band) -> Self {
        let width = band.width();
        Self(match width > 0.0 {
            true => digits::significant(width, 2),
            false => digits::significant(band.median, 3),
        })
    }

    fn cell(&self, value: f64) -> Cell {
        Cell::number(value, self.0)
    }

    fn text(&self, value: f64) -> String {
        digits::decimal(value, self.0)
    }
}

fn curve(drawn: &Drawn, unit: &Unit) -> Chart {
    let point = |band: &Band| Point {
        at: Some(band.volume),
        low: Some(band.low),
        high: Some(band.high),
        ..Point::new("", band.median)
    };
    Chart {
        caption:
            "Cost of one piece against how many are built; lines up and down hold it 8 times in 10"
                .into(),
        form: Form::Ratios,
        values: Axis {
            quantity: "cost of one piece".into(),
            unit: unit.clone(),
        },
        over: Some(Axis {
            quantity: "pieces built".into(),
            unit: Unit::coherent(Dimension::NONE),
        }),
        series: vec![Series {
            words: "median".into(),
            points: drawn.curve.iter().map(point).collect(),
        }],
        divisions: Vec::new(),
    }
}

fn breakdown(taken: &Taken<'_>, volume: f64, unit: &Unit) -> Option<Detail> {
    let point = taken.bill.point(volume).ok()?;
    let groups = point.groups.iter();
    let digits = Digits::of_value(point.total);
    let points = groups.map(|(group, cost)| {
        let words = format!(
            "{}, {}",
            capital(group.words()),
            percent(cost / point.total)
        );
        Point::new(words, digits.rounded(*cost))
    });
    Some(Detail::Chart(Chart {
        caption: "What the cost of one piece is made of, each line at its likeliest".into(),
        form: Form::Bars,
        values: Axis {
            quantity: "cost".into(),
            unit: unit.clone(),
        },
        over: None,
        series: vec![Series {
            words: String::new(),
            points: points.collect(),
        }],
        divisions: Vec::new(),
    }))
}

fn drivers(drawn: &Drawn) -> Table {
    let told = drawn.drivers.drivers.iter().take(DRIVERS);
    let rows = told.filter(|d| d.share > 0.0).map(|driver| {
        vec![
            Cell::words(capital(&driver.name)),
            Cell::words(sort(driver.sort)),
            Cell::probability(driver.share),
            Cell::words(if driver.sourced { "yes" } else { "no" }),
        ]
    });
    Table {
        caption: "What the uncertainty of the cost rests on".into(),
        columns: vec![
            Column::words("What"),
            Column::words("Kind"),
            Column::new("Share of the variance", crate::Kind::Probability),
            Column::words("Has a source"),
        ],
        rows: rows.collect(),
    }
}

const fn sort(sort: Sort) -> &'static str {
    match sort {
        Sort::Price => "price",
        Sort::Amount => "amount",
        Sort::Rate => "rate of exchange",
        Sort::Index => "index",
        Sort::Yield => "yield",
        Sort::Overhead => "overhead",
    }
}

fn lines(taken: &Taken<'_>, volume: f64, unit: &Unit) -> Option<Detail> {
    let point = taken.bill.point(volume).ok()?;
    let mut all: Vec<_> = taken
        .bill
        .lines
        .iter()
        .zip(&taken.rows)
        .zip(point.lines)
        .collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    let figures = Digits::of_value(point.total);
    let rows = all.into_iter().map(|((line, row), adds)| {
        let amount = match row.of {
            "" => Cell::number(row.amount, 0),
            of => Cell::quantity(three_digits(row.amount), crate::inputs::unit(of)),
        };
        vec![
            match &row.place {
                Some(place) => Cell::place(place.clone(), capital(&line.name)),
                None => Cell::words(capital(&line.name)),
            },
            Cell::words(line.group.words()),
            amount,
            figures.cell(adds),
            Cell::words(&row.from),
        ]
    });
    let columns = vec![
        Column::place("Line"),
        Column::words("For"),
        Column::quantity("Amount in one"),
        Column::in_unit("Adds", unit.clone()),
        Column::words("Price from"),
    ];
    RowsOf::Costs.table(columns, rows.collect())
}

/// Amounts are told to three digits: a price rarely has more.
fn three_digits(value: f64) -> f64 {
    digits::rounded(value, digits::significant(value, 3))
}

/// Lists what has no price: it is never counted as nothing in silence.
fn lacking(taken: &Taken<'_>, finding: &mut Finding) {
    let names = taken.lacking.iter().map(|(what, _)| what.clone());
    if taken.lacking.is_empty() {
        return;
    }
    finding.unused.push(format!(
        "without a price, and not in the cost: {}",
        listed(names.collect())
    ));
    let of = |wanted: fn(&Remedy) -> Option<&String>| -> Vec<String> {
        let all = taken.lacking.iter();
        all.filter_map(|(_, remedy)| wanted(remedy).cloned())
            .collect()
    };
    let mut told = Vec::new();
    // One errand for all that is weighed, measured or asked for.
    for (what, begin, end) in [
        (of(Remedy::mass), "weigh", ""),
        (of(Remedy::size), "measure length and width of", ""),
        (
            of(Remedy::price),
            "find a price for",
            ", or for their class",
        ),
    ] {
        if !what.is_empty() {
            told.push(format!("{begin} {}{end}", listed(what)));
        }
    }
    told.extend(of(Remedy::words));
    for remedy in told {
        let missing = Missing::at_any_time(remedy);
        if !finding.missing.contains(&missing) {
            finding.missing.push(missing);
        }
    }
}

const SOURCE: &str = "JCGM 101:2008, 7 (propagation of distributions); power law of price against quantity, whole tools over the \
    volume, yields by level: common practice";
