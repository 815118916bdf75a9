//! Cost: what it takes to build, for how many, and what would tell it better.

use super::{Context, fields};
use crate::field::{Look, control, field};
use crate::frame::Laid;
use maud::{Markup, PreEscaped, html};
use methods::words::capital;
use methods::{Chart, Detail, Finding, Findings, Method, Table, Verdict};
use record::{Place, forms};
use report::{chart_drawing, verdict_words};

/// Lines of the bill that are shown; all stand in the report.
const SHOWN: usize = 200;

pub(crate) fn page(context: &Context<'_>) -> Laid {
    Laid {
        main: html! {
            @match findings(context).next() {
                None => (begins()),
                Some(_) => {
                    (sentences(context))
                    @for chart in charts(context) { (drawing(chart)) }
                    @for table in tables(context) { (self::table(table)) }
                    (lacking(context))
                }
            }
        },
        aside: Some(html! { (asked(context)) (prices(context)) (rates(context)) }),
        module: false,
    }
}

/// Says in a few words what it costs, or what is open.
pub(crate) fn open_in(findings: &Findings) -> String {
    let mut found = findings
        .findings
        .iter()
        .filter(|f| f.method() == Method::Cost);
    let Some(built) = found.next() else {
        return "none yet".to_string();
    };
    match (built.figures.first(), built.verdict) {
        (None, _) => "no prices yet".to_string(),
        (Some(_), Some(Verdict::Undecided)) => "undecided".to_string(),
        (Some(_), _) => match built.missing.len() {
            0 => "told".to_string(),
            n => format!("{n} to ask"),
        },
    }
}

fn findings<'a>(context: &'a Context<'_>) -> impl Iterator<Item = &'a Finding> {
    let findings = context.view.findings.findings.iter();
    findings.filter(|finding| finding.method() == Method::Cost)
}

fn begins() -> Markup {
    html! {
        p class="empty" { "No prices yet, and nothing is assumed in their place." }
        p { "Say beside how many are built. Prices are your own: a CSV file in catalogue/ whose name begins with prices, or single ones beside." }
    }
}

fn sentences(context: &Context<'_>) -> Markup {
    html! {
        section class="built" aria-labelledby="h-built" {
            h2 id="h-built" { "To build one" }
            @for finding in findings(context) {
                p class="sentence" {
                    @if let Some(verdict) = finding.verdict { b { (capital(verdict_words(verdict))) } ". " }
                    (finding.sentence)
                }
            }
        }
    }
}

fn details<'a>(context: &'a Context<'_>) -> impl Iterator<Item = &'a Detail> {
    findings(context).flat_map(|finding| &finding.details)
}

fn charts<'a>(context: &'a Context<'_>) -> impl Iterator<Item = &'a Chart> {
    details(context).filter_map(|detail| match detail {
        Detail::Chart(chart) => Some(chart),
        _ => None,
    })
}

fn tables<'a>(context: &'a Context<'_>) -> impl Iterator<Item = &'a Table> {
    details(context).filter_map(|detail| match detail {
        Detail::Table(table) | Detail::Rows { table, .. } => Some(table),
        _ => None,
    })
}

fn drawing(chart: &Chart) -> Markup {
    let Some((svg, _)) = chart_drawing(chart) else {
        return html! {};
    };
    html! {
        figure class="cost-drawing" {
            figcaption { (chart.caption) }
            div class="drawn" tabindex="0" role="group" aria-label=(chart.caption) { (PreEscaped(svg)) }
        }
    }
}

pub(super) fn table(table: &Table) -> Markup {
    html! {
        div class="wide" tabindex="0" role="group" aria-label=(table.caption) {
            table class="bill" {
                caption { (table.caption) }
                thead { tr { @for column in &table.columns { th scope="col" { (column.heading) @if let Some(unit) = &column.unit { " / " (unit.symbol()) } } } } }
                tbody {
                    @for row in table.rows.iter().take(SHOWN) {
                        tr { @for (at, cell) in row.iter().enumerate() {
                            @let number = table.columns.get(at).is_some_and(|c| c.kind.is_number());
                            @if at == 0 { th scope="row" { (cell.printed()) } } @else { td class=[number.then_some("number")] { (cell.printed()) } }
                        } }
                    }
                }
            }
        }
        @if table.rows.len() > SHOWN { p class="quiet" { (table.rows.len() - SHOWN) " more lines stand in the report." } }
    }
}

