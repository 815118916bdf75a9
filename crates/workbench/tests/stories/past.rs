//! Parts of texts published before taken and refused by one key each, and remembered; corrections proposed before they
//! are published.

use crate::browser::{Seat, Server, look, none};
use crate::opening::demonstration;
use library::{Library, Which};

const TEXT: &str = "<h1>An older lamp</h1><p>The linear charger is Halvik's RKT2104. Under the shield sits a GQ5512 \
                    motion sensor from Norda.<p>The op-amp is marked WK7710.";

/// Puts a text beside the demonstration.
pub(crate) async fn add(library: &Library) {
    let heads = library.heads(Which::Present).await.unwrap();
    let made = library.add_file(&heads[0].id, "past/older.html", TEXT.into());
    made.await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn parts_of_published_texts_are_taken_and_refused_by_one_key_and_remembered() {
    if none() {
        return;
    }
    let server = Server::with(&[("UNDERLID_STORY_PAST", "yes")]);
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let dossier = demonstration(&window, &server, "standing").await;
    window.sees("Texts published before").await;
    let rows = "document.querySelectorAll('[data-proposal]').length";
    window.until(&format!("{rows} === 3")).await;
    if let Some(folder) = look() {
        for (width, height) in [(360, 1200), (1280, 1200)] {
            for dark in [false, true] {
                window.size(width, height).await;
                window.dark(dark).await;
                window
                    .tell("document.getElementById('past').scrollIntoView()")
                    .await;
                window
                    .shot(&folder.join(format!("past-{width}-{dark}.png")))
                    .await;
            }
        }
        window.size(1280, 800).await;
    }
    window
        .tell("document.querySelector('[data-proposal]').focus()")
        .await;
    let first = "document.activeElement.getAttribute('aria-label')";
    assert_eq!(
        window.tell(first).await,
        "RKT2104, linear charger, made by Halvik"
    );
    window.press("Enter").await;
    window.until(&format!("{rows} === 2")).await;
    window
        .until("Boolean(document.activeElement.matches('[data-proposal]'))")
        .await;
    window.press("Delete").await;
    window.until(&format!("{rows} === 1")).await;
    // What was taken is a part of the product, with its sentence; what was refused is asked no more.
    window
        .go(&format!("{}/d/{dossier}/standing", server.origin()))
        .await;
    window.sees("1 to look at, 1 taken, 1 refused").await;
    // What was decided is folded.
    window
        .tell("document.querySelectorAll('main details').forEach(fold => { fold.open = true; })")
        .await;
    window.sees("RKT2104").await;
    window
        .tell("document.querySelector('[data-undecided]').closest('details').open = true")
        .await;
    window
        .tell("[...document.querySelectorAll('[data-undecided]')].at(-1).querySelector('button').focus()")
        .await;
    window.press("Enter").await;
    window.until(&format!("{rows} === 2")).await;
}
