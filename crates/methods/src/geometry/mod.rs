//! How big is it? What photographs with a known length in view say about the sizes in the record.
//!
//! In: photographs with a scale and regions of items. Out: for each photograph the sizes measured in
//! it, those of the record that they contradict, and the package outlines that fit.
//! Not here: pixels, the fit of the plane (`imaging::geometry`).
//! Page: `docs/methods/geometry.md`.
//!
//! Only a region said to be the outline of its item is measured. It is a rectangle along the sides of the
//! picture, so it measures a thing that lies along them:
//! its length and width if it is rectangular, its diameter if it is round.

mod compare;
mod sight;

use crate::{Detail, Finding, Method, Verdict};
use compare::Compared;
use imaging::geometry::{Seen, matching, outlines};
use record::{Dossier, Item, Photo};
use sight::Sight;

/// Differences beyond so many standard uncertainties contradict (JCGM 100:2008, 6.2: k = 3 for about
/// 99.7 %).
const FAR: f64 = 3.0;

/// Answers for every photograph with a scale in which something of recorded size is marked.
pub fn examine(dossier: &Dossier) -> Vec<Finding> {
    dossier
        .photos
        .iter()
        .filter_map(|photo| one(dossier, photo))
        .collect()
}

fn one(dossier: &Dossier, photo: &Photo) -> Option<Finding> {
    photo.scale.as_ref()?;
    let title = format!("How big are the things in “{}”?", photo.caption);
    let mut finding =
        Finding::new(Method::Geometry, format!("geometry.{}", photo.id), title).about(&*photo.id);
    finding.add_evidence([format!("photo:{}", photo.id)]);
    let sight = match Sight::of(photo) {
        Ok(sight) => sight,
        Err(why) => {
            finding.sentence = format!("The scale of photograph '{}' gives no measure.", photo.id);
            finding.unused.push(why);
            return Some(finding);
        }
    };
    let mut rows = Vec::new();
    let mut against = Vec::new();
    let (mut compared, mut measured) = (0, 0);
    for region in photo.regions.iter().filter(|r| r.outline) {
        let Some(item) = region.item.as_deref().and_then(|id| dossier.item(id)) else {
            continue;
        };
        let found = compare::compare(dossier, &sight, region, item);
        measured += usize::from(!found.is_empty());
        for c in &found {
            if c.recorded.is_some() {
                compared += 1;
            }
            if c.z.is_some_and(|z| z.abs() > FAR) {
                against.push(format!(
                    "{} of {} is recorded as {} and measured as {}",
                    c.side,
                    item.name,
                    c.recorded_text,
                    c.measured_text()
                ));
                finding.add_result(&c.name, c.figure(photo, region));
                finding.add_evidence(c.places.iter().cloned());
            }
        }
        let outline = outline(item, &found);
        for (n, c) in found.iter().enumerate() {
            rows.push(vec![
                if n == 0 {
                    item.name.clone()
                } else {
                    String::new()
                },
                c.side.to_string(),
                c.measured_text(),
                c.recorded_text.clone(),
                c.z.map_or_else(String::new, |z| format!("{z:.1}")),
                if n == 0 {
                    outline.clone()
                } else {
                    String::new()
                },
            ]);
        }
    }
    if measured == 0 {
        return None;
    }
    finding.verdict = (compared > 0).then_some(if against.is_empty() {
        Verdict::Holds
    } else {
        Verdict::Fails
    });
    finding.sentence = if compared == 0 {
        format!("{measured} things are measured; the record has no size to compare them with.")
    } else if against.is_empty() {
        format!("{compared} recorded sizes agree with what the photograph shows.")
    } else {
        format!(
            "{} of {compared} recorded sizes disagree with what the photograph shows: {}.",
            against.len(),
            against.join("; ")
        )
    };
    finding.details.push(Detail::Table {
        caption: format!("Sizes in “{}”", photo.caption),
        columns: [
            "Thing",
            "Size",
            "In the photograph",
            "Recorded",
            "Difference, standard uncertainties",
            "Package outlines that fit",
        ]
        .map(String::from)
        .to_vec(),
        rows,
    });
    sight.explain(&mut finding);
    finding.assume(format!(
        "A difference beyond {FAR} standard uncertainties contradicts. Mark a thing closer, or measure it with \
         an instrument, to change this."
    ));
    Some(finding)
}

/// The likeliest package outlines of a part that was measured on two sides.
fn outline(item: &Item, found: &[Compared<'_>]) -> String {
    let Some(part) = item.part.as_ref() else {
        return String::new();
    };
    let [a, b] = found else {
        return String::new();
    };
    let seen = Seen {
        length: a.measured,
        width: b.measured,
        pitch: None,
        pins: part.pins,
    };
    let matches = matching(&seen, outlines(), &[]);
    let named: Vec<String> = matches
        .ranked
        .iter()
        .take(2)
        .map(|m| {
            format!(
                "{} {}",
                m.outline.name,
                crate::markings::percent(m.probability)
            )
        })
        .collect();
    if named.is_empty() {
        "none known".to_string()
    } else {
        named.join("; ")
    }
}
