//! `underlid set` and `underlid remove`: one value or entry of a dossier.

use crate::arguments::{Format, RemoveArguments, SetArguments};
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::Problem;
use record::{Place, PlaceError, key_meant_in, visible};
use std::path::Path;

pub(crate) fn run(arguments: SetArguments, format: Format) -> Result<(), Failure> {
    let folder = folder::of(arguments.folder)?;
    let at = place(&arguments.place)?;
    app::set(&folder, &at, &arguments.values, &Terminal)?;
    told(&folder, "set", &at, format)
}

pub(crate) fn remove(arguments: RemoveArguments, format: Format) -> Result<(), Failure> {
    let folder = folder::of(arguments.folder)?;
    let at = place(&arguments.place)?;
    app::remove(&folder, &at, &Terminal)?;
    told(&folder, "removed", &at, format)
}

fn place(text: &str) -> Result<Place, Problem> {
    text.parse::<Place>().map_err(|error| {
        let meant = match &error {
            PlaceError::UnknownKey { key, within, .. } => key_meant_in(within, key),
            PlaceError::Form { .. } => None,
        };
        let usual = "write the keys from the top, entries by their id: product.category, items.ID.part.marking";
        Problem::unfit(visible(&error.to_string()), meant.unwrap_or_else(|| usual.to_string()))
    })
}

fn told(folder: &Path, done: &str, at: &Place, format: Format) -> Result<(), Failure> {
    match format {
        Format::Json => {
            screen::print_as(format, &format!("{:#}\n", serde_json::json!({ done: at })))
        }
        Format::Text => screen::print(&format!(
            "{}: {} is {done}.\n",
            shown(folder.join(store::TEXT)),
            visible(&at.to_string())
        )),
    }
}
