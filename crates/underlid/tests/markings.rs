//! The answer to a marking as a person reads it: what it says first, where it says to look, and what it says when
//! there is no answer.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::fs;
use std::path::Path;
use support::{code, said, told, underlid};
use tempfile::TempDir;

const KNOWN: &str = "name,maker,codes,packages,pins,role,description\n\
    TH318-QF,Threndova,,QFN-16,16,charger,single-cell charger with power path\n\
    TH318-TR,Threndova,,SOT-23-5,5,charger,single-cell charger with power path\n\
    TH318-WL,Threndova,,WLCSP-9,9,charger,single-cell charger with power path\n\
    TH328-QF,Threndova,,QFN-16,16,charger,two-cell charger\n\
    FR4011,,,,,,\n\
    FR4011-A,,,,,,\n\
    ZK7702,Zulmarik,,SOT-23-5,5,regulator,\n\
    ZK7702,Oskvale,,SOT-23-5,5,regulator,\n\
    QX2188,Nordhafen,4A7 @ SOT-23-5 | C7 @ SC-70-5,SOT-23-5 | SC-70-5,5,switch,load switch\n";

fn known() -> TempDir {
    let at = TempDir::new().unwrap();
    fs::write(at.path().join("known.csv"), KNOWN).unwrap();
    at
}

/// What is answered to `read ARGUMENTS --catalogue known.csv`, and the exit code.
fn answer(arguments: &[&str], at: &Path) -> (String, i32) {
    let arguments = [&["read"], arguments, &["--catalogue", "known.csv"]].concat();
    let output = underlid(&arguments, at);
    (said(&output), code(&output))
}

#[track_caller]
fn first_line(arguments: &[&str], expected: &[&str]) {
    let at = known();
    let (text, code) = answer(arguments, at.path());
    let first = text.lines().next().unwrap();
    for part in expected {
        assert!(first.contains(part), "{part}: {text}");
    }
    assert_eq!(code, 0, "{text}");
}

#[test]
fn the_first_line_names_the_part_and_the_character_that_decides() {
    first_line(
        &["TH3?8-QF"],
        &[
            "TH3?8-QF: ",
            "TH318-QF",
            "TH328-QF",
            "look at character 4: 1 or 2",
        ],
    );
    first_line(
        &["{}|TH3?8QF", "--package", "QFN-16"],
        &["look at character 4 of line 2: 1 or 2"],
    );
    first_line(&["QX2188"], &["QX2188: ", "QX2188, "]);
    first_line(&["4A7"], &["4A7: ", "QX2188"]);
}

#[test]
fn what_the_marking_does_not_tell_is_looked_for_outside_of_it() {
    first_line(
        &["TH318"],
        &[
            "one of the TH318",
            "TH318-QF, TH318-TR or TH318-WL",
            "look at the package: QFN-16, SOT-23-5 or WLCSP-9",
        ],
    );
    first_line(
        &["TH3?8"],
        &[
            "one of the TH318",
            "; look at character 4: 1 or 2; look at the package: QFN-16, SOT-23-5 or WLCSP-9",
        ],
    );
    // Nothing else is known of these two, and the end is rubbed away.
    first_line(&["FR4011~"], &["look for an ending: A or none"]);
    // The package is known, so it is not asked for.
    first_line(
        &["ZK7702", "--package", "SOT-23-5"],
        &["look at the maker: "],
    );
    first_line(
        &["ZK7702", "--maker", "Oskvale"],
        &["ZK7702: ZK7702 by Oskvale, 9"],
    );
}

#[test]
fn the_package_that_was_asked_for_stands_first() {
    let at = known();
    let (text, _) = answer(&["QX2188", "--package", "SC-70-5"], at.path());
    assert!(text.contains("SC-70-5 or SOT-23-5"), "{text}");
    let (text, _) = answer(&["QX2188", "--package", "SOT-23-5"], at.path());
    assert!(text.contains("SOT-23-5 or SC-70-5"), "{text}");
}

