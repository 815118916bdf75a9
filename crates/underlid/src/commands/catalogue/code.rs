//! `underlid catalogue code`: top-marking codes of one part into a catalogue.

use crate::arguments::{CodeArguments, Format};
use crate::failure::Failure;
use crate::screen::{self, shown};
use app::catalogues::{self, CodeOptions};
use catalogue::TopCode;

pub(super) fn run(arguments: CodeArguments, format: Format) -> Result<(), Failure> {
    let coded = catalogues::code(&CodeOptions {
        into: arguments.file.clone(),
        part: arguments.part,
        maker: arguments.maker.unwrap_or_default(),
        codes: arguments.codes,
        package: arguments.package.unwrap_or_default(),
        known_from: arguments.known_from.unwrap_or_default(),
    })?;
    if format == Format::Json {
        let codes: Vec<String> = coded.part.codes.iter().map(ToString::to_string).collect();
        let others: Vec<String> = coded.others.iter().map(|(_, part)| part.clone()).collect();
        let answer = serde_json::json!({
            "file": arguments.file, "part": coded.part.name, "codes": codes, "new": coded.new,
            "changed": coded.changed, "near": coded.near, "also-on": others,
        });
        return screen::print_json(&answer);
    }
    let name = &coded.part.name;
    let state = match (coded.new, coded.changed) {
        (true, _) => "is new, and",
        (false, true) => "now",
        (false, false) => "already",
    };
    let codes: Vec<String> = coded.part.codes.iter().map(on).collect();
    let mut text = format!(
        "{}: {name} {state} carries {}\n",
        shown(&arguments.file),
        codes.join(", ")
    );
    if let Some(near) = coded.near {
        text +=
            &format!("  the catalogue also knows {near}; if that is the part, correct the name\n");
    }
    for (code, other) in coded.others {
        text += &format!("  {} is also on {other}; both will be offered\n", on(&code));
    }
    screen::print(&text)
}

fn on(code: &TopCode) -> String {
    match code.package.as_str() {
        "" => code.text.clone(),
        package => format!("{} on {package}", code.text),
    }
}
