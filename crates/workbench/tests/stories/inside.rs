//! Inside: a part read and taken by keys alone, doubt, a box without offers, photographs dropped.

use crate::browser::{Seat, Server, Window, look, none};
use std::time::Instant;

/// Opens a board on which nothing is recorded, with the plate in focus.
pub(crate) async fn board(seat: &Seat, server: &Server, photo: &str) -> Window {
    product(seat, server, "Bare boards", photo).await
}

/// Opens a photograph of a product, with the plate in focus.
pub(crate) async fn product(seat: &Seat, server: &Server, name: &str, photo: &str) -> Window {
    let window = seat.window(&server.url).await;
    window.sees(name).await;
    let at = window
        .tell(&format!("[...document.querySelectorAll('#products a')].find(a => a.innerText.includes('{name}')).pathname.split('/')[2]"))
        .await;
    window
        .go(&format!("{}/d/{at}/inside?plate={photo}", server.origin()))
        .await;
    window
        .until("document.querySelector('#plate')?.dataset.ready")
        .await;
    window
        .tell("document.querySelector('#plate').focus()")
        .await;
    window
}

pub(crate) async fn cross(window: &Window) -> [f64; 2] {
    let text = window
        .tell("document.querySelector('#plate').dataset.cross")
        .await;
    let (x, y) = text.split_once(' ').unwrap();
    [x.parse().unwrap(), y.parse().unwrap()]
}

/// Goes from body to body until the cross is at a place of the photograph; returns the keys pressed.
async fn to(window: &Window, at: [f64; 2]) -> usize {
    for keys in 0..80 {
        let [x, y] = cross(window).await;
        if (x - at[0]).hypot(y - at[1]) < 14.0 {
            return keys;
        }
        window.press("Space").await;
        let was = format!("{x:.1} {y:.1}");
        window
            .until(&format!(
                "document.querySelector('#plate').dataset.cross !== '{was}'"
            ))
            .await;
    }
    panic!("no body is offered at {at:?}");
}

/// The text of the dossier as the server would export it, by what the pages say of it.
async fn parts(window: &Window) -> String {
    window.tell("[...document.querySelectorAll('#parts tr[data-item]')].map(r => r.dataset.item).join(' ')").await
}

pub(crate) async fn revision(window: &Window) -> u64 {
    window
        .tell("document.body.dataset.revision")
        .await
        .parse()
        .unwrap()
}

/// Waits until something was written after a revision.
pub(crate) async fn revision_after(window: &Window, before: u64) {
    window
        .until(&format!(
            "Number(document.body.dataset.revision) > {before}"
        ))
        .await;
}

const U5: [f64; 2] = [775.5, 253.0];
const U6: [f64; 2] = [781.0, 407.0];

