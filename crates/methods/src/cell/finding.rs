//! The cells as findings.

use super::bands::{self, Place};
use super::label::{PairFit, cell_code, pair};
use super::{size, transport};
use crate::cells::{LITHIUM, is_lithium};
use crate::{Answer, Case, FigureKey, Finding, Method, Missing, Verdict, basis};
use quantity::{Dimension, Figure, Input, Origin, Sheet, Stated, Term, format_quantity};
use record::{CellFacts, Item, ItemKind, ReadingSubject};

const BAND_SOURCE: &str = "Bands of specific energy and energy density: band edges are usual practice, from \
    memory; points inside them are from data sheets of cells.";
const PAIR_SOURCE: &str = "Nominal and limit voltage pairs: cell data sheets (3.6/4.2 V, 3.7/4.2 V, \
    3.2/3.65 V); others usual practice, from memory.";
const TRANSPORT_SOURCE: &str = "Transport thresholds: 49 CFR 173.185(c)(1)(i); UN Model Regulations, special \
    provision 188; ADR 2.2.9.1.7. The edition in force decides.";

/// Answers what energy each cell of a dossier holds.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let items = case.dossier.items.iter();
    let cells = items.filter(|i| i.kind == ItemKind::Cell);
    cells
        .map(|item| {
            case.go_on()?;
            Ok(one(case, item))
        })
        .collect()
}

/// A stated figure of a cell as an input, if it has the right dimension and is more than zero.
fn input(item: &Item, facts: &CellFacts, name: &str, key: &str, stated: &Stated) -> Input {
    basis::stated_input(
        name,
        stated,
        facts.origin.unwrap_or(Origin::Label),
        record::Place::item(&item.id).at("cell").at(key),
        &item.evidence,
    )
}

fn usable(stated: Option<&Stated>, dimension: Dimension) -> Option<&Stated> {
    stated.filter(|s| s.dimension() == dimension && s.si() > 0.0 && s.si().is_finite())
}

fn one<'d>(case: &Case<'d>, item: &'d Item) -> Finding {
    let title = format!("What energy is in {}?", item.name);
    let mut finding =
        Finding::new(Method::Cell, word!("energy"), title).about(record::Place::item(&item.id));
    if is_lithium(item) {
        finding.caution(LITHIUM);
    }
    let Some(facts) = &item.cell else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!("Nothing is recorded about the cell {}.", item.name);
        finding
            .missing
            .push(read_label(item, "capacity, nominal voltage and form"));
        return finding;
    };
    let sheet = Sheet::new();
    let charge = usable(facts.capacity.as_ref(), Dimension::CHARGE);
    let voltage = usable(facts.nominal_voltage.as_ref(), Dimension::VOLTAGE);
    let printed = usable(facts.energy.as_ref(), Dimension::ENERGY);
    let watt_hours = basis::unit("Wh");
    let computed = match (charge, voltage) {
        (Some(q), Some(v)) => {
            let q = sheet.input(input(item, facts, "capacity", "capacity", q));
            let v = sheet.input(input(item, facts, "nominal voltage", "nominal-voltage", v));
            Some((q * v).named("energy", &watt_hours))
        }
        _ => None,
    };
    let energy = computed.or_else(|| {
        printed.map(|e| sheet.input(input(item, facts, "printed energy", "energy", e)))
    });
    let Some(energy) = energy else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "The energy of {} is not known: capacity or nominal voltage is missing.",
            item.name
        );
        finding
            .missing
            .push(read_label(item, "capacity and nominal voltage"));
        voltages(facts, &mut finding);
        return finding;
    };
    let value = match sheet.figure(energy) {
        Ok(figure) => {
            let value = (figure.value, figure.standard_uncertainty);
            finding.sentence = format!("{} holds {}.", item.name, figure.text);
            finding.add_figure(word!("energy"), figure);
            value
        }
        Err(error) => {
            finding.verdict = Some(Verdict::NeedsEvidence);
            finding.sentence =
                format!("The energy of {} cannot be worked out: {error}.", item.name);
            return finding;
        }
    };
    let agrees = compare_printed(&mut finding, computed.and(printed), value);
    measured_energy(case, item, facts, &mut finding);
    let volume = size::volume(&sheet, case.sizes(), item);
    let round = volume.round;
    let places = densities(
        case,
        item,
        facts,
        &sheet,
        (energy, value.0),
        volume,
        &mut finding,
    );
    code(item, &mut finding);
    voltages(facts, &mut finding);
    if is_lithium(item) {
        let button = round.is_some_and(|(d, h)| transport::is_button(d, h));
        finding.sentence.push(' ');
        finding
            .sentence
            .push_str(&transport::sentence(value.0, value.1, button));
        finding.caution(
            "Sending cells or products with cells is dangerous-goods transport with exceptions; follow the \
             rules in force and have it done by trained people. Never send damaged cells by air.",
        );
        finding.cite(TRANSPORT_SOURCE);
    }
    finding.verdict = Some(decide(agrees, &places, &mut finding));
    if item.count.at_least() > 1 {
        finding.assume(format!(
            "Figures are for one of {} equal cells.",
            item.count.at_least()
        ));
    }
    finding
}

