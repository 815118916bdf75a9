//! `underlid catalogue import`: tables and symbol libraries of the user's into a catalogue.

use crate::arguments::{Format, ImportArguments};
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::catalogues::{self, Content, ImportOptions, Previewed};
use serde_json::{Value as Json, json};

pub(super) fn run(arguments: ImportArguments, format: Format) -> Result<(), Failure> {
    let options = ImportOptions {
        files: arguments.files,
        into: arguments.into,
        map: arguments.map,
    };
    if let Some(rows) = arguments.preview {
        let files = catalogues::preview(&options, rows)?;
        if format == Format::Json {
            let files: Vec<Json> = files.iter().map(|file| preview_json(file, rows)).collect();
            return screen::print_json(&json!({ "files": files }));
        }
        let mut text = String::new();
        for file in &files {
            preview(&mut text, file, rows);
        }
        return screen::print(&text);
    }
    let imported = catalogues::import(&options, &Terminal)?;
    if format == Format::Json {
        let answer = serde_json::json!({
            "into": imported.into, "parts": super::told_json(&imported.merged), "changed": imported.changed,
            "nothing-read": imported.nothing_read, "remarks": super::remarks_json(&imported.remarks),
        });
        screen::print_json(&answer)?;
        return match imported.nothing_read {
            true => Err(Failure::Answered),
            false => Ok(()),
        };
    }
    let mut text = if imported.nothing_read {
        "nothing that was named could be read\n".to_string()
    } else {
        String::new()
    };
    text += &format!(
        "{}: {}",
        shown(&imported.into),
        super::told(&imported.merged)
    );
    text += if imported.changed {
        "\n"
    } else {
        "; nothing to write\n"
    };
    text += &super::remarks(&imported.remarks);
    screen::print(&text)?;
    if imported.nothing_read {
        return Err(Failure::Answered);
    }
    Ok(())
}

/// Says for programs what would be read.
fn preview_json(file: &Previewed, most: usize) -> Json {
    let (mapping, rows) = match &file.content {
        Content::Library(library) => {
            let symbols = library.symbols.iter().take(most);
            let first: Vec<Json> = symbols
                .map(|s| json!({ "name": s.name, "description": s.description }))
                .collect();
            return json!({
                "file": file.path, "symbols": library.symbols.len(), "first": first,
                "remarks": super::remarks_json(&library.remarks),
            });
        }
        Content::Table { mapping, rows } => (mapping, rows),
    };
    let pairs = mapping.pairs().into_iter();
    let columns: Vec<Json> = pairs
        .map(|(column, heading)| json!({ "column": column, "heading": heading }))
        .collect();
    let row = |row: &catalogue::Preview| match &row.part {
        Ok(part) => {
            let codes: Vec<String> = part.codes.iter().map(ToString::to_string).collect();
            json!({
                "line": row.line, "name": part.name, "maker": part.maker, "role": part.role,
                "packages": part.packages, "codes": codes,
            })
        }
        Err(remarks) => json!({ "line": row.line, "remarks": super::remarks_json(remarks) }),
    };
    let rows: Vec<Json> = rows.iter().map(row).collect();
    json!({ "file": file.path, "columns": columns, "not-read": mapping.unused(), "first": rows })
}

/// Shows what would be read: the columns taken, and the first rows.
fn preview(text: &mut String, file: &Previewed, most: usize) {
    *text += &format!("{}\n", shown(&file.path));
    let (mapping, rows) = match &file.content {
        Content::Library(library) => {
            *text += &format!("  {} symbols\n", library.symbols.len());
            for symbol in library.symbols.iter().take(most) {
                *text += &format!("  {}: {}\n", symbol.name, symbol.description);
            }
            *text += &super::remarks(&library.remarks);
            return;
        }
        Content::Table { mapping, rows } => (mapping, rows),
    };
    for (column, heading) in mapping.pairs() {
        *text += &format!("  {column} is read from “{heading}”\n");
    }
    for heading in mapping.unused() {
        *text += &format!("  “{heading}” is not read; to read it: --map COLUMN=\"{heading}\"\n");
    }
    for row in rows {
        match &row.part {
            Ok(part) => {
                let codes: Vec<String> = part.codes.iter().map(ToString::to_string).collect();
                let known = [
                    &part.maker,
                    &part.role,
                    &part.packages.join(" | "),
                    &codes.join(" | "),
                ];
                let known: Vec<&str> = known
                    .into_iter()
                    .map(String::as_str)
                    .filter(|t| !t.is_empty())
                    .collect();
                *text += &format!("  line {}: {}  {}\n", row.line, part.name, known.join(", "));
            }
            Err(remarks) => {
                for remark in remarks {
                    *text += &format!("  refused: {remark}\n");
                }
            }
        }
    }
}
