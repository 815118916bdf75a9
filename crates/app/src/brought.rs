//! A meter's log or a sound recording that arrives at a library: shown as it would be taken, corrected, kept.
//!
//! In: the bytes of a file, what a form says of it, what its columns are said to be. Out: what it was taken for, what is
//! wrong with it, and the edits that record it; nothing is written before it is kept.
//! Not here: guessing columns (`logs`), hearing (`listen`), pages. The command adds the same by `add`.

use crate::desk::{Desk, View, blocking};
use crate::recorded::{self, Shown};
use crate::{Problem, form, free_id, listen};
use bytes::Bytes;
use library::DossierId;
use record::{Edit, Form, Position, id_of};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value as Json};

/// What a file is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// A meter's log of a charge or a discharge.
    Log,
    /// A sound recording.
    Recording,
}

impl Sort {
    /// Returns the sort of a word.
    pub fn of(word: &str) -> Option<Self> {
        [Self::Log, Self::Recording]
            .into_iter()
            .find(|sort| sort.word() == word)
    }

    /// Returns its word, as [`crate::form`] has it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Log => "log",
            Self::Recording => "recording",
        }
    }
}

/// What a column of a log may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Holds {
    /// Time of a row.
    Time,
    /// Voltage.
    Voltage,
    /// Current.
    Current,
    /// Power.
    Power,
    /// Charge counted by the meter.
    Charge,
    /// Energy counted by the meter.
    Energy,
    /// Temperature.
    Temperature,
}

impl Holds {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Time,
        Self::Voltage,
        Self::Current,
        Self::Power,
        Self::Charge,
        Self::Energy,
        Self::Temperature,
    ];

    /// Returns its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Time => "time",
            Self::Voltage => "voltage",
            Self::Current => "current",
            Self::Power => "power",
            Self::Charge => "charge",
            Self::Energy => "energy",
            Self::Temperature => "temperature",
        }
    }
}

/// What one column is taken for.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Taken {
    /// What it holds; nothing that is read if none.
    pub holds: Option<Holds>,
    /// The unit of its numbers; empty for times of day.
    pub unit: String,
}

/// A file with what is said of it.
#[derive(Debug, Clone)]
pub struct Sent {
    /// What it is of.
    pub sort: Sort,
    /// What it is called.
    pub name: String,
    /// Its content.
    pub bytes: Bytes,
    /// Keys of the entry with the words typed for them.
    pub said: Vec<(String, String)>,
    /// What its columns hold, in the order of the file, where that was corrected.
    pub columns: Option<Vec<Taken>>,
}

/// One thing that reading rows depends on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowsBy {
    /// Its key in the entry.
    pub path: &'static str,
    /// What the file was taken for; empty where nothing was found.
    pub found: String,
    /// What was said instead; empty where nothing was.
    pub said: String,
}

/// A file as it would be taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Looked {
    /// What it is, in a few facts.
    pub facts: Vec<String>,
    /// Of a log: names of its columns.
    pub headings: Vec<String>,
    /// Its first rows.
    pub rows: Vec<Vec<String>>,
    /// What each column is taken for.
    pub columns: Vec<Taken>,
    /// Of a log: how its rows are read; keys of its entry, each with what was found and what was said instead.
    pub rows_by: Vec<RowsBy>,
    /// Why columns are taken so, where it is not sure.
    pub reasons: Vec<String>,
    /// What keeps it from being taken, and what to do about it.
    pub wrong: Option<(String, String)>,
    /// The edits that record it; none where something is wrong.
    pub edits: Vec<Edit>,
    path: String,
}

impl Desk {
    /// Looks at a file as it would be taken; nothing is written.
    ///
    /// # Errors
    /// A file that is no log or recording at all; a word that does not fit its key.
    pub async fn look_at(&self, id: &DossierId, sent: Sent) -> Result<Looked, Problem> {
        let view = self.view(id).await?;
        let form = form(sent.sort.word())?;
        let entry = said(&form, &sent.said)?;
        match sent.sort {
            Sort::Log => blocking(move || log(&view, &form, entry, &sent)).await,
            Sort::Recording => {
                // The recording that it is held against, read before something is heard.
                let source = entry.get("source").and_then(Json::as_str);
                let source = source.and_then(|of| view.dossier.recording(of));
                let mut other = None;
                if let Some(source) = source.filter(|source| source.file != sent.name) {
                    let path = format!("recordings/{}", source.file);
                    other = Some(self.library().bytes(id, &path).await?);
                }
                blocking(move || recording(&view, &form, entry, &sent, other)).await
            }
        }
    }

    /// Keeps a file and returns the edits that record it.
    ///
    /// # Errors
    /// As [`Desk::look_at`]; what keeps it from being taken; no room.
    pub async fn keep(&self, id: &DossierId, sent: Sent) -> Result<Vec<Edit>, Problem> {
        let bytes = sent.bytes.clone();
        let looked = self.look_at(id, sent).await?;
        if let Some((message, remedy)) = looked.wrong {
            return Err(Problem::unfit(message, remedy));
        }
        self.library().add_file(id, &looked.path, bytes).await?;
        Ok(looked.edits)
    }
}

