//! Which tools count as basic, by their names.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use record::{Step, ToolClass};
use repair::tools::class;
use serde_json::json;

fn of(tool: Option<&str>) -> ToolClass {
    let mut step = json!({"id": "a", "action": "pry", "text": "A.", "undo": "yes"});
    if let Some(tool) = tool {
        step["tool"] = json!(tool);
    }
    class(&serde_json::from_value::<Step>(step).unwrap())
}

/// Source: the list of definition 50 of Regulation (EU) 2023/1670, as quoted in a public discussion.
#[test]
fn basic_tools_by_name() {
    for tool in [
        "PH00 driver",
        "T5 screwdriver",
        "slotted screwdriver",
        "plastic spudger",
        "opening pick",
        "Tweezers",
    ] {
        assert_eq!(of(Some(tool)), ToolClass::Basic, "{tool}");
    }
}

/// Heat, suction and recesses that are not in the list are not basic; what they are instead, a name does not say.
#[test]
fn other_tools_are_not_guessed() {
    for tool in [
        "hot plate",
        "suction cup",
        "five-lobe driver",
        "driver",
        "soldering iron",
        "ice pick axe",
        "tri-wing driver",
    ] {
        assert_eq!(of(Some(tool)), ToolClass::Unknown, "{tool}");
    }
    assert_eq!(of(None), ToolClass::None);
}
