//! How evenly a photograph of 100 megapixels moves under the hand. Told and not judged: times depend on the machine.
//! `UNDERLID_STORY_PROGRAM` names another build of the command that is to serve meanwhile.

use crate::browser::{Seat, Server};
use imaging::Picture;
use imaging::pixels::{Encoding, encode};
use library::{Library, Person};

/// 12,000 × 8,400 pixels.
const SIZE: [u32; 2] = [12_000, 8_400];

/// Adds a product with one large photograph: bright cells on a slope of colours, and grain (xorshift).
pub(crate) async fn add(library: &Library, by: &Person) {
    let [width, height] = SIZE;
    let mut state = 0x2545_f491_4f6c_dd1d_u64;
    let mut rgb = Vec::with_capacity((width * height * 3) as usize);
    for y in 0..height {
        for x in 0..width {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            let grain = (state >> 60) as u8;
            let cell = if (x / 160 + y / 160) % 2 == 0 { 60 } else { 0 };
            rgb.extend([
                (x / 60) as u8 / 2 + cell + grain,
                (y / 50) as u8 / 2 + cell + grain,
                40 + cell + grain,
            ]);
        }
    }
    let picture = Picture { width, height, rgb };
    let jpeg = encode(&picture, Encoding::Jpeg(85), None, None).unwrap();
    let text = "format = 1\n\n[product]\nname = \"Large picture\"\nmaker = \"Ondrelkamp\"\nopened = 2026-10-05\n\n\
        [[photos]]\nid = \"large\"\nfile = \"large.jpg\"\ncaption = \"Large\"\n\n\
        [[items]]\nid = \"lamp\"\nname = \"Lamp\"\nkind = \"product\"\n";
    let at = "2026-10-05T10:00:00Z".parse().unwrap();
    let files = vec![("photos/large.jpg".to_string(), jpeg.into())];
    library.create(text, files, by, at).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
#[ignore = "it measures"]
async fn frames() {
    let server = match std::env::var_os("UNDERLID_STORY_PROGRAM") {
        Some(program) => {
            let folder = tempfile::tempdir().unwrap();
            let library = folder.path().join("library");
            let person = Person::from("A.");
            add(&Library::open(&library).await.unwrap(), &person).await;
            Server::by(program.as_ref(), folder, &library)
        }
        None => Server::with(&[("UNDERLID_STORY_LARGE", "yes")]),
    };
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    window.sees("Large picture").await;
    let at = window
        .tell("[...document.querySelectorAll('#products a')].find(a => a.innerText.includes('Large')).pathname.split('/')[2]")
        .await;
    window
        .go(&format!("{}/d/{at}/inside", server.origin()))
        .await;
    for _ in 0..8 {
        if window
            .tell("!!document.querySelector('#plate')?.dataset.ready")
            .await
            == "true"
        {
            break;
        }
        tokio::time::sleep(std::time::Duration::from_secs(5)).await;
    }
    window
        .tell("document.querySelector('#plate').focus()")
        .await;
    for _ in 0..4 {
        window.press("PgUp").await;
    }
    window
        .until("document.querySelectorAll('.tile').length > 8")
        .await;
    window
        .tell("(() => {
            const view = document.querySelector('#plate .view');
            const told = { all: [], most: 0 };
            window.told = told;
            const begun = performance.now();
            let last = null;
            const step = now => {
                if (last !== null) told.all.push(now - last);
                last = now;
                told.most = Math.max(told.most, document.querySelectorAll('.tile').length);
                const way = Math.floor((now - begun) / 1000) % 2 === 0 ? 1 : -1;
                view.dispatchEvent(new WheelEvent('wheel', { deltaX: 18 * way, deltaY: 9 * way, bubbles: true, cancelable: true }));
                if (now - begun < 5000) requestAnimationFrame(step); else told.done = true;
            };
            requestAnimationFrame(step);
        })()")
        .await;
    window.until("window.told.done").await;
    let frames = window
        .tell("(all => `${all.length} frames, p50 ${all[Math.floor(all.length * 0.5)].toFixed(1)} ms, p95 ${all[Math.floor(all.length * 0.95)].toFixed(1)} ms, most tiles ${window.told.most}`)([...window.told.all].sort((a, b) => a - b))")
        .await;
    println!("panning {} × {} pixels: {frames}", SIZE[0], SIZE[1]);
}
