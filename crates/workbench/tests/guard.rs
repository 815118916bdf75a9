//! Attacks on a server that listens on this machine.
//!
//! Sources: OWASP Cheat Sheet Series on session management and cross-site request forgery; Fetch Metadata Request
//! Headers, W3C; Content Security Policy Level 3, W3C.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod wire;

use std::net::{Ipv4Addr, SocketAddr};
use wire::Bench;

const JSON: &str = "application/json";

#[tokio::test]
async fn a_name_elsewhere_that_leads_here_is_not_answered() {
    let bench = Bench::start().await;
    let port = bench.address.port();
    let hosts = [
        "attacker.example".to_string(),
        format!("attacker.example:{port}"),
        format!("127.0.0.1.attacker.example:{port}"),
        format!("127.0.0.1:{}", port.wrapping_add(1)),
        "127.0.0.1".to_string(),
        format!("0.0.0.0:{port}"),
    ];
    for host in &hosts {
        let headers = [("Host", host.as_str()), ("Cookie", &bench.cookie)];
        let answer = bench.send("GET / HTTP/1.1", &headers, "").await;
        assert_eq!(answer.status, 421, "{host}");
        // The token does not help either.
        let line = format!("GET /?token={} HTTP/1.1", bench.token);
        assert_eq!(
            bench.send(&line, &headers[..1], "").await.status,
            421,
            "{host}"
        );
    }
    let none = bench.send("GET / HTTP/1.0", &[("Host", "")], "").await;
    assert!(none.status >= 400, "{}", none.status);
    for host in [format!("localhost:{port}"), format!("[::1]:{port}")] {
        let headers = [("Host", host.as_str()), ("Cookie", &bench.cookie)];
        assert_eq!(bench.send("GET / HTTP/1.1", &headers, "").await.status, 200);
    }
}

#[tokio::test]
async fn nobody_is_let_in_without_the_token() {
    let bench = Bench::start().await;
    let paths = [
        "/".to_string(),
        "/keys".to_string(),
        format!("/d/{}/intake", bench.dossier),
        format!("/d/{}/live", bench.dossier),
        "/s/any/workbench.css".to_string(),
        "/?token=".to_string(),
        "/?token=0000".to_string(),
        format!("/?token={}0", bench.token),
        format!("/?token={}", &bench.token[..63]),
        format!("/keys?token={}", bench.token),
    ];
    for path in &paths {
        let answer = bench.send(&format!("GET {path} HTTP/1.1"), &[], "").await;
        assert_eq!(answer.status, 403, "{path}");
        assert!(!answer.body.contains("Nivalet"), "{path}");
        assert!(answer.header("set-cookie").is_none(), "{path}");
    }
    // The token is no session.
    let cookie = format!("underlid-{}={}", bench.address.port(), bench.token);
    let answer = bench
        .send("GET / HTTP/1.1", &[("Cookie", &cookie)], "")
        .await;
    assert_eq!(answer.status, 403);
}

#[tokio::test]
async fn the_token_leaves_the_address_for_a_cookie_that_no_script_reads() {
    let bench = Bench::start().await;
    let line = format!("GET /?token={} HTTP/1.1", bench.token);
    let answer = bench.send(&line, &[], "").await;
    assert_eq!(answer.status, 303);
    assert_eq!(answer.header("location"), Some("/"));
    let cookie = answer.header("set-cookie").unwrap();
    for flag in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.contains(flag), "{cookie}");
    }
    assert!(!cookie.contains(&bench.token));
    assert_eq!(answer.header("referrer-policy"), Some("no-referrer"));
}

/// A session that somebody planted in the browser is not taken over.
#[tokio::test]
async fn a_planted_session_is_worth_nothing() {
    let bench = Bench::start().await;
    let name = format!("underlid-{}", bench.address.port());
    let planted = [
        format!("{name}=planted"),
        format!("{name}={}.{}", "0".repeat(32), "0".repeat(64)),
        format!("{name}=.{}", "0".repeat(64)),
        // A good seal on another nonce.
        bench.cookie.replacen("=", "=0", 1),
    ];
    for cookie in &planted {
        let headers = [("Cookie", cookie.as_str())];
        assert_eq!(
            bench.send("GET / HTTP/1.1", &headers, "").await.status,
            403,
            "{cookie}"
        );
        let line = format!("GET /?token={} HTTP/1.1", bench.token);
        let answer = bench.send(&line, &headers, "").await;
        let fresh = answer.header("set-cookie").unwrap();
        assert!(!fresh.starts_with(cookie), "{fresh}");
    }
    let line = format!("GET /?token={} HTTP/1.1", bench.token);
    let again = bench.send(&line, &[], "").await;
    assert!(
        !again
            .header("set-cookie")
            .unwrap()
            .starts_with(&bench.cookie)
    );
}

