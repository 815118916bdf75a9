//! Taking lists of edits: what is kept, what is refused and why, what was answered before.
//!
//! Edits are small and name what stood at their place before, so lists of several people merge unless they touch the
//! same place. A list is made on the text as it is when its turn comes, not on the text its author saw.

use crate::keeper::{Appended, NewRevision, Outcome};
use crate::library::{Current, FILE, Saved};
use crate::{
    Answer, DossierId, EditList, Library, LibraryError, ListAnswer, ListState, Person, Refusal,
    RefusalKind, Revision, Submission, Taken, together,
};
use jiff::Timestamp;
use record::{Dossier, Draft, Edit, EditError, Place, Problem};

/// Tries before a list is answered with "busy": each lost one means that another program saved in between.
const TRIES: usize = 20;

/// Revisions looked through for the one that changed a place last.
const LOOKED_BACK: usize = 500;

pub(crate) async fn take(
    library: &Library,
    id: &DossierId,
    submission: &Submission,
    by: &Person,
    at: Timestamp,
) -> Result<Saved, LibraryError> {
    let keeper = &library.keeper;
    let mut last = keeper.last_seq(id, &submission.client).await?;
    let mut current = library.current(id).await?;
    let mut lists = Vec::new();
    let mut checked = None;
    for list in &submission.lists {
        // A window that is not known yet may begin anywhere: its earlier lists were answered elsewhere.
        if let Some(last) = last
            && list.seq > last + 1
        {
            let taken = Taken::Gap { expect: last + 1 };
            return Ok(Saved::of(taken, current, checked));
        }
        if last.is_some_and(|last| list.seq <= last)
            && let Some(answer) = keeper.answered(id, &submission.client, list.seq).await?
        {
            lists.push(answer);
            continue;
        }
        let (answer, dossier) = one(library, id, submission, list, by, at, &mut current).await?;
        lists.push(answer);
        checked = dossier.map(|d| (current.revision, d)).or(checked);
        last = Some(list.seq);
    }
    let revision = current.revision;
    let taken = Taken::Lists(Answer { revision, lists });
    Ok(Saved::of(taken, current, checked))
}

/// Takes one list that was not answered yet. Returns the dossier as well where it makes a revision.
async fn one(
    library: &Library,
    id: &DossierId,
    submission: &Submission,
    list: &EditList,
    by: &Person,
    at: Timestamp,
    current: &mut Current,
) -> Result<(ListAnswer, Option<Dossier>), LibraryError> {
    for _ in 0..TRIES {
        let (state, made) = match edits_of(library, id, list).await? {
            Ok(edits) => decided(library, id, &edits, current).await?,
            Err(refusal) => (ListState::Refused { why: vec![refusal] }, None),
        };
        let answer = ListAnswer {
            seq: list.seq,
            state,
        };
        let (revision, dossier) = made.unzip();
        let outcome = Outcome {
            client: submission.client.clone(),
            by: by.clone(),
            at,
            list: list.clone(),
            answer: answer.clone(),
            revision,
        };
        match library
            .keeper
            .append(id, current.revision, &outcome)
            .await?
        {
            Appended::Kept => {
                if let Some(new) = outcome.revision {
                    current.revision = new.number;
                    current.text = new.text;
                }
                return Ok((answer, dossier));
            }
            Appended::Behind => *current = library.current(id).await?,
        }
    }
    Err(LibraryError::Busy(id.clone()))
}

/// Returns the edits of a list; of one that takes a revision back, the inverses that were kept with it and with what
/// belongs together with it, so that one action is taken back as one.
async fn edits_of(
    library: &Library,
    id: &DossierId,
    list: &EditList,
) -> Result<Result<Vec<Edit>, Refusal>, LibraryError> {
    let refuse = |text: &str, remedy: &str| Refusal {
        at: None,
        kind: RefusalKind::Unreadable,
        now: None,
        by: None,
        revision: None,
        text: text.to_string(),
        remedy: remedy.to_string(),
    };
    Ok(match (list.undo, list.edits.is_empty()) {
        (None, false) => Ok(list.edits.clone()),
        (Some(number), true) => match library.keeper.revision(id, number).await? {
            Some((revision, _)) if !revision.inverse.is_empty() => {
                Ok(inverses(library, id, revision).await?)
            }
            Some(_) => Err(refuse(
                &format!("revision {number} changed nothing that could be taken back"),
                "take back a later one",
            )),
            None => Err(refuse(
                &format!("there is no revision {number}"),
                "take one of the history",
            )),
        },
        (None, true) => Err(refuse(
            "the list is empty",
            "send edits, or what to take back",
        )),
        (Some(_), false) => Err(refuse(
            "the list both edits and takes back",
            "send two lists",
        )),
    })
}

