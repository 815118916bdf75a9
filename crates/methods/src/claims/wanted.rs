//! What is missing to settle a claim: what to measure, how finely, and before which step.

use crate::assumed;
use crate::cells::care::{self, Current};
use crate::inputs::tidy;
use crate::words::the;
use crate::{Case, Missing};
use quantity::{COVERED, GAP, Stated, format_quantity};
use record::{Claim, ClaimKind};

/// Ratio of the tolerance to the uncertainty that a measurement should have (test uncertainty
/// ratio of 10 to 1).
const RATIO: f64 = assumed::TEST_UNCERTAINTY_RATIO.number();

/// Returns the measurement that would settle the claim. `uncertainty` is the standard uncertainty
/// that would decide (SI), where a value is already known; otherwise a tenth of `tolerance` (SI).
pub(crate) fn wanted(
    case: &Case<'_>,
    claim: &Claim,
    uncertainty: Option<f64>,
    tolerance: Option<f64>,
) -> Missing {
    let said = claim.says.item.as_deref();
    let of_cell = matches!(claim.kind, ClaimKind::Capacity | ClaimKind::Energy);
    let item = match case.supplies().cells_of(said) {
        [cell] if of_cell => Some(*cell),
        _ => said.and_then(|id| case.item(id)),
    };
    let name = item.map_or_else(|| "the whole product".to_string(), the);
    if let Some(current) = current(claim.kind)
        && let Some(other) = care::instead(case, claim.says.item.as_deref(), current)
    {
        return other;
    }
    let mode = claim
        .says
        .mode
        .as_deref()
        .map_or_else(String::new, |m| format!(" on {m}"));
    let names = claim.names.as_deref().unwrap_or("the named thing");
    let measure = match claim.kind {
        ClaimKind::Mass => format!("weigh {name}"),
        ClaimKind::Dimension => {
            format!("measure the {} of {name}", claim.says.dimension_name())
        }
        ClaimKind::Capacity => {
            format!("discharge {name} to its cut-off voltage at a logged current")
        }
        ClaimKind::Energy => {
            format!("discharge {name} to its cut-off voltage and log volts and amperes")
        }
        ClaimKind::Input => format!(
            "measure the voltage and current that {name} draws from a supply of the claimed rating, cell nearly empty"
        ),
        ClaimKind::Output => {
            format!("load {name} with the claimed rating and measure voltage and current")
        }
        ClaimKind::Cable => {
            format!("measure the resistance of each conductor of {name} and read its marker chip")
        }
        ClaimKind::Power => format!("measure volts and amperes at {name}{mode}"),
        ClaimKind::LuminousFlux => {
            format!("measure the light of {name} in an integrating sphere{mode}")
        }
        ClaimKind::ViewAngle => {
            format!("film a wall at a known distance with {name} and measure what is seen")
        }
        ClaimKind::Resolution => {
            format!("read the size of a picture of {name} and identify its sensor or panel")
        }
        ClaimKind::Bands => format!("identify the radio part and antenna for {names}"),
        ClaimKind::Unknown => "ask the maker what is meant".to_string(),
        ClaimKind::Slogan => "ask the maker for a figure and how it was measured".to_string(),
        ClaimKind::RunTime => format!("time a run of {name} from full to cut-off{mode}"),
        ClaimKind::ChargingTime => format!("log a charge of {name} from empty to full"),
        ClaimKind::QuickCharge => {
            let after = claim
                .after
                .as_ref()
                .map_or_else(|| "the stated time".to_string(), Stated::to_string);
            format!("charge {name} from empty for {after}, then time a run{mode}")
        }
        ClaimKind::Recharges => {
            format!("recharge the device from {name} until it is empty and count")
        }
        ClaimKind::NoiseReduction => format!(
            "record levels with and without noise reduction of {name} in one sound field{mode}"
        ),
        ClaimKind::Delay => format!("record input and output of {name} together and compare{mode}"),
        ClaimKind::Ingress => format!(
            "test an unopened sample to {names} (IEC 60529); opening ends the sealing of this one"
        ),
        ClaimKind::Part => format!("look for {names} and note its marking"),
        ClaimKind::Interface => {
            format!("look for {names}: connector, its pins and the part behind them")
        }
        ClaimKind::Radio => format!("identify the radio part and antenna for {names}"),
        ClaimKind::Function => {
            format!("look for the parts that make {names} possible, or try it out")
        }
        ClaimKind::Repair => format!(
            "note how {name} comes out and goes back: tool, person, what must be renewed, and whether another one works"
        ),
        ClaimKind::First => {
            format!("compare with every product opened before that could have {names}")
        }
        ClaimKind::Leading => format!("compare with every product it is said to lead, {name} among them"),
    };
    let resolution = claim.value.as_ref().and_then(|value| {
        let unit = value.unit.difference();
        let show = |si: f64| format_quantity(one_digit(si / value.unit.factor()), &unit);
        uncertainty
            .map(|u| format!("±{GAP}{} or less", show(COVERED * u)))
            .or_else(|| {
                tolerance
                    .filter(|t| *t > 0.0)
                    .map(|t| format!("{} or finer", show(t / RATIO)))
            })
    });
    let chance = case.deadlines().of_claim(case, claim);
    chance.missing(measure, resolution.as_deref())
}

/// Returns what the measurement of a kind of claim does to cells; `None` if it leaves them alone.
fn current(kind: ClaimKind) -> Option<Current> {
    match kind {
        ClaimKind::Capacity | ClaimKind::Energy => Some(Current::Discharges),
        ClaimKind::Input | ClaimKind::ChargingTime | ClaimKind::QuickCharge => {
            Some(Current::Charges)
        }
        ClaimKind::Output
        | ClaimKind::Power
        | ClaimKind::LuminousFlux
        | ClaimKind::ViewAngle
        | ClaimKind::RunTime
        | ClaimKind::Recharges
        | ClaimKind::NoiseReduction
        | ClaimKind::Delay => Some(Current::Works),
        _ => None,
    }
}

/// Rounds down to one significant digit, so that the request is never too coarse.
fn one_digit(value: f64) -> f64 {
    if value <= 0.0 || !value.is_finite() {
        return value;
    }
    let scale = 10_f64.powf(value.log10().floor());
    tidy((value / scale + 1e-9).floor() * scale)
}
