//! Label arithmetic.
//!
//! In: a rating with its alternatives. Out: whether the printed watts can be volts × amperes.
//!
//! Volts and amperes are nominal, so only the rounding of the watts forgives. Watts above the product of the
//! upper ends fail. Watts below it fail only where they are written as that product; else they are a second
//! figure (consumption, a limit that alternatives or outputs share), which stays undecided.

use crate::grounds::Grounds;
use crate::inputs::{tidy, unit};
use crate::network::Printed;
use crate::words::capital;
use crate::{Cell, FigureKey, Finding, Method, Missing, RowsOf, Verdict};
use quantity::{Choice, Dimension, Origin, Rating, Sheet, Stated, format_quantity};
use record::Place;

/// What one printed power says beside volts and amperes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    /// Within the rounding of the watts.
    Agrees,
    /// Less than volts × amperes, and not written as their product.
    Second,
    /// Not what it is written as.
    Contradicts,
}

/// One comparison of watts with the product of volts and amperes.
struct Compared<'r> {
    choice: &'r Choice,
    watts: &'r Stated,
    fit: Fit,
    /// Volts × amperes at the ends that the watts are held against, W.
    product: f64,
}

/// Compares watts with a product that runs from `low` to `high` W.
fn fit(watts: &Stated, (low, high): (f64, f64), product: bool) -> Fit {
    let half = 0.5 * watts.last_digit * watts.unit.factor();
    // A hair of slack keeps an exact half from failing by the last bit of a product.
    let slack = half + 1e-9 * high.abs();
    let (least, most) = (watts.low_si(), watts.high_si());
    if least > high + slack || (product && most < low - slack) {
        Fit::Contradicts
    } else if most >= high - slack {
        Fit::Agrees
    } else {
        Fit::Second
    }
}

/// Holds every printed power against its own volts and amperes, and one that stands for all against the
/// greatest product.
fn compare(rating: &Rating) -> Vec<Compared<'_>> {
    let own = rating.choices.iter().filter_map(|choice| {
        let (watts, ends) = (choice.power.as_ref()?, choice.volt_amperes()?);
        Some(Compared {
            choice,
            watts,
            fit: fit(watts, ends, choice.product),
            product: ends.1,
        })
    });
    let total = rating.total.as_ref().and_then(|watts| {
        let products = rating.choices.iter();
        let products = products.filter_map(|c| Some((c, c.volt_amperes()?)));
        let (choice, ends) = products.max_by(|a, b| a.1.1.total_cmp(&b.1.1))?;
        Some(Compared {
            choice,
            watts,
            fit: fit(watts, ends, false),
            product: ends.1,
        })
    });
    own.chain(total).collect()
}

/// Says the product of volts and amperes that watts are held against.
fn says(one: &Compared<'_>) -> String {
    let show = |s: &Option<Stated>, unit_of: &str| {
        s.as_ref().map_or_else(String::new, |s| {
            format_quantity(tidy(s.high_si()), &unit(unit_of))
        })
    };
    format!(
        "{} ×\u{202f}{} = {}",
        show(&one.choice.voltage, "V"),
        show(&one.choice.current, "A"),
        format_quantity(tidy(one.product), &unit("W"))
    )
}

/// Says whether the printed watts of a rating can be volts × amperes, with the sum; none where no watts are printed.
pub fn sum(rating: &Rating) -> Option<(bool, String)> {
    let compared = compare(rating);
    let worst = compared.iter().max_by_key(|c| c.fit)?;
    let told = match worst.fit {
        Fit::Agrees => "agrees".to_string(),
        Fit::Second | Fit::Contradicts => format!("printed {}", worst.watts),
    };
    Some((
        worst.fit != Fit::Contradicts,
        format!("{}, {told}", says(worst)),
    ))
}

/// Compares V × A with the printed W.
pub(crate) fn arithmetic(
    printed: &Printed,
    side: Option<&str>,
    on: Place,
) -> Option<(Finding, Vec<Cell>)> {
    let compared = compare(&printed.rating);
    let worst = compared.iter().max_by_key(|c| c.fit)?;
    let mut finding = Finding::new(
        Method::Power,
        word!("label"),
        format!("Does the sum agree? {}", printed.rating),
    )
    .on(on.clone());
    finding.id.words.extend(side.map(str::to_string));
    let mut grounds = Grounds::default();
    let sheet = Sheet::new();
    for (k, one) in compared.iter().enumerate() {
        let mut term = |name: &str, stated: &Stated, dimension| {
            let mut top = stated.clone();
            top.value = stated.high_si() / stated.unit.factor();
            let place = printed.place.clone();
            grounds.nominal(&sheet, name, &top, dimension, Origin::Label, place)
        };
        let volts = one.choice.voltage.as_ref();
        let volts = volts.and_then(|v| term("voltage", v, Dimension::VOLTAGE));
        let amps = one.choice.current.as_ref();
        let amps = amps.and_then(|a| term("current", a, Dimension::CURRENT));
        if let Some((volts, amps)) = volts.zip(amps) {
            let name = match compared.len() {
                1 => "power".to_string(),
                _ => format!("power, alternative {}", k + 1),
            };
            let mut key = FigureKey::from(word!("power"));
            if k > 0 {
                key.words.push((k + 1).to_string());
            }
            finding.add_result(
                key,
                "power",
                sheet.figure((volts * amps).named(&name, &unit("W"))),
            );
        }
    }
    let by = &printed.by;
    (finding.verdict, finding.sentence) = match worst.fit {
        Fit::Agrees => {
            let all: Vec<String> = compared
                .iter()
                .map(|c| format!("{} agrees with the printed {}", says(c), c.watts))
                .collect();
            (
                Some(Verdict::Holds),
                format!(
                    "The {by}: {}, within the rounding of the watts.",
                    all.join("; ")
                ),
            )
        }
        Fit::Second => {
            finding.missing.push(Missing::at_any_time(
                "measure the power at the greatest load, or find out whether several outputs share the watts",
            ));
            (
                Some(Verdict::Undecided),
                format!(
                    "The {by}: {}, but {} is printed. As less than the product it can be a second figure, such as what \
                     is consumed or a limit that is shared: undecided.",
                    says(worst),
                    worst.watts
                ),
            )
        }
        Fit::Contradicts => (
            Some(Verdict::Fails),
            format!(
                "The {by} contradicts itself: {}, but {} is printed, which no rounding explains.",
                says(worst),
                worst.watts
            ),
        ),
    };
    grounds.assume(
        "printed volts and amperes are nominal; the printed watts may be off by half a unit of their last digit",
    );
    grounds.close(&mut finding);
    finding.told_in = Some(RowsOf::Sums);
    let row = vec![
        Cell::place(on, capital(by)),
        Cell::words(format!("“{}”", printed.rating)),
        Cell::words(capital(
            &compared.iter().map(says).collect::<Vec<_>>().join("; "),
        )),
        finding.verdict.map_or(Cell::Nothing, Cell::verdict),
    ];
    Some((finding, row))
}
