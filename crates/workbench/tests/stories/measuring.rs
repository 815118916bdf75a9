//! Inside, beyond reading parts: a scale where there is none, other measures, a size in doubt, equal bodies, one thing
//! boxed twice, a part that is not known yet, what is no part. By keys alone.

use crate::browser::{Seat, Server, Window, look, none};
use crate::inside::{board, cross, product, revision, revision_after};

const GIVES: &str = "document.querySelector('#gives')?.innerText ?? ''";

/// Moves the cross to a place, by strides that halve at every turn.
async fn go(window: &Window, to: [f64; 2]) {
    for (axis, back, forth) in [(0, "Left", "Right"), (1, "Up", "Down")] {
        for _ in 0..40 {
            let now = cross(window).await;
            let off = to[axis] - now[axis];
            if off.abs() < 3.0 {
                break;
            }
            let key = if off < 0.0 { back } else { forth };
            window.press(&format!("Shift+{key}")).await;
            let was = format!("{:.1} {:.1}", now[0], now[1]);
            window
                .until(&format!(
                    "document.querySelector('#plate').dataset.cross !== '{was}'"
                ))
                .await;
        }
    }
}

async fn shot(window: &Window, name: &str) {
    if let Some(folder) = look() {
        window.shot(&folder.join(name)).await;
    }
}

/// The first number of a text.
fn number(text: &str) -> f64 {
    let digits: String = text
        .chars()
        .skip_while(|c| !c.is_ascii_digit())
        .take_while(|c| c.is_ascii_digit() || *c == '.')
        .collect();
    digits.parse().unwrap_or(f64::NAN)
}

/// The ruler of the scene has a mark each millimetre, at 22 pixels.
#[tokio::test(flavor = "multi_thread")]
async fn a_ruler_gives_a_photograph_its_scale() {
    if none() {
        return;
    }
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = product(&seat, &server, "Unscaled board", "board").await;
    window.sees("no scale: what is in view?").await;
    let before = revision(&window).await;
    window.press("l").await;
    window
        .until("document.activeElement.id === 'measured'")
        .await;
    window.types("a stone").await;
    window.press("Enter").await;
    window
        .sees("neither a size nor a thing of known size")
        .await;
    window
        .tell("document.querySelector('#measured').select()")
        .await;
    window.types("ruler every 1 mm").await;
    window.press("Enter").await;
    window.until("document.activeElement.id === 'plate'").await;
    go(&window, [170.0, 785.0]).await;
    window.press("Enter").await;
    window.sees("The other end of the row").await;
    go(&window, [1062.0, 785.0]).await;
    window.press("Enter").await;
    window.until(&format!("({GIVES}).includes('px/mm')")).await;
    let gives = window.tell(GIVES).await;
    assert!((number(&gives) - 22.0).abs() < 0.15, "{gives}");
    assert!(gives.contains('±'), "{gives}");
    shot(&window, "measure-ruler.png").await;
    window.press("Enter").await;
    revision_after(&window, before).await;
    window
        .until("document.querySelector('#told').innerText.includes('px/mm')")
        .await;
    window
        .until("document.querySelector('.rim.below text')")
        .await;
    assert_eq!(
        window.tell("document.activeElement.id").await,
        "plate",
        "the hand is where it was"
    );
}

