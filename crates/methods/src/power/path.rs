//! One path, answered: what reaches its end, what binds, and why a rating may be far above it.

use super::flow::{Flows, told};
use super::map::Bindings;
use super::rows::{self, PathRow};
use crate::assumed;
use crate::cells::is_cell;
use crate::energy::plausible;
use crate::grounds::Grounds;
use crate::inputs::{tidy, unit};
use crate::network::{
    Chain, Joined, Path, Ratio, best, is_charger, is_unknown_stage, ratings, strongest, taken,
};
use crate::words::{called, listed, the};
use crate::{
    Case, Cell, Column, Detail, FigureKey, Finding, Method, Missing, RowsOf, Table, Verdict,
};
use quantity::{Sheet, Term, format_quantity};
use record::{ConversionKind, Item, Place};
use std::collections::HashSet;

/// A rating more than this many times what the path takes is explained in words.
const FAR_ABOVE: f64 = assumed::RATED_FAR_ABOVE.number();

/// Answers for one path; `None` where nothing on it states a limit and it does not come from
/// outside.
pub(crate) fn examine(
    case: &Case<'_>,
    path: &Path<'_>,
    bindings: &mut Bindings,
    flows: &mut Flows,
) -> Option<(Finding, Option<PathRow>)> {
    let sheet = Sheet::new();
    let mut grounds = Grounds::default();
    let (start, end) = (path.start(), path.end());
    let mut chain = best(&sheet, case, path, &[]);
    grounds.absorb(std::mem::take(&mut chain.grounds));
    for link in &path.links {
        grounds.evidence(case.link_place(*link));
        grounds.seen(&link.evidence);
    }
    let title = format!("From {} to {}", the(start), the(end));
    let mut finding = Finding::new(Method::Power, word!("path"), title).about(Place::item(&end.id));
    finding.id.words = way(case, path);
    let unknown =
        is_cell(end) && !chain.charge_is_set && (chain.between || start.contact.is_some());
    flows.pass(&sheet, path, &chain, unknown);
    if unknown {
        unset(&sheet, case, path, &mut finding, &mut grounds);
        grounds.close(&mut finding);
        return Some((finding, None));
    }
    let Some((binding, current)) = chain.binding.zip(chain.current) else {
        start.contact.as_ref()?;
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "Nothing on the way from {} to {} states a limit of current or power.",
            the(start),
            the(end)
        );
        finding.missing.push(Missing::at_any_time(format!(
            "read the rating at {} and identify the converters on the way to {}",
            the(start),
            the(end)
        )));
        grounds.close(&mut finding);
        return Some((finding, None));
    };
    let limit = &chain.limits[binding];
    if limit.on_link {
        let after = path
            .items
            .iter()
            .position(|i| i.id == limit.item)
            .and_then(|k| path.links.get(k));
        bindings.links.extend(after.map(|link| link.number));
    } else {
        bindings.items.insert(limit.item.clone());
    }
    finding.add_result(
        word!("current"),
        "current at the end",
        sheet.figure(current),
    );
    let at_end = chain.stages.last().and_then(|s| s.volts_in.or(s.volts_out));
    let at_end = if is_cell(end) {
        chain
            .stages
            .iter()
            .rev()
            .nth(1)
            .and_then(|s| s.volts_out)
            .or(at_end)
    } else {
        at_end
    };
    let delivered = at_end.map(|v| {
        (v * current).named(
            &format!("greatest power from {} into {}", start.name, end.name),
            &unit("W"),
        )
    });
    if let Some(watts) = delivered {
        finding.add_result(
            word!("power-delivered"),
            "power at the end",
            sheet.figure(watts),
        );
    }
    let taken = taken(&chain, current, (start, end));
    if let Some(watts) = taken {
        finding.add_result(
            word!("power-taken"),
            "power at the start",
            sheet.figure(watts),
        );
    }
    heat(&sheet, path, &chain, current, &mut finding);
    finding
        .details
        .push(table(&chain, binding, end, &path.text()));
    let amps = told(&sheet, current, "A").map_or_else(String::new, |amps| amps.printed());
    let power = delivered
        .and_then(|watts| told(&sheet, watts, "W"))
        .map_or_else(String::new, |watts| format!(" ({})", watts.printed()));
    let pieces = match is_cell(end) {
        true => Joined::of(case, end).groups,
        false => case.tree().pieces(end),
    };
    let together = if pieces > 1 {
        format!(" (all {pieces} together)")
    } else {
        String::new()
    };
    finding.sentence = format!(
        "From {} at most {amps}{power} reaches {}{together}; the {} limits it.",
        the(start),
        the(end),
        limit.what
    );
    let means = rating_above(case, path, &sheet, taken.or(delivered));
    if let Some((text, _)) = &means {
        finding.sentence.push(' ');
        finding.sentence.push_str(text);
    }
    finding.told_in = Some(RowsOf::Paths);
    grounds.close(&mut finding);
    let flows = [Some(current), delivered].map(|term| sheet.figure(term?).ok());
    let row = PathRow {
        way: path.items.iter().map(|i| i.id.clone()).collect(),
        from: the(start),
        to: the(end),
        most: rows::most(flows.iter().flatten().map(Cell::figure)),
        limit: limit.what.clone(),
        printed: strongest(&ratings(case, start))
            .map_or_else(String::new, |p| format!("“{}”", p.rating)),
        means: means.map(|(_, means)| means).unwrap_or_default(),
    };
    Some((finding, Some(row)))
}

