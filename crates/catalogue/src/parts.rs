//! Parts by their place in a catalogue, each read when it is asked for.
//!
//! In: parts; or the text that [`Parts::text`] made of some. Out: a list that is asked like a slice.
//! Not here: merging rows (`catalogue`).
//!
//! A command that answers one question about a large catalogue looks at a dozen of its parts.

use crate::columns::COLUMNS;
use crate::write::line;
use crate::{Catalogue, Part, read};
use std::ops::Index;
use std::sync::OnceLock;

/// Parts in the order of their catalogue.
#[derive(Debug, Clone)]
pub struct Parts {
    read: Vec<OnceLock<Box<Part>>>,
    /// Rows without their heading, and where each begins; nothing where all were given.
    rows: String,
    begins: Vec<u32>,
}

impl Parts {
    /// Takes rows that [`Parts::text`] made: `begins` has one place more than there are rows, the end. `None` where
    /// the places do not fit the text.
    pub fn of_text(rows: String, begins: Vec<u32>) -> Option<Self> {
        let whole =
            begins.first() == Some(&0) && begins.last().map(|e| *e as usize) == Some(rows.len());
        let lines = begins.windows(2).all(|w| {
            rows.get(w[0] as usize..w[1] as usize)
                .is_some_and(|row| row.ends_with('\n'))
        });
        (whole && lines).then(|| Self {
            read: vec![OnceLock::new(); begins.len() - 1],
            rows,
            begins,
        })
    }

    /// Writes the parts as rows of a catalogue without their heading, and where each begins. `None` beyond 4 GB.
    ///
    /// ```
    /// let part = catalogue::Part { name: "NHF2104".into(), pins: Some(16), ..Default::default() };
    /// let (rows, begins) = catalogue::Parts::from(vec![part.clone()]).text().unwrap();
    /// let parts = catalogue::Parts::of_text(rows, begins).unwrap();
    /// assert_eq!(parts.get(0), Some(&part));
    /// ```
    pub fn text(&self) -> Option<(String, Vec<u32>)> {
        let mut rows = String::new();
        let mut begins = vec![0];
        for part in self.iter() {
            line(&mut rows, part.cells().into_iter());
            begins.push(u32::try_from(rows.len()).ok()?);
        }
        Some((rows, begins))
    }

    /// Returns the part at a place.
    pub fn get(&self, at: usize) -> Option<&Part> {
        let part = self.read.get(at)?;
        Some(part.get_or_init(|| Box::new(self.row(at))))
    }

    fn row(&self, at: usize) -> Part {
        let mut text = String::new();
        line(&mut text, COLUMNS.iter().map(|c| c.name.to_string()));
        let range = self.begins[at] as usize..self.begins[at + 1] as usize;
        text.push_str(self.rows.get(range).unwrap_or_default());
        let rows = read(text.as_bytes(), "").rows;
        rows.into_iter()
            .next()
            .map(|row| row.part)
            .unwrap_or_default()
    }

    /// Returns how many there are.
    pub fn len(&self) -> usize {
        self.read.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.read.is_empty()
    }

    /// Returns all parts in order.
    pub fn iter(&self) -> impl Iterator<Item = &Part> {
        (0..self.len()).filter_map(|at| self.get(at))
    }
}

impl From<Vec<Part>> for Parts {
    fn from(parts: Vec<Part>) -> Self {
        Self {
            read: parts
                .into_iter()
                .map(|part| OnceLock::from(Box::new(part)))
                .collect(),
            rows: String::new(),
            begins: Vec::new(),
        }
    }
}

impl From<Catalogue> for Parts {
    fn from(catalogue: Catalogue) -> Self {
        catalogue.into_parts().into()
    }
}

impl Index<usize> for Parts {
    type Output = Part;

    fn index(&self, at: usize) -> &Part {
        self.get(at).expect("a place below the number of parts")
    }
}
