//! Entries added to a dossier, values set, things removed: edits by the words of the format, for people.
//!
//! In: a folder; what to add, as data. Out: where it stands now. What would make the dossier wrong is refused, with
//! the field at fault, and nothing is written: no text, no photograph, no log, no recording.
//! Not here: asking for what is missing ([`record::Form::lacking`] tells it), options of a command.

use crate::{Fault, Kind, Problem, Watch, dossier, listen, photographs, shown};
use record::{
    Dossier, Draft, Edit, EditError, Form, Place, Position, RecordPlaces, field_at, forms, id_of,
    keys_at, product_form,
};
use serde_json::{Map, Value as Json};
use std::cell::RefCell;
use std::path::{Path, PathBuf};
use store::{OutputFile, limits, opener};

/// What to add.
#[derive(Debug, Clone, Default)]
pub struct Addition {
    /// The sort of entry, as [`record::forms`] calls it.
    pub word: String,
    /// The id of the entry that it goes into, for those that stand in another one.
    pub of: Option<String>,
    /// Its values, with the keys of the format. An id is made where none is given.
    pub entry: Map<String, Json>,
    /// For a photo, a log or a recording: the file, which is copied into `photos/`, `logs/` or `recordings/` as it is.
    pub file: Option<PathBuf>,
}

/// What was added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Added {
    /// Where it stands.
    pub at: Place,
    /// The file that was copied, as it is named inside the dossier's folder.
    pub file: Option<String>,
}

/// Adds an entry to a dossier.
///
/// # Errors
/// Values that do not fit ([`Kind::Unfit`]), mistakes that the dossier has already, a file that cannot be read.
pub fn add(folder: &Path, addition: &Addition, watch: &dyn Watch) -> Result<Added, Problem> {
    let form = form(&addition.word)?;
    let mut addition = addition.clone();
    let copied = match (addition.file.clone(), form.file_folder()) {
        (Some(path), Some(into)) => {
            Some(copied((folder, into), &path, &mut addition.entry, watch)?)
        }
        _ => None,
    };
    let at = RefCell::new(None);
    let change = |draft: &mut Draft, now: &Dossier| {
        let to = list(&form, addition.of.as_deref(), now)?;
        let entry = completed(&form, &addition, &to, now);
        let edit = Edit::Add {
            to,
            entry: Json::Object(entry),
            position: Position::Last,
        };
        let applied = draft.apply(&edit).map_err(unfit_id)?;
        *at.borrow_mut() = Some(applied.at.clone());
        Ok(applied.at)
    };
    let added = match &copied {
        Some(file) => dossier::edit_adding(folder, file, change, watch),
        None => dossier::edit(folder, change, watch),
    };
    let at = at.into_inner();
    let file = copied.map(|file| file.path);
    match (added, at) {
        (Ok(at), _) => Ok(Added { at, file }),
        (Err(problem), Some(at)) => Err(unfit(problem, &at, Some(&form))),
        (Err(problem), None) => Err(problem),
    }
}

/// Sets the value at a place, given in words as [`record::Field::value`] reads them.
///
/// # Errors
/// A place that holds no single value; values that do not fit.
pub fn set(folder: &Path, at: &Place, words: &[String], watch: &dyn Watch) -> Result<(), Problem> {
    let field = field_at(at).ok_or_else(|| {
        let message = format!("{at} is no single value of the format");
        let inside: Vec<String> = keys_at(at)
            .iter()
            .map(|key| format!("{at}.{key}"))
            .collect();
        let remedy = match inside.is_empty() {
            true => "name a value, such as product.category or items.ID.part.marking".to_string(),
            false => format!("name one of its values: {}", inside.join(", ")),
        };
        Problem::unfit(message, remedy)
    })?;
    let new = field
        .value(words)
        .map_err(|unfit| Problem::unfit(unfit.message, unfit.remedy))?;
    let reached = RefCell::new(false);
    let change = |draft: &mut Draft, now: &Dossier| {
        draft.set(at, new).map_err(|error| not_there(error, now))?;
        *reached.borrow_mut() = true;
        Ok(())
    };
    let done = dossier::edit(folder, change, watch);
    done.map_err(|problem| match reached.into_inner() {
        true => unfit(problem, at, None),
        false => problem,
    })
}

