//! Finding things by words: parts, markings, makers, claims, steps, readings, photographs, other products.
//!
//! In: words. Out: what holds all of them, markings that begin with them first, then what is called so, each with the address that shows it.
//! Not here: commands; the index over the library, which other products are found in (`library`).

use crate::server::{Shared, Stop};
use crate::{frame, told};
use app::desk::View;
use axum::Json;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use library::{DossierId, Find};
use maud::html;
use record::{Place, Values};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

/// Most things that are told.
const MOST: usize = 40;

/// Most other products among them.
const OTHERS: usize = 10;

#[derive(Deserialize)]
pub(crate) struct Question {
    n: u64,
    words: String,
}

#[derive(Deserialize)]
pub(crate) struct Asked {
    words: Option<String>,
}

/// One thing found.
#[derive(Debug, Clone, Serialize)]
struct Hit {
    sort: &'static str,
    words: String,
    beside: String,
    to: String,
    /// Lines of its marking, which are looked at first.
    #[serde(skip)]
    marking: Vec<String>,
}

/// `POST /d/ID/find`
pub(crate) async fn find(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Question>,
) -> Result<Json<Value>, Stop> {
    let hits = hits(&bench, &id, &question.words).await?;
    Ok(Json(json!({ "n": question.n, "hits": hits })))
}

/// `GET /d/ID/find`: the same without script.
pub(crate) async fn page(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Query(asked): Query<Asked>,
) -> Response {
    let words = asked.words.unwrap_or_default();
    match hits(&bench, &id, &words).await {
        Ok(hits) => frame::loose(
            "Find",
            &html! {
                form class="begin" method="get" role="search" {
                    label for="words" { "Find" }
                    input id="words" name="words" value=(words) autofocus autocomplete="off";
                }
                @if hits.is_empty() { p { "Nothing holds these words." } }
                ul class="found" { @for hit in &hits {
                    li { a href=(hit.to) { span class="sort" { (hit.sort) } " " (hit.words) " " span class="quiet" { (hit.beside) } } }
                } }
            },
        ),
        Err(stop) => frame::stopped(&stop),
    }
}

async fn hits(bench: &Shared, id: &DossierId, words: &str) -> Result<Vec<Hit>, Stop> {
    let view = bench.desk.view(id).await?;
    let wanted: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
    let all = things(&view);
    let mut found: Vec<(u8, Hit)> = all
        .into_iter()
        .filter_map(|hit| Some((rank(&hit, &wanted)?, hit)))
        .collect();
    found.sort_by_key(|(rank, _)| *rank);
    let mut hits: Vec<Hit> = found.into_iter().map(|(_, hit)| hit).collect();
    if wanted.is_empty() {
        hits = touched(bench, &view).await?;
    } else {
        hits.truncate(MOST - OTHERS);
        hits.extend(others(bench, id, words).await?);
    }
    Ok(hits)
}

/// The other products of the library in which everything asked for was found.
async fn others(bench: &Shared, id: &DossierId, words: &str) -> Result<Vec<Hit>, Stop> {
    // What is not yet typed to its end (`maker:`) finds nothing; it is no mistake.
    let Ok(mut asked) = Find::read(words) else {
        return Ok(Vec::new());
    };
    asked.most = OTHERS + 1;
    let found = bench.desk.library().find(&asked).await?;
    let others = found.hits.into_iter().filter(|hit| hit.dossier != *id);
    let hits = others.take(OTHERS).map(|hit| {
        let matched = hit.matched.iter().map(|matched| matched.text.as_str());
        let matched: Vec<&str> = matched.take(2).collect();
        Hit {
            sort: "product",
            words: hit.product,
            beside: [hit.maker.as_str()]
                .into_iter()
                .chain(matched)
                .collect::<Vec<_>>()
                .join(" · "),
            to: format!("/d/{}/intake", hit.dossier),
            marking: Vec::new(),
        }
    });
    Ok(hits.collect())
}

/// 0 where a line of the marking begins with what is typed, 1 where the first words begin with it, 2 where a word does,
/// 3 where it stands anywhere; none where one is missing.
fn rank(hit: &Hit, wanted: &[String]) -> Option<u8> {
    let own = hit.words.to_lowercase();
    let whole = format!("{own} {} {}", hit.beside.to_lowercase(), hit.sort);
    let first = wanted.first()?;
    if !wanted.iter().all(|word| whole.contains(word.as_str())) {
        return None;
    }
    let begins = |text: &str| {
        let mut words = text.split(|c: char| !c.is_alphanumeric());
        words.any(|word| word.starts_with(first.as_str()))
    };
    let typed = wanted.join(" ");
    let mut marking = hit.marking.iter().map(|line| line.to_lowercase());
    Some(match (own.starts_with(first.as_str()), begins(&own)) {
        _ if marking.any(|line| line.starts_with(&typed)) => 0,
        (true, _) => 1,
        (false, true) => 2,
        (false, false) => 3,
    })
}

