//! A site holds what was published and nothing else, every link in it leads somewhere, and it is written whole or not.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use app::desk::{Desk, Publish, Stopper};
use app::{Unwatched, Watch, site};
use jiff::Timestamp;
use library::{DossierId, LeavingOut, Library, Person};
use std::collections::BTreeSet;
use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

fn text(name: &str, part: &str, secret: &str, grams: &str) -> String {
    format!(
        r#"format = 1
[product]
name = "{name}"
maker = "Ondrelkamp & Söhne"
category = "power bank"
opened = 2024-05-01
released = 2024-03-04
identifiers = [{{ kind = "serial number", text = "{secret}", private = true }}]

[[items]]
id = "it"
name = "{name}"
kind = "product"
note = "Sent in with {secret} on it."

[[items]]
id = "chip"
name = "Chip"
kind = "part"
parent = "it"
role = "charger"
[items.part]
marking = ["{part}"]
[items.part.identity]
name = "{part}"
maker = "Oskvale"
certainty = "read"
evidence = ["text:the chip"]

[[claims]]
id = "light"
text = "The lightest of all"
printed = "front of the box"
kind = "leading"
leads = "lightest"

[[readings]]
id = "weighed"
item = "it"
what = "mass"
value = "{grams} +- 0.1 g"
"#
    )
}

async fn new(library: &Library, text: &str) -> DossierId {
    let by = Person::from("A.");
    library
        .create(text, Vec::new(), &by, Timestamp::UNIX_EPOCH)
        .await
        .unwrap()
}

async fn publish(desk: &Desk, id: &DossierId, day: i64, reason: Option<&str>) {
    let what = Publish {
        revision: desk.library().head(id).await.unwrap().revision,
        by: Person::from("A."),
        at: Timestamp::from_second(day * 86_400).unwrap(),
        reason: reason.map(String::from),
    };
    desk.publish(id, what, &Stopper::default(), |_, _| {})
        .await
        .unwrap();
}

/// Four products: one published twice, one of which a section is left out, one not published, one withdrawn.
async fn library(folder: &Path) -> Desk {
    let library = Library::open(folder).await.unwrap();
    let desk = Desk::at(library, Vec::new());
    let one = new(
        desk.library(),
        &text("Pebble", "KX-12", "SN-SECRET-1", "100 g"),
    )
    .await;
    let left = new(
        desk.library(),
        &text("Slab", "LEFTOUT-9", "SN-SECRET-2", "120 g"),
    )
    .await;
    new(
        desk.library(),
        &text("Hush", "HUSHED-3", "SN-SECRET-3", "80 g"),
    )
    .await;
    let gone = new(
        desk.library(),
        &text("Gone", "GONE-4", "SN-SECRET-4", "90 g"),
    )
    .await;
    desk.bring_index_forward().await.unwrap();
    let what = LeavingOut {
        sections: BTreeSet::from(["section-inside".to_string(), "section-chips".to_string()]),
        ..LeavingOut::default()
    };
    let by = Person::from("A.");
    desk.library()
        .leave_out(&left, &what, &by, Timestamp::UNIX_EPOCH)
        .await
        .unwrap();
    for id in [&one, &left, &gone] {
        publish(&desk, id, 20_000, None).await;
    }
    desk.library()
        .withdraw(&gone, true, Timestamp::UNIX_EPOCH)
        .await
        .unwrap();
    publish(&desk, &one, 20_001, Some("The scale was <not> levelled")).await;
    desk
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        match path.is_dir() {
            true => all.extend(files(&path)),
            false => all.push(path),
        }
    }
    all
}

