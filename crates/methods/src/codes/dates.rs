//! Findings on date codes: the earliest day of assembly, the spread, the odd one out, dates that cannot be.

use super::outlier::{self, odd_ones};
use super::seen::{Code, Seen, collect};
use crate::inputs::unit;
use crate::words::{capital, counted, listed};
use crate::{Answer, Between, Case, Cell, Column, Detail, Finding, Method, Table, Verdict};
use ::codes::date::days_between;
use jiff::civil::Date;
use quantity::{Distribution, Input, Origin, Sheet, Source, Term};
use record::{Dossier, Place};

const SECONDS_PER_DAY: f64 = 86_400.0;

/// Answers what the date codes say.
pub(super) fn examine(case: &Case<'_>) -> Answer {
    let dossier = case.dossier;
    let seen = collect(case)?;
    if seen.codes.is_empty() && seen.unused.as_slice().is_empty() {
        return Ok(Vec::new());
    }
    let mut findings = vec![assembly(dossier, &seen)];
    if !seen.codes.is_empty() {
        findings.push(order(dossier, &seen));
    }
    findings.extend(whole(dossier, &seen));
    Ok(findings)
}

fn source_list(finding: &mut Finding) {
    finding
        .cite("IEC 60062, clause 5 (date codes), as described by public pages; weeks of ISO 8601");
}

/// Age at the opening: rectangular over the days that the code means.
fn age<'s>(sheet: &'s Sheet, code: &Code, opened: Date) -> Term<'s> {
    let low = f64::from(days_between(code.used.last, opened)) * SECONDS_PER_DAY;
    let high = f64::from(days_between(code.used.first, opened)) * SECONDS_PER_DAY;
    let distribution = if high > low {
        Distribution::Rectangular { low, high }
    } else {
        Distribution::Exact { value: low }
    };
    let source = Source {
        origin: Origin::Label,
        evidence: crate::inputs::locators(&code.evidence),
        note: format!(
            "\"{}\" means {}: {}; days before the opening on {opened}",
            code.text, code.used, code.because
        ),
    };
    sheet.input(Input::distributed(
        format!("age of {}", code.who),
        distribution,
        unit("d"),
        source,
    ))
}

/// Codes that are not later than the opening, the newest first.
fn plausible(dossier: &Dossier, seen: &Seen) -> Vec<Code> {
    let opened = dossier.product.opened;
    let mut codes: Vec<Code> = seen
        .codes
        .iter()
        .filter(|c| c.used.first <= opened)
        .cloned()
        .collect();
    codes.sort_by(|a, b| b.used.cmp(&a.used).then_with(|| a.who.cmp(&b.who)));
    codes
}

fn assembly(dossier: &Dossier, seen: &Seen) -> Finding {
    let opened = dossier.product.opened;
    let mut finding = Finding::new(Method::Codes, word!("assembly"), "When it was assembled");
    source_list(&mut finding);
    finding.unused = seen.unused.as_slice().to_vec();
    let (parts, own): (Vec<Code>, Vec<Code>) = plausible(dossier, seen)
        .into_iter()
        .partition(|c| c.item.is_some());
    let codes = if parts.is_empty() { &own } else { &parts };
    let (Some(newest), Some(oldest)) = (codes.first(), codes.last()) else {
        finding.sentence =
            "No date code can be used: nothing bounds the day of assembly from below.".to_string();
        return finding;
    };
    finding.assume(if parts.is_empty() {
        "no part has a date code; the product's own code is taken as the time of its assembly"
    } else {
        "a part is marked before it is assembled"
    });
    finding.assume(
        "every day that a code means is equally likely; readings later than the opening are left out where \
         another is possible",
    );
    let cautious = codes
        .iter()
        .map(Code::earliest)
        .max()
        .unwrap_or(newest.used.first);
    finding.sentence = format!(
        "It was assembled on {} or later: the newest of {} is “{}” on {}, made in {}.",
        day(newest.used.first),
        date_codes(codes.len()),
        newest.text,
        on(newest),
        week(newest)
    );
    if cautious < newest.used.first {
        finding.sentence += &format!(
            " Whichever way the codes are read, it was {} or later.",
            day(cautious)
        );
    }
    let sheet = Sheet::new();
    let young = age(&sheet, newest, opened);
    if codes.len() > 1 {
        let spread = age(&sheet, oldest, opened) - young;
        let spread = spread.named("spread of the date codes", &unit("wk"));
        finding.add_result(
            word!("spread"),
            "spread of the date codes",
            sheet.figure(spread),
        );
        finding.sentence += &format!(
            " The oldest is “{}” on {}, {}.",
            oldest.text,
            on(oldest),
            week(oldest)
        );
    }
    let waited = young.named("from the newest code to the opening", &unit("wk"));
    finding.add_result(
        word!("newest-code-to-opening"),
        "from the newest code to the opening",
        sheet.figure(waited),
    );
    if !parts.is_empty() && !own.is_empty() {
        let told: Vec<String> = own
            .iter()
            .map(|c| format!("“{}” on {}, {}", c.text, on(c), week(c)))
            .collect();
        finding.sentence += &format!(" The product's own code: {}.", told.join("; "));
    }
    let all = parts.iter().chain(&own);
    finding.add_evidence(all.flat_map(|c| c.evidence.iter().cloned()));
    standing(&parts, &own, opened, &mut finding);
    finding
}

