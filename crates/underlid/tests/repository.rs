//! The repository keeps its own rules: layers, reasons for dependencies, file sizes, leftovers.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use toml_edit::{DocumentMut, Item};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn files(ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![
        root().join("crates"),
        root().join("docs"),
        root().join("benches"),
    ];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                if path.file_name().is_some_and(|n| n != "target") {
                    folders.push(path);
                }
            } else if path.to_string_lossy().ends_with(ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    assert!(!found.is_empty(), "no {ending} file found");
    found
}

/// The rows of the table in ARCHITECTURE.md: crate and the crates it uses.
fn architecture_rows() -> Vec<(String, BTreeSet<String>)> {
    let names = |cell: &str| -> BTreeSet<String> {
        cell.split('`')
            .skip(1)
            .step_by(2)
            .map(str::to_string)
            .collect()
    };
    read(&root().join("ARCHITECTURE.md"))
        .lines()
        .filter(|l| l.starts_with("| `") && l.matches('|').count() == 4)
        .map(|l| {
            let cells: Vec<&str> = l.split('|').collect();
            (names(cells[1]).into_iter().next().unwrap(), names(cells[3]))
        })
        .collect()
}

#[test]
fn the_crates_use_each_other_as_the_architecture_page_says() {
    let rows = architecture_rows();
    let named: BTreeSet<String> = rows.iter().map(|(name, _)| name.clone()).collect();
    let on_disk: BTreeSet<String> = std::fs::read_dir(root().join("crates"))
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    assert_eq!(
        named, on_disk,
        "ARCHITECTURE.md and crates/ name different crates"
    );
    for (name, uses) in rows {
        let manifest: DocumentMut = read(&root().join("crates").join(&name).join("Cargo.toml"))
            .parse()
            .unwrap();
        let found: BTreeSet<String> = manifest["dependencies"]
            .as_table()
            .unwrap()
            .iter()
            .map(|(key, _)| key.to_string())
            .filter(|key| on_disk.contains(key))
            .collect();
        assert_eq!(
            found, uses,
            "crates/{name}/Cargo.toml against ARCHITECTURE.md"
        );
    }
}

/// The texts between back quotes.
fn quoted(text: &str) -> impl Iterator<Item = &str> {
    text.split('`').skip(1).step_by(2)
}

/// Module docs that list their files (`| file | subject |`) name each file of the folder, and no other.
#[test]
fn tables_of_files_list_the_files_that_are_there() {
    let mut tables = 0;
    for path in files(".rs") {
        let text = read(&path);
        let docs = text.lines().take_while(|l| l.starts_with("//!"));
        let mut rows = docs
            .skip_while(|l| *l != "//! | file | subject |")
            .peekable();
        if rows.peek().is_none() {
            continue;
        }
        tables += 1;
        let listed: BTreeSet<String> = rows
            .take_while(|l| l.starts_with("//! |"))
            .filter_map(|l| l.split('|').nth(1))
            .flat_map(quoted)
            .map(|name| name.trim_end_matches(".rs").to_string())
            .collect();
        let own = path.file_stem().unwrap().to_os_string();
        let found: BTreeSet<String> = std::fs::read_dir(path.parent().unwrap())
            .unwrap()
            .map(|e| e.unwrap().path())
            .filter(|p| p.is_dir() || p.extension().is_some_and(|e| e == "rs"))
            .filter(|p| p.file_stem() != Some(&own) && !p.ends_with("data"))
            .map(|p| p.file_stem().unwrap().to_string_lossy().into_owned())
            .collect();
        assert_eq!(listed, found, "{}", path.display());
    }
    assert!(tables >= 2, "only {tables} tables of files were found");
}

