//! Instruments that type: told from a person by the times of their keys, kept by the field that wants them, else waiting.

use crate::browser::{Seat, Server, Window, none};
use crate::inside::{revision, revision_after};
use crate::opening::demonstration;

/// Seconds between the characters of an instrument.
const INSTRUMENT: f64 = 0.005;

const READINGS: &str = "fetch(location.pathname.replace(/[^/]*$/, 'fields')).then(r => r.text())";

async fn readings(window: &Window) -> String {
    window
        .page
        .evaluate_expression(READINGS)
        .await
        .unwrap()
        .into_value::<String>()
        .unwrap()
}

/// Story 7: a value in the wrong field.
#[tokio::test(flavor = "multi_thread")]
async fn a_value_in_the_wrong_field_waits_until_its_place_is_said() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "inside?plate=lamp-main&at=lamp-motion").await;
    window
        .until("document.querySelector('#plate')?.dataset.ready")
        .await;
    // The box of a part that is recorded is held.
    window
        .until("document.querySelector('#plate').dataset.itemHeld === 'lamp-motion'")
        .await;
    let held = "lamp-motion";
    window.until("document.getElementById('marking')").await;
    window
        .tell("document.getElementById('marking').value = ''")
        .await;
    window
        .tell("document.getElementById('marking').focus()")
        .await;
    window.types("TH3").await;
    window.burst("3.02", INSTRUMENT).await;
    window.sees("Arrived 3.02").await;
    assert_eq!(
        window
            .tell("document.getElementById('marking').value")
            .await,
        "TH3"
    );
    assert_eq!(window.tell("document.activeElement.id").await, "marking");
    let before = revision(&window).await;
    window.press("F8").await;
    window.press("Enter").await;
    window
        .until("document.activeElement.id === 'arriving-list'")
        .await;
    let length = "document.querySelector('#arriving-list [aria-selected=true]').textContent.startsWith('length of')";
    for _ in 0..20 {
        if window.tell(length).await == "true" {
            break;
        }
        window.press("Down").await;
    }
    window.press("Enter").await;
    revision_after(&window, before).await;
    window
        .until("document.activeElement.id === 'marking'")
        .await;
    let list = readings(&window).await;
    assert!(list.contains(&format!("length-{held}")), "{held}");
    assert_eq!(
        window
            .tell("document.getElementById('arrivals').textContent")
            .await,
        ""
    );
    // The same characters from a person stay in the marking.
    window.types("3.02").await;
    assert_eq!(
        window
            .tell("document.getElementById('marking').value")
            .await,
        "TH33.02"
    );
}

/// A fitting field keeps it, with the unit of its instrument; a row that is armed takes it from anywhere.
#[tokio::test(flavor = "multi_thread")]
async fn weights_and_armed_rows_take_what_a_scale_sends() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "intake").await;
    window
        .until("document.querySelector('.weigh [data-lead]')")
        .await;
    // The first piece that is not weighed yet.
    window
        .tell("document.querySelector('.weigh [data-lead]').focus()")
        .await;
    let row = window.tell("document.activeElement.closest('tr').id").await;
    window.burst("+0001,25", INSTRUMENT).await;
    window
        .until(&format!(
            "document.querySelector('#{row} [name=new]')?.value === '1.25 g'"
        ))
        .await;
    // Enter on an empty row arms it; then a text field has the focus, and the scale sends.
    window
        .until("document.activeElement.matches('.weigh [data-lead]')")
        .await;
    let row = window.tell("document.activeElement.closest('tr').id").await;
    window.press("Enter").await;
    window.until("document.querySelector('.weigh.armed')").await;
    window.focus("textbox", "Claim, as printed").await;
    window.types("Weighs 4").await;
    window.burst("ST,GS,+  2.50 g", INSTRUMENT).await;
    window
        .until(&format!(
            "document.querySelector('#{row} [name=new]')?.value === '2.50 g'"
        ))
        .await;
    assert_eq!(
        window
            .tell("document.getElementById('claim-text').value")
            .await,
        "Weighs 4"
    );
    assert_eq!(window.tell("document.activeElement.id").await, "claim-text");
}

