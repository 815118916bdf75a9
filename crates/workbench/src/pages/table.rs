//! A parts list or weights from a spreadsheet: what each column is, each row as it would be taken, then all as one list.
//!
//! In: a file, or pasted cells, and what the columns are said to be. Out: the page; the table as it would be taken, with
//! its edits, which the page sends like any others.
//! Not here: what a column or a row means (`app::incoming`).

use super::{Asked, Context, context};
use crate::frame;
use crate::guard::Session;
use crate::server::{Shared, Stop};
use crate::station::Station;
use ::library::DossierId;
use app::incoming::{Column, Comes, Incoming, Row, Sort};
use axum::body::Bytes;
use axum::extract::multipart::MultipartError;
use axum::extract::{Multipart, Path, Query, State};
use axum::response::Response;
use axum::{Extension, Json};
use maud::{Markup, html};
use record::Edit;
use serde_json::{Value, json};

/// Most bytes of a table that is sent.
pub(crate) const LARGEST: usize = 16 << 20;
/// Most bytes of the edits of one list, below what a request with edits may hold.
const MOST_EDITS: usize = 900 << 10;
/// Rows that are shown; all are taken.
const SHOWN: usize = 300;

/// `GET /d/ID/table`
pub(crate) async fn page(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Query(query): Query<Asked>,
    Extension(session): Extension<Session>,
) -> Response {
    let laid = async {
        let view = bench.desk.view(&id).await?;
        let context = context(&bench, &view, Station::Intake, &query, &session).await?;
        Ok(frame::beside(&context, "A table", &asks(&context)))
    };
    laid.await
        .unwrap_or_else(|stop: Stop| frame::stopped(&stop))
}

fn asks(context: &Context<'_>) -> Markup {
    let back = context.query.at.as_deref();
    let back = back.and_then(Station::at).unwrap_or(Station::Intake);
    html! {
        form id="bring-table" class="bring-table" method="post" enctype="multipart/form-data"
            action={ "/d/" (context.view.id) "/table" } data-back=(back.path()) {
            p class="sentence" { "A parts list or a sheet of weights, with one heading row. It is shown as it would be taken before anything is." }
            div class="pair" {
                div {
                    label for="table-cells" { "Cells copied from a spreadsheet" }
                    textarea id="table-cells" name="cells" rows="3" spellcheck="false" autocomplete="off"
                        placeholder="reference · marking · board, or item · mass (g)" {}
                }
                div {
                    label for="table-file" { "or a CSV or XLSX file, dropped or chosen" }
                    input id="table-file" name="file" type="file" accept=".csv,.tsv,.txt,.xlsx,text/csv";
                }
            }
            noscript { p { "Tables are shown and taken by the page's own script. Without it, " code { "underlid add" } " takes entries one by one." } }
        }
        div id="incoming" data-own {}
    }
}

/// What was sent.
#[derive(Default)]
struct Sent {
    name: String,
    bytes: Bytes,
    map: Option<Vec<Option<Column>>>,
}

/// `POST /d/ID/table`: writes nothing.
pub(crate) async fn read(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    form: Multipart,
) -> Result<Json<Value>, Stop> {
    let sent = sent(form).await?;
    if sent.bytes.is_empty() {
        return Err(Stop::unfit(
            "There is nothing in it",
            "paste cells, or choose a file",
        ));
    }
    let read = bench
        .desk
        .incoming(&id, sent.bytes.to_vec(), &sent.name, sent.map);
    let incoming = read.await?;
    let edits: Vec<Edit> = incoming.edits();
    let size = serde_json::to_vec(&edits).map_or(usize::MAX, |bytes| bytes.len());
    let refused = match edits.is_empty() {
        true => None,
        false if size > MOST_EDITS => Some((
            format!("{} rows are too many for one list", edits.len()),
            "take the table in two halves".to_string(),
        )),
        false => match bench.desk.would(&id, edits.clone()).await {
            Ok(_) => None,
            Err(problem) => Some((problem.message.clone(), problem.remedy.to_string())),
        },
    };
    let takes = match refused {
        Some(_) => Vec::new(),
        None => edits,
    };
    let html = shown(&incoming, refused.as_ref()).into_string();
    Ok(Json(json!({ "html": html, "edits": takes })))
}

