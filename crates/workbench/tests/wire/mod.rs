//! A client that sends exactly the bytes that a test wants sent.

#![allow(dead_code, reason = "each test uses a part of it")]

pub(crate) mod encrypted;

use library::{DossierId, Library, Person, Which};
use std::net::{Ipv4Addr, SocketAddr};
use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
use tokio::net::TcpStream;
use workbench::{Options, Secret, serve};

/// A server in this process, over a library in memory that holds the demonstration.
pub(crate) struct Bench {
    pub(crate) address: SocketAddr,
    pub(crate) token: String,
    pub(crate) library: Library,
    pub(crate) dossier: DossierId,
    pub(crate) cookie: String,
    /// Where a telephone is listened for, and the fingerprint of the certificate there.
    pub(crate) phone: Option<(SocketAddr, String)>,
}

/// An answer.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Answer {
    /// Reads what was answered.
    pub(crate) fn of(bytes: &[u8]) -> Self {
        let text = String::from_utf8_lossy(bytes);
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head.split(' ').nth(1).and_then(|s| s.parse().ok());
        let chunked = head.to_lowercase().contains("transfer-encoding: chunked");
        Self {
            status: status.unwrap_or(0),
            head: head.to_string(),
            body: match chunked {
                true => unchunked(body),
                false => body.to_string(),
            },
        }
    }

    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (key, value) = line.split_once(':')?;
            key.eq_ignore_ascii_case(name).then_some(value.trim())
        })
    }

    pub(crate) fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.body).unwrap_or_else(|e| panic!("{e}: {}", self.body))
    }
}

impl Bench {
    pub(crate) async fn start() -> Self {
        Self::listening(false).await
    }

    /// As [`Bench::start`], with a listener for telephones on this machine.
    pub(crate) async fn with_phone() -> Self {
        Self::listening(true).await
    }

    async fn listening(for_phone: bool) -> Self {
        let library = Library::in_memory();
        let person = Person::from("A.");
        let now = "2026-11-28T12:00:00Z".parse().unwrap();
        app::keep_demo(&library, &person, now).await.unwrap();
        let dossier = library.heads(Which::Present).await.unwrap()[0].id.clone();
        let serving = serve(Options {
            desk: app::desk::Desk::at(library.clone(), Vec::new()),
            address: SocketAddr::from((Ipv4Addr::LOCALHOST, 0)),
            person,
            secret: Secret::of([7; 32]),
        });
        let mut serving = serving.await.unwrap();
        if for_phone {
            let any = SocketAddr::from((Ipv4Addr::LOCALHOST, 0));
            serving = serving.with_phone(any).await.unwrap();
        }
        let phone = serving
            .phone()
            .map(|(address, print)| (address, print.to_string()));
        let address = serving.address();
        let url = serving.url();
        let token = url.split_once("token=").unwrap().1.to_string();
        tokio::spawn(serving.run(std::future::pending()));
        let mut bench = Self {
            address,
            token,
            library,
            dossier,
            cookie: String::new(),
            phone,
        };
        let answer = bench
            .send(&format!("GET /?token={} HTTP/1.1", bench.token), &[], "")
            .await;
        let cookie = answer.header("set-cookie").unwrap();
        bench.cookie = cookie.split(';').next().unwrap().to_string();
        bench
    }

    /// Sends a request line, these headers (`Host` is added where none is among them) and a body.
    pub(crate) async fn send(&self, line: &str, headers: &[(&str, &str)], body: &str) -> Answer {
        let mut text = format!("{line}\r\nConnection: close\r\n");
        if !headers.iter().any(|(name, _)| *name == "Host") {
            text += &format!("Host: {}\r\n", self.address);
        }
        for (name, value) in headers {
            text += &format!("{name}: {value}\r\n");
        }
        if !body.is_empty() {
            text += &format!("Content-Length: {}\r\n", body.len());
        }
        text += "\r\n";
        let mut stream = TcpStream::connect(self.address).await.unwrap();
        // A server that refuses a body may close before all of it is sent.
        let _ = stream.write_all(text.as_bytes()).await;
        let _ = stream.write_all(body.as_bytes()).await;
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes).await;
        Answer::of(&bytes)
    }

    /// Gets a page as a browser that was let in.
    pub(crate) async fn get(&self, path: &str) -> Answer {
        let line = format!("GET {path} HTTP/1.1");
        self.send(&line, &[("Cookie", &self.cookie)], "").await
    }

    /// Sends what a page of ours sends.
    pub(crate) async fn post(&self, path: &str, kind: &str, body: &str) -> Answer {
        let line = format!("POST {path} HTTP/1.1");
        let origin = format!("http://{}", self.address);
        let headers = [
            ("Cookie", self.cookie.as_str()),
            ("Origin", &origin),
            ("Sec-Fetch-Site", "same-origin"),
            ("Content-Type", kind),
        ];
        self.send(&line, &headers, body).await
    }

    pub(crate) fn edits(&self) -> String {
        format!("/d/{}/edits", self.dossier)
    }
}

fn unchunked(body: &str) -> String {
    let mut out = String::new();
    let mut rest = body;
    while let Some((size, after)) = rest.split_once("\r\n") {
        let size = usize::from_str_radix(size.trim(), 16).unwrap_or(0);
        let Some(piece) = after.get(..size).filter(|_| size > 0) else {
            break;
        };
        out += piece;
        rest = after.get(size + 2..).unwrap_or_default();
    }
    out
}
