//! Every page in light and dark: nothing scrolls sideways, nothing is refused by the content security policy.

use crate::browser::{Seat, Server, look, none};

const PLACES: [&str; 8] = [
    "intake", "opening", "inside", "power", "claims", "cost", "standing", "publish",
];

#[tokio::test(flavor = "multi_thread")]
async fn no_page_scrolls_sideways_at_any_width() {
    if none() {
        return;
    }
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let dossier = window
        .tell("document.querySelector('#products a').pathname.split('/')[2]")
        .await;
    let mut addresses = vec![
        "/".to_string(),
        "/keys".to_string(),
        format!("/d/{dossier}/history"),
    ];
    addresses.extend(PLACES.map(|place| format!("/d/{dossier}/{place}")));
    for address in addresses {
        for (width, height) in [(360, 740), (768, 1024), (1280, 800), (1920, 1080)] {
            window.size(width, height).await;
            window.go(&format!("{}{address}", server.origin())).await;
            let wide = window.tell("document.documentElement.scrollWidth").await;
            if let Some(folder) = look() {
                let name = address.rsplit('/').next().unwrap();
                let name = if name.is_empty() { "library" } else { name };
                for dark in [false, true] {
                    window.dark(dark).await;
                    let scheme = if dark { "dark" } else { "light" };
                    window
                        .shot(&folder.join(format!("{name}-{width}-{scheme}.png")))
                        .await;
                }
            }
            let wide: i64 = wide.parse().unwrap();
            assert!(wide <= width, "{address} at {width}: {wide}");
        }
    }
}