/// All text of a file, that of the parts of a spreadsheet too.
fn read(path: &Path) -> String {
    let bytes = fs::read(path).unwrap();
    if path.extension().is_some_and(|e| e == "xlsx") {
        let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
        let mut text = String::new();
        for n in 0..archive.len() {
            let mut part = Vec::new();
            archive.by_index(n).unwrap().read_to_end(&mut part).unwrap();
            text += &String::from_utf8_lossy(&part);
        }
        return text;
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// What the `href` and `src` of a page or a feed say, but for addresses of other schemes.
fn links(text: &str) -> Vec<String> {
    let mut all = Vec::new();
    for name in [" href=\"", " src=\""] {
        for rest in text.split(name).skip(1) {
            let link = rest.split('"').next().unwrap();
            let elsewhere = ["http:", "https:", "data:", "mailto:"]
                .iter()
                .any(|s| link.starts_with(s));
            if !elsewhere {
                all.push(link.replace("&amp;", "&"));
            }
        }
    }
    all
}

fn follow(from: &Path, link: &str) {
    let shown = format!("{} links {link}", from.display());
    assert!(!link.starts_with('/'), "{shown}");
    let (path, anchor) = link.split_once('#').unwrap_or((link, ""));
    let to = match path {
        "" => from.to_path_buf(),
        path => from.parent().unwrap().join(path),
    };
    assert!(to.is_file(), "{shown}");
    if !anchor.is_empty() {
        let text = read(&to);
        let id = format!("id=\"{anchor}\"");
        assert!(text.contains(&id), "{shown}, which is not there");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_site_holds_what_was_published_and_every_link_leads_somewhere() {
    let at = TempDir::new().unwrap();
    let desk = library(&at.path().join("library")).await;
    let into = at.path().join("site");
    let made = site(desk.library(), &into, &Unwatched).await.unwrap();
    assert_eq!(
        (made.reports, made.unpublished),
        (2, vec!["Hush".to_string()])
    );

    let all = files(&into);
    for path in &all {
        let text = read(path);
        let own = ["SECRET", "Hush", "HUSHED", "GONE-4", "Gone"];
        for secret in own {
            assert!(!text.contains(secret), "{} tells {secret}", path.display());
        }
        // In the pages of its own report a part may be named by a claim or a reading; nowhere else.
        let pages = path.extension().is_some_and(|e| e == "html" || e == "md");
        assert!(pages || !text.contains("LEFTOUT-9"), "{}", path.display());
    }
    assert!(
        !all.iter()
            .any(|path| path.to_string_lossy().contains("leftout"))
    );

    let mut followed = 0;
    for path in &all {
        let kind = path
            .extension()
            .and_then(|e| e.to_str())
            .unwrap_or_default();
        if ["html", "atom"].contains(&kind) {
            for link in links(&read(path)) {
                follow(path, &link);
                followed += 1;
            }
        }
    }
    assert!(followed > 50, "{followed}");
    for page in [
        "index.html",
        "parts/kx-12.html",
        "makers/oskvale.html",
        "makers/ondrelkamp-suf6hne.html",
    ] {
        assert!(into.join(page).is_file(), "{page}");
    }
    let part = read(&into.join("parts/kx-12.html"));
    assert!(part.contains("Pebble") && !part.contains("Slab"), "{part}");
    let found = read(&into.join("search/0.json"));
    let found: Vec<[String; 3]> = serde_json::from_str(&found).unwrap();
    for [_, _, address] in &found {
        follow(&into.join("index.html"), address);
    }
    assert!(found.iter().any(|[name, ..]| name == "KX-12"));
    let feed = read(&into.join("corrections.atom"));
    assert_eq!(feed.matches("<entry>").count(), 1);
    assert!(feed.contains("<title>Pebble, version 2</title>"), "{feed}");
    assert!(
        feed.contains("<updated>2024-10-05T00:00:00Z</updated>"),
        "{feed}"
    );
    assert!(
        feed.contains("&amp;amp;lt;not&amp;amp;gt;") || feed.contains("&amp;lt;not&amp;gt;"),
        "{feed}"
    );
}

/// Asks to end after so many steps.
struct Ends(std::sync::atomic::AtomicUsize);

impl Watch for Ends {
    fn stage(&self, _: &str) {}
    fn step(&self, _: &str, _: usize, _: usize) {}
    fn goes_on(&self) -> bool {
        let before = |n: usize| Some(n.saturating_sub(1));
        let order = std::sync::atomic::Ordering::Relaxed;
        self.0.fetch_update(order, order, before).unwrap() > 0
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_site_is_written_whole_or_not_at_all() {
    let at = TempDir::new().unwrap();
    let library = Library::open(&at.path().join("library")).await.unwrap();
    let desk = Desk::at(library, Vec::new());
    let id = new(
        desk.library(),
        &text("Pebble", "KX-12", "SN-SECRET-1", "100 g"),
    )
    .await;
    let into = at.path().join("site");
    let made = site(desk.library(), &into, &Unwatched).await.unwrap();
    assert_eq!(made.reports, 0);
    let empty = files(&into);
    publish(&desk, &id, 20_000, None).await;
    // It ends while files are copied.
    let stopped = site(desk.library(), &into, &Ends(4.into())).await;
    assert!(stopped.is_err());
    assert_eq!(files(&into), empty);
    site(desk.library(), &into, &Unwatched).await.unwrap();
    assert!(files(&into).len() > empty.len());
    // A folder of the user's is never filled.
    let own = at.path().join("own");
    fs::create_dir(&own).unwrap();
    fs::write(own.join("notes.txt"), "mine").unwrap();
    assert!(site(desk.library(), &own, &Unwatched).await.is_err());
    assert_eq!(files(&own), [own.join("notes.txt")]);
}