/// Says what is known of a path to a cell whose charger states no limit: nothing but a bound.
fn unset(
    sheet: &Sheet,
    case: &Case<'_>,
    path: &Path<'_>,
    finding: &mut Finding,
    grounds: &mut Grounds,
) {
    let end = path.end();
    let inner = path.items.iter().rev().skip(1);
    let mut stages = inner.filter(|i| i.converts.is_some() || is_unknown_stage(i));
    let why = match stages.next() {
        Some(stage) if is_unknown_stage(stage) => {
            format!(
                "how {} converts is not recorded, and no limit of it",
                the(stage)
            )
        }
        Some(stage) => format!("{} states no limit", the(stage)),
        None => "no charger is recorded on the way".to_string(),
    };
    let stated = end.cell.as_ref().and_then(|c| c.charge_current.as_ref());
    let bound = match stated {
        Some(stated) => {
            format!(" Its maker allows {stated} at most, which does not say what flows.")
        }
        None => match plausible(sheet, case, end, grounds) {
            Some((current, words)) => {
                let figure = sheet.figure(current);
                let text = figure.as_ref().map(|f| f.text.clone()).unwrap_or_default();
                finding.add_result(
                    word!("greatest-charge-current"),
                    "greatest plausible charge current",
                    figure,
                );
                let words = words.trim_end_matches(',');
                format!(" The {words}, would be {text}: a bound, not a value.")
            }
            None => String::new(),
        },
    };
    finding.verdict = Some(Verdict::NeedsEvidence);
    finding.sentence = format!(
        "What reaches {} from {} is not known, because {why}.{bound}",
        the(end),
        the(path.start())
    );
    finding.missing.push(Missing::at_any_time(format!(
        "measure the charge current of {}, or identify its charger and what sets its current",
        the(end)
    )));
}

/// Returns what tells a way apart: its items, and each link that is not the first between two of them.
fn way(case: &Case<'_>, path: &Path<'_>) -> Vec<String> {
    let mut words: Vec<String> = path.items.iter().map(|i| i.id.clone()).collect();
    for (hop, link) in path.items.windows(2).zip(&path.links) {
        let mut alike = case
            .network()
            .after(hop[0])
            .filter(|(to, _)| to.id == hop[1].id);
        let is_first = alike
            .next()
            .is_none_or(|(_, first)| first.number == link.number);
        if !is_first {
            words.push(case.link_place(*link).to_string());
        }
    }
    words
}

