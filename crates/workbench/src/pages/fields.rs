//! All fields: every key of any entry, made from the grammar, so that nothing in the format needs a text editor.

use super::{Asked, Context, context};
use crate::ask::find::encoded;
use crate::field::{Look, control, field};
use crate::frame;
use crate::guard::Session;
use crate::server::{Shared, Stop};
use crate::station::Station;
use crate::told;
use ::library::DossierId;
use axum::Extension;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use maud::{Markup, html};
use record::{Form, Place};

/// `GET /d/ID/fields?at=PLACE`; without a place, every sort of entry.
pub(crate) async fn page(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Query(query): Query<Asked>,
    Extension(session): Extension<Session>,
) -> Response {
    match laid(&bench, &id, &query, &session).await {
        Ok(response) => response,
        Err(stop) => frame::stopped(&stop),
    }
}

async fn laid(
    bench: &Shared,
    id: &DossierId,
    query: &Asked,
    session: &Session,
) -> Result<Response, Stop> {
    let view = bench.desk.view(id).await?;
    let context = context(bench, &view, Station::Intake, query, session).await?;
    let at = query.at.as_deref().filter(|at| !at.is_empty());
    let main = match at {
        None => sorts(&context),
        Some(at) => {
            let place: Place = at.parse().map_err(|e: record::PlaceError| {
                Stop::unfit(e.to_string(), "take one of the list")
            })?;
            if context.values.at(&place).is_none() && place != Place::product() {
                return Err(Stop::missing("There is no such entry."));
            }
            one(&context, &place)
        }
    };
    Ok(frame::beside(&context, "All fields", &main))
}

/// Returns the sort of an entry.
pub(crate) fn form_of(entry: &Place) -> Option<Form> {
    if *entry == Place::product() {
        return Some(record::product_form());
    }
    let list = entry.parent()?;
    let of = list.entry();
    let of = of.as_ref().and_then(Place::entry_id);
    record::forms()
        .into_iter()
        .find(|form| form.of.is_some() == of.is_some() && form.list(of) == list)
}

/// Every key of one entry.
fn one(context: &Context<'_>, place: &Place) -> Markup {
    let name = match *place == Place::product() {
        true => "the product".to_string(),
        false => told::entry_name(place, &context.view.dossier, &context.values),
    };
    html! {
        p { a href={ "/d/" (context.view.id) "/fields" } { "All entries" } }
        h2 { (name) }
        (keys(context, place))
        @for inner in inner_forms(place) { (list(context, &inner, place.entry_id())) }
    }
}

/// Writes the fields of an entry, one below the other.
pub(crate) fn keys(context: &Context<'_>, place: &Place) -> Markup {
    let Some(form) = form_of(place) else {
        return html! { p { "This entry has no fields of its own." } };
    };
    html! {
        @for (of, keys) in by_table(&form.fields) {
            @if let Some(heading) = &of { h3 class="of" { (heading) } }
            div class="all-fields" {
                @for key in keys {
                    @let at = place.clone().at(&key.path);
                    div class="key" { (field(context, &at, Look { label: Some(&in_words(key)), ..Look::default() })) }
                }
            }
        }
        @if *place != Place::product() {
            form class="remove" method="post" action={ "/d/" (context.view.id) "/edits" } data-remove=(place) {
                input type="hidden" name="remove" value=(place);
                input type="hidden" name="back" value=(context.station.path());
                button { "Remove this " (form.word) }
            }
        }
    }
}

/// Says what a key is for, as the grammar has it.
fn in_words(key: &record::Field) -> String {
    let needed = if key.required { ", needed" } else { "" };
    format!("{}{needed}", methods::words::capital(&plain(key.doc)))
}

/// A line of the grammar without its marks of code.
fn plain(doc: &str) -> String {
    doc.replace('`', "")
}

/// Parts fields by the table of facts that they stand in, with a heading; those of the entry itself have none.
fn by_table(fields: &[record::Field]) -> Vec<(Option<String>, Vec<&record::Field>)> {
    let mut all: Vec<(Option<String>, Vec<&record::Field>)> = Vec::new();
    for field in fields {
        let table = field.path.rsplit_once('.').map(|(table, _)| {
            let mut parts: Vec<String> = table.split('.').map(|p| p.replace('-', " ")).collect();
            parts.reverse();
            methods::words::capital(&parts.join(" of the "))
        });
        match all.iter_mut().find(|(known, _)| *known == table) {
            Some((_, fields)) => fields.push(field),
            None => all.push((table, vec![field])),
        }
    }
    all
}

/// The sorts of entries inside an entry.
fn inner_forms(place: &Place) -> Vec<Form> {
    let of = match place.thing() {
        record::Thing::Photo => "photo",
        record::Thing::Item => "item",
        _ => return Vec::new(),
    };
    record::forms()
        .into_iter()
        .filter(|form| form.of == Some(of))
        .collect()
}

/// Every sort of entry with its entries.
fn sorts(context: &Context<'_>) -> Markup {
    html! {
        p { a href={ "/d/" (context.view.id) "/fields?at=product" } { "The product" } }
        @for form in record::forms().iter().filter(|form| form.of.is_none()) { (list(context, form, None)) }
    }
}

/// The entries of a list, and a form for one more.
fn list(context: &Context<'_>, form: &Form, of: Option<&str>) -> Markup {
    let list = form.list(of);
    let entries = context.values.entries(&list);
    let base = report::anchor("add", &list.to_string());
    html! {
        section aria-label=(form.word) {
            h2 { (methods::words::capital(form.word)) " " span class="number" { (entries.len()) } }
            p class="doc" { (plain(form.doc)) }
            ul class="entries" {
                @for entry in &entries {
                    li { a href={ "/d/" (context.view.id) "/fields?at=" (encoded(&entry.to_string())) } {
                        (told::entry_name(entry, &context.view.dossier, &context.values))
                    } }
                }
            }
            details class="one-more" {
                summary { "One " (form.word) " more" }
                form method="post" action={ "/d/" (context.view.id) "/edits" } data-add=(list) {
                    input type="hidden" name="to" value=(list);
                    input type="hidden" name="back" value=(context.station.path());
                    @for key in form.fields.iter().filter(|f| (f.required && f.path != "id" && !f.path.contains('.')) || Some(f.flag.as_str()) == form.lead) {
                        @let id = format!("{base}-{}", key.flag);
                        div class="key" {
                            label for=(id) { (in_words(key)) }
                            (control(key, &id, &format!("entry.{}", key.path), "", false))
                            p class="reads" id={ (id) "-reads" } {}
                        }
                    }
                    button { "Add" }
                }
            }
        }
    }
}

/// Writes the control of one key of a new entry; the first one carries the line.
pub(crate) fn line(key: &record::Field, id: &str, name: &str, long: bool, lead: bool) -> Markup {
    let shape = key.shape().word();
    html! {
        @if long {
            textarea id=(id) name=(name) data-shape=(shape) data-lead[lead] rows="2" autocomplete="off" {}
        } @else {
            input id=(id) name=(name) data-shape=(shape) data-lead[lead] autocomplete="off" enterkeyhint="next"
                spellcheck="false" required[key.required] data-quantity[key.is_quantity()]
                placeholder=[crate::field::example(key)];
        }
    }
}
