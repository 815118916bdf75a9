//! A telephone as camera: paired by a code, known by a certificate, able to do four things and nothing else.
//!
//! Sources: OWASP cheat sheets on sessions and cross-site request forgery (from memory); RFC 9110 for the statuses.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod wire;

use rustls::pki_types::ServerName;
use std::net::SocketAddr;
use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
use tokio::net::TcpStream;
use tokio_rustls::TlsConnector;
use wire::encrypted::trusting;
use wire::{Answer, Bench};

const FORM: &str = "application/x-www-form-urlencoded";

/// A telephone.
struct Device {
    address: SocketAddr,
    connector: TlsConnector,
    cookie: String,
}

impl Device {
    fn at(bench: &Bench) -> Self {
        let (address, fingerprint) = bench.phone.clone().unwrap();
        Self::trusting(address, fingerprint)
    }

    fn trusting(address: SocketAddr, fingerprint: String) -> Self {
        Self {
            address,
            connector: trusting(&fingerprint),
            cookie: String::new(),
        }
    }

    async fn send(&self, line: &str, headers: &[(&str, &str)], body: &[u8]) -> Answer {
        let mut text = format!("{line} HTTP/1.1\r\nConnection: close\r\n");
        let given = |name: &str| headers.iter().any(|(key, _)| *key == name);
        if !given("Host") {
            text += &format!("Host: {}\r\n", self.address);
        }
        if !given("Origin") && line.starts_with("POST") {
            text += &format!("Origin: https://{}\r\n", self.address);
        }
        if !self.cookie.is_empty() {
            text += &format!("Cookie: {}\r\n", self.cookie);
        }
        for (name, value) in headers {
            text += &format!("{name}: {value}\r\n");
        }
        text += &format!("Content-Length: {}\r\n\r\n", body.len());
        let stream = TcpStream::connect(self.address).await.unwrap();
        let name = ServerName::from(self.address.ip());
        let mut stream = self.connector.connect(name, stream).await.unwrap();
        let _ = stream.write_all(text.as_bytes()).await;
        let _ = stream.write_all(body).await;
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes).await;
        Answer::of(&bytes)
    }

    async fn get(&self, path: &str) -> Answer {
        self.send(&format!("GET {path}"), &[], b"").await
    }

    async fn post(&self, path: &str, body: &[u8]) -> Answer {
        self.send(&format!("POST {path}"), &[("Content-Type", FORM)], body)
            .await
    }

    async fn pair(&mut self, code: &str) -> u16 {
        let answer = self.post("/pair", format!("code={code}").as_bytes()).await;
        if let Some(cookie) = answer.header("set-cookie") {
            assert!(
                cookie.contains("Secure")
                    && cookie.contains("HttpOnly")
                    && cookie.contains("SameSite=Strict")
            );
            self.cookie = cookie.split(';').next().unwrap().to_string();
        }
        answer.status
    }
}

/// Makes a code at the workbench.
async fn code(bench: &Bench) -> String {
    let path = format!("/d/{}/telephone", bench.dossier);
    assert_eq!(bench.post(&path, FORM, "do=code").await.status, 303);
    let page = bench.get(&path).await.body;
    let code = page.split("class=\"code\">").nth(1).unwrap();
    code[..6].to_string()
}

async fn paired(bench: &Bench) -> Device {
    let mut device = Device::at(bench);
    assert_eq!(device.pair(&code(bench).await).await, 303);
    device
}

async fn text(bench: &Bench) -> String {
    bench.library.current(&bench.dossier).await.unwrap().text
}

