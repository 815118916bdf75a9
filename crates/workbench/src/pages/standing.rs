//! Standing: where the product stands among all opened here, as far as that can be told; parts, makers and figures across
//! products.

mod past;

pub(crate) use past::decide as decide_past;

use super::Context;
use crate::ask::find::encoded;
use crate::frame::Laid;
use crate::server::{Shared, Stop};
use app::desk::{AcrossAsked, AcrossSeen, Holders, Over, Supplier};
use maud::{Markup, PreEscaped, html};
use methods::words::{capital, counted};
use methods::{Chart, Detail, Finding, Method, Table, TraitKind};
use report::chart_drawing;

pub(crate) async fn page(bench: &Shared, context: &Context<'_>) -> Result<Laid, Stop> {
    let text = |asked: &Option<String>| asked.clone().unwrap_or_default();
    let query = context.query;
    let asked = AcrossAsked {
        words: text(&query.words),
        part: text(&query.part),
        maker: text(&query.maker),
        figure: text(&query.figure),
        class: text(&query.class),
    };
    let seen = bench.desk.across(&asked).await?;
    let texts = bench.desk.past(&context.view.id).await?;
    let main = html! {
        (told(context))
        (past::section(context, &texts))
        (across(context, &asked, &seen))
    };
    Ok(Laid {
        main,
        aside: None,
        module: true,
    })
}

fn findings<'a>(context: &'a Context<'_>) -> impl Iterator<Item = &'a Finding> {
    let findings = context.view.findings.findings.iter();
    findings.filter(|finding| finding.method() == Method::Standing)
}

fn told(context: &Context<'_>) -> Markup {
    html! {
        @if findings(context).next().is_none() {
            p class="sentence intro" {
                @match context.products {
                    0 | 1 => "This is the one product of the library. Comparisons start with the second; nothing is taken from outside.",
                    _ => "Nothing of this product can be compared with the others yet: it takes a figure, or a part with an identity.",
                }
            }
        }
        @for finding in findings(context) {
            section {
                h2 { (finding.title) }
                p class="sentence" { (finding.sentence) }
                @for detail in &finding.details { (shown(detail)) }
            }
        }
    }
}

fn shown(detail: &Detail) -> Markup {
    match detail {
        Detail::Chart(chart) => drawing(chart),
        Detail::Table(table) => self::table(table),
        _ => html! {},
    }
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

fn table(table: &Table) -> Markup {
    html! {
        div class="wide" tabindex="0" role="group" aria-label=(table.caption) {
            table class="bill" {
                caption { (table.caption) }
                thead { tr { @for column in &table.columns { th scope="col" { (column.heading) } } } }
                tbody { @for row in &table.rows {
                    tr { @for (at, cell) in row.iter().enumerate() {
                        @if at == 0 { th scope="row" { (cell.printed()) } } @else { td { (cell.printed()) } }
                    } }
                } }
            }
        }
    }
}

/// Questions across products: each is an address, so that it can be gone back to and passed on.
fn across(context: &Context<'_>, asked: &AcrossAsked, seen: &AcrossSeen) -> Markup {
    html! {
        section id="across" class="across" aria-labelledby="h-across" {
            h2 id="h-across" { "Across products" }
            form class="begin" method="get" action="#across" role="search" aria-label="Across the products of this library" {
                label for="across-words" { "A part or a maker begins with" }
                input id="across-words" name="words" value=(asked.words) autocomplete="off" spellcheck="false";
                button type="submit" { "Look up" }
            }
            form class="begin" method="get" action="#across" {
                label for="across-figure" { "A figure over the years" }
                select id="across-figure" name="figure" {
                    @for kind in TraitKind::ALL {
                        option value=(kind.key()) selected[asked.figure == kind.key() || asked.figure.is_empty() && *kind == TraitKind::EnergyPerMass] { (capital(kind.words())) }
                    }
                }
                label for="across-class" { "of" }
                select id="across-class" name="class" {
                    option value="" { "all classes" }
                    @for (class, n) in &seen.classes {
                        option value=(class) selected[*class == asked.class] { (class) " (" (n) ")" }
                    }
                }
                button type="submit" { "Show" }
            }
            @if let Some(names) = &seen.names { (begun(context, names)) }
            @if let Some(part) = &seen.part { (holders(context, part)) }
            @if let Some(maker) = &seen.maker { (supplier(context, maker)) }
            @if let Some(over) = &seen.figure { (years(over)) }
        }
    }
}

fn link(context: &Context<'_>, key: &str, name: &str) -> String {
    format!(
        "/d/{}/standing?{key}={}#across",
        context.view.id,
        encoded(name)
    )
}

fn begun(context: &Context<'_>, names: &::library::Begun) -> Markup {
    html! {
        @if names.parts.is_empty() && names.makers.is_empty() {
            p { "No part and no maker of this library begins so." }
        }
        @for (key, title, all) in [("part", "Parts", &names.parts), ("maker", "Makers", &names.makers)] {
            @if !all.is_empty() {
                h3 { (title) }
                ul class="shared names" { @for name in all { li { a href=(link(context, key, name)) { (name) } } } }
            }
        }
    }
}

fn holders(context: &Context<'_>, part: &Holders) -> Markup {
    let count = match part.more {
        true => format!("more than {}", part.products.len()),
        false => counted(part.products.len(), "product", "products"),
    };
    html! {
        h3 { (part.part) " is in " (count) }
        @if !part.makers.is_empty() {
            p { "Made by " @for (at, maker) in part.makers.iter().enumerate() {
                @if at > 0 { ", " } a href=(link(context, "maker", maker)) { (maker) }
            } "." }
        }
        ul class="shared" { @for (id, product, maker) in &part.products {
            li { a href={ "/d/" (id) "/inside" } { (product) } " " span class="quiet" { (maker) } }
        } }
    }
}

fn supplier(context: &Context<'_>, maker: &Supplier) -> Markup {
    html! {
        h3 { (maker.maker) " supplies" }
        @if maker.parts.is_empty() { p { "No part of this library is by " (maker.maker) "." } }
        @else {
            table class="bill" {
                thead { tr { th scope="col" { "Part" } th scope="col" { "What it does" } th scope="col" { "Products" } } }
                tbody { @for row in &maker.parts {
                    tr { th scope="row" { a href=(link(context, "part", &row.part)) { (row.part) } } td { (row.role) } td class="number" { (row.products) } }
                } }
            }
        }
    }
}

fn years(over: &Over) -> Markup {
    html! {
        h3 { (capital(over.kind.words())) " over the years" }
        p class="sentence" { (over.sentence) }
        @if let Some(chart) = &over.chart { (drawing(chart)) }
        @if !over.rows.is_empty() {
            details {
                summary { (counted(over.rows.len(), "product", "products")) ", the latest first" }
                table class="bill" {
                    thead { tr { th scope="col" { "Product" } th scope="col" { "Year" } th scope="col" { (capital(over.kind.words())) } } }
                    tbody { @for (id, product, year, value) in &over.rows {
                        tr { th scope="row" { a href={ "/d/" (id) "/standing" } { (product) } } td { (year) } td class="number" { (value) } }
                    } }
                }
            }
        }
    }
}
