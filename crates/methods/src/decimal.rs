//! Slips of the decimal point: values of one thing that are a tenth, ten or a hundred times another.
//!
//! In: a dossier. Out: [`Slip`]s, each with the value to look at first and the one it does not go with. A slip is a
//! suspicion and no verdict: a maker's figure may be ten times too high. Origin: common practice, from memory.
//! Not here: whether a claim holds (`claims`), contradictions (`consistency`).

use quantity::Stated;
use record::{ClaimKind, Dossier, Item, Place, Reading, ReadingSubject, Thing};

/// A value that looks like one with a wrong decimal point.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    /// The value to look at first.
    pub about: Place,
    /// The value, or values, that it does not go with.
    pub against: Vec<Place>,
    /// What is odd, one sentence without a full stop.
    pub message: String,
}

/// How far from a power of ten two values may be to be taken for the same but for the decimal point, in powers of
/// ten: a factor of 1.26 either way.
const NEAR: f64 = 0.1;
/// The largest slip looked for, in powers of ten.
const MOST: f64 = 3.0;

/// One value of the record that says how much of something there is.
struct Value {
    item: String,
    what: &'static str,
    /// Further words that tell it apart: a mode.
    with: String,
    /// In SI units, of one piece.
    si: f64,
    text: String,
    place: Place,
    /// Whether the analyst read it off the thing, a print on a package left aside.
    is_own: bool,
}

/// Finds the values of a dossier that look like slips of the decimal point.
pub fn slips(dossier: &Dossier) -> Vec<Slip> {
    let values = values(dossier);
    let mut found: Vec<Slip> = Vec::new();
    for (at, value) in values.iter().enumerate().filter(|(_, v)| v.is_own) {
        let same = values.iter().enumerate().filter(|(n, other)| {
            *n != at
                && other.item == value.item
                && other.what == value.what
                && other.with == value.with
        });
        let others: Vec<&Value> = same.map(|(_, other)| other).collect();
        let off = others
            .iter()
            .find_map(|o| Some((*o, power(value.si, o.si)?)));
        let agreeing = others.iter().filter(|o| agree(value.si, o.si)).count();
        let told = |other: &Value| {
            found
                .iter()
                .any(|slip| slip.about == other.place && slip.against.contains(&value.place))
        };
        if let Some((other, power)) = off
            && agreeing == 0
            && !told(other)
        {
            found.push(Slip {
                about: value.place.clone(),
                against: vec![other.place.clone()],
                message: format!(
                    "{} ({}) is about {} the {} recorded elsewhere ({})",
                    value.text,
                    value.place,
                    times(power),
                    value.what,
                    other.text
                ),
            });
        }
    }
    found.extend(sums(dossier, &values, &found));
    found
}

/// Whole things against what is in them.
fn sums(dossier: &Dossier, values: &[Value], told: &[Slip]) -> Vec<Slip> {
    let mass = |item: &Item| {
        values
            .iter()
            .find(|v| v.is_own && v.what == "mass" && v.item == item.id)
    };
    let is_told = |place: &Place| {
        told.iter()
            .any(|slip| slip.about == *place || slip.against.contains(place))
    };
    let mut found = Vec::new();
    for whole in &dossier.items {
        let Some(weighed) = mass(whole).filter(|v| !is_told(&v.place)) else {
            continue;
        };
        let inside: Vec<(&Item, &Value)> = dossier
            .children(&whole.id)
            .filter_map(|item| Some((item, mass(item)?)))
            .collect();
        let heavier = inside.iter().find_map(|(item, piece)| {
            let is_odd = piece.si > weighed.si && !is_told(&piece.place);
            is_odd.then_some((*item, *piece))
        });
        if let Some((item, piece)) = heavier {
            found.push(Slip {
                about: piece.place.clone(),
                against: vec![weighed.place.clone()],
                message: format!(
                    "{} ({}) for {} is more than {} ({}) for {}, which holds it",
                    piece.text, piece.place, item.name, weighed.text, weighed.place, whole.name
                ),
            });
            continue;
        }
        let is_complete = inside.len() == dossier.children(&whole.id).count() && inside.len() > 1;
        let sum: f64 = inside
            .iter()
            .map(|(item, piece)| piece.si * f64::from(item.count.at_least()))
            .sum();
        if let Some(power) = power(weighed.si, sum).filter(|_| is_complete) {
            found.push(Slip {
                about: weighed.place.clone(),
                against: inside.iter().map(|(_, v)| v.place.clone()).collect(),
                message: format!(
                    "{} ({}) is about {} what the pieces of {} weigh together ({:.1} g)",
                    weighed.text,
                    weighed.place,
                    times(power),
                    whole.name,
                    sum * 1e3
                ),
            });
        }
    }
    found
}

