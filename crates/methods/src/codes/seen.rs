//! The date codes of a dossier, with where they stand and which reading is used.
//!
//! In: markings, labels, identifiers. Out: [`Code`]s that are used, and texts on those that are not.
//!
//! Used are codes whose form alone says that they are dates (year and week in four digits, with or without
//! a maker's sign; a written-out date or week) and that are more likely a date than anything else on such a
//! thing. On labels and in identifiers a word such as lot, batch or date must stand beside it: labels
//! hold many numbers. Codes inside serial numbers are listed but not used: their form is each maker's own.

use crate::assumed;
use crate::distinct::Distinct;
use crate::inputs::{item_evidence, seen as seen_at};
use crate::{Cancelled, Case};
use ::codes::date::{DateCandidate, Span, date_candidates, days_between};
use ::codes::{Context, MarkedObject, read};
use jiff::civil::Date;
use record::{Dossier, Item, ItemKind, Place};

/// Share among all readings from which a code is taken for a date.
const TAKEN: f64 = assumed::CODE_TAKEN.number();
/// Words that tell a date of production on a label.
const PRODUCED: [&str; 16] = [
    "lot",
    "batch",
    "date",
    "d/c",
    "dc",
    "mfg",
    "mfd",
    "made",
    "produced",
    "production",
    "prod",
    "manufactured",
    "manufacture",
    "week",
    "wk",
    "kw",
];
/// Words that tell another date.
const OTHER_DATE: [&str; 6] = ["exp", "expires", "expiry", "before", "until", "copyright"];
/// Words after which a number is a serial number.
const SERIAL: [&str; 4] = ["s/n", "sn", "serial", "ser"];

/// One date code that is used.
#[derive(Debug, Clone)]
pub(super) struct Code {
    /// What carries it, for readers.
    pub(super) who: String,
    /// Item id, if it stands on an item.
    pub(super) item: Option<String>,
    /// The characters.
    pub(super) text: String,
    /// The days it is taken to mean.
    pub(super) used: Span,
    /// Why it is read so.
    pub(super) because: String,
    /// Other days it may mean, with their reasons.
    pub(super) others: Vec<(Span, String)>,
    /// Places in the record.
    pub(super) evidence: Vec<Place>,
}

impl Code {
    /// The last day that any reading allows.
    pub(super) fn latest(&self) -> Date {
        let others = self.others.iter().map(|(s, _)| s.last);
        others.fold(self.used.last, Date::max)
    }

    /// The first day that any reading allows.
    pub(super) fn earliest(&self) -> Date {
        let others = self.others.iter().map(|(s, _)| s.first);
        others.fold(self.used.first, Date::min)
    }

    /// Tells whether every reading is later than a day.
    pub(super) fn only_after(&self, day: Date) -> bool {
        self.earliest() > day
    }
}

/// What was found: codes in use, and why others are not.
#[derive(Debug, Default)]
pub(super) struct Seen {
    pub(super) codes: Vec<Code>,
    pub(super) unused: Distinct,
}

/// Collects the date codes of a dossier.
pub(super) fn collect(case: &Case<'_>) -> Result<Seen, Cancelled> {
    let dossier = case.dossier;
    let mut seen = Seen::default();
    for item in &dossier.items {
        case.go_on()?;
        marking(dossier, item, &mut seen);
    }
    for label in &dossier.product.labels {
        let evidence = seen_at(Place::label(&label.id), &label.evidence);
        for line in label.text.lines() {
            let place = Bearer {
                who: format!("label, {}", label.place),
                item: None,
                thing: MarkedObject::Label,
                evidence: evidence.clone(),
            };
            line_of_label(dossier.product.opened, line, &place, &mut seen);
        }
    }
    for (at, identifier) in dossier.product.identifiers.iter().enumerate() {
        let own = Place::identifier(&dossier.product, at).unwrap_or_else(Place::product);
        let evidence = seen_at(own, &identifier.evidence);
        let place = Bearer {
            who: identifier.kind.clone(),
            item: None,
            thing: MarkedObject::Label,
            evidence,
        };
        // The kind is the word that stands beside the number.
        let line = format!("{} {}", identifier.kind, identifier.text);
        line_of_label(dossier.product.opened, &line, &place, &mut seen);
    }
    Ok(seen)
}

/// Says which dates the line of a label tells.
pub fn dates_on_label(line: &str, opened: Date) -> Vec<String> {
    let place = Bearer {
        who: String::new(),
        item: None,
        thing: MarkedObject::Label,
        evidence: Vec::new(),
    };
    let mut seen = Seen::default();
    line_of_label(opened, line, &place, &mut seen);
    let codes = seen.codes.iter();
    codes
        .map(|code| format!("{} is {}", code.text, code.used))
        .collect()
}

/// What bears a text.
struct Bearer {
    who: String,
    item: Option<String>,
    thing: MarkedObject,
    evidence: Vec<Place>,
}