/// Removes a value or an entry, with the comments right above it.
///
/// # Errors
/// Nothing at that place; a dossier that would have mistakes without it.
pub fn remove(folder: &Path, at: &Place, watch: &dyn Watch) -> Result<(), Problem> {
    let reached = RefCell::new(false);
    let change = |draft: &mut Draft, now: &Dossier| {
        draft.remove(at).map_err(|error| not_there(error, now))?;
        *reached.borrow_mut() = true;
        Ok(())
    };
    let done = dossier::edit(folder, change, watch);
    done.map_err(|problem| match reached.into_inner() {
        true => unfit(problem, at, None),
        false => problem,
    })
}

/// Says what there is where something was named that is not there.
fn not_there(error: EditError, now: &Dossier) -> Problem {
    let EditError::NothingThere { at } = &error else {
        return error.into();
    };
    let places = RecordPlaces::of(now);
    // The list that the entry named last is not in, or what the value would have stood in.
    let above = at.entry().and_then(|entry| entry.parent());
    let beside: Vec<String> = places
        .all()
        .iter()
        .filter(|place| place.entry().as_ref() == Some(*place) && place.parent() == above)
        .map(ToString::to_string)
        .collect();
    let remedy = match beside.len() {
        0 => "name a place of the record".to_string(),
        1..=20 => format!("there are: {}", beside.join(", ")),
        n => format!("there are {n} others, such as {}", beside[0]),
    };
    Problem::missing(format!("there is no {at}"), remedy).about(at.clone())
}

/// Tells an id that cannot be taken as a value that does not fit.
fn unfit_id(error: EditError) -> Problem {
    let (message, remedy) = match &error {
        EditError::BadId { id } => (
            format!("\"{}\" is no id", record::visible(id)),
            format!("write letters, digits, - and _, such as {}", id_of(id)),
        ),
        EditError::Taken { at } => (
            format!("{at} is there already"),
            format!("give another one, or change what is there: {at}"),
        ),
        _ => return error.into(),
    };
    Problem::of_faults(vec![Fault {
        field: Some("id".to_string()),
        message,
        remedy,
    }])
}

/// Returns the form of a sort of entry.
///
/// # Errors
/// A word that is none.
pub fn form(word: &str) -> Result<Form, Problem> {
    let mut all = forms();
    let words: Vec<&str> = all.iter().map(|form| form.word).collect();
    let words = words.join(", ");
    match all.iter().position(|form| form.word == word) {
        Some(at) => Ok(all.swap_remove(at)),
        None => Err(Problem::unfit(
            format!("“{}” is nothing that can be added", record::visible(word)),
            format!("choose one of: {words}"),
        )),
    }
}

/// Reads the file that is to be copied: a picture that can be shown, a log whose columns are written into its entry as
/// they are taken, unless that was done, or a recording in which something is heard, which is written into its entry.
fn copied(
    (own, folder): (&Path, &str),
    path: &Path,
    entry: &mut Map<String, Json>,
    watch: &dyn Watch,
) -> Result<OutputFile, Problem> {
    let called = path.file_name().map(|name| name.to_string_lossy());
    let name = match entry.get("file").and_then(Json::as_str) {
        Some(name) => name.to_string(),
        None => called.unwrap_or_default().into_owned(),
    };
    let bytes = match folder {
        "recordings" => {
            let bytes = opener::read(path, limits::RECORDING)?;
            let read = dossier::open(own, watch)?;
            let other = |file: &str| listen::inside(own, file);
            watch.stage(&format!("listening to {}", shown(path)));
            listen::accept(bytes.clone(), &name, entry, &read, &other)
                .map_err(|problem| problem.at(path))?;
            bytes
        }
        "photos" => {
            let bytes = opener::read(path, limits::PHOTOGRAPH)?;
            photographs::decode(&bytes, path)?;
            bytes
        }
        _ => {
            let bytes = opener::read(path, limits::TABLE)?;
            crate::recorded::accept(&bytes, path, entry, watch)?;
            bytes
        }
    };
    if name.is_empty() || name.contains(['/', '\\']) || name.starts_with('.') {
        return Err(Problem::unfit(
            format!("“{}” is no name for a file", record::visible(&name)),
            format!(
                "name the file inside {folder}/, such as {}",
                match folder {
                    "photos" => "board-top.jpg",
                    "recordings" => "noise.wav",
                    _ => "charge.csv",
                }
            ),
        ));
    }
    entry.insert("file".to_string(), name.clone().into());
    Ok(OutputFile {
        path: format!("{folder}/{name}"),
        bytes,
    })
}

