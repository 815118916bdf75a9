//! `underlid add`: an entry, checked before it is written.

use crate::arguments::{AddArguments, Format};
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use crate::{ask, folder};
use app::{Addition, Fault, Kind, Problem, Unwatched};
use record::{Dossier, Form, visible};
use serde_json::{Map, Value as Json, json};
use std::path::Path;

pub(crate) fn run(arguments: AddArguments, format: Format) -> Result<(), Failure> {
    let folder = folder::of(arguments.folder)?;
    let form = arguments.form;
    let mut faults = Vec::new();
    let mut entry: Map<String, Json> = Map::new();
    for (path, words) in &arguments.given {
        let Some(field) = form.field(path) else {
            continue;
        };
        match field.value(words) {
            Ok(value) => Form::put(&mut entry, path, value),
            Err(unfit) => faults.push(Fault {
                field: Some(field.flag.clone()),
                message: unfit.message,
                remedy: unfit.remedy,
            }),
        }
    }
    let mut addition = Addition {
        word: form.word.to_string(),
        of: arguments.of,
        entry,
        file: arguments.file,
    };
    if screen::can_ask() {
        asked(&folder, &form, &mut addition, &faults)?;
    } else {
        let dossier = app::open(&folder, &Unwatched).ok();
        let mut missing = lacking(&form, &addition, dossier.as_ref());
        missing.retain(|lack| faults.iter().all(|fault| fault.field != lack.field));
        faults.extend(missing);
        ask::refuse(faults)?;
    }
    let added = loop {
        match app::add(&folder, &addition, &Terminal) {
            Ok(added) => break added,
            Err(problem) => again(&form, &mut addition, problem)?,
        }
    };
    told(&folder, &added, format)
}

/// What is still missing, the file of a photo or log and the entry that another stands in included.
fn lacking(form: &Form, addition: &Addition, dossier: Option<&Dossier>) -> Vec<Fault> {
    let mut entry = addition.entry.clone();
    let mut faults = Vec::new();
    if let Some(into) = form.file_folder() {
        let is_named = addition.file.is_some() || entry.contains_key("file");
        if !is_named {
            faults.push(Fault {
                field: None,
                message: format!("the file for {into}/ is missing"),
                remedy: format!("name it: underlid add {} FILE", form.word),
            });
        }
        entry.insert("file".to_string(), "".into());
    }
    if let (Some(outer), None) = (form.of, &addition.of) {
        faults.push(Fault {
            field: Some(outer.to_string()),
            message: format!("is missing: the {outer} that the {} stands in", form.word),
            remedy: format!("--{outer} ID"),
        });
    }
    faults.extend(ask::lacks(form, &entry, dossier));
    faults
}

/// Asks for what is missing, and again for what was given and cannot be taken.
fn asked(
    folder: &Path,
    form: &Form,
    addition: &mut Addition,
    faults: &[Fault],
) -> Result<(), Failure> {
    // Only to say what can be named; a dossier with mistakes is told when the entry is added.
    let dossier = app::open(folder, &Unwatched).ok();
    let mut ask = screen::ask;
    if let Some(into) = form.file_folder()
        && addition.file.is_none()
        && !addition.entry.contains_key("file")
    {
        let mut question = format!("file: the file, which is copied into {into}/\n> ");
        while let Some(file) = ask(&question)? {
            if !file.is_empty() {
                addition.file = Some(file.into());
                break;
            }
            question = "a file is needed, such as ../board.jpg; Ctrl-D to stop\n> ".to_string();
        }
        if addition.file.is_none() {
            return ask::refuse(lacking(form, addition, dossier.as_ref()));
        }
    }
    if let (Some(outer), None) = (form.of, &addition.of) {
        let question = format!("{outer}: the {outer} that the {} stands in\n> ", form.word);
        addition.of = ask(&question)?.filter(|id| !id.is_empty());
    }
    for fault in faults {
        screen::tell(&format!("{}: {}", fault.message, fault.remedy));
        if let Some(field) = &fault.field {
            ask::value(form, field, &mut addition.entry, dossier.as_ref(), &mut ask)?;
        }
    }
    let mut entry = addition.entry.clone();
    let copied = addition.file.is_some() && !entry.contains_key("file");
    if copied {
        entry.insert("file".to_string(), "".into());
    }
    let done = ask::complete(form, &mut entry, dossier.as_ref(), &mut ask)?;
    if copied {
        entry.remove("file");
    }
    addition.entry = entry;
    if done {
        Ok(())
    } else {
        ask::refuse(lacking(form, addition, dossier.as_ref()))
    }
}

/// After a refusal: asks for the values at fault again where somebody can be asked; the refusal stands otherwise.
fn again(form: &Form, addition: &mut Addition, problem: Problem) -> Result<(), Failure> {
    let Kind::Unfit(faults) = &problem.kind else {
        return Err(problem.into());
    };
    let fields: Vec<&str> = faults.iter().filter_map(|f| f.field.as_deref()).collect();
    if !screen::can_ask() || fields.is_empty() || fields.iter().any(|f| form.field(f).is_none()) {
        return Err(problem.into());
    }
    for fault in faults {
        screen::tell(&format!("{}: {}", fault.message, fault.remedy));
        let field = fault.field.as_deref().unwrap_or_default();
        if !ask::value(form, field, &mut addition.entry, None, &mut screen::ask)? {
            return Err(problem.into());
        }
    }
    Ok(())
}

fn told(folder: &Path, added: &app::Added, format: Format) -> Result<(), Failure> {
    let dossier = app::open(folder, &Unwatched)?;
    let is_about = |w: &app::Warning| {
        let mut places = std::iter::once(&w.at).chain(&w.against);
        places.any(|spot| spot.place.is_within(&added.at) || added.at == spot.place)
    };
    let mut warnings = app::warnings(folder, &dossier)?;
    warnings.retain(is_about);
    match format {
        Format::Json => {
            let told: Vec<Json> = warnings.iter().map(super::check::warning_json).collect();
            let answer = json!({ "added": added.at, "file": added.file, "warnings": told });
            screen::print_json(&answer)
        }
        Format::Text => {
            let mut text = format!(
                "Added {} to {}.\n",
                visible(&added.at.to_string()),
                shown(folder.join(store::TEXT))
            );
            if let Some(file) = &added.file {
                text += &format!("The file is {} there, as it came.\n", visible(file));
            }
            for warning in &warnings {
                text += &super::check::warning_text(warning);
            }
            screen::print(&text)
        }
    }
}
