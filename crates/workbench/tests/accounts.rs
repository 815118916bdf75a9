//! Attacks on a server whose people log in.
//!
//! Sources: OWASP cheat sheets on authentication and session management (from memory); RFC 6265bis on cookies.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod wire;

use jiff::Timestamp;
use library::{DossierId, Library, Person, Role, Which};
use rustls::pki_types::ServerName;
use std::collections::BTreeSet;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use tokio::io::{AsyncRead, AsyncReadExt as _, AsyncWrite, AsyncWriteExt as _};
use tokio::net::TcpStream;
use wire::Answer;
use wire::encrypted::trusting;
use workbench::{Options, Secret, ServeError, Serving, serve, serve_as};

const FORM: &str = "application/x-www-form-urlencoded";
const PASSWORD: &str = "copper lamp on the bench";

/// A server over a library in memory that holds the demonstration and has an owner, an editor and a reader.
struct Bench {
    address: SocketAddr,
    library: Library,
    dossier: DossierId,
}

async fn peopled() -> (Library, DossierId) {
    let library = Library::in_memory();
    let now = Timestamp::now();
    app::keep_demo(&library, &Person::from("A."), now)
        .await
        .unwrap();
    for (name, role) in [
        ("Ada", Role::Owner),
        ("Mira", Role::Editor),
        ("Rolf", Role::Reader),
    ] {
        let name = Person::from(name);
        library
            .add_person(&name, role, PASSWORD, now)
            .await
            .unwrap();
    }
    let dossier = library.heads(Which::Present).await.unwrap()[0].id.clone();
    (library, dossier)
}

fn options(library: &Library, at: Ipv4Addr) -> Options {
    Options {
        desk: app::desk::Desk::at(library.clone(), Vec::new()),
        address: SocketAddr::from((at, 0)),
        person: Person::from("here"),
        secret: Secret::of([7; 32]),
    }
}

impl Bench {
    async fn start() -> Self {
        let (library, dossier) = peopled().await;
        let serving = serve(options(&library, Ipv4Addr::LOCALHOST)).await.unwrap();
        Self::run(serving, library, dossier)
    }

    /// Behind a proxy of this name.
    async fn behind(name: &str) -> Self {
        let (library, dossier) = peopled().await;
        let serving = serve_as(options(&library, Ipv4Addr::LOCALHOST), name).await;
        Self::run(serving.unwrap(), library, dossier)
    }

    fn run(serving: Serving, library: Library, dossier: DossierId) -> Self {
        let address = serving.address();
        tokio::spawn(serving.run(std::future::pending()));
        Self {
            address,
            library,
            dossier,
        }
    }

    async fn send(&self, line: &str, headers: &[(&str, &str)], body: &str) -> Answer {
        let stream = TcpStream::connect(self.address).await.unwrap();
        said(stream, self.address, line, headers, body).await
    }

    async fn get(&self, path: &str, cookie: &str) -> Answer {
        self.send(&format!("GET {path}"), &[("Cookie", cookie)], "")
            .await
    }

    /// Sends what a page of ours sends.
    async fn post(&self, path: &str, cookie: &str, kind: &str, body: &str) -> Answer {
        let origin = format!("http://{}", self.address);
        let headers = [
            ("Cookie", cookie),
            ("Origin", &origin),
            ("Sec-Fetch-Site", "same-origin"),
            ("Content-Type", kind),
        ];
        self.send(&format!("POST {path}"), &headers, body).await
    }

    async fn tries(&self, name: &str, password: &str) -> Answer {
        let body = format!("name={name}&password={}", password.replace(' ', "+"));
        self.post("/login", "", FORM, &body).await
    }

    /// Logs in and returns the cookie.
    async fn cookie_of(&self, name: &str) -> String {
        let answer = self.tries(name, PASSWORD).await;
        assert_eq!(answer.status, 303, "{}", answer.body);
        cookie_in(&answer)
    }

    fn edits(&self) -> String {
        format!("/d/{}/edits", self.dossier)
    }

    async fn revision(&self) -> u64 {
        self.library.head(&self.dossier).await.unwrap().revision
    }
}

fn cookie_in(answer: &Answer) -> String {
    let cookie = answer.header("set-cookie").unwrap();
    cookie.split(';').next().unwrap().to_string()
}

async fn said(
    mut stream: impl AsyncRead + AsyncWrite + Unpin,
    address: SocketAddr,
    line: &str,
    headers: &[(&str, &str)],
    body: &str,
) -> Answer {
    let mut text = format!("{line} HTTP/1.1\r\nConnection: close\r\n");
    if !headers.iter().any(|(name, _)| *name == "Host") {
        text += &format!("Host: {address}\r\n");
    }
    for (name, value) in headers {
        text += &format!("{name}: {value}\r\n");
    }
    text += &format!("Content-Length: {}\r\n\r\n{body}", body.len());
    let _ = stream.write_all(text.as_bytes()).await;
    let mut bytes = Vec::new();
    let _ = stream.read_to_end(&mut bytes).await;
    Answer::of(&bytes)
}