/// Reads what a form says, by the keys of the format.
fn said(form: &Form, said: &[(String, String)]) -> Result<Map<String, Json>, Problem> {
    let mut entry = Map::new();
    for (path, words) in said.iter().filter(|(_, words)| !words.trim().is_empty()) {
        let Some(field) = form.field(path).filter(|field| field.path != "file") else {
            return Err(Problem::unfit(
                format!("a {} has no {}", form.word, record::visible(path)),
                "reload the page",
            ));
        };
        let value = field
            .value(std::slice::from_ref(words))
            .map_err(|unfit| Problem::unfit(format!("{path}: {}", unfit.message), unfit.remedy))?;
        Form::put(&mut entry, path, value);
    }
    Ok(entry)
}

fn log(view: &View, form: &Form, entry: Map<String, Json>, sent: &Sent) -> Result<Looked, Problem> {
    let Shown {
        headings,
        rows,
        columns,
        rows_by,
        reasons,
        read,
        entry,
    } = recorded::shown(&sent.bytes, &sent.name, entry, sent.columns.as_deref())?;
    let (facts, wrong) = match read {
        Ok(facts) => (facts, None),
        Err(why) => (Vec::new(), Some(parted(&why))),
    };
    let (path, edits, lacks) = recorded_as(view, form, entry, sent);
    let by = |(path, found): (&'static str, String)| {
        let said = sent.said.iter().find(|(key, _)| key == path);
        let said = said.map_or_else(String::new, |(_, words)| words.clone());
        RowsBy { path, found, said }
    };
    Ok(Looked {
        facts,
        headings,
        rows,
        columns,
        rows_by: rows_by.into_iter().map(by).collect(),
        reasons,
        edits: if wrong.is_some() || lacks.is_some() {
            Vec::new()
        } else {
            edits
        },
        wrong: wrong.or(lacks),
        path,
    })
}

fn recording(
    view: &View,
    form: &Form,
    mut entry: Map<String, Json>,
    sent: &Sent,
    other: Option<Bytes>,
) -> Result<Looked, Problem> {
    let file = file_name(&sent.name);
    let read = |name: &str| {
        let bytes = other.as_ref().map(|bytes| bytes.to_vec());
        bytes.ok_or_else(|| format!("{name} is not there; bring it in first"))
    };
    let heard = listen::accept(sent.bytes.to_vec(), &file, &mut entry, &view.dossier, &read)?;
    let mut facts = vec![
        format!("{:.1} s", heard.seconds),
        methods::words::counted(heard.channels, "channel", "channels"),
        format!("{} samples a second", heard.rate_hz),
    ];
    let notes = entry.get("heard").and_then(|heard| heard.get("notes"));
    let notes = notes.and_then(Json::as_array).into_iter().flatten();
    facts.extend(notes.filter_map(Json::as_str).map(str::to_owned));
    let (path, edits, wrong) = recorded_as(view, form, entry, sent);
    Ok(Looked {
        facts,
        headings: Vec::new(),
        rows: Vec::new(),
        columns: Vec::new(),
        rows_by: Vec::new(),
        reasons: Vec::new(),
        edits: if wrong.is_some() { Vec::new() } else { edits },
        wrong,
        path,
    })
}

/// Returns where a file would lie, the edits that record it, and what its entry still lacks.
fn recorded_as(
    view: &View,
    form: &Form,
    mut entry: Map<String, Json>,
    sent: &Sent,
) -> (String, Vec<Edit>, Option<(String, String)>) {
    let folder = form.file_folder().unwrap_or_default();
    let digest = library::FileEntry::of(&sent.name, &sent.bytes).sha256;
    let wanted = file_name(&sent.name);
    let (stem, ending) = wanted.rsplit_once('.').unwrap_or((&wanted, ""));
    // The same bytes are kept once, under the name that they have.
    let is_taken = |stem: &str| {
        let path = format!("{folder}/{stem}.{ending}");
        let mut files = view.files.0.iter();
        files.any(|file| file.path == path && file.sha256 != digest)
    };
    let file = format!("{}.{ending}", free_id(stem, is_taken));
    let dossier = &view.dossier;
    let id = free_id(&id_of(stem), |id| match sent.sort {
        Sort::Log => dossier.logs.iter().any(|log| log.id == id),
        Sort::Recording => dossier.recording(id).is_some(),
    });
    entry.insert("id".to_string(), id.into());
    entry.insert("file".to_string(), file.clone().into());
    let lacking = form.lacking(&entry);
    let lacks = lacking.first().map(|field| {
        (
            format!(
                "{} is not said: {}",
                field.flag.replace('-', " "),
                field.doc
            ),
            format!("say it above, such as {}", form.example(field, &entry)),
        )
    });
    let edits = vec![Edit::Add {
        to: form.list(None),
        entry: Json::Object(entry),
        position: Position::Last,
    }];
    (format!("{folder}/{file}"), edits, lacks)
}

/// The name of a file without folders, in letters that every system takes.
fn file_name(name: &str) -> String {
    let file = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let plain = |c: char| match c {
        c if c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.') => c,
        _ => '-',
    };
    let name: String = file.chars().map(plain).collect();
    let name = name.trim_matches(['-', '.']).to_string();
    match name.contains('.') {
        true => name,
        false => format!("{name}.txt"),
    }
}

/// Parts what is wrong from what to do about it.
fn parted(why: &str) -> (String, String) {
    match why.split_once("; ") {
        Some((message, remedy)) => (message.to_string(), remedy.to_string()),
        None => (why.to_string(), "correct its columns below".to_string()),
    }
}