/// A path of the sources that a page names is there: the tables of ARCHITECTURE.md say where a change goes.
#[test]
fn pages_name_only_sources_that_are_there() {
    let mut there: BTreeSet<String> = BTreeSet::new();
    for path in files("") {
        let inside = path.strip_prefix(root()).unwrap();
        let whole = inside.to_string_lossy().replace('\\', "/");
        for (at, _) in whole.match_indices('/') {
            there.insert(whole[..at].to_string());
        }
        there.insert(whole);
    }
    let is_there = |name: &str| {
        let name = name.trim_end_matches('/');
        let ending = format!("/{name}");
        root().join(name).exists() || there.iter().any(|path| path.ends_with(&ending))
    };
    let is_path = |name: &&str| {
        !name.contains([' ', '*', '<', '('])
            && (name.starts_with("crates/") || name.ends_with(".rs"))
    };
    let mut seen = 0;
    let pages = ["ARCHITECTURE.md", "CONTRIBUTING.md", "README.md"].map(|name| root().join(name));
    for page in pages.into_iter().chain(files(".md")) {
        // A path may be broken over two lines.
        let text = read(&page).replace("/\n", "/");
        for name in quoted(&text).filter(is_path) {
            seen += 1;
            assert!(is_there(name), "{} names {name}", page.display());
        }
    }
    assert!(seen > 40, "only {seen} paths were found");
}

#[test]
fn every_dependency_says_why_it_is_there() {
    let manifest: DocumentMut = read(&root().join("Cargo.toml")).parse().unwrap();
    let table = manifest["workspace"]["dependencies"].as_table().unwrap();
    for (key, item) in table {
        let decor = table
            .key(key)
            .unwrap()
            .leaf_decor()
            .prefix()
            .and_then(|p| p.as_str());
        let reason = decor.is_some_and(|p| p.contains('#'));
        let ours = item.get("path").is_some_and(Item::is_str);
        assert!(ours || reason, "{key} has no line above it saying why");
    }
    for path in files("Cargo.toml") {
        let manifest: DocumentMut = read(&path).parse().unwrap();
        for section in ["dependencies", "dev-dependencies"] {
            let Some(table) = manifest.get(section).and_then(Item::as_table) else {
                continue;
            };
            for (key, item) in table {
                let shared = item.get("workspace").and_then(Item::as_bool) == Some(true);
                assert!(
                    shared,
                    "{}: take {key} from the workspace table",
                    path.display()
                );
            }
        }
    }
}

#[test]
fn source_files_stay_small_and_say_what_they_are() {
    for path in files(".rs") {
        let text = read(&path);
        let lines = text.lines().count();
        assert!(lines <= 800, "{} has {lines} lines", path.display());
        assert!(
            text.starts_with("//!"),
            "{} does not begin with module docs",
            path.display()
        );
    }
}

/// The crates in which equal input gives equal output.
const PURE: [&str; 22] = [
    "quantity",
    "record",
    "imaging",
    "scene",
    "lightbox",
    "lettering",
    "callout",
    "catalogue",
    "codes",
    "captions",
    "past",
    "charging",
    "guards",
    "logs",
    "standing",
    "cost",
    "repair",
    "sound",
    "marking",
    "methods",
    "report",
    "pdf",
];

/// What they must not see is forbidden by the same `clippy.toml` in each, which repeats the settings of the root.
#[test]
fn the_pure_crates_forbid_disk_clock_and_environment_alike() {
    let page = read(&root().join("ARCHITECTURE.md"));
    let (_, section) = page.split_once("## What is pure").unwrap();
    let (sentence, _) = section.split_once("\nsee no disk").unwrap();
    assert_eq!(
        quoted(sentence).collect::<Vec<_>>(),
        PURE,
        "ARCHITECTURE.md"
    );
    let with_rules: BTreeSet<String> = architecture_rows()
        .into_iter()
        .map(|(name, _)| name)
        .filter(|name| {
            root()
                .join("crates")
                .join(name)
                .join("clippy.toml")
                .is_file()
        })
        .collect();
    assert_eq!(with_rules, PURE.map(String::from).into());
    let wanted = read(&root().join("crates/quantity/clippy.toml"));
    for path in PURE.map(|name| root().join("crates").join(name).join("clippy.toml")) {
        assert_eq!(read(&path), wanted, "{}", path.display());
    }
    let rules: DocumentMut = wanted.parse().unwrap();
    let general: DocumentMut = read(&root().join("clippy.toml")).parse().unwrap();
    for (key, value) in general.iter() {
        let repeated = rules.get(key).map(ToString::to_string);
        assert_eq!(repeated, Some(value.to_string()), "{key} of the root");
    }
    for word in [
        "std::fs::read",
        "std::fs::write",
        "std::time::SystemTime::now",
        "jiff::Zoned::now",
        "std::env::var",
        "std::env::current_dir",
        "std::process::Command",
        "std::net::TcpStream",
    ] {
        assert!(wanted.contains(&format!("\"{word}\"")), "{word}");
    }
    let silenced = lines_with(&["disallowed_methods", "disallowed_types"], &[]);
    assert!(silenced.is_empty(), "{}", silenced.join("\n"));
}

