//! Story 3: a whole board by keys alone, every action counted; taken back to the last byte.
//!
//! An action is one key that is no part of a text, or one text. The time is that of the keystroke-level model: 0.28 s
//! a key with two hands, 0.45 s with one (assumed), 1.35 s a decision. Source: S. Card, T. Moran, A. Newell,
//! Communications of the ACM 23 (1980) 396 (from memory).

use crate::browser::{Seat, Server, Window, look, none};
use crate::inside::{board, cross, revision, revision_after};
use record::{AnyFile, Dossier, read_text};
use std::collections::BTreeMap;

const DEMO: &str = include_str!("../../../../demo/lamp/dossier.toml");
const KEY_S: [f64; 2] = [0.28, 0.45];
const DECISION_S: f64 = 1.35;
/// A thing is the one held if their middles are so near, pixels.
const NEAR: f64 = 16.0;

struct Thing {
    id: String,
    middle: [f64; 2],
    marking: String,
    role: String,
}

/// What is on the board, as the demonstration records it.
fn things(dossier: &Dossier) -> Vec<Thing> {
    let photo = dossier.photo("cradle-main").unwrap();
    let seen = photo.regions.iter().filter(|region| region.id != "board");
    seen.map(|region| {
        let item = dossier.item(region.item.as_deref().unwrap()).unwrap();
        let [x, y, w, h] = region.rect.map(f64::from);
        let marking = item.part.as_ref().map(|part| part.marking.join("|"));
        Thing {
            id: region.id.clone(),
            middle: [x + w / 2.0, y + h / 2.0],
            marking: marking.unwrap_or_default(),
            // What has no role there is called by what it is.
            role: item.role.clone().unwrap_or_else(|| kind(item)),
        }
    })
    .collect()
}

/// The word for what an item is.
fn kind(item: &record::Item) -> String {
    let word = serde_json::to_value(item.kind).unwrap();
    word.as_str().unwrap().to_string()
}

/// Actions by their cause, and what they take by the model.
#[derive(Default)]
struct Count {
    causes: BTreeMap<&'static str, usize>,
    keys: usize,
}

impl Count {
    fn key(&mut self, cause: &'static str) {
        *self.causes.entry(cause).or_default() += 1;
        self.keys += 1;
    }

    fn text(&mut self, text: &str) {
        *self.causes.entry("text").or_default() += 1;
        self.keys += text.chars().count();
    }

    fn actions(&self) -> usize {
        self.causes.values().sum()
    }

    fn seconds(&self, hands: usize) -> f64 {
        KEY_S[hands] * self.keys as f64 + DECISION_S * self.actions() as f64
    }
}

/// Writes the part that is held.
async fn write(window: &Window, thing: &Thing, count: &mut Count) {
    if thing.marking.is_empty() {
        window.press("Enter").await;
        count.key("no marking");
        window
            .until("document.activeElement.id === 'marking'")
            .await;
    } else {
        window.types(&thing.marking).await;
        count.text(&thing.marking);
        window.until("document.querySelector('#choices').dataset.of === document.querySelector('#marking').value").await;
    }
    window.press("Enter").await;
    count.key("take");
    window
        .until("['doubt', 'because', 'role'].includes(document.activeElement.id)")
        .await;
    while window.tell("document.activeElement.id").await == "doubt" {
        window.press("Enter").await;
        count.key("size in doubt");
        window
            .until("document.activeElement.id !== 'doubt' || document.querySelector('#doubt')")
            .await;
        tokio::time::sleep(std::time::Duration::from_millis(200)).await;
    }
    window
        .until("['because', 'role'].includes(document.activeElement.id)")
        .await;
    if window.tell("document.activeElement.id").await == "because" {
        window.press("Enter").await;
        count.key("because");
        window.until("document.activeElement.id === 'role'").await;
    }
    if window.tell("document.activeElement.value").await.is_empty() {
        window.types(&thing.role).await;
        count.text(&thing.role);
    }
    window.press("Enter").await;
    count.key("role");
    window.until("document.activeElement.id === 'plate'").await;
    window.sees("Saved").await;
}