/// Adds the heat in every stage that burns the difference of voltages.
fn heat<'s>(
    sheet: &'s Sheet,
    path: &Path<'_>,
    chain: &Chain<'s>,
    current: Term<'s>,
    finding: &mut Finding,
) {
    for (k, (item, stage)) in path.items.iter().zip(&chain.stages).enumerate() {
        let Some(conversion) = &item.converts else {
            continue;
        };
        let linear = matches!(
            conversion.kind,
            ConversionKind::LinearCharger | ConversionKind::LinearRegulator
        );
        // Only where the current in this stage is the current at the end.
        let same = chain.stages[k..]
            .iter()
            .all(|s| matches!(s.ratio, Ratio::One));
        if let (true, true, Some(from), Some(to)) = (linear, same, stage.volts_in, stage.volts_out)
        {
            let name = format!("heat in {} fed from {}", called(item), path.start().name);
            let heat = ((from - to) * current).named(&name, &unit("W"));
            let key = FigureKey::from(word!("heat")).of(Place::item(&item.id));
            finding.add_result(key, "heat", sheet.figure(heat));
            if is_charger(conversion) {
                finding.cite("A linear charger passes the same current in and out: efficiency = V cell ÷ V in, heat = (V in − V cell) × I");
            }
        }
    }
}

fn table(chain: &Chain<'_>, binding: usize, end: &Item, way: &str) -> Detail {
    let rows = chain
        .limits
        .iter()
        .enumerate()
        .map(|(k, limit)| {
            vec![
                Cell::words(&limit.what),
                Cell::quantity(tidy(limit.amps), unit("A")),
                Cell::words(if k == binding { "limits" } else { "" }),
            ]
        })
        .collect();
    Detail::Table(Table {
        caption: format!("Limits on the way {}, as current at {}", way, the(end)),
        columns: vec![
            Column::words("Limit"),
            Column::quantity("Current"),
            Column::words(""),
        ],
        rows,
    })
}

/// Explains a rating far above what the path takes: in sentences, and as the cell of a row.
fn rating_above<'s>(
    case: &Case<'_>,
    path: &Path<'_>,
    sheet: &'s Sheet,
    taken: Option<Term<'s>>,
) -> Option<(String, String)> {
    let start = path.start();
    let all = ratings(case, start);
    let printed = strongest(&all)?;
    let (rated, used) = (printed.rating.greatest_power()?, sheet.value(taken?).ok()?);
    if used <= 0.0 || rated < FAR_ABOVE * used {
        return None;
    }
    let network = case.network();
    let mut others: Vec<&Item> = Vec::new();
    let mut told = HashSet::from([path.end().id.as_str()]);
    for end in network.paths_from(start).iter().map(Path::end) {
        if network.ends(end) && told.insert(&end.id) {
            others.push(end);
        }
    }
    others.sort_by_key(|i| case.tree().number(&i.id));
    let others: Vec<String> = others.into_iter().map(the).collect();
    let rest = if others.is_empty() {
        "It is not a charging speed".to_string()
    } else {
        format!(
            "The rest can go to {} at the same time; it is not a charging speed",
            listed(others)
        )
    };
    let printed_watts =
        printed.rating.total.is_some() || printed.rating.choices.iter().any(|c| c.power.is_some());
    let product = match printed_watts {
        true => String::new(),
        false => format!(" ({})", format_quantity(tidy(rated), &unit("W"))),
    };
    let times = format!(
        "{:.1} times the {} that this path takes",
        rated / used,
        format_quantity(tidy(used), &unit("W"))
    );
    let sentence = format!(
        "The {} prints “{}”{product}, {times}. {rest}.",
        printed.by, printed.rating
    );
    Some((sentence, format!("{times}; not a charging speed")))
}