/// A band question answered: what, where it lies.
type Placed = (&'static str, Place);

fn decide(agrees: Option<bool>, places: &[Placed], finding: &mut Finding) -> Verdict {
    if agrees == Some(false) {
        return Verdict::Fails;
    }
    if places.is_empty() {
        return Verdict::NeedsEvidence;
    }
    let odd: Vec<&str> = places
        .iter()
        .filter(|(_, p)| matches!(p, Place::Below | Place::Above))
        .map(|(what, _)| *what)
        .collect();
    if places.iter().all(|(_, p)| *p == Place::Inside) {
        finding.sentence.push_str(" The label is believable.");
        return Verdict::Holds;
    }
    if !odd.is_empty() {
        finding.missing.push(Missing {
            measure: "discharge the full cell at a fifth of its rated charge per hour and record the charge; \
                the figures are outside what is usual"
                .to_string(),
            resolution: Some("1 % of the rated capacity".to_string()),
            before_step: None,
            too_late: false,
        });
    }
    Verdict::Undecided
}

fn read_label(item: &Item, what: &str) -> Missing {
    Missing::at_any_time(format!("read {what} off {}", item.name))
}

/// Compares charge times voltage with the printed energy: they agree if rounding of the three printed
/// figures can explain the difference.
fn compare_printed(
    finding: &mut Finding,
    printed: Option<&Stated>,
    (energy, uncertainty): (f64, f64),
) -> Option<bool> {
    let printed = printed?;
    let wh = basis::unit("Wh");
    let shown = wh.of_si(printed.si());
    let half_digit = wh.of_si(printed.unit.to_si(0.5 * printed.last_digit));
    // Rectangular inputs reach √3 times their standard uncertainty.
    let reach = half_digit.abs() + 3_f64.sqrt() * uncertainty;
    let agrees = (energy - shown).abs() <= reach * (1.0 + 1e-9);
    finding.sentence.push_str(&if agrees {
        format!(" The printed {printed} is its capacity times its nominal voltage.")
    } else {
        format!(
            " The printed {printed} is not its capacity times its nominal voltage ({}); rounding explains at \
             most {} of the difference.",
            format_quantity(round3(energy), &wh),
            format_quantity(round3(reach), &wh),
        )
    });
    Some(agrees)
}

fn round3(x: f64) -> f64 {
    (x * 1000.0).round() / 1000.0
}

/// Energy from a measured charge, where one was taken.
fn measured_energy(case: &Case<'_>, item: &Item, facts: &CellFacts, finding: &mut Finding) {
    let Some(voltage) = usable(facts.nominal_voltage.as_ref(), Dimension::VOLTAGE) else {
        return;
    };
    for reading in case.lookup().readings_of(&item.id, ReadingSubject::Charge) {
        if usable(Some(&reading.value), Dimension::CHARGE).is_none() {
            finding
                .unused
                .push(format!("Reading '{}' is not a charge.", reading.id));
            continue;
        }
        let sheet = Sheet::new();
        let q = sheet.input(case.reading_input(reading, "measured charge"));
        let v = sheet.input(input(
            item,
            facts,
            "nominal voltage",
            "nominal-voltage",
            voltage,
        ));
        let result = sheet.figure((q * v).named("energy from measured charge", &basis::unit("Wh")));
        let key =
            FigureKey::from(word!("energy-from-charge")).of(record::Place::reading(&reading.id));
        finding.add_result(key, "energy from measured charge", result);
    }
}

/// Specific energy and energy density against the bands; `energy` as a term and in Wh.
fn densities<'s>(
    case: &Case<'_>,
    item: &Item,
    facts: &CellFacts,
    sheet: &'s Sheet,
    (energy, energy_wh): (Term<'s>, f64),
    volume: size::Volume<'s>,
    finding: &mut Finding,
) -> Vec<Placed> {
    let chemistry = facts.chemistry.as_deref().unwrap_or("");
    let band = bands::band(&facts.form, chemistry, energy_wh);
    let mut places = Vec::new();
    match case
        .masses()
        .input(&item.id, "mass")
        .filter(|m| m.distribution.mean() > 0.0)
    {
        Some(input) => {
            let term = energy / sheet.input(input);
            let result = sheet.figure(term.named("specific energy", &basis::unit("Wh/kg")));
            if let Some(place) = placed(
                finding,
                "specific energy",
                &result,
                band.map(|b| (b.name, b.specific)),
            ) {
                places.push(place);
            }
            finding.add_result(word!("specific-energy"), "specific energy", result);
        }
        None => finding.missing.push(Missing {
            measure: format!("weigh {} alone", item.name),
            resolution: Some("0.01 g".to_string()),
            before_step: None,
            too_late: false,
        }),
    }
    finding.unused.extend(volume.remarks);
    match volume.term {
        Some(term) => {
            let result =
                sheet.figure((energy / term).named("energy density", &basis::unit("Wh/L")));
            if let Some(place) = placed(
                finding,
                "energy density",
                &result,
                band.map(|b| (b.name, b.density)),
            ) {
                places.push(place);
            }
            finding.add_result(word!("energy-density"), "energy density", result);
        }
        None => finding.missing.push(Missing {
            measure: format!("measure {} of {}", volume.missing.join(", "), item.name),
            resolution: Some("0.1 mm".to_string()),
            before_step: None,
            too_late: false,
        }),
    }
    if band.is_some() {
        finding.cite(BAND_SOURCE);
    } else {
        finding.unused.push(format!(
            "No band is known for form '{}' with chemistry '{chemistry}', so the label is not judged by \
             density.",
            facts.form
        ));
    }
    if facts.chemistry.is_none() {
        finding.assume(
            "The chemistry is not stated; lithium ion is taken. Set 'chemistry' to change this.",
        );
    }
    places
}

/// Places a figure against its band and says so.
fn placed(
    finding: &mut Finding,
    what: &'static str,
    result: &Result<Figure, quantity::SheetError>,
    band: Option<(&str, (f64, f64))>,
) -> Option<Placed> {
    let figure = result.as_ref().ok()?;
    let (name, edges) = band?;
    let place = bands::place(figure.value, figure.standard_uncertainty, edges);
    let unit = figure.unit.symbol();
    finding.sentence.push_str(&format!(
        " Its {what}, {}, is {} the {}–{} {unit} usual for {name}.",
        figure.text,
        match place {
            Place::Inside => "within",
            Place::Edge => "at the edge of",
            Place::Below => "below",
            Place::Above => "above",
        },
        edges.0,
        edges.1,
    ));
    Some((what, place))
}

/// Says what a cell code among the marking means.
fn code(item: &Item, finding: &mut Finding) {
    let lines = item.part.iter().flat_map(|p| &p.marking);
    let words = lines.flat_map(|l| l.split_whitespace());
    for (word, code) in words.filter_map(|w| cell_code(w).map(|c| (w, c))) {
        let size = match code.width {
            Some(width) => format!("{} mm × {width} mm × {} mm", code.first, code.height),
            None => format!("{} mm × {} mm", code.first, code.height),
        };
        finding.sentence.push_str(&format!(
            " Its code {word} stands for {}, {}, at most {size}.",
            if code.negative == 'I' {
                "lithium ion"
            } else {
                "lithium metal"
            },
            if code.shape == 'R' {
                "cylindrical"
            } else {
                "prismatic"
            },
        ));
        finding.cite("Cell designation: IEC 61960, 5.1.");
    }
}

fn voltages(facts: &CellFacts, finding: &mut Finding) {
    let nominal = usable(facts.nominal_voltage.as_ref(), Dimension::VOLTAGE);
    let limit = usable(facts.limit_voltage.as_ref(), Dimension::VOLTAGE);
    let (Some(nominal), Some(limit)) = (nominal, limit) else {
        finding.unused.push(
            "Nominal and limit voltage are not both known, so the pair is not checked.".into(),
        );
        return;
    };
    if !bands::is_phosphate(facts.chemistry.as_deref().unwrap_or(""))
        && !facts
            .chemistry
            .as_deref()
            .is_none_or(|c| c.to_lowercase().starts_with("li"))
    {
        return;
    }
    finding.cite(PAIR_SOURCE);
    finding.sentence.push_str(&match pair(nominal.si(), limit.si()) {
        PairFit::Usual(p) => {
            format!(" {nominal} nominal with a limit of {limit} is usual for {}.", p.where_seen)
        }
        PairFit::OtherLimit(p) => format!(
            " {nominal} nominal usually goes with a limit of {} V, not {limit}: one of the two may be misread.",
            p.limit
        ),
        PairFit::Unknown => {
            format!(" {nominal} nominal with a limit of {limit} is not among the usual pairs.")
        }
    });
}
