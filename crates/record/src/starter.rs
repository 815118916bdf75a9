//! The text a new dossier starts from.

use crate::{Draft, EditError, Place};
use serde_json::{Map, Value as Json};

/// Returns a commented starting dossier that checks clean without photographs and shows every table
/// at least as an example.
pub fn starter() -> String {
    include_str!("starter.toml").to_string()
}

/// Where the facts of the product end.
const LISTS: &str = "\n# [[product.identifiers]]";

/// Returns the starting dossier with these facts of the product in place of its examples.
///
/// # Errors
/// Keys that a product does not have; values of another form.
pub fn starter_of(product: &Map<String, Json>) -> Result<String, EditError> {
    let text = starter();
    let (head, rest) = text
        .split_once(LISTS)
        .expect("the starting text shows the lists of the product");
    let mut head = head.to_string();
    for key in product.keys() {
        // The example gives way to the fact.
        head = head.replacen(&format!("\n# {key} = "), &format!("\n{key} = "), 1);
    }
    let text = format!("{head}{LISTS}{rest}");
    let mut draft = Draft::parse(&text, "dossier.toml")
        .expect("the starting text is TOML with each example by itself");
    for (key, value) in product {
        draft.set(&Place::product().at_key(key), value.clone())?;
    }
    if let Some(name) = product.get("name") {
        draft.set(&Place::item("product").at("name"), name.clone())?;
    }
    Ok(draft.text())
}
