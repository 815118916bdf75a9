//! What happens to a dossier, told to every window that has it open: server-sent events.
//!
//! In: what was kept. Out: events with ascending names, the last of them again for a window that was away, and what
//! moved since a revision.
//! Not here: what the windows do with it. Source: HTML Living Standard, "Server-sent events".

use crate::guard::Session;
use crate::people::People;
use crate::server::{Shared, Stop};
use crate::station::Station;
use app::desk::Edited;
use axum::Extension;
use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use futures::StreamExt as _;
use jiff::Timestamp;
use library::{DossierId, ListState, Person, Submission, Taken};
use methods::{FindingId, Moved, VerdictMoved};
use serde::Deserialize;
use serde_json::{Value as Json, json};
use std::collections::VecDeque;
use std::convert::Infallible;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio::sync::broadcast::{self, error::RecvError};

/// Events kept for windows that were away for a moment.
const KEPT: usize = 256;
/// Edits of which is remembered what they moved.
const MOVES: usize = 2000;
/// A window that hears nothing for 40 s takes the server for gone.
const HEARTBEAT: Duration = Duration::from_secs(15);
/// How often a window's dossier is looked at for what another server did in the same library.
const LOOKS: Duration = Duration::from_secs(2);
/// Somebody who goes from page to page is not told as gone in between.
const LINGERS: Duration = Duration::from_secs(2);

/// One thing that happened.
#[derive(Debug, Clone)]
pub(crate) struct Told {
    revision: u64,
    number: u64,
    name: &'static str,
    data: Json,
}

impl Told {
    fn id(&self) -> String {
        format!("{}.{}", self.revision, self.number)
    }

    fn event(&self) -> Event {
        let event = Event::default().event(self.name).id(self.id());
        event.data(self.data.to_string())
    }
}

/// The windows of one dossier.
pub(crate) struct Channel {
    sender: broadcast::Sender<Told>,
    log: Mutex<Log>,
    people: Mutex<People>,
}

#[derive(Default)]
struct Log {
    revision: u64,
    number: u64,
    events: VecDeque<Told>,
    moves: VecDeque<(u64, Timestamp, Person, Moved)>,
}

impl Default for Channel {
    fn default() -> Self {
        Self {
            sender: broadcast::channel(KEPT).0,
            log: Mutex::default(),
            people: Mutex::default(),
        }
    }
}

/// A verdict that moved, with the edit that did it.
pub(crate) struct Since {
    pub(crate) verdict: VerdictMoved,
    pub(crate) revision: u64,
    pub(crate) by: Person,
}

impl Channel {
    fn log(&self) -> std::sync::MutexGuard<'_, Log> {
        self.log.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Tells every window of something.
    pub(crate) fn tell(&self, name: &'static str, data: Json) {
        let mut log = self.log();
        log.number += 1;
        let told = Told {
            revision: log.revision,
            number: log.number,
            name,
            data,
        };
        log.events.push_back(told.clone());
        if log.events.len() > KEPT {
            log.events.pop_front();
        }
        // Nobody may be listening.
        let _ = self.sender.send(told);
    }

    /// Tells of lists that were kept, and of what they moved.
    pub(crate) fn saved(&self, sent: &Submission, edited: &Edited, by: &Person, at: Timestamp) {
        let revision = edited.view.revision;
        {
            let mut log = self.log();
            log.revision = revision;
            log.number = 0;
            log.moves
                .push_back((revision, at, by.clone(), edited.moved.clone()));
            if log.moves.len() > MOVES {
                log.moves.pop_front();
            }
        }
        let kept: Vec<u64> = match &edited.taken {
            Taken::Gap { .. } => Vec::new(),
            Taken::Lists(answer) => {
                let kept = answer.lists.iter();
                let kept = kept.filter(|list| matches!(list.state, ListState::Kept { .. }));
                kept.map(|list| list.seq).collect()
            }
        };
        self.tell(
            "saved",
            json!({ "revision": revision, "by": by, "client": sent.client, "at": at, "lists": kept }),
        );
        self.tell("moved", moved_as_json(revision, &edited.moved));
    }

    /// Returns the verdicts that are others than after a revision, the last moved first.
    pub(crate) fn verdicts_since(&self, revision: u64) -> Vec<Since> {
        let log = self.log();
        let mut all: Vec<Since> = Vec::new();
        for (number, _, by, moved) in log.moves.iter().filter(|(n, ..)| *n > revision) {
            for verdict in &moved.verdicts {
                let earlier = take(&mut all, &verdict.finding);
                let mut verdict = verdict.clone();
                if let Some(earlier) = earlier {
                    verdict.was = earlier.verdict.was;
                    verdict.was_conformance = earlier.verdict.was_conformance;
                }
                if verdict.was != verdict.now {
                    all.push(Since {
                        verdict,
                        revision: *number,
                        by: by.clone(),
                    });
                }
            }
        }
        all.reverse();
        all
    }

    /// Changes who is here; where that changes what is told of them, every window is told.
    fn people<T>(&self, change: impl FnOnce(&mut People) -> T) -> T {
        let (came, told) = {
            let mut people = self.people.lock().unwrap_or_else(PoisonError::into_inner);
            let before = people.as_json();
            let came = change(&mut people);
            let now = people.as_json();
            (came, (now != before).then_some(now))
        };
        if let Some(people) = told {
            self.tell("people", people);
        }
        came
    }

    /// Notes the place that somebody opened.
    pub(crate) fn goes(&self, person: &Person, place: Station) {
        self.people(|people| people.goes(person, place));
    }

