//! Editing the text of a dossier while keeping the author's comments and order.
//!
//! In: the text and edits by path (`items.charger.part.package`). Out: the edited text.
//! An edit names a key that the grammar knows; whether the value is good is decided by
//! [`Draft::check`], before anything is saved.

use crate::grammar::{Kind, ROOT, Table};
use crate::{Dossier, Files, PhotoMeasure, Problem, Problems, Reading, Reference, read_text};
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, TableLike, Value};

/// A dossier text under edit.
#[derive(Debug, Clone)]
pub struct Draft {
    file: String,
    original: String,
    document: DocumentMut,
}

/// A value to set.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Text, a quantity, a word, an id.
    Text(String),
    /// A list of texts.
    Texts(Vec<String>),
    /// A whole number.
    Whole(u32),
    /// A number.
    Number(f64),
    /// True or false.
    Boolean(bool),
    /// A calendar date.
    Date(jiff::civil::Date),
}

/// Why an edit cannot be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DraftError {
    /// The path leads to no key of the format.
    #[error("there is no key {path}: `{part}` is not in the format")]
    UnknownKey {
        /// The path as given.
        path: String,
        /// The part that is not known.
        part: String,
    },
    /// No entry has this id.
    #[error("there is no entry \"{id}\" in {table}")]
    UnknownId {
        /// The table.
        table: String,
        /// The id.
        id: String,
    },
    /// The path ends at a table, or goes on below a value.
    #[error("{path} is not a single value")]
    NotAValue {
        /// The path as given.
        path: String,
    },
}

impl Draft {
    /// Takes a text for editing. It has to be TOML; it may have other faults.
    ///
    /// # Errors
    /// The faults of syntax.
    pub fn parse(text: &str, file: &str) -> Result<Self, Problems> {
        match text.parse::<DocumentMut>() {
            Ok(document) => Ok(Self {
                file: file.to_string(),
                original: text.to_string(),
                document,
            }),
            Err(error) => {
                let source = crate::source::Source::new(text, file);
                let problems = crate::tree::parse(&source).problems;
                Err(if problems.is_empty() {
                    Problem::outside(file, error.message(), "correct the text").into()
                } else {
                    Problems(problems)
                })
            }
        }
    }

    /// Returns the text before any edit.
    pub fn original(&self) -> &str {
        &self.original
    }

    /// Returns the text as edited.
    pub fn text(&self) -> String {
        self.document.to_string()
    }

    /// Reads and checks the edited text.
    ///
    /// # Errors
    /// Every problem found in it.
    pub fn check(&self, files: &dyn Files) -> Result<Dossier, Problems> {
        read_text(&self.text(), &self.file, files)
    }

    /// Sets the value at a path, in place where it is there already, after the last key otherwise.
    /// Entries of lists are named by their id: `items.charger.part.marking`.
    ///
    /// # Errors
    /// [`DraftError`] for paths that lead nowhere.
    pub fn set(&mut self, path: &str, edit: &Edit) -> Result<(), DraftError> {
        let (table, key) = find(&mut self.document, path, true)?;
        let mut value = edit.value();
        match table.get_mut(key).and_then(Item::as_value_mut) {
            Some(old) => {
                *value.decor_mut() = old.decor().clone();
                *old = value;
            }
            None => {
                table.insert(key, Item::Value(value));
            }
        }
        Ok(())
    }

    /// Removes the value at a path. Nothing happens where there is none.
    ///
    /// # Errors
    /// [`DraftError`] for paths that lead nowhere.
    pub fn remove(&mut self, path: &str) -> Result<(), DraftError> {
        let (table, key) = find(&mut self.document, path, false)?;
        table.remove(key);
        Ok(())
    }

    /// Adds a reading after the last one.
    pub fn add_reading(&mut self, reading: &Reading) {
        self.add("readings", reading);
    }

    /// Adds a measure on a photograph after the last one.
    pub fn add_measure(&mut self, measure: &PhotoMeasure) {
        self.add("measures", measure);
    }

    /// Adds a thing of known size to a photograph.
    ///
    /// # Errors
    /// Where there is no such photograph.
    pub fn add_reference(&mut self, photo: &str, reference: &Reference) -> Result<(), DraftError> {
        let missing = || DraftError::UnknownId {
            table: "photos".to_string(),
            id: photo.to_string(),
        };
        let table = entry_with_id(self.document.get_mut("photos"), photo).ok_or_else(missing)?;
        let inline = crate::write::inline_entry("photos", "references", reference);
        let Some(entry) = inline.parse::<Value>().ok() else {
            return Ok(());
        };
        match table.get_mut("references") {
            Some(Item::ArrayOfTables(tables)) => {
                if let Value::InlineTable(entry) = entry {
                    tables.push(entry.into_table());
                }
            }
            Some(Item::Value(Value::Array(array))) => array.push(entry),
            _ => {
                let list: Array = [entry].into_iter().collect();
                table.insert("references", Item::Value(Value::Array(list)));
            }
        }
        Ok(())
    }

