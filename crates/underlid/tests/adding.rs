//! Adding, setting and removing by commands: what is refused changes nothing, and says what to give instead.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::fs;
use std::path::{Path, PathBuf};
use support::{code, on_a_terminal, said, told, underlid};
use tempfile::TempDir;

/// A started dossier with a comment of its author's.
fn started() -> (TempDir, PathBuf) {
    let at = TempDir::new().unwrap();
    let output = underlid(&["new", "mine"], at.path());
    assert_eq!(code(&output), 0, "{}", told(&output));
    let text = at.path().join("mine/dossier.toml");
    let marked = format!("# of mine\n{}", fs::read_to_string(&text).unwrap());
    fs::write(&text, marked).unwrap();
    (at, text)
}

fn add(at: &Path, arguments: &[&str]) -> std::process::Output {
    let all: Vec<&str> = ["add"].iter().chain(arguments).copied().collect();
    underlid(&[&all[..], &["--in", "mine"]].concat(), at)
}

/// Slips of a first hour, and what has to be told about each.
const SLIPS: &[(&[&str], &str)] = &[
    (
        &[
            "claim",
            "x",
            "--printed",
            "box",
            "--kind",
            "weight",
            "--value",
            "48 g",
        ],
        "--kind: cannot be \"weight\"\n    try: write \"mass\"",
    ),
    (
        &[
            "claim",
            "x",
            "--printed",
            "box",
            "--kind",
            "mass",
            "--value",
            "48 mm",
        ],
        "--value: must be a mass, found a length (48 mm)\n    try: write a mass, such as \"83.4 g\"",
    ),
    (
        &["claim", "x", "--printed", "box", "--kind", "mass"],
        "--value: is missing",
    ),
    (
        &["claim", "x"],
        "--printed: is missing: where it is printed",
    ),
    (
        &[
            "claim",
            "x",
            "--printed",
            "box",
            "--kind",
            "mass",
            "--value",
            "48",
        ],
        "found a plain number (48)",
    ),
    (
        &["reading", "1,234 g", "--item", "product", "--what", "mass"],
        "write the one that is meant",
    ),
    (
        &["reading", "47 g", "--item", "prodct", "--what", "mass"],
        "try: write \"product\"",
    ),
    (
        &["reading", "47 g", "--item", "product", "--what", "wieght"],
        "try: write \"mass\"",
    ),
    (
        &["reading", "47 G", "--item", "product", "--what", "mass"],
        "did you mean 'g'",
    ),
    (
        &["reading", "47 mA", "--item", "product", "--what", "charge"],
        "such as \"604 mAh\"",
    ),
    (
        &[
            "reading",
            "80 C",
            "--item",
            "product",
            "--what",
            "temperature",
        ],
        "such as \"80 °C\"",
    ),
    (
        &["item", "Buzzer", "--kind", "speaker", "--parent", "product"],
        "try: write \"transducer\"",
    ),
    (
        &["item", "Buzzer", "--kind", "transducer"],
        "--parent: is missing: the item it is in or on; only the product has none\n    try: --parent ID, one of: product",
    ),
    (
        &["item", "Buzzer", "--kind", "transducer", "--parent", "pcb"],
        "try: write \"product\", or add it under [[items]]",
    ),
    (
        &["item", "Second", "--kind", "product"],
        "already an item of kind product",
    ),
    (
        &[
            "item", "Cell", "--kind", "cell", "--parent", "product", "--form", "coin",
        ],
        "try: write \"button\"",
    ),
    (
        &[
            "item",
            "Chip",
            "--kind",
            "part",
            "--parent",
            "product",
            "--marking",
            "TH[31",
        ],
        "the brackets in this marking do not pair",
    ),
    (
        &[
            "item", "Chip", "--kind", "part", "--parent", "product", "--pins", "eight",
        ],
        "--pins: must be a whole number",
    ),
    (
        &[
            "item", "Chip", "--kind", "part", "--parent", "product", "--weight", "3 g",
        ],
        "a mass is a reading",
    ),
    (
        &[
            "item", "Screws", "--kind", "fastener", "--parent", "product", "--sort", "bolt",
        ],
        "try: write \"screw\"",
    ),
    (
        &["step", "Pry it", "--action", "prise", "--undo", "yes"],
        "try: write \"pry\"",
    ),
    (
        &[
            "step",
            "Cut it",
            "--action",
            "cut",
            "--undo",
            "no",
            "--hazards",
            "knife",
        ],
        "try: write \"blade\"",
    ),
    (
        &[
            "step",
            "Lift it",
            "--action",
            "lift",
            "--undo",
            "yes",
            "--started",
            "14:00",
        ],
        "write it like 2026-03-01T14:05:00+01:00",
    ),
    (
        &["link", "--from", "product", "--to", "U1", "--kind", "power"],
        "there is no item with the id \"U1\"",
    ),
    (
        &["region", "--rect", "1,2,3,4"],
        "--photo: is missing: the photo that the region stands in",
    ),
    (&["photo", "--caption", "x"], "underlid add photo FILE"),
    (&["measurement", "x"], "tip: write reading"),
];

