//! History: a whole revision brought back; what one action did taken back by one key.

use crate::browser::{Seat, Server, Window, look, none};
use crate::opening::demonstration;

const REVISION: &str = "document.body.dataset.revision";

async fn at_revision(window: &Window, number: u64) {
    window.until(&format!("{REVISION} === '{number}'")).await;
}

async fn model_becomes(window: &Window, words: &str) {
    window.focus("textbox", "model").await;
    window.press("Ctrl+a").await;
    window.types(words).await;
    window.press("Enter").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_whole_revision_is_brought_back_and_that_is_taken_back() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let dossier = demonstration(&window, &server, "intake").await;
    let history = format!("{}/d/{dossier}/history", server.origin());
    window.focus("textbox", "model").await;
    let before = window.tell("document.activeElement.value").await;
    model_becomes(&window, "Q-77").await;
    at_revision(&window, 2).await;
    model_becomes(&window, "Q-78").await;
    at_revision(&window, 3).await;
    window.go(&history).await;
    window.focus("button", "Bring back revision 1 whole").await;
    window.press("Enter").await;
    at_revision(&window, 4).await;
    window.sees("as it was at revision 1").await;
    if let Some(folder) = look() {
        for (width, height) in [(360, 740), (768, 1024), (1280, 800)] {
            window.size(width, height).await;
            window
                .shot(&folder.join(format!("history-{width}.png")))
                .await;
        }
        window.size(1280, 800).await;
    }
    // It is one edit of this person, so one key takes it back, on this very page.
    window.press("Ctrl+z").await;
    at_revision(&window, 5).await;
    window.sees("taken back: as it was at revision 1").await;
    let intake = format!("{}/d/{dossier}/intake", server.origin());
    window.go(&intake).await;
    assert_eq!(window.of("textbox", "model", "this.value").await, "Q-78");
    window.press("Ctrl+y").await;
    at_revision(&window, 6).await;
    window.go(&intake).await;
    assert_eq!(window.of("textbox", "model", "this.value").await, before);
}

/// Three lists with a group, as the taking of a part writes them, with another edit between.
#[tokio::test(flavor = "multi_thread")]
async fn what_one_action_wrote_is_taken_back_and_put_back_by_one_key() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "intake").await;
    window.waits_for("textbox", "Claim, as printed").await;
    let write = |at: &str, value: &str, group: &str| {
        format!(
            "(async () => {{ const edits = await import(document.querySelector('script').src.replace('main.js', 'edits.js')); \
             await edits.write([{{ do: 'set', at: 'product.{at}', old: null, new: '{value}' }}], {group}); }})()"
        )
    };
    for (number, script) in [
        (2, write("firmware", "1.2", "'part-1'")),
        (3, write("condition", "new", "undefined")),
        (4, write("hardware-revision", "B", "'part-1'")),
    ] {
        window.tell(&script).await;
        at_revision(&window, number).await;
    }
    let told = "document.querySelector('form[data-what=\"Take back\"]').innerText";
    window
        .until(&format!(
            "{told}.includes('firmware of the product 1.2 and 1 more')"
        ))
        .await;
    window.press("Ctrl+z").await;
    at_revision(&window, 5).await;
    window
        .until(&format!("{told}.includes('condition of the product')"))
        .await;
    window.press("Ctrl+y").await;
    at_revision(&window, 6).await;
    window
        .until(&format!("{told}.includes('firmware of the product 1.2')"))
        .await;
}
