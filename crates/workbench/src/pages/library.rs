//! The library: every product, and one field that finds one or begins one.

use super::keys::who;
use crate::ask::find::encoded;
use crate::frame;
use crate::guard::Session;
use crate::server::{Shared, Stop};
use ::library::{DossierId, Head, Library, Role, Which};
use axum::Extension;
use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use maud::{Markup, PreEscaped, html};
use methods::{Method, Verdict};
use serde::Deserialize;
use serde_json::{Map, Value};

#[derive(Deserialize, Default)]
pub(crate) struct Asked {
    /// Words that a product's name or maker holds.
    words: Option<String>,
    /// Name of a new product, whose maker is to be asked for.
    name: Option<String>,
}

/// Products that are listed at once; of the others a part of the name is asked for.
const SHOWN: usize = 60;

/// One product as listed.
struct Row {
    head: Head,
    opened: String,
    invented: bool,
    verdicts: Vec<(Verdict, usize)>,
}

/// `GET /`
pub(crate) async fn page(
    State(bench): State<Shared>,
    Query(asked): Query<Asked>,
    Extension(session): Extension<Session>,
) -> Response {
    match listed(&bench, &asked, &session).await {
        Ok(main) => frame::loose("Library", &main),
        Err(stop) => frame::stopped(&stop),
    }
}

async fn listed(bench: &Shared, asked: &Asked, session: &Session) -> Result<Markup, Stop> {
    let library = bench.desk.library();
    let words = asked.words.as_deref().unwrap_or_default().trim();
    let (heads, more) = products(library, words).await?;
    let mut rows = Vec::new();
    for head in heads {
        rows.push(row(bench, head).await);
    }
    let withdrawn = library.latest(Which::Withdrawn, SHOWN).await?;
    let out = library.count(Which::Withdrawn).await?;
    let name = asked.name.as_deref().unwrap_or(words).trim();
    Ok(html! {
        @if asked.name.is_some() { (maker_form(name)) } @else { (name_form(words)) }
        (table(&rows, more, name))
        @if !withdrawn.is_empty() {
            details class="withdrawn" {
                summary { "Withdrawn (" (out) ")" }
                table {
                    @for head in &withdrawn {
                        tr {
                            th scope="row" { (head.name) }
                            td { (head.maker) }
                            td { (withdraw_form(head, false)) }
                        }
                    }
                }
                @if out > withdrawn.len() { p class="quiet" { "and " (out - withdrawn.len()) " withdrawn before" } }
            }
        }
        @if !session.is_named && asked.name.is_none() { (who(session, "/")) }
    })
}

/// The products changed last whose names hold these words, and how many more do. Only those are examined.
async fn products(library: &Library, words: &str) -> Result<(Vec<Head>, usize), Stop> {
    if words.is_empty() {
        let all = library.count(Which::Present).await?;
        let heads = library.latest(Which::Present, SHOWN).await?;
        let more = all.saturating_sub(heads.len());
        return Ok((heads, more));
    }
    let wanted = words.to_lowercase();
    let mut heads = library.heads(Which::Present).await?;
    heads.retain(|head| names(head).contains(&wanted));
    let more = heads.len().saturating_sub(SHOWN);
    heads.truncate(SHOWN);
    Ok((heads, more))
}

/// What a product is found by here.
fn names(head: &Head) -> String {
    format!("{} {}", head.name, head.maker).to_lowercase()
}

fn name_form(words: &str) -> Markup {
    html! {
        form class="begin" method="get" action="/" {
            label for="name" { "Name of a new product, or find" }
            input id="name" name="words" value=(words) autocomplete="off" autofocus enterkeyhint="go" data-begin;
        }
    }
}

fn maker_form(name: &str) -> Markup {
    html! {
        form class="begin" method="post" action="/products" {
            p class="said" { "New product “" (name) "”" }
            input type="hidden" name="name" value=(name);
            label for="maker" { "Its maker" }
            input id="maker" name="maker" autocomplete="off" autofocus required enterkeyhint="go";
        }
    }
}

fn table(rows: &[Row], more: usize, name: &str) -> Markup {
    html! {
        table class="products" {
            caption class="unseen" { "Products" }
            thead { tr { th scope="col" { "Product" } th scope="col" { "Maker" } th scope="col" { "Opened" }
                th scope="col" { "Claims" } th scope="col" { span class="unseen" { "Withdraw" } } } }
            tbody id="products" data-more[more > 0] {
                @for row in rows {
                    tr data-words=(names(&row.head)) {
                        th scope="row" {
                            a href={ "/d/" (row.head.id) "/intake" } { (row.head.name) }
                            @if row.invented { span class="quiet" { " invented, to play with" } }
                        }
                        td { (row.head.maker) }
                        td { (row.opened) }
                        td class="tally" { (tally(&row.verdicts)) }
                        td { (withdraw_form(&row.head, true)) }
                    }
                }
                @if more > 0 {
                    tr { td colspan="5" class="quiet" { "and " (more) " more, changed before these: write a part of the name" } }
                }
                tr class="new" {
                    td colspan="5" {
                        a id="new-product" href={ "/?name=" (encoded(name)) } data-new {
                            "New product " @if !name.is_empty() { "“" (name) "”" }
                        }
                    }
                }
            }
        }
    }
}

