//! What is typed is never lost: the server killed, two people at one value, two windows.

use crate::browser::{Seat, Server, Window, none};

async fn demonstration(server: &Server, window: &Window) -> String {
    window.go(&server.url).await;
    window.until("document.querySelector('#products a')").await;
    window
        .tell("document.querySelector('#products a').pathname.split('/')[2]")
        .await
}

const CLAIMS: &str =
    "[...document.querySelectorAll('[data-claim] .said [name=new]')].map(i => i.value).join('|')";

/// Story 8: one claim typed, the server killed, Enter; two more; a fourth half typed; reload; start; load.
#[tokio::test(flavor = "multi_thread")]
async fn a_killed_server_loses_nothing_that_was_typed() {
    if none() {
        return;
    }
    let mut server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let dossier = demonstration(&server, &window).await;
    let intake = format!("{}/d/{dossier}/intake?at=new-claim", server.origin());
    window.go(&intake).await;
    window.waits_for("textbox", "Claim, as printed").await;
    window
        .until("document.activeElement.id === 'claim-text'")
        .await;
    window.types("Weighs 91 g.").await;
    window.sees("91 g").await;
    server.kill();
    for rest in ["", "Lit in 2 s.", "Splash proof IPX4."] {
        window.types(rest).await;
        window.press("Enter").await;
        window
            .until("document.activeElement.id === 'claim-printed'")
            .await;
        window.press("Enter").await;
        window
            .until(
                "document.activeElement.id === 'claim-text' && document.activeElement.value === ''",
            )
            .await;
    }
    window.types("Half a sent").await;
    window.sees("Kept here").await;
    window.sees("3 not saved").await;
    tokio::time::sleep(std::time::Duration::from_millis(600)).await;
    // The browser's own error page.
    let _ = window.page.reload().await;
    server.again();
    window.go(&intake).await;
    window.sees("Saved").await;
    window
        .until(&format!("{CLAIMS}.includes('Splash proof IPX4.')"))
        .await;
    let claims = window.tell(CLAIMS).await;
    let ours: Vec<&str> = claims.split('|').rev().take(3).collect();
    assert_eq!(ours, ["Splash proof IPX4.", "Lit in 2 s.", "Weighs 91 g."]);
    assert_eq!(claims.matches("Lit in 2 s.").count(), 1);
    window
        .until("document.getElementById('claim-text').value === 'Half a sent'")
        .await;
}

/// Story 8 again, the answer lost after the commit: done once each.
#[tokio::test(flavor = "multi_thread")]
async fn an_answer_that_is_lost_does_not_do_it_twice() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let dossier = demonstration(&server, &window).await;
    window
        .go(&format!(
            "{}/d/{dossier}/intake?at=new-claim",
            server.origin()
        ))
        .await;
    window
        .until("document.activeElement.id === 'claim-text'")
        .await;
    // The list arrives and is kept; the page never hears of it.
    window
        .tell(
            "(() => { const real = window.fetch; let lost = 1; window.fetch = async (...all) => { \
               const answer = await real(...all); \
               if (String(all[0]).endsWith('/edits') && lost-- > 0) throw new TypeError('lost'); \
               return answer; }; return 1; })()",
        )
        .await;
    window.types("Weighs 92 g.").await;
    window.press("Enter").await;
    window
        .until("document.activeElement.id === 'claim-printed'")
        .await;
    window.press("Enter").await;
    window
        .until(&format!("{CLAIMS}.includes('Weighs 92 g.')"))
        .await;
    window
        .until("document.getElementById('state').innerText.startsWith('Saved')")
        .await;
    let claims = window.tell(CLAIMS).await;
    assert_eq!(claims.matches("Weighs 92 g.").count(), 1);
}

/// Story 9: the mass of one thing by two people; both values with who wrote them; one is kept, the other in history.
#[tokio::test(flavor = "multi_thread")]
async fn two_people_at_one_value_see_both() {
    if none() {
        return;
    }
    let server = Server::start();
    let (seat, other) = (Seat::take().await, Seat::take().await);
    let a = seat.window(&server.url).await;
    let dossier = demonstration(&server, &a).await;
    let b = other.window(&server.url).await;
    b.go(&format!("{}/keys", server.origin())).await;
    b.tell("(document.getElementById('person').value = 'B.', document.getElementById('person').form.submit())").await;
    b.until("document.getElementById('person')?.defaultValue === 'B.'")
        .await;
    let intake = format!("{}/d/{dossier}/intake", server.origin());
    a.go(&intake).await;
    b.go(&intake).await;
    let mass = "textbox";
    a.waits_for(mass, "mass of Lamp").await;
    b.waits_for(mass, "mass of Lamp").await;
    // B is offline while A writes: B's page hears of nothing.
    b.tell("(() => { window.realFetch = window.fetch; window.fetch = async (to, ...rest) => { \
            if (window.offline) throw new TypeError('offline'); return window.realFetch(to, ...rest); }; \
            window.offline = true; return 1; })()").await;
    write(&a, "mass of Lamp", "41.14 g").await;
    a.until("document.getElementById('state').innerText.startsWith('Saved') && document.querySelectorAll('.unsaved').length === 0").await;
    write(&b, "mass of Lamp", "41.31 g").await;
    b.focus(mass, "Claim, as printed").await;
    b.tell("(window.offline = false, 1)").await;
    b.sees("41.14 g").await;
    b.sees("A. wrote this").await;
    b.until("document.querySelector('.two')").await;
    b.tell("(document.querySelector('.two button').focus(), 1)")
        .await;
    b.press("Down").await;
    b.press("Enter").await;
    b.until("!document.querySelector('.two')").await;
    assert_eq!(b.of(mass, "mass of Lamp", "this.value").await, "41.14 g");
    b.go(&format!("{}/d/{dossier}/history", server.origin()))
        .await;
    b.sees("Not taken").await;
    b.sees("41.31 g").await;
}

async fn write(window: &Window, name: &str, words: &str) {
    window.focus("textbox", name).await;
    window.press("Ctrl+a").await;
    window.tell("(document.activeElement.select(), 1)").await;
    window.types(words).await;
    window.press("Enter").await;
}

/// Story 6 with typed keys: a claim turns in both windows when the reading arrives, and back.
#[tokio::test(flavor = "multi_thread")]
async fn a_claim_turns_in_both_windows_when_its_reading_arrives() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let a = seat.window(&server.url).await;
    let dossier = demonstration(&server, &a).await;
    a.go(&format!("{}/d/{dossier}/claims", server.origin()))
        .await;
    let b = seat
        .window(&format!("{}/d/{dossier}/fields", server.origin()))
        .await;
    let touch = "[...document.querySelectorAll('#judged > li')].find(li => li.innerText.includes('Answers a touch')).innerText";
    a.until(&format!("{touch}.includes('needs evidence')"))
        .await;
    b.tell(
        "(async () => { const edits = await import(document.querySelector('script').src.replace('main.js', 'edits.js')); \
         const root = 'lamp'; await edits.write([{ do: 'add', to: 'readings', entry: { id: 'touch-to-light', item: root, \
         what: 'delay', value: '38.0 ms' } }]); })()",
    )
    .await;
    a.until(&format!("{touch}.includes('holds')")).await;
    a.until(&format!("{touch}.includes('was needs evidence')"))
        .await;
    a.sees("Moved").await;
    a.press("Ctrl+z").await;
    a.until(&format!(
        "{touch}.includes('needs evidence') && !{touch}.includes('holds')"
    ))
    .await;
}