fn marking(dossier: &Dossier, item: &Item, seen: &mut Seen) {
    let Some(part) = &item.part else { return };
    let identity = part.identity.as_ref();
    let place = Bearer {
        who: item.name.clone(),
        item: Some(item.id.clone()),
        thing: match item.kind {
            ItemKind::Cell => MarkedObject::Cell,
            ItemKind::Coil => MarkedObject::Inductor,
            _ => MarkedObject::Chip,
        },
        evidence: item_evidence(item),
    };
    for line in &part.marking {
        // The part number itself is no date.
        if identity.is_some_and(|i| i.name.eq_ignore_ascii_case(line)) {
            continue;
        }
        take(dossier.product.opened, line, &place, seen, |_| true);
    }
}

/// The words of a line in small letters.
fn words(line: &str) -> Vec<String> {
    line.split(|c: char| c.is_whitespace() || matches!(c, ':' | ',' | ';' | '.' | '(' | ')' | '='))
        .filter(|w| !w.is_empty())
        .map(str::to_lowercase)
        .collect()
}

fn line_of_label(opened: Date, line: &str, place: &Bearer, seen: &mut Seen) {
    let has = |list: &[&str]| words(line).iter().any(|w| list.contains(&w.as_str()));
    if has(&OTHER_DATE) || !(has(&PRODUCED) || has(&SERIAL)) {
        return;
    }
    take(opened, line, place, seen, |candidate| {
        // The last telling word before the code decides.
        let before = words(&line[..candidate.range.start.min(line.len())]);
        let telling = before.iter().rev().find_map(|w| {
            let w = w.as_str();
            if PRODUCED.contains(&w) {
                Some(true)
            } else if SERIAL.contains(&w) {
                Some(false)
            } else {
                None
            }
        });
        telling == Some(true)
    });
}

/// Takes the codes of a line. `beside` tells whether the words before a code allow its use.
fn take(
    opened: Date,
    line: &str,
    place: &Bearer,
    seen: &mut Seen,
    beside: impl Fn(&DateCandidate) -> bool,
) {
    let candidates = date_candidates(line, Some(opened));
    let mut at = 0;
    while let Some(first) = candidates.get(at) {
        let same = candidates[at..]
            .iter()
            .take_while(|c| c.range == first.range)
            .count();
        let group = &candidates[at..at + same];
        at += same;
        let Some(best) = group.iter().find(|c| c.distinct) else {
            // One character alone is too often something else to be worth telling.
            if first.text.chars().count() > 1 && first.range == (0..line.len()) {
                seen.unused.push(format!(
                    "{}: \"{}\" may be a date ({}), but a code this short says too little by itself",
                    place.who,
                    first.text,
                    first.reading.meaning.trim_end_matches('.')
                ));
            }
            continue;
        };
        if !beside(best) {
            let said = format!(
                "\"{}\" ({}) stands in a serial number, whose form is the maker's own",
                best.text,
                best.reading.meaning.trim_end_matches('.')
            );
            // The same number stands on the box, on the product and among the identifiers.
            seen.unused.push(said);
            continue;
        }
        let share = date_share(&best.core, place.thing, opened);
        if share < TAKEN {
            seen.unused.push(format!(
                "{}: \"{}\" is a date only with a likelihood of {share:.2} among its readings",
                place.who, best.text
            ));
            continue;
        }
        seen.codes.extend(code(group, best, place, opened));
        if let Some(code) = seen.codes.last().cloned()
            && f64::from(days_between(opened, code.earliest())) > assumed::CODE_TOO_LATE.number()
        {
            seen.codes.pop();
            seen.unused.push(format!(
                "{}: \"{}\" would be {}, more than two years after the opening, so it is not taken for a date",
                code.who, code.text, code.used
            ));
        }
    }
}

/// The share of date readings among all readings of a text.
fn date_share(text: &str, thing: MarkedObject, opened: Date) -> f64 {
    read(text, &Context::on(thing).opened(opened))
        .iter()
        .filter(|r| r.kind.is_date())
        .map(|r| r.likelihood)
        .sum()
}

fn code(
    group: &[DateCandidate],
    best: &DateCandidate,
    place: &Bearer,
    opened: Date,
) -> Option<Code> {
    let (used, more) = best.spans.split_first()?;
    let mut others: Vec<(Span, String)> = more
        .iter()
        .map(|s| (*s, best.reading.because.clone()))
        .collect();
    for other in group.iter().filter(|c| *c != best) {
        others.extend(
            other
                .spans
                .iter()
                .filter(|s| *s != used)
                .map(|s| (*s, other.reading.because.clone())),
        );
    }
    // A reading later than the opening says nothing where another one is possible.
    if used.first <= opened {
        others.retain(|(s, _)| s.first <= opened);
    }
    Some(Code {
        who: place.who.clone(),
        item: place.item.clone(),
        text: best.text.clone(),
        used: *used,
        because: best.reading.because.clone(),
        others,
        evidence: place.evidence.clone(),
    })
}
