//! `underlid schema`: the JSON Schema of a format.

use crate::arguments::{Format, SchemaOf};
use crate::failure::Failure;
use crate::screen;

pub(crate) fn run(of: SchemaOf) -> Result<(), Failure> {
    let schema = match of {
        SchemaOf::Dossier => record::schema(),
        SchemaOf::Findings => report::findings_schema(),
    };
    screen::print_as(Format::Json, &format!("{schema:#}"))
}