/// Returns the list that an entry goes to, which has to be there.
fn list(form: &Form, of: Option<&str>, now: &Dossier) -> Result<Place, Problem> {
    let Some(outer) = form.of else {
        return Ok(form.list(None));
    };
    let ids: Vec<&str> = match outer {
        "photo" => now.photos.iter().map(|p| p.id.as_str()).collect(),
        "film" => now.films.iter().map(|f| f.id.as_str()).collect(),
        _ => now.items.iter().map(|i| i.id.as_str()).collect(),
    };
    match of {
        Some(id) if ids.contains(&id) => Ok(form.list(Some(id))),
        _ => {
            let fault = Fault {
                field: Some(outer.to_string()),
                message: match of {
                    Some(id) => format!("there is no {outer} with the id \"{id}\""),
                    None => format!("a {} stands in a {outer}", form.word),
                },
                remedy: match ids.is_empty() {
                    true => format!("add the {outer} first"),
                    false if ids.len() == 1 => format!("write {}", ids[0]),
                    false => format!("write one of: {}", ids.join(", ")),
                },
            };
            Err(Problem::of_faults(vec![fault]))
        }
    }
}

/// Adds to an entry what follows from the rest: an id.
fn completed(form: &Form, addition: &Addition, list: &Place, now: &Dossier) -> Map<String, Json> {
    let mut entry = addition.entry.clone();
    if form.has_id() && !entry.contains_key("id") {
        let places = RecordPlaces::of(now);
        let others = places.value(list).and_then(Json::as_array);
        let is_taken = |id: &str| {
            let mut others = others.into_iter().flatten();
            others.any(|other| other.get("id").is_some_and(|taken| taken == id))
        };
        let id = crate::free_id(&natural_id(form, &entry), is_taken);
        entry.insert("id".to_string(), id.into());
    }
    entry
}

/// Returns the id that an entry would get if no other had it.
fn natural_id(form: &Form, entry: &Map<String, Json>) -> String {
    let word = |key: &str| entry.get(key).and_then(Json::as_str).unwrap_or_default();
    let text = match form.word {
        "reading" | "measure" => match word("item") {
            "" => format!("{} {}", word("photo"), word("what")),
            item => format!("{item} {}", word("what")),
        },
        "claim" => match word("kind") {
            "part" | "first" | "interface" | "radio" | "function" => word("names").to_string(),
            kind => kind.to_string(),
        },
        "photo" | "log" | "recording" => word("file")
            .rsplit_once('.')
            .map_or(word("file"), |(stem, _)| stem)
            .to_string(),
        "region" => word("item").to_string(),
        "label" => word("place").to_string(),
        "step" => word("text").to_string(),
        _ => word("name").to_string(),
    };
    id_of(&text)
}

/// Tells the mistakes that an edit would make by the fields of what was edited. Mistakes elsewhere stay as they are.
fn unfit(problem: Problem, at: &Place, form: Option<&Form>) -> Problem {
    let Kind::Mistakes(problems) = &problem.kind else {
        return problem;
    };
    let faults = problems.0.iter().map(|p| {
        let within = p.place.as_ref().filter(|place| place.is_within(at));
        let path = within.map(|place| place.names_below(at).join("."));
        let path = p.lacks.clone().or(path).filter(|path| !path.is_empty());
        let field = path.map(|path| match form.and_then(|form| form.field(&path)) {
            Some(field) => field.flag.clone(),
            None => path,
        });
        let elsewhere = p.place.as_ref().filter(|_| within.is_none());
        Fault {
            field: field.filter(|_| form.is_some()),
            message: match elsewhere {
                Some(place) => format!("{place}: {}", p.message),
                None => p.message.clone(),
            },
            remedy: p.remedy.clone(),
        }
    });
    Problem::of_faults(faults.collect())
}

/// Tells the mistakes of a text made for a product by the facts of the product.
pub(crate) fn unfit_product(problem: Problem) -> Problem {
    unfit(problem, &Place::product(), Some(&product_form()))
}
