//! From the demonstration to files for readers; two revisions compared; a publication stopped.

use crate::browser::{Seat, Server, Window, look, none};
use chromiumoxide::cdp::browser_protocol::browser::{
    SetDownloadBehaviorBehavior, SetDownloadBehaviorParams,
};
use std::time::{Duration, Instant};

/// A report is set within this time, however slow the build.
const PATIENCE: Duration = Duration::from_secs(400);

async fn demo(window: &Window) -> String {
    window
        .tell("document.querySelector('#products a').pathname.split('/')[2]")
        .await
}

async fn until_told(window: &Window, words: &str) {
    let began = Instant::now();
    let script = format!("document.querySelector('main').innerText.includes({words:?})");
    while window.tell(&script).await != "true" {
        assert!(began.elapsed() < PATIENCE, "{words}");
        tokio::time::sleep(Duration::from_millis(500)).await;
    }
}

/// Presses Tab until the focus is where the script says.
async fn tab_to(window: &Window, is_there: &str) -> usize {
    for presses in 1..200 {
        window.press("Tab").await;
        if window.tell(&format!("Boolean({is_there})")).await == "true" {
            return presses;
        }
    }
    panic!("Tab never leads to {is_there}");
}

#[tokio::test(flavor = "multi_thread")]
async fn from_the_demonstration_to_a_downloaded_pdf_by_keys_alone() {
    if none() {
        return;
    }
    let (cache, downloads) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let server = Server::with(&[("UNDERLID_CACHE", cache.path().to_str().unwrap())]);
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let behavior = SetDownloadBehaviorParams::builder()
        .behavior(SetDownloadBehaviorBehavior::Allow)
        .download_path(downloads.path().to_str().unwrap())
        .build();
    window.page.execute(behavior.unwrap()).await.unwrap();
    let pointed = "addEventListener('pointerdown', () => sessionStorage.setItem('pointed', '1'))";
    window.tell(pointed).await;
    window.press("Down").await;
    window.press("Enter").await;
    window
        .until("document.body?.dataset.place === 'intake' && document.readyState === 'complete'")
        .await;
    window.press("F8").await;
    window.press("8").await;
    window
        .until("document.body?.dataset.place === 'publish'")
        .await;
    tab_to(&window, "document.activeElement.id === 'publish'").await;
    window.press("Enter").await;
    until_told(&window, "Version 1 is published.").await;
    tab_to(&window, "document.activeElement.innerText === 'report.pdf'").await;
    window.press("Enter").await;
    let file = downloads.path().join("report.pdf");
    let began = Instant::now();
    while !file.exists() {
        assert!(began.elapsed() < PATIENCE, "nothing was downloaded");
        tokio::time::sleep(Duration::from_millis(200)).await;
    }
    let pdf = std::fs::read(file).unwrap();
    assert!(
        pdf.starts_with(b"%PDF-") && pdf.len() > 100_000,
        "{} bytes",
        pdf.len()
    );
    assert_eq!(
        window
            .tell("String(sessionStorage.getItem('pointed'))")
            .await,
        "null"
    );
    // The report is in its frame, and nothing in it was refused.
    let shown = "document.getElementById('report').contentDocument?.querySelectorAll('main section').length > 5";
    window.until(shown).await;
    if let Some(folder) = look() {
        for (width, height) in [(360, 2400), (768, 1800), (1280, 1600), (1920, 1600)] {
            window.size(width, height).await;
            for dark in [false, true] {
                window.dark(dark).await;
                let scheme = if dark { "dark" } else { "light" };
                let name = format!("published-{width}-{scheme}.png");
                window.shot(&folder.join(name)).await;
            }
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_publication_is_stopped_and_says_so_after_a_reload() {
    if none() {
        return;
    }
    let cache = tempfile::tempdir().unwrap();
    let server = Server::with(&[("UNDERLID_CACHE", cache.path().to_str().unwrap())]);
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let dossier = demo(&window).await;
    let address = format!("{}/d/{dossier}/publish", server.origin());
    window.go(&address).await;
    tab_to(&window, "document.activeElement.id === 'publish'").await;
    window.press("Enter").await;
    window.until("document.activeElement.id === 'stop'").await;
    window.press("Enter").await;
    until_told(&window, "Nothing was published.").await;
    window.go(&address).await;
    window.sees("Nothing was published.").await;
    let versions = "document.querySelectorAll('[id^=version-]').length";
    assert_eq!(window.tell(versions).await, "0");
    window
        .waits_for("button", "Publish revision 1 as version 1")
        .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn two_revisions_are_compared_and_the_old_value_comes_back() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let dossier = demo(&window).await;
    window
        .go(&format!("{}/d/{dossier}/intake", server.origin()))
        .await;
    window.focus("textbox", "model").await;
    let before = window.tell("document.activeElement.value").await;
    window.press("Ctrl+a").await;
    window.types("Q-77").await;
    window.press("Enter").await;
    window.until("document.body.dataset.revision === '2'").await;
    window
        .go(&format!("{}/d/{dossier}/history", server.origin()))
        .await;
    tab_to(&window, "document.activeElement.innerText === 'Compare'").await;
    window.press("Enter").await;
    window.sees("From revision 1 to 2").await;
    window.sees(&before).await;
    tab_to(&window, "document.activeElement.innerText === 'Bring back'").await;
    window.press("Enter").await;
    window.until("document.body.dataset.revision === '3'").await;
    window.focus("textbox", "model").await;
    assert_eq!(window.tell("document.activeElement.value").await, before);
}
