//! What is written: lists of edits from the pages' own client, and single fields from plain forms.
//!
//! In: JSON ([`Submission`]), or a form with the place, what stood there and the words typed. Out: what the library
//! answers; for a form, the page that it was sent from, or what is wrong with it.
//! Not here: whether an edit fits, how edits merge (`library`).

use crate::frame;
use crate::guard::Session;
use crate::server::{Bench, Shared, Stop};
use axum::Extension;
use axum::Json;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::header::{CONTENT_TYPE, HeaderMap, LOCATION};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use library::{ClientId, DossierId, EditList, ListState, Person, Submission, Taken};
use record::{Edit, Field, Place, field_at};
use serde_json::{Map, Value};

/// Most lists of one request.
const MOST_LISTS: usize = 64;

/// `POST /d/ID/edits`
pub(crate) async fn post(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Extension(session): Extension<Session>,
    headers: HeaderMap,
    body: Bytes,
) -> Result<Response, Stop> {
    let kind = headers.get(CONTENT_TYPE).and_then(|v| v.to_str().ok());
    let kind = kind.unwrap_or_default();
    if kind.starts_with("application/x-www-form-urlencoded") {
        return Ok(form(&bench, &id, &session, &body).await);
    }
    if !kind.starts_with("application/json") {
        return Err(Stop::unfit(
            "Edits are sent as JSON, or as a form",
            "say `content-type: application/json`",
        ));
    }
    let submission: Submission = serde_json::from_slice(&body).map_err(|error| {
        Stop::unfit(
            format!("These are no edits: {error}"),
            "send {\"client\":…,\"lists\":[…]}",
        )
    })?;
    if submission.lists.len() > MOST_LISTS {
        let message = format!("{} lists are too many at once", submission.lists.len());
        return Err(Stop::unfit(message, format!("send at most {MOST_LISTS}")));
    }
    let edited = bench.take(&id, &submission, &session.person).await?;
    Ok(Json(edited.taken).into_response())
}

/// Writes what a plain form holds and goes back to its page.
async fn form(bench: &Shared, id: &DossierId, session: &Session, body: &[u8]) -> Response {
    let pairs = pairs(body);
    let back = pairs.iter().find(|(key, _)| key == "back");
    // Only places of this dossier are gone back to, whatever the form says.
    let place = back.map_or("intake", |(_, place)| place);
    let place = match place {
        crate::pages::repair::AT => crate::pages::repair::AT,
        place => crate::station::Station::at(place).map_or("intake", |s| s.path()),
    };
    let written = match list_of(&pairs) {
        Ok(list) => take(bench, id, &session.person, list).await,
        Err(stop) => Err(stop),
    };
    match written {
        Ok(()) => {
            let mut response = StatusCode::SEE_OTHER.into_response();
            if let Ok(to) = HeaderValue::from_str(&format!("/d/{id}/{place}")) {
                response.headers_mut().insert(LOCATION, to);
            }
            response
        }
        Err(stop) => frame::stopped(&stop),
    }
}

/// Writes edits as a list of its own.
pub(crate) async fn write(
    bench: &Bench,
    id: &DossierId,
    by: &Person,
    edits: Vec<Edit>,
) -> Result<(), Stop> {
    let list = EditList {
        seq: 1,
        group: None,
        edits,
        undo: None,
    };
    take(bench, id, by, list).await
}

/// Takes one list by itself.
pub(crate) async fn take(
    bench: &Bench,
    id: &DossierId,
    by: &Person,
    list: EditList,
) -> Result<(), Stop> {
    // Each form is a window of its own, as nothing numbers them.
    let client = DossierId::random().map_err(|e| Stop::internal(&e.to_string()))?;
    let client: ClientId = client.as_str().parse().map_err(|_| Stop::internal("ids"))?;
    let lists = vec![list];
    let submission = Submission { client, lists };
    let edited = bench.take(id, &submission, by).await?;
    let Taken::Lists(answer) = edited.taken else {
        return Err(Stop::internal("a first list has no gap before it"));
    };
    for list in answer.lists {
        if let ListState::Refused { why } = list.state {
            let told: Vec<String> = why.iter().map(|w| w.text.clone()).collect();
            let remedy = why.first().map_or(String::new(), |w| w.remedy.clone());
            return Err(Stop::unfit(told.join("; "), remedy));
        }
    }
    Ok(())
}

