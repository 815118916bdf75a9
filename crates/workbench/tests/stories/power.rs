//! Links entered by keys alone, walked along, taken back.

use crate::browser::{Seat, Server, look, none};
use crate::opening::demonstration;

/// The thing whose line stands in the margin.
const HERE: &str = "document.querySelector('.nodes [aria-current=true]').dataset.node";

#[tokio::test(flavor = "multi_thread")]
async fn a_power_link_is_entered_by_keys() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "power").await;
    window
        .until("document.activeElement.id === 'diagram'")
        .await;
    window
        .until("document.querySelector('.diagram svg .held')")
        .await;
    let links = "document.querySelectorAll('.nodes [data-node]').length";
    let first = window.tell(HERE).await;
    // Downstream to what it feeds, and back.
    window.press("Right").await;
    let second = window.tell(HERE).await;
    // The diagram marks where one is.
    window
        .until(&format!(
            "document.querySelector('.diagram .held').dataset.of.split(' ').includes('{second}')"
        ))
        .await;
    let fed = window
        .tell(&format!(
            "document.querySelector('[data-node=\"{first}\"]').dataset.down"
        ))
        .await;
    assert!(
        fed.split(' ').any(|id| id == second),
        "{first} feeds {fed}, not {second}"
    );
    window.press("Left").await;
    window.until(&format!("{HERE} === '{first}'")).await;
    window
        .until(&format!(
            "document.querySelector('form[data-link]').dataset.link === '{first}'"
        ))
        .await;
    let before = window.tell(links).await;
    assert!(before.parse::<u32>().unwrap() > 10, "{before}");
    // Enter on the giver, the taker's name, Enter.
    window.press("Enter").await;
    window.until("document.activeElement.id === 'taker'").await;
    window.types("Lamp processor").await;
    window.sees("feeds Lamp processor U1").await;
    window.press("Enter").await;
    window.until(&format!("document.querySelector('[data-node=\"{first}\"]').dataset.down.split(' ').includes('lamp-mcu')")).await;
    window.sees("Saved").await;
    window
        .waits_for("button", "Delete the link to Lamp processor U1")
        .await;
    if let Some(folder) = look() {
        for (width, height) in [(360, 740), (768, 1024), (1280, 800), (1920, 1080)] {
            for dark in [false, true] {
                window.size(width, height).await;
                window.dark(dark).await;
                window
                    .shot(&folder.join(format!("power-{width}-{dark}.png")))
                    .await;
            }
        }
        window.size(1280, 800).await;
    }
    // Delete on its button takes it away; it can be taken back like anything.
    window
        .focus("button", "Delete the link to Lamp processor U1")
        .await;
    window.press("Delete").await;
    let gone = format!(
        "!document.querySelector('[data-node=\"{first}\"]').dataset.down.split(' ').includes('lamp-mcu')"
    );
    window.until(&gone).await;
    window.press("Ctrl+z").await;
    window.until(&format!("!({gone})")).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_stage_that_is_not_known_is_told_with_what_it_would_narrow() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "power?at=lamp-charger").await;
    window.waits_for("combobox", "Stage").await;
    window.focus("combobox", "Stage").await;
    assert_eq!(
        window
            .tell("document.querySelector('#stage option').value")
            .await,
        "unknown"
    );
    window.press("Home").await;
    window
        .until(
            "document.querySelector('.diagram svg').textContent.includes('not known what it does')",
        )
        .await;
    window
        .until("document.getElementById('narrows').textContent.includes('if it is a')")
        .await;
    if let Some(folder) = look() {
        window.shot(&folder.join("power-unknown.png")).await;
    }
}