/// Story 2: three actions.
#[tokio::test(flavor = "multi_thread")]
async fn a_sharp_part_takes_three_actions() {
    if none() {
        return;
    }
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "lamp-main").await;
    to(&window, U6).await;
    window.sees("sides moved").await;
    window
        .until("document.querySelector('.crop img').naturalWidth > 0")
        .await;
    let before = revision(&window).await;
    // One text.
    window.types("OXT7").await;
    window
        .until(
            "document.querySelector('#choices [aria-selected=true] .word')?.innerText === 'read'",
        )
        .await;
    // Answers to earlier keys may still be on their way.
    window
        .until(
            "document.querySelector('#choices [aria-selected=true] .name')?.innerText === 'OXT7'",
        )
        .await;
    assert_eq!(window.tell("document.activeElement.id").await, "marking");
    assert_eq!(
        window
            .tell("document.querySelector('#marking').value")
            .await,
        "OXT7"
    );
    assert_eq!(
        window
            .tell("document.querySelector('#choices [aria-selected=true] .name').innerText")
            .await,
        "OXT7"
    );
    if let Some(folder) = look() {
        window.shot(&folder.join("inside-sharp.png")).await;
    }
    // Take it, and its role.
    window.press("Enter").await;
    window.until("document.activeElement.id === 'role'").await;
    assert_eq!(
        window.tell("document.activeElement.value").await,
        "touch controller"
    );
    window.press("Enter").await;
    window.until("document.activeElement.id === 'plate'").await;
    window
        .until("document.querySelector('#parts tr[data-item]')")
        .await;
    window
        .until(&format!(
            "Number(document.body.dataset.revision) >= {}",
            before + 2
        ))
        .await;
    window
        .until("document.querySelector('#parts tr[data-item] .sure')?.innerText === 'read'")
        .await;
    window.until("document.querySelector('#parts tr[data-item=oxt7] td:last-child input:not([type=hidden])').value === 'touch controller'").await;
    let size = window
        .tell("document.querySelector('#parts tr[data-item] .figure').innerText")
        .await;
    let sides: Vec<f64> = size.split(" × ").map(|v| v.parse().unwrap()).collect();
    // The scene draws 3.00 mm; the height above the board leaves a tenth open.
    assert!(sides.iter().all(|mm| (mm - 3.0).abs() < 0.3), "{size}");
    // The cross is on another body, which has no part.
    let [x, y] = cross(&window).await;
    assert!((x - U6[0]).hypot(y - U6[1]) > 20.0);
    assert_eq!(
        window
            .tell("document.querySelector('#line .which').innerText")
            .await,
        "Part 2"
    );
}

/// Story 4: the identity stays open until somebody chooses, and one taking back leaves the plate as it was.
#[tokio::test(flavor = "multi_thread")]
async fn doubt_costs_five_actions_and_is_taken_back() {
    if none() {
        return;
    }
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "lamp-main").await;
    to(&window, U5).await;
    window.sees("sides moved").await;
    let before = revision(&window).await;
    window.types("TH31?|[8B]24").await;
    window
        .until("document.querySelector('#choices').dataset.of === 'TH31?|[8B]24'")
        .await;
    let first = "document.querySelector('#choices [aria-selected=true] .name').innerText";
    assert_eq!(window.tell(first).await, "As seen, identity open");
    let names = window
        .tell("[...document.querySelectorAll('#choices li')].slice(1, 3).map(li => li.querySelector('.name').innerText + ' ' + li.querySelector('.word').innerText).join(', ')")
        .await;
    assert_eq!(names, "TH310 even, TH31B even");
    let decides = window
        .tell("document.querySelector('.decides').innerText")
        .await;
    assert!(decides.contains("decides: 0 or B"), "{decides}");
    if let Some(folder) = look() {
        window.shot(&folder.join("inside-doubt.png")).await;
    }
    window.press("Down").await;
    window
        .until(
            "document.querySelector('#choices [aria-selected=true] .name').innerText === 'TH310'",
        )
        .await;
    window.press("Enter").await;
    window
        .until("document.activeElement.id === 'because'")
        .await;
    window.press("Enter").await;
    window.until("document.activeElement.id === 'role'").await;
    window.press("Enter").await;
    window
        .until(&format!(
            "Number(document.body.dataset.revision) >= {}",
            before + 3
        ))
        .await;
    window
        .until("document.querySelector('#parts tr[data-item] .sure')?.innerText === 'inferred'")
        .await;
    window
        .until("document.querySelector('#parts tr.open')")
        .await;
    window
        .until("document.querySelector('.marks .part.open')")
        .await;
    assert_eq!(parts(&window).await, "th31");
    // Part, because and role were one action: one key takes them back.
    window.press("Ctrl+z").await;
    window
        .until(&format!(
            "Number(document.body.dataset.revision) === {}",
            before + 4
        ))
        .await;
    window
        .until("!document.querySelector('#parts tr[data-item]')")
        .await;
    window
        .until("!document.querySelector('.marks .part')")
        .await;
}

