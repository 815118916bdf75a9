//! A browser driven by keys, with things found by role and name; the server in a process of its own.

use chromiumoxide::Page;
use chromiumoxide::browser::{Browser, BrowserConfig};
use chromiumoxide::cdp::browser_protocol::accessibility::QueryAxTreeParams;
use chromiumoxide::cdp::browser_protocol::dom::{
    BackendNodeId, FocusParams, GetDocumentParams, ResolveNodeParams,
};
use chromiumoxide::cdp::browser_protocol::emulation::{
    MediaFeature, SetDeviceMetricsOverrideParams, SetEmulatedMediaParams,
};
use chromiumoxide::cdp::browser_protocol::input::{
    DispatchKeyEventParams, DispatchKeyEventType, InsertTextParams, TimeSinceEpoch,
};
use chromiumoxide::cdp::browser_protocol::page::CaptureScreenshotParams;
use chromiumoxide::cdp::js_protocol::runtime::CallFunctionOnParams;
use futures::StreamExt as _;
use std::io::BufRead as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant, SystemTime};

const CHROMIUM: &str = "/usr/bin/chromium";
/// Longest wait for anything that a page is to show.
const PATIENCE: Duration = Duration::from_secs(60);

/// Returns whether there is no browser here; where nothing may be skipped, that is a failure.
pub(crate) fn none() -> bool {
    let there = Path::new(CHROMIUM).exists();
    assert!(
        there || std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_none(),
        "{CHROMIUM} is missing"
    );
    !there
}

/// A server in a process of its own, over a library in a folder of its own.
pub(crate) struct Server {
    folder: tempfile::TempDir,
    child: Child,
    pub(crate) url: String,
}

impl Server {
    pub(crate) fn start() -> Self {
        Self::with(&[])
    }

    /// As [`Server::start`], with boards on which nothing is recorded.
    pub(crate) fn start_bare() -> Self {
        Self::with(&[("UNDERLID_STORY_BARE", "yes")])
    }

    /// As [`Server::start`], with words for the serving process.
    pub(crate) fn with(words: &[(&str, &str)]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (child, url) = run(folder.path(), 0, words);
        Self { folder, child, url }
    }

    /// As [`Server::start`], by another program that serves as `underlid serve` does: a faster build of it, where times
    /// are measured. `library` is the folder of its library.
    pub(crate) fn by(program: &Path, folder: tempfile::TempDir, library: &Path) -> Self {
        let mut child = Command::new(program)
            .args(["serve", "--port", "0"])
            .arg(library)
            .env("UNDERLID_CACHE", folder.path().join("cache"))
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let url = told(&mut child, "http://").map(|rest| format!("http://{rest}"));
        let url = url.expect("the server tells its address");
        Self { folder, child, url }
    }

    pub(crate) fn origin(&self) -> &str {
        self.url.split("/?").next().unwrap()
    }

    fn port(&self) -> u16 {
        self.origin().rsplit(':').next().unwrap().parse().unwrap()
    }

    pub(crate) fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// Ends the process as a power cut would.
    pub(crate) fn kill(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Starts it again at the same address.
    pub(crate) fn again(&mut self) {
        (self.child, self.url) = run(self.folder.path(), self.port(), &[]);
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn run(folder: &Path, port: u16, words: &[(&str, &str)]) -> (Child, String) {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "served::serve", "--ignored", "--nocapture"])
        .env("UNDERLID_STORY_LIBRARY", folder.join("library"))
        .env("UNDERLID_CACHE", folder.join("cache"))
        .env("UNDERLID_STORY_PORT", port.to_string())
        .envs(words.iter().copied())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let url = told(&mut child, "serving ");
    (child, url.expect("the server tells its address"))
}

/// The rest of the first line that a program prints with this beginning.
fn told(child: &mut Child, begin: &str) -> Option<String> {
    let out = std::io::BufReader::new(child.stdout.take()?);
    let mut lines = out.lines().map_while(Result::ok);
    let found = lines.find_map(|line| line.strip_prefix(begin).map(str::to_string));
    // What is printed later is read too: a program whose output nobody takes is ended by the system.
    std::thread::spawn(move || lines.for_each(drop));
    found
}

/// A browser without windows.
pub(crate) struct Seat {
    browser: Browser,
    _profile: tempfile::TempDir,
}

impl Seat {
    pub(crate) async fn take() -> Self {
        let profile = tempfile::tempdir().unwrap();
        let config = BrowserConfig::builder()
            .chrome_executable(CHROMIUM)
            .no_sandbox()
            .new_headless_mode()
            .user_data_dir(profile.path())
            .viewport(None)
            .window_size(1280, 800)
            .launch_timeout(Duration::from_secs(60))
            .request_timeout(Duration::from_secs(60))
            .arg("--disable-gpu")
            // The telephone's listener has a certificate of its own.
            .arg("--ignore-certificate-errors")
            .arg("--disable-dev-shm-usage")
            .build()
            .unwrap();
        let (browser, mut handler) = Browser::launch(config).await.unwrap();
        tokio::spawn(async move { while handler.next().await.is_some() {} });
        Self {
            browser,
            _profile: profile,
        }
    }