/// Writes the days that a code means: `the week of 6 July 2026`.
fn week(code: &Code) -> String {
    let (first, last) = (code.used.first, code.used.last);
    match days_between(first, last) {
        0 => day(first),
        6 => format!("the week of {}", day(first)),
        _ => format!("{} to {}", day(first), day(last)),
    }
}

/// Returns where a code stands, with its article: `the label underneath the cradle`.
fn on(code: &Code) -> String {
    format!(
        "the {}",
        crate::words::lower(&code.who).replacen("label, ", "label ", 1)
    )
}

/// Writes `6 July 2026`.
fn day(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

fn date_codes(n: usize) -> String {
    counted(n, "date code", "date codes")
}

/// The table of codes, and which of the parts' stands apart from the others.
fn standing(parts: &[Code], own: &[Code], opened: Date, finding: &mut Finding) {
    let age_of = |c: &Code| f64::from(days_between(c.used.middle(), opened));
    let ages: Vec<f64> = parts.iter().map(age_of).collect();
    let standing = odd_ones(&ages);
    let rows = parts
        .iter()
        .chain(own)
        .enumerate()
        .map(|(i, code)| {
            let others = code.others.iter();
            let others = others.map(|(span, why)| Cell::words(format!("{span}: {why}")));
            let score = standing.as_ref().and_then(|s| s.scores.get(i));
            vec![
                match &code.item {
                    Some(item) => Cell::place(Place::item(item), &code.who),
                    None => Cell::words(&code.who),
                },
                Cell::words(&code.text),
                Cell::Date {
                    first: code.used.first,
                    last: code.used.last,
                },
                Cell::words(&code.because),
                Cell::list(others, Between::Semicolon),
                Cell::number(age_of(code) / 7.0, 1),
                score.map_or(Cell::Nothing, |z| Cell::number(*z, 1)),
            ]
        })
        .collect();
    finding.details.push(Detail::Table(Table {
        caption: "Date codes of parts, newest first, then of the product".to_string(),
        columns: vec![
            Column::place("Where"),
            Column::words("Code"),
            Column::date("Taken as"),
            Column::words("Why"),
            Column::words("Could also be"),
            Column::in_unit("Age at opening", unit("wk")),
            Column::number("Score"),
        ],
        rows,
    }));
    let Some(standing) = standing else {
        finding.assume("with less than four date codes of parts none is called odd");
        return;
    };
    finding.cite(
        "B. Iglewicz, D. Hoaglin, How to Detect and Handle Outliers (1993): modified z-score, limit 3.5",
    );
    finding.assume(format!(
        "score = (age - median age) / spread; median {:.1} weeks, spread {:.1} weeks (1.4826 times the median \
         distance from the median, at least {} weeks); beyond ± {} a code stands apart",
        standing.median / 7.0,
        standing.spread / 7.0,
        outlier::LEAST_SPREAD_DAYS / 7.0,
        outlier::FARTHEST
    ));
    let apart: Vec<String> = parts
        .iter()
        .enumerate()
        .filter(|(i, _)| standing.is_odd(*i))
        .map(|(i, code)| {
            let older = standing.scores[i] > 0.0;
            format!(
                "“{}” on {} is {} than the others by {:.0} weeks{}",
                code.text,
                on(code),
                if older { "older" } else { "newer" },
                (ages[i] - standing.median).abs() / 7.0,
                if older {
                    " (old stock, a part used again, or a misread code)"
                } else {
                    " (a later repair, or a misread code)"
                }
            )
        })
        .collect();
    if apart.is_empty() {
        finding.sentence += " No code stands apart.";
    } else {
        finding.sentence += &format!(" Odd one out: {}.", apart.join("; "));
    }
}

/// The day after which no code may lie, with what it is.
fn last_possible(dossier: &Dossier) -> (Date, &'static str) {
    let opened = dossier.product.opened;
    match dossier.product.bought {
        Some(bought) if bought < opened => (bought, "day it was bought"),
        _ => (opened, "day it was opened"),
    }
}

/// A code later than the day it was bought or opened is an error in the record.
fn order(dossier: &Dossier, seen: &Seen) -> Finding {
    let (limit, what) = last_possible(dossier);
    let late: Vec<&Code> = seen.codes.iter().filter(|c| c.only_after(limit)).collect();
    let doubtful: Vec<&Code> = seen
        .codes
        .iter()
        .filter(|c| c.used.first > limit && !c.only_after(limit))
        .collect();
    let mut finding = Finding::new(
        Method::Codes,
        word!("order"),
        "Is every date code older than the purchase?",
    );
    source_list(&mut finding);
    finding.add_evidence(seen.codes.iter().flat_map(|c| c.evidence.iter().cloned()));
    finding.assume(format!(
        "nothing in it can be newer than the {what}, {limit}; a code more than two years after the opening is not \
         taken for a date"
    ));
    if late.is_empty() && doubtful.is_empty() {
        finding.verdict = Some(Verdict::Holds);
        finding.sentence = format!(
            "{} in use, none later than the {what}, {}.",
            date_codes(seen.codes.len()),
            day(limit)
        );
        return finding;
    }
    let told = |codes: &[&Code]| {
        let all: Vec<String> = codes
            .iter()
            .map(|c| format!("“{}” on {} means {}", c.text, on(c), week(c)))
            .collect();
        all.join("; ")
    };
    if late.is_empty() {
        finding.verdict = Some(Verdict::Undecided);
        finding.sentence = format!(
            "Later than the {what}, {}, by its likeliest reading, but not by every one: {}.",
            day(limit),
            told(&doubtful)
        );
    } else {
        finding.verdict = Some(Verdict::Fails);
        finding.sentence = format!(
            "Later than the {what}, {}: {}. The marking was misread, or a date of the record is wrong.",
            day(limit),
            told(&late)
        );
    }
    let about: Vec<&str> = late
        .iter()
        .chain(&doubtful)
        .filter_map(|c| c.item.as_deref())
        .collect();
    if let [item] = about.as_slice() {
        finding.about = Some(Place::item(item));
    }
    finding
}

/// A date of the product as a whole.
struct Own {
    said: String,
    last: Date,
    latest: Date,
    evidence: Vec<Place>,
}

/// The product's own dates: as recorded, and as coded on labels.
fn own_dates(dossier: &Dossier, codes: &[Code]) -> Vec<Own> {
    let made = dossier.product.made.map(|day| Own {
        said: format!("the date of manufacture, {}", self::day(day)),
        last: day,
        latest: day,
        evidence: vec![Place::product().at("made")],
    });
    let coded = codes.iter().filter(|c| c.item.is_none()).map(|c| Own {
        said: format!("“{}” on {}, {}", c.text, on(c), week(c)),
        last: c.used.last,
        latest: c.latest(),
        evidence: c.evidence.clone(),
    });
    made.into_iter().chain(coded).collect()
}

/// The product's own dates against the newest code of its parts: no part is younger than the whole.
fn whole(dossier: &Dossier, seen: &Seen) -> Option<Finding> {
    let codes = plausible(dossier, seen);
    let own = own_dates(dossier, &codes);
    let newest = codes.iter().find(|c| c.item.is_some())?;
    if own.is_empty() {
        return None;
    }
    let mut finding = Finding::new(
        Method::Codes,
        word!("made"),
        "Do the product's own dates fit the date codes of its parts?",
    );
    source_list(&mut finding);
    finding.assume("a product is dated when it is assembled or later, so no part in it is younger");
    finding.add_evidence(newest.evidence.iter().cloned());
    let certain = codes
        .iter()
        .filter(|c| c.item.is_some())
        .map(Code::earliest)
        .max()
        .unwrap_or(newest.used.first);
    let part = format!("“{}” on {} ({})", newest.text, on(newest), week(newest));
    finding.add_evidence(own.iter().flat_map(|o| o.evidence.iter().cloned()));
    let (early, fit): (Vec<&Own>, Vec<&Own>) =
        own.iter().partition(|date| date.last < newest.used.first);
    let said = |dates: &[&Own]| -> Vec<String> { dates.iter().map(|o| o.said.clone()).collect() };
    if early.is_empty() {
        finding.verdict = Some(Verdict::Holds);
        finding.sentence = format!(
            "The newest code of a part, {part}, is not later than {}.",
            said(&fit).join(" or ")
        );
        return Some(finding);
    }
    let surely = early.iter().any(|date| date.latest < certain);
    finding.verdict = Some(if surely {
        Verdict::Fails
    } else {
        Verdict::Undecided
    });
    let before: Vec<String> = early
        .iter()
        .map(|date| {
            let days = days_between(date.last, newest.used.first);
            format!(
                "{}, at least {} before it",
                date.said,
                counted(days, "day", "days")
            )
        })
        .collect();
    let before = before.join("; and ");
    finding.sentence = if fit.is_empty() {
        format!(
            "A part is younger than the product: its newest code is {part}; on record is {before}. Either was misread, \
             the date is that of another piece, or the part was replaced."
        )
    } else {
        // Two dates of the product disagree, and the part sides with one of them.
        format!(
            "Two dates of the product disagree. The newest code of a part is {part}; on record is {before}. {}, {} with \
             the part, so the earlier date is probably a slip.",
            capital(&listed(said(&fit))),
            if fit.len() == 1 { "agrees" } else { "agree" },
        )
    };
    Some(finding)
}
