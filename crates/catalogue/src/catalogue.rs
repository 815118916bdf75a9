//! Many known parts, from several files of which later ones correct earlier ones.
//!
//! In: rows from files, tables, symbol libraries and dossiers, in order. Out: a [`Catalogue`], and
//! what each row changed.
//!
//! Two rows speak of the same part when their names are the same, letter by letter, and their
//! makers are the same but for case. A row without maker speaks of the only part of that name; a
//! row with a maker also of a part of that name whose maker is not known yet, and tells it. In the
//! later file a filled cell replaces, an empty cell keeps, and a lone `-` clears. Rows of one file, and
//! rows that are added, are put together (`same_part`).
//!
//! Columns of the user's own, which no [`COLUMNS`] names, are carried as they stand; there `-` is a text like any
//! other.

use crate::columns::COLUMNS;
use crate::same_part::{self, joined};
use crate::table_cell::{self, LONGEST_CELL};
use crate::{Part, Remark, Row};
use serde::Serialize;
use std::collections::BTreeMap;

/// Many known parts, in the order they were added; names are unique with their maker.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Catalogue {
    parts: Vec<Part>,
    /// Headings of the user's own columns, in the order they were met; one may stand there twice.
    own_headings: Vec<String>,
    /// Their cells, for each part; those at the end may be missing.
    own_cells: Vec<Vec<String>>,
    by_name: BTreeMap<String, Vec<usize>>,
}

/// One value that a later row changed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Correction {
    /// Name of the part.
    pub name: String,
    /// Its maker after the correction.
    pub maker: String,
    /// Column that changed.
    pub column: String,
    /// Cell before; empty when nothing was known.
    pub before: String,
    /// Cell after; empty when it was cleared.
    pub after: String,
    /// File of the row that changed it.
    pub file: String,
    /// Line of that row.
    pub line: u64,
}

/// What a set of rows did to a catalogue.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Merged {
    /// Parts that are new.
    pub added: usize,
    /// Known parts that changed.
    pub corrected: usize,
    /// Known parts of which nothing new was said.
    pub unchanged: usize,
    /// What changed in known parts. A cell that was filled for the first time is listed too.
    pub corrections: Vec<Correction>,
    /// Rows that could not be merged, and values that could not be kept.
    pub remarks: Vec<Remark>,
}

impl Merged {
    /// Joins what two sets of rows did, one after the other.
    #[must_use]
    pub fn and(mut self, later: Self) -> Self {
        self.added += later.added;
        self.corrected += later.corrected;
        self.unchanged += later.unchanged;
        self.corrections.extend(later.corrections);
        self.remarks.extend(later.remarks);
        self
    }
}

/// What becomes of a value that is known and said again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Again {
    /// What is said takes its place.
    Replaces,
    /// Lists add up.
    Adds,
}