/// Story 5: strides by the screen, a box from nothing, a side moved.
#[tokio::test(flavor = "multi_thread")]
async fn a_box_is_grown_and_moved_by_keys() {
    if none() {
        return;
    }
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "lamp-main").await;
    let before = revision(&window).await;
    let shorter: f64 = {
        // The whole plate is seen, so the shorter visible side is that of the photograph or of the view.
        let told = window
            .tell("Math.min(document.querySelector('#plate').dataset.width, document.querySelector('#plate').dataset.height)")
            .await;
        told.parse().unwrap()
    };
    let mut last = cross(&window).await;
    for (key, share) in [
        ("Shift+Right", 1.0 / 8.0),
        ("Shift+Right", 1.0 / 8.0),
        ("Shift+Right", 1.0 / 8.0),
        ("Shift+Left", -1.0 / 16.0),
    ] {
        window.press(key).await;
        let was = format!("{:.1} {:.1}", last[0], last[1]);
        window
            .until(&format!(
                "document.querySelector('#plate').dataset.cross !== '{was}'"
            ))
            .await;
        let now = cross(&window).await;
        let moved = now[0] - last[0];
        assert!(
            (moved - share * shorter).abs() < 1.1,
            "{key}: {moved} of {shorter}"
        );
        last = now;
    }
    window.press("Enter").await;
    window.sees("sides moved").await;
    window
        .until("document.querySelectorAll('.marks path.tick:not(.halo)').length === 4")
        .await;
    window.press("Shift+Right").await;
    window
        .until("document.querySelectorAll('.marks path.chosen:not(.halo)').length === 1")
        .await;
    let told = window
        .tell("document.querySelector('#says').innerText")
        .await;
    assert_eq!(told, "right side");
    let edges = "document.querySelector('.marks path.box')?.getAttribute('d')";
    let was = window.tell(edges).await;
    window.press("Shift+Right").await;
    window
        .until("document.querySelector('.marks path.marked')")
        .await;
    window
        .until(&format!(
            "({edges}) !== undefined && document.querySelector('.marks path.box')"
        ))
        .await;
    assert!(!was.is_empty());
    window.press("Esc").await;
    window.until("!document.querySelector('.marks path.box') && !document.querySelector('.marks path.marked')").await;
    assert_eq!(revision(&window).await, before);
    assert_eq!(parts(&window).await, "");
}

/// Photographs are dropped: a sound one, the same again, a torn one and one that claims to be huge.
#[tokio::test(flavor = "multi_thread")]
async fn a_broken_photograph_is_named_and_the_others_go_on() {
    if none() {
        return;
    }
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "lamp-main").await;
    let plates = "document.querySelectorAll('.strip a').length";
    assert_eq!(window.tell(plates).await, "2");
    let drop = "((async () => {
        const send = files => {
            const data = new DataTransfer();
            for (const [name, bytes] of files) data.items.add(new File([bytes], name, { type: 'image/jpeg' }));
            document.dispatchEvent(new DragEvent('drop', { dataTransfer: data, bubbles: true, cancelable: true }));
        };
        if (window.files) { send(window.files); return; }
        const canvas = document.createElement('canvas');
        canvas.width = 700; canvas.height = 500;
        const context = canvas.getContext('2d');
        context.fillStyle = '#456'; context.fillRect(0, 0, 700, 500);
        context.fillStyle = '#fed'; context.fillRect(100, 100, 300, 200);
        const blob = type => new Promise(done => canvas.toBlob(done, type));
        const good = new Uint8Array(await (await blob('image/jpeg')).arrayBuffer());
        // Grain makes a file larger than what any other request may hold.
        const grain = context.getImageData(0, 0, 700, 500);
        for (let i = 0; i < grain.data.length; i += 1) grain.data[i] ^= Math.random() * 128;
        context.putImageData(grain, 0, 0);
        const png = new Uint8Array(await (await blob('image/png')).arrayBuffer());
        window.largest = png.length;
        const huge = png.slice();
        new DataView(huge.buffer).setUint32(16, 60000);
        new DataView(huge.buffer).setUint32(20, 60000);
        window.files = [['torn.jpg', good.slice(0, 900)], ['bench one.jpg', good], ['huge.png', huge], ['<img src=x onerror=alert(1)>.jpg', png]];
        send(window.files);
    })(), 'dropped')";
    assert_eq!(window.tell(drop).await, "dropped");
    window
        .until("document.querySelectorAll('#arriving li.refused').length === 2")
        .await;
    let refused = window
        .tell("[...document.querySelectorAll('#arriving li.refused')].map(li => li.innerText).join('\\n')")
        .await;
    assert!(
        refused.contains("torn.jpg") && refused.contains("huge.png"),
        "{refused}"
    );
    window.until(&format!("{plates} === 4")).await;
    if let Some(folder) = look() {
        window.shot(&folder.join("inside-arriving.png")).await;
    }
    assert_eq!(
        window
            .tell("document.querySelectorAll('#arriving img').length")
            .await,
        "0"
    );
    window.until("document.querySelector('#arriving-told').innerText.includes('2 photographs in, 2 not taken')").await;
    // The same content again is there already.
    assert_eq!(window.tell(drop).await, "dropped");
    window
        .until("[...document.querySelectorAll('#arriving li.here')].length === 2")
        .await;
    window.sees("already here as bench-one").await;
    assert_eq!(window.tell(plates).await, "4");
}