#[test]
fn a_slip_is_told_with_what_to_give_and_nothing_is_written() {
    let (at, text) = started();
    let before = fs::read(&text).unwrap();
    for (arguments, wanted) in SLIPS {
        let output = add(at.path(), arguments);
        let told = told(&output);
        assert_eq!(code(&output), 2, "{arguments:?}: {told}");
        assert!(told.contains(wanted), "{arguments:?}:\n{told}");
        assert!(fs::read(&text).unwrap() == before, "{arguments:?}");
    }
    assert!(!at.path().join("mine/.revisions").exists());
}

#[test]
fn what_is_added_leaves_the_rest_of_the_text_as_it_was() {
    let (at, text) = started();
    let before = fs::read_to_string(&text).unwrap();
    let output = add(
        at.path(),
        &[
            "item",
            "Main board",
            "--kind",
            "board",
            "--parent",
            "product",
            "--format",
            "json",
        ],
    );
    assert_eq!(code(&output), 0, "{}", told(&output));
    let answer: serde_json::Value = serde_json::from_str(&said(&output)).unwrap();
    assert_eq!(answer["added"], "items.main-board");
    let after = fs::read_to_string(&text).unwrap();
    let is_old = |line: &&str| before.lines().any(|old| old == *line);
    let new: Vec<&str> = after.lines().filter(|l| !is_old(l)).collect();
    assert_eq!(
        new,
        [
            "id = \"main-board\"",
            "name = \"Main board\"",
            "kind = \"board\"",
            "parent = \"product\""
        ]
    );
    let kept: Vec<&str> = after.lines().filter(is_old).collect();
    assert!(kept.len() >= before.lines().count(), "a line is gone");
    assert!(after.starts_with("# of mine\n"));
    let place = "items.main-board";
    let output = underlid(&["remove", place, "--in", "mine"], at.path());
    assert_eq!(code(&output), 0, "{}", told(&output));
    assert!(!fs::read_to_string(&text).unwrap().contains("main-board"));
}

#[test]
fn a_second_of_the_same_name_gets_an_id_of_its_own() {
    let (at, text) = started();
    for _ in 0..2 {
        let output = add(
            at.path(),
            &[
                "item", "Clip", "--kind", "fastener", "--parent", "product", "--sort", "clip",
            ],
        );
        assert_eq!(code(&output), 0, "{}", told(&output));
    }
    let text = fs::read_to_string(text).unwrap();
    assert!(text.contains("id = \"clip\"") && text.contains("id = \"clip-2\""));
}

