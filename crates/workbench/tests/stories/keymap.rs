//! Other keys chosen for commands, kept by the browser.

use crate::browser::{Seat, Server, Window, look, none};
use crate::opening::demonstration;

const FIND: &str = "document.activeElement.id === 'find'";

async fn chooses(window: &Window, does: &str, key: &str) {
    window
        .focus("button", &format!("Choose another key for: {does}"))
        .await;
    window.press("Enter").await;
    window.sees("press a key").await;
    window.press(key).await;
    window
        .until("!document.body.innerText.includes('press a key')")
        .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn another_key_is_chosen_kept_and_given_up() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "claims").await;
    let claims = window.tell("location.href").await;
    window.until("document.querySelector('.finder')").await;
    window.press("?").await;
    window
        .waits_for("button", "Choose another key for: find")
        .await;
    // What is taken is told with what it does; nothing is chosen.
    chooses(&window, "find", "?").await;
    window.sees("? is taken: these keys, outside fields").await;
    chooses(&window, "find", "Enter").await;
    window.sees("Enter has its own use").await;
    chooses(&window, "find", "g").await;
    if let Some(folder) = look() {
        for (width, height) in [(360, 740), (1280, 800)] {
            window.size(width, height).await;
            window
                .shot(&folder.join(format!("keys-chosen-{width}.png")))
                .await;
        }
        window.size(1280, 800).await;
    }
    window.press("Esc").await;
    window.until("!document.querySelector('.overlay')").await;
    window.press("F2").await;
    window.press("g").await;
    window.until(FIND).await;
    assert_eq!(
        window
            .tell("document.getElementById('find-key').textContent")
            .await,
        "g"
    );
    // In a field it is a character; after a reload it holds.
    window.types("g").await;
    window
        .until("document.getElementById('find').value === 'g'")
        .await;
    window.go(&claims).await;
    window.until("document.querySelector('.finder')").await;
    window.press("g").await;
    window.until(FIND).await;
    window.go(&format!("{}/keys", server.origin())).await;
    window.focus("button", "All as before").await;
    window.press("Enter").await;
    window.go(&claims).await;
    window.until("document.querySelector('.finder')").await;
    window.press("g").await;
    window.press("F2").await;
    window.until(FIND).await;
    assert_eq!(
        window.tell("document.getElementById('find').value").await,
        ""
    );
}