fn edit(client: &str) -> String {
    format!(
        r#"{{"client":"{client}","lists":[{{"seq":1,"edits":[{{"do":"set","at":"product.model","new":"{client}"}}]}}]}}"#
    )
}

const JSON: &str = "application/json";

#[tokio::test]
async fn whoever_is_not_logged_in_sees_the_page_where_one_logs_in_and_nothing_else() {
    let bench = Bench::start().await;
    let intake = format!("/d/{}/intake", bench.dossier);
    let live = format!("/d/{}/live", bench.dossier);
    for path in [
        "/",
        "/keys",
        &intake,
        &live,
        "/?token=0000",
        "/logout",
        "/nothing",
    ] {
        let answer = bench.get(path, "").await;
        assert_eq!(
            (answer.status, answer.header("location")),
            (303, Some("/login")),
            "{path}"
        );
        assert!(answer.body.is_empty(), "{path}");
        // A script of a page that was open learns it instead of being led away.
        let asked = [("Sec-Fetch-Mode", "cors")];
        assert_eq!(
            bench.send(&format!("GET {path}"), &asked, "").await.status,
            403,
            "{path}"
        );
    }
    let answer = bench.post(&bench.edits(), "", JSON, &edit("none")).await;
    assert_eq!(answer.status, 403);
    assert_eq!(bench.revision().await, 1);
    // It works without script, and says nothing of who there is.
    let page = bench.get("/login", "").await;
    assert_eq!(page.status, 200);
    assert!(page.body.contains("type=\"password\"") && !page.body.contains("<script"));
    for name in ["Ada", "Mira", "Nivalet"] {
        assert!(!page.body.contains(name), "{name}");
    }
    let policy = page.header("content-security-policy").unwrap();
    assert!(policy.contains("frame-ancestors 'none'") && policy.contains("form-action 'self'"));
}

#[tokio::test]
async fn whoever_logs_in_edits_under_their_own_name() {
    let bench = Bench::start().await;
    let answer = bench.tries("mira", PASSWORD).await;
    assert_eq!((answer.status, answer.header("location")), (303, Some("/")));
    let cookie = answer.header("set-cookie").unwrap();
    for flag in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.contains(flag), "{cookie}");
    }
    // A name that the browser says is worth nothing.
    let name = format!("underlid-name-{}=416461", bench.address.port());
    let both = format!("{name}; {}", cookie_in(&answer));
    assert_eq!(bench.get("/", &both).await.status, 200);
    let kept = bench.post(&bench.edits(), &both, JSON, &edit("one")).await;
    assert_eq!(kept.json()["lists"][0]["state"], "kept", "{}", kept.body);
    let history = bench
        .library
        .history(&bench.dossier, None, 1)
        .await
        .unwrap();
    assert_eq!(history[0].by, Person::from("Mira"));
    let keys = bench.get("/keys", &both).await;
    assert!(
        keys.body.contains("logged in as Mira, editor"),
        "{}",
        keys.body
    );
}

#[tokio::test]
async fn a_wrong_name_and_a_wrong_password_are_answered_alike() {
    let bench = Bench::start().await;
    let wrong = bench.tries("Ada", "copper lamp on the bencH").await;
    let unknown = bench.tries("Adb", PASSWORD).await;
    let empty = bench.tries("Ada", "").await;
    for answer in [&wrong, &unknown, &empty] {
        assert_eq!(answer.status, 403);
        assert!(answer.header("set-cookie").is_none());
        assert!(answer.body.contains("Name or password is wrong."));
    }
    assert_eq!(wrong.body.replace("Ada", "Adb"), unknown.body);
}

#[tokio::test]
async fn a_password_is_not_tried_again_and_again() {
    let bench = Bench::start().await;
    let tries = (0..12).map(|n| {
        let guess = format!("guess number {n}");
        let bench = &bench;
        async move { bench.tries("Ada", &guess).await.status }
    });
    // At once, so that counting comes before looking.
    let mut told = futures::future::join_all(tries).await;
    told.sort_unstable();
    assert_eq!(told, [[403; 8].as_slice(), &[429; 4]].concat());
    let right = bench.tries("Ada", PASSWORD).await;
    assert_eq!(right.status, 429, "however right it is");
    assert_eq!(right.header("retry-after"), Some("900"));
    // Others are not kept out by it.
    bench.cookie_of("Mira").await;
}