/// A mounting hole: the scene draws its ring 3.5 mm across, its hole 2.2 mm; either may be grown.
#[tokio::test(flavor = "multi_thread")]
async fn a_diameter_and_a_distance_are_measured() {
    if none() {
        return;
    }
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "lamp-main").await;
    go(&window, [284.0, 152.0]).await;
    window.press("m").await;
    window
        .until("document.activeElement.id === 'measured'")
        .await;
    window.types("dia").await;
    window.press("Enter").await;
    // Nothing is taken there yet, so that there is nothing that it could be the diameter of.
    window.sees("diameter is a size of a part").await;
    window.press("Esc").await;
    window.until("document.activeElement.id === 'plate'").await;
    take_hole(&window).await;
    go(&window, [284.0, 152.0]).await;
    let before = revision(&window).await;
    window.press("m").await;
    window
        .until("document.activeElement.id === 'measured'")
        .await;
    window.types("dia").await;
    window.press("Enter").await;
    window.until("document.activeElement.id === 'plate'").await;
    go(&window, [284.0, 152.0]).await;
    window.press("Enter").await;
    window.until(&format!("({GIVES}).includes('mm')")).await;
    let gives = window.tell(GIVES).await;
    assert!((1.5..5.0).contains(&number(&gives)), "{gives}");
    shot(&window, "measure-diameter.png").await;
    window.press("Enter").await;
    revision_after(&window, before).await;
    let before = revision(&window).await;
    window.press("m").await;
    window
        .until("document.activeElement.id === 'measured'")
        .await;
    window.types("distance").await;
    window.press("Enter").await;
    window.until("document.activeElement.id === 'plate'").await;
    // Across U6, which is 3.00 mm: its sides lie at 748 and 814.
    go(&window, [746.0, 407.0]).await;
    window.press("Enter").await;
    go(&window, [816.0, 407.0]).await;
    window.press("Enter").await;
    window.until(&format!("({GIVES}).includes('mm')")).await;
    let gives = window.tell(GIVES).await;
    assert!((number(&gives) - 3.0).abs() < 0.3, "{gives}");
    window.press("Enter").await;
    revision_after(&window, before).await;
    // Esc leaves and writes nothing.
    let before = revision(&window).await;
    window.press("m").await;
    window
        .until("document.activeElement.id === 'measured'")
        .await;
    window.press("Esc").await;
    window.until("document.activeElement.id === 'plate'").await;
    assert_eq!(revision(&window).await, before);
}

/// Takes what grows under the cross as a part without a marking.
async fn take_hole(window: &Window) {
    window.press("Enter").await;
    window
        .until("document.querySelector('#line .sides')?.innerText.length > 0")
        .await;
    window.press("Enter").await;
    window
        .until("document.activeElement.id === 'marking'")
        .await;
    window.press("Enter").await;
    window.until("document.activeElement.id === 'role'").await;
    window.types("mounting hole").await;
    window.press("Enter").await;
    window.until("document.activeElement.id === 'plate'").await;
    window
        .until("document.querySelectorAll('#parts tr[data-item]').length === 1")
        .await;
    window
        .until("document.querySelector('#state').innerText.startsWith('Saved')")
        .await;
    window.until("document.querySelector('#marking')").await;
    window.press("Esc").await;
    window.until("!document.querySelector('#marking')").await;
}

/// Goes on from body to body until the size of one is in doubt.
async fn to_doubt(window: &Window) -> bool {
    for _ in 0..30 {
        let [x, y] = cross(window).await;
        window.press("Space").await;
        let was = format!("{x:.1} {y:.1}");
        window
            .until(&format!(
                "document.querySelector('#plate').dataset.cross !== '{was}' && document.querySelector('#plate').dataset.asks !== ''"
            ))
            .await;
        let asks = window
            .tell("document.querySelector('#plate').dataset.asks")
            .await;
        if asks != "0" {
            return true;
        }
    }
    false
}

#[tokio::test(flavor = "multi_thread")]
async fn enter_stops_at_a_size_in_doubt_and_one_key_decides() {
    if none() {
        return;
    }
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "lamp-main").await;
    assert!(to_doubt(&window).await, "no size is in doubt");
    let before = revision(&window).await;
    window.types("QZX99").await;
    window
        .until("document.querySelector('#choices').dataset.of === 'QZX99'")
        .await;
    window.press("Enter").await;
    window.until("document.activeElement.id === 'doubt'").await;
    window.sees("Which edge?").await;
    shot(&window, "measure-doubt.png").await;
    // Esc goes back to the marking, and nothing is written.
    window.press("Esc").await;
    window
        .until("document.activeElement.id === 'marking'")
        .await;
    assert_eq!(revision(&window).await, before);
    window.press("Enter").await;
    window.until("document.activeElement.id === 'doubt'").await;
    window.press("1").await;
    window
        .until("['doubt', 'role'].includes(document.activeElement.id) && document.querySelector('#line .sides').title.includes('taken')")
        .await;
    for _ in 0..4 {
        if window.tell("document.activeElement.id").await == "role" {
            break;
        }
        window.press("Enter").await;
        tokio::time::sleep(std::time::Duration::from_millis(300)).await;
    }
    window.until("document.activeElement.id === 'role'").await;
    window.press("Enter").await;
    revision_after(&window, before).await;
}

