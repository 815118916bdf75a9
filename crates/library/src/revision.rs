//! What is sent to a library and what it answers: lists of edits, revisions, refusals.
//!
//! As JSON: `{"client":"k3f","lists":[{"seq":41,"group":"part-6","edits":[…]},{"seq":42,"undo":119}]}`.

use crate::{ClientId, Person};
use jiff::Timestamp;
use record::{Edit, Place};
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::Value as Json;

/// Lists of edits from one window, in their order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Submission {
    /// The window.
    pub client: ClientId,
    /// The lists.
    pub lists: Vec<EditList>,
}

/// Edits that are taken whole or not at all.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EditList {
    /// Number within the window; it rises by one from list to list.
    pub seq: u64,
    /// What belongs together, so that it can be taken back together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub group: Option<String>,
    /// The edits; empty where something is taken back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub edits: Vec<Edit>,
    /// The revision that is to be taken back; that of a taking back puts back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub undo: Option<u64>,
}

/// The group of a list that brings a whole revision back, before its number.
const AS_OF: &str = "as-of-";

impl EditList {
    /// Makes the list that brings a whole revision back by an edit of the text.
    pub fn as_of(revision: u64, edit: Edit) -> Self {
        Self {
            seq: 1,
            group: Some(format!("{AS_OF}{revision}")),
            edits: vec![edit],
            undo: None,
        }
    }
}

/// What a library answers to a submission.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Taken {
    /// An earlier list never arrived: the window is to send from there.
    Gap {
        /// The number that is expected.
        expect: u64,
    },
    /// Each list has its answer.
    Lists(Answer),
}

/// An answer to each list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Answer {
    /// The revision after all of them.
    pub revision: u64,
    /// One answer a list, in the order sent.
    pub lists: Vec<ListAnswer>,
}

/// What came of one list. Sent again, the same list gets the same answer and is not done again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ListAnswer {
    /// Its number.
    pub seq: u64,
    /// What came of it.
    #[serde(flatten)]
    pub state: ListState,
}

/// What came of a list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "state", rename_all = "kebab-case")]
pub enum ListState {
    /// It is kept.
    Kept {
        /// In this revision.
        revision: u64,
    },
    /// None of it is taken.
    Refused {
        /// Why, each with its place.
        why: Vec<Refusal>,
    },
}

/// One reason why a list is not taken.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Refusal {
    /// The place it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Place>,
    /// Of which kind it is.
    pub kind: RefusalKind,
    /// What stands there now, where another hand was faster.
    #[serde(
        default,
        deserialize_with = "given",
        skip_serializing_if = "Option::is_none"
    )]
    pub now: Option<Json>,
    /// Whose hand that was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<Person>,
    /// In which revision.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub revision: Option<u64>,
    /// What is wrong, one sentence without a full stop.
    pub text: String,
    /// What to write or do instead.
    pub remedy: String,
}

/// Reads a value that is there, `null` among them: nothing stands there, which is not the same as not known.
fn given<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Json>, D::Error> {
    Json::deserialize(from).map(Some)
}

/// Kinds of refusals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RefusalKind {
    /// The value there is another by now.
    Changed,
    /// What was to be changed is there no more.
    Gone,
    /// The record would not be good with it.
    Unreadable,
}

/// One save.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Revision {
    /// Its number, from 1; the first made the dossier.
    pub number: u64,
    /// When.
    pub at: Timestamp,
    /// Who.
    pub by: Person,
    /// Where it came from.
    #[serde(default, skip_serializing_if = "Origin::is_here")]
    pub origin: Origin,
    /// From which window.
    pub client: Option<ClientId>,
    /// What it belongs to.
    pub group: Option<String>,
    /// The revision that it takes back.
    pub undoes: Option<u64>,
    /// What was changed, as it was sent; empty for a dossier that came from outside.
    pub edits: Vec<Edit>,
    /// What takes it back, to be made in this order.
    pub inverse: Vec<Edit>,
}

/// Where a revision came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// It was saved in this library.
    #[default]
    Here,
    /// It was brought with a dossier that was imported.
    Imported,
    /// Another program changed the text of a dossier in its folder.
    Outside,
}

impl Origin {
    fn is_here(&self) -> bool {
        *self == Self::Here
    }
}

impl Revision {
    /// Returns whether it was made by the same action as another: of one group, from one window.
    pub fn goes_with(&self, other: &Self) -> bool {
        let same = self.group.is_some() && self.group == other.group && self.client == other.client;
        self.number == other.number || same && self.undoes.is_none() && other.undoes.is_none()
    }

    /// Returns the revision that it brought back whole.
    pub fn brought_back(&self) -> Option<u64> {
        let number = self.group.as_deref()?.strip_prefix(AS_OF)?;
        number.parse().ok()
    }

    /// The revision that a dossier begins with.
    pub fn first(by: Person, at: Timestamp) -> Self {
        Self {
            number: 1,
            at,
            by,
            origin: Origin::Here,
            client: None,
            group: None,
            undoes: None,
            edits: Vec::new(),
            inverse: Vec::new(),
        }
    }
}

/// A list that was not taken, kept in the history with its author.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Untaken {
    /// When it arrived.
    pub at: Timestamp,
    /// Who sent it.
    pub by: Person,
    /// From which window.
    pub client: ClientId,
    /// The list.
    pub list: EditList,
    /// Why it was not taken.
    pub why: Vec<Refusal>,
}
