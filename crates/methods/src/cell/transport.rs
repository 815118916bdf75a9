//! What the transport rules ask of a cell by what is printed on it.
//!
//! In: chemistry, rated energy, content of lithium, form. Out: the rule that applies, as sentences.
//! Source: UN Model Regulations, special provision 188, and 49 CFR 173.185(c)(1): 20 Wh for a lithium-ion or
//! sodium-ion cell and 100 Wh for a battery, 1 g and 2 g of lithium for lithium metal; UN numbers 3480 and
//! 3481 (lithium ion), 3090 and 3091 (lithium metal), 3551 and 3552 (sodium ion, since the 23rd revised
//! edition), 3496 (nickel-metal hydride, by sea only: a guide of transport publishers and IATA Q&A);
//! UN Manual of Tests and Criteria 38.3.2.3: button cell round, overall height less than diameter; a single
//! cell with its protection board is a cell, two or more joined are a battery. Rules change each year: the
//! edition in force decides, and a shipper's training.

use crate::assumed::{self, Row};
use crate::cells::reach::three_digits;
use crate::chemistry::{Chemistry, Family};
use quantity::Stated;

/// What of a cell decides.
#[derive(Debug, Clone, Copy)]
pub struct Shipment<'d> {
    /// What it is made of.
    pub chemistry: Chemistry,
    /// Whether it can be charged, if known.
    pub rechargeable: Option<bool>,
    /// Whether two or more cells are joined.
    pub battery: bool,
    /// Rated energy as printed, Wh.
    pub rated_wh: Option<f64>,
    /// Rated charge as printed, Ah.
    pub rated_ah: Option<f64>,
    /// Printed content of lithium.
    pub lithium: Option<&'d Stated>,
    /// Whether it is round and flatter than wide.
    pub button: bool,
    /// Whether it is swollen, leaking or damaged, or may be.
    pub in_danger: bool,
}

/// Returns whether a cell is a button cell for transport: round and flatter than wide. Sizes in m.
pub fn is_button(diameter: f64, height: f64) -> bool {
    height < diameter
}

/// Returns whether a rated value is at or below a threshold, both in the unit of its row.
pub fn within(rated: f64, threshold: &Row) -> bool {
    // Products such as 3.6 V × 2 Ah must not fail by the last bit.
    rated <= threshold.number() * (1.0 + 1e-9)
}

/// Says what the rules ask; one sentence or more.
pub fn sentence(shipment: &Shipment<'_>) -> String {
    let family = shipment.chemistry.family();
    let mut text = match family {
        Family::LithiumIon => energy(shipment, "UN 3481 in or with equipment, UN 3480 alone"),
        Family::SodiumIon => energy(shipment, "UN 3552 in or with equipment, UN 3551 alone"),
        Family::LithiumMetal => lithium(shipment),
        Family::Lithium if shipment.rechargeable == Some(false) => lithium(shipment),
        Family::Lithium | Family::Unknown => return unknown(shipment),
        Family::NickelMetalHydride => {
            "Transport: no lithium is in it; nickel-metal hydride has UN 3496, which applies by sea only, and \
             goes otherwise if short circuits are prevented."
                .to_string()
        }
        Family::NickelCadmium => {
            "Transport: no lithium is in it; sealed nickel-cadmium cells go if short circuits are prevented \
             (vented ones are UN 2795)."
                .to_string()
        }
        Family::LeadAcid => {
            "Transport: no lithium is in it; lead-acid batteries are UN 2794, sealed ones UN 2800.".to_string()
        }
        Family::Zinc => {
            "Transport: no lithium is in it; dry cells go if short circuits are prevented.".to_string()
        }
    };
    if shipment.button && family.may_hold_lithium() {
        text.push_str(" It is a button cell there (round, flatter than wide).");
    }
    if shipment.in_danger && (family.may_hold_lithium() || family == Family::SodiumIon) {
        text.push_str(
            " None of this holds for a swollen, leaking or damaged cell: it has rules of its own, and never \
             goes by air.",
        );
    }
    text
}