#[tokio::test]
async fn a_session_that_somebody_planted_is_not_taken_over() {
    let bench = Bench::start().await;
    let name = format!("underlid-{}", bench.address.port());
    let mut seen = BTreeSet::new();
    let planted = [
        format!("{name}=planted"),
        format!("{name}={}", "0".repeat(64)),
        bench.cookie_of("Rolf").await,
    ];
    for planted in &planted {
        let body = format!("name=Ada&password={}", PASSWORD.replace(' ', "+"));
        let answer = bench.post("/login", planted, FORM, &body).await;
        let fresh = cookie_in(&answer);
        assert_ne!(&fresh, planted);
        assert!(seen.insert(fresh), "each is new");
        let keys = bench.get("/keys", planted).await;
        assert!(!keys.body.contains("logged in as Ada"), "{planted}");
    }
}

#[tokio::test]
async fn whoever_logs_out_or_is_removed_is_out_at_once() {
    let bench = Bench::start().await;
    let (ada, mira, other) = (
        bench.cookie_of("Ada").await,
        bench.cookie_of("Mira").await,
        bench.cookie_of("Mira").await,
    );
    let out = bench.post("/logout", &ada, FORM, "").await;
    assert_eq!((out.status, out.header("location")), (303, Some("/login")));
    assert!(out.header("set-cookie").unwrap().contains("Max-Age=0"));
    assert_eq!(bench.get("/", &ada).await.status, 303);
    assert_eq!(bench.get("/", &mira).await.status, 200);
    let name = Person::from("Mira");
    bench
        .library
        .set_password(&name, "another lamp on the bench")
        .await
        .unwrap();
    for cookie in [&mira, &other] {
        assert_eq!(bench.get("/", cookie).await.status, 303);
    }
    let rolf = bench.cookie_of("Rolf").await;
    bench
        .library
        .remove_person(&Person::from("Rolf"))
        .await
        .unwrap();
    assert_eq!(bench.get("/", &rolf).await.status, 303);
    let answer = bench.post(&bench.edits(), &rolf, JSON, &edit("gone")).await;
    assert_eq!(answer.status, 403);
}

