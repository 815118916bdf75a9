//! Any bytes as the body of a form with photographs, sent to a server as a page of ours sends it: the server answers,
//! tells no fault of its own, and what it has taken is sound.

use library::{Library, Person, Which};
use std::cell::RefCell;
use std::io::{Read as _, Write as _};
use std::net::{Ipv4Addr, SocketAddr, TcpStream};
use workbench::{Options, Secret, serve};

/// Inputs after which a new server takes over, so that what is kept in memory stays small.
const MOST: usize = 2000;

/// A server of this process, and a way to it.
struct Served {
    _runtime: tokio::runtime::Runtime,
    library: Library,
    address: SocketAddr,
    cookie: String,
    path: String,
    stream: Option<TcpStream>,
    answered: usize,
}

thread_local! {
    static SERVED: RefCell<Option<Served>> = const { RefCell::new(None) };
}

/// Sends the bytes.
pub fn tried(data: &[u8]) {
    SERVED.with_borrow_mut(|kept| {
        let served = kept.get_or_insert_with(Served::begin);
        // The first line that begins with two dashes says what parts are divided by; the seeds begin with it.
        let boundary = "part";
        let kind = format!("multipart/form-data; boundary={boundary}");
        let (status, body) = served.post(&kind, data);
        assert!(
            matches!(status, 200 | 400 | 413 | 415 | 422 | 507),
            "{status}: {}",
            String::from_utf8_lossy(&body)
        );
        served.answered += 1;
        if served.answered >= MOST {
            let runtime = tokio::runtime::Builder::new_current_thread().build();
            let verified = runtime.expect("threads").block_on(served.library.verify());
            assert!(verified.expect("in memory").damage.is_empty());
            *kept = None;
        }
    });
}

impl Served {
    fn begin() -> Self {
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(1)
            .enable_all()
            .build()
            .expect("threads");
        let library = Library::in_memory();
        let person = Person::from("A.");
        let text = include_str!("../seeds/dossier/small.toml");
        let now = jiff::Timestamp::UNIX_EPOCH;
        let photo = bytes::Bytes::from_static(include_bytes!("../seeds/pictures/notes.png"));
        let files = vec![("photos/top.png".to_string(), photo)];
        let made = library.create(text, files, &person, now);
        runtime.block_on(made).expect("the small dossier reads");
        let heads = runtime.block_on(library.heads(Which::Present));
        let id = heads.expect("in memory")[0].id.clone();
        let options = Options {
            desk: app::desk::Desk::at(library.clone(), Vec::new()),
            address: SocketAddr::from((Ipv4Addr::LOCALHOST, 0)),
            person,
            secret: Secret::of([7; 32]),
        };
        let serving = runtime.block_on(serve(options)).expect("a free port");
        let address = serving.address();
        let url = serving.url();
        let token = url.split_once("token=").expect("a token").1.to_string();
        runtime.spawn(serving.run(std::future::pending()));
        let mut served = Self {
            _runtime: runtime,
            library,
            address,
            cookie: String::new(),
            path: format!("/d/{id}/photographs"),
            stream: None,
            answered: 0,
        };
        let first = format!("GET /?token={token} HTTP/1.1\r\nHost: {address}\r\n\r\n");
        let head = served.exchange(first.as_bytes(), &[]).expect("an answer").0;
        let cookie = head.lines().find_map(|line| {
            let (name, value) = line.split_once(':')?;
            name.eq_ignore_ascii_case("set-cookie").then_some(value)
        });
        let cookie = cookie.expect("a cookie").split(';').next();
        served.cookie = cookie.expect("a value").trim().to_string();
        served
    }

    fn post(&mut self, kind: &str, body: &[u8]) -> (u16, Vec<u8>) {
        let head = format!(
            "POST {} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nOrigin: http://{}\r\nSec-Fetch-Site: same-origin\r\n\
             Content-Type: {kind}\r\nContent-Length: {}\r\n\r\n",
            self.path,
            self.address,
            self.cookie,
            self.address,
            body.len()
        );
        // A server may end a connection after an answer; the second try has a new one.
        let (head, body) = self
            .exchange(head.as_bytes(), body)
            .or_else(|_| self.exchange(head.as_bytes(), body))
            .expect("the server answers");
        let status = head.split(' ').nth(1).and_then(|s| s.parse().ok());
        (status.expect("a status"), body)
    }

    /// Sends a request and reads the answer, on the connection of the last one where it is still there.
    fn exchange(&mut self, head: &[u8], body: &[u8]) -> std::io::Result<(String, Vec<u8>)> {
        let mut stream = match self.stream.take() {
            Some(stream) => stream,
            None => TcpStream::connect(self.address)?,
        };
        stream.write_all(head)?;
        stream.write_all(body)?;
        let mut all = Vec::new();
        let mut block = [0; 4096];
        let end = loop {
            if let Some(at) = all.windows(4).position(|four| four == b"\r\n\r\n") {
                break at + 4;
            }
            let read = stream.read(&mut block)?;
            if read == 0 {
                return Err(std::io::ErrorKind::UnexpectedEof.into());
            }
            all.extend_from_slice(&block[..read]);
        };
        let head = String::from_utf8_lossy(&all[..end]).into_owned();
        let lower = head.to_lowercase();
        let length = lower
            .lines()
            .find_map(|line| line.strip_prefix("content-length:"));
        let mut body = all.split_off(end);
        match length.and_then(|text| text.trim().parse::<usize>().ok()) {
            Some(length) => {
                while body.len() < length {
                    let read = stream.read(&mut block)?;
                    if read == 0 {
                        return Err(std::io::ErrorKind::UnexpectedEof.into());
                    }
                    body.extend_from_slice(&block[..read]);
                }
                if !lower.contains("connection: close") {
                    self.stream = Some(stream);
                }
            }
            // An answer in pieces: what is read of it is enough, and the connection goes.
            None => drop(stream),
        }
        Ok((head, body))
    }
}