/// Brings the cross to a place by its strides.
async fn stride(window: &Window, to: [f64; 2], count: &mut Count) {
    for axis in [0, 1] {
        let mut ways =
            [["Shift+Left", "Shift+Right"], ["Shift+Up", "Shift+Down"]][axis].into_iter();
        let (back, forth) = (ways.next().unwrap(), ways.next().unwrap());
        for _ in 0..20 {
            let now = cross(window).await;
            let off = to[axis] - now[axis];
            if off.abs() < 8.0 {
                break;
            }
            window.press(if off < 0.0 { back } else { forth }).await;
            count.key("stride");
            let was = format!("{:.1} {:.1}", now[0], now[1]);
            window
                .until(&format!(
                    "document.querySelector('#plate').dataset.cross !== '{was}'"
                ))
                .await;
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_whole_board_is_written_by_keys_and_taken_back() {
    if none() {
        return;
    }
    let demo = read_text(DEMO, "dossier.toml", &AnyFile).unwrap();
    let all = things(&demo);
    assert_eq!(all.len(), 15);
    let mut server = Server::start_bare();
    let seat = Seat::take().await;
    let window = board(&seat, &server, "cradle-main").await;
    let mut left: Vec<&Thing> = all.iter().collect();
    let mut counts: Vec<(String, Count)> = Vec::new();
    let mut passed = 0;
    window.press("Space").await;
    let mut count = Count::default();
    count.key("next body");
    while window.tell("!!document.querySelector('#marking')").await == "true" {
        let [x, y] = cross(&window).await;
        let near = left
            .iter()
            .position(|thing| (thing.middle[0] - x).hypot(thing.middle[1] - y) < NEAR);
        let Some(at) = near else {
            // Offered, and no part: a pad, a pair of small ones, a hole.
            passed += 1;
            window.press("Delete").await;
            count.key("no part here");
            let was = format!("{x:.1} {y:.1}");
            window
                .until(&format!("document.querySelector('#plate').dataset.cross !== '{was}' || !document.querySelector('#marking')"))
                .await;
            continue;
        };
        let thing = left.remove(at);
        window
            .until("document.querySelector('#line .sides')?.innerText.length > 0")
            .await;
        write(&window, thing, &mut count).await;
        counts.push((thing.id.clone(), std::mem::take(&mut count)));
    }
    for thing in left {
        stride(&window, thing.middle, &mut count).await;
        window.press("Enter").await;
        count.key("grow");
        window.until("document.querySelector('#marking')").await;
        write(&window, thing, &mut count).await;
        window.press("Esc").await;
        window.until("!document.querySelector('#marking')").await;
        counts.push((thing.id.clone(), std::mem::take(&mut count)));
    }
    for (id, count) in &counts {
        println!(
            "{id}: {} actions, {:.1} s with two hands, {:.1} s with one: {:?}",
            count.actions(),
            count.seconds(0),
            count.seconds(1),
            count.causes
        );
    }
    println!("{passed} offered bodies were no parts");
    let mut actions: Vec<usize> = counts.iter().map(|(_, count)| count.actions()).collect();
    actions.sort_unstable();
    let mut seconds: Vec<f64> = counts.iter().map(|(_, count)| count.seconds(0)).collect();
    seconds.sort_by(f64::total_cmp);
    println!("median {} actions, {:.1} s", actions[7], seconds[7]);
    assert!(actions[7] <= 5, "{actions:?}");
    assert!(seconds[7] <= 10.0, "{seconds:?}");
    let rows = "[...document.querySelectorAll('#parts tr[data-item]')].map(r => r.innerText.replace(/\\s+/g, ' ') + [...r.querySelectorAll('input:not([type=hidden])')].map(i => i.value)).join('\\n')";
    window
        .until("document.querySelectorAll('#parts tr[data-item]').length === 15")
        .await;
    // The last part is called by its role once the page was brought to its revision.
    window
        .until("![...document.querySelectorAll('#parts tr[data-item]')].some(r => r.innerText.startsWith('Part '))")
        .await;
    if let Some(folder) = look() {
        window.shot(&folder.join("inside-board.png")).await;
    }
    window
        .until("document.querySelector('#state').innerText.startsWith('Saved')")
        .await;
    tokio::time::sleep(std::time::Duration::from_millis(300)).await;
    let written = window.tell(rows).await;
    window.reload().await;
    window
        .until("document.querySelector('#plate')?.dataset.ready")
        .await;
    assert_eq!(window.tell(rows).await, written);
    // Ctrl+Z to the end.
    while window
        .tell("!!document.querySelector('form[data-undo][data-what=\"Take back\"]')")
        .await
        == "true"
    {
        let before = revision(&window).await;
        window.press("Ctrl+z").await;
        revision_after(&window, before).await;
    }
    let id = window.tell("document.body.dataset.dossier").await;
    server.kill();
    let library = library::Library::open(&server.folder().join("library"))
        .await
        .unwrap();
    let now = library.current(&id.parse().unwrap()).await.unwrap();
    assert_eq!(now.text, crate::bare::text());
}