impl Catalogue {
    /// Returns the parts in order.
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }

    /// Returns the parts of that name, letter by letter; several makers may use one name.
    pub fn named<'a>(&'a self, name: &str) -> impl Iterator<Item = &'a Part> + use<'a> {
        let places = self.by_name.get(name).map_or(&[][..], Vec::as_slice);
        places.iter().map(|at| &self.parts[*at])
    }

    /// Returns a part whose name is this one but for upper and lower case, separators or one character.
    pub fn near(&self, name: &str) -> Option<&Part> {
        let fold = |name: &str| name.to_lowercase().replace([' ', '-'], "");
        let wanted = fold(name);
        let distance = |part: &Part| strsim::damerau_levenshtein(&fold(&part.name), &wanted);
        let others = self.parts.iter().filter(|part| part.name != name);
        others
            .map(|part| (distance(part), part))
            .filter(|(distance, _)| *distance <= 1)
            .min_by_key(|(distance, _)| *distance)
            .map(|(_, part)| part)
    }

    /// Takes in rows in order. Those of one file that speak of the same part are one row; a later file
    /// corrects what is known.
    ///
    /// ```
    /// let mut parts = catalogue::Catalogue::default();
    /// parts.merge(catalogue::read(b"name,role,pins\nNHF2104,charger,20\n", "bought.csv").rows);
    /// let own = catalogue::read(b"name,maker,role,pins\nNHF2104,Nordhafen,,16\n", "own.csv");
    /// let merged = parts.merge(own.rows);
    /// assert_eq!(merged.corrections[1].before, "20");
    /// assert_eq!(parts.parts()[0].role, "charger");
    /// assert_eq!(parts.parts()[0].pins, Some(16));
    /// ```
    pub fn merge(&mut self, rows: impl IntoIterator<Item = Row>) -> Merged {
        self.take_in(rows, Again::Replaces)
    }

    /// Adds rows to what is known: codes with their packages, and all other lists, add up.
    ///
    /// ```
    /// let mut parts = catalogue::Catalogue::default();
    /// for row in ["NHF2104,4A7 @ SOT-23-5", "NHF2104,C7 @ SC-70-5"] {
    ///     let text = format!("name,codes\n{row}\n");
    ///     parts.add(catalogue::read(text.as_bytes(), "codes.csv").rows);
    /// }
    /// let codes = &parts.parts()[0].codes;
    /// assert_eq!((&*codes[0].package, &*codes[1].text), ("SOT-23-5", "C7"));
    /// ```
    pub fn add(&mut self, rows: impl IntoIterator<Item = Row>) -> Merged {
        self.take_in(rows, Again::Adds)
    }

    fn take_in(&mut self, rows: impl IntoIterator<Item = Row>, again: Again) -> Merged {
        let (rows, remarks) = joined(rows, self);
        let mut merged = Merged {
            remarks,
            ..Merged::default()
        };
        for row in rows {
            self.merge_row(&row, again, &mut merged);
        }
        merged
    }

    fn merge_row(&mut self, row: &Row, again: Again, merged: &mut Merged) {
        if let Err(remark) = acceptable(row) {
            merged.remarks.push(remark);
            return;
        }
        match self.meant(&row.part) {
            Err(makers) => merged.remarks.push(Remark::row(
                &row.file,
                row.line,
                format!(
                    "{} is made by {makers}, and the row does not say by whom",
                    cell_shown(&row.part.name)
                ),
                "fill in the maker",
            )),
            Ok(Some(at)) => {
                let before = merged.corrections.len();
                let after = match again {
                    Again::Replaces => corrected(&self.parts[at], row),
                    Again::Adds => {
                        let mut after = self.parts[at].clone();
                        let lost = same_part::add(&mut after, &row.part);
                        let told = lost.iter().map(|column| same_part::told(row, column));
                        merged.remarks.extend(told);
                        after
                    }
                };
                if let Err(remark) = fits(&after, row) {
                    merged.remarks.push(remark);
                    return;
                }
                tell(&self.parts[at], &after, row, &mut merged.corrections);
                self.parts[at] = after;
                self.carry(at, row, &mut merged.corrections);
                if merged.corrections.len() > before {
                    merged.corrected += 1;
                } else {
                    merged.unchanged += 1;
                }
            }
            Ok(None) => {
                merged.added += 1;
                let at = self.push(row.part.clone());
                // A part that is new has nothing to correct.
                self.carry(at, row, &mut Vec::new());
            }
        }
    }

    /// Finds the part a row speaks of; several makers are returned as the error.
    fn meant(&self, part: &Part) -> Result<Option<usize>, String> {
        let places = self.by_name.get(&part.name).map_or(&[][..], Vec::as_slice);
        let maker = |at: &usize| self.parts[*at].maker.to_lowercase();
        let wanted = part.maker.to_lowercase();
        if let Some(at) = places.iter().find(|at| maker(at) == wanted) {
            return Ok(Some(*at));
        }
        if wanted.is_empty() {
            return match places {
                [] => Ok(None),
                [only] => Ok(Some(*only)),
                several => Err(several
                    .iter()
                    .map(|at| self.parts[*at].maker.as_str())
                    .collect::<Vec<_>>()
                    .join(" and ")),
            };
        }
        Ok(places.iter().find(|at| maker(at).is_empty()).copied())
    }

    fn push(&mut self, part: Part) -> usize {
        let at = self.parts.len();
        self.by_name.entry(part.name.clone()).or_default().push(at);
        self.parts.push(part);
        self.own_cells.push(Vec::new());
        at
    }

    /// Takes over the cells of a row's own columns for the part at `at`.
    fn carry(&mut self, at: usize, row: &Row, corrections: &mut Vec<Correction>) {
        for (n, (heading, said)) in row.own.iter().enumerate() {
            let again = row.own[..n].iter().filter(|(h, _)| h == heading).count();
            let place = self.own_place(heading, again);
            let cells = &mut self.own_cells[at];
            if cells.len() <= place {
                cells.resize(place + 1, String::new());
            }
            if said.is_empty() || *said == cells[place] {
                continue;
            }
            let before = std::mem::replace(&mut cells[place], said.clone());
            corrections.push(Correction {
                name: self.parts[at].name.clone(),
                maker: self.parts[at].maker.clone(),
                column: heading.clone(),
                before,
                after: said.clone(),
                file: row.file.clone(),
                line: row.line,
            });
        }
    }

    /// Returns the place of an own column, which `again` columns of the same heading stand before.
    fn own_place(&mut self, heading: &str, again: usize) -> usize {
        let mut same = self.own_headings.iter().enumerate();
        let found = same.by_ref().filter(|(_, h)| *h == heading).nth(again);
        found.map(|(place, _)| place).unwrap_or_else(|| {
            self.own_headings.push(heading.to_string());
            self.own_headings.len() - 1
        })
    }

    /// Returns the headings of the user's own columns.
    pub(crate) fn own_headings(&self) -> &[String] {
        &self.own_headings
    }

    /// Returns the cells of the user's own columns for the part at a place of [`Catalogue::parts`].
    pub(crate) fn own_cells(&self, at: usize) -> impl Iterator<Item = &str> {
        let cells = &self.own_cells[at];
        (0..self.own_headings.len()).map(|place| cells.get(place).map_or("", String::as_str))
    }
}