/// The four mounting holes are drawn alike.
#[tokio::test(flavor = "multi_thread")]
async fn bodies_that_look_the_same_are_counted_in() {
    if none() {
        return;
    }
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "lamp-main").await;
    go(&window, [284.0, 152.0]).await;
    take_hole(&window).await;
    window.sees("the same as").await;
    shot(&window, "measure-same.png").await;
    let told = window
        .tell("document.querySelector('#same').innerText")
        .await;
    let count = number(&told) as usize;
    assert!((2..=3).contains(&count), "{told}");
    window
        .until("document.querySelector('#state').innerText.startsWith('Saved')")
        .await;
    let before = revision(&window).await;
    window.press("Ctrl+Enter").await;
    revision_after(&window, before).await;
    window
        .until(&format!(
            "document.querySelector('#parts tr[data-item] th').innerText.includes('×{}')",
            count + 1
        ))
        .await;
    assert_eq!(
        window
            .tell("document.querySelectorAll('#parts tr[data-item]').length")
            .await,
        "1"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn one_thing_boxed_twice_is_joined() {
    if none() {
        return;
    }
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = product(&seat, &server, "Unscaled board", "board").await;
    window.sees("lie at the same place").await;
    shot(&window, "measure-twice.png").await;
    let rows = "document.querySelectorAll('#parts tr[data-item]').length";
    assert_eq!(window.tell(rows).await, "2");
    let before = revision(&window).await;
    go(&window, [781.0, 407.0]).await;
    window.press("Enter").await;
    window.until("document.querySelector('#marking')").await;
    window.press("Shift+Enter").await;
    revision_after(&window, before).await;
    window.until(&format!("{rows} === 1")).await;
    window
        .until("document.querySelector('#parts tr[data-item=touch] .mono :is(input, textarea)[name=new]')?.value.includes('OXT7')")
        .await;
    window
        .until("document.querySelector('#twice').hidden")
        .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_that_is_not_known_is_added_to_the_known_ones() {
    if none() {
        return;
    }
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "lamp-main").await;
    window.press("Space").await;
    window
        .until("document.querySelector('#plate').dataset.asks === '0'")
        .await;
    window.types("QZX99").await;
    window
        .until("document.querySelector('#choices').dataset.of === 'QZX99'")
        .await;
    let first = "document.querySelector('#choices [aria-selected=true] .name').innerText";
    assert_eq!(window.tell(first).await, "None of the 50 known parts");
    window.press("Enter").await;
    window.until("document.activeElement.id === 'role'").await;
    window.types("crystal").await;
    window.press("Ctrl+Enter").await;
    window.until("document.activeElement.id === 'named'").await;
    assert_eq!(window.tell("document.activeElement.value").await, "QZX99");
    window.types("QZX99, Quenmora").await;
    window.press("Enter").await;
    window.until("document.activeElement.id === 'plate'").await;
    // On the next one of the kind it is known.
    window.until("document.querySelector('#marking')").await;
    window.types("QZX99").await;
    window
        .until("[...document.querySelectorAll('#choices li.part .name')].some(name => name.innerText === 'QZX99')")
        .await;
    shot(&window, "measure-known.png").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_no_part_is_remembered() {
    if none() {
        return;
    }
    let server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "lamp-main").await;
    let offered = "document.querySelectorAll('#others button').length";
    let all: usize = window.tell(offered).await.parse().unwrap();
    window.press("Space").await;
    window.until("document.querySelector('#marking')").await;
    window.press("Delete").await;
    let one_less = format!("{offered} === {}", all - 1);
    window.until(&one_less).await;
    window.reload().await;
    window
        .until("document.querySelector('#plate')?.dataset.ready")
        .await;
    window.until(&one_less).await;
    window.sees("1 said to be no part: offer again").await;
    window
        .tell("document.querySelector('#told button').click()")
        .await;
    window.until(&format!("{offered} === {all}")).await;
}
