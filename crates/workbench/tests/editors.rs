//! Many editors at once, through the server, on a library in SQLite: no edit is lost, and none is told as kept that is not.
//!
//! Each editor has a window of its own. In turn it writes a place that is its own, and adds one to a number that all share:
//! it says what it saw there, and where another was faster it looks again. In the end the number is the count of what was
//! answered as kept, every answer names a revision of the history with its edits, and each own place holds what was
//! answered last. `scripts/editors.sh` does it for a minute with fifty; the test of every day is shorter.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::print_stdout,
    reason = "what was measured is printed for those who ask"
)]

use library::{DossierId, Library, Person, Which};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::net::{Ipv4Addr, SocketAddr};
use std::time::{Duration, Instant};
use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
use tokio::net::TcpStream;
use workbench::{Options, Secret, serve};

/// Dossiers that the editors share out among them.
const DOSSIERS: usize = 5;

fn asked(name: &str, usual: u64) -> u64 {
    let given = std::env::var(name).ok();
    given.map_or(usual, |text| text.parse().unwrap())
}

/// The dossier in which an editor works: a board and one item for each.
fn text(editors: usize) -> String {
    let mut text = String::from(
        "format = 1\n[product]\nname = \"Vellit\"\nmaker = \"Quenmora\"\nmodel = \"0\"\nopened = 2026-03-01\n\
         [[items]]\nid = \"product\"\nname = \"Vellit\"\nkind = \"product\"\n",
    );
    for editor in 0..editors {
        text += &format!(
            "[[items]]\nid = \"e{editor}\"\nname = \"n0\"\nkind = \"part\"\nparent = \"product\"\n"
        );
    }
    text
}

/// A browser: one connection, kept open.
struct Editor {
    number: usize,
    stream: TcpStream,
    head: String,
    sent: u64,
    took: Vec<Duration>,
    /// Revisions that were answered as kept, with the number of the list.
    kept: Vec<(u64, u64)>,
    added: u64,
    own: u64,
    refused: u64,
}

impl Editor {
    /// Sends one edit; returns what is answered to it.
    async fn send(&mut self, at: &str, old: &str, new: &str) -> Value {
        self.sent += 1;
        let edit = json!({ "do": "set", "at": at, "old": old, "new": new });
        let list = json!({ "seq": self.sent, "edits": [edit] });
        let body = json!({ "client": format!("e{}", self.number), "lists": [list] }).to_string();
        let request = format!("{}Content-Length: {}\r\n\r\n{body}", self.head, body.len());
        let begun = Instant::now();
        self.stream.write_all(request.as_bytes()).await.unwrap();
        let answer = answer(&mut self.stream).await;
        self.took.push(begun.elapsed());
        let answer = answer["lists"][0].clone();
        match answer["state"].as_str() {
            Some("kept") => self
                .kept
                .push((self.sent, answer["revision"].as_u64().unwrap())),
            Some("refused") => self.refused += 1,
            _ => panic!("{answer}"),
        }
        answer
    }

    /// Works until the time is over.
    async fn work(mut self, until: Instant) -> Self {
        let own = format!("items.e{}.name", self.number / DOSSIERS);
        let mut seen = 0_u64;
        while Instant::now() < until {
            let (old, new) = (format!("n{}", self.own), format!("n{}", self.own + 1));
            let answer = self.send(&own, &old, &new).await;
            assert_eq!(
                answer["state"], "kept",
                "nobody else writes there: {answer}"
            );
            self.own += 1;
            loop {
                let (old, new) = (seen.to_string(), (seen + 1).to_string());
                let answer = self.send("product.model", &old, &new).await;
                if answer["state"] == "kept" {
                    seen += 1;
                    self.added += 1;
                    break;
                }
                assert_eq!(answer["why"][0]["kind"], "changed", "{answer}");
                seen = answer["why"][0]["now"].as_str().unwrap().parse().unwrap();
                if Instant::now() >= until {
                    break;
                }
            }
        }
        self
    }
}

