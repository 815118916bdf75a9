//! Words as they are said at a bench, written for this test after the reader (common practice).

use super::*;
use crate::{AnyFile, read_text};

const LAMP: &str = r#"
[[items]]
id = "lamp"
name = "Lamp"
kind = "assembly"
parent = "product"

[[items]]
id = "front"
name = "Front ring with lens"
kind = "assembly"
parent = "lamp"

[[items]]
id = "ring"
name = "Front ring"
kind = "shell"
parent = "front"

[[items]]
id = "lens"
name = "Diffusing lens"
kind = "shell"
parent = "front"

[[items]]
id = "seal"
name = "Glue bead of the front ring"
kind = "adhesive"
parent = "lamp"

[[items]]
id = "cell"
name = "Pouch cell"
kind = "cell"
parent = "lamp"

[[items]]
id = "main"
name = "Main board"
kind = "board"
parent = "lamp"

[[items]]
id = "screws"
name = "Screws of the main board"
kind = "fastener"
parent = "main"

[[items]]
id = "plug"
name = "Cell connector"
kind = "connector"
designator = "J3"
parent = "main"

[[items]]
id = "cradle"
name = "Cradle"
kind = "assembly"
parent = "product"

[[items]]
id = "base"
name = "Base shell"
kind = "shell"
parent = "cradle"

[[steps]]
id = "old"
action = "pry"
text = "Pry the base shell off."
on = "base"
tool = "opening pick"
frees = ["base"]
undo = "yes"

[[steps]]
id = "plan"
action = "cut"
text = "Saw the lens out of the front ring."
on = "front"
frees = ["lens"]
destroys = ["ring"]
undo = "no"
done = false
"#;

fn lamp() -> Dossier {
    let facts = json!({"name": "Vellit 2", "maker": "Quenmora"});
    let text = crate::starter_of(facts.as_object().expect("an object")).expect("facts fit");
    read_text(&format!("{text}{LAMP}"), "dossier.toml", &AnyFile).expect("it reads")
}

fn new_step(text: &str) -> StepProposal {
    let mut read = read_step(text, &lamp());
    read.pop().expect("there are words")
}

#[test]
fn words_become_the_keys_of_a_step() {
    let cases = [
        (
            "pry front ring",
            json!({"id": "pry-front-ring", "action": "pry", "text": "Pry front ring.", "on": "front",
                "tool": "opening pick", "frees": ["front"], "undo": "with-new-material", "hazards": ["lithium-cell"]}),
        ),
        (
            "Warm the front ring with a hot plate at 70 °C",
            json!({"id": "warm-the-front-ring-with", "action": "heat",
                "text": "Warm the front ring with a hot plate at 70 °C.", "on": "front", "tool": "a hot plate",
                "temperature": "70 °C", "undo": "yes", "hazards": ["lithium-cell", "heat"]}),
        ),
        (
            "unplug j3",
            json!({"id": "unplug-j3", "action": "unplug", "text": "Unplug j3.", "on": "plug", "undo": "yes"}),
        ),
        (
            "undo the screws of the main board with PH00",
            json!({"id": "undo-the-screws-of-the", "action": "unscrew",
                "text": "Undo the screws of the main board with PH00.", "on": "screws", "tool": "PH00",
                "fasteners": ["screws"], "frees": ["screws"], "undo": "yes"}),
        ),
        (
            "lifting the main board",
            json!({"id": "lifting-the-main-board", "action": "lift", "text": "Lifting the main board.", "on": "main",
                "frees": ["main"], "undo": "with-new-material"}),
        ),
        (
            "soak glue bead with alcohol",
            json!({"id": "soak-glue-bead-with", "action": "dissolve", "text": "Soak glue bead with alcohol.",
                "on": "seal", "tool": "alcohol", "frees": ["seal"], "undo": "with-new-material",
                "hazards": ["lithium-cell", "solvent"]}),
        ),
        (
            "look closely",
            json!({"id": "look-closely", "action": "other", "text": "Look closely.", "undo": "unknown",
                "hazards": ["lithium-cell"]}),
        ),
    ];
    for (text, wanted) in cases {
        let found = Json::Object(new_step(text).entry);
        assert_eq!(found, wanted, "{text}");
    }
}