#[test]
fn a_photograph_is_copied_byte_for_byte_or_not_at_all() {
    let (at, _) = started();
    let photo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp/photos/lamp-led.jpg");
    let path = photo.to_str().unwrap();
    let copied = at.path().join("mine/photos/lamp-led.jpg");
    // Refused by the text: the step is not there.
    let output = add(
        at.path(),
        &["photo", path, "--caption", "x", "--after", "nowhere"],
    );
    assert_eq!(code(&output), 2, "{}", told(&output));
    assert!(!copied.exists());
    let output = add(at.path(), &["photo", path, "--caption", "The light"]);
    assert_eq!(code(&output), 0, "{}", told(&output));
    assert!(fs::read(&copied).unwrap() == fs::read(&photo).unwrap());
    // Another picture of that name is never written over.
    let other = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp/photos/lamp-cell.jpg");
    let other = other.to_str().unwrap();
    let output = add(
        at.path(),
        &["photo", other, "--caption", "x", "--file", "lamp-led.jpg"],
    );
    assert_eq!(code(&output), 3, "{}", told(&output));
    assert!(
        told(&output).contains("is another file"),
        "{}",
        told(&output)
    );
    assert!(fs::read(&copied).unwrap() == fs::read(&photo).unwrap());
    // Neither is what is no picture, nor a name that leads elsewhere.
    let output = add(at.path(), &["photo", "mine/dossier.toml", "--caption", "x"]);
    assert_eq!(code(&output), 3, "{}", told(&output));
    let output = add(
        at.path(),
        &["photo", other, "--caption", "x", "--file", "../x.jpg"],
    );
    assert_eq!(code(&output), 2, "{}", told(&output));
    assert!(!at.path().join("mine/x.jpg").exists());
}

#[test]
fn a_dossier_with_mistakes_is_not_added_to() {
    let (at, text) = started();
    let wrong = fs::read_to_string(&text)
        .unwrap()
        .replace("maker = ", "makr = ");
    fs::write(&text, &wrong).unwrap();
    let output = add(at.path(), &["instrument", "scale"]);
    assert_eq!(code(&output), 1, "{}", told(&output));
    assert!(told(&output).contains("write maker"), "{}", told(&output));
    assert_eq!(fs::read_to_string(&text).unwrap(), wrong);
}

#[test]
fn a_factor_of_ten_is_warned_about_with_both_places() {
    let (at, text) = started();
    let claim = [
        "claim",
        "Only 210 g",
        "--printed",
        "box",
        "--kind",
        "mass",
        "--value",
        "210 g",
    ];
    assert_eq!(code(&add(at.path(), &claim)), 0);
    let output = add(
        at.path(),
        &["reading", "2120 g", "--item", "product", "--what", "mass"],
    );
    assert_eq!(code(&output), 0, "{}", told(&output));
    let answer = said(&output);
    let lines = fs::read_to_string(&text).unwrap();
    let line = |wanted: &str| 1 + lines.lines().position(|l| l == wanted).unwrap();
    assert!(answer.contains("10 times the mass"), "{answer}");
    let output = underlid(&["check", "mine", "--format", "json"], at.path());
    assert_eq!(code(&output), 0);
    let json: serde_json::Value = serde_json::from_str(&said(&output)).unwrap();
    let warning = &json["warnings"][0];
    assert_eq!(warning["at"]["place"], "reading:product-mass");
    assert_eq!(warning["against"][0]["place"], "claims.mass.value");
    assert_eq!(warning["against"][0]["line"], line("value = \"210 g\""));
}

#[test]
fn a_value_is_set_and_one_that_is_not_there_is_told_with_those_that_are() {
    let (at, text) = started();
    let set = |arguments: &[&str]| {
        let all: Vec<&str> = ["set"].iter().chain(arguments).copied().collect();
        underlid(&[&all[..], &["--in", "mine"]].concat(), at.path())
    };
    assert_eq!(code(&set(&["product.category", "desk lamp"])), 0);
    assert!(
        fs::read_to_string(&text)
            .unwrap()
            .contains("category = \"desk lamp\"")
    );
    let output = set(&["items.prodct.name", "x"]);
    assert_eq!(code(&output), 3);
    assert!(
        told(&output).contains("there are: items.product"),
        "{}",
        told(&output)
    );
    let output = set(&["product.manufacturer", "x"]);
    assert_eq!(code(&output), 2);
    assert!(
        told(&output).contains("try: write maker"),
        "{}",
        told(&output)
    );
    let output = set(&["product.opened", "1.3.2026"]);
    assert_eq!(code(&output), 2);
    assert!(told(&output).contains("2026-03-01"), "{}", told(&output));
}