impl FromIterator<Part> for Catalogue {
    /// Collects parts; a part that comes again corrects the earlier one, as a row would.
    fn from_iter<I: IntoIterator<Item = Part>>(parts: I) -> Self {
        let mut catalogue = Self::default();
        catalogue.merge(parts.into_iter().map(|part| Row {
            file: String::new(),
            line: 0,
            part,
            cleared: Vec::new(),
            own: Vec::new(),
        }));
        catalogue
    }
}

fn cell_shown(text: &str) -> String {
    crate::remark::shown(text)
}

/// Refuses a part that could not be written and read back.
fn acceptable(row: &Row) -> Result<(), Remark> {
    if row.part.name.is_empty() {
        return Err(Remark::row(
            &row.file,
            row.line,
            "the name is empty",
            "fill in the part number",
        )
        .at("name"));
    }
    if row.cleared.contains(&"name") {
        return Err(Remark::row(
            &row.file,
            row.line,
            "the name cannot be cleared",
            "leave it as it is",
        )
        .at("name"));
    }
    fits(&row.part, row)
}

/// Refuses a part with a value longer than a cell.
fn fits(part: &Part, row: &Row) -> Result<(), Remark> {
    for column in COLUMNS {
        let length = table_cell::text(column, part).len();
        if length > LONGEST_CELL {
            return Err(Remark::row(
                &row.file,
                row.line,
                format!("the value is {length} bytes long"),
                format!("shorten it to {LONGEST_CELL} bytes"),
            )
            .at(column.name));
        }
    }
    Ok(())
}

/// Returns a part with what a row says in place of what was known.
fn corrected(part: &Part, row: &Row) -> Part {
    let mut after = part.clone();
    for column in COLUMNS {
        let said = table_cell::text(column, &row.part);
        if row.cleared.contains(&column.name) {
            table_cell::clear(column, &mut after);
        } else if !said.is_empty() && !same(column.name, &table_cell::text(column, part), &said) {
            table_cell::copy(column, &row.part, &mut after);
        }
    }
    after
}

/// Lists what changed in a part.
fn tell(before: &Part, after: &Part, row: &Row, corrections: &mut Vec<Correction>) {
    for column in COLUMNS {
        let cells = [before, after].map(|part| table_cell::text(column, part));
        if cells[0] == cells[1] {
            continue;
        }
        let [before, cell] = cells;
        corrections.push(Correction {
            name: after.name.clone(),
            maker: after.maker.clone(),
            column: column.name.to_string(),
            before,
            after: cell,
            file: row.file.clone(),
            line: row.line,
        });
    }
}

/// A maker in other case is the same maker, so it corrects nothing.
fn same(column: &str, before: &str, said: &str) -> bool {
    before == said || (column == "maker" && before.to_lowercase() == said.to_lowercase())
}