#[test]
fn a_step_is_one_the_record_takes() {
    let schema = crate::forms();
    let form = schema
        .iter()
        .find(|form| form.word == "step" && form.of.is_none());
    for text in [
        "pry front ring",
        "x",
        "Ünd ß 70 °C",
        "cut with at to",
        "heat at 300 K with",
    ] {
        for proposal in read_step(text, &lamp()) {
            let lacking = form.map(|form| form.lacking(&proposal.entry).len());
            assert_eq!(lacking, Some(0), "{text}");
            let step: Result<Step, _> = serde_json::from_value(Json::Object(proposal.entry));
            assert!(step.is_ok(), "{text}: {step:?}");
        }
    }
}

#[test]
fn the_tool_of_the_step_before_is_said_to_be_so() {
    let read = new_step("pry front ring");
    assert_eq!(
        read.says,
        [
            "pry",
            "Front ring with lens",
            "opening pick, as before",
            "goes back with new material"
        ]
    );
    let read = new_step("pry front ring using pick");
    assert_eq!(read.entry["tool"], "opening pick");
}

#[test]
fn a_planned_step_is_offered_before_a_new_one() {
    let read = read_step("saw lens", &lamp());
    assert_eq!(read[0].planned.as_deref(), Some("plan"));
    assert_eq!(read[0].entry["destroys"], json!(["ring"]));
    assert_eq!(read[1].planned, None);
    assert_eq!(read[1].entry["on"], "lens");
    assert_eq!(read[1].entry["undo"], "no");
    assert_eq!(read[1].entry["hazards"], json!(["lithium-cell", "blade"]));
    assert_eq!(read_step("pry lens", &lamp())[0].planned, None);
}

#[test]
fn what_came_free_before_is_named_with_its_step() {
    let read = new_step("pull the base shell");
    assert_eq!(read.freed_in.as_deref(), Some("old"));
    assert_eq!(read.entry.get("frees"), None);
}

#[test]
fn other_things_that_may_be_meant_are_kept() {
    let read = new_step("pry ring");
    assert_eq!(read.entry["on"], "front");
    assert!(
        read.instead.contains(&"ring".to_string()),
        "{:?}",
        read.instead
    );
}

#[test]
fn forms_of_verbs_are_the_verb() {
    let cases = [
        ("prying", Action::Pry),
        ("pried", Action::Pry),
        ("cutting", Action::Cut),
        ("sawn", Action::Cut),
        ("heated", Action::Heat),
        ("sliding", Action::Pull),
        ("prizes", Action::Pry),
        ("sawdust", Action::Other),
        ("heath", Action::Other),
    ];
    for (word, action) in cases {
        assert_eq!(act::action(&[word]).0, action, "{word}");
    }
    assert!(read_step("  ", &lamp()).is_empty());
}

/// A temperature behind the tool is no part of it, and both keep their letters.
#[test]
fn tool_and_temperature_are_told_apart() {
    for text in [
        "warm front ring with Heat gun 90 °C",
        "warm front ring with Heat gun at 90 °C",
        "warm front ring 90 °C with Heat gun",
        "warm front ring with Heat gun 90 °c.",
    ] {
        let step = new_step(text);
        assert_eq!(step.entry["tool"], "Heat gun", "{text}");
        assert_eq!(step.entry["temperature"], "90 °C", "{text}");
        assert_eq!(step.entry["on"], "front", "{text}");
    }
}

/// A cell is meant by "cell", free or not, before what protects or connects it.
#[test]
fn the_word_for_the_sort_of_thing_wins() {
    let mut dossier = lamp();
    let guard =
        r#"{"id": "guard", "name": "Lamp cell protector U3", "kind": "part", "parent": "lamp"}"#;
    dossier
        .items
        .insert(0, serde_json::from_str(guard).expect("an item"));
    let on = |text: &str, dossier: &Dossier| {
        read_step(text, dossier).pop().expect("words").entry["on"].clone()
    };
    assert_eq!(on("lift the cell", &dossier), "cell");
    assert_eq!(on("lift the protector", &dossier), "guard");
    dossier.steps[0].frees.push("cell".to_string());
    assert_eq!(on("lift the cell", &dossier), "cell");
}