/// Makes a list of edits of a form: `at` with `old` and `new`; `to` with the fields of an entry; `remove`; `undo`.
fn list_of(pairs: &[(String, String)]) -> Result<EditList, Stop> {
    let value = |name: &str| {
        let found = pairs.iter().find(|(key, _)| key == name);
        found.map(|(_, value)| value.as_str())
    };
    let place = |text: &str| -> Result<Place, Stop> {
        text.parse()
            .map_err(|e: record::PlaceError| Stop::unfit(e.to_string(), "send the form of a page"))
    };
    let mut list = EditList {
        seq: 1,
        group: None,
        edits: Vec::new(),
        undo: None,
    };
    if let Some(number) = value("undo") {
        list.undo = number.parse().ok();
    } else if let Some(at) = value("at") {
        let at = place(at)?;
        let field = field_at(&at).ok_or_else(|| Stop::unfit("no such field", "reload the page"))?;
        let old = value("old").map(|old| serde_json::from_str(old).unwrap_or(Value::Null));
        let new = typed(&field, value("new").unwrap_or_default())?;
        list.edits.push(Edit::Set { at, new, old });
    } else if let Some(to) = value("to") {
        let to = place(to)?;
        let mut entry = Map::new();
        for (key, words) in pairs {
            let Some(path) = key.strip_prefix("entry.") else {
                continue;
            };
            let at = to.clone().at(path);
            let field =
                field_at(&at).ok_or_else(|| Stop::unfit("no such field", "reload the page"))?;
            let value = typed(&field, words)?;
            if !value.is_null() {
                record::Form::put(&mut entry, path, value);
            }
        }
        if let Some(id) = id_of(&to, &entry)? {
            entry.insert("id".to_string(), id.into());
        }
        list.edits.push(Edit::Add {
            to,
            entry: Value::Object(entry),
            position: record::Position::Last,
        });
    } else if let Some(at) = value("remove") {
        let at = place(at)?;
        list.edits.push(Edit::Remove { at, old: None });
    } else {
        return Err(Stop::unfit("the form says nothing", "reload the page"));
    }
    Ok(list)
}

/// Makes the id of an entry that has to have one and was given none; random, as nothing here knows those taken.
fn id_of(to: &Place, entry: &Map<String, Value>) -> Result<Option<String>, Stop> {
    let has_id = field_at(&to.clone().at("id")).is_some();
    if !has_id || entry.contains_key("id") {
        return Ok(None);
    }
    let random = DossierId::random().map_err(|e| Stop::internal(&e.to_string()))?;
    let lead = ["text", "name", "caption", "what"];
    let lead = lead.iter().find_map(|key| entry.get(*key)?.as_str());
    let words = record::id_of(lead.unwrap_or("entry"));
    Ok(Some(format!("{words}-{}", &random.as_str()[..4])))
}

/// Reads the words of a field; none is no value.
pub(crate) fn typed(field: &Field, words: &str) -> Result<Value, Stop> {
    let words = words.replace("\r\n", "\n");
    if words.trim().is_empty() {
        return Ok(Value::Null);
    }
    let value = field.value(&[words]);
    value.map_err(|unfit| Stop::unfit(unfit.message, unfit.remedy))
}

/// Reads `application/x-www-form-urlencoded`. Source: WHATWG URL Standard, section 5.1.
pub(crate) fn pairs(body: &[u8]) -> Vec<(String, String)> {
    let decoded = |bytes: &[u8]| {
        let mut out = Vec::new();
        let mut at = 0;
        while at < bytes.len() {
            let digits = (bytes[at] == b'%')
                .then(|| bytes.get(at + 1..at + 3))
                .flatten();
            let code = digits.and_then(|d| std::str::from_utf8(d).ok());
            match code.and_then(|d| u8::from_str_radix(d, 16).ok()) {
                Some(byte) => {
                    out.push(byte);
                    at += 3;
                }
                None => {
                    out.push(if bytes[at] == b'+' { b' ' } else { bytes[at] });
                    at += 1;
                }
            }
        }
        String::from_utf8_lossy(&out).into_owned()
    };
    let pieces = body.split(|b| *b == b'&').filter(|p| !p.is_empty());
    let pair = |piece: &[u8]| {
        let cut = piece.iter().position(|b| *b == b'=');
        let (key, value) = piece.split_at(cut.unwrap_or(piece.len()));
        (decoded(key), decoded(value.get(1..).unwrap_or_default()))
    };
    pieces.map(pair).collect()
}
