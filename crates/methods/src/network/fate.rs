//! What a voltage meets on its way.
//!
//! In: a path and a voltage at its start. Out: whether it is cut off, harms a part, or is stood.
//! Not here: currents; which voltage.

use super::graph::Path;
use crate::grounds::Grounds;
use crate::words::the;
use quantity::Dimension;
use record::{Item, Place};

/// What a voltage at the start of a path meets.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum VoltageFate {
    /// No item on the way states a threshold or a maximum.
    Unknown,
    /// Every stated maximum is at least the voltage; the text names the tightest.
    Survives(String),
    /// A protector opens before anything is harmed.
    Blocked(String),
    /// An absolute maximum is exceeded.
    Exceeds(String),
}

/// Walks a voltage along the path up to the first converter.
pub(crate) fn voltage_fate(path: &Path<'_>, volts: f64, grounds: &mut Grounds) -> VoltageFate {
    let mut tightest: Option<(f64, String)> = None;
    for item in &path.items {
        if let Some((limit, text)) = rated(item, "input-absolute-maximum", "withstands", grounds) {
            if volts > limit {
                return VoltageFate::Exceeds(text);
            }
            if tightest.as_ref().is_none_or(|(best, _)| limit < *best) {
                tightest = Some((limit, text));
            }
        }
        if let Some((limit, text)) = rated(item, "over-voltage-threshold", "opens above", grounds)
            && volts > limit
        {
            return VoltageFate::Blocked(text);
        }
        let converts = item
            .converts
            .as_ref()
            .is_some_and(|c| c.kind != record::ConversionKind::Switch);
        if converts {
            break;
        }
    }
    tightest.map_or(VoltageFate::Unknown, |(_, text)| {
        VoltageFate::Survives(text)
    })
}

fn rated(item: &Item, key: &str, words: &str, grounds: &mut Grounds) -> Option<(f64, String)> {
    let stated = item.part.as_ref()?.ratings.get(key)?;
    let place = Place::item(&item.id).at("part.ratings").at_key(key);
    if stated.dimension() != Dimension::VOLTAGE {
        grounds.unused(format!(
            "{place}: expected voltage, found {} ({stated})",
            stated.dimension()
        ));
        return None;
    }
    grounds.evidence(place);
    Some((stated.si(), format!("{} {words} {stated}", the(item))))
}