    pub(crate) async fn window(&self, url: &str) -> Window {
        let page = self.browser.new_page("about:blank").await.unwrap();
        let hand = Mutex::new(0.0);
        let window = Window { page, hand };
        window.size(1280, 800).await;
        window.go(url).await;
        window
    }
}

/// One window.
pub(crate) struct Window {
    pub(crate) page: Page,
    /// When the last key went down, seconds of the page's own clock: keys are typed at a person's pace by their times,
    /// however fast they are sent.
    hand: Mutex<f64>,
}

/// Seconds between the keys of a person. Source: 0.12 s a key of a quick typist, from memory.
const PACE: f64 = 0.12;

impl Window {
    pub(crate) async fn go(&self, url: &str) {
        self.page.goto(url).await.unwrap();
    }

    pub(crate) async fn size(&self, width: i64, height: i64) {
        let size = SetDeviceMetricsOverrideParams::new(width, height, 1.0, false);
        self.page.execute(size).await.unwrap();
    }

    pub(crate) async fn dark(&self, dark: bool) {
        let scheme = if dark { "dark" } else { "light" };
        let features = vec![MediaFeature::new("prefers-color-scheme", scheme)];
        let media = SetEmulatedMediaParams::builder().features(features).build();
        self.page.execute(media).await.unwrap();
    }

    /// Evaluates an expression of the page's own language to text.
    pub(crate) async fn tell(&self, expression: &str) -> String {
        let wrapped = format!("String({expression})");
        let result = self.page.evaluate_expression(wrapped).await;
        match result {
            Ok(value) => value.into_value::<String>().unwrap_or_default(),
            Err(error) => format!("({error})"),
        }
    }

    /// Loads the page again and waits until the new one stands: until then, answers may still be the old page's.
    pub(crate) async fn reload(&self) {
        self.tell("window.before = true").await;
        self.tell("location.reload()").await;
        self.until("!window.before && document.readyState === 'complete'")
            .await;
    }

    /// Waits until the keys of the page's place are listened to.
    pub(crate) async fn started(&self) {
        self.until("!document.body.dataset.module || document.body.dataset.started === 'yes'")
            .await;
    }

