//! Who else has a dossier open, and in which place.
//!
//! In: streams that begin and end, pages that are opened. Out: the people there, each once.
//! Not here: who somebody is (`guard`), how they are told (`live`).

use crate::station::Station;
use library::Person;
use serde_json::{Value as Json, json};

/// Those who have a dossier open.
#[derive(Default)]
pub(crate) struct People {
    next: u64,
    seats: Vec<Seat>,
}

/// A stream that somebody listens to.
struct Seat {
    number: u64,
    person: Person,
    place: Option<Station>,
}

impl People {
    /// Takes a seat; the number gives it up again.
    pub(crate) fn sit(&mut self, person: &Person, place: Option<Station>) -> u64 {
        self.next += 1;
        self.seats.push(Seat {
            number: self.next,
            person: person.clone(),
            place,
        });
        self.next
    }

    /// Gives a seat up.
    pub(crate) fn leave(&mut self, number: u64) {
        self.seats.retain(|seat| seat.number != number);
    }

    /// Notes the place that somebody opened.
    pub(crate) fn goes(&mut self, person: &Person, place: Station) {
        for seat in self.seats.iter_mut().filter(|s| s.person == *person) {
            seat.place = Some(place);
        }
    }

    /// Returns everybody, the first who came first, with the place that they opened last.
    pub(crate) fn all(&self) -> Vec<(Person, Option<Station>)> {
        let mut all: Vec<(Person, Option<Station>)> = Vec::new();
        for seat in &self.seats {
            match all.iter_mut().find(|(person, _)| *person == seat.person) {
                Some(known) => known.1 = seat.place,
                None => all.push((seat.person.clone(), seat.place)),
            }
        }
        all
    }

    /// Returns everybody as pages are told.
    pub(crate) fn as_json(&self) -> Json {
        let people = self.all().into_iter();
        let people = people
            .map(|(person, place)| json!({ "name": person, "place": place.map(Station::name) }));
        json!({ "people": people.collect::<Vec<_>>() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_stands_once_with_the_place_opened_last() {
        let (a, b) = (Person::from("A."), Person::from("B."));
        let mut people = People::default();
        let first = people.sit(&a, Some(Station::Intake));
        people.sit(&b, Some(Station::Claims));
        // The window of A. goes on to another place: its old stream ends after the new one began.
        let second = people.sit(&a, Some(Station::Power));
        people.leave(first);
        let seats = [
            (a.clone(), Some(Station::Power)),
            (b.clone(), Some(Station::Claims)),
        ];
        let mut all = people.all();
        all.sort_by_key(|(person, _)| person.as_str().to_string());
        assert_eq!(all, seats);
        people.goes(&b, Station::Inside);
        people.leave(second);
        assert_eq!(people.all(), [(b, Some(Station::Inside))]);
    }
}
