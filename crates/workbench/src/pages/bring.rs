//! A meter's log or a sound recording brought in: what it is, what its columns are taken for, corrected, kept.
//!
//! In: a file, what is said of it. Out: the page; the file as it would be taken; kept, the edits that record it, which
//! the page sends like any others.
//! Not here: what a file is taken for and what is wrong with it (`app::brought`).

use super::{Asked, Context, context};
use crate::field::control;
use crate::frame;
use crate::guard::Session;
use crate::server::{Shared, Stop};
use crate::station::Station;
use ::library::DossierId;
use app::brought::{Holds, Looked, RowsBy, Sent, Sort, Taken};
use axum::body::Bytes;
use axum::extract::multipart::MultipartError;
use axum::extract::{Multipart, Path, Query, State};
use axum::response::Response;
use axum::{Extension, Json};
use maud::{Markup, html};
use record::Field;
use serde_json::{Value, json};

/// Most bytes of a file that is sent.
pub(crate) const LARGEST: usize = 256 << 20;
/// Keys of each sort that are asked for; the others are fields of the entry once it is there.
const ASKED: [(Sort, &[&str]); 2] = [
    (Sort::Log, &["what", "seat", "item", "from", "instrument"]),
    (
        Sort::Recording,
        &[
            "what",
            "channel",
            "switched",
            "seating",
            "item",
            "source",
            "calibrator",
            "level",
            "frame",
            "frame-rate",
            "instrument",
        ],
    ),
];

fn sort(word: &str) -> Result<Sort, Stop> {
    Sort::of(word).ok_or_else(|| Stop::missing("There is nothing of that sort to bring in."))
}

/// `GET /d/ID/bring/SORT`
pub(crate) async fn page(
    State(bench): State<Shared>,
    Path((id, word)): Path<(DossierId, String)>,
    Query(query): Query<Asked>,
    Extension(session): Extension<Session>,
) -> Response {
    let laid = async {
        let sort = sort(&word)?;
        let (station, heading) = match sort {
            Sort::Log => (Station::Power, "A log of a meter"),
            Sort::Recording => (Station::Claims, "A sound recording"),
        };
        let view = bench.desk.view(&id).await?;
        let context = context(&bench, &view, station, &query, &session).await?;
        Ok(frame::beside(&context, heading, &asks(&context, sort)))
    };
    laid.await
        .unwrap_or_else(|stop: Stop| frame::stopped(&stop))
}

fn asks(context: &Context<'_>, sort: Sort) -> Markup {
    let form = app::form(sort.word()).ok();
    let keys = ASKED.iter().find(|(of, _)| *of == sort);
    let keys = keys.map_or(&[][..], |(_, keys)| keys);
    let fields = form.iter().flat_map(|form| {
        let of = |key: &&str| form.fields.iter().find(|field| field.path == **key);
        keys.iter().filter_map(of)
    });
    let (accept, sentence) = match sort {
        Sort::Log => (
            ".csv,.tsv,.txt,.log,.xlsx,text/csv",
            "What a meter wrote down of a charge or a discharge. What its columns are is guessed, shown, and can be corrected before anything is kept.",
        ),
        Sort::Recording => (
            ".wav,.flac,.aif,.aiff,.caf,.mp3,.m4a,.mp4,.ogg,audio/*",
            "One channel of a recording. It is listened to before anything is kept; bring the recording of a source or of a calibrator in first.",
        ),
    };
    let back = match sort {
        Sort::Log => Station::Power,
        Sort::Recording => Station::Claims,
    };
    html! {
        form id="bring-file" class="bring-table" method="post" enctype="multipart/form-data"
            action={ "/d/" (context.view.id) "/bring/" (sort.word()) } data-back=(back.path()) {
            p class="sentence" { (sentence) }
            div class="facts" {
                div class="field" {
                    label for="brought" { "File, dropped or chosen" }
                    input id="brought" name="file" type="file" accept=(accept);
                }
                @for field in fields { (asked(context, field)) }
            }
            noscript { p { "Files are shown and kept by the page's own script. Without it, " code { "underlid add " (sort.word()) } " does the same." } }
        }
        div id="brought-shown" data-own {}
    }
}

/// One key of the entry: a list of what can be named, or the field that its kind has.
fn asked(context: &Context<'_>, field: &Field) -> Markup {
    let id = format!("bring-{}", field.path);
    let dossier = &context.view.dossier;
    let named: Option<Vec<(&str, &str)>> = field.refers_to().map(|of| match of {
        "instrument" => {
            let all = dossier.instruments.iter();
            all.map(|i| (i.id.as_str(), i.name.as_str())).collect()
        }
        "recording" => {
            let all = dossier.recordings.iter();
            all.map(|r| (r.id.as_str(), r.id.as_str())).collect()
        }
        _ => {
            let all = dossier.items.iter();
            all.map(|i| (i.id.as_str(), i.name.as_str())).collect()
        }
    });
    html! {
        div class="field" {
            label for=(id) { (methods::words::capital(&field.path.replace('-', " "))) @if !field.required { span class="quiet" { ", if known" } } }
            @match named {
                Some(named) => {
                    select id=(id) name=(field.path) {
                        option value="" {}
                        @for (id, name) in named { option value=(id) { (name) } }
                    }
                }
                None => (control(field, &id, &field.path, "", false)),
            }
            p id={ (id) "-reads" } class="reads quiet" { (field.doc) }
        }
    }
}

