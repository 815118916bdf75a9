//! `underlid new`: a commented starting dossier, with the facts of the product where they are given.

use crate::arguments::{Format, NewArguments};
use crate::ask;
use crate::failure::Failure;
use crate::screen::{self, shown};
use app::{Fault, Kind, Problem};
use record::{Form, product_form};
use serde_json::{Map, Value as Json};

pub(crate) fn run(arguments: &NewArguments, format: Format) -> Result<(), Failure> {
    let form = product_form();
    let mut product: Map<String, Json> = Map::new();
    let mut faults = Vec::new();
    for (path, word) in arguments.given() {
        let Some(field) = form.field(path) else {
            continue;
        };
        match field.value(&[word.to_string()]) {
            Ok(value) => Form::put(&mut product, path, value),
            Err(unfit) => faults.push(Fault {
                field: Some(path.split('.').next().unwrap_or(path).to_string()),
                message: unfit.message,
                remedy: unfit.remedy,
            }),
        }
    }
    let is_asked = screen::can_ask() && faults.is_empty();
    if is_asked {
        ask::complete(&form, &mut product, None, &mut screen::ask)?;
    }
    // Without any fact it is the commented example, to be filled in by an editor.
    if !product.is_empty() || is_asked {
        let mut missing = ask::lacks(&form, &product, None);
        missing.retain(|lack| faults.iter().all(|fault| fault.field != lack.field));
        faults.extend(missing);
    }
    ask::refuse(faults)?;
    app::new_of(&arguments.folder, &product).map_err(by_option)?;
    let at = shown(&arguments.folder);
    if format == Format::Json {
        let answer = serde_json::json!({ "folder": arguments.folder });
        return screen::print_json(&answer);
    }
    screen::print(&format!(
        "Wrote {at}/dossier.toml with room for photos/, logs/, recordings/ and captions/.\n\
         Weigh and photograph the product before you open it. Then add what you see, by an editor or by\n  \
         underlid add claim --in {at}\n\
         and look it over with\n  \
         underlid check {at}"
    ))
}

/// Calls the price by its option.
fn by_option(mut problem: Problem) -> Problem {
    if let Kind::Unfit(faults) = &mut problem.kind {
        for fault in faults
            .iter_mut()
            .filter(|f| f.field.as_deref() == Some("paid"))
        {
            fault.field = Some("price".to_string());
        }
    }
    problem
}