#[tokio::test]
async fn the_certificate_is_the_one_whose_fingerprint_is_shown() {
    let bench = Bench::with_phone().await;
    let (address, fingerprint) = bench.phone.clone().unwrap();
    code(&bench).await;
    let page = bench
        .get(&format!("/d/{}/telephone", bench.dossier))
        .await
        .body;
    assert!(page.contains(&fingerprint) && page.contains(&fingerprint[..8]));
    assert!(page.contains("class=\"matrix\"") && page.contains(&format!("https://{address}/")));
    assert_eq!(Device::at(&bench).get("/").await.status, 200);
    // A client that looks for another certificate goes no further.
    let other = Device::trusting(address, "00".repeat(32));
    let stream = TcpStream::connect(address).await.unwrap();
    let name = ServerName::from(address.ip());
    assert!(other.connector.connect(name, stream).await.is_err());
    // Every start has its own.
    let again = Bench::with_phone().await;
    assert_ne!(again.phone.unwrap().1, fingerprint);
}

#[tokio::test]
async fn a_device_without_the_code_reaches_only_the_page_that_asks_for_it() {
    let bench = Bench::with_phone().await;
    let mut device = Device::at(&bench);
    assert!(
        device
            .get("/")
            .await
            .body
            .contains("Code that the workbench shows")
    );
    for path in ["/state", "/take", "/d/x/intake", "/keys", "/nothing"] {
        assert_eq!(device.get(path).await.status, 403, "{path}");
    }
    for path in ["/take?name=a.png", "/step", "/value", "/end", "/products"] {
        assert_eq!(device.post(path, b"value=3").await.status, 403, "{path}");
    }
    // The cookies and the token of the workbench open nothing here.
    device.cookie = format!("{}; underlid-phone=0; underlid-phone=", bench.cookie);
    assert_eq!(device.get("/state").await.status, 403);
    let before = text(&bench).await;
    let right = code(&bench).await;
    assert_eq!(device.pair("111111").await, 403);
    assert_eq!(device.pair(&right).await, 303);
    // Once: another device is not let in by it.
    assert_eq!(Device::at(&bench).pair(&right).await, 403);
    assert_eq!(text(&bench).await, before);
}

#[tokio::test]
async fn codes_are_not_tried_out() {
    let bench = Bench::with_phone().await;
    let right = code(&bench).await;
    let mut device = Device::at(&bench);
    for _ in 0..5 {
        assert_eq!(device.pair("111111").await, 403);
    }
    assert_eq!(device.pair(&right).await, 403, "five misses spoil the code");
    let right = code(&bench).await;
    for _ in 0..4 {
        device.pair("111111").await;
    }
    assert_eq!(device.pair(&right).await, 429, "eleven tries in a minute");
}

#[tokio::test]
async fn a_paired_device_reaches_nothing_of_the_workbench() {
    let bench = Bench::with_phone().await;
    let device = paired(&bench).await;
    assert_eq!(device.get("/state").await.status, 200);
    let id = &bench.dossier;
    for path in [
        format!("/d/{id}"),
        format!("/d/{id}/intake"),
        format!("/d/{id}/live"),
        format!("/d/{id}/history"),
        format!("/d/{id}/telephone"),
        format!("/d/{id}/fields"),
        format!("/?token={}", bench.token).replace("/?", "/keys?"),
        "/t/00/preview.jpg".to_string(),
        "/s/any/workbench.css".to_string(),
        "/../dossier.toml".to_string(),
        "/phone.css/../keys".to_string(),
    ] {
        let status = device.get(&path).await.status;
        assert!([400, 403, 404].contains(&status), "{path}: {status}");
    }
    for path in [
        format!("/d/{id}/edits"),
        format!("/d/{id}/would"),
        format!("/d/{id}/step"),
        format!("/d/{id}/withdraw"),
        format!("/d/{id}/photographs"),
        format!("/d/{id}/telephone"),
        "/products".to_string(),
        "/name".to_string(),
    ] {
        let status = device.post(&path, b"{}").await.status;
        assert!([403, 404].contains(&status), "{path}: {status}");
    }
    // Its cookie opens nothing at the workbench either.
    let headers = [("Cookie", device.cookie.as_str())];
    let answer = bench.send("GET / HTTP/1.1", &headers, "").await;
    assert_eq!(answer.status, 403);
}