/// Says in a few words whether a cell is small in the rules; empty where its sentence is needed.
pub fn class(shipment: &Shipment<'_>) -> String {
    let by_energy = matches!(
        shipment.chemistry.family(),
        Family::LithiumIon | Family::SodiumIon
    );
    let limit = match shipment.battery {
        true => &assumed::SMALL_BATTERY,
        false => &assumed::SMALL_CELL,
    };
    match shipment
        .rated_wh
        .filter(|_| by_energy && !shipment.in_danger)
    {
        Some(rated) if within(rated, limit) => {
            format!("small {}, {} or less", sort(shipment), limit.text())
        }
        Some(_) => format!("over {}: the full rules", limit.text()),
        None => String::new(),
    }
}

/// Returns what is to be read off the cell before the rule can be named.
pub fn missing(shipment: &Shipment<'_>) -> Option<&'static str> {
    match shipment.chemistry.family() {
        Family::LithiumIon | Family::SodiumIon if shipment.rated_wh.is_none() => {
            Some("the rated energy in Wh")
        }
        Family::LithiumMetal if shipment.lithium.is_none() => Some("the content of lithium in g"),
        Family::Unknown | Family::Lithium => Some("the chemistry"),
        _ => None,
    }
}

fn sort(shipment: &Shipment<'_>) -> &'static str {
    if shipment.battery { "battery" } else { "cell" }
}

fn energy(shipment: &Shipment<'_>, numbers: &str) -> String {
    let (sort, limit) = match shipment.battery {
        true => (sort(shipment), &assumed::SMALL_BATTERY),
        false => (sort(shipment), &assumed::SMALL_CELL),
    };
    let why = if shipment.battery {
        ", where cells joined in a pack are one battery"
    } else {
        ""
    };
    let threshold = limit.text();
    match shipment.rated_wh {
        Some(rated) if within(rated, limit) => format!(
            "Rated at {rated:.2} Wh it is within the {threshold} of a small {sort} in the transport rules{why} \
             ({numbers}).",
        ),
        Some(rated) => format!(
            "Rated at {rated:.2} Wh it is beyond the {threshold} of a small {sort} in the transport rules{why}: the \
             full dangerous-goods rules apply ({numbers}).",
        ),
        None => format!(
            "In the transport rules its rated energy decides, at {threshold} for a {sort}{why} ({numbers}); a \
             measured one does not, and none is printed."
        ),
    }
}

fn lithium(shipment: &Shipment<'_>) -> String {
    const NUMBERS: &str = "UN 3091 in or with equipment, UN 3090 alone";
    let sort = sort(shipment);
    let limit = if shipment.battery {
        &assumed::SMALL_LITHIUM_BATTERY
    } else {
        &assumed::SMALL_LITHIUM_CELL
    };
    let threshold = limit.text();
    if let Some(content) = shipment.lithium {
        // Grams from SI.
        let within = within(content.si() * 1000.0, limit);
        return format!(
            "With {content} of lithium it is {} the {threshold} of a small lithium metal {sort} in the transport \
             rules{} ({NUMBERS}).",
            if within { "within" } else { "beyond" },
            if within {
                ""
            } else {
                ": the full dangerous-goods rules apply"
            },
        );
    }
    let least = shipment
        .rated_ah
        .map(|ah| ah * assumed::LITHIUM_BY_CHARGE.number());
    match least {
        Some(least) if !shipment.battery && !within(least, limit) => format!(
            "Its charge alone takes {} g of lithium, beyond the {threshold} of a small lithium metal {sort} in the \
             transport rules: the full dangerous-goods rules apply ({NUMBERS}).",
            three_digits(least)
        ),
        Some(least) if !shipment.battery => format!(
            "In the transport rules its content of lithium decides, at {threshold} for a lithium metal {sort} \
             ({NUMBERS}); its charge takes at least {} g, and its maker states how much is in it.",
            three_digits(least)
        ),
        _ => format!(
            "In the transport rules its content of lithium decides, at {threshold} for a lithium metal {sort} \
             ({NUMBERS}); its maker states how much is in it."
        ),
    }
}

fn unknown(shipment: &Shipment<'_>) -> String {
    let what = match shipment.chemistry.family() {
        Family::Lithium => "whether its lithium is metal or ions is not known",
        _ => "its chemistry is not known",
    };
    format!(
        "Transport: {what}, so no rule can be named; until it is known, send it as a lithium {} only, with \
         advice from trained people.",
        sort(shipment)
    )
}
