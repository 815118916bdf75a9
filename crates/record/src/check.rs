//! Finding everything wrong with a dossier's text in one go.
//!
//! In: the tree of the text and the files of the folder. Out: the values as JSON for the serde
//! types, and all problems in the order of the text.
//! First `shape` walks the grammar key by key; then the rules that span several keys look at the
//! same tree, so that a fault in one place does not hide the faults elsewhere.

mod claims;
mod figures;
mod films;
mod identity;
mod logs;
mod measures;
mod moments;
mod number_words;
mod order;
mod pictures;
mod places;
mod quantities;
mod recordings;
mod repair;
mod scalars;
mod shape;
mod values;

use crate::grammar::{Ids, Table};
use crate::source::Source;
use crate::tree::{Node, Parsed, parse};
use crate::{Files, Place, Problem, Problems};
use std::collections::BTreeMap;
use std::ops::Range;

/// What the checks share.
pub(crate) struct Check<'a> {
    source: &'a Source<'a>,
    files: &'a dyn Files,
    problems: Vec<Problem>,
    /// Every id declared, with the place of its first declaration. Regions are under `photo#region`.
    ids: BTreeMap<Ids, BTreeMap<String, Range<usize>>>,
    /// Every id referred to.
    refs: Vec<(Ids, String, Range<usize>)>,
    /// Every evidence text.
    evidence: Vec<(String, Range<usize>)>,
    /// Keys could not be read, so what seems missing may only be unread.
    partial: bool,
    /// Values that could not be read; that is told, and nothing else is said about them.
    unread: Vec<Range<usize>>,
    /// Problems found beyond [`MOST_PROBLEMS`].
    untold: usize,
}

/// Problems told one by one; a text with more is not a dossier.
const MOST_PROBLEMS: usize = 500;

impl Check<'_> {
    fn report(
        &mut self,
        span: &Range<usize>,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        if self.unread.contains(span) {
            return;
        }
        if self.full() {
            self.untold += 1;
        } else {
            self.problems
                .push(self.source.problem(span, message.into(), remedy.into()));
        }
    }

    /// As [`Check::report`], for an entry that only lacks a required key.
    fn report_lack(
        &mut self,
        span: &Range<usize>,
        key: &str,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        let told = self.problems.len();
        self.report(span, message, remedy);
        if let Some(problem) = self.problems.get_mut(told) {
            problem.lacks = Some(key.to_string());
        }
    }

    /// Returns whether a measure of this id stands anywhere.
    fn is_declared(&self, measure: &str) -> bool {
        self.ids
            .get(&Ids::Measures)
            .is_some_and(|known| known.contains_key(measure))
    }

    /// Returns whether so many problems are known that further ones are only counted.
    fn full(&self) -> bool {
        self.problems.len() >= MOST_PROBLEMS
    }
}

/// Checks a text completely against the keys of `grammar`. Returns its values as JSON.
pub(crate) fn check(
    grammar: &'static Table,
    text: &str,
    file: &str,
    files: &dyn Files,
) -> Result<serde_json::Value, Problems> {
    let source = Source::new(text, file);
    let Parsed {
        root,
        problems,
        unread,
        partial,
        too_deep,
    } = parse(&source);
    if too_deep {
        return Err(Problems(problems));
    }
    let mut check = Check {
        source: &source,
        files,
        partial,
        unread,
        problems,
        untold: 0,
        ids: BTreeMap::new(),
        refs: Vec::new(),
        evidence: Vec::new(),
    };
    let mut json = check.table(grammar, &root, "");
    let sizes = rules(&mut check, &root);
    if let Some(json) = &mut json {
        pictures::note_sizes(json, &sizes);
    }
    let mut problems = std::mem::take(&mut check.problems);
    problems.sort_by_key(|p| (p.span.start, p.span.end));
    problems.dedup();
    tell_places(grammar, &mut problems, &root);
    if check.untold > 0 {
        problems.push(Problem::outside(
            file,
            format!("{} further problems are not listed", check.untold),
            "put these right first",
        ));
    }
    match json {
        Some(json) if problems.is_empty() => Ok(json),
        _ => Err(Problems(problems)),
    }
}

/// Says of each problem what in the record it is about.
fn tell_places(grammar: &'static Table, problems: &mut [Problem], root: &Node) {
    if problems.is_empty() {
        return;
    }
    let spans = crate::place::Spans::of(grammar, root);
    for problem in problems {
        // What the text as a whole lacks stands nowhere in it.
        let is_whole = problem.lacks.is_some() && problem.span.is_empty();
        problem.place = Some(if is_whole {
            Place::dossier()
        } else {
            spans.at(problem.span.start)
        });
    }
}

fn rules(check: &mut Check<'_>, root: &Node) -> pictures::Sizes {
    values::format(check, root);
    identity::ids(check, root);
    identity::references(check);
    identity::tree(check, root);
    order::dates(check, root);
    order::steps(check, root);
    order::readings(check, root);
    moments::spans(check, root);
    films::films(check, root);
    claims::claims(check, root);
    figures::figures(check, root);
    values::cells(check, root);
    values::kinds(check, root);
    values::roles(check, root);
    values::readings(check, root);
    values::correlations(check, root);
    values::prices(check, root);
    logs::logs(check, root);
    recordings::recordings(check, root);
    repair::facts(check, root);
    let sizes = pictures::photos(check, root);
    measures::measures(check, root, &sizes);
    places::evidence(check);
    sizes
}

/// Returns the known word nearest to `found`, if one is near enough to be meant.
pub(crate) fn nearest<'w>(
    found: &str,
    known: impl IntoIterator<Item = &'w str>,
) -> Option<&'w str> {
    // Nothing longer is a slip of the pen, and the comparison takes time by the length.
    if found.len() > 80 {
        return None;
    }
    let plain = found.trim().to_lowercase().replace(['_', ' '], "-");
    known
        .into_iter()
        .map(|word| {
            (
                strsim::damerau_levenshtein(&plain, &word.to_lowercase().replace(' ', "-")),
                word,
            )
        })
        .filter(|(distance, word)| *distance <= ((word.chars().count() + 1) / 3).max(1))
        .min()
        .map(|(_, word)| word)
}