/// Reads one answer and leaves the connection open.
async fn answer(stream: &mut TcpStream) -> Value {
    let mut all = Vec::new();
    let mut block = [0; 4096];
    loop {
        let read = stream.read(&mut block).await.unwrap();
        assert!(read > 0, "the server ended the connection");
        all.extend_from_slice(&block[..read]);
        let text = String::from_utf8_lossy(&all);
        let Some((head, body)) = text.split_once("\r\n\r\n") else {
            continue;
        };
        assert!(head.starts_with("HTTP/1.1 200"), "{text}");
        let length = head.to_lowercase();
        let length = length
            .lines()
            .find_map(|l| l.strip_prefix("content-length:"));
        let length: usize = length.expect("a length").trim().parse().unwrap();
        if body.len() >= length {
            return serde_json::from_str(body).unwrap();
        }
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn editors_at_once_lose_nothing() {
    let editors = usize::try_from(asked("UNDERLID_EDITORS", 50)).unwrap();
    let seconds = asked("UNDERLID_EDITORS_SECONDS", 5);
    let folder = tempfile::tempdir().unwrap();
    let library = Library::open(folder.path()).await.unwrap();
    let person = Person::from("A.");
    let at = jiff::Timestamp::UNIX_EPOCH;
    let mut ids = Vec::new();
    for _ in 0..DOSSIERS {
        let text = text(editors.div_ceil(DOSSIERS));
        ids.push(
            library
                .create(&text, Vec::new(), &person, at)
                .await
                .unwrap(),
        );
    }
    let serving = serve(Options {
        desk: app::desk::Desk::at(library.clone(), Vec::new()),
        address: SocketAddr::from((Ipv4Addr::LOCALHOST, 0)),
        person,
        secret: Secret::of([7; 32]),
    });
    let serving = serving.await.unwrap();
    let (address, url) = (serving.address(), serving.url());
    tokio::spawn(serving.run(std::future::pending()));
    let cookie = cookie(address, url.split_once("token=").unwrap().1).await;
    let until = Instant::now() + Duration::from_secs(seconds);
    let mut working = Vec::new();
    for number in 0..editors {
        let id = &ids[number % DOSSIERS];
        let editor = Editor {
            number,
            stream: TcpStream::connect(address).await.unwrap(),
            head: format!(
                "POST /d/{id}/edits HTTP/1.1\r\nHost: {address}\r\nCookie: {cookie}\r\n\
                 Origin: http://{address}\r\nSec-Fetch-Site: same-origin\r\nContent-Type: application/json\r\n"
            ),
            sent: 0,
            took: Vec::new(),
            kept: Vec::new(),
            added: 0,
            own: 0,
            refused: 0,
        };
        working.push(tokio::spawn(editor.work(until)));
    }
    let mut done = Vec::new();
    for work in working {
        done.push(work.await.unwrap());
    }
    for (at, id) in ids.iter().enumerate() {
        let of: Vec<&Editor> = done.iter().filter(|e| e.number % DOSSIERS == at).collect();
        nothing_is_lost(&library, id, &of).await;
    }
    assert_eq!(library.heads(Which::Present).await.unwrap().len(), DOSSIERS);
    let verified = library.verify().await.unwrap();
    assert_eq!(verified.damage, []);
    let mut took: Vec<Duration> = done.iter().flat_map(|e| e.took.clone()).collect();
    took.sort_unstable();
    let kept: usize = done.iter().map(|e| e.kept.len()).sum();
    let refused: u64 = done.iter().map(|e| e.refused).sum();
    println!(
        "{editors} editors, {DOSSIERS} dossiers, {seconds} s: {kept} edits kept, {refused} told that another was \
         faster; p50 {:.0?}, p95 {:.0?}; {} revisions verified",
        took[took.len() / 2],
        took[took.len() * 95 / 100],
        verified.revisions
    );
}

/// What was answered is what the library holds.
async fn nothing_is_lost(library: &Library, id: &DossierId, editors: &[&Editor]) {
    let text = library.current(id).await.unwrap().text;
    let values = record::Values::of(&text);
    let at = |place: &str| values.at(&place.parse().unwrap()).unwrap();
    let added: u64 = editors.iter().map(|e| e.added).sum();
    assert_eq!(at("product.model"), added.to_string());
    let mut answered = BTreeMap::new();
    for editor in editors {
        let own = format!("items.e{}.name", editor.number / DOSSIERS);
        assert_eq!(at(&own), format!("n{}", editor.own));
        for (_, revision) in &editor.kept {
            let other = answered.insert(*revision, editor.number);
            assert_eq!(other, None, "revision {revision} was answered twice");
        }
    }
    // Every revision but the first was answered to the window that made it, and every answer is a revision.
    let head = library.head(id).await.unwrap();
    assert_eq!(answered.len() as u64, head.revision - 1);
    let mut before = None;
    loop {
        let some = library.history(id, before, 500).await.unwrap();
        let Some(last) = some.last() else { break };
        before = Some(last.number);
        for revision in some.iter().filter(|revision| revision.number > 1) {
            let by = answered[&revision.number];
            let client = revision.client.as_ref().unwrap();
            assert_eq!(client.as_str(), format!("e{by}"));
            assert_eq!(revision.edits.len(), 1);
        }
    }
}

/// Lets the editors in.
async fn cookie(address: SocketAddr, token: &str) -> String {
    let mut stream = TcpStream::connect(address).await.unwrap();
    let request =
        format!("GET /?token={token} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n");
    stream.write_all(request.as_bytes()).await.unwrap();
    let mut text = String::new();
    stream.read_to_string(&mut text).await.unwrap();
    let line = text.lines().find_map(|line| {
        let (name, value) = line.split_once(':')?;
        name.eq_ignore_ascii_case("set-cookie").then_some(value)
    });
    line.unwrap().split(';').next().unwrap().trim().to_string()
}
