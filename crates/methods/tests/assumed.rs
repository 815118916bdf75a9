//! Nothing is taken for granted outside the table of assumed figures.

#![allow(
    clippy::disallowed_methods,
    reason = "a test reads the sources and pages it is about"
)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use imaging::geometry::ASSUMPTIONS;
use methods::METHODS;
use methods::assumed::{self, ROWS};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Numbers that mean the same everywhere: counts, squares, halves, the divisors of rectangular and
/// resolution laws, per cent, and steps between units of time, length and mass.
const NEUTRAL: [f64; 15] = [
    0.0, 0.5, 1.0, 2.0, 3.0, 7.0, 10.0, 12.0, 60.0, 100.0, 1000.0, 86_400.0, 1e-3, 4.0, 5.0,
];

/// Numbers that a file may hold beside those, and why.
const ALLOWED: [(&str, f64, &str); 22] = [
    (
        "heard.rs",
        50.0,
        "Hz, the lowest third octave that losses are told in",
    ),
    (
        "heard.rs",
        10_000.0,
        "Hz, the highest of them; each is told by itself",
    ),
    ("bench.rs", 1e3, "millimetres of a metre"),
    ("bench.rs", 1e6, "micrometres of a metre"),
    (
        "energy/logged.rs",
        60.0,
        "seconds over which the highest power is taken; the figure says so",
    ),
    (
        "energy/charge.rs",
        10.0,
        "hours below which a charge is told in minutes",
    ),
    (
        "power/narrow.rs",
        0.05,
        "share of a range below which a narrowing is not told; no figure rests on it",
    ),
    (
        "power/flow.rs",
        0.1,
        "amperes or watts below which a range is printed in thousandths",
    ),
    (
        "decimal.rs",
        0.1,
        "powers of ten by which values are taken for the same but for the decimal point",
    ),
    (
        "decimal.rs",
        3.0,
        "powers of ten up to which a slip is looked for; no figure rests on it",
    ),
    ("words.rs", 0.95, "from here on very likely"),
    ("words.rs", 0.75, "from here on likely"),
    ("words.rs", 0.55, "from here on more likely than not"),
    ("words.rs", 0.45, "from here on as likely as not"),
    ("words.rs", 0.25, "from here on less likely than not"),
    ("words.rs", 0.05, "from here on unlikely"),
    ("codes/dates.rs", 86_400.0, "seconds in a day"),
    (
        "words.rs",
        0.99,
        "probability above which a decimal is printed",
    ),
    (
        "words.rs",
        0.999,
        "probability above which none is printed in full",
    ),
    (
        "words.rs",
        0.1,
        "probability below which a decimal is printed",
    ),
    (
        "codes/outlier.rs",
        1.4826,
        "median deviation to standard deviation of a normal law",
    ),
    (
        "claims/conformance.rs",
        1.644_853_626_951_472_7,
        "quantile of the normal law",
    ),
];

/// The Rust files of a folder without tests and without the table.
fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_string();
        if path.is_dir() && name != "tests" && name != "assumed" {
            found.extend(rust_files(&path));
        } else if name.ends_with(".rs") && name != "tests.rs" {
            found.push(path);
        }
    }
    found
}

/// The sources of the methods without tests and without the table, by path inside `src`.
fn sources() -> Vec<(String, String)> {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let found = rust_files(&source);
    let inside = |p: &Path| {
        p.strip_prefix(&source)
            .unwrap()
            .to_str()
            .unwrap()
            .replace('\\', "/")
    };
    found
        .iter()
        .map(|p| (inside(p), std::fs::read_to_string(p).unwrap()))
        .collect()
}

