//! Run time and recharges against closed forms worked by hand.

use super::{answers, dossier, figure, finding, near};
use methods::runtime;

/// A case cell, a step-up converter, a charger and a device cell; charges are measured, so that no
/// usable fraction is assumed.
pub(crate) fn chain(charger: &str, devices: u32, idle: bool) -> String {
    let (boost_idle, device_idle) = if idle {
        (
            ", quiescent-current = \"1 mA\"",
            "loads = [{ mode = \"standby\", current = \"0.5 mA\" }]",
        )
    } else {
        ("", "")
    };
    format!(
        r#"
[[items]]
id = "set"
name = "Sample"
kind = "product"
[[items]]
id = "case"
name = "case"
kind = "assembly"
parent = "set"
[[items]]
id = "case-cell"
name = "case cell"
kind = "cell"
parent = "case"
cell = {{ capacity = "2000 mAh", nominal-voltage = "3.6 V", form = "cylindrical" }}
[[items]]
id = "boost"
name = "boost"
kind = "part"
parent = "case"
converts = {{ kind = "switched-regulator", output-voltage = "5.0 V", efficiency = "90 %"{boost_idle} }}
[[items]]
id = "device"
name = "device"
kind = "assembly"
parent = "set"
count = {devices}
[[items]]
id = "charger"
name = "charger"
kind = "part"
parent = "device"
converts = {{ {charger} }}
[[items]]
id = "cell"
name = "cell"
kind = "cell"
parent = "device"
cell = {{ capacity = "600 mAh", nominal-voltage = "3.7 V", form = "pouch" }}
{device_idle}
[[links]]
from = "case-cell"
to = "boost"
kind = "power"
[[links]]
from = "boost"
to = "charger"
kind = "power"
[[links]]
from = "charger"
to = "cell"
kind = "power"
[[readings]]
id = "q1"
item = "case-cell"
what = "charge"
value = "2000 ± 1 mAh"
[[readings]]
id = "q2"
item = "cell"
what = "charge"
value = "600 ± 1 mAh"
"#
    )
}

const LINEAR: &str = "kind = \"linear-charger\", output-current-limit = \"0.3 A\"";
const SWITCHED: &str =
    "kind = \"switched-charger\", efficiency = \"92 %\", output-current-limit = \"0.3 A\"";

#[track_caller]
fn recharges(tables: &str, expected: f64) {
    let findings = answers(runtime::examine, &dossier(tables));
    let found = finding(&findings, "runtime.recharges.cell/items.case-cell");
    near(figure(found, "recharges").value, expected, 1e-4);
}

/// Closed form: 2000 mAh × (0.90 × 3.6 V ÷ 5.0 V) ÷ 600 mAh = 2.16; the linear charger passes charge.
/// Counting energy instead would give 2000 × 3.6 × 0.9 ÷ (600 × 3.7) = 2.92.
#[test]
fn a_linear_charger_passes_charge_not_energy() {
    recharges(&chain(LINEAR, 1, false), 2.16);
}

/// Closed form: 0.90 × 3.6 ÷ 5.0 × 0.92 × 5.0 ÷ 3.7 = 0.805 622; × 2000 ÷ 600 = 2.685 405.
#[test]
fn a_switched_charger_passes_energy_times_efficiency() {
    recharges(&chain(SWITCHED, 1, false), 2.685_405);
}

/// Closed form: two devices take twice the charge: 2.16 ÷ 2.
#[test]
fn two_devices_share_the_charge_of_the_case() {
    recharges(&chain(LINEAR, 2, false), 1.08);
}

/// Closed form with 100 h of storage: ((2000 − 1 × 100) × 0.648 − 0.5 × 100) ÷ 600 = 1.968 667.
#[test]
fn idle_currents_of_both_sides_are_counted() {
    let claim = "[[claims]]\nid = \"r\"\ntext = \"2 recharges\"\nprinted = \"box\"\nsays = { item = \"case\" }\nkind = \"recharges\"\nvalue = \"2\"\nafter = \"100 h\"\n";
    recharges(&format!("{}{claim}", chain(LINEAR, 1, true)), 1.968_667);
}

