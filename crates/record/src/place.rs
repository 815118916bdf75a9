//! A place: the firm address of anything in the record, and of what the record points to outside.
//!
//! In: text (`items.lamp-cell.cell.capacity`, `photo:lid#label`), or ids. Out: a [`Place`], which
//! says what kind of thing it is about ([`Place::thing`]) and prints in one canonical way.
//! Not here: finding the place in a dossier or a text (`resolve`).
//!
//! A place is the path of keys from the top of the text. An entry of a list is named by its id; an
//! entry without id by the values that tell it apart, which the grammar states, with commas
//! between: `items.lamp.loads."low light".current`, `links.socket,charger,power,VBUS`,
//! `correlations.first,second`. Where two are equal, `#2` is the second. A name that holds other
//! characters than letters, digits, `-` and `_` stands in quotes, with `\"` and `\\` inside.
//! Whole photos, readings, measures and labels are written short, the way evidence is written:
//! `photo:ID`, `photo:ID#REGION`, `reading:ID`, `measure:ID`, `label:ID`. Outside the record are
//! `log:FILE`, `url:https://…` and `text:…` (a publication in words).

mod locator;
mod made;
mod read;
mod resolve;
mod thing;

use crate::by_text::by_text;
use crate::grammar::{Ids, Kind, ROOT, Table};
use serde::{Deserialize, Serialize};
use std::fmt::{self, Write as _};
use std::sync::Arc;

pub use read::PlaceError;
pub use resolve::{RecordPlaces, TextPlaces};
pub(crate) use resolve::{Spans, Tree, find, name_of, numbered, position};
pub use thing::Thing;

/// Free text of the analyst.
pub type Note = String;

/// A place as it is written under `evidence` ([`Place`]).
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Evidence(pub String);

impl Evidence {
    /// Returns the place it names.
    ///
    /// # Errors
    /// Where it has no known form.
    pub fn place(&self) -> Result<Place, PlaceError> {
        self.0.parse()
    }
}

/// The address of something in the record, or of something that the record points to.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Place(pub(crate) Address);

#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) enum Address {
    /// The path of keys and entries from the top of the text; shared, as one place stands in the
    /// evidence of many findings.
    Record(Arc<Vec<Segment>>),
    /// A file inside `logs/`.
    Log(String),
    /// An address on the web.
    Page(String),
    /// A publication in words.
    Publication(String),
}

/// One part of the path.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) enum Segment {
    Key(String),
    Entry(Name),
}

/// What tells an entry of a list apart.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) struct Name {
    /// The id, or the values of the natural keys; an empty one stands for a value not given.
    pub(crate) fields: Vec<String>,
    /// Which of the entries with these values, from 1.
    pub(crate) number: usize,
}

impl Name {
    pub(crate) fn first(fields: Vec<String>) -> Self {
        Self { fields, number: 1 }
    }

    fn is_plain(&self) -> bool {
        self.number == 1 && matches!(&self.fields[..], [id] if is_bare(id))
    }
}

/// Returns whether a name needs no quotes.
fn is_bare(text: &str) -> bool {
    !text.is_empty()
        && text
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
}

impl Place {
    /// Makes the place at the end of a path.
    pub(crate) fn of(segments: Vec<Segment>) -> Self {
        Self(Address::Record(Arc::new(segments)))
    }

    /// Returns the path in the record; `None` for what lies outside.
    pub(crate) fn segments(&self) -> Option<&[Segment]> {
        match &self.0 {
            Address::Record(segments) => Some(segments),
            _ => None,
        }
    }

    /// Returns what kind of thing it is about: the innermost table that it leads into.
    pub fn thing(&self) -> Thing {
        match &self.0 {
            Address::Record(segments) => thing_in(&ROOT, segments),
            Address::Log(_) => Thing::Log,
            Address::Page(_) => Thing::Page,
            Address::Publication(_) => Thing::Publication,
        }
    }

    /// Returns the last key, where it ends at one: `capacity` of `items.cell.cell.capacity`.
    pub fn key(&self) -> Option<&str> {
        match self.segments()?.last()? {
            Segment::Key(key) => Some(key),
            Segment::Entry(_) => None,
        }
    }

    /// Returns the innermost entry of a list that it is or lies in: `items.lamp` of
    /// `items.lamp.part.marking`.
    pub fn entry(&self) -> Option<Self> {
        let segments = self.segments()?;
        let last = segments
            .iter()
            .rposition(|s| matches!(s, Segment::Entry(_)))?;
        Some(Self::of(segments[..=last].to_vec()))
    }

    /// Returns the place one step up; `None` at the top and outside the record.
    pub fn parent(&self) -> Option<Self> {
        let (_, above) = self.segments()?.split_last()?;
        Some(Self::of(above.to_vec()))
    }

    /// Returns whether it is `other` or lies inside it.
    pub fn is_within(&self, other: &Self) -> bool {
        match (self.segments(), other.segments()) {
            (Some(mine), Some(theirs)) => mine.starts_with(theirs),
            _ => self == other,
        }
    }

