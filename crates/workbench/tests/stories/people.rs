//! Several people at one product: who is at the bench, who else has it open.

use crate::browser::{Seat, Server, Window, none};

/// Says who sits there, as it is asked on the first page.
async fn sits(window: &Window, name: &str) {
    window
        .focus(
            "textbox",
            "Initials or name; every edit of this browser is kept under it",
        )
        .await;
    window.types(name).await;
    window.press("Enter").await;
    window
        .until("document.readyState === 'complete' && document.querySelector('#products a') && !document.querySelector('.bench')")
        .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn others_are_told_with_the_place_they_are_in() {
    if none() {
        return;
    }
    let server = Server::start();
    let (first, second) = (Seat::take().await, Seat::take().await);
    let a = first.window(&server.url).await;
    let b = second.window(&server.url).await;
    a.until("document.querySelector('.bench')").await;
    sits(&a, "A. K.").await;
    sits(&b, "B. M.").await;
    let dossier = a
        .tell("document.querySelector('#products a').pathname.split('/')[2]")
        .await;
    let base = format!("{}/d/{dossier}", server.origin());
    a.go(&format!("{base}/intake")).await;
    let others = "document.getElementById('people').textContent";
    a.until(&format!("{others} === ''")).await;
    b.go(&format!("{base}/claims")).await;
    a.until(&format!("{others} === 'Also here: B. M. in Claims'"))
        .await;
    b.until(&format!("{others} === 'Also here: A. K. in Intake'"))
        .await;
    b.go(&format!("{base}/power")).await;
    a.until(&format!("{others} === 'Also here: B. M. in Power'"))
        .await;
    // What each writes is kept under the name.
    a.focus("textbox", "model").await;
    a.press("Ctrl+a").await;
    a.types("Q-77").await;
    a.press("Enter").await;
    b.go(&format!("{base}/history")).await;
    b.sees("A. K.").await;
    b.until("!document.querySelector('a[href$=\"/history\"]')")
        .await;
    b.go(&server.origin().to_string()).await;
    a.until(&format!("{others} === ''")).await;
}