#[test]
fn relatives_stand_under_one_head_with_what_differs_and_the_rest_behind_all() {
    let at = known();
    let (text, _) = answer(&["TH318"], at.path());
    let line = |begins: &str| {
        let mut lines = text.lines();
        lines
            .find(|l| l.contains(begins))
            .unwrap_or_else(|| panic!("{begins}: {text}"))
    };
    let head = line("%  TH318 ");
    assert!(
        head.contains("Threndova, charger, single-cell charger"),
        "{text}"
    );
    let member = line("%  TH318-TR ");
    assert!(member.contains("SOT-23-5, 5 pins"), "{text}");
    assert!(
        !member.contains("charger"),
        "what all share is said once: {text}"
    );
    assert!(text.contains("--all") && !text.contains("seen  "), "{text}");
    let (all, _) = answer(&["TH318", "--all"], at.path());
    assert!(
        all.contains("seen  TH318··") && all.contains("name  TH318TR"),
        "{all}"
    );
}

#[test]
fn several_words_need_no_quotation_marks() {
    let at = known();
    let arguments = [
        "read",
        "QX2188",
        "2315",
        "--package",
        "SOT-23",
        "--format",
        "json",
    ];
    let output = underlid(&arguments, at.path());
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(json["marking"], "QX2188 2315");
    // No catalogue was named, but a date is an answer.
    assert_eq!((code(&output), &json["verdict"]), (0, &"code".into()));
}

#[test]
fn no_answer_has_an_exit_code_of_its_own() {
    let at = known();
    for arguments in [&["VWVWVWVW"][..], &["??"], &["~"]] {
        let (text, code) = answer(arguments, at.path());
        assert_eq!(code, 4, "{text}");
        assert!(text.lines().count() >= 1, "{text}");
    }
    let nothing = underlid(&["read", "VWVWVWVW"], at.path());
    assert_eq!(code(&nothing), 4);
    assert!(
        said(&nothing).contains("--catalogue FILE"),
        "{}",
        said(&nothing)
    );
    fs::write(at.path().join("empty.csv"), "name\n").unwrap();
    let nothing = underlid(&["read", "VWVWVWVW", "--catalogue", "empty.csv"], at.path());
    assert_eq!(code(&nothing), 4);
    assert!(
        said(&nothing).contains("the catalogue holds no part"),
        "{}",
        said(&nothing)
    );
}

#[test]
fn a_catalogue_of_which_every_row_is_refused_is_an_error() {
    let at = known();
    fs::write(at.path().join("bad.csv"), "name,pins\n,5\nX,many\n").unwrap();
    let output = underlid(&["read", "TH318", "--catalogue", "bad.csv"], at.path());
    assert_eq!((code(&output), said(&output).as_str()), (3, ""));
    assert!(
        told(&output)
            .contains("nothing in the catalogue bad.csv can be used: bad.csv:2, column name"),
        "{}",
        told(&output)
    );
    assert!(told(&output).contains("underlid catalogue check bad.csv"));
    // A table that is imported likewise; one good row is enough.
    fs::write(at.path().join("table.csv"), "Part No,Pins\n,5\nX,many\n").unwrap();
    let import = ["catalogue", "import", "table.csv", "--into", "own.csv"];
    let output = underlid(&import, at.path());
    assert_eq!(code(&output), 1);
    assert!(said(&output).starts_with("nothing that was named could be read"));
    assert!(!at.path().join("own.csv").exists());
    fs::write(at.path().join("table.csv"), "Part No,Pins\n,5\nX,5\n").unwrap();
    assert_eq!(code(&underlid(&import, at.path())), 0);
}