/// Everything that changes a disk stands in one crate, so that it is locked, flushed and kept. The one exception is
/// named: a library's database and object store, which bring their own locks and flushes.
#[test]
fn only_the_store_writes_to_a_disk() {
    let words = [
        "fs::write",
        "File::create",
        "File::options",
        "OpenOptions",
        "fs::rename",
        "fs::copy",
        "fs::hard_link",
        "fs::set_permissions",
        "fs::soft_link",
        "DirBuilder",
        "remove_file",
        "remove_dir",
        "create_dir",
        "os::unix::fs::symlink",
        "tempfile::",
        "LocalFileSystem",
        "SqliteConnectOptions",
    ];
    let of_the_library = ["LocalFileSystem", "SqliteConnectOptions"];
    for path in files(".rs") {
        let inside = path.strip_prefix(root()).unwrap();
        let parts: Vec<_> = inside.iter().filter_map(|p| p.to_str()).collect();
        let [first, name, part, ..] = parts[..] else {
            continue;
        };
        let is_test = parts.contains(&"tests") || parts.last() == Some(&"tests.rs");
        if first != "crates" || part != "src" || name == "store" || is_test {
            continue;
        }
        let text = read(&path);
        for word in words {
            if name == "library" && of_the_library.contains(&word) {
                continue;
            }
            assert!(!text.contains(word), "{} writes: {word}", path.display());
        }
    }
}

#[test]
fn no_merge_is_left_half_done() {
    let top = [
        "ARCHITECTURE.md",
        "CONTRIBUTING.md",
        "README.md",
        "Cargo.toml",
    ]
    .map(|n| root().join(n));
    let texts = [".md", ".rs", ".toml", ".js", ".css", ".sh"];
    let inside = texts.iter().flat_map(|ending| files(ending));
    for path in top.into_iter().chain(inside) {
        // Some texts are kept because their bytes are no text.
        let bytes = std::fs::read(&path).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        let marker = ["<<<<<<< ", ">>>>>>> "];
        let line = text
            .lines()
            .find(|l| marker.iter().any(|m| l.starts_with(m)));
        assert_eq!(line, None, "{}", path.display());
    }
}

#[test]
fn no_leftovers() {
    // Split so that this file does not find itself.
    let words = [
        concat!("TO", "DO"),
        concat!("FIX", "ME"),
        concat!("unimplemented", "!"),
        concat!("todo", "!("),
    ];
    for path in files(".rs").into_iter().chain(files(".md")) {
        let text = read(&path);
        for word in words {
            assert!(!text.contains(word), "{} still says {word}", path.display());
        }
    }
}

/// The lines of the crates' own sources, without tests and examples, that hold one of these words outside a
/// comment.
fn lines_with(words: &[&str], allowed: &[&str]) -> Vec<String> {
    let mut found = Vec::new();
    for path in files(".rs") {
        let name = path.to_string_lossy().replace('\\', "/");
        let is_test = name.ends_with("tests.rs")
            || ["/tests/", "/examples/", "/benches/"]
                .iter()
                .any(|f| name.contains(f));
        if is_test || allowed.iter().any(|part| name.contains(part)) {
            continue;
        }
        let text = read(&path);
        let own = text
            .split("#[cfg(test)]\nmod tests {")
            .next()
            .unwrap_or_default();
        for (number, line) in own.lines().enumerate() {
            let code = line.split("//").next().unwrap_or_default();
            if words.iter().any(|word| code.contains(word)) {
                found.push(format!("{name}:{}: {}", number + 1, line.trim()));
            }
        }
    }
    found
}

