//! What a second look should rule out: the characters that tell the likeliest parts apart.

use marking::{Candidate, Pair};

/// Returns a marking's alignment with a name as text: the name, with every character that was not
/// read as such in brackets.
pub(super) fn shown(candidate: &Candidate) -> String {
    let mut text = String::new();
    for pair in &candidate.alignment {
        match *pair {
            Pair::Same { both } => text.push(both),
            Pair::Swapped { seen, name } | Pair::Open { seen, name } => {
                text.push_str(&format!("[{name} seen as {seen}]"));
            }
            Pair::Lost { name } | Pair::Missing { name } => {
                text.push_str(&format!("[{name} not seen]"));
            }
            Pair::Extra { seen } | Pair::Added { seen } => {
                text.push_str(&format!("[{seen} seen as well]"));
            }
        }
    }
    text
}

/// Returns what was seen and the name it is held against, character under character; `·` where one
/// has nothing.
pub fn aligned(candidate: &Candidate) -> [String; 2] {
    let (mut above, mut below) = (String::new(), String::new());
    for pair in &candidate.alignment {
        let (seen, name) = match *pair {
            Pair::Same { both } => (both, both),
            Pair::Swapped { seen, name } | Pair::Open { seen, name } => (seen, name),
            Pair::Lost { name } | Pair::Missing { name } => ('·', name),
            Pair::Extra { seen } | Pair::Added { seen } => (seen, '·'),
        };
        above.push(seen);
        below.push(name);
    }
    [above, below]
}

/// A place where two candidates want different characters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Apart {
    /// Which character of what was seen, counted from 1 without separators.
    pub place: usize,
    /// What the one has there; empty for nothing.
    pub one: String,
    /// What the other has there.
    pub other: String,
    /// Whether something was seen there; else it is beyond the end.
    pub seen: bool,
}

/// Returns the places where two candidates want different characters. Both must be of the same lines.
pub fn apart(one: &Candidate, other: &Candidate) -> Vec<Apart> {
    let seen = |c: &Candidate| {
        let unseen = |p: &&Pair| matches!(p, Pair::Lost { .. } | Pair::Missing { .. });
        c.alignment.len() - c.alignment.iter().filter(unseen).count()
    };
    let last = seen(one).max(seen(other));
    let (a, b) = (wanted(one), wanted(other));
    let at = |list: &[String], place: usize| list.get(place).cloned().unwrap_or_default();
    (0..a.len().max(b.len()))
        .map(|place| Apart {
            place: place + 1,
            one: at(&a, place),
            other: at(&b, place),
            seen: place < last,
        })
        .filter(|place| place.one != place.other)
        .collect()
}

/// Returns where two candidates want different characters, as a sentence's end: "whether character
/// 5 is 8 or B". Characters are counted in what was seen. At most three places are named.
pub(super) fn differences(one: &Candidate, other: &Candidate) -> Vec<String> {
    let places = apart(one, other).into_iter().take(3);
    places
        .map(
            |Apart {
                 place, one, other, ..
             }| match (one.as_str(), other.as_str()) {
                ("", only) | (only, "") => {
                    format!("whether {only} stands at character {place}")
                }
                (one, other) => format!("whether character {place} is {one} or {other}"),
            },
        )
        .collect()
}

/// The characters that a candidate has at each place seen; what it has beyond stands at the last.
fn wanted(candidate: &Candidate) -> Vec<String> {
    let mut places: Vec<String> = Vec::new();
    let mut pending = String::new();
    for pair in &candidate.alignment {
        match *pair {
            Pair::Same { both: name } | Pair::Swapped { name, .. } | Pair::Open { name, .. } => {
                places.push(format!("{}{name}", std::mem::take(&mut pending)));
            }
            Pair::Lost { name } | Pair::Missing { name } => pending.push(name),
            Pair::Extra { .. } | Pair::Added { .. } => places.push(std::mem::take(&mut pending)),
        }
    }
    if !pending.is_empty() {
        places.push(pending);
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::{Catalogue, Part};
    use marking::{Clues, Index, Scratch};
    use record::marking::Seen;

    fn candidates(seen: &str, names: &[&str]) -> Vec<Candidate> {
        let parts = names.iter().map(|n| Part {
            name: (*n).into(),
            ..Part::default()
        });
        let index = Index::build(&parts.collect::<Catalogue>());
        let seen = Seen::parse(seen).unwrap();
        index
            .read(&seen, &Clues::default(), &mut Scratch::default())
            .candidates
    }

    #[test]
    fn the_character_that_tells_two_parts_apart_is_named() {
        let found = candidates("THK4[8B]21", &["THK4821", "THK4B21"]);
        let said = differences(&found[0], &found[1]).concat();
        assert!(said.starts_with("whether character 5 is "), "{said}");
        assert!(said.contains('8') && said.contains('B'), "{said}");
    }

    #[test]
    fn what_was_not_seen_is_named_too() {
        let found = candidates("THK4821", &["THK4821A", "THK4821"]);
        let said = differences(&found[0], &found[1]).concat();
        assert_eq!(said, "whether A stands at character 8");
        let missing = found.iter().find(|c| c.name == "THK4821A").unwrap();
        assert_eq!(shown(missing), "THK4821[A not seen]");
    }
}