#[tokio::test]
async fn other_sites_cannot_write() {
    let bench = Bench::start().await;
    let origin = format!("http://{}", bench.address);
    let form = "application/x-www-form-urlencoded";
    let body = "at=product.name&new=Taken";
    let line = format!("POST {} HTTP/1.1", bench.edits());
    let cookie = bench.cookie.as_str();
    let from: [&[(&str, &str)]; 9] = [
        &[],
        &[("Origin", "http://attacker.example")],
        &[
            ("Origin", "http://attacker.example"),
            ("Sec-Fetch-Site", "same-origin"),
        ],
        &[("Origin", "null")],
        &[("Origin", "null"), ("Sec-Fetch-Site", "cross-site")],
        &[("Origin", &origin), ("Sec-Fetch-Site", "cross-site")],
        &[("Origin", &origin), ("Sec-Fetch-Site", "same-site")],
        &[("Sec-Fetch-Site", "none")],
        &[("Origin", "https://127.0.0.1")],
    ];
    for headers in from {
        let mut all = vec![("Cookie", cookie), ("Content-Type", form)];
        all.extend_from_slice(headers);
        let answer = bench.send(&line, &all, body).await;
        assert_eq!(answer.status, 403, "{headers:?}");
        for path in ["/products", "/name"] {
            let line = format!("POST {path} HTTP/1.1");
            assert_eq!(bench.send(&line, &all, "name=x&maker=y").await.status, 403);
        }
    }
    assert_eq!(
        bench.library.head(&bench.dossier).await.unwrap().revision,
        1
    );
    // Forms of our own pages, which tell no referrer and so no origin.
    let own = [
        ("Cookie", cookie),
        ("Content-Type", form),
        ("Origin", "null"),
        ("Sec-Fetch-Site", "same-origin"),
    ];
    assert_eq!(bench.send(&line, &own, body).await.status, 303);
    assert_eq!(
        bench.library.head(&bench.dossier).await.unwrap().revision,
        2
    );
}

#[tokio::test]
async fn no_request_path_reaches_the_disk() {
    let bench = Bench::start().await;
    for path in [
        "/s/v/js/../../../../../../etc/hostname",
        "/s/v/js/%2e%2e/%2e%2e/%2e%2e/etc/hostname",
        "/s/v/js/..%2f..%2f..%2fetc%2fhostname",
        "/s/v/js//etc/hostname",
        "/s/v/faces/../workbench.css",
        "/s/v/css/base.css",
        "/s/v/../../Cargo.toml",
        "/d/..%2f..%2fetc/intake",
        "/d/%2e%2e/intake",
        "/etc/hostname",
    ] {
        let answer = bench.get(path).await;
        assert!(
            matches!(answer.status, 400 | 404),
            "{path}: {}",
            answer.status
        );
        assert!(!answer.body.contains("[workspace]"), "{path}");
    }
}