#[tokio::test]
async fn a_reader_looks_at_everything_and_edits_nothing() {
    let bench = Bench::start().await;
    let cookie = bench.cookie_of("Rolf").await;
    let at = |place: &str| format!("/d/{}/{place}", bench.dossier);
    for place in ["intake", "inside", "claims", "history", "fields"] {
        let page = bench.get(&at(place), &cookie).await;
        assert_eq!(page.status, 200, "{place}");
        assert!(page.body.contains("your account may not edit"), "{place}");
    }
    for path in [
        "edits",
        "step",
        "withdraw",
        "publish",
        "publish/stop",
        "leave-out",
        "telephone",
        "photographs",
    ] {
        for kind in [JSON, FORM, "multipart/form-data; boundary=x"] {
            let answer = bench.post(&at(path), &cookie, kind, &edit("reader")).await;
            assert_eq!(answer.status, 403, "{path}: {}", answer.body);
            assert!(answer.body.contains("may look, and not edit"), "{path}");
        }
    }
    let made = bench
        .post("/products", &cookie, FORM, "name=x&maker=y")
        .await;
    assert_eq!(made.status, 403);
    assert_eq!(bench.revision().await, 1);
    assert_eq!(bench.library.heads(Which::Present).await.unwrap().len(), 1);
    // A form that was sent from a page gets a page.
    let origin = format!("http://{}", bench.address);
    let headers = [
        ("Cookie", cookie.as_str()),
        ("Origin", &origin),
        ("Sec-Fetch-Site", "same-origin"),
        ("Sec-Fetch-Mode", "navigate"),
        ("Content-Type", FORM),
    ];
    let answer = bench
        .send(&format!("POST {}", bench.edits()), &headers, "x=y")
        .await;
    assert!(
        answer.status == 403 && answer.body.contains("<h2>"),
        "{}",
        answer.body
    );
    // Questions write nothing, and are answered.
    let asked = bench
        .post(&at("find"), &cookie, JSON, r#"{"n":1,"words":"lamp"}"#)
        .await;
    assert_ne!(asked.status, 403, "{}", asked.body);
}

#[tokio::test]
async fn only_an_owner_withdraws_products() {
    let bench = Bench::start().await;
    let path = format!("/d/{}/withdraw", bench.dossier);
    let mira = bench.cookie_of("Mira").await;
    assert_eq!(
        bench.post(&path, &mira, FORM, "withdrawn=yes").await.status,
        403
    );
    assert_eq!(bench.library.heads(Which::Withdrawn).await.unwrap(), []);
    let ada = bench.cookie_of("Ada").await;
    assert_eq!(
        bench.post(&path, &ada, FORM, "withdrawn=yes").await.status,
        303
    );
    assert_eq!(
        bench.library.heads(Which::Withdrawn).await.unwrap().len(),
        1
    );
}

#[tokio::test]
async fn no_other_site_logs_anybody_in_or_out() {
    let bench = Bench::start().await;
    let cookie = bench.cookie_of("Ada").await;
    let body = format!("name=Ada&password={}", PASSWORD.replace(' ', "+"));
    for headers in [
        [
            ("Origin", "https://attacker.example"),
            ("Sec-Fetch-Site", "cross-site"),
        ],
        [("Origin", "null"), ("Sec-Fetch-Site", "same-site")],
        [("Content-Type", FORM), ("Cookie", cookie.as_str())],
    ] {
        for path in ["/login", "/logout"] {
            let answer = bench.send(&format!("POST {path}"), &headers, &body).await;
            assert_eq!(answer.status, 403, "{path}: {headers:?}");
            assert!(answer.header("set-cookie").is_none());
        }
    }
    assert_eq!(bench.get("/", &cookie).await.status, 200);
    let host = [("Host", "attacker.example"), ("Cookie", cookie.as_str())];
    assert_eq!(bench.send("GET /", &host, "").await.status, 421);
}

/// A proxy on this machine encrypts: the name is known, and the cookie goes back encrypted alone.
#[tokio::test]
async fn behind_a_proxy_the_name_is_known_and_cookies_are_for_it_alone() {
    let bench = Bench::behind("Bench.Example").await;
    let body = format!("name=Ada&password={}", PASSWORD.replace(' ', "+"));
    let headers = [
        ("Host", "bench.example"),
        ("Origin", "https://bench.example"),
        ("Sec-Fetch-Site", "same-origin"),
        ("Content-Type", FORM),
    ];
    let answer = bench.send("POST /login", &headers, &body).await;
    assert_eq!(answer.status, 303, "{}", answer.body);
    let cookie = answer.header("set-cookie").unwrap();
    assert!(
        cookie.starts_with("__Host-") && cookie.contains("; Secure"),
        "{cookie}"
    );
    assert!(!cookie.contains("Domain"), "{cookie}");
    let cookie = cookie_in(&answer);
    let known = [("Host", "bench.example"), ("Cookie", cookie.as_str())];
    assert_eq!(bench.send("GET /", &known, "").await.status, 200);
    let other = [
        ("Host", "bench.example.attacker.example"),
        ("Cookie", cookie.as_str()),
    ];
    assert_eq!(bench.send("GET /", &other, "").await.status, 421);
}

/// What others can reach is encrypted with the certificate whose fingerprint was printed, and not answered otherwise.
#[tokio::test]
async fn where_others_can_reach_it_nothing_goes_unencrypted() {
    let (library, dossier) = peopled().await;
    let nameless = serve(options(&library, Ipv4Addr::UNSPECIFIED)).await;
    assert!(matches!(nameless, Err(ServeError::NoName(_))));
    let serving = serve_as(options(&library, Ipv4Addr::UNSPECIFIED), "bench.example").await;
    let serving = serving.unwrap();
    let print = serving.fingerprint().unwrap().to_string();
    let port = serving.address().port();
    let bench = Bench::run(serving, library, dossier);
    let here = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    let plain = TcpStream::connect(here).await.unwrap();
    let answer = said(plain, bench.address, "GET /login", &[], "").await;
    assert_eq!(answer.status, 0, "{}", answer.head);
    let body = format!("name=Ada&password={}", PASSWORD.replace(' ', "+"));
    let host = format!("bench.example:{port}");
    let origin = format!("https://{host}");
    let headers = [
        ("Host", host.as_str()),
        ("Origin", &origin),
        ("Sec-Fetch-Site", "same-origin"),
        ("Content-Type", FORM),
    ];
    let name = ServerName::from(IpAddr::from(Ipv4Addr::LOCALHOST));
    let stream = TcpStream::connect(here).await.unwrap();
    let stream = trusting(&print)
        .connect(name.clone(), stream)
        .await
        .unwrap();
    let answer = said(stream, bench.address, "POST /login", &headers, &body).await;
    assert_eq!(answer.status, 303, "{}", answer.body);
    assert!(answer.header("set-cookie").unwrap().contains("; Secure"));
    let stream = TcpStream::connect(here).await.unwrap();
    let other = trusting(&"0".repeat(64)).connect(name, stream).await;
    assert!(other.is_err(), "another certificate is not taken for it");
}