/// Returns the power of ten, not 0, by which two values differ, where they differ by nothing else.
fn power(a: f64, b: f64) -> Option<f64> {
    if a <= 0.0 || b <= 0.0 {
        return None;
    }
    let ratio = (a / b).log10();
    let power = ratio.round();
    let is_slip = power.abs() >= 1.0 && power.abs() <= MOST && (ratio - power).abs() < NEAR;
    is_slip.then_some(power)
}

fn agree(a: f64, b: f64) -> bool {
    a > 0.0 && b > 0.0 && (a / b).log10().abs() < NEAR
}

fn times(power: f64) -> String {
    #[allow(
        clippy::cast_possible_truncation,
        reason = "a whole number of few digits"
    )]
    let power = power as i32;
    match power {
        -1 => "a tenth of".to_string(),
        -2 => "a hundredth of".to_string(),
        ..=0 => "a thousandth of".to_string(),
        _ => format!("{:.0} times", 10_f64.powi(power)),
    }
}

/// Gathers what the record says of masses, sizes, charges, energies and times.
fn values(dossier: &Dossier) -> Vec<Value> {
    let root = dossier.items.iter().find(|i| i.parent.is_none());
    let root = root.map_or("", |item| item.id.as_str());
    let mut all: Vec<Value> = dossier.readings.iter().filter_map(of_reading).collect();
    for claim in &dossier.claims {
        let what = match claim.kind {
            ClaimKind::Mass => "mass",
            ClaimKind::Capacity => "charge",
            ClaimKind::Energy => "energy",
            ClaimKind::RunTime => "run time",
            ClaimKind::ChargingTime => "charging time",
            ClaimKind::Dimension => claim.says.dimension.as_deref().map_or("", length_word),
            _ => "",
        };
        if let Some(stated) = &claim.value {
            let item = claim.says.item.as_deref().unwrap_or(root);
            let with = claim.says.mode.clone().unwrap_or_default();
            let place = Place::claim(&claim.id).at("value");
            all.push(stated_value(item, what, with, stated, place));
        }
    }
    for item in &dossier.items {
        for (name, stated) in &item.size {
            let place = Place::item(&item.id).at("size").at_key(name);
            all.push(stated_value(
                &item.id,
                length_word(name),
                String::new(),
                stated,
                place,
            ));
        }
        let Some(cell) = &item.cell else { continue };
        let facts = [
            ("charge", &cell.capacity, "cell.capacity"),
            ("energy", &cell.energy, "cell.energy"),
        ];
        for (what, stated, path) in facts {
            if let Some(stated) = stated {
                let place = Place::item(&item.id).at(path);
                all.push(stated_value(&item.id, what, String::new(), stated, place));
            }
        }
    }
    all.retain(|value| !value.what.is_empty());
    all
}

fn stated_value(
    item: &str,
    what: &'static str,
    with: String,
    stated: &Stated,
    place: Place,
) -> Value {
    let place_is_claim = place.thing() == Thing::Claim;
    Value {
        item: item.to_string(),
        what,
        with,
        si: stated.si(),
        text: stated.text.clone(),
        place,
        is_own: !place_is_claim,
    }
}

fn of_reading(reading: &Reading) -> Option<Value> {
    let what = match reading.what {
        ReadingSubject::Mass => "mass",
        ReadingSubject::Length => "length",
        ReadingSubject::Width => "width",
        ReadingSubject::Height => "height",
        ReadingSubject::Thickness => "thickness",
        ReadingSubject::Diameter => "diameter",
        ReadingSubject::Charge => "charge",
        ReadingSubject::Energy => "energy",
        ReadingSubject::RunTime => "run time",
        ReadingSubject::ChargingTime => "charging time",
        _ => return None,
    };
    let tare = reading.tare.as_ref().map_or(0.0, Stated::si);
    let pieces = f64::from(reading.pieces.unwrap_or(1));
    Some(Value {
        item: reading.item.clone(),
        what,
        with: reading.mode.clone().unwrap_or_default(),
        si: (reading.value.si() - tare) / pieces,
        text: reading.value.text.clone(),
        place: Place::reading(&reading.id),
        is_own: true,
    })
}