/// What has no price, and what else would tell the cost better.
fn lacking(context: &Context<'_>) -> Markup {
    let missing: Vec<_> = findings(context)
        .flat_map(|finding| &finding.missing)
        .collect();
    html! {
        @if !missing.is_empty() {
            section aria-labelledby="h-lacking" {
                h2 id="h-lacking" { "Would tell it better" }
                ul { @for one in missing { li { (capital(&one.measure)) } } }
            }
        }
    }
}

fn asked(context: &Context<'_>) -> Markup {
    let at = |key: &str| Place::dossier().at("cost").at(key);
    let labelled = |label| Look {
        label: Some(label),
        ..Look::default()
    };
    html! {
        section aria-labelledby="h-asked" {
            h2 id="h-asked" { "For how many" }
            (field(context, &at("volume"), labelled("pieces built in all")))
            (field(context, &at("currency"), labelled("currency of the answer")))
            (field(context, &at("trade-margin"), labelled("kept by traders, of the price before tax")))
            (field(context, &at("tax"), labelled("tax on the price paid")))
        }
    }
}

fn prices(context: &Context<'_>) -> Markup {
    let dossier = &context.view.dossier;
    html! {
        section aria-labelledby="h-prices" {
            h2 id="h-prices" { "Prices for this product alone" }
            p class="quiet" { "They go before the price book, and what is in an item with a price is not counted again." }
            @for (at, price) in dossier.prices.iter().enumerate() {
                @let name = dossier.item(&price.of).map_or(price.of.as_str(), |item| item.name.as_str());
                @if let Some(place) = Place::item_price(dossier, at) {
                    h3 { (name) }
                    div class="facts" {
                        @for key in ["each", "within", "confidence", "date", "source"] {
                            (field(context, &place.clone().at(key), Look::default()))
                        }
                    }
                    (removes(context, &place, name, "cost"))
                }
            }
            (adds(context, "price", &["of", "each", "within", "confidence", "date", "source"], "cost"))
        }
    }
}

fn rates(context: &Context<'_>) -> Markup {
    let dossier = &context.view.dossier;
    html! {
        section aria-labelledby="h-rates" {
            h2 id="h-rates" { "Rates of exchange" }
            @for (at, rate) in dossier.rates.iter().enumerate() {
                @if let Some(place) = Place::rate(dossier, at) {
                    h3 { "One " (rate.of) }
                    div class="facts" {
                        @for key in ["is", "within", "date", "source"] {
                            (field(context, &place.clone().at(key), Look::default()))
                        }
                    }
                    (removes(context, &place, &format!("the rate of {}", rate.of), "cost"))
                }
            }
            (adds(context, "rate", &["of", "is", "within", "date", "source"], "cost"))
        }
    }
}

pub(super) fn removes(context: &Context<'_>, place: &Place, name: &str, back: &str) -> Markup {
    html! {
        form method="post" action={ "/d/" (context.view.id) "/edits" } data-remove=(place) {
            input type="hidden" name="remove" value=(place);
            input type="hidden" name="back" value=(back);
            button aria-label={ "Delete " (name) } { "Delete" }
        }
    }
}

/// An open line for one more entry.
pub(super) fn adds(context: &Context<'_>, word: &str, keys: &[&str], back: &str) -> Markup {
    let forms = forms();
    let Some(form) = forms.iter().find(|form| form.word == word) else {
        return html! {};
    };
    let list = form.list(None);
    html! {
        form class="open-line" method="post" action={ "/d/" (context.view.id) "/edits" } data-add=(list)
            data-draft={ "new " (word) } data-key={ "new-" (word) } {
            input type="hidden" name="to" value=(list);
            input type="hidden" name="back" value=(back);
            div class="facts" {
                @for (at, key) in keys.iter().enumerate() {
                    @if let Some(field) = form.field(key) {
                        @let id = format!("new-{word}-{}", field.flag);
                        @let name = format!("entry.{}", field.path);
                        div {
                            label for=(id) { (key.replace('-', " ")) }
                            @if word != "rate" && *key == "of" {
                                input id=(id) name=(name) data-shape="text" data-lead list="priced" required[word == "price"] autocomplete="off"
                                    enterkeyhint="next" placeholder="the thing, from the list";
                                datalist id="priced" {
                                    @for item in &context.view.dossier.items { option value=(item.id) { (item.name) } }
                                }
                            } @else if field.choices().is_empty() {
                                (fields::line(field, &id, &name, false, at == 0))
                            } @else {
                                (control(field, &id, &name, "", false))
                            }
                        }
                    }
                }
            }
            p class="reads" id={ "new-" (word) "-reads" } data-own {}
            button { "Add" }
        }
    }
}
