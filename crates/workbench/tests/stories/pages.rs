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
        format!("/d/{dossier}/repair"),
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
            let culprits = "[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > innerWidth + 1 \
                && !e.closest('.rule, .unseen')).slice(0, 5).map(e => e.outerHTML.slice(0, 90)).join('\\n')";
            assert!(
                wide <= width,
                "{address} at {width}: {wide}\n{}",
                window.tell(culprits).await
            );
        }
    }
}

/// Rules of WCAG 2.0 to 2.2, levels A and AA, by axe-core, which `.ci/run` installs (`UNDERLID_AXE`).
#[tokio::test(flavor = "multi_thread")]
async fn the_accessibility_engine_finds_nothing_on_any_page() {
    let Some(axe) = std::env::var_os("UNDERLID_AXE") else {
        let strict = std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_some();
        assert!(!strict, "UNDERLID_AXE does not say where axe.min.js lies");
        return;
    };
    if none() {
        return;
    }
    let axe = std::fs::read_to_string(axe).unwrap();
    let server = Server::start();
    let seat = Seat::take().await;
    let window = seat.window(&server.url).await;
    let dossier = window
        .tell("document.querySelector('#products a').pathname.split('/')[2]")
        .await;
    let mut addresses = vec![
        "/".to_string(),
        "/?name=New".to_string(),
        "/keys".to_string(),
    ];
    let beside = [
        "history",
        "history?from=1&to=1",
        "repair",
        "fields",
        "fields?at=items.lamp",
        "find?words=lamp",
        "table",
    ];
    addresses.extend(beside.map(|page| format!("/d/{dossier}/{page}")));
    addresses.extend(PLACES.map(|place| format!("/d/{dossier}/{place}")));
    let mut found = Vec::new();
    for address in addresses {
        for (width, height) in [(360, 740), (1280, 800)] {
            window.size(width, height).await;
            window.go(&format!("{}{address}", server.origin())).await;
            window
                .tell("document.querySelectorAll('details').forEach((fold, n) => { if (n < 6) fold.open = true; })")
                .await;
            for dark in [false, true] {
                window.dark(dark).await;
                // The engine is put into the page by the driver, past its content security policy.
                window.page.evaluate_expression(axe.as_str()).await.unwrap();
                let rules = "{ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }";
                let told = format!(
                    "axe.run(document, {rules}).then(all => all.violations.map(v => v.id + ': ' + \
                     v.nodes.slice(0, 3).map(n => n.html.slice(0, 160)).join(' | ')).join('\\n'))"
                );
                let violations = window.page.evaluate_expression(told).await.unwrap();
                let violations: String = violations.into_value().unwrap();
                for violation in violations.lines() {
                    found.push(format!("{address} at {width}, dark {dark}: {violation}"));
                }
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}