    /// Returns the id of the innermost entry that it is or lies in, or the first of the values that tell
    /// it apart: `lamp` of `items.lamp.part.marking`.
    pub fn entry_id(&self) -> Option<&str> {
        let mut segments = self.segments()?.iter().rev();
        segments.find_map(|s| match s {
            Segment::Entry(name) => name.fields.first().map(String::as_str),
            Segment::Key(_) => None,
        })
    }

    /// Returns the keys and names that lead from a place above down to it: `part`, `marking` from
    /// `items.lamp` to `items.lamp.part.marking`; nothing where it does not lie inside.
    pub fn names_below(&self, above: &Self) -> Vec<&str> {
        let paths = self.segments().zip(above.segments());
        let rest = paths.and_then(|(mine, theirs)| mine.strip_prefix(theirs));
        let names = rest.unwrap_or_default().iter().flat_map(|s| match s {
            Segment::Key(key) => std::slice::from_ref(key),
            Segment::Entry(name) => &name.fields[..],
        });
        names.map(String::as_str).collect()
    }

    /// Returns what stands outside the record: a file name, an address, a publication.
    pub fn outside(&self) -> Option<&str> {
        match &self.0 {
            Address::Record(_) => None,
            Address::Log(words) | Address::Page(words) | Address::Publication(words) => Some(words),
        }
    }

    /// Returns the id in it of the family of `list`, such as the item of any place below `items`.
    fn id_under(&self, list: &str) -> Option<&str> {
        match self.segments()? {
            [Segment::Key(key), Segment::Entry(name), ..] if key == list => {
                name.fields.first().map(String::as_str)
            }
            _ => None,
        }
    }

    /// Returns the id of the item it is or lies in.
    pub fn item_id(&self) -> Option<&str> {
        self.id_under("items")
    }

    /// Returns the id of the photo it is or lies in.
    pub fn photo_id(&self) -> Option<&str> {
        self.id_under("photos")
    }
}

/// Returns the kind of the innermost table along a path.
pub(crate) fn thing_in(root: &'static Table, segments: &[Segment]) -> Thing {
    let mut table = root;
    let mut thing = root.thing;
    for segment in segments {
        let Segment::Key(key) = segment else {
            thing = table.thing;
            continue;
        };
        match table.key(key).map(|k| &k.kind) {
            Some(Kind::Table(inner) | Kind::Inline(inner)) => {
                table = inner;
                thing = inner.thing;
            }
            // A list as such belongs to the table it stands in; its entries follow.
            Some(Kind::Tables(inner)) => table = inner,
            Some(Kind::Named(names)) => {
                thing = names.thing;
            }
            _ => {}
        }
    }
    thing
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Address::Log(file) => write!(f, "log:{file}"),
            Address::Page(address) => write!(f, "url:{address}"),
            Address::Publication(words) => write!(f, "text:{words}"),
            Address::Record(segments) => {
                if let Some((form, name)) = short(segments) {
                    return write!(f, "{form}:{name}");
                }
                match &segments[..] {
                    [] => f.write_str("dossier"),
                    segments => f.write_str(&path(segments)),
                }
            }
        }
    }
}

/// The families that have a short form, and the lists they stand in.
const SHORT: [(Ids, &[&str]); 4] = [
    (Ids::Photos, &["photos"]),
    (Ids::Readings, &["readings"]),
    (Ids::Measures, &["measures"]),
    (Ids::Labels, &["product", "labels"]),
];

fn short(segments: &[Segment]) -> Option<(&'static str, String)> {
    for (family, list) in SHORT {
        let rest = below(segments, list);
        let form = family.short_form();
        match (form, rest) {
            (Some(form), Some([Segment::Entry(name)])) if name.is_plain() => {
                return Some((form, name.fields[0].clone()));
            }
            (
                Some(form),
                Some(
                    [
                        Segment::Entry(photo),
                        Segment::Key(regions),
                        Segment::Entry(region),
                    ],
                ),
            ) if regions == "regions" && photo.is_plain() && region.is_plain() => {
                return Some((form, format!("{}#{}", photo.fields[0], region.fields[0])));
            }
            _ => {}
        }
    }
    None
}

/// Returns what follows the keys of `list`.
fn below<'s>(segments: &'s [Segment], list: &[&str]) -> Option<&'s [Segment]> {
    let (head, rest) = segments.split_at_checked(list.len())?;
    head.iter()
        .zip(list)
        .all(|(segment, key)| matches!(segment, Segment::Key(k) if k == key))
        .then_some(rest)
}

/// Prints a path, dots between.
pub(crate) fn path(segments: &[Segment]) -> String {
    let mut out = String::new();
    for (at, segment) in segments.iter().enumerate() {
        if at > 0 {
            out.push('.');
        }
        match segment {
            Segment::Key(key) => word(&mut out, key),
            Segment::Entry(name) => {
                for (at, field) in name.fields.iter().enumerate() {
                    if at > 0 {
                        out.push(',');
                    }
                    word(&mut out, field);
                }
                if name.number > 1 {
                    let _ = write!(out, "#{}", name.number);
                }
            }
        }
    }
    out
}

fn word(out: &mut String, text: &str) {
    if is_bare(text) {
        out.push_str(text);
        return;
    }
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c => out.push(c),
        }
    }
    out.push('"');
}

by_text!(Place);
