//! `underlid library`: many dossiers in one folder, with their histories.

mod find;
mod people;

use crate::arguments::{ExportArguments, Format, LibraryCommand, TakeInArguments};
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::Problem;
use app::keeping::{self, ExportOptions, ImportOptions, Imported, Source};
use jiff::Timestamp;
use library::{Head, Library, Origin, Person, Revision, Verified, Which};
use serde_json::{Value as Json, json};
use std::path::Path;

pub(crate) fn run(command: LibraryCommand, format: Format) -> Result<(), Failure> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(Failure::Unprinted)?;
    runtime.block_on(done(command, format))
}

async fn done(command: LibraryCommand, format: Format) -> Result<(), Failure> {
    match command {
        LibraryCommand::List { library, withdrawn } => {
            list(&keeping::open(&library).await?, withdrawn, format).await
        }
        LibraryCommand::Find(arguments) => find::run(arguments, format).await,
        LibraryCommand::Import(arguments) => import(arguments, format).await,
        LibraryCommand::People(command) => people::run(command, format).await,
        LibraryCommand::Export(arguments) => export(arguments, format).await,
        LibraryCommand::Verify { library } => {
            let verified = keeping::verify(&keeping::open(&library).await?).await?;
            told(&verified, "The library is sound.", format)
        }
        LibraryCommand::Backup { library, into } => {
            let verified =
                keeping::backup(&keeping::open(&library).await?, &library, &into).await?;
            let sound = format!("Copied to {}; the copy is sound.", shown(&into));
            told(&verified, &sound, format)
        }
        LibraryCommand::Withdraw {
            library,
            dossier,
            back,
        } => withdraw(&library, &dossier, back, format).await,
        LibraryCommand::History {
            library,
            dossier,
            before,
            most,
        } => {
            let library = keeping::open(&library).await?;
            let id = keeping::find(&library, &dossier).await?;
            let history = library.history(&id, before, most).await;
            revisions(&history.map_err(Problem::from)?, format)
        }
    }
}

async fn list(library: &Library, withdrawn: bool, format: Format) -> Result<(), Failure> {
    let which = match withdrawn {
        true => Which::Withdrawn,
        false => Which::Present,
    };
    let heads = library.heads(which).await.map_err(Problem::from)?;
    let text = match format {
        Format::Json => format!("{:#}", json!({ "dossiers": heads })),
        Format::Text if heads.is_empty() => "There is no dossier.\n".to_string(),
        Format::Text => heads.iter().map(line).collect(),
    };
    screen::print_as(format, &text)
}

fn line(head: &Head) -> String {
    format!(
        "{}  {}, {}  (revision {}, {})\n",
        head.id,
        record::visible(&head.name),
        record::visible(&head.maker),
        head.revision,
        minute(head.changed)
    )
}

/// A time to the minute, in UTC: a history is the same wherever it is read.
pub(super) fn minute(at: Timestamp) -> String {
    at.strftime("%Y-%m-%d %H:%M UTC").to_string()
}

async fn import(arguments: TakeInArguments, format: Format) -> Result<(), Failure> {
    let library = keeping::open_or_make(&arguments.library).await?;
    let user = || std::env::var("USER").or_else(|_| std::env::var("USERNAME"));
    let by = arguments.by.or_else(|| user().ok());
    let by = Person::from(by.unwrap_or_else(|| "somebody".to_string()));
    let options = ImportOptions {
        without_history: arguments.without_history,
    };
    let mut answers = Vec::new();
    let mut text = String::new();
    for path in &arguments.sources {
        let source = Source::at(path)?;
        let at = Timestamp::now();
        let imported = keeping::import(&library, source, options, &by, at, &Terminal).await?;
        text += &taken(path, &imported);
        answers.push(json!({
            "from": path, "id": imported.id, "name": imported.name, "revision": imported.revision,
            "files": imported.files, "publications": imported.publications, "left-out": imported.left_out,
        }));
    }
    library.close().await;
    if format == Format::Json {
        text = format!("{:#}", json!({ "imported": answers }));
    }
    screen::print_as(format, &text)
}

fn taken(from: &Path, imported: &Imported) -> String {
    let mut text = format!(
        "{}: {} is {} ({}, revision {})\n",
        shown(from),
        record::visible(&imported.name),
        imported.id,
        count(imported.files.len() as u64, "file"),
        imported.revision
    );
    if imported.publications > 0 {
        let publications = count(imported.publications as u64, "publication");
        text += &format!("  with {publications}\n");
    }
    for name in &imported.left_out {
        text += &format!("  left out: {}\n", record::visible(name));
    }
    text
}

