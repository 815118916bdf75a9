//! Asking for what an entry still lacks.
//!
//! In: a form, what is known of an entry, what a person answers. Out: the entry with the answers in it.
//! Not here: the terminal (`screen`); what is lacking and which values will do (`record`).

use crate::failure::Failure;
use app::{Fault, Problem};
use record::{Dossier, Field, Form};
use serde_json::{Map, Value as Json};

/// Asks for everything that an entry lacks until it lacks nothing; `ask` shows a question and returns the line that is
/// answered, `None` at the end of the input. Returns whether all was answered.
///
/// # Errors
/// Answers that cannot be read from the terminal.
pub(crate) fn complete(
    form: &Form,
    entry: &mut Map<String, Json>,
    dossier: Option<&Dossier>,
    ask: &mut dyn FnMut(&str) -> Result<Option<String>, Failure>,
) -> Result<bool, Failure> {
    while let Some(path) = form.lacking(entry).first().map(|field| field.path.clone()) {
        if !value(form, &path, entry, dossier, ask)? {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Asks for one value until the answer can be taken. Returns whether one was given.
///
/// # Errors
/// As [`complete`].
pub(crate) fn value(
    form: &Form,
    path: &str,
    entry: &mut Map<String, Json>,
    dossier: Option<&Dossier>,
    ask: &mut dyn FnMut(&str) -> Result<Option<String>, Failure>,
) -> Result<bool, Failure> {
    let Some(field) = form.field(path) else {
        return Ok(false);
    };
    let mut question = asked(form, field, entry, dossier);
    loop {
        let Some(answer) = ask(&question)? else {
            return Ok(false);
        };
        if answer.is_empty() {
            question = format!("{} is needed; Ctrl-D to stop\n> ", field.flag);
            continue;
        }
        match field.value(&[answer]) {
            Ok(value) => {
                Form::put(entry, &field.path, value);
                return Ok(true);
            }
            Err(unfit) => question = format!("{}: {}\n> ", unfit.message, unfit.remedy),
        }
    }
}

/// Says of each value that an entry lacks what it is and how it is given.
pub(crate) fn lacks(
    form: &Form,
    entry: &Map<String, Json>,
    dossier: Option<&Dossier>,
) -> Vec<Fault> {
    let fault = |field: &&Field| {
        let choices: Vec<&str> = field.choices().iter().map(|c| c.0).collect();
        let ids = dossier.map_or(Vec::new(), |dossier| ids(dossier, field));
        Fault {
            field: Some(field.flag.clone()),
            message: format!("is missing: {}", field.doc),
            remedy: match choices.is_empty() {
                true if !ids.is_empty() => {
                    let id = if field.wanted() == "ids" {
                        "ID,ID"
                    } else {
                        "ID"
                    };
                    format!("--{} {id}, one of: {}", field.flag, ids.join(", "))
                }
                true => match form.example(field, entry).as_str() {
                    "…" => format!("--{} TEXT", field.flag),
                    example => format!("--{} \"{example}\"", field.flag),
                },
                false => format!("--{} WORD, one of: {}", field.flag, choices.join(", ")),
            },
        }
    };
    form.lacking(entry).iter().map(fault).collect()
}

/// Ends with the values that were not taken, if there are any.
///
/// # Errors
/// Those.
pub(crate) fn refuse(faults: Vec<Fault>) -> Result<(), Failure> {
    match faults.is_empty() {
        true => Ok(()),
        false => Err(Problem::of_faults(faults).into()),
    }
}

fn asked(
    form: &Form,
    field: &Field,
    entry: &Map<String, Json>,
    dossier: Option<&Dossier>,
) -> String {
    let mut text = format!("{}: {}\n", field.flag.replace('-', " "), field.doc);
    let choices = field.choices();
    let width = choices.iter().map(|c| c.0.len()).max().unwrap_or_default();
    for (word, doc) in &choices {
        text += &format!("  {word:width$}  {doc}\n");
    }
    let ids = dossier.map_or(Vec::new(), |dossier| ids(dossier, field));
    if !ids.is_empty() {
        text += &format!("  one of: {}\n", ids.join(", "));
    } else if choices.is_empty() {
        let example = form.example(field, entry);
        if example != "…" {
            text += &format!("  such as {example}\n");
        }
    }
    text + "> "
}

/// The ids that a value can name.
fn ids<'d>(dossier: &'d Dossier, field: &Field) -> Vec<&'d str> {
    match field.refers_to() {
        Some("item") => dossier.items.iter().map(|i| i.id.as_str()).collect(),
        Some("step") => dossier.steps.iter().map(|s| s.id.as_str()).collect(),
        Some("instrument") => dossier.instruments.iter().map(|i| i.id.as_str()).collect(),
        Some("reading") => dossier.readings.iter().map(|r| r.id.as_str()).collect(),
        Some("photo") => dossier.photos.iter().map(|p| p.id.as_str()).collect(),
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use record::forms;
    use serde_json::json;

    /// Answers one line after the other, and keeps the questions.
    fn answered(word: &str, entry: Json, lines: &[&str]) -> (bool, Json, Vec<String>) {
        let forms = forms();
        let form = forms.iter().find(|f| f.word == word).unwrap();
        let mut entry = entry.as_object().unwrap().clone();
        let mut questions = Vec::new();
        let mut left = lines.iter();
        let done = complete(form, &mut entry, None, &mut |question| {
            questions.push(question.to_string());
            Ok(left.next().map(ToString::to_string))
        });
        (done.unwrap(), Json::Object(entry), questions)
    }

    #[test]
    fn what_a_kind_of_claim_needs_is_asked_for_with_an_example_of_its_dimension() {
        let (done, entry, questions) = answered(
            "claim",
            json!({ "text": "Only 210 g", "printed": "box" }),
            &["weight", "mass", "210 g"],
        );
        assert!(done);
        assert_eq!(entry["kind"], "mass");
        assert_eq!(entry["value"], "210 g");
        assert!(questions[0].contains("run-time"), "{}", questions[0]);
        assert!(questions[1].contains("write \"mass\""), "{}", questions[1]);
        assert!(questions[2].contains("such as 83.4 g"), "{}", questions[2]);
    }

    #[test]
    fn the_end_of_the_input_ends_the_asking() {
        let (done, _, questions) = answered("step", json!({}), &["", "lift the lid"]);
        assert!(!done);
        assert_eq!(questions.len(), 3);
    }
}
