//! The judgement: how the printed claims came out, in at most 32 words.
//!
//! In: claims with their findings. Out: sentences, made from kind and direction of each failure and never by
//! cutting other sentences. Not here: the verdicts.

use super::super::{Page, summary};
use super::{is_claim, owner_words};
use crate::words::capital;
use methods::words::listed;
use methods::{Cell, Finding, Margin, Method, Verdict};
use record::{Claim, ClaimKind};

/// Failures told one by one; more are counted.
const TOLD: usize = 4;

/// Makes the judgement.
pub(super) fn judgement(page: &Page<'_>) -> String {
    let findings: Vec<&Finding> = page
        .of(Method::Claims)
        .filter(|f| f.verdict.is_some())
        .collect();
    if findings.is_empty() {
        return "No printed claim is on record.".into();
    }
    let count = |verdict| {
        findings
            .iter()
            .filter(|f| f.verdict == Some(verdict))
            .count()
    };
    let all = findings.len();
    let (fail, hold, open) = (
        count(Verdict::Fails),
        count(Verdict::Holds),
        count(Verdict::Undecided) + count(Verdict::NeedsEvidence),
    );
    if fail == 0 && hold == 0 {
        return format!(
            "None of the {} could be decided.",
            crate::words::counted(all, "printed claim", "printed claims")
        );
    }
    if fail == 0 {
        let rest = match open {
            0 => String::new(),
            n => format!(
                ", {} {} open",
                number(n),
                if n == 1 { "stays" } else { "stay" }
            ),
        };
        return format!(
            "No printed claim fails; {} of {all} {}{rest}.",
            number(hold),
            summary::verb(Verdict::Holds, hold)
        );
    }
    let failing: Vec<(&Claim, &Finding)> = page
        .dossier
        .claims
        .iter()
        .filter_map(|claim| {
            let finding = findings
                .iter()
                .find(|f| is_claim(f.about.as_ref(), &claim.id))?;
            (finding.verdict == Some(Verdict::Fails)).then_some((claim, *finding))
        })
        .collect();
    let held = match hold {
        0 => "None holds".to_string(),
        n => format!(
            "{} {}",
            capital(&number(n)),
            summary::verb(Verdict::Holds, n)
        ),
    };
    format!(
        "{} of {} {}: {}. {held}.",
        capital(&number(fail)),
        crate::words::counted(all, "printed claim", "printed claims"),
        summary::verb(Verdict::Fails, fail),
        clauses(page, &failing)
    )
}

/// Says what fails, by the thing that it is said of.
fn clauses(page: &Page<'_>, failing: &[(&Claim, &Finding)]) -> String {
    let told = if failing.len() > TOLD {
        TOLD - 1
    } else {
        failing.len()
    };
    let mut things: Vec<(String, Vec<String>)> = Vec::new();
    for (claim, finding) in &failing[..told] {
        let thing = owner_words(page.dossier, claim.says.item.as_deref());
        let clause = clause(claim, finding);
        match things.iter_mut().find(|(name, _)| *name == thing) {
            Some((_, clauses)) => clauses.push(clause),
            None => things.push((thing, vec![clause])),
        }
    }
    let mut parts: Vec<String> = things
        .into_iter()
        .map(|(thing, clauses)| format!("the {thing} {}", listed(clauses)))
        .collect();
    if failing.len() > told {
        parts.push(format!("{} more", number(failing.len() - told)));
    }
    match parts.pop() {
        Some(last) if parts.is_empty() => last,
        Some(last) => format!("{}, and {last}", parts.join(", ")),
        None => String::new(),
    }
}

/// Says how a claim fails ("is heavier than printed").
fn clause(claim: &Claim, finding: &Finding) -> String {
    let over = is_over(finding);
    let on = claim
        .says
        .mode
        .as_ref()
        .map(|mode| format!(" on {mode}"))
        .unwrap_or_default();
    let than = |more: &str, less: &str| match over {
        Some(true) => Some(more.to_string()),
        Some(false) => Some(less.to_string()),
        None => None,
    };
    let named = claim.role.as_deref().or(claim.names.as_deref());
    let said = match claim.kind {
        ClaimKind::Mass => than("is heavier", "is lighter"),
        ClaimKind::Capacity | ClaimKind::Energy => than("stores more", "stores less"),
        ClaimKind::RunTime => than("runs longer", "runs shorter").map(|words| words + &on),
        ClaimKind::QuickCharge => than(
            "gains more from a short charge",
            "gains less from a short charge",
        ),
        ClaimKind::ChargingTime => than("charges slower", "charges faster"),
        ClaimKind::Recharges => than("gives more recharges", "gives fewer recharges"),
        ClaimKind::Dimension => match claim.says.dimension.as_deref() {
            Some("thickness") => than("is thicker", "is thinner"),
            Some("width" | "diameter") => than("is wider", "is narrower"),
            Some("length") => than("is longer", "is shorter"),
            Some("height") => than("is higher", "is lower"),
            _ => than("is larger", "is smaller"),
        },
        ClaimKind::Delay => than("answers later", "answers sooner"),
        ClaimKind::LuminousFlux => than("gives more light", "gives less light"),
        ClaimKind::NoiseReduction => than("shuts out more noise", "shuts out less noise"),
        ClaimKind::Power => than("takes more power", "takes less power"),
        ClaimKind::Part
        | ClaimKind::Interface
        | ClaimKind::Radio
        | ClaimKind::Function
        | ClaimKind::First => named.map(|what| format!("lacks the {what}")),
        ClaimKind::Input | ClaimKind::Output | ClaimKind::Cable => {
            Some("is labelled wrongly".to_string())
        }
        ClaimKind::Resolution | ClaimKind::ViewAngle => than("sees more", "sees less"),
        ClaimKind::Repair => Some("cannot be replaced or repaired as printed".to_string()),
        ClaimKind::Leading => claim
            .leads
            .map(|_| "is not the foremost it says it is".to_string()),
        ClaimKind::Bands | ClaimKind::Ingress | ClaimKind::Slogan | ClaimKind::Unknown => None,
    };
    said.unwrap_or_else(|| format!("does not keep “{}”", claim.text.trim_end_matches('.')))
}

/// Whether the value found lies above the claim's limits, or below.
fn is_over(finding: &Finding) -> Option<bool> {
    let judgement = finding.judgement.as_ref()?;
    let limits = judgement.limits.as_ref()?;
    let Cell::Quantity(found) = &judgement.found else {
        return None;
    };
    match limits.margin(found.to(&limits.unit)?.value)? {
        Margin::Over(_) => Some(true),
        Margin::Short(_) => Some(false),
        Margin::ToSpare(_) => None,
    }
}

/// Writes a count in words up to twelve.
pub(super) fn number(n: usize) -> String {
    const WORDS: [&str; 13] = [
        "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS
        .get(n)
        .map_or_else(|| n.to_string(), |word| (*word).to_string())
}
