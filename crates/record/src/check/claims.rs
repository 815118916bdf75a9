//! Every kind of claim states what it needs to be judged, in the right dimension.

use super::Check;
use super::quantities::inner_span;
use crate::grammar::{claim_measure, claim_needs};
use crate::tree::Node;
use quantity::{Dimension, Stated};

pub(super) fn claims(check: &mut Check<'_>, root: &Node) {
    for claim in root.list("claims") {
        let Some(kind) = claim.text("kind") else {
            continue;
        };
        if let (Some(asked), Some(node)) = (claim_measure(kind), claim.get("value"))
            && let Some(stated) = stated(node)
        {
            check.fits(asked, &stated, node, "value");
        }
        let has = |path: &str| match path.split_once('.') {
            Some((table, key)) => claim.get(table).and_then(|t| t.get(key)).is_some(),
            None => claim.get(path).is_some(),
        };
        for key in claim_needs(kind, has) {
            need(check, claim, kind, key);
        }
        tolerance(check, claim);
    }
}

fn need(check: &mut Check<'_>, claim: &Node, kind: &str, key: &str) {
    if key == "says.dimension" {
        let span = claim.get("says").unwrap_or(claim).span.clone();
        check.report(
            &span,
            "a claim of kind dimension has to say which dimension",
            "add it: says = { item = \"…\", dimension = \"…\" } with length, width, height, thickness or diameter",
        );
        return;
    }
    if check.partial {
        return;
    }
    let like = |example: &str| format!("add {key} = \"…\" as printed, written like \"{example}\"");
    let remedy = match key {
        "rating" => like("9 V ⎓ 2 A"),
        "after" => like("10 min"),
        "value" => like(claim_measure(kind).map_or("83.4 g", |asked| asked.example)),
        _ => format!("add {key} = \"…\""),
    };
    check.report(
        &claim.span,
        format!("a claim of kind {kind} has to state `{key}`"),
        remedy,
    );
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