/// The ten things touched last.
async fn touched(bench: &Shared, view: &View) -> Result<Vec<Hit>, Stop> {
    let history = bench.desk.library().history(&view.id, None, 100).await?;
    let values = Values::of(&view.text);
    let mut hits: Vec<Hit> = Vec::new();
    for revision in &history {
        for edit in &revision.edits {
            let at = match edit {
                record::Edit::Set { at, .. } | record::Edit::Rename { at, .. } => at,
                _ => continue,
            };
            let Some(entry) = at.entry() else { continue };
            let to = address(view, &entry);
            if hits.iter().all(|hit| hit.to != to) && values.at(&entry).is_some() {
                hits.push(Hit {
                    sort: entry.thing().word(),
                    words: told::entry_name(&entry, &view.dossier, &values),
                    beside: format!("revision {}", revision.number),
                    to,
                    marking: Vec::new(),
                });
            }
        }
        if hits.len() >= 10 {
            break;
        }
    }
    Ok(hits)
}

/// Everything in a dossier that can be found.
fn things(view: &View) -> Vec<Hit> {
    let dossier = &view.dossier;
    let mut all = Vec::new();
    let hit = |sort, words, beside, place: &Place| Hit {
        sort,
        words,
        beside,
        to: address(view, place),
        marking: Vec::new(),
    };
    for item in &dossier.items {
        let name = match &item.designator {
            Some(designator) => format!("{designator} {}", item.name),
            None => item.name.clone(),
        };
        let part = item.part.as_ref();
        let identity = part.and_then(|p| p.identity.as_ref());
        let beside = [
            part.map(|p| p.marking.join(" | ")),
            identity.map(|i| i.name.clone()),
            identity.and_then(|i| i.maker.clone()),
            item.role.clone(),
        ];
        let beside: Vec<String> = beside
            .into_iter()
            .flatten()
            .filter(|w| !w.is_empty())
            .collect();
        let sort = if part.is_some() { "part" } else { "item" };
        all.push(Hit {
            marking: part.map(|p| p.marking.clone()).unwrap_or_default(),
            ..hit(sort, name, beside.join(" · "), &Place::item(&item.id))
        });
    }
    let mut add = |sort, words, beside, place: &Place| all.push(hit(sort, words, beside, place));
    for claim in &dossier.claims {
        add(
            "claim",
            claim.text.clone(),
            claim.printed.clone(),
            &Place::claim(&claim.id),
        );
    }
    for step in &dossier.steps {
        let text = step.text.clone();
        add("step", text, String::new(), &Place::step(&step.id));
    }
    for reading in &dossier.readings {
        let item = dossier.items.iter().find(|item| item.id == reading.item);
        let name = item.map_or(reading.item.clone(), |item| item.name.clone());
        let words = format!("{} {}", name, reading.value);
        add(
            "reading",
            words,
            reading.instrument.clone().unwrap_or_default(),
            &Place::reading(&reading.id),
        );
    }
    for photo in &dossier.photos {
        add(
            "photograph",
            photo.caption.clone(),
            photo.file.clone(),
            &Place::photo(&photo.id),
        );
    }
    for label in &dossier.product.labels {
        add(
            "label",
            label.place.clone(),
            label.text.replace('\n', " "),
            &Place::label(&label.id),
        );
    }
    all
}

/// Where a thing is shown.
fn address(view: &View, place: &Place) -> String {
    use record::Thing;
    let id = &view.id;
    let named = place.entry_id().unwrap_or_default();
    match place.thing() {
        Thing::Photo => format!("/d/{id}/inside?plate={named}"),
        Thing::Claim => format!(
            "/d/{id}/claims?at={named}#{}",
            report::anchor("claim", named)
        ),
        Thing::Label => format!(
            "/d/{id}/intake#{}",
            report::anchor("entry", &place.to_string())
        ),
        _ => format!("/d/{id}/fields?at={}", encoded(&place.to_string())),
    }
}

/// Writes a text as part of an address. Source: RFC 3986, section 2.1.
pub(crate) fn encoded(text: &str) -> String {
    let byte = |byte: u8| match byte {
        b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'_' | b'.' | b'~' => {
            char::from(byte).to_string()
        }
        other => format!("%{other:02X}"),
    };
    text.bytes().map(byte).collect()
}
