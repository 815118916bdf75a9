//! Claims that a part can be replaced, or the product repaired.
//!
//! In: the claim with the part it is about, the ways on record, facts on locks. Out: a verdict where the printed words
//! permit one. It holds where the way there and back was gone, everything on it can be had, and another part works; it
//! fails where a lock keeps another part out, or where a step that has no other way cannot be undone or asks for more than
//! the words allow. One recorded way that is hard proves nothing: there may be another.
//! Not here: rules of regulations (`repair`).

use super::begin;
use super::wanted::wanted;
use crate::cells::is_cell;
use crate::precedence::{WayTo, all, goes_back};
use crate::words::{capital, listed, the};
use crate::{Case, Cell, Finding, Judgement, OpenReason, Verdict};
use record::{Claim, Item, Place, Skill, Step, ToolClass, Undo};

/// Settles a claim on repair.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let said = Said::of(claim);
    let parts = parts(case, claim, &said);
    if parts.is_empty() {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence =
            "This names no part that is on record and no condition: not testable as printed."
                .into();
        let why = "it would be testable as “the battery can be replaced by the user without tools”";
        finding.judgement = Some(Judgement::nothing(OpenReason::NotTestable, why));
        finding.missing.push(wanted(case, claim, None, None));
        return finding;
    }
    let judged: Vec<(Option<bool>, Vec<String>)> = parts
        .iter()
        .map(|item| judged(case, item, &said, &mut finding))
        .collect();
    let is = all(judged.iter().map(|(is, _)| *is));
    let reasons: Vec<String> = judged
        .iter()
        .filter(|(one, _)| *one == is)
        .flat_map(|(_, reasons)| reasons.clone())
        .collect();
    let verdict = match is {
        Some(true) => Verdict::Holds,
        Some(false) => Verdict::Fails,
        None => Verdict::Undecided,
    };
    finding.verdict = Some(verdict);
    let why = listed(reasons);
    finding.sentence = format!("{}.", capital(&why));
    let names = listed(parts.iter().map(|item| the(item)).collect());
    // What is not recorded was not found.
    let judgement = match verdict {
        Verdict::Undecided => Judgement::nothing(OpenReason::NotTried, why),
        _ => Judgement::found(Cell::words(why), "by the steps on record"),
    };
    finding.judgement = Some(
        judgement
            .meaning(format!(
                "that {names} can be taken out and another put in{}",
                said.words()
            ))
            .open(verdict, OpenReason::NotTried),
    );
    if verdict == Verdict::Undecided {
        finding.missing.push(wanted(case, claim, None, None));
    }
    finding
}

/// What the printed words ask for beside replacing.
struct Said {
    battery: bool,
    by_user: bool,
    no_tools: bool,
}

impl Said {
    fn of(claim: &Claim) -> Self {
        let text = claim.text.to_lowercase();
        let says = |words: &[&str]| words.iter().any(|word| text.contains(word));
        Self {
            battery: says(&["batter", "cell"]),
            by_user: says(&["user", "yourself", "owner", "customer", "at home"]),
            no_tools: says(&[
                "without tools",
                "no tools",
                "tool-free",
                "toolless",
                "tool-less",
                "by hand",
            ]),
        }
    }

    fn words(&self) -> String {
        let mut words = Vec::new();
        if self.by_user {
            words.push("by the user".to_string());
        }
        if self.no_tools {
            words.push("without tools".to_string());
        }
        match words.is_empty() {
            true => String::new(),
            false => format!(" {}", listed(words)),
        }
    }
}

/// The parts that a claim is about: the one it names, or all cells where it speaks of the battery.
fn parts<'d>(case: &Case<'d>, claim: &Claim, said: &Said) -> Vec<&'d Item> {
    let named = claim.says.item.as_deref().and_then(|id| case.item(id));
    let root = case.tree().root().map(|root| root.id.as_str());
    match named {
        Some(item) if Some(item.id.as_str()) != root && !said.battery => vec![item],
        Some(item) if is_cell(item) => vec![item],
        within if said.battery => {
            let inside =
                |item: &&Item| within.is_none_or(|outer| case.tree().within(&item.id, &outer.id));
            case.dossier
                .items
                .iter()
                .filter(|i| is_cell(i))
                .filter(inside)
                .collect()
        }
        _ => Vec::new(),
    }
}

/// Judges one part; with the reasons that decide, or that leave it open.
fn judged(
    case: &Case<'_>,
    item: &Item,
    said: &Said,
    finding: &mut Finding,
) -> (Option<bool>, Vec<String>) {
    let Some(way) = case.item(&item.id).and_then(|item| WayTo::find(case, item)) else {
        return (None, vec![format!("no recorded step frees {}", the(item))]);
    };
    let steps = &case.dossier.steps;
    finding.add_evidence(way.route.steps.iter().map(|&i| Place::step(&steps[i].id)));
    let mut tests: Vec<(Option<bool>, String)> = Vec::new();
    for (number, step) in way.route.steps.iter().map(|&i| (i + 1, &steps[i])) {
        let text = step.text.trim_end_matches('.');
        tests.push((
            step.done.then_some(true),
            format!("step {number} (“{text}”) is only planned"),
        ));
        tests.push((
            kept(step, goes_back(step)),
            format!("step {number} (“{text}”) {}", back_words(step)),
        ));
        if said.no_tools {
            let class = ::repair::tools::class(step);
            let free = (class != ToolClass::Unknown).then_some(class == ToolClass::None);
            let tool = step.tool.as_deref().unwrap_or("a tool");
            tests.push((kept(step, free), format!("step {number} takes {tool}")));
        }
        if said.by_user {
            let layman = step
                .skill
                .filter(|s| *s != Skill::Unknown)
                .map(|s| s == Skill::Layman);
            let words = match layman {
                Some(false) => format!("step {number} (“{text}”) asks for more than a user"),
                _ => format!("it is not recorded whether a user can do step {number} (“{text}”)"),
            };
            tests.push((kept(step, layman), words));
        }
    }
    let another = way.lock(case).map(|locked| !locked);
    let words = match another {
        Some(false) => format!(
            "a replacement of {} works only where the maker lets it",
            the(item)
        ),
        _ => format!(
            "it was not tried whether a replacement of {} works",
            the(item)
        ),
    };
    tests.push((another, words));
    let is = all(tests.iter().map(|(is, _)| *is));
    if is == Some(true) {
        let word = if way.route.steps.len() == 1 {
            "step"
        } else {
            "steps"
        };
        let told = format!(
            "{} comes out in {} {word}, the product goes back together, and a replacement works",
            the(item),
            way.route.steps.len()
        );
        return (is, vec![told]);
    }
    let mut reasons = tests
        .into_iter()
        .filter(|(one, _)| *one == is)
        .map(|(_, why)| why);
    // The first two tell enough.
    (is, reasons.by_ref().take(2).collect())
}

/// One way that does not do is no proof, unless it is the only one.
fn kept(step: &Step, is: Option<bool>) -> Option<bool> {
    is.filter(|is| *is || step.only_way)
}

fn back_words(step: &Step) -> &'static str {
    match (step.undo, step.only_way) {
        (Undo::No, true) => "cannot be undone, and there is no other way",
        (Undo::No, false) => "cannot be undone, and another way was not looked for",
        (Undo::WithNewMaterial, _) => {
            "needs new material of which it is not recorded whether it can be had"
        }
        _ => "may or may not go back",
    }
}
