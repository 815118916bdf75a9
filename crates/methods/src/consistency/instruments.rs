//! Instruments: each reads what it is made for, and no limit of error swallows what is read.

use super::Contradiction;
use crate::assumed::PLAUSIBLE_ERROR;
use crate::{Cancelled, Case};
use quantity::{Dimension, Stated};
use record::{Instrument, Place};

/// What an instrument is made for. A meter for electricity also logs time and temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sort {
    Mass,
    Length,
    Time,
    Temperature,
    Level,
    Electric,
}

impl Sort {
    fn of(dimension: Dimension) -> Option<Self> {
        Some(match dimension {
            Dimension::MASS => Self::Mass,
            Dimension::LENGTH => Self::Length,
            Dimension::TIME => Self::Time,
            Dimension::TEMPERATURE => Self::Temperature,
            Dimension::LEVEL => Self::Level,
            Dimension::CURRENT
            | Dimension::VOLTAGE
            | Dimension::RESISTANCE
            | Dimension::CHARGE
            | Dimension::ENERGY
            | Dimension::POWER => Self::Electric,
            _ => return None,
        })
    }

    fn reads(self, other: Self) -> bool {
        self == other || self == Self::Electric && matches!(other, Self::Time | Self::Temperature)
    }
}

/// Returns the figures of an instrument that say what it is made for.
fn figures(instrument: &Instrument) -> impl Iterator<Item = (&'static str, &Stated)> {
    let all = [
        ("resolution", instrument.resolution.as_ref()),
        ("accuracy", instrument.accuracy.as_ref()),
        ("repeatability", instrument.repeatability.as_ref()),
    ];
    all.into_iter()
        .filter_map(|(key, stated)| Some((key, stated?)))
}

/// Returns the contradictions about instruments.
pub(super) fn found(case: &Case<'_>) -> Result<Vec<Contradiction>, Cancelled> {
    let mut found = Vec::new();
    for instrument in &case.dossier.instruments {
        case.go_on()?;
        found.extend(too_wide(instrument));
        found.extend(two_sorts(instrument));
    }
    for reading in &case.dossier.readings {
        case.go_on()?;
        let name = format!("Reading {}", reading.id);
        let id = reading.instrument.as_deref();
        found.extend(wrong_one(
            case,
            Place::reading(&reading.id),
            &name,
            &reading.value,
            id,
        ));
    }
    for item in &case.dossier.items {
        for (at, load) in item.loads.iter().enumerate() {
            let name = format!("The load of {} on {}", item.name, load.mode);
            let place = Place::load(item, at).unwrap_or_else(|| Place::item(&item.id));
            found.extend(wrong_one(
                case,
                place,
                &name,
                &load.current,
                load.instrument.as_deref(),
            ));
        }
    }
    Ok(found)
}

fn too_wide(instrument: &Instrument) -> Option<Contradiction> {
    let is_share = |s: &&Stated| s.dimension().is_none();
    let (key, stated) = figures(instrument)
        .find(|(_, s)| is_share(s) && s.high_si().abs() > PLAUSIBLE_ERROR.si())?;
    Some(Contradiction {
        rule: "error-beyond-the-reading",
        about: Place::instrument(&instrument.id).at(key),
        subject: format!("how far {} may be off", instrument.name),
        what: format!(
            "{} is recorded with {} of {stated} of what it reads, more than {} (an instrument that far off \
             measures nothing)",
            instrument.name,
            if key == "accuracy" {
                "a limit of error"
            } else {
                "a repeatability"
            },
            PLAUSIBLE_ERROR.text()
        ),
        so: format!(
            "The uncertainty of everything read on it depends on it. Correct `{key}`; leave it out where it is \
             not known"
        ),
        places: Vec::new(),
        with: None,
    })
}

fn two_sorts(instrument: &Instrument) -> Option<Contradiction> {
    let made_for = |s: &Stated| Sort::of(s.dimension());
    let sorts: Vec<(&str, &Stated, Sort)> = figures(instrument)
        .filter_map(|(key, s)| Some((key, s, made_for(s)?)))
        .collect();
    let (first, rest) = sorts.split_first()?;
    let other = rest
        .iter()
        .find(|o| !first.2.reads(o.2) && !o.2.reads(first.2))?;
    Some(Contradiction {
        rule: "two-sorts-of-figures",
        about: Place::instrument(&instrument.id),
        subject: format!("what {} measures", instrument.name),
        what: format!(
            "{} has {} {} and {} {}, which no one instrument has",
            instrument.name, first.0, first.1, other.0, other.1
        ),
        so: "The uncertainty of what is read on it depends on both. Correct one of them"
            .to_string(),
        places: Vec::new(),
        with: None,
    })
}

fn wrong_one(
    case: &Case<'_>,
    about: Place,
    name: &str,
    value: &Stated,
    instrument: Option<&str>,
) -> Option<Contradiction> {
    let instrument = case.lookup().instrument(instrument?)?;
    let read = Sort::of(value.dimension())?;
    let (key, stated, sort) =
        figures(instrument).find_map(|(key, s)| Some((key, s, Sort::of(s.dimension())?)))?;
    (!sort.reads(read)).then(|| Contradiction {
        rule: "wrong-instrument",
        about,
        subject: format!("what {} was read on", name.to_lowercase()),
        what: format!(
            "{name} is {value}, but {} has a {key} of {stated} and reads {}",
            instrument.name,
            stated.dimension()
        ),
        so: "Its uncertainty is taken from the instrument. Correct `instrument`".to_string(),
        places: vec![Place::instrument(&instrument.id)],
        with: None,
    })
}