    /// Waits until an expression is true.
    pub(crate) async fn until(&self, expression: &str) {
        let begun = Instant::now();
        while self.tell(&format!("!!({expression})")).await != "true" {
            if begun.elapsed() > PATIENCE {
                let shown = self
                    .tell("document.body ? document.body.innerText : ''")
                    .await;
                self.shot(Path::new("/tmp/underlid-story.png")).await;
                panic!("never true: {expression}\n\n{shown}");
            }
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }

    /// Waits until the page shows a text.
    pub(crate) async fn sees(&self, text: &str) {
        let quoted = serde_json::to_string(text).unwrap();
        // Between a value and its unit stands a thin space.
        let shown =
            "document.body && document.body.innerText.replace(/[\\u00a0\\u2009\\u202f]/g, ' ')";
        self.until(&format!("({shown} || '').includes({quoted})"))
            .await;
    }

    /// Finds a thing by what it is and what it is called.
    pub(crate) async fn find(&self, role: &str, name: &str) -> Option<BackendNodeId> {
        let document = self.page.execute(GetDocumentParams::default()).await.ok()?;
        let query = QueryAxTreeParams::builder()
            .node_id(document.result.root.node_id)
            .role(role)
            .accessible_name(name)
            .build();
        let found = self.page.execute(query).await.ok()?;
        let mut nodes = found.result.nodes.iter().filter(|n| !n.ignored);
        nodes.find_map(|node| node.backend_dom_node_id)
    }

    pub(crate) async fn waits_for(&self, role: &str, name: &str) -> BackendNodeId {
        let begun = Instant::now();
        loop {
            if let Some(found) = self.find(role, name).await {
                return found;
            }
            if begun.elapsed() > PATIENCE {
                let shown = self.tell("document.body.innerText").await;
                panic!("no {role} “{name}”\n\n{shown}");
            }
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }

    pub(crate) async fn focus(&self, role: &str, name: &str) {
        let node = self.waits_for(role, name).await;
        let focus = FocusParams::builder().backend_node_id(node).build();
        self.page.execute(focus).await.unwrap();
    }

    /// Returns what a function of a thing gives, as text.
    pub(crate) async fn of(&self, role: &str, name: &str, function: &str) -> String {
        let node = self.waits_for(role, name).await;
        let resolve = ResolveNodeParams::builder().backend_node_id(node).build();
        let object = self.page.execute(resolve).await.unwrap();
        let call = CallFunctionOnParams::builder()
            .object_id(object.result.object.object_id.clone().unwrap())
            .function_declaration(format!("function () {{ return String({function}); }}"))
            .return_by_value(true)
            .build()
            .unwrap();
        let value = self.page.execute(call).await.unwrap();
        let value = value.result.result.value.clone().unwrap_or_default();
        value.as_str().unwrap_or_default().to_string()
    }

    /// Types characters as a keyboard does, one key each.
    pub(crate) async fn types(&self, text: &str) {
        for c in text.chars() {
            self.character(c).await;
        }
    }

    /// Types characters and an Enter as an instrument does: with these gaps, in seconds.
    pub(crate) async fn burst(&self, text: &str, gap: f64) {
        // An instrument begins a while after the hand.
        self.next_key(1.0);
        for c in text.chars() {
            self.timed(c, gap).await;
        }
        self.timed('\r', gap).await;
    }

    /// Returns the time of the next key: now, or this long after the one before.
    fn next_key(&self, gap: f64) -> TimeSinceEpoch {
        let now = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH);
        let mut hand = self.hand.lock().unwrap();
        *hand = match gap < PACE {
            true => *hand + gap,
            false => now.unwrap().as_secs_f64().max(*hand + gap),
        };
        TimeSinceEpoch::new(*hand)
    }

    async fn timed(&self, c: char, gap: f64) {
        let at = self.next_key(gap);
        let key = if c == '\r' {
            "Enter".to_string()
        } else {
            c.to_string()
        };
        for kind in [DispatchKeyEventType::KeyDown, DispatchKeyEventType::KeyUp] {
            let down = kind == DispatchKeyEventType::KeyDown;
            let mut event = DispatchKeyEventParams::builder()
                .r#type(kind)
                .key(key.clone())
                .timestamp(at.clone());
            if c == '\r' {
                event = event.windows_virtual_key_code(13);
            }
            if down {
                event = event.text(c);
            }
            self.page.execute(event.build().unwrap()).await.unwrap();
        }
    }

    async fn character(&self, c: char) {
        if !c.is_ascii() {
            self.page.execute(InsertTextParams::new(c)).await.unwrap();
            return;
        }
        self.timed(c, PACE).await;
    }

    /// Presses a key with those held before it: `Ctrl+z`, `Shift+Enter`, `F8`.
    pub(crate) async fn press(&self, chord: &str) {
        let mut parts: Vec<&str> = chord.split('+').collect();
        let key = parts.pop().unwrap();
        let held: i64 = parts
            .iter()
            .map(|part| match *part {
                "Alt" => 1,
                "Ctrl" => 2,
                "Shift" => 8,
                other => panic!("no key {other} is held"),
            })
            .sum();
        let (key, code, text) = match key {
            "Enter" => ("Enter", 13, Some("\r")),
            "Esc" => ("Escape", 27, None),
            "Tab" => ("Tab", 9, None),
            "Down" => ("ArrowDown", 40, None),
            "Up" => ("ArrowUp", 38, None),
            "Left" => ("ArrowLeft", 37, None),
            "Right" => ("ArrowRight", 39, None),
            "Space" => (" ", 32, Some(" ")),
            "Home" => ("Home", 36, None),
            "End" => ("End", 35, None),
            "PgUp" => ("PageUp", 33, None),
            "PgDn" => ("PageDown", 34, None),
            "Delete" => ("Delete", 46, None),
            "Backspace" => ("Backspace", 8, None),
            "F2" => ("F2", 113, None),
            "F8" => ("F8", 119, None),
            one => (
                one,
                i64::from(u32::from(one.to_ascii_uppercase().chars().next().unwrap())),
                (held == 0).then_some(one),
            ),
        };
        let at = self.next_key(PACE);
        for kind in [DispatchKeyEventType::KeyDown, DispatchKeyEventType::KeyUp] {
            let down = kind == DispatchKeyEventType::KeyDown;
            let mut event = DispatchKeyEventParams::builder()
                .timestamp(at.clone())
                .r#type(match (down, text) {
                    (true, None) => DispatchKeyEventType::RawKeyDown,
                    _ => kind,
                })
                .key(key)
                .modifiers(held)
                .windows_virtual_key_code(code);
            if let Some(text) = text.filter(|_| down) {
                event = event.text(text);
            }
            self.page.execute(event.build().unwrap()).await.unwrap();
        }
    }

    pub(crate) async fn shot(&self, path: &Path) {
        if let Ok(taken) = self.page.execute(CaptureScreenshotParams::default()).await {
            use base64::Engine as _;
            let data: &[u8] = taken.result.data.as_ref();
            let bytes = base64::engine::general_purpose::STANDARD.decode(data);
            let _ = std::fs::write(path, bytes.unwrap_or_default());
        }
    }
}

static SHOTS: AtomicU64 = AtomicU64::new(0);

/// A folder for pictures to be looked at, where `UNDERLID_LOOK` names one.
pub(crate) fn look() -> Option<PathBuf> {
    SHOTS.fetch_add(1, Ordering::Relaxed);
    std::env::var_os("UNDERLID_LOOK").map(PathBuf::from)
}
