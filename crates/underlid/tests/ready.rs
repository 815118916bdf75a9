//! What is missing before publishing is listed, and nothing once it is there.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::fs;
use std::path::Path;
use support::{code, demo, said, underlid};
use tempfile::TempDir;

const SMALL: &str = r#"format = 1

[product]
name = "Nivalet 3"
maker = "Ondrelkamp"
opened = 2026-10-05

[[items]]
id = "product"
name = "Nivalet 3"
kind = "product"
"#;

fn ready(text: &str) -> (i32, String) {
    let at = TempDir::new().unwrap();
    fs::create_dir(at.path().join("photos")).unwrap();
    let picture = "../../demo/lamp/photos/box.jpg";
    let picture = Path::new(env!("CARGO_MANIFEST_DIR")).join(picture);
    fs::copy(picture, at.path().join("photos/box.jpg")).unwrap();
    fs::write(at.path().join("dossier.toml"), text).unwrap();
    let out = underlid(&["ready"], at.path());
    (code(&out), said(&out))
}

fn full(identifier: &str, region: &str) -> String {
    SMALL.replace(
        "opened",
        &format!(
            "disclosure = {{ paid-by = \"the analyst\", sample-from = \"a shop\", photographs-by = \"the analyst\" }}\n\
             identifiers = [{identifier}]\nopened"
        ),
    ) + &format!(
        "\n[[photos]]\nid = \"box\"\nfile = \"box.jpg\"\ncaption = \"Box from the front\"\nhero = true\n\
         regions = [{{ id = \"number\", rect = [10, 10, 200, 40] }}{region}]\n"
    )
}

#[test]
fn everything_missing_is_listed_at_once() {
    let (code, text) = ready(SMALL);
    assert_eq!(code, 1, "{text}");
    for words in ["who paid:", "sample:", "hero:", "3 things are missing."] {
        assert!(text.contains(words), "{words}: {text}");
    }
}

#[test]
fn a_dossier_with_all_of_it_is_ready() {
    let (code, text) = ready(&full("", ""));
    assert_eq!(code, 0, "{text}");
    assert!(text.contains("Ready to publish."));
    assert!(text.contains("Paid by: the analyst."));
    assert!(text.contains("One sample was opened"));
}

#[test]
fn a_caption_that_says_nothing_is_no_alternative_text() {
    let (code, text) = ready(&full("", "").replace("Box from the front", "box.jpg"));
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("alternative text:"), "{text}");
}

#[test]
fn a_serial_number_needs_its_mask() {
    let number = |private: &str| {
        format!(
            "{{ kind = \"serial number\", text = \"A1-00417\"{private}, evidence = [\"photo:box#number\"] }}"
        )
    };
    let (code, text) = ready(&full(&number(""), ""));
    assert_eq!(code, 1, "{text}");
    assert!(
        text.contains("The serial number is told in full."),
        "{text}"
    );

    let private = number(", private = true");
    let (code, text) = ready(&full(&private, ""));
    assert_eq!(code, 1, "{text}");
    assert!(
        text.contains("“Box from the front” shows the private serial number"),
        "{text}"
    );

    let elsewhere = ", { id = \"mask\", rect = [400, 300, 20, 20], private = true }";
    assert_eq!(ready(&full(&private, elsewhere)).0, 1);
    let over = ", { id = \"mask\", rect = [5, 5, 220, 60], private = true }";
    let (code, text) = ready(&full(&private, over));
    assert_eq!(code, 0, "{text}");
}

#[test]
fn the_demonstration_is_ready_and_says_what_stays_open() {
    let at = TempDir::new().unwrap();
    demo(at.path(), &[]);
    let out = underlid(&["ready", "lamp", "--format", "json"], at.path());
    assert_eq!(code(&out), 0, "{}", said(&out));
    let json: serde_json::Value = serde_json::from_str(&said(&out)).unwrap();
    assert_eq!(json["missing"], serde_json::json!([]));
    let steps = |list: &str| -> Vec<String> {
        let tasks = json[list].as_array().unwrap().iter();
        tasks
            .map(|task| task["before"].as_str().unwrap().to_string())
            .collect()
    };
    // The one step of the demonstration that is not done, and the steps that are.
    let pending = steps("pending");
    assert!(
        pending.len() >= 2 && pending.iter().all(|step| step == "steps.cut-lens"),
        "{pending:?}"
    );
    let late = steps("too-late");
    assert!(
        !late.is_empty() && !late.contains(&"steps.cut-lens".to_string()),
        "{late:?}"
    );
    let text = said(&underlid(&["ready", "lamp"], at.path()));
    for words in [
        "still to be had before a planned step:\n- ",
        "no longer to be had on this sample:\n- ",
        "; before step cut-lens\n",
        " has ended it\n",
        "Ready to publish.",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
}
