//! A step with its clock: what it ends is told first, one key starts and stops, the cautions stand while it runs.

use crate::browser::{Seat, Server, Window, look, none};
use chromiumoxide::cdp::browser_protocol::dom::SetFileInputFilesParams;
use std::time::{Duration, Instant};

/// Opens the demonstration at a place.
pub(crate) async fn demonstration(window: &Window, server: &Server, place: &str) -> String {
    let dossier = window
        .tell("document.querySelector('#products a').pathname.split('/')[2]")
        .await;
    window
        .go(&format!("{}/d/{dossier}/{place}", server.origin()))
        .await;
    window.started().await;
    dossier
}

/// Story 10, the bench's part of it.
#[tokio::test(flavor = "multi_thread")]
async fn a_step_tells_what_it_ends_and_runs_by_one_key() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "intake").await;
    window.press("F8").await;
    window.press("2").await;
    window
        .waits_for("textbox", "What you are about to do")
        .await;
    window
        .until("document.activeElement.id === 'step-words'")
        .await;
    window.types("saw lens").await;
    window.sees("as planned").await;
    window.sees("Answers a touch within 50 ms.").await;
    window.press("Enter").await;
    // What it ends holds the focus, and nothing has started.
    window
        .until("document.activeElement.id === 'step-go-on'")
        .await;
    assert_eq!(
        window
            .tell("document.getElementById('step-runs').hidden")
            .await,
        "true"
    );
    window.press("Enter").await;
    let began = Instant::now();
    window
        .until("document.activeElement.id === 'step-stop'")
        .await;
    window.sees("Saw the lens out of the front ring.").await;
    window.sees("Blade: cut away from the hand").await;
    // The server has it: another window shows it running, and it survives a closed one.
    window.sees("Saved").await;
    let revision = window.tell("document.body.dataset.revision").await;
    window
        .until(&format!(
            "Number(document.body.dataset.revision) >= {revision}"
        ))
        .await;
    tokio::time::sleep(Duration::from_millis(2600)).await;
    let other = seat.window(server.origin()).await;
    demonstration(&other, &server, "opening").await;
    other
        .until("!document.getElementById('step-runs').hidden")
        .await;
    other
        .until("document.activeElement.id === 'step-stop'")
        .await;
    other.sees("Blade: cut away from the hand").await;
    if let Some(folder) = look() {
        for (width, height) in [(360, 740), (768, 1024), (1280, 800), (1920, 1080)] {
            for dark in [false, true] {
                other.size(width, height).await;
                other.dark(dark).await;
                other
                    .shot(&folder.join(format!("step-runs-{width}-{dark}.png")))
                    .await;
            }
        }
        other.size(1280, 800).await;
        other.dark(false).await;
    }
    let took = began.elapsed();
    other.press("Enter").await;
    other
        .until("document.getElementById('step-runs').hidden")
        .await;
    // What came free is asked next, then whether it goes back.
    other.until("document.activeElement.name === 'free'").await;
    window
        .until("document.getElementById('step-runs').hidden")
        .await;
    let shown = other
        .tell("document.querySelector('#step-cut-lens .took').textContent")
        .await;
    let seconds: f64 = shown.strip_suffix(" s").unwrap().parse().unwrap();
    assert!(
        (seconds - took.as_secs_f64()).abs() <= 1.5,
        "{shown} for {took:?}"
    );
    other.press("Enter").await;
    other
        .until(
            "document.activeElement.closest('form')?.elements.at?.value === 'steps.cut-lens.undo'",
        )
        .await;
    if let Some(folder) = look() {
        other.shot(&folder.join("step-done.png")).await;
    }
    // Taken back twice, it is planned as before.
    other.press("Ctrl+z").await;
    other
        .until("!document.getElementById('step-runs').hidden")
        .await;
    other.press("Ctrl+z").await;
    other
        .waits_for("button", "Start: Saw the lens out of the front ring.")
        .await;
}

/// A new step in words, by keys alone; the same words again are told to be late.
#[tokio::test(flavor = "multi_thread")]
async fn a_new_step_is_read_from_its_words() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "opening").await;
    window
        .until("document.activeElement.id === 'step-words'")
        .await;
    window.types("unclip button").await;
    window.sees("goes back as it was").await;
    if let Some(folder) = look() {
        window.shot(&folder.join("step-typed.png")).await;
    }
    window.press("Enter").await;
    window
        .until("document.activeElement.id === 'step-stop'")
        .await;
    window.press("Space").await;
    // Less than two seconds is no time for a step.
    window.sees("type the time").await;
    window.types("2 min").await;
    window.press("Enter").await;
    window
        .until("document.querySelector('#step-unclip-button .took')?.textContent === '2 min'")
        .await;
}