#[test]
fn nothing_is_read_but_through_the_opener() {
    let words = [
        "fs::read",
        "File::open",
        ".metadata(",
        "fs::metadata(",
        "symlink_metadata(",
        "read_dir(",
        "canonicalize(",
        ".exists()",
        ".is_file()",
        ".is_dir()",
        "imagesize::size(",
        "OpenOptions",
    ];
    let found = lines_with(&words, &["crates/store/src/"]);
    assert!(
        found.is_empty(),
        "read through store::opener:\n{}",
        found.join("\n")
    );
}

#[test]
fn nothing_is_printed_but_in_one_place() {
    let words = [
        "print!(",
        "println!(",
        "dbg!(",
        "::stdout()",
        "::stderr()",
        " stdout()",
        " stderr()",
    ];
    let found = lines_with(&words, &["crates/underlid/src/screen.rs"]);
    assert!(
        found.is_empty(),
        "print through screen:\n{}",
        found.join("\n")
    );
    // A path is shown through `screen::shown`, which puts it on one line.
    let found: Vec<String> = lines_with(&[".display()"], &[])
        .into_iter()
        .filter(|line| line.contains("../crates/underlid/") || line.contains("../crates/app/"))
        .collect();
    assert!(
        found.is_empty(),
        "show paths through screen:\n{}",
        found.join("\n")
    );
}

#[test]
fn every_method_has_its_page() {
    for method in methods::METHODS {
        let method = method.page;
        let text = read(&root().join("docs").join(method));
        for part in ["source", "limit"] {
            assert!(
                text.to_lowercase().contains(part),
                "docs/{method}: no {part}s"
            );
        }
    }
}

#[test]
fn every_page_on_a_method_belongs_to_one() {
    let known: BTreeSet<PathBuf> = methods::METHODS
        .iter()
        .map(|m| root().join("docs").join(m.page))
        .collect();
    let pages: BTreeSet<PathBuf> = files(".md")
        .into_iter()
        .filter(|p| p.parent().is_some_and(|f| f.ends_with("docs/methods")))
        .collect();
    assert_eq!(known, pages);
}

/// Whether a line of a source puts a place together by hand: one of the forms of a place, or the name of a
/// list at the top with a dot, directly before what is filled in.
fn puts_a_place_together(line: &str) -> bool {
    const HEADS: [&str; 17] = [
        "items.",
        "photos.",
        "readings.",
        "measures.",
        "instruments.",
        "claims.",
        "steps.",
        "links.",
        "correlations.",
        "labels.",
        "photo:",
        "reading:",
        "measure:",
        "label:",
        "log:",
        "claim:",
        "step:",
    ];
    HEADS.iter().any(|head| {
        line.match_indices(&format!("{head}{{")).any(|(at, _)| {
            let before = line[..at].chars().next_back();
            // Within a longer word, or doubled braces of plain text, it is something else.
            let filled = !line[at + head.len()..].starts_with("{{");
            filled && !before.is_some_and(char::is_alphanumeric)
        })
    })
}

#[test]
fn places_are_not_put_together_by_hand() {
    let shown = [
        r#"format!("items.{}.cell.capacity", id)"#,
        r#"vec![format!("photo:{photo}#{}", region)]"#,
        r#"let place = format!("{from}: links.{}-{}", a, b);"#,
    ];
    assert!(shown.iter().all(|line| puts_a_place_together(line)));
    let fine = [
        r#"Place::item(&id).at("cell.capacity")"#,
        r#"format!("step {n}: {text}")"#,
    ];
    assert!(!fine.iter().any(|line| puts_a_place_together(line)));
    let mut seen = 0;
    for path in files(".rs") {
        let name = path.to_string_lossy().replace('\\', "/");
        let elsewhere = !name.contains("/src/") || name.contains("/tests");
        if elsewhere || name.contains("/record/src/place") {
            continue;
        }
        seen += 1;
        // What tests within a source file check against may be written out.
        let text = read(&path);
        let code = text.split("#[cfg(test)]").next().unwrap_or_default();
        for (at, line) in code.lines().enumerate() {
            let comment = line.trim_start().starts_with("//");
            assert!(
                comment || !puts_a_place_together(line),
                "{name}:{}: make it with record::Place\n{line}",
                at + 1
            );
        }
    }
    assert!(seen > 200, "only {seen} sources were read");
}
