//! Things of known size that lie on many tables.
//!
//! In: nothing. Out: name, size, where the size is from and how well that was checked. Not here:
//! clicks on them (`references.rs`). The table is `data/objects.csv`; `status` says whether a
//! size was read in its source or stands from memory. Sizes without a stated limit are taken to
//! be good to half their last digit. Advice: prefer the length of a card over its thickness, and
//! an opening over a plug, whose rounded shell hides its edges.

use super::{Click, Measured, Reference, ReferenceKind};
use std::sync::OnceLock;

/// One thing of known size.
#[derive(Debug, Clone, PartialEq)]
pub struct Object {
    /// What it is called.
    pub name: &'static str,
    /// What of it is known.
    pub shape: ObjectShape,
    /// Radius of its corners, mm, where they are round and it is known.
    pub corner: Option<Measured>,
    /// Where the size is from.
    pub source: &'static str,
    /// "read" or "from memory".
    pub status: &'static str,
}

/// What of an object is known, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ObjectShape {
    /// Length and width.
    Rectangle(Measured, Measured),
    /// A diameter.
    Diameter(Measured),
    /// The distance from one to the next.
    Pitch(Measured),
}

/// Returns the table.
pub fn objects() -> &'static [Object] {
    static TABLE: OnceLock<Vec<Object>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let rows = include_str!("data/objects.csv").lines().skip(1);
        rows.filter_map(object).collect()
    })
}

impl Object {
    /// Makes a reference of its four corners, the first side being the length; `None` for things
    /// that are no rectangle.
    pub fn corners(&self, corners: [Click; 4]) -> Option<Reference> {
        let ObjectShape::Rectangle(length, width) = self.shape else {
            return None;
        };
        let kind = match self.corner {
            None => ReferenceKind::Rectangle {
                corners,
                length,
                width,
            },
            Some(radius) => ReferenceKind::RoundRectangle {
                corners,
                length,
                width,
                radius,
            },
        };
        Some(Reference {
            name: self.name.into(),
            kind,
        })
    }

    /// Makes a reference of two points its length, diameter or pitch apart.
    pub fn ends(&self, ends: [Click; 2]) -> Reference {
        let (ObjectShape::Rectangle(length, _)
        | ObjectShape::Diameter(length)
        | ObjectShape::Pitch(length)) = self.shape;
        Reference {
            name: self.name.into(),
            kind: ReferenceKind::Distance { ends, length },
        }
    }
}

/// Sizes that differ by no more are those of a common thing, mm.
const SAME_MM: f64 = 0.15;

/// Returns the common thing with round corners that has these sides, mm.
pub fn round_object(length_mm: f64, width_mm: f64) -> Option<&'static Object> {
    objects().iter().find(|object| {
        let ObjectShape::Rectangle(l, w) = object.shape else {
            return false;
        };
        let alike = |a: f64, b: f64| (a - b).abs() <= SAME_MM;
        object.corner.is_some() && alike(l.value, length_mm) && alike(w.value, width_mm)
    })
}

fn object(row: &'static str) -> Option<Object> {
    let cells: Vec<&str> = row.split(',').collect();
    let &[
        name,
        shape,
        length,
        length_limit,
        width,
        width_limit,
        corner,
        corner_limit,
        source,
        status,
    ] = cells.as_slice()
    else {
        return None;
    };
    let shape = match shape {
        "rectangle" => {
            ObjectShape::Rectangle(size(length, length_limit)?, size(width, width_limit)?)
        }
        "diameter" => ObjectShape::Diameter(size(length, length_limit)?),
        "pitch" => ObjectShape::Pitch(size(length, length_limit)?),
        _ => return None,
    };
    Some(Object {
        name,
        shape,
        corner: size(corner, corner_limit),
        source,
        status,
    })
}

fn size(text: &str, limit: &str) -> Option<Measured> {
    let value: f64 = text.parse().ok()?;
    let half = match limit.parse::<f64>() {
        Ok(limit) => limit,
        Err(_) => {
            let places = text.split_once('.').map_or(0, |(_, after)| after.len());
            0.5 * 10f64.powi(-i32::try_from(places).unwrap_or(0))
        }
    };
    Some(Measured::within(value, half))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sizes as printed in the named sources; see `data/objects.csv`.
    #[test]
    fn the_table_holds_the_published_sizes() {
        assert_eq!(
            objects().len(),
            include_str!("data/objects.csv").lines().count() - 1
        );
        let rectangle = |name: &str| {
            let found = objects().iter().find(|o| o.name == name).unwrap();
            match found.shape {
                ObjectShape::Rectangle(l, w) => (l.value, w.value),
                _ => panic!("{name} is no rectangle"),
            }
        };
        // ISO/IEC 7810.
        assert_eq!(rectangle("ID-1 card"), (85.60, 53.98));
        assert_eq!(rectangle("ID-2 card"), (105.0, 74.0));
        assert_eq!(rectangle("ID-3 booklet"), (125.0, 88.0));
        assert_eq!(rectangle("ID-000 card"), (25.0, 15.0));
        // The limits of unused cards and the radius of their corners, 3.18 mm ± 0.30 mm, from memory.
        let card = objects().iter().find(|o| o.name == "ID-1 card").unwrap();
        assert_eq!(card.corner, Some(Measured::within(3.18, 0.30)));
        assert_eq!(round_object(85.6, 53.98).map(|o| o.name), Some("ID-1 card"));
        assert_eq!(round_object(53.98, 85.6), None);
        // USB Type-C specification; USB specification 1.1, figure 6-7.
        assert_eq!(rectangle("USB Type-C receptacle opening"), (8.34, 2.56));
        assert_eq!(rectangle("USB Series A receptacle opening"), (12.5, 5.12));
    }

    #[test]
    fn a_stated_limit_wins_over_the_last_digit() {
        assert_eq!(size("12.50", "0.10"), Some(Measured::within(12.5, 0.1)));
        assert_eq!(size("85.60", ""), Some(Measured::within(85.6, 0.005)));
        assert_eq!(size("105", ""), Some(Measured::within(105.0, 0.5)));
    }
}
