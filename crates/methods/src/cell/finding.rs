//! The cells as findings.

use super::density::{Positioned, densities};
use super::label::cell_code;
use super::rows;
use super::transport::{self, Shipment};
use super::voltages::voltages;
use crate::cells::reach::{BandPosition, three_digits};
use crate::cells::{care, volume};
use crate::chemistry::{self, Assigned, Family};
use crate::grounds::Grounds;
use crate::network::one_cell_voltage;
use crate::words::{the, the_start};
use crate::{Answer, Case, FigureKey, Finding, Method, Missing, RowsOf, Verdict, inputs};
use quantity::{Dimension, Input, Origin, Sheet, Stated, format_quantity};
use record::{CellFacts, Item, ItemKind, ReadingSubject};

const TRANSPORT_SOURCE: &str = "UN Model Regulations, special provision 188 and list of dangerous goods; 49 CFR \
    173.185(c)(1). The edition in force decides.";

/// Answers what energy each cell of a dossier holds.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let items = case.dossier.items.iter();
    let mut findings = Vec::new();
    let mut rows = Vec::new();
    for item in items.filter(|i| i.kind == ItemKind::Cell) {
        case.go_on()?;
        let finding = one(case, item);
        rows.push(rows::row(case, item, &finding));
        findings.push(finding);
    }
    if let Some(first) = findings.first_mut() {
        first.details.extend(rows::table(rows));
    }
    Ok(findings)
}

/// A stated figure of a cell as an input, if it has the right dimension and is more than zero.
fn input(item: &Item, facts: &CellFacts, name: &str, key: &str, stated: &Stated) -> Input {
    inputs::stated_input(
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
    let title = format!("Is {} what its label says?", the(item));
    let mut finding =
        Finding::new(Method::Cell, word!("energy"), title).about(record::Place::item(&item.id));
    finding.told_in = Some(RowsOf::Cells);
    care::warn(case, item, &mut finding);
    let taken = chemistry::taken(item);
    let Some(facts) = &item.cell else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!("Nothing is recorded about {}.", the(item));
        finding
            .missing
            .push(read_label(item, "capacity, nominal voltage and form"));
        return finding;
    };
    let sheet = Sheet::new();
    let charge = usable(facts.capacity.as_ref(), Dimension::CHARGE);
    let voltage = usable(facts.nominal_voltage.as_ref(), Dimension::VOLTAGE);
    let printed = usable(facts.energy.as_ref(), Dimension::ENERGY);
    let watt_hours = inputs::unit("Wh");
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
            the(item)
        );
        finding
            .missing
            .push(read_label(item, "capacity and nominal voltage"));
        voltages(facts, taken, &mut finding);
        ship(case, item, facts, taken, None, &mut finding);
        tell_danger(case, item, &mut finding);
        return finding;
    };
    let value = match sheet.figure(energy) {
        Ok(figure) => {
            let value = (figure.value, figure.standard_uncertainty);
            let by = match facts.origin {
                None | Some(Origin::Label) => " by its label",
                Some(Origin::DataSheet) => " by its data sheet",
                Some(_) => "",
            };
            finding.sentence = format!("{} holds {}{by}.", the_start(item), figure.text);
            finding.add_figure(word!("energy"), figure);
            value
        }
        Err(error) => {
            finding.verdict = Some(Verdict::NeedsEvidence);
            finding.sentence =
                format!("The energy of {} cannot be worked out: {error}.", the(item));
            return finding;
        }
    };
    let agrees = compare_printed(&mut finding, computed.and(printed), value);
    measured_energy(case, item, facts, &mut finding);
    let volume = volume::volume(&sheet, case.sizes(), item);
    let round = volume.round;
    let places = densities(
        case,
        item,
        taken.chemistry,
        &sheet,
        (energy, value.0),
        volume,
        &mut finding,
    );
    code(item, &mut finding);
    let odd = !voltages(facts, taken, &mut finding);
    ship(case, item, facts, taken, round, &mut finding);
    tell_danger(case, item, &mut finding);
    finding.verdict = Some(decide(case, item, agrees, odd, &places, &mut finding));
    if item.count.at_least() > 1 {
        finding.assume(format!(
            "Figures are for one of {} equal cells.",
            item.count.at_least()
        ));
    }
    finding
}

fn tell_danger(case: &Case<'_>, item: &Item, finding: &mut Finding) {
    if let Some(danger) = case.dangers().get(&item.id) {
        finding.sentence.push_str(&format!(
            " It {}: stop, and see the caution.",
            danger.words()
        ));
    }
}

/// Says what the transport rules ask, by what is printed.
fn ship(
    case: &Case<'_>,
    item: &Item,
    facts: &CellFacts,
    taken: Assigned,
    round: Option<(f64, f64)>,
    finding: &mut Finding,
) {
    let shipment = shipment(case, item, facts, taken, round);
    finding.sentence.push(' ');
    finding.sentence.push_str(&transport::sentence(&shipment));
    if let Some(what) = transport::missing(&shipment) {
        finding.missing.push(read_label(item, what));
    }
    if taken.chemistry.family().may_hold_lithium() || taken.chemistry.family() == Family::SodiumIon
    {
        finding.caution(
            "Sending cells or products with cells is dangerous-goods transport with exceptions; follow the \
             rules in force and have it done by trained people. Never send damaged cells by air.",
        );
    }
    finding.cite(TRANSPORT_SOURCE);
}

