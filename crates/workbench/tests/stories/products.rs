//! A new product, from the library to its first claim.

use crate::browser::{Seat, Server, none};
use crate::inside::{revision, revision_after};

/// Story 1: seven actions, no pointer.
#[tokio::test(flavor = "multi_thread")]
async fn a_new_product_and_its_first_claim_take_seven_actions() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    window
        .waits_for("textbox", "Name of a new product, or find")
        .await;
    window.types("Vellit 2").await;
    window.press("Enter").await;
    window.waits_for("textbox", "Its maker").await;
    window.types("Quenmora").await;
    window.press("Enter").await;
    window.waits_for("textbox", "Claim, as printed").await;
    let before = revision(&window).await;
    window.types("Charges in 75 min.").await;
    window.sees("at most 75 min").await;
    window.sees("charging time").await;
    window.press("Enter").await;
    window.press("Enter").await;
    window.sees("Saved").await;
    revision_after(&window, before).await;
    let claims = window
        .tell("document.querySelectorAll('[data-claim]').length")
        .await;
    assert_eq!(claims, "1");
    window
        .until("document.querySelector('.before').innerText.includes('charging time')")
        .await;
}