/// Writes verdict counts as marks with words for those who hear them.
pub(crate) fn tally(verdicts: &[(Verdict, usize)]) -> Markup {
    html! {
        @for (verdict, n) in verdicts {
            @if *n > 0 {
                span class={ "verdict " (class_of(*verdict)) } {
                    (glyph(*verdict)) span class="word" { (report::verdict_words(*verdict)) } " " (n)
                }
                " "
            }
        }
    }
}

/// Draws the mark of a verdict.
pub(crate) fn glyph(verdict: Verdict) -> Markup {
    html! {
        svg class="glyph" viewBox="0 0 32 15" width="32" height="15" aria-hidden="true" {
            (PreEscaped(report::glyph(verdict, "currentColor")))
        }
    }
}

/// Returns the class of a verdict.
pub(crate) fn class_of(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fails => "fails",
        Verdict::Holds => "holds",
        Verdict::Undecided => "undecided",
        Verdict::NeedsEvidence => "needs",
    }
}

fn withdraw_form(head: &Head, withdraws: bool) -> Markup {
    let (words, value) = match withdraws {
        true => ("Withdraw", "yes"),
        false => ("Bring back", "no"),
    };
    html! {
        form method="post" action={ "/d/" (head.id) "/withdraw" } {
            input type="hidden" name="withdrawn" value=(value);
            button aria-label={ (words) " " (head.name) } { (words) }
        }
    }
}

async fn row(bench: &Shared, head: Head) -> Row {
    let view = bench.desk.view(&head.id).await;
    let (opened, invented, verdicts) = match &view {
        Ok(view) => {
            let findings = view.findings.findings.iter();
            let claims: Vec<Verdict> = findings
                .filter(|f| f.method() == Method::Claims)
                .filter_map(|f| f.verdict)
                .collect();
            let order = [
                Verdict::Fails,
                Verdict::Undecided,
                Verdict::NeedsEvidence,
                Verdict::Holds,
            ];
            let counts = order.map(|v| (v, claims.iter().filter(|c| **c == v).count()));
            let product = &view.dossier.product;
            (
                product.opened.strftime("%-d %B %Y").to_string(),
                product.invented,
                counts.to_vec(),
            )
        }
        Err(_) => ("cannot be read".to_string(), false, Vec::new()),
    };
    Row {
        head,
        opened,
        invented,
        verdicts,
    }
}

#[derive(Deserialize)]
pub(crate) struct New {
    name: String,
    maker: String,
}

/// `POST /products`
pub(crate) async fn make(
    State(bench): State<Shared>,
    Extension(session): Extension<Session>,
    Form(new): Form<New>,
) -> Response {
    match made(&bench, &session, &new).await {
        Ok(id) => Redirect::to(&format!("/d/{id}/intake?at=new-claim")).into_response(),
        Err(stop) => frame::stopped(&stop),
    }
}

async fn made(bench: &Shared, session: &Session, new: &New) -> Result<DossierId, Stop> {
    let now = Timestamp::now();
    let today = now.to_zoned_datetime(TimeZone::system()).date();
    let mut product = Map::new();
    for (key, words) in [("name", &new.name), ("maker", &new.maker)] {
        let words = words.trim();
        if words.is_empty() {
            return Err(Stop::unfit(
                format!("The {key} is empty"),
                "go back and write it",
            ));
        }
        product.insert(key.to_string(), Value::from(words));
    }
    product.insert("opened".to_string(), Value::from(today.to_string()));
    let text = app::new_text(&product)?;
    let library = bench.desk.library();
    let id = library
        .create(&text, Vec::new(), &session.person, now)
        .await?;
    bench.desk.changed(&id);
    Ok(id)
}

#[derive(Deserialize)]
pub(crate) struct Withdraw {
    withdrawn: String,
}

/// `POST /d/ID/withdraw`
pub(crate) async fn withdraw(
    State(bench): State<Shared>,
    Extension(session): Extension<Session>,
    Path(id): Path<DossierId>,
    Form(asked): Form<Withdraw>,
) -> Response {
    if session.role < Role::Owner {
        return frame::stopped(&Stop {
            status: StatusCode::FORBIDDEN,
            message: "Only an owner puts products out of the way and brings them back".into(),
            remedy: "ask an owner of this library".into(),
        });
    }
    let withdrawn = asked.withdrawn == "yes";
    let done = bench
        .desk
        .library()
        .withdraw(&id, withdrawn, Timestamp::now());
    match done.await {
        Ok(()) => Redirect::to("/").into_response(),
        Err(error) => frame::stopped(&error.into()),
    }
}