#[tokio::test]
async fn requests_of_other_pages_and_names_are_refused() {
    let bench = Bench::with_phone().await;
    let device = paired(&bench).await;
    let before = text(&bench).await;
    for origin in ["https://attacker.example", "null", "http://127.0.0.1"] {
        let headers = [("Origin", origin), ("Content-Type", FORM)];
        assert_eq!(
            device.send("POST /step", &headers, b"").await.status,
            403,
            "{origin}"
        );
    }
    let headers = [("Host", "attacker.example")];
    assert_eq!(device.send("GET /", &headers, b"").await.status, 421);
    assert_eq!(text(&bench).await, before);
}

/// A picture goes to the step that runs, whatever it is called; what is no picture is not kept.
#[tokio::test]
async fn pictures_go_to_the_step_that_runs() {
    let bench = Bench::with_phone().await;
    let device = paired(&bench).await;
    assert_eq!(device.post("/step", b"").await.status, 303);
    assert!(
        device.get("/state").await.json()["goes"]
            .as_str()
            .unwrap()
            .starts_with("step 22")
    );
    let picture = imaging::pixels::encode(
        &imaging::Picture {
            width: 8,
            height: 6,
            rgb: vec![127; 8 * 6 * 3],
        },
        imaging::pixels::Encoding::Png,
        None,
        None,
    );
    let picture = picture.unwrap();
    let answer = device
        .post("/take?name=..%2F..%2Fetc%2F%3Cb%3E.png", &picture)
        .await;
    assert_eq!(answer.status, 200, "{}", answer.body);
    let photo = answer.json()["photo"].as_str().unwrap().to_string();
    let current = bench.library.current(&bench.dossier).await.unwrap();
    let dossier = current.dossier().unwrap();
    let kept = dossier.photo(&photo).unwrap();
    assert_eq!(kept.after.as_deref(), Some("cut-lens"));
    assert!(!kept.file.contains(".."), "{}", kept.file);
    // The same again is not kept twice.
    let again = device.post("/take?name=b.png", &picture).await;
    assert_eq!(again.json()["state"], "here");
    let before = text(&bench).await;
    for bytes in [
        b"no picture".to_vec(),
        picture[..picture.len() / 2].to_vec(),
        Vec::new(),
    ] {
        let answer = device.post("/take?name=c.png", &bytes).await;
        assert!((400..500).contains(&answer.status), "{}", answer.status);
    }
    let large = vec![0; (64 << 20) + 1];
    assert_eq!(device.post("/take?name=d.png", &large).await.status, 413);
    assert_eq!(device.post("/value", &vec![b'a'; 5000]).await.status, 413);
    assert_eq!(text(&bench).await, before);
    assert_eq!(device.post("/step", b"").await.status, 303);
    let dossier = bench
        .library
        .current(&bench.dossier)
        .await
        .unwrap()
        .dossier()
        .unwrap();
    assert!(dossier.step("cut-lens").unwrap().done);
}

#[tokio::test]
async fn it_ends_from_either_side() {
    let bench = Bench::with_phone().await;
    let device = paired(&bench).await;
    assert_eq!(device.post("/value", b"value=3.02").await.status, 303);
    assert_eq!(device.post("/value", b"value=").await.status, 422);
    assert_eq!(device.post("/end", b"").await.status, 303);
    assert_eq!(device.get("/state").await.status, 403);
    let device = paired(&bench).await;
    let path = format!("/d/{}/telephone", bench.dossier);
    assert_eq!(bench.post(&path, FORM, "do=end").await.status, 303);
    assert_eq!(device.get("/state").await.status, 403);
    assert!(
        device
            .get("/")
            .await
            .body
            .contains("Code that the workbench shows")
    );
}

#[tokio::test]
async fn without_a_listener_it_is_said_how_to_start_one() {
    let bench = Bench::start().await;
    let page = bench.get(&format!("/d/{}/telephone", bench.dossier)).await;
    assert!(page.body.contains("underlid serve --phone"));
    let path = format!("/d/{}/telephone", bench.dossier);
    assert_eq!(bench.post(&path, FORM, "do=code").await.status, 404);
}
