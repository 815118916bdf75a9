//! Words that people use for those of the format.
//!
//! In: a word that is not known, and those that are. Out: the known ones that are likely meant, and how to say so.
//! Only words are told, never facts. Origin of the tables: common practice of the trade, from memory.

use crate::check::nearest;

/// Words of closed lists: what is said, and what the format calls it.
const WORDS: &[(&str, &[&str])] = &[
    ("weight", &["mass"]),
    ("weigh", &["mass", "weigh"]),
    ("size", &["dimension", "length"]),
    ("dimensions", &["dimension"]),
    ("depth", &["thickness"]),
    ("breadth", &["width"]),
    ("battery life", &["run-time"]),
    ("runtime", &["run-time"]),
    ("playtime", &["run-time"]),
    ("play time", &["run-time"]),
    ("charge time", &["charging-time"]),
    ("fast charge", &["quick-charge"]),
    ("fast charging", &["quick-charge"]),
    ("brightness", &["luminous-flux"]),
    ("lumens", &["luminous-flux"]),
    ("light", &["luminous-flux", "transducer"]),
    ("field of view", &["view-angle"]),
    ("fov", &["view-angle"]),
    ("latency", &["delay"]),
    ("anc", &["noise-reduction"]),
    ("waterproof", &["ingress"]),
    ("ip", &["ingress"]),
    ("water resistance", &["ingress"]),
    ("wireless", &["radio"]),
    ("bluetooth", &["radio"]),
    ("wifi", &["radio"]),
    ("port", &["connector", "interface"]),
    ("feature", &["function"]),
    ("marketing", &["slogan"]),
    ("amp", &["current"]),
    ("amperes", &["current"]),
    ("volt", &["voltage"]),
    ("volts", &["voltage"]),
    ("watt", &["power"]),
    ("watts", &["power"]),
    ("ohms", &["resistance"]),
    ("temp", &["temperature"]),
    ("ic", &["part"]),
    ("chip", &["part"]),
    ("component", &["part"]),
    ("soc", &["part"]),
    ("mcu", &["part"]),
    ("processor", &["part"]),
    ("memory", &["part"]),
    ("resistor", &["part"]),
    ("capacitor", &["part"]),
    ("transistor", &["part"]),
    ("module", &["assembly", "part"]),
    ("camera", &["sensor", "assembly"]),
    ("display", &["assembly", "part"]),
    ("screen", &["assembly", "part"]),
    ("pcb", &["board"]),
    ("pcba", &["board"]),
    ("mainboard", &["board"]),
    ("motherboard", &["board"]),
    ("circuit board", &["board"]),
    ("fpc", &["flex"]),
    ("ribbon", &["flex", "cable"]),
    ("battery", &["cell"]),
    ("accumulator", &["cell"]),
    ("inductor", &["coil", "part"]),
    ("speaker", &["transducer"]),
    ("loudspeaker", &["transducer"]),
    ("microphone", &["transducer"]),
    ("mic", &["transducer"]),
    ("motor", &["transducer"]),
    ("buzzer", &["transducer"]),
    ("led", &["transducer", "part"]),
    ("screw", &["fastener"]),
    ("bolt", &["screw", "fastener"]),
    ("prise", &["pry"]),
    ("slide", &["pull", "lift"]),
    ("rip", &["peel", "pull"]),
    ("clip", &["fastener"]),
    ("rivet", &["fastener"]),
    ("latch", &["clip", "fastener"]),
    ("snap fit", &["clip"]),
    ("glue", &["adhesive"]),
    ("tape", &["adhesive"]),
    ("foam", &["tape", "adhesive"]),
    ("housing", &["shell"]),
    ("enclosure", &["shell"]),
    ("case", &["shell"]),
    ("casing", &["shell"]),
    ("cover", &["shell"]),
    ("lid", &["shell"]),
    ("gasket", &["other", "adhesive"]),
    ("seal", &["other", "adhesive"]),
    ("wire", &["cable"]),
    ("wires", &["cable"]),
    ("socket", &["connector"]),
    ("jack", &["connector"]),
    ("plug", &["connector"]),
    ("device", &["product"]),
    ("unit", &["product"]),
    ("sub-assembly", &["assembly"]),
    ("subassembly", &["assembly"]),
    ("coin", &["button"]),
    ("coin cell", &["button"]),
    ("cylinder", &["cylindrical"]),
    ("round", &["cylindrical"]),
    ("lipo", &["pouch"]),
    ("open", &["pry", "unclip", "lift"]),
    ("remove", &["lift", "pull", "unclip"]),
    ("take out", &["lift", "pull"]),
    ("disconnect", &["unplug"]),
    ("desolder", &["unsolder"]),
    ("warm", &["heat"]),
    ("lever", &["pry"]),
    ("unglue", &["peel", "dissolve"]),
    ("reversible", &["yes"]),
    ("irreversible", &["no"]),
    ("true", &["yes"]),
    ("false", &["no"]),
    ("battery hazard", &["lithium-cell"]),
    ("lithium", &["lithium-cell"]),
    ("sharp", &["blade"]),
    ("knife", &["blade"]),
    ("hot", &["heat"]),
    ("burn", &["heat"]),
    ("capacitor charge", &["charged-capacitor"]),
    ("high voltage", &["mains", "charged-capacitor"]),
    ("glass", &["glass-splinters"]),
    ("datasheet", &["data-sheet"]),
    ("guess", &["assumed", "estimated"]),
    ("guessed", &["assumed", "estimated"]),
    ("supply", &["power"]),
    ("data", &["signal"]),
    ("good", &["sound"]),
    ("ok", &["sound"]),
    ("ldo", &["linear-regulator"]),
    ("buck", &["switched-regulator"]),
    ("boost", &["switched-regulator"]),
    ("dc-dc", &["switched-regulator"]),
];