/// Returns the code of a source: no comments, no text between quotation marks, no tests at its end.
fn code(source: &str) -> String {
    let source = source.split("#[cfg(test)]\nmod tests {").next().unwrap();
    let mut code = String::new();
    let mut quoted = false;
    for line in source.lines() {
        let mut previous = ' ';
        for (at, c) in line.char_indices() {
            if !quoted && line[at..].starts_with("//") {
                break;
            }
            // Neither `\"` inside a text nor the letter `'"'` begins or ends one.
            let letter = previous == '\'' && line[at..].starts_with("\"'");
            if c == '"' && previous != '\\' && !letter {
                quoted = !quoted;
            } else if !quoted {
                code.push(c);
            }
            previous = c;
        }
        code.push('\n');
    }
    code
}

/// Returns the numbers with a point or an exponent.
fn numbers(code: &str) -> Vec<f64> {
    let word = |c: char| c.is_ascii_alphanumeric() || "._-".contains(c);
    code.split(|c: char| !word(c))
        .flat_map(|w| w.split(".."))
        .map(|w| w.replace('_', ""))
        .map(|w| {
            w.trim_start_matches('-')
                .trim_end_matches("f64")
                .to_string()
        })
        .filter(|w| w.starts_with(|c: char| c.is_ascii_digit()) && w.contains(['.', 'e']))
        .filter_map(|w| w.parse().ok())
        .collect()
}

/// Returns the neutral numbers that a source gives a name of its own: a number that means the same everywhere
/// needs none, and one that is named, as a limit or a share, means something of things.
fn named_neutrals(code: &str) -> Vec<f64> {
    code.split("const ")
        .skip(1)
        .filter_map(|rest| rest.split(';').next())
        .filter(|item| item.contains(": f64 ="))
        .flat_map(|item| numbers(item.split_once('=').map_or("", |(_, value)| value)))
        .filter(|n| NEUTRAL.contains(n))
        .collect()
}

/// Returns the numbers of a source that belong into the table.
fn strays(file: &str, source: &str) -> Vec<f64> {
    // Below a millionth stands rounding of binary numbers, not a property of things.
    let rounding = |n: f64| n <= 1e-6;
    let allowed = |n: f64| ALLOWED.iter().any(|(f, a, _)| *f == file && *a == n);
    let source = code(source);
    let bare = numbers(&source);
    bare.into_iter()
        .filter(|n| !NEUTRAL.contains(n))
        .chain(named_neutrals(&source))
        .filter(|&n| !rounding(n) && !allowed(n))
        .collect()
}

#[test]
fn every_row_says_its_unit_its_source_and_its_year() {
    let pages: BTreeSet<&str> = METHODS.iter().map(|m| m.name).collect();
    let keys: BTreeSet<&str> = ROWS.iter().map(|r| r.key()).collect();
    assert_eq!(keys.len(), ROWS.len());
    for row in ROWS {
        let key = row.key();
        assert!(
            quantity::Unit::parse(row.unit()).is_ok(),
            "{key}: {}",
            row.unit()
        );
        assert!(row.what().len() > 8, "{key}");
        assert!(row.source().len() > 8, "{key}");
        assert!((1900..=2100).contains(&row.year()), "{key}");
        let (low, high) = row.bounds();
        assert!(low <= row.number() && row.number() <= high, "{key}");
        assert!(
            !row.pages().is_empty() && row.pages().iter().all(|p| pages.contains(p)),
            "{key}"
        );
    }
}

/// Tells whether code names a row of a table of assumed figures.
fn names_row(code: &str, key: &str) -> bool {
    let ends = |rest: &str| !rest.starts_with(|c: char| c.is_ascii_uppercase() || c == '_');
    code.split(&format!("assumed::{key}")).skip(1).any(ends)
}