    /// Adds an entry to a list at the top of the text.
    fn add<T: serde::Serialize>(&mut self, list: &str, entry: &T) {
        let text = crate::write::entry(list, entry);
        let Ok(mut parsed) = text.parse::<DocumentMut>() else {
            return;
        };
        let Some(Item::ArrayOfTables(new)) = parsed.remove(list) else {
            return;
        };
        let root = self.document.as_table_mut();
        match root
            .entry(list)
            .or_insert(Item::ArrayOfTables(ArrayOfTables::new()))
        {
            Item::ArrayOfTables(tables) => {
                for mut table in new {
                    // Without a place of its own, the table follows the one before it.
                    table.set_position(None);
                    tables.push(table);
                }
            }
            Item::Value(Value::Array(array)) => {
                for table in new {
                    array.push(Value::InlineTable(table.into_inline_table()));
                }
            }
            _ => {}
        }
    }

    /// Sets the tolerance that a claim is granted (`5 %`, `0.5 g`).
    ///
    /// # Errors
    /// Where there is no such claim.
    pub fn set_claim_tolerance(&mut self, claim: &str, tolerance: &str) -> Result<(), DraftError> {
        self.set(
            &format!("claims.{claim}.tolerance"),
            &Edit::Text(tolerance.to_string()),
        )
    }
}

impl Edit {
    fn value(&self) -> Value {
        match self {
            Self::Text(text) => text.as_str().into(),
            Self::Texts(texts) => texts.iter().map(String::as_str).collect::<Array>().into(),
            Self::Whole(n) => i64::from(*n).into(),
            Self::Number(x) => (*x).into(),
            Self::Boolean(b) => (*b).into(),
            Self::Date(date) => {
                let text = date.to_string();
                text.parse::<toml_edit::Datetime>()
                    .map_or_else(|_| text.as_str().into(), Value::from)
            }
        }
    }
}

/// Walks the grammar and the text side by side to the table that holds the last key of `path`.
fn find<'d, 'p>(
    document: &'d mut DocumentMut,
    path: &'p str,
    make: bool,
) -> Result<(&'d mut dyn TableLike, &'p str), DraftError> {
    let mut parts = path.split('.');
    let mut grammar: &'static Table = &ROOT;
    let mut table: &mut dyn TableLike = document.as_table_mut();
    loop {
        let Some(part) = parts.next() else {
            return Err(DraftError::NotAValue {
                path: path.to_string(),
            });
        };
        let unknown = || DraftError::UnknownKey {
            path: path.to_string(),
            part: part.to_string(),
        };
        let key = grammar.key(part).ok_or_else(unknown)?;
        match &key.kind {
            Kind::Table(inner) | Kind::Inline(inner) => {
                let inline = matches!(key.kind, Kind::Inline(_));
                table = step_into(table, part, inline, make).ok_or_else(unknown)?;
                grammar = inner;
            }
            Kind::Tables(inner) => {
                let id = parts
                    .next()
                    .ok_or_else(|| DraftError::NotAValue { path: path.into() })?;
                let missing = || DraftError::UnknownId {
                    table: inner.name.to_string(),
                    id: id.to_string(),
                };
                table = entry_with_id(table.get_mut(part), id).ok_or_else(missing)?;
                grammar = inner;
            }
            Kind::Named(names) => {
                let name = parts
                    .next()
                    .ok_or_else(|| DraftError::NotAValue { path: path.into() })?;
                if !names.open && !names.known.iter().any(|n| n.name == name) {
                    let part = name.to_string();
                    return Err(DraftError::UnknownKey {
                        path: path.to_string(),
                        part,
                    });
                }
                table = step_into(table, part, names.inline, make).ok_or_else(unknown)?;
                return match parts.next() {
                    None => Ok((table, name)),
                    Some(_) => Err(DraftError::NotAValue {
                        path: path.to_string(),
                    }),
                };
            }
            _ => {
                return match parts.next() {
                    None => Ok((table, part)),
                    Some(_) => Err(DraftError::NotAValue {
                        path: path.to_string(),
                    }),
                };
            }
        }
    }
}

fn step_into<'d>(
    table: &'d mut dyn TableLike,
    key: &str,
    inline: bool,
    make: bool,
) -> Option<&'d mut dyn TableLike> {
    if table.get(key).is_none() {
        if !make {
            return None;
        }
        let fresh = if inline {
            Item::Value(Value::InlineTable(toml_edit::InlineTable::new()))
        } else {
            Item::Table(toml_edit::Table::new())
        };
        table.insert(key, fresh);
    }
    table.get_mut(key)?.as_table_like_mut()
}

fn entry_with_id<'d>(item: Option<&'d mut Item>, id: &str) -> Option<&'d mut dyn TableLike> {
    let has_id = |table: &dyn TableLike| table.get("id").and_then(Item::as_str) == Some(id);
    match item? {
        Item::ArrayOfTables(tables) => tables
            .iter_mut()
            .find(|t| has_id(*t as &dyn TableLike))
            .map(|t| t as &mut dyn TableLike),
        Item::Value(Value::Array(array)) => array
            .iter_mut()
            .filter_map(Value::as_inline_table_mut)
            .find(|t| has_id(*t as &dyn TableLike))
            .map(|t| t as &mut dyn TableLike),
        _ => None,
    }
}