/// How long a marking takes to be answered and painted, told and not judged: times depend on the machine.
#[tokio::test(flavor = "multi_thread")]
#[ignore = "it measures"]
async fn times() {
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "lamp-main").await;
    to(&window, U6).await;
    window.sees("sides moved").await;
    let mut all = Vec::new();
    for c in ["O", "X", "T", "7"] {
        let begun = Instant::now();
        window.types(c).await;
        window.until("document.querySelector('#choices').dataset.took && !document.querySelector('#choices.late')").await;
        let took = window
            .tell("document.querySelector('#choices').dataset.took")
            .await;
        all.push((c, took, begun.elapsed()));
    }
    println!("{all:?}");
}

/// Pictures of the place to be looked at, in the folder that `UNDERLID_LOOK` names.
#[tokio::test(flavor = "multi_thread")]
#[ignore = "its pictures are for eyes"]
async fn looks() {
    let Some(folder) = look() else {
        return;
    };
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "lamp-main").await;
    let address = window.tell("location.href").await;
    window.go(&format!("{}/", server.origin())).await;
    let demo = window
        .tell("[...document.querySelectorAll('#products a')].find(a => a.innerText.includes('Nivalet')).pathname.split('/')[2]")
        .await;
    for (width, height) in [(360, 740), (768, 1024), (1280, 800), (1920, 1080)] {
        window.size(width, height).await;
        for dark in [false, true] {
            let scheme = if dark { "dark" } else { "light" };
            window.dark(dark).await;
            window
                .go(&format!(
                    "{}/d/{demo}/inside?plate=lamp-main",
                    server.origin()
                ))
                .await;
            window
                .until("document.querySelector('#plate')?.dataset.ready")
                .await;
            tokio::time::sleep(std::time::Duration::from_millis(500)).await;
            window
                .shot(&folder.join(format!("demo-{width}-{scheme}.png")))
                .await;
            window.go(&address).await;
            window
                .until("document.querySelector('#plate')?.dataset.ready")
                .await;
            window
                .tell("document.querySelector('#plate').focus()")
                .await;
            to(&window, U5).await;
            window.sees("sides moved").await;
            window.types("TH31?|[8B]24").await;
            window
                .until("document.querySelector('#choices').dataset.of === 'TH31?|[8B]24'")
                .await;
            window
                .until("document.querySelector('.crop img').naturalWidth > 0")
                .await;
            tokio::time::sleep(std::time::Duration::from_millis(300)).await;
            window
                .shot(&folder.join(format!("line-{width}-{scheme}.png")))
                .await;
        }
    }
}