/// Characters that a page puts between letters without showing them: zero width space, joiner and no-break, word
/// joiner, soft hyphen, byte-order mark, marks and embeddings of direction (Unicode Standard 17, 23.2 and 23.8).
#[test]
fn what_does_not_show_does_not_matter_and_does_not_steer() {
    let at = known();
    let plain = answer(&["TH3?8QF", "--format", "json"], at.path()).0;
    let plain: serde_json::Value = serde_json::from_str(&plain).unwrap();
    for hidden in [
        "\u{200b}", "\u{200c}", "\u{200d}", "\u{2060}", "\u{ad}", "\u{feff}", "\u{200e}",
        "\u{200f}", "\u{202a}", "\u{202e}", "\u{2066}", "\u{2069}", "\u{61c}",
    ] {
        let text = format!("{hidden}TH{hidden}3?{hidden}8QF{hidden}");
        let (json, _) = answer(&[&text, "--format", "json"], at.path());
        let json: serde_json::Value = serde_json::from_str(&json).unwrap();
        assert_eq!(json, plain, "{hidden:?}");
        let (people, _) = answer(&[&text], at.path());
        assert!(!people.contains(hidden), "{people:?}");
    }
    // In the names of a catalogue too.
    let soft = KNOWN.replace("TH318-QF", "T\u{200b}H\u{ad}318-QF");
    fs::write(at.path().join("known.csv"), soft).unwrap();
    let (json, _) = answer(&["TH3?8QF", "--format", "json"], at.path());
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let probability =
        |json: &serde_json::Value| json["parts"]["candidates"][0]["probability"].clone();
    assert_eq!(probability(&json), probability(&plain));
}

#[test]
fn nothing_of_a_catalogue_steers_the_terminal() {
    let at = known();
    let steering = "\u{1b}[31m\u{9b}2J\u{202e}\u{2067}\u{7}";
    let row = format!(
        "name,maker,codes,packages,role,description,known_from\n\
         TH3{steering}18,M{steering},\"4A7{steering} @ S{steering}\",S{steering},r{steering},d{steering},k{steering}\n"
    );
    fs::write(at.path().join("known.csv"), row).unwrap();
    for arguments in [
        &["TH318", "--all"][..],
        &["4A7"],
        &["4A7", "--format", "json"],
    ] {
        let (text, _) = answer(arguments, at.path());
        let steers = |c: char| {
            c != '\n'
                && (c.is_control()
                    || matches!(c, '\u{200e}'..='\u{202e}' | '\u{2066}'..='\u{2069}'))
        };
        assert!(!text.contains(steers), "{text:?}");
    }
}

#[test]
fn one_command_adds_one_code() {
    let at = known();
    let add = |arguments: &[&str]| {
        let arguments = [&["catalogue", "code", "known.csv"], arguments].concat();
        let output = underlid(&arguments, at.path());
        (said(&output) + &told(&output), code(&output))
    };
    let (text, code) = add(&["TH318-TR", "K4", "--package", "SOT-23-5"]);
    assert_eq!(code, 0, "{text}");
    assert!(
        text.contains("TH318-TR now carries K4 on SOT-23-5"),
        "{text}"
    );
    let (text, _) = answer(&["K4", "--package", "SOT-23-5"], at.path());
    assert!(text.lines().next().unwrap().contains("TH318-TR"), "{text}");
    assert!(text.contains("marked K4 on SOT-23-5"), "{text}");
    let (text, _) = add(&["TH318-TR", "K4", "--package", "SOT-23-5"]);
    assert!(text.contains("already carries"), "{text}");
    let (text, _) = add(&["QX2188", "K4", "--package", "SOT-23-5"]);
    assert!(
        text.contains("K4 on SOT-23-5 is also on TH318-TR"),
        "{text}"
    );
    let (text, _) = add(&["QX21B8", "N1"]);
    assert!(
        text.contains("is new") && text.contains("knows QX2188"),
        "{text}"
    );
    let before = fs::read(at.path().join("known.csv")).unwrap();
    let (text, code) = add(&["ZK7702", "N2"]);
    assert_eq!(code, 3, "{text}");
    assert!(
        text.contains("is made by Oskvale and Zulmarik") && text.contains("--maker"),
        "{text}"
    );
    assert_eq!(fs::read(at.path().join("known.csv")).unwrap(), before);
    assert_eq!(add(&["ZK7702", "N2", "--maker", "Oskvale"]).1, 0);
}