/// Returns what of a cell the transport rules ask for; `round` is its diameter and height, m.
pub(super) fn shipment<'d>(
    case: &Case<'_>,
    item: &Item,
    facts: &'d CellFacts,
    taken: Assigned,
    round: Option<(f64, f64)>,
) -> Shipment<'d> {
    let printed = facts.origin != Some(Origin::Measured);
    let rated = |stated: Option<&Stated>, dimension| {
        usable(stated, dimension)
            .filter(|_| printed)
            .map(Stated::si)
    };
    let charge = rated(facts.capacity.as_ref(), Dimension::CHARGE);
    let volts = rated(facts.nominal_voltage.as_ref(), Dimension::VOLTAGE);
    let energy = rated(facts.energy.as_ref(), Dimension::ENERGY)
        .or_else(|| charge.zip(volts).map(|(q, v)| q * v));
    let joined = |n: Option<u32>| n.is_some_and(|n| n > 1);
    Shipment {
        chemistry: taken.chemistry,
        rechargeable: chemistry::is_rechargeable(item),
        // A pack that is stated to be one cell is a cell.
        battery: joined(facts.series)
            || joined(facts.parallel)
            || facts.form == "pack" && !(facts.series == Some(1) && facts.parallel == Some(1)),
        rated_wh: energy.map(|e| inputs::unit("Wh").of_si(e)),
        rated_ah: charge.map(|q| inputs::unit("Ah").of_si(q)),
        lithium: usable(facts.lithium_content.as_ref(), Dimension::MASS),
        button: round.is_some_and(|(d, h)| transport::is_button(d, h)),
        in_danger: case.dangers().get(&item.id).is_some(),
    }
}

fn decide<'d>(
    case: &Case<'d>,
    item: &'d Item,
    agrees: Option<bool>,
    odd: bool,
    places: &[Positioned],
    finding: &mut Finding,
) -> Verdict {
    let most = places.iter().map(|(_, p)| *p).max();
    if most >= Some(BandPosition::Unusual) {
        finding
            .missing
            .push(care::instead(case, Some(&item.id), care::Current::Discharges).unwrap_or_else(
                || Missing {
                    measure: format!(
                        "discharge {} from full at a fifth of its rated charge per hour and record the charge; \
                         its print promises more than is usual",
                        the(item)
                    ),
                    resolution: Some("1 % of the rated capacity".to_string()),
                    before_step: None,
                    too_late: false,
                    settles: None,
                },
            ));
    }
    if most == Some(BandPosition::Beyond) {
        finding
            .sentence
            .push_str(" What is printed cannot be in it");
        if let Some(allowed) = case.energy_allowed(item).first() {
            finding.sentence.push_str(&format!(": {}", allowed.words()));
            let nominal = item.cell.as_ref().and_then(|c| c.nominal_voltage.as_ref());
            if let Some(volts) = usable(nominal, Dimension::VOLTAGE) {
                finding.sentence.push_str(&format!(
                    ", which is {} mAh at {volts}",
                    three_digits(allowed.capacity_mah(volts.si()))
                ));
            }
        }
        finding.sentence.push('.');
        return Verdict::Fails;
    }
    if agrees == Some(false) {
        return Verdict::Fails;
    }
    if odd || case.dangers().get(&item.id).is_some() {
        return Verdict::Undecided;
    }
    match most {
        None => Verdict::NeedsEvidence,
        Some(BandPosition::Usual) => {
            finding
                .sentence
                .push_str(" Nothing speaks against its label.");
            Verdict::Holds
        }
        Some(_) => Verdict::Undecided,
    }
}

fn read_label(item: &Item, what: &str) -> Missing {
    Missing::at_any_time(format!("read {what} off {}", the(item)))
}

/// Compares charge times voltage with the printed energy: they agree if rounding of the three printed
/// figures can explain the difference.
fn compare_printed(
    finding: &mut Finding,
    printed: Option<&Stated>,
    (energy, uncertainty): (f64, f64),
) -> Option<bool> {
    let printed = printed?;
    let wh = inputs::unit("Wh");
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

/// Energy from a measured charge, where one was taken: charge × the mean voltage of a discharge, as wherever energy is
/// worked out from a charge.
fn measured_energy(case: &Case<'_>, item: &Item, facts: &CellFacts, finding: &mut Finding) {
    if usable(facts.nominal_voltage.as_ref(), Dimension::VOLTAGE).is_none() {
        return;
    }
    for reading in case.lookup().readings_of(&item.id, ReadingSubject::Charge) {
        if usable(Some(&reading.value), Dimension::CHARGE).is_none() {
            finding
                .unused
                .push(format!("Reading '{}' is not a charge.", reading.id));
            continue;
        }
        let sheet = Sheet::new();
        let mut grounds = Grounds::default();
        let charge = sheet.input(case.reading_input(reading, "measured charge"));
        let volts = one_cell_voltage(&sheet, item, &mut grounds);
        let name = format!("energy of {}", item.name);
        let energy = (charge * volts).named(&name, &inputs::unit("Wh"));
        let key =
            FigureKey::from(word!("energy-from-charge")).of(record::Place::reading(&reading.id));
        finding.add_result(key, "energy from measured charge", sheet.figure(energy));
        grounds.close(finding);
    }
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