#[test]
fn a_new_dossier_takes_the_facts_that_are_given() {
    let at = TempDir::new().unwrap();
    let new = |arguments: &[&str]| {
        let all: Vec<&str> = ["new", "lamp"].iter().chain(arguments).copied().collect();
        underlid(&all, at.path())
    };
    let output = new(&["--name", "Desk lamp"]);
    assert_eq!(code(&output), 2);
    assert!(
        told(&output).contains("--maker: is missing"),
        "{}",
        told(&output)
    );
    let facts = [
        "--name",
        "Desk lamp",
        "--maker",
        "Oskvale",
        "--opened",
        "2026-03-01",
    ];
    let output = new(&[&facts[..], &["--price", "49"]].concat());
    assert_eq!(code(&output), 2);
    assert!(
        told(&output).contains("--price: must be an amount of money"),
        "{}",
        told(&output)
    );
    assert!(!at.path().join("lamp").exists());
    let output = new(&[&facts[..], &["--price", "49 EUR"]].concat());
    assert_eq!(code(&output), 0, "{}", told(&output));
    let text = fs::read_to_string(at.path().join("lamp/dossier.toml")).unwrap();
    assert!(text.contains("price = { paid = \"49 EUR\" }"), "{text}");
    assert_eq!(code(&underlid(&["check", "lamp"], at.path())), 0);
}

/// A sentence that stands twice is judged twice: it is taken, and told at once and by every check, until one is removed.
#[test]
fn a_claim_that_stands_twice_is_told() {
    let (at, _) = started();
    let claim = [
        "claim",
        "Only 48 g",
        "--printed",
        "front of the box",
        "--kind",
        "mass",
        "--value",
        "48 g",
    ];
    let first = add(at.path(), &claim);
    assert_eq!(code(&first), 0, "{}", told(&first));
    assert!(!said(&first).contains("twice"), "{}", said(&first));
    let second = add(at.path(), &claim);
    assert_eq!(code(&second), 0, "{}", told(&second));
    let check = || said(&underlid(&["check", "mine"], at.path()));
    for text in [said(&second), check()] {
        assert!(text.contains("“Only 48 g” is recorded twice"), "{text}");
        assert!(text.contains("claims.mass-2 in line "), "{text}");
    }
    let removed = underlid(&["remove", "claims.mass-2", "--in", "mine"], at.path());
    assert_eq!(code(&removed), 0, "{}", told(&removed));
    assert!(!check().contains("twice"), "{}", check());
}

/// What a new dossier came with is no name; once it is replaced, nothing is told.
#[test]
fn a_name_that_was_never_written_is_told() {
    let (at, _) = started();
    let check = || said(&underlid(&["check", "mine"], at.path()));
    let text = check();
    assert!(text.contains("the name of the product is still"), "{text}");
    for (place, words) in [("product.name", "Probe"), ("product.maker", "Tarnhaven")] {
        let output = underlid(&["set", place, words, "--in", "mine"], at.path());
        assert_eq!(code(&output), 0, "{}", told(&output));
    }
    assert!(!check().contains("is still"), "{}", check());
}

/// Slips that are no values of an entry, with the exit code and what has to be told.
#[test]
fn slips_beside_the_values_are_told_with_what_to_do() {
    let (at, text) = started();
    let before = fs::read_to_string(&text).unwrap();
    let item = [
        "item", "Chip", "--kind", "part", "--parent", "product", "--id",
    ];
    for (id, words) in [
        (
            "My Chip",
            "--id: \"My Chip\" is no id\n    try: write letters, digits, - and _, such as my-chip",
        ),
        (
            "product",
            "--id: items.product is there already\n    try: give another one",
        ),
    ] {
        let output = add(at.path(), &[&item[..], &[id]].concat());
        assert_eq!(code(&output), 2, "{}", told(&output));
        assert!(told(&output).contains(words), "{}", told(&output));
    }
    for (arguments, wanted, words) in [
        (
            &["set", "product.price", "20", "--in", "mine"][..],
            2,
            "name one of its values: product.price.paid",
        ),
        (
            &["set", "items.product.identity", "x", "--in", "mine"],
            2,
            "try: write part.identity",
        ),
        (
            &["add", "scale", "x"],
            2,
            "\n\n  tip: write instrument or reference;",
        ),
        (
            &["add", "reading", "--", "-5 g", "--item", "product"],
            2,
            "unexpected argument '--item' found\n\nUsage",
        ),
        (&["read", ""], 2, "the marking is empty"),
        (&["outlines", "mine"], 2, "underlid outlines mine ID"),
        (
            &["man", "publish", "now"],
            2,
            "publish has no commands in it",
        ),
        (
            &["verify", "mine"],
            3,
            "mine is no bundle: there is no bundle.json in it",
        ),
        (
            &["publish", "mine", "--fonts", "nowhere"],
            3,
            "there is no folder nowhere",
        ),
    ] {
        let output = underlid(arguments, at.path());
        assert_eq!(code(&output), wanted, "{arguments:?}: {}", told(&output));
        assert!(
            told(&output).contains(words),
            "{arguments:?}: {}",
            told(&output)
        );
        assert!(
            !told(&output).contains("a similar subcommand"),
            "{}",
            told(&output)
        );
    }
    assert_eq!(fs::read_to_string(&text).unwrap(), before);
}