/// `POST /d/ID/bring/SORT`: keeps the file where that is asked for.
pub(crate) async fn read(
    State(bench): State<Shared>,
    Path((id, word)): Path<(DossierId, String)>,
    form: Multipart,
) -> Result<Json<Value>, Stop> {
    let (sent, keep) = sent(sort(&word)?, form).await?;
    if sent.bytes.is_empty() {
        return Err(Stop::unfit("The file is empty", "choose another file"));
    }
    if keep {
        let edits = bench.desk.keep(&id, sent).await?;
        return Ok(Json(json!({ "edits": edits })));
    }
    let looked = bench.desk.look_at(&id, sent).await?;
    Ok(Json(json!({ "html": shown(&looked).into_string() })))
}

async fn sent(sort: Sort, mut form: Multipart) -> Result<(Sent, bool), Stop> {
    let mut keep = false;
    let mut sent = Sent {
        sort,
        name: String::new(),
        bytes: Bytes::new(),
        said: Vec::new(),
        columns: None,
    };
    while let Some(field) = form.next_field().await.map_err(broken)? {
        let Some(key) = field.name().map(str::to_owned) else {
            continue;
        };
        if key == "file" {
            sent.name = record::visible(field.file_name().unwrap_or("file"));
            sent.bytes = field.bytes().await.map_err(broken)?;
            continue;
        }
        let words = field.text().await.map_err(broken)?;
        match key.as_str() {
            "keep" => keep = words == "yes",
            "columns" => {
                let columns = serde_json::from_str(&words)
                    .map_err(|_| Stop::unfit("the columns cannot be read", "reload the page"))?;
                sent.columns = Some(columns);
            }
            _ => sent.said.push((key, words)),
        }
    }
    Ok((sent, keep))
}

fn broken(error: MultipartError) -> Stop {
    let remedy = format!("send a file of at most {} MB", LARGEST >> 20);
    let mut stop = Stop::unfit(
        format!("The file did not arrive whole: {}", error.body_text()),
        remedy,
    );
    stop.status = error.status();
    stop
}

fn shown(looked: &Looked) -> Markup {
    html! {
        section class="incoming" aria-labelledby="h-brought" {
            h2 id="h-brought" { "As it would be taken" }
            @if let Some((message, remedy)) = &looked.wrong {
                p class="wrong" id="brought-wrong" { (methods::words::capital(message)) "; " (remedy) "." }
            }
            p class="tally" { @for fact in &looked.facts { span { (fact) } } }
            @if looked.wrong.is_none() {
                p class="go" { button id="brought-keep" type="button" { "Keep it" } " "
                    span class="quiet" { "Ctrl+Z takes the entry back" } }
            }
            @if !looked.columns.is_empty() {
                @for reason in &looked.reasons { p class="quiet" { (reason) } }
                (rows_by(&looked.rows_by))
                div class="wide" role="region" aria-label="The first rows" tabindex="0" {
                    table {
                        thead { tr {
                            @for (at, column) in looked.columns.iter().enumerate() {
                                th scope="col" { (self::column(at, looked.headings.get(at), column)) }
                            }
                        } }
                        tbody {
                            @for row in &looked.rows {
                                tr { @for cell in row { td class="figure" { (cell) } } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// How rows are read, to be said where the file does not tell or tells wrongly.
fn rows_by(all: &[RowsBy]) -> Markup {
    let form = app::form(Sort::Log.word()).ok();
    html! {
        details class="rows-by" open[all.iter().any(|by| !by.said.is_empty())] {
            summary { "How its rows are read" }
            div class="facts" {
                @for by in all {
                    @if let Some(field) = form.iter().find_map(|form| form.field(by.path)) {
                        @let id = format!("by-{}", field.flag);
                        div class="field" {
                            label for=(id) { (rows_by_words(by.path)) }
                            (control(field, &id, by.path, &by.said, false))
                            p id={ (id) "-reads" } class="reads quiet" {
                                @if by.found.is_empty() { (field.doc) } @else { "found: " (by.found.replace('-', " ")) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn rows_by_words(path: &str) -> &'static str {
    match path {
        "columns.delimiter" => "Between cells",
        "columns.decimal" => "Decimals begin with",
        "columns.first-row" => "First line of numbers",
        "columns.time.form" => "Time is written as",
        "columns.interval" => "Time between rows",
        _ => "A positive current flows",
    }
}

/// What a column is taken for, and the unit of its numbers, to be corrected.
fn column(at: usize, heading: Option<&String>, taken: &Taken) -> Markup {
    let id = format!("holds-{at}");
    let heading = heading.filter(|h| !h.is_empty());
    let name = heading.map_or_else(|| format!("Column {}", at + 1), Clone::clone);
    html! {
        label for=(id) { (name) }
        select id=(id) data-holds=(at) {
            option value="" selected[taken.holds.is_none()] { "left out" }
            @for one in Holds::ALL {
                option value=(one.word()) selected[taken.holds == Some(one)] { (one.word()) }
            }
        }
        input id={ "unit-" (at) } data-unit-of=(at) value=(taken.unit) size="5" placeholder="unit"
            aria-label={ "Unit of " (name) } autocomplete="off" spellcheck="false";
    }
}