    /// Returns who has the dossier open, with the place that they opened last.
    pub(crate) fn here(&self) -> Vec<(Person, Option<Station>)> {
        self.people(|people| people.all())
    }

    /// Returns what each edit moved, the last first.
    pub(crate) fn moves(&self) -> Vec<(u64, Timestamp, Person, Moved)> {
        self.log().moves.iter().rev().cloned().collect()
    }

    /// Returns what happened after an event; nothing where that is too long ago to know.
    fn after(&self, id: &str) -> Option<Vec<Told>> {
        let log = self.log();
        let at = log.events.iter().position(|told| told.id() == id)?;
        Some(log.events.iter().skip(at + 1).cloned().collect())
    }
}

fn take(all: &mut Vec<Since>, finding: &FindingId) -> Option<Since> {
    let at = all.iter().position(|s| s.verdict.finding == *finding)?;
    Some(all.remove(at))
}

/// What moved as pages are told it: verdicts in words, figures by name.
pub(crate) fn moved_as_json(revision: u64, moved: &Moved) -> Json {
    let verdicts: Vec<Json> = moved.verdicts.iter().map(verdict_as_json).collect();
    let figures = moved.figures.iter().map(
        |f| json!({ "figure": f.figure.to_string(), "name": f.name, "was": f.was, "now": f.now }),
    );
    json!({ "revision": revision, "verdicts": verdicts, "figures": figures.collect::<Vec<_>>() })
}

fn verdict_as_json(verdict: &VerdictMoved) -> Json {
    let words = |v: Option<methods::Verdict>| v.map(report::verdict_words);
    json!({
        "finding": verdict.finding.to_string(),
        "title": verdict.title,
        "was": words(verdict.was),
        "now": words(verdict.now),
        "wasLikely": verdict.was_conformance,
        "likely": verdict.conformance,
    })
}

/// The seat of a stream; it is given up a moment after the stream ends.
struct Seated {
    channel: Arc<Channel>,
    number: u64,
}

impl Seated {
    fn of(channel: &Arc<Channel>, person: &Person, place: Option<Station>) -> Self {
        Self {
            channel: Arc::clone(channel),
            number: channel.people(|people| people.sit(person, place)),
        }
    }
}

impl Drop for Seated {
    fn drop(&mut self) {
        let (channel, number) = (Arc::clone(&self.channel), self.number);
        // Without a runtime the server has ended, and nobody is told any more.
        if let Ok(runtime) = tokio::runtime::Handle::try_current() {
            runtime.spawn(async move {
                tokio::time::sleep(LINGERS).await;
                channel.people(|people| people.leave(number));
            });
        }
    }
}

/// What a window hears after the first events.
struct Listener {
    receiver: broadcast::Receiver<Told>,
    /// The revision that the window was told of last.
    known: u64,
    looks: tokio::time::Interval,
    _seated: Seated,
}

impl Listener {
    /// Waits for the next event; none when the server ends.
    async fn next(&mut self, bench: &Shared, id: &DossierId) -> Option<Event> {
        loop {
            tokio::select! {
                told = self.receiver.recv() => match told {
                    Ok(told) => {
                        self.known = self.known.max(told.revision);
                        return Some(told.event());
                    }
                    Err(RecvError::Lagged(_)) => return Some(again(self.known)),
                    Err(RecvError::Closed) => return None,
                },
                _ = self.looks.tick() => {
                    // A library that is away for a moment is asked again.
                    let head = bench.desk.library().head(id).await;
                    let revision = head.map_or(self.known, |head| head.revision);
                    if revision > self.known {
                        self.known = revision;
                        return Some(again(revision));
                    }
                }
            }
        }
    }
}

/// Tells a window to ask for everything again.
fn again(revision: u64) -> Event {
    let data = json!({ "revision": revision });
    Event::default().event("again").data(data.to_string())
}

/// What a stream may be asked with.
#[derive(Deserialize)]
pub(crate) struct Listening {
    /// The place that its window shows.
    place: Option<String>,
}

/// `GET /d/ID/live`
pub(crate) async fn stream(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Query(listening): Query<Listening>,
    Extension(session): Extension<Session>,
    headers: HeaderMap,
) -> Result<Response, Stop> {
    let revision = bench.desk.library().head(&id).await?.revision;
    let channel = bench.channel(&id);
    // Before the missed are read, so that none falls between.
    let receiver = channel.sender.subscribe();
    let place = listening.place.as_deref().and_then(Station::at);
    let seated = Seated::of(&channel, &session.person, place);
    let last = headers.get("last-event-id").and_then(|v| v.to_str().ok());
    let missed = match last {
        // The window may have been made from an older revision than it is connected to.
        None => Some(Vec::new()),
        Some(id) => channel.after(id),
    };
    let hello = Event::default()
        .event("here")
        .data(json!({ "revision": revision }).to_string());
    let mut first = vec![hello];
    match missed {
        Some(missed) => first.extend(missed.iter().map(Told::event)),
        None => first.push(again(revision)),
    }
    let listener = Listener {
        receiver,
        known: revision,
        looks: tokio::time::interval(LOOKS),
        _seated: seated,
    };
    let rest = futures::stream::unfold(listener, move |mut listener| {
        let (bench, id) = (bench.clone(), id.clone());
        async move {
            let event = listener.next(&bench, &id).await?;
            Some((Ok::<_, Infallible>(event), listener))
        }
    });
    let events = futures::stream::iter(first.into_iter().map(Ok)).chain(rest);
    let alive = KeepAlive::new()
        .interval(HEARTBEAT)
        .event(Event::default().event("heartbeat").data("{}"));
    Ok(Sse::new(events).keep_alive(alive).into_response())
}