/// Returns what takes a revision back, and first what belongs together with it and came later.
async fn inverses(
    library: &Library,
    id: &DossierId,
    revision: Revision,
) -> Result<Vec<Edit>, LibraryError> {
    if revision.group.is_none() {
        return Ok(revision.inverse);
    }
    let history = library.keeper.history(id, None, LOOKED_BACK).await?;
    let all = together(&history, revision.number);
    if all.is_empty() {
        return Ok(revision.inverse);
    }
    Ok(all.iter().flat_map(|r| r.inverse.clone()).collect())
}

/// Makes edits on a text: what is answered, and the revision that it makes, with the dossier as it was checked.
async fn decided(
    library: &Library,
    id: &DossierId,
    edits: &[Edit],
    current: &Current,
) -> Result<(ListState, Option<(NewRevision, Dossier)>), LibraryError> {
    let mut draft = Draft::parse(&current.text, FILE)?;
    let mut inverse = Vec::new();
    for edit in edits {
        match draft.apply(edit) {
            Ok(applied) => inverse.push(applied.inverse),
            Err(error) => {
                let refusal = refusal(library, id, error).await?;
                return Ok((ListState::Refused { why: vec![refusal] }, None));
            }
        }
    }
    inverse.reverse();
    let dossier = match draft.check(&current.files) {
        Ok(dossier) => dossier,
        Err(problems) => {
            let why = problems.0.iter().map(unreadable).collect();
            return Ok((ListState::Refused { why }, None));
        }
    };
    let text = draft.text();
    if text == current.text {
        let revision = current.revision;
        return Ok((ListState::Kept { revision }, None));
    }
    let number = current.revision + 1;
    let new = NewRevision {
        number,
        inverse,
        text,
        name: dossier.product.name.clone(),
        maker: dossier.product.maker.clone(),
    };
    Ok((ListState::Kept { revision: number }, Some((new, dossier))))
}

/// Tells a mistake that edits would make.
fn unreadable(problem: &Problem) -> Refusal {
    let text = match &problem.lacks {
        Some(key) => format!("{} ({key})", problem.message),
        None => problem.message.clone(),
    };
    Refusal {
        at: problem.place.clone(),
        kind: RefusalKind::Unreadable,
        now: None,
        by: None,
        revision: None,
        text,
        remedy: problem.remedy.clone(),
    }
}

/// Tells why an edit is not made, and whose hand was faster where that is why.
async fn refusal(
    library: &Library,
    id: &DossierId,
    error: EditError,
) -> Result<Refusal, LibraryError> {
    let at = error.place().cloned();
    let text = error.to_string();
    let (kind, now) = match error {
        EditError::Changed { present, .. } => (RefusalKind::Changed, Some(present)),
        EditError::Meanwhile { .. } => (RefusalKind::Changed, None),
        EditError::NothingThere { .. } => (RefusalKind::Gone, None),
        EditError::NoPlace(_)
        | EditError::WrongPlace { .. }
        | EditError::WrongValue { .. }
        | EditError::UnknownKey { .. }
        | EditError::Taken { .. }
        | EditError::BadId { .. }
        | EditError::Layout { .. } => (RefusalKind::Unreadable, None),
    };
    let last = match (&at, kind) {
        (Some(at), RefusalKind::Changed | RefusalKind::Gone) => last_at(library, id, at).await?,
        _ => None,
    };
    let remedy = match kind {
        RefusalKind::Changed => "keep what stands there, or write yours over it",
        RefusalKind::Gone => "bring it back with this value, or let it go",
        RefusalKind::Unreadable => "write something that fits there",
    };
    let (by, revision) = last.unzip();
    Ok(Refusal {
        at,
        kind,
        now,
        by,
        revision,
        text,
        remedy: remedy.to_string(),
    })
}

/// Returns who touched a place last, and in which revision.
async fn last_at(
    library: &Library,
    id: &DossierId,
    at: &Place,
) -> Result<Option<(Person, u64)>, LibraryError> {
    let history = library.keeper.history(id, None, LOOKED_BACK).await?;
    let touched = |edit: &Edit| {
        let place = match edit {
            Edit::Set { at, .. }
            | Edit::Remove { at, .. }
            | Edit::Move { at, .. }
            | Edit::Rename { at, .. }
            | Edit::Restore { at, .. } => at,
            Edit::Add { to, .. } => return at.is_within(to),
        };
        at.is_within(place) || place.is_within(at)
    };
    let mut newest = history.iter();
    let found = newest.find(|revision| {
        // Of what took something back the list is empty; its inverse names the same places.
        let edits = [&revision.edits, &revision.inverse];
        edits.into_iter().flatten().any(touched)
    });
    Ok(found.map(|revision| (revision.by.clone(), revision.number)))
}
