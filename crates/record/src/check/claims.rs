//! Every kind of claim states what it needs to be judged, in the right dimension.

use super::Check;
use super::quantities::inner_span;
use crate::grammar::{Asked, claim_measure, says_presence};
use crate::tree::Node;
use quantity::{Dimension, Stated};

pub(super) fn claims(check: &mut Check<'_>, root: &Node) {
    for claim in root.list("claims") {
        let Some(kind) = claim.text("kind") else {
            continue;
        };
        if let Some(asked) = claim_measure(kind) {
            value(check, claim, kind, asked);
        } else if says_presence(kind) {
            let by_part = matches!(kind, "part" | "first")
                && (claim.get("role").is_some() || claim.get("maker").is_some());
            if !by_part {
                need(check, claim, kind, "names", "\"…\"");
            }
        } else if kind == "resolution" && claim.get("value").is_none() {
            need(check, claim, kind, "names", "\"…\"");
        } else if matches!(kind, "input" | "output" | "cable") {
            need(check, claim, kind, "rating", "\"9 V ⎓ 2 A\"");
        }
        if kind == "quick-charge" {
            need(check, claim, kind, "after", "\"10 min\"");
        }
        if kind == "dimension" && claim.get("says").and_then(|s| s.get("dimension")).is_none() {
            let span = claim.get("says").unwrap_or(claim).span.clone();
            check.report(
                &span,
                "a claim of kind dimension has to say which dimension",
                "add it: says = { item = \"…\", dimension = \"…\" } with length, width, height, thickness or diameter",
            );
        }
        tolerance(check, claim);
    }
}

fn need(check: &mut Check<'_>, claim: &Node, kind: &str, key: &str, example: &str) {
    if claim.get(key).is_none() && !check.partial {
        check.report(
            &claim.span,
            format!("a claim of kind {kind} has to state `{key}`"),
            match example {
                "\"…\"" => format!("add {key} = {example}"),
                _ => format!("add {key} = \"…\" as printed, written like {example}"),
            },
        );
    }
}

fn value(check: &mut Check<'_>, claim: &Node, kind: &str, asked: &Asked) {
    let Some(node) = claim.get("value") else {
        need(
            check,
            claim,
            kind,
            "value",
            &format!("\"{}\"", asked.example),
        );
        return;
    };
    if let Some(stated) = stated(node) {
        check.fits(asked, &stated, node, "value");
    }
}

/// A tolerance is a share in percent, or has the dimension of the value.
fn tolerance(check: &mut Check<'_>, claim: &Node) {
    let (Some(node), Some(value)) = (claim.get("tolerance"), claim.get("value").and_then(stated))
    else {
        return;
    };
    let Some(tolerance) = stated(node) else {
        return;
    };
    let found = tolerance.dimension();
    let kelvin = value.dimension() == Dimension::TEMPERATURE;
    if !found.is_none() && found != value.dimension() && !kelvin {
        check.report(
            &inner_span(check.source.text, node),
            format!(
                "`tolerance` is a {found}, but `value` is a {} ({})",
                value.dimension(),
                value.text
            ),
            "write it in percent, or in the unit of the value",
        );
    }
}

/// Reads a quantity that the shape check has already judged.
pub(super) fn stated(node: &Node) -> Option<Stated> {
    Stated::parse(node.as_text()?).ok()
}
