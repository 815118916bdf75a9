//! Does the measured body fit the package of the identity?
//!
//! A difference is significant when it exceeds twice the measured standard uncertainty and the tolerance
//! of a package body together. Package outlines allow ±0.1 mm for small plastic bodies and up to ±0.2 mm
//! for larger ones (outline standards such as MO-220, MO-153 and MO-187 as quoted in public footprint
//! data), so 0.2 mm is taken as the standard package tolerance, as a limit.

use super::explain;
use crate::assessment::{body_mm, folded};
use crate::assumed;
use crate::inputs;
use crate::words::the;
use crate::{Case, Finding, Method, Verdict};
use catalogue::{Outline, Part};
use quantity::{Input, Origin, Sheet, Source, format_quantity};
use record::{Item, Place};

/// Limit of the tolerance of a package body, mm.
const TOLERANCE_MM: f64 = assumed::PACKAGE_TOLERANCE.number();

/// Answers for one part; `None` where the body fits or too little is known.
pub(super) fn examine<'d>(case: &Case<'d>, item: &'d Item) -> Option<Finding> {
    let facts = item.part.as_ref()?;
    let identity = facts.identity.as_ref()?;
    let measured = body_mm(case, item)?;
    let bodies: Vec<(String, [f64; 2])> = case.known.named(identity).flat_map(bodies).collect();
    let off = |body: &[f64; 2]| {
        let excess = |i: usize| {
            let (mm, u): (f64, f64) = measured[i];
            (mm - body[i]).abs() - TOLERANCE_MM - 2.0 * u
        };
        excess(0).max(excess(1))
    };
    let (package, body) = bodies
        .iter()
        .min_by(|a, b| off(&a.1).total_cmp(&off(&b.1)))?;
    if off(body) <= 0.0 {
        return None;
    }
    let mut finding = Finding::new(
        Method::Markings,
        word!("size"),
        format!("Does {} fit the package of its part?", the(item)),
    )
    .about(Place::item(&item.id));
    finding.verdict = Some(Verdict::Fails);
    finding.sentence = format!(
        "We took {} for {}, which comes as {package}, {} ×\u{202f}{}. The part measures {} ×\u{202f}{}: identity or \
         measurement is wrong.",
        the(item),
        identity.name,
        mm(body[0]),
        mm(body[1]),
        mm(measured[0].0),
        mm(measured[1].0)
    );
    let sides = [
        (word!("length-difference"), "length"),
        (word!("width-difference"), "width"),
    ];
    for (at, (key, name)) in sides.into_iter().enumerate() {
        let Some(input) = case.sizes().input(item, name) else {
            continue;
        };
        // Sides are compared longer with longer.
        let swapped = (input.distribution.mean() * 1e3 - measured[at].0).abs() > f64::EPSILON * 1e3;
        let wanted = body[if swapped { 1 - at } else { at }];
        let sheet = Sheet::new();
        let source = Source {
            origin: Origin::DataSheet,
            evidence: Vec::new(),
            note: format!("catalogue, {package}"),
        };
        let given = sheet.input(Input::exact(
            format!("{name} of {package}"),
            wanted,
            inputs::unit("mm"),
            source,
        ));
        let excess = (sheet.input(input) - given)
            .named(&format!("{name}, measured less given"), &inputs::unit("mm"));
        finding.add_result(key, name, sheet.figure(excess));
    }
    if facts
        .package
        .as_deref()
        .is_some_and(|p| folded(p) != folded(package))
    {
        finding.unused.push(format!(
            "the recorded package {}: the catalogue knows this part as {package}",
            facts.package.as_deref().unwrap_or_default()
        ));
    }
    finding.assume(format!(
        "A package body keeps to its nominal size within {}; common practice of package outlines. A \
         difference counts when it exceeds this and twice the standard uncertainty of the measurement.",
        mm(TOLERANCE_MM)
    ));
    explain(&mut finding);
    Some(finding)
}

/// The bodies a catalogue part comes in, the longer side first.
fn bodies(part: &Part) -> Vec<(String, [f64; 2])> {
    let named = part
        .packages
        .first()
        .cloned()
        .unwrap_or_else(|| "its package".to_string());
    let stated = part.body_mm.map(|body| (named, body));
    let outlines = part
        .packages
        .iter()
        .filter_map(|p| Some((p.clone(), Outline::read(p)?.body_mm?)));
    stated.into_iter().chain(outlines).collect()
}

fn mm(value: f64) -> String {
    // Packages are given to a hundredth of a millimetre.
    format_quantity((value * 100.0).round() / 100.0, &inputs::unit("mm"))
}
