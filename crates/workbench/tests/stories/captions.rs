//! Corrections of captions taken and refused by one key each, and remembered.

use crate::browser::{Seat, Server, look, none};
use crate::opening::demonstration;

#[tokio::test(flavor = "multi_thread")]
async fn corrections_are_taken_and_refused_by_one_key_and_remembered() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let dossier = demonstration(&window, &server, "publish").await;
    window.sees("Captions").await;
    let rows = "document.querySelectorAll('[data-correction]').length";
    let before: usize = window.tell(rows).await.parse().unwrap();
    assert!(before >= 5, "{before}");
    if let Some(folder) = look() {
        for (width, height) in [(360, 1200), (1280, 1200)] {
            for dark in [false, true] {
                window.size(width, height).await;
                window.dark(dark).await;
                window
                    .tell("document.getElementById('captions').scrollIntoView()")
                    .await;
                window
                    .shot(&folder.join(format!("captions-{width}-{dark}.png")))
                    .await;
            }
        }
        window.size(1280, 800).await;
    }
    window
        .tell("document.querySelector('[data-correction]').focus()")
        .await;
    let first = "document.activeElement.getAttribute('aria-label')";
    let refused = window.tell(first).await;
    assert!(refused.contains("should be"), "{refused}");
    window.press("Delete").await;
    window.until(&format!("{rows} === {}", before - 1)).await;
    // The next one has the focus; Enter takes it.
    window
        .until("Boolean(document.activeElement.matches('[data-correction]'))")
        .await;
    let taken = window.tell(first).await;
    assert_ne!(taken, refused);
    window.press("Enter").await;
    window.until(&format!("{rows} === {}", before - 2)).await;
    window.sees("Saved").await;
    // After a reload it is asked no more, and can be asked again.
    window
        .go(&format!("{}/d/{dossier}/publish", server.origin()))
        .await;
    window.sees("1 taken, 1 refused").await;
    window
        .tell("document.querySelector('[data-undecided]').closest('details').open = true")
        .await;
    window
        .tell("document.querySelector('[data-undecided] button').focus()")
        .await;
    window.press("Enter").await;
    window.until(&format!("{rows} === {}", before - 1)).await;
}