#[tokio::test]
async fn script_in_names_is_shown_and_not_run() {
    let bench = Bench::start().await;
    let evil = "</title><script>alert(1)</script><img src=x onerror=alert(2)>\"'";
    let body = format!(
        r#"{{"client":"evil","lists":[{{"seq":1,"edits":[
            {{"do":"set","at":"product.name","new":{name}}},
            {{"do":"set","at":"items.lamp.name","new":{name}}},
            {{"do":"set","at":"photo:box.caption","new":{name}}},
            {{"do":"set","at":"items.lamp-touch.part.marking","new":[{name}]}},
            {{"do":"set","at":"steps.{step}.text","new":{name}}}]}}]}}"#,
        name = serde_json::to_string(evil).unwrap(),
        step = first_step(&bench).await,
    );
    let answer = bench.post(&bench.edits(), JSON, &body).await;
    assert_eq!(
        answer.json()["lists"][0]["state"],
        "kept",
        "{}",
        answer.body
    );
    let mut paths = vec!["/".to_string()];
    for place in [
        "intake",
        "opening",
        "inside",
        "power",
        "claims",
        "cost",
        "standing",
        "publish",
        "history",
        "fields",
        "fields?at=items.lamp",
        "find?words=%3Cscript%3E",
    ] {
        paths.push(format!("/d/{}/{place}", bench.dossier));
    }
    for path in &paths {
        let answer = bench.get(path).await;
        assert_eq!(answer.status, 200, "{path}");
        assert!(!answer.body.contains("<script>alert"), "{path}");
        assert!(!answer.body.contains("<img src=x"), "{path}");
        assert!(!answer.body.contains("</title><script"), "{path}");
    }
    assert!(bench.get("/").await.body.contains("&lt;script&gt;alert(1)"));
}

async fn first_step(bench: &Bench) -> String {
    let current = bench.library.current(&bench.dossier).await.unwrap();
    current.dossier().unwrap().steps[0].id.clone()
}

#[tokio::test]
async fn what_is_too_large_is_not_read() {
    let bench = Bench::start().await;
    let body = format!(
        r#"{{"client":"c","lists":[],"x":"{}"}}"#,
        "a".repeat(2 * 1024 * 1024)
    );
    assert_eq!(bench.post(&bench.edits(), JSON, &body).await.status, 413);
    let lists = r#"{"seq":1,"undo":1},"#.repeat(65);
    let body = format!(
        r#"{{"client":"c","lists":[{}]}}"#,
        lists.trim_end_matches(',')
    );
    assert_eq!(bench.post(&bench.edits(), JSON, &body).await.status, 422);
    let line = format!("GET /{} HTTP/1.1", "a".repeat(200_000));
    let answer = bench.send(&line, &[("Cookie", &bench.cookie)], "").await;
    assert!(
        answer.status == 0 || answer.status >= 400,
        "{}",
        answer.status
    );
    assert_eq!(bench.get("/").await.status, 200);
}

/// Every answer, refusals among them, forbids scripts in line, frames and guessing of types.
#[tokio::test]
async fn every_answer_has_its_headers_and_no_page_has_anything_in_line() {
    let bench = Bench::start().await;
    let mut answers = vec![
        bench.send("GET / HTTP/1.1", &[], "").await,
        bench
            .send("GET / HTTP/1.1", &[("Host", "attacker.example")], "")
            .await,
        bench.get("/nothing-here").await,
    ];
    let places = [
        "intake", "opening", "inside", "power", "claims", "cost", "standing", "publish", "history",
        "fields",
    ];
    for place in places {
        answers.push(bench.get(&format!("/d/{}/{place}", bench.dossier)).await);
    }
    for answer in &answers {
        let policy = answer.header("content-security-policy").unwrap();
        assert!(policy.contains("default-src 'none'") && policy.contains("frame-ancestors 'none'"));
        assert!(!policy.contains("unsafe"), "{policy}");
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
        assert_eq!(answer.header("referrer-policy"), Some("no-referrer"));
        assert_eq!(answer.header("cache-control"), Some("no-store"));
        let page = &answer.body;
        assert!(!page.contains("<style"), "{page}");
        assert!(!page.contains(" style="), "{page}");
        for tag in page.split("<script").skip(1) {
            assert!(tag.contains("src=") && tag.contains("></script>"), "{tag}");
        }
        let lower = page.to_lowercase();
        for handler in [
            " onclick=",
            " onload=",
            " onerror=",
            " onsubmit=",
            "javascript:",
        ] {
            assert!(!lower.contains(handler), "{handler}");
        }
    }
}

#[tokio::test]
async fn without_people_only_addresses_of_this_machine_are_served() {
    let library = library::Library::in_memory();
    let serving = workbench::serve(workbench::Options {
        desk: app::desk::Desk::at(library, Vec::new()),
        address: SocketAddr::from((Ipv4Addr::UNSPECIFIED, 0)),
        person: "A.".into(),
        secret: workbench::Secret::of([1; 32]),
    });
    let refused = serving.await;
    assert!(matches!(refused, Err(workbench::ServeError::NoAccounts(_))));
}