/// What measuring photographs takes for granted stands in a table of the same form, each row of it is used,
/// and where both tables have a figure it is the same.
#[test]
fn what_photographs_rest_on_says_its_source_too() {
    let geometry = root().join("crates/imaging/src/geometry");
    let files = rust_files(&geometry);
    let text: Vec<String> = files
        .iter()
        .filter(|p| !p.ends_with("assumed.rs"))
        .map(|p| code(&std::fs::read_to_string(p).unwrap()))
        .collect();
    let keys: BTreeSet<&str> = ASSUMPTIONS.iter().map(|row| row.key).collect();
    assert_eq!(keys.len(), ASSUMPTIONS.len());
    assert!(keys.len() >= 20);
    for row in ASSUMPTIONS {
        let key = row.key;
        assert!(
            quantity::Unit::parse(row.unit).is_ok() || row.unit == "px",
            "{key}"
        );
        assert!(row.what.len() > 8 && row.source.len() > 8, "{key}");
        assert!((1900..=2100).contains(&row.year), "{key}");
        assert!(
            text.iter().any(|t| names_row(t, key)),
            "{key} is used nowhere"
        );
    }
    let figure = |key| ASSUMPTIONS.iter().find(|row| row.key == key).unwrap().value;
    assert_eq!(figure("DISTORTION"), assumed::LENS.si());
    assert_eq!(figure("TILT"), assumed::TILT.number());
}

#[test]
fn no_row_is_unused() {
    let sources = sources();
    for row in ROWS {
        let used = sources
            .iter()
            .any(|(_, text)| names_row(&code(text), row.key()));
        assert!(used, "{} is used nowhere", row.key());
    }
}

#[test]
fn no_figure_stands_outside_the_table() {
    let sources = sources();
    assert!(sources.len() > 60);
    for (file, text) in &sources {
        let found = strays(file, text);
        assert!(
            found.is_empty(),
            "{file}: {found:?} belong into `assumed`, or into ALLOWED with a reason"
        );
    }
    for (file, number, why) in ALLOWED {
        let held = sources.iter().find(|(f, _)| f == file);
        let needed = held.is_some_and(|(_, text)| numbers(&code(text)).contains(&number));
        assert!(needed, "{file} no longer holds {number} ({why})");
    }
    // An input of assumed origin is made of a row, in one place.
    let makers: Vec<&str> = sources
        .iter()
        .filter(|(_, text)| code(text).contains("origin: Origin::Assumed"))
        .map(|(file, _)| file.as_str())
        .collect();
    assert_eq!(makers, ["grounds.rs"]);
}

#[test]
fn the_search_for_figures_finds_them() {
    let found = |text: &str| strays("a.rs", text);
    assert_eq!(found("const LIMIT: f64 = 0.37;"), [0.37]);
    assert_eq!(found("const ENOUGH: f64 = 2.0;"), [2.0]);
    assert_eq!(found("let x = (8_000.0, 2.5e-3) + y.0;"), [8000.0, 0.0025]);
    assert_eq!(found("if t > -273.15f64 {}"), [273.15]);
    assert!(found("// 0.37\nlet a = \"0.37 // \"; let b = 1e-9 * 2.0;").is_empty());
}

#[test]
fn the_page_of_assumed_figures_is_up_to_date() {
    let page = std::fs::read_to_string(root().join("docs/assumptions.md")).unwrap();
    assert_eq!(
        page,
        assumed::page(),
        "write it anew with `cargo run -p underlid-methods --example assumptions`"
    );
}

#[test]
fn every_method_page_lists_the_rows_it_uses() {
    for method in METHODS {
        let path = root().join(format!("docs/methods/{}.md", method.name));
        let page = std::fs::read_to_string(path).unwrap();
        let listed: Vec<String> = ROWS
            .iter()
            .filter(|r| r.pages().contains(&method.name))
            .map(|r| format!("`{}`", r.key()))
            .collect();
        if listed.is_empty() {
            assert!(!page.contains("Taken for granted ("), "{}", method.name);
            continue;
        }
        let line = format!(
            "Taken for granted ([table](../assumptions.md)): {}.",
            listed.join(", ")
        );
        assert!(page.contains(&line), "{} does not say\n{line}", method.name);
    }
}