/// Closed form: 10 mA at 5.8 V through 88 % from 3.7 V is 10 × 5.8 ÷ (0.88 × 3.7) = 17.8133 mA;
/// 600 mAh ÷ 17.8133 mA = 33.6828 h.
#[test]
fn a_load_behind_a_converter_is_carried_back_to_the_cell() {
    let tables = format!(
        r#"{}
[[items]]
id = "driver"
name = "driver"
kind = "part"
parent = "device"
converts = {{ kind = "switched-regulator", output-voltage = "5.8 V", efficiency = "88 %" }}
[[items]]
id = "light"
name = "light"
kind = "transducer"
parent = "device"
count = 6
loads = [{{ mode = "low", current = "10 mA" }}]
[[links]]
from = "cell"
to = "driver"
kind = "power"
[[links]]
from = "driver"
to = "light"
kind = "power"
[[modes]]
name = "low"
complete = true
"#,
        chain(LINEAR, 1, false)
    );
    let findings = answers(runtime::examine, &dossier(&tables));
    let found = finding(&findings, "runtime.mode.low/items.cell");
    near(figure(found, "run time on low").value, 33.6828, 1e-5);
    // Assumed shares of a lithium-ion cell, rectangular from 60 % to 90 %: 0.75 × 33.6828 h = 25.262 h.
    let worn = finding(&findings, "runtime.worn/items.cell");
    for name in ["run time after 500 full charges", "run time at −10 °C"] {
        near(figure(worn, name).value, 25.262, 1e-3);
    }
    assert!(worn.assumptions.len() >= 2, "{:?}", worn.assumptions);
}

/// By hand: 6 mA and 2 mA at once are 75 % and 25 %; half the time on, half the time at 2 mA alone, the mean is
/// (8 + 2) ÷ 2 = 5 mA, of which 80 % flow on, 20 % off; the lamp takes 3 of the 5, the chip 2.
#[test]
fn which_loads_dominate_is_told_by_their_shares() {
    let tables = format!(
        r#"{}
[[items]]
id = "lamp"
name = "lamp"
kind = "transducer"
parent = "device"
loads = [{{ mode = "on", current = "6 mA" }}]
[[items]]
id = "chip"
name = "chip"
kind = "part"
parent = "device"
loads = [{{ mode = "on", current = "2 mA" }}, {{ mode = "waiting", current = "2 mA" }}]
[[modes]]
name = "on"
complete = true
share = "50 %"
[[modes]]
name = "waiting"
complete = true
share = "50 %"
"#,
        chain(LINEAR, 1, false)
    );
    let findings = answers(runtime::examine, &dossier(&tables));
    let on = finding(&findings, "runtime.mode.on/items.cell");
    near(figure(on, "share of the lamp").value, 75.0, 1e-6);
    near(figure(on, "share of the chip").value, 25.0, 1e-6);
    assert!(
        on.sentence.contains("Of that, the lamp takes most ("),
        "{}",
        on.sentence
    );
    let ordinary = finding(&findings, "runtime.ordinary/items.cell");
    near(figure(ordinary, "share of on").value, 80.0, 1e-6);
    near(figure(ordinary, "share of waiting").value, 20.0, 1e-6);
    near(figure(ordinary, "share of the lamp").value, 60.0, 1e-6);
    near(figure(ordinary, "share of the chip").value, 40.0, 1e-6);
    // One alone has no share to tell.
    let waiting = finding(&findings, "runtime.mode.waiting/items.cell");
    assert!(
        !waiting.sentence.contains("takes most"),
        "{}",
        waiting.sentence
    );
}

/// Closed form: 600 mAh ÷ (2 mA + 3 % × 600 mAh ÷ 730.5 h) = 296.3486 h.
#[test]
fn a_measured_current_beats_the_sum_of_loads() {
    let reading = "[[readings]]\nid = \"i\"\nitem = \"cell\"\nwhat = \"current\"\nmode = \"standby\"\nvalue = \"2 ± 0.01 mA\"\n";
    let findings = answers(
        runtime::examine,
        &dossier(&format!("{}{reading}", chain(LINEAR, 1, true))),
    );
    let found = finding(&findings, "runtime.mode.standby/items.cell");
    near(figure(found, "run time on standby").value, 296.348_6, 1e-4);
    assert!(found.evidence.contains(&record::Place::reading("i")));
}

/// Closed form: 600 mAh in 30 h is 20 mA.
#[test]
fn a_claimed_run_time_implies_a_mean_current() {
    let claim = "[[claims]]\nid = \"t\"\ntext = \"30 h\"\nprinted = \"box\"\nsays = { item = \"device\" }\nkind = \"run-time\"\nvalue = \"30 h\"\n";
    let findings = answers(
        runtime::examine,
        &dossier(&format!("{}{claim}", chain(LINEAR, 1, false))),
    );
    let found = finding(&findings, "runtime.implied/claims.t");
    near(
        figure(found, "mean current that the claim implies").value,
        20.0,
        1e-6,
    );
}
