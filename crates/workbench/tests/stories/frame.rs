//! What every page has: find, keys, taking back, fields that save without script, a claim and its working.

use crate::browser::{Seat, Server, Window, none};
use chromiumoxide::cdp::browser_protocol::emulation::SetScriptExecutionDisabledParams;

async fn demonstration(server: &Server, window: &Window) -> String {
    window.until("document.querySelector('#products a')").await;
    let dossier = "document.querySelector('#products a').pathname.split('/')[2]";
    format!("{}/d/{}", server.origin(), window.tell(dossier).await)
}

const FOCUS: &str = "document.activeElement.id";

#[tokio::test(flavor = "multi_thread")]
async fn find_goes_to_a_part_and_comes_back_to_the_caret() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let base = demonstration(&server, &window).await;
    window.go(&format!("{base}/intake")).await;
    window.focus("textbox", "Claim, as printed").await;
    window.types("abcd").await;
    window.press("Left").await;
    window.press("F2").await;
    window.until(&format!("{FOCUS} === 'find'")).await;
    window.types("touch contr").await;
    window.sees("Lamp touch controller U6").await;
    window.press("Esc").await;
    window.until(&format!("{FOCUS} === 'claim-text'")).await;
    assert_eq!(
        window.tell("document.activeElement.selectionStart").await,
        "3"
    );
    window.press("F2").await;
    window.until("document.querySelector('.finder a.on')").await;
    window
        .tell("(document.getElementById('find').select(), 1)")
        .await;
    window.types("touch contr").await;
    window
        .until("document.querySelector('.finder a.on')?.innerText.includes('touch controller')")
        .await;
    window.press("Enter").await;
    window.until("location.pathname.endsWith('/fields')").await;
    window.sees("U6").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn places_are_gone_to_and_keys_are_shown_by_keys() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let base = demonstration(&server, &window).await;
    window.go(&format!("{base}/intake")).await;
    window.waits_for("textbox", "Claim, as printed").await;
    window.until("document.querySelector('.finder')").await;
    window.press("F8").await;
    window
        .until("document.querySelector('.rule.choosing')")
        .await;
    window.press("F8").await;
    window
        .until("!document.querySelector('.rule.choosing')")
        .await;
    window.press("F8").await;
    window.press("5").await;
    window.until("location.pathname.endsWith('/claims')").await;
    window.until("document.querySelector('.finder')").await;
    window.press("?").await;
    window.sees("take back: typing first").await;
    window.press("Esc").await;
    window.until("!document.querySelector('.overlay')").await;
}

/// Ctrl+Z takes back what is typed in the field; only then the last edit.
#[tokio::test(flavor = "multi_thread")]
async fn typing_is_taken_back_before_edits_are() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let base = demonstration(&server, &window).await;
    window.go(&format!("{base}/intake")).await;
    window.focus("textbox", "model").await;
    window.until("document.querySelector('.finder')").await;
    window.tell("(document.activeElement.select(), 1)").await;
    window.types("NVC-4").await;
    window.press("Enter").await;
    window.until("document.body.dataset.revision === '2'").await;
    window.sees("model of the product NVC-4").await;
    window.focus("textbox", "category").await;
    window.types("x").await;
    window.press("Esc").await;
    window.press("Ctrl+z").await;
    window.until("document.body.dataset.revision === '3'").await;
    assert_eq!(window.of("textbox", "model", "this.value").await, "NVC-3");
    window.press("Ctrl+y").await;
    window.until("document.body.dataset.revision === '4'").await;
    assert_eq!(window.of("textbox", "model", "this.value").await, "NVC-4");
}

#[tokio::test(flavor = "multi_thread")]
async fn fields_save_without_script() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let base = demonstration(&server, &window).await;
    let off = SetScriptExecutionDisabledParams::new(true);
    window.page.execute(off).await.unwrap();
    window.go(&format!("{base}/intake")).await;
    window.focus("textbox", "model").await;
    window.press("End").await;
    window.types("b").await;
    window.press("Enter").await;
    tokio::time::sleep(std::time::Duration::from_millis(500)).await;
    window.waits_for("link", "revision 2").await;
    let on = SetScriptExecutionDisabledParams::new(false);
    window.page.execute(on).await.unwrap();
    window.go(&format!("{base}/intake")).await;
    assert_eq!(window.of("textbox", "model", "this.value").await, "NVC-3b");
}

/// A claim unfolds to its working; an input changed there shows what would move, then moves it, marked as moved.
#[tokio::test(flavor = "multi_thread")]
async fn an_input_of_a_working_moves_its_claim() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let base = demonstration(&server, &window).await;
    window.go(&format!("{base}/claims")).await;
    window.until("document.querySelector('.finder')").await;
    let row = "[...document.querySelectorAll('#judged > li')].find(li => li.innerText.includes('13.9 mm thin'))";
    window
        .tell(&format!("({row}.querySelector('summary').focus(), 1)"))
        .await;
    window.press("Enter").await;
    window
        .until(&format!("{row}.querySelector('details').open"))
        .await;
    window.press("Tab").await;
    window
        .until("document.activeElement.value === '13.91 mm'")
        .await;
    window.tell("(document.activeElement.select(), 1)").await;
    window.types("13.80 mm").await;
    window
        .sees("“At most 13.9 mm thin.” undecided → holds")
        .await;
    window.press("Enter").await;
    window
        .until(&format!("{row}.classList.contains('moved-row')"))
        .await;
    window
        .until(&format!("{row}.innerText.includes('was undecided')"))
        .await;
    window
        .until(&format!("{row} === document.querySelector('#judged > li')"))
        .await;
    window
        .until("document.getElementById('moved').innerText.includes('undecided → holds')")
        .await;
}