/// Sorts of entries: what is said, and what is added.
const ENTRIES: &[(&str, &[&str])] = &[
    ("measurement", &["reading"]),
    ("weight", &["reading"]),
    ("mass", &["reading"]),
    ("picture", &["photo"]),
    ("image", &["photo"]),
    ("photograph", &["photo"]),
    ("part", &["item"]),
    ("chip", &["item"]),
    ("component", &["item"]),
    ("board", &["item"]),
    ("cell", &["item"]),
    ("battery", &["item"]),
    ("screw", &["item"]),
    ("statement", &["claim"]),
    ("print", &["claim", "label"]),
    ("serial", &["identifier"]),
    ("tool", &["instrument"]),
    ("scale", &["instrument", "reference"]),
    ("meter", &["instrument"]),
    ("current", &["load", "reading"]),
    ("rail", &["link"]),
    ("net", &["link"]),
    ("connection", &["link"]),
    ("crop", &["region"]),
    ("area", &["region"]),
    ("action", &["step"]),
    ("act", &["step"]),
];

/// Keys: what is said, and what the format calls it in one table or another.
const KEYS: &[(&str, &[&str])] = &[
    ("title", &["name", "caption"]),
    ("label", &["name", "designator"]),
    ("brand", &["maker"]),
    ("manufacturer", &["maker"]),
    ("vendor", &["maker", "seller"]),
    ("shop", &["seller"]),
    ("type", &["kind", "what"]),
    ("category", &["kind"]),
    ("subject", &["what"]),
    ("quantity", &["count", "pieces", "value"]),
    ("qty", &["count", "pieces"]),
    ("amount", &["count", "pieces", "paid"]),
    ("number", &["count", "pieces"]),
    ("description", &["text", "caption", "name", "note"]),
    ("comment", &["note"]),
    ("notes", &["note"]),
    ("remark", &["note"]),
    ("in", &["parent"]),
    ("inside", &["parent"]),
    ("on", &["parent"]),
    ("location", &["printed", "place"]),
    ("where", &["printed", "place"]),
    ("source", &["printed", "evidence", "origin"]),
    ("quote", &["text"]),
    ("statement", &["text"]),
    ("reference", &["designator"]),
    ("refdes", &["designator"]),
    ("cost", &["price", "paid"]),
    ("purchased", &["bought"]),
    ("teardown-date", &["opened"]),
    ("author", &["analyst"]),
    ("filename", &["file"]),
    ("path", &["file"]),
    ("image", &["file"]),
    ("photo", &["evidence"]),
    ("picture", &["evidence"]),
    ("proof", &["evidence"]),
    ("box", &["rect"]),
    ("rectangle", &["rect"]),
    ("measurement", &["value"]),
    ("result", &["value"]),
    ("scale", &["instrument"]),
    ("device", &["instrument"]),
    ("tools", &["tool"]),
    ("time", &["duration"]),
    ("temp", &["temperature"]),
    ("hazard", &["hazards"]),
    ("screws", &["fasteners"]),
    ("reversible", &["undo"]),
    ("removes", &["frees"]),
    ("releases", &["frees"]),
    ("markings", &["marking"]),
    ("top-mark", &["marking"]),
    ("footprint", &["package"]),
    ("serial", &["identifiers"]),
    ("voltage", &["nominal-voltage"]),
    ("max-voltage", &["limit-voltage"]),
    ("function", &["role"]),
    ("purpose", &["role"]),
];

/// Keys that are none because what they say is recorded elsewhere: the table, the key, where it goes.
const ELSEWHERE: &[(&str, &[&str], &str)] = &[
    (
        "items",
        &["mass", "weight"],
        "a mass is a reading: add one under [[readings]] with item = \"…\", what = \"mass\" and value = \"…\", \
         written like \"83.4 g\"",
    ),
    (
        "items",
        &[
            "length",
            "width",
            "height",
            "thickness",
            "diameter",
            "dimensions",
        ],
        "sizes stand together: size = { length = \"…\", width = \"…\" }, written like \"42.1 mm\"",
    ),
    (
        "product",
        &["mass", "weight"],
        "a mass is a reading of the item of kind product: add one under [[readings]]",
    ),
];