async fn export(arguments: ExportArguments, format: Format) -> Result<(), Failure> {
    let library = keeping::open(&arguments.library).await?;
    let id = keeping::find(&library, &arguments.dossier).await?;
    let options = ExportOptions {
        into: arguments.into,
        revision: arguments.revision,
        alone: arguments.alone,
    };
    let exported = keeping::export(&library, &id, &options, &Terminal).await?;
    let text = match format {
        Format::Json => format!(
            "{:#}",
            json!({
                "id": id, "revision": exported.revision, "files": exported.files,
                "publications": exported.publications, "into": options.into,
            })
        ),
        Format::Text => format!(
            "Revision {} of {id} with {} is in {}.\n",
            exported.revision,
            count(exported.files as u64, "file"),
            shown(&options.into)
        ),
    };
    screen::print_as(format, &text)
}

async fn withdraw(folder: &Path, dossier: &str, back: bool, format: Format) -> Result<(), Failure> {
    let library = keeping::open(folder).await?;
    let id = keeping::find(&library, dossier).await?;
    let done = library.withdraw(&id, !back, Timestamp::now()).await;
    done.map_err(Problem::from)?;
    library.close().await;
    let text = match (format, back) {
        (Format::Json, _) => format!("{:#}", json!({ "id": id, "withdrawn": !back })),
        (Format::Text, true) => format!("{id} is back.\n"),
        (Format::Text, false) => {
            format!("{id} is withdrawn; `--back` brings it back, nothing of it is lost.\n")
        }
    };
    screen::print_as(format, &text)
}

fn told(verified: &Verified, sound: &str, format: Format) -> Result<(), Failure> {
    let text = match format {
        Format::Json => {
            let sound = verified.damage.is_empty();
            format!("{:#}", json!({ "sound": sound, "looked-at": verified }))
        }
        Format::Text => {
            let mut text = String::new();
            for damage in &verified.damage {
                let place = damage.dossier.as_ref().map(|id| format!("{id}: "));
                text += &format!("{}{}\n", place.unwrap_or_default(), damage.what);
            }
            text += &format!(
                "Looked at {}, {}, {} ({} MB).\n",
                count(verified.dossiers, "dossier"),
                count(verified.revisions, "revision"),
                count(verified.files, "file"),
                verified.bytes.div_ceil(1_000_000)
            );
            if verified.unused > 0 {
                let unused = count(verified.unused, "object");
                text += &format!("{unused} belong to no dossier; they do no harm.\n");
            }
            text += &match verified.damage.len() {
                0 => format!("{sound}\n"),
                1 => "1 thing is damaged; bring back a backup.\n".to_string(),
                many => format!("{many} things are damaged; bring back a backup.\n"),
            };
            text
        }
    };
    screen::print_as(format, &text)?;
    match verified.damage.is_empty() {
        true => Ok(()),
        false => Err(Failure::Answered),
    }
}

fn count(number: u64, of: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{number} {of}{plural}")
}

fn revisions(history: &[Revision], format: Format) -> Result<(), Failure> {
    let text = match format {
        Format::Json => {
            let all: Vec<Json> = history.iter().map(|revision| json!(revision)).collect();
            format!("{:#}", json!({ "revisions": all }))
        }
        Format::Text if history.is_empty() => "There are no revisions before that one.\n".into(),
        Format::Text => history.iter().map(told_revision).collect(),
    };
    screen::print_as(format, &text)
}

fn told_revision(revision: &Revision) -> String {
    let what = match (revision.undoes, revision.origin, revision.edits.as_slice()) {
        (Some(number), _, _) => format!("takes back {number}"),
        (None, Origin::Outside, _) => "edited outside".to_string(),
        (None, _, []) => "begins".to_string(),
        (None, _, edits) => {
            let mut places: Vec<String> = edits.iter().map(place).collect();
            places.dedup();
            places.join(", ")
        }
    };
    format!(
        "{:>5}  {}  {}  {}\n",
        revision.number,
        minute(revision.at),
        revision.by,
        record::visible(&what)
    )
}

fn place(edit: &record::Edit) -> String {
    use record::Edit;
    match edit {
        Edit::Add { to, .. } => format!("adds to {to}"),
        Edit::Set { at, .. } => at.to_string(),
        Edit::Remove { at, .. } => format!("removes {at}"),
        Edit::Move { at, .. } => format!("moves {at}"),
        Edit::Rename { at, .. } => format!("renames {at}"),
        Edit::Restore { at, .. } => format!("puts back {at}"),
    }
}
