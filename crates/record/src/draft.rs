//! Editing the text of a dossier while keeping the author's comments and order.
//!
//! In: the text and [`Edit`]s. Out: the edited text, and for each edit the one that undoes it.
//! Everything about keys comes from the grammar; only the bytes that an edit is about change.
//! Whether values are good is told by [`Draft::state`], not here.

mod brackets;
mod entries;
mod fits;
mod merge;
mod patch;
mod put;
mod rename;
mod spot;
mod state;
mod undo;
mod units;
mod values;

use crate::edit::{Applied, Edit, EditError, Position};
use crate::grammar::{Kind, ROOT, Table};
use crate::{Dossier, Files, Place, Problem, Problems, read_text};
use patch::Patches;
use serde_json::Value as Json;
use spot::{Target, View};

pub use state::{Missing, State};
pub use values::Values;

/// A dossier text under edit.
#[derive(Debug, Clone)]
pub struct Draft {
    file: String,
    original: String,
    text: String,
    grammar: &'static Table,
}

impl Draft {
    /// Takes a text for editing. It has to be TOML; it may have other faults. A text of an earlier
    /// form is brought to the present one ([`crate::upgrade()`]), and is saved in it.
    ///
    /// # Errors
    /// The faults of syntax.
    pub fn parse(text: &str, file: &str) -> Result<Self, Problems> {
        Self::parse_in(&ROOT, text, file)
    }

    pub(crate) fn parse_in(
        grammar: &'static Table,
        text: &str,
        file: &str,
    ) -> Result<Self, Problems> {
        if let Err(message) = spot::syntax(text) {
            let source = crate::source::Source::new(text, file);
            let problems = crate::tree::parse(&source).problems;
            return Err(if problems.is_empty() {
                Problem::outside(file, message, "correct the text").into()
            } else {
                Problems(problems)
            });
        }
        Ok(Self {
            file: file.to_string(),
            original: text.to_string(),
            text: crate::upgrade::upgrade(text).into_owned(),
            grammar,
        })
    }

    /// Returns the text before any edit.
    pub fn original(&self) -> &str {
        &self.original
    }

    /// Returns the text as edited.
    pub fn text(&self) -> String {
        self.text.clone()
    }

    /// Reads and checks the edited text.
    ///
    /// # Errors
    /// Every problem found in it.
    pub fn check(&self, files: &dyn Files) -> Result<Dossier, Problems> {
        read_text(&self.text, &self.file, files)
    }

    /// Makes an edit. Where it is refused, the text stays as it is.
    ///
    /// # Errors
    /// [`EditError`] says why it is refused.
    pub fn apply(&mut self, edit: &Edit) -> Result<Applied, EditError> {
        let (at, after) = self.edited(edit)?;
        let view = match View::made(self.grammar, &after.text) {
            Ok(view) => view,
            Err(why) => return Err(EditError::Layout { at, why }),
        };
        let inverse = undo::inverse(&self.text, &after, &view);
        self.text = after.text;
        Ok(Applied {
            inverse: Edit::Restore {
                at: at.clone(),
                text: inverse,
            },
            at,
        })
    }

    /// Returns the edit that makes the text another one, such as it was at an earlier time. As the inverse of an edit
    /// it is made after other edits too, unless they changed what differs.
    pub fn becoming(&self, text: &str) -> Edit {
        let text = crate::upgrade::upgrade(text);
        let present = Patches::of(&text, vec![patch::difference(&text, &self.text)]);
        let view = View::of(self.grammar, &present.text);
        Edit::Restore {
            at: Place::product(),
            text: undo::inverse(&text, &present, &view),
        }
    }

    /// Returns where the thing edited is afterwards, and the text.
    fn edited(&self, edit: &Edit) -> Result<(Place, Patches), EditError> {
        let view = View::of(self.grammar, &self.text);
        match edit {
            Edit::Set { at, new, old } => {
                view.expect(at, old.as_ref())?;
                set(&view, at, new)
            }
            Edit::Add {
                to,
                entry,
                position,
            } => entries::add(&view, to, entry, position),
            Edit::Remove { at, old } => {
                view.expect(at, old.as_ref())?;
                Ok((at.clone(), entries::remove(&view, at)?))
            }
            Edit::Move { at, position } => entries::shift(&view, at, position),
            Edit::Rename { at, to } => rename::rename(&view, at, to),
            Edit::Restore { at, text } => Ok((at.clone(), undo::restore(&view, at, text)?)),
        }
    }

    /// Sets the value at a place.
    ///
    /// # Errors
    /// As [`Draft::apply`].
    pub fn set(&mut self, at: &Place, new: impl Into<Json>) -> Result<Applied, EditError> {
        self.apply(&Edit::Set {
            at: at.clone(),
            new: new.into(),
            old: None,
        })
    }

    /// Removes what is at a place.
    ///
    /// # Errors
    /// As [`Draft::apply`].
    pub fn remove(&mut self, at: &Place) -> Result<Applied, EditError> {
        self.apply(&Edit::Remove {
            at: at.clone(),
            old: None,
        })
    }

    /// Adds an entry after the last one of a list.
    ///
    /// # Errors
    /// As [`Draft::apply`].
    pub fn add<T: serde::Serialize>(
        &mut self,
        to: &Place,
        entry: &T,
    ) -> Result<Applied, EditError> {
        let entry = serde_json::to_value(entry).map_err(|error| EditError::WrongValue {
            at: to.clone(),
            wanted: "plain data".to_string(),
            found: error.to_string(),
        })?;
        self.apply(&Edit::Add {
            to: to.clone(),
            entry,
            position: Position::Last,
        })
    }
}

/// Sets a value, a table or a list.
fn set(view: &View<'_>, at: &Place, new: &Json) -> Result<(Place, Patches), EditError> {
    if new.is_null() {
        return Ok((at.clone(), entries::remove(view, at)?));
    }
    let kind = match view.target(at)? {
        Target::Value(kind) => kind,
        Target::Entry(_) | Target::Top => {
            return Err(EditError::WrongPlace {
                at: at.clone(),
                wanted: "a value",
            });
        }
    };
    let present = view.present(at);
    if let (Kind::Id(_), Some(Json::String(_)), Json::String(id), Some(entry)) =
        (kind, &present, new, at.parent())
    {
        let (entry, patches) = rename::rename(view, &entry, &crate::NewName::One(id.clone()))?;
        return Ok((entry.at("id"), patches));
    }
    fits::fits(kind, new, at)?;
    if present.as_ref().is_some_and(|p| spot::same(p, new)) {
        return Ok((at.clone(), Patches::none(view.text)));
    }
    let patches = put::put(view, at, kind, new)?;
    // Setting a key that tells an entry apart changes what the entry is called.
    let now = view.renamed_by(at, &patches.text);
    Ok((now.unwrap_or_else(|| at.clone()), patches))
}