/// A code with a check digit goes to the identifiers where no field is in use; anything else waits, a reload long.
#[tokio::test(flavor = "multi_thread")]
async fn codes_become_identifiers_and_what_waits_survives_a_reload() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "intake").await;
    window
        .until("document.activeElement === document.body")
        .await;
    window
        .until("document.querySelector('#foot .state b')")
        .await;
    tokio::time::sleep(std::time::Duration::from_secs(1)).await;
    // The check digit is that of the worked example of the GS1 General Specifications, section 7.9.
    window.burst("6291041500213", INSTRUMENT).await;
    window
        .until("[...document.querySelectorAll('[name=new]')].some(box => box.value === '6291041500213')")
        .await;
    window.sees("check digit right").await;
    // Scanned where one stands, a code takes its place; the number is one of GS1's own examples, from memory.
    let rows = "document.querySelectorAll('.identifiers .row-entry').length";
    let many = window.tell(rows).await;
    window
        .tell("[...document.querySelectorAll('[name=new]')].find(box => box.value === '6291041500213').focus()")
        .await;
    window.burst("9501101530003", INSTRUMENT).await;
    window.sees("9501101530003 kept: As printed").await;
    let values = "[...document.querySelectorAll('.identifiers [name=new]')].map(box => box.value)";
    window
        .until(&format!(
            "{values}.includes('9501101530003') && !{values}.includes('6291041500213')"
        ))
        .await;
    assert_eq!(window.tell(rows).await, many);
    window.tell("document.activeElement.blur()").await;
    window.burst("0.77", INSTRUMENT).await;
    window.sees("Arrived 0.77").await;
    window.reload().await;
    window.sees("Arrived 0.77").await;
    window.press("F8").await;
    window.press("Enter").await;
    window
        .until("document.activeElement.id === 'arriving-list'")
        .await;
    window.press("End").await;
    window.press("Enter").await;
    window
        .until("document.getElementById('arrivals').textContent === ''")
        .await;
}

/// Story 6: a claim turns in another window when the instrument sends, and turns back.
#[tokio::test(flavor = "multi_thread")]
async fn a_claim_turns_when_the_armed_row_gets_its_reading() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let bench = seat.window(&server.url).await;
    let dossier = demonstration(&bench, &server, "intake").await;
    bench.focus("textbox", "A further instrument").await;
    bench.types("touch timer").await;
    bench.press("Tab").await;
    bench.types("0.1 ms").await;
    bench.press("Enter").await;
    bench
        .until("document.querySelector('.take option[data-unit=ms]')")
        .await;
    let claims = seat.window("about:blank").await;
    claims
        .go(&format!("{}/d/{dossier}/claims", server.origin()))
        .await;
    let verdict = "[...document.querySelectorAll('main li[data-finding]')].find(row => row.textContent.includes('Answers a touch within 50 ms.'))?.querySelector('.verdict')?.className";
    claims.until(&format!("{verdict}?.includes('needs')")).await;
    bench
        .tell("document.querySelector('.take option[data-unit=ms]').closest('form').querySelector('[data-lead]').focus()")
        .await;
    bench.press("Enter").await;
    bench.until("document.querySelector('.take.armed')").await;
    bench
        .tell("document.getElementById('claim-text').focus()")
        .await;
    bench.burst("38.0", INSTRUMENT).await;
    claims.until(&format!("{verdict}?.includes('holds')")).await;
    assert_eq!(
        bench
            .tell("document.getElementById('claim-text').value")
            .await,
        ""
    );
    claims.press("Ctrl+z").await;
    claims.until(&format!("{verdict}?.includes('needs')")).await;
}