#[cfg(unix)]
#[test]
fn what_is_no_unicode_is_told_and_ends_nothing() {
    use std::os::unix::ffi::OsStrExt as _;
    let at = started().0;
    let word = std::ffi::OsStr::from_bytes(b"scr\xffw");
    for command in ["add", "check", "read"] {
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_underlid"))
            .arg(command)
            .arg(word)
            .current_dir(at.path())
            .output()
            .unwrap();
        assert!(
            [2, 3].contains(&code(&output)),
            "{command}: {}",
            told(&output)
        );
        assert!(!told(&output).contains("panicked"), "{}", told(&output));
    }
}

#[test]
fn measures_and_correlations_are_asked_for_on_a_terminal_too() {
    let (at, text) = started();
    for item in ["Lid", "Cup"] {
        let output = add(
            at.path(),
            &["item", item, "--kind", "shell", "--parent", "product"],
        );
        assert_eq!(code(&output), 0, "{}", told(&output));
        let id = item.to_lowercase();
        let output = add(
            at.path(),
            &["reading", "4 g", "--item", &id, "--what", "mass"],
        );
        assert_eq!(code(&output), 0, "{}", told(&output));
    }
    let typed = "lid-mass\nlid-mass,cup-mass\nmuch\n0.9\n";
    let Some(output) = on_a_terminal(
        "underlid add correlation --in mine",
        typed,
        "dumb",
        at.path(),
    ) else {
        return;
    };
    let asked = said(&output);
    for words in [
        "one of: lid-mass, cup-mass",
        "must be 2 ids",
        "must be a number",
        "Added correlations.",
    ] {
        assert!(asked.contains(words), "{words}: {asked}");
    }
    let photo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp/photos/lamp-led.jpg");
    let photo = photo.to_str().unwrap();
    for arguments in [
        &["photo", photo, "--id", "led", "--caption", "x"][..],
        &[
            "reference",
            "card",
            "--photo",
            "led",
            "--shape",
            "distance",
            "--length",
            "50 mm",
            "--at",
            "9,9 99,9",
        ],
    ] {
        let output = add(at.path(), arguments);
        assert_eq!(code(&output), 0, "{}", told(&output));
    }
    let typed = "led\nwidht\nwidth\ncup\n10,10 90,10\n";
    let output = on_a_terminal("underlid add measure --in mine", typed, "dumb", at.path()).unwrap();
    let asked = said(&output);
    for words in [
        "one of: led",
        "write \"width\"",
        "one of: product, lid, cup",
        "Added measure:cup-width",
    ] {
        assert!(asked.contains(words), "{words}: {asked}");
    }
    let dossier = fs::read_to_string(&text).unwrap();
    assert!(
        dossier.contains("between = [\"lid-mass\", \"cup-mass\"]"),
        "{dossier}"
    );
    assert!(
        dossier.contains("at = [[10.0, 10.0], [90.0, 10.0]]"),
        "{dossier}"
    );
    assert_eq!(code(&underlid(&["check", "mine"], at.path())), 0);
}