fn length_word(name: &str) -> &'static str {
    ["length", "width", "height", "thickness", "diameter"]
        .into_iter()
        .find(|word| *word == name)
        .unwrap_or("")
}

#[cfg(test)]
mod tests {
    use super::*;
    use record::{AnyFile, read_text};

    const HEAD: &str = "format = 1\n[product]\nname = \"Lamp\"\nmaker = \"Oskvale\"\nopened = 2026-03-01\n\
        [[items]]\nid = \"lamp\"\nname = \"Lamp\"\nkind = \"product\"\n\
        [[items]]\nid = \"cell\"\nname = \"Cell\"\nkind = \"cell\"\nparent = \"lamp\"\n\
        [[items]]\nid = \"shell\"\nname = \"Shell\"\nkind = \"shell\"\nparent = \"lamp\"\n";

    fn found(rest: &str) -> Vec<(String, Vec<String>)> {
        let dossier = read_text(&format!("{HEAD}{rest}"), "dossier.toml", &AnyFile).unwrap();
        let places = |slip: &Slip| {
            let against = slip.against.iter().map(ToString::to_string).collect();
            (slip.about.to_string(), against)
        };
        slips(&dossier).iter().map(places).collect()
    }

    fn mass(id: &str, item: &str, value: &str) -> String {
        format!(
            "[[readings]]\nid = \"{id}\"\nitem = \"{item}\"\nwhat = \"mass\"\nvalue = \"{value}\"\n"
        )
    }

    fn printed(value: &str) -> String {
        format!(
            "[[claims]]\nid = \"mass\"\ntext = \"{value}\"\nprinted = \"box\"\nkind = \"mass\"\nvalue = \"{value}\"\n"
        )
    }

    #[test]
    fn a_reading_of_ten_times_the_print_is_told_with_both_places() {
        let told = found(&format!(
            "{}{}",
            printed("210 g"),
            mass("whole", "lamp", "2120 g")
        ));
        assert_eq!(
            told,
            [(
                "reading:whole".into(),
                vec!["claims.mass.value".to_string()]
            )]
        );
        let told = found(&format!(
            "{}{}",
            printed("210 g"),
            mass("whole", "lamp", "21.2 g")
        ));
        assert_eq!(told.len(), 1);
    }

    #[test]
    fn a_claim_that_only_fails_is_no_slip() {
        for value in ["212 g", "260 g", "420 g", "1.2 kg"] {
            let told = found(&format!(
                "{}{}",
                printed("210 g"),
                mass("whole", "lamp", value)
            ));
            assert_eq!(told, [], "{value}");
        }
    }

    #[test]
    fn a_print_that_two_readings_gainsay_is_the_makers() {
        let readings = mass("first", "lamp", "2120 g") + &mass("second", "lamp", "2118 g");
        assert_eq!(found(&format!("{}{readings}", printed("210 g"))), []);
    }

    #[test]
    fn a_whole_of_ten_times_its_pieces_and_a_piece_above_the_whole_are_told() {
        let pieces = mass("cell", "cell", "45 g") + &mass("shell", "shell", "160 g");
        let told = found(&(pieces.clone() + &mass("whole", "lamp", "2050 g")));
        let both = vec!["reading:cell".to_string(), "reading:shell".to_string()];
        assert_eq!(told, [("reading:whole".into(), both)]);
        assert_eq!(found(&(pieces + &mass("whole", "lamp", "206 g"))), []);
        let pieces = mass("cell", "cell", "450 g") + &mass("shell", "shell", "160 g");
        let told = found(&(pieces + &mass("whole", "lamp", "206 g")));
        assert_eq!(
            told,
            [("reading:cell".into(), vec!["reading:whole".to_string()])]
        );
    }
}