/// Story 10, the telephone's part: paired at 360 px, a picture of twelve megapixels goes to the step that runs.
#[tokio::test(flavor = "multi_thread")]
async fn a_telephone_sends_a_picture_to_the_step_that_runs() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let dossier = demonstration(&window, &server, "opening").await;
    window
        .until("document.activeElement.id === 'step-words'")
        .await;
    window.types("saw lens").await;
    window.sees("as planned").await;
    window.press("Enter").await;
    window
        .until("document.activeElement.id === 'step-go-on'")
        .await;
    window.press("Enter").await;
    window
        .until("document.activeElement.id === 'step-stop'")
        .await;
    window.sees("Saved").await;
    window.press("F8").await;
    window.press("t").await;
    window.focus("button", "New code").await;
    window.press("Enter").await;
    window.until("document.querySelector('.code')").await;
    let code = window
        .tell("document.querySelector('.code').textContent")
        .await;
    let url = window
        .tell("document.querySelector('.pairing b').textContent")
        .await;
    if let Some(folder) = look() {
        for (width, height) in [(360, 740), (1280, 800)] {
            window.size(width, height).await;
            window
                .shot(&folder.join(format!("telephone-bench-{width}.png")))
                .await;
        }
    }
    // Open, Enter, Take, shutter.
    let phone = seat.window("about:blank").await;
    phone.size(360, 740).await;
    phone.go(&format!("{url}#{code}")).await;
    phone
        .until(&format!(
            "document.getElementById('code')?.value === '{code}'"
        ))
        .await;
    if let Some(folder) = look() {
        phone.shot(&folder.join("phone-code.png")).await;
    }
    phone.press("Enter").await;
    phone
        .sees("goes to: step 22, Saw the lens out of the front ring.")
        .await;
    let height = phone
        .tell("document.querySelector('.take').getBoundingClientRect().height")
        .await;
    assert!(height.parse::<f64>().unwrap() >= 96.0, "{height}");
    let picture = imaging::Picture {
        width: 4000,
        height: 3000,
        rgb: (0..4000_u32 * 3000 * 3)
            .map(|n| (n / 4096 % 251) as u8)
            .collect(),
    };
    let bytes = imaging::pixels::encode(&picture, imaging::pixels::Encoding::Jpeg(80), None, None);
    let file = server.folder().join("IMG_0001.jpg");
    std::fs::write(&file, bytes.unwrap()).unwrap();
    let input = phone
        .page
        .find_element("#take")
        .await
        .unwrap()
        .backend_node_id;
    let files = SetFileInputFilesParams::builder()
        .file(file.to_str().unwrap())
        .backend_node_id(input)
        .build()
        .unwrap();
    phone.page.execute(files).await.unwrap();
    phone.sees("kept as img_0001").await;
    let wide = phone.tell("document.documentElement.scrollWidth").await;
    assert_eq!(wide, "360");
    if let Some(folder) = look() {
        for dark in [false, true] {
            phone.dark(dark).await;
            phone.shot(&folder.join(format!("phone-{dark}.png"))).await;
        }
    }
    phone
        .focus("button", "Stop: Saw the lens out of the front ring.")
        .await;
    phone.press("Enter").await;
    phone.sees("No step is planned").await;
    window
        .go(&format!("{}/d/{dossier}/opening", server.origin()))
        .await;
    window
        .until("document.getElementById('step-cut-lens').textContent.includes('1 photograph')")
        .await;
    // A value goes to the field that waits, once the window listens.
    tokio::time::sleep(Duration::from_secs(2)).await;
    phone.focus("textbox", "Send a value").await;
    phone.types("unclip button").await;
    phone.press("Enter").await;
    window
        .sees("Arrived unclip button from the telephone")
        .await;
    window.press("F8").await;
    window.press("Enter").await;
    window
        .until("document.getElementById('step-words').value === 'unclip button'")
        .await;
    phone
        .focus("button", "End: this telephone sends no more")
        .await;
    phone.press("Enter").await;
    phone.sees("Code that the workbench shows").await;
}