async fn sent(mut form: Multipart) -> Result<Sent, Stop> {
    let mut sent = Sent::default();
    while let Some(field) = form.next_field().await.map_err(broken)? {
        match field.name() {
            Some("file") => {
                let name = field.file_name().unwrap_or("table").to_string();
                sent.name = record::visible(&name);
                sent.bytes = field.bytes().await.map_err(broken)?;
            }
            Some("cells") => {
                sent.name = "the cells".to_string();
                sent.bytes = field.bytes().await.map_err(broken)?;
            }
            Some("map") => {
                let words = field.text().await.map_err(broken)?;
                let map = serde_json::from_str(&words)
                    .map_err(|_| Stop::unfit("the columns cannot be read", "reload the page"))?;
                sent.map = Some(map);
            }
            _ => {}
        }
    }
    Ok(sent)
}

fn broken(error: MultipartError) -> Stop {
    let remedy = format!("send a table of at most {} MB", LARGEST >> 20);
    let mut stop = Stop::unfit(
        format!("The table did not arrive whole: {}", error.body_text()),
        remedy,
    );
    stop.status = error.status();
    stop
}

fn shown(incoming: &Incoming, refused: Option<&(String, String)>) -> Markup {
    let [taken, known, unfit] = incoming.counts();
    let rows = |n: usize, words: &str| match n {
        1 => format!("1 row {words}"),
        n => format!("{n} rows {words}"),
    };
    html! {
        section class="incoming" aria-labelledby="h-incoming" {
            h2 id="h-incoming" {
                @match incoming.sort {
                    Some(Sort::Parts) => "Parts, as they would be taken",
                    Some(Sort::Readings) => "Readings, as they would be taken",
                    None => "What are the columns?",
                }
            }
            @if let Some(why) = &incoming.unsorted { p class="wrong" { (why.0) "; " (why.1) "." } }
            @if let Some((message, remedy)) = refused { p class="wrong" { (message) "; " (remedy) "." } }
            p class="tally" {
                @if incoming.sort.is_some() {
                    span { (rows(taken, "new")) }
                    @if known > 0 { span { (rows(known, "recorded already")) } }
                    @if unfit > 0 { span { (rows(unfit, "cannot be taken")) } }
                }
            }
            @if taken > 0 && refused.is_none() {
                p class="go" { button id="table-take" type="button" { "Take " (rows(taken, "")) } " "
                    span class="quiet" { "as one edit: Ctrl+Z takes it back" } }
            }
            div class="wide" role="region" aria-label="The table" tabindex="0" {
                table {
                    thead { tr {
                        th scope="col" { "Line" }
                        @if incoming.sort.is_some() { th scope="col" class="comes" { "What comes of it" } }
                        @for (at, (heading, column)) in incoming.columns.iter().enumerate() {
                            th scope="col" { (map(at, heading, *column)) }
                        }
                    } }
                    tbody { @for row in incoming.rows.iter().take(SHOWN) { (self::row(row, incoming.sort.is_some())) } }
                }
            }
            @if incoming.rows.len() > SHOWN {
                p class="quiet" { "and " (incoming.rows.len() - SHOWN) " rows more, which are taken too" }
            }
        }
    }
}

/// What a column is taken for, to be corrected.
fn map(at: usize, heading: &str, column: Option<Column>) -> Markup {
    let id = format!("column-{at}");
    html! {
        label for=(id) { (if heading.is_empty() { "no heading" } else { heading }) }
        select id=(id) data-column=(at) {
            option value="" selected[column.is_none()] { "left out" }
            @for one in Column::ALL {
                option value=(one.word()) selected[column == Some(one)] { (one.word().replace('-', " ")) }
            }
        }
    }
}

fn row(row: &Row, sorted: bool) -> Markup {
    let (class, says) = match &row.comes {
        Comes::Edits { says, .. } => ("new", says.clone()),
        Comes::Known { says } => ("known quiet", says.clone()),
        Comes::Refused { message, remedy } => ("unfit", format!("{message}; {remedy}")),
    };
    html! {
        tr class=(class) {
            th scope="row" class="quiet" { (row.line) }
            @if sorted { td class="comes" { (methods::words::capital(&says)) } }
            @for cell in &row.all { td { (cell) } }
        }
    }
}
