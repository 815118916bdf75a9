//! Intake by keys: weights, labels and identifiers read while they are typed; a table brought in and taken back.

use crate::browser::{Seat, Server, none};
use crate::opening::demonstration;

/// The day rule and the page count alike, and the list stands near the top.
#[tokio::test(flavor = "multi_thread")]
async fn what_is_to_take_is_counted_once() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "intake").await;
    let rule = window
        .tell("document.querySelector('.rule .here .open').textContent")
        .await;
    let listed = window
        .tell("document.querySelectorAll('details.takings li').length + ' to take'")
        .await;
    let head = window
        .tell("document.querySelector('details.takings summary b').textContent")
        .await;
    assert_eq!((&rule, &rule), (&listed, &head));
    let reasons = window
        .tell("[...document.querySelectorAll('.before .why')].map(p => p.textContent).join('; ')")
        .await;
    assert!(!reasons.contains('?'), "{reasons}");
    for (width, height) in [(360, 740), (768, 1024)] {
        window.size(width, height).await;
        window.reload().await;
        window
            .until("!document.querySelector('details.takings').open")
            .await;
        let top = window
            .tell("Math.round(document.querySelector('details.takings summary').getBoundingClientRect().bottom)")
            .await;
        assert!(top.parse::<i64>().unwrap() < height, "{top} at {width}");
        let cut = window
            .tell("[...document.querySelectorAll('.claims textarea')].filter(box => box.scrollWidth > box.clientWidth || box.scrollHeight > box.clientHeight + 2).length")
            .await;
        assert_eq!(cut, "0", "at {width}");
    }
}

/// What a weight, a label line and an identifier mean stands beside them before they are written.
#[tokio::test(flavor = "multi_thread")]
async fn lines_are_read_while_they_are_typed() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "intake").await;
    let revision = "Number(document.body.dataset.revision)";
    let before = window.tell(revision).await;
    window
        .tell("document.querySelector('#weight-cradle-base [name=new]').select()")
        .await;
    window.types("60").await;
    window
        .sees("would balance to: Base: whole and pieces")
        .await;
    window.sees("unaccounted for").await;
    window.press("Esc").await;
    window
        .focus("textbox", "Kind of a further identifier")
        .await;
    window.types("article number").await;
    window.press("Enter").await;
    window.types("6291041500231").await;
    window.sees("wrong check digit").await;
    window.press("Backspace").await;
    window.press("Backspace").await;
    window.types("13").await;
    window.sees("check digit right").await;
    assert_eq!(window.tell(revision).await, before);
    window.press("Enter").await;
    window
        .until("[...document.querySelectorAll('[name=new]')].some(box => box.value === '6291041500213')")
        .await;
    window.focus("textbox", "Where a label is").await;
    window.types("plug").await;
    window.press("Enter").await;
    window.types("OUTPUT 5 V DC 0.5 A, 4 W").await;
    window.sees("printed 4").await;
    window.press("Ctrl+Enter").await;
    // The rating that was read is the label's.
    window
        .until("[...document.querySelectorAll('.label-lines textarea')].some(box => box.value.startsWith('OUTPUT 5 V DC'))")
        .await;
    window.sees("Label").await;
}

/// A parts list: F8 L, pasted, a column corrected, taken as one edit, taken back by one key.
#[tokio::test(flavor = "multi_thread")]
async fn a_table_is_taken_as_one_edit() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    demonstration(&window, &server, "inside").await;
    window
        .until("document.querySelector('#plate')?.dataset.ready")
        .await;
    window.press("F8").await;
    window.press("l").await;
    window
        .until("document.activeElement.id === 'table-cells'")
        .await;
    let cells = "Ref;Stamp;Board\\nU91;ZK4;lamp-main\\nU92;ZK5;lamp-main\\nU93;ZK6;nowhere";
    window
        .tell(&format!(
            "document.execCommand('insertText', false, '{cells}')"
        ))
        .await;
    window.sees("2 rows new").await;
    window.sees("There is no item “nowhere”").await;
    // The second column is the marking: its word is typed into its choice.
    window.focus("combobox", "Stamp").await;
    window.types("marking").await;
    window.press("Enter").await;
    window
        .until("document.querySelector('[data-column=\"1\"]').value === 'marking' && document.getElementById('table-take')")
        .await;
    window.sees("2 rows new").await;
    window.focus("button", "Take 2 rows").await;
    window.press("Enter").await;
    window.until("location.pathname.endsWith('/inside')").await;
    let number = "Number(document.body.dataset.revision)";
    window.until(&format!("{number} === 2")).await;
    let entries = "fetch(location.pathname.replace(/[^/]*$/, 'fields')).then(r => r.text()).then(t => ['U92', 'U93'].filter(word => t.includes(word)).join())";
    let entries = async || {
        let told = window.page.evaluate_expression(entries).await.unwrap();
        told.into_value::<String>().unwrap()
    };
    assert_eq!(entries().await, "U92");
    window
        .until("document.querySelector('#plate')?.dataset.ready")
        .await;
    window.press("Ctrl+z").await;
    window.until(&format!("{number} === 3")).await;
    assert_eq!(entries().await, "");
}

/// A new product by keys: an empty place says what belongs in it.
#[tokio::test(flavor = "multi_thread")]
async fn an_empty_intake_says_what_belongs_in_it() {
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
    window
        .until("document.activeElement.id === 'claim-text'")
        .await;
    for words in [
        "What box, leaflet and labels say",
        "2 to take",
        "Every label line by line",
        "Article, serial and device numbers",
        "What you weigh and measure with",
    ] {
        window.sees(words).await;
    }
}
