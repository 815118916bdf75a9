//! Evidence: each place has a known form and exists.

use super::pictures::nearest_file;
use super::{Check, nearest};
use crate::files::refuse_path;
use crate::grammar::Ids;
use crate::{PathState, Place};
use std::ops::Range;

const FORMS: &str =
    "write photo:ID, photo:ID#REGION, measure:ID, log:FILE, label:ID, url:https://… or text:…";

pub(super) fn evidence(check: &mut Check<'_>) {
    for (text, span) in std::mem::take(&mut check.evidence) {
        let Some((form, rest)) = text.split_once(':') else {
            check.report(&span, "this is not a form of evidence", FORMS);
            continue;
        };
        match form {
            "photo" => photo(check, rest, &span),
            "log" => log(check, rest, &span),
            "measure" => known(check, Ids::Measures, rest, rest, &span),
            "label" => known(check, Ids::Labels, rest, rest, &span),
            "url" if !(rest.starts_with("https://") || rest.starts_with("http://")) => {
                check.report(
                    &span,
                    "the address does not start with https://",
                    "write url:https://…",
                );
            }
            "text" if rest.trim().is_empty() => {
                check.report(
                    &span,
                    "the evidence says nothing",
                    "write text: and the publication",
                );
            }
            "url" | "text" => {}
            _ => {
                let remedy = nearest(form, ["photo", "measure", "log", "label", "url", "text"])
                    .map_or(FORMS.to_string(), |near| {
                        format!("write {near}:{}", crate::source::excerpt(rest))
                    });
                check.report(
                    &span,
                    format!(
                        "there is no evidence of the form \"{}:\"",
                        crate::source::excerpt(form)
                    ),
                    remedy,
                );
            }
        }
    }
}

fn photo(check: &mut Check<'_>, rest: &str, span: &Range<usize>) {
    let Some((id, region)) = rest.split_once('#') else {
        return known(check, Ids::Photos, rest, rest, span);
    };
    if check
        .ids
        .get(&Ids::Photos)
        .is_some_and(|known| known.contains_key(id))
    {
        known(check, Ids::Regions, rest, region, span);
    } else {
        known(check, Ids::Photos, id, id, span);
    }
}

/// Reports an id that is not declared. `full` is how it is kept, `shown` how it is told.
fn known(check: &mut Check<'_>, family: Ids, full: &str, shown: &str, span: &Range<usize>) {
    if check.partial
        || check
            .ids
            .get(&family)
            .is_some_and(|known| known.contains_key(full))
    {
        return;
    }
    let near = check
        .ids
        .get(&family)
        .filter(|_| !check.full())
        .and_then(|known| nearest(full, known.keys().map(String::as_str)))
        .map(str::to_string);
    let remedy = match (near, family) {
        (Some(near), family) => {
            let place = match (family, near.split_once('#')) {
                (Ids::Labels, _) => Place::label(&near),
                (Ids::Measures, _) => Place::measure(&near),
                (_, Some((photo, region))) => Place::region(photo, region),
                (_, None) => Place::photo(&near),
            };
            format!("write \"{place}\"")
        }
        (None, _) => format!("add it under {}, or correct the id", family.table()),
    };
    check.report(
        span,
        format!(
            "there is no {} with the id \"{}\"",
            family.word(),
            crate::source::excerpt(shown)
        ),
        remedy,
    );
}

fn log(check: &mut Check<'_>, name: &str, span: &Range<usize>) {
    if let Some(why) = refuse_path(name) {
        check.report(span, why, "write the name of a file inside logs/");
        return;
    }
    match check.files.look(&format!("logs/{name}")) {
        PathState::File { .. } => {}
        fault => tell(check, fault, "logs", name, span),
    }
}

/// Says what is wrong with a file that a dossier names.
pub(super) fn tell(
    check: &mut Check<'_>,
    fault: PathState,
    folder: &str,
    name: &str,
    span: &Range<usize>,
) {
    let (message, remedy) = match fault {
        PathState::File { .. } => return,
        PathState::Missing => (
            format!("there is no file {folder}/{name}"),
            nearest_file(check, folder, name).map_or_else(
                || format!("put the file in {folder}/, or correct the name"),
                |near| format!("write {near}"),
            ),
        ),
        PathState::NotAFile => (
            format!("{folder}/{name} is not a file"),
            format!("write the name of a file inside {folder}/"),
        ),
        PathState::Outside => (
            format!("{folder}/{name} is a link that leads outside the dossier folder"),
            format!("put the file itself in {folder}/"),
        ),
        PathState::Unreadable(why) => (
            format!("{folder}/{name} cannot be read: {why}"),
            "make the file readable for this account".to_string(),
        ),
        PathState::Damaged { why, remedy } => {
            (format!("{folder}/{name} cannot be shown: {why}"), remedy)
        }
    };
    check.report(span, message, remedy);
}