/// Returns what to write in place of `found`, where it is a slip of one of the words or says the same as one.
pub(crate) fn word_meant(found: &str, known: &[&'static str]) -> Option<String> {
    meant(found, known, WORDS).map(|words| quoted(&words))
}

/// Returns what to do about a key that the table does not have, where it is a slip of one that it has, says the same
/// as one, or is recorded elsewhere.
pub(crate) fn key_meant(table: &str, found: &str, known: &[&str]) -> Option<String> {
    let plain = plain(found);
    let elsewhere = ELSEWHERE
        .iter()
        .find(|(at, keys, _)| *at == table && keys.contains(&plain.as_str()));
    if let Some((_, _, where_to)) = elsewhere {
        return Some((*where_to).to_string());
    }
    let words = meant(found, known, KEYS)?;
    Some(format!("write {}", words.join(" or ")))
}

/// Returns which sort of entry is meant by a word that is none.
pub fn entry_meant(found: &str) -> Option<String> {
    let forms = crate::forms();
    let known: Vec<&str> = forms.iter().map(|form| form.word).collect();
    meant(found, &known, ENTRIES).map(|words| words.join(" or "))
}

fn meant<'k>(found: &str, known: &[&'k str], table: &[(&str, &[&str])]) -> Option<Vec<&'k str>> {
    let plain = plain(found);
    // Written otherwise, but the word itself.
    if let Some(word) = known.iter().find(|word| self::plain(word) == plain) {
        return Some(vec![word]);
    }
    let of = |said: &str| -> Vec<&'k str> {
        let entry = table.iter().find(|(other, _)| self::plain(other) == said);
        let words = entry.map_or(&[][..], |(_, words)| *words);
        known
            .iter()
            .filter(|k| words.contains(k))
            .copied()
            .collect()
    };
    let singular = plain.strip_suffix('s').unwrap_or(&plain);
    for said in [plain.as_str(), singular] {
        let listed = of(said);
        if !listed.is_empty() {
            return Some(listed);
        }
    }
    // A slip of the pen, in one of the words or in what is said for one.
    let said = table.iter().map(|(said, _)| *said);
    let said = said.filter(|said| said.len() > 3 && !of(&self::plain(said)).is_empty());
    let near = nearest(found, known.iter().copied().chain(said))?;
    match known.iter().find(|word| **word == near) {
        Some(word) => Some(vec![word]),
        None => Some(of(&self::plain(near))),
    }
}

fn plain(word: &str) -> String {
    word.trim().to_lowercase().replace(['_', ' '], "-")
}

fn quoted(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    format!("write {}", quoted.join(" or "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::grammar::{ITEM_KINDS, READING_SUBJECTS};

    fn words(list: &[crate::grammar::Word]) -> Vec<&'static str> {
        list.iter().map(|w| w.word).collect()
    }

    #[test]
    fn what_the_trade_says_is_taken_for_the_word_of_the_format() {
        let kinds = words(ITEM_KINDS);
        for (said, told) in [
            ("ic", "write \"part\""),
            ("ICs", "write \"part\""),
            ("PCB", "write \"board\""),
            ("speaker", "write \"transducer\""),
            ("screws", "write \"fastener\""),
            ("housing", "write \"shell\""),
            ("battery", "write \"cell\""),
            ("camera", "write \"assembly\" or \"sensor\""),
            ("Board", "write \"board\""),
            ("conector", "write \"connector\""),
        ] {
            assert_eq!(word_meant(said, &kinds).as_deref(), Some(told), "{said}");
        }
        let subjects = words(READING_SUBJECTS);
        assert_eq!(
            word_meant("weight", &subjects).as_deref(),
            Some("write \"mass\"")
        );
        assert_eq!(
            word_meant("wieght", &subjects).as_deref(),
            Some("write \"mass\"")
        );
        assert_eq!(word_meant("colour of the box", &subjects), None);
        assert_eq!(entry_meant("measurement").as_deref(), Some("reading"));
        assert_eq!(entry_meant("claims").as_deref(), Some("claim"));
    }

    /// A word that the format has is never taken for another, and what is said to be meant is one of its words.
    #[test]
    fn every_word_meant_is_one_of_the_format() {
        let grammar = format!("{:?}", crate::grammar::ROOT);
        for (said, meant) in WORDS {
            for word in *meant {
                assert!(
                    grammar.contains(&format!("word: \"{word}\"")),
                    "{said} {word}"
                );
            }
        }
        for (said, meant) in KEYS {
            for key in *meant {
                assert!(
                    grammar.contains(&format!("name: \"{key}\"")),
                    "{said} {key}"
                );
            }
        }
    }
}
