//! Power: what feeds what, as a diagram, as runs, and one thing's line to change it.

use super::Context;
use crate::field::{Look, field, label_of};
use crate::frame::Laid;
use maud::{Markup, PreEscaped, html};
use methods::words::{Words as _, capital};
use methods::{Detail, Finding, Method, PathRole, PowerMap, PowerNode, RowsOf, Verdict};
use record::{Dossier, Item, ItemKind, LinkKind, Place, field_at};
use report::verdict_words;

pub(crate) fn page(context: &Context<'_>) -> Laid {
    let map = map(context);
    let items = items(context, map);
    let chosen = context.query.at.as_deref();
    let chosen = items.iter().find(|item| Some(item.id.as_str()) == chosen);
    let chosen = chosen.or(items.first()).copied();
    Laid {
        main: html! {
            @if map.is_none() {
                p class="empty" { "No links yet. Start at what faces outside: socket, coil, contacts." }
            }
            (mistakes(context))
            (diagram(context, map, chosen))
            (runs(context))
            (logged(context))
            (hazards(context))
            (nodes(context, map, &items, chosen))
        },
        aside: Some(html! {
            @if let Some(item) = chosen { (line(context, map, item)) }
            section aria-labelledby="h-narrows" {
                h2 id="h-narrows" { "Would narrow most" }
                div id="narrows" data-own { p class="quiet" { "Which unknown stage, if it were known, would narrow a figure most." } }
            }
        }),
        module: true,
    }
}

fn findings<'a>(context: &'a Context<'_>) -> impl Iterator<Item = &'a Finding> {
    let findings = context.view.findings.findings.iter();
    findings.filter(|finding| finding.method() == Method::Power)
}

fn map<'a>(context: &'a Context<'_>) -> Option<&'a PowerMap> {
    findings(context)
        .flat_map(|f| &f.details)
        .find_map(|detail| match detail {
            Detail::Power(map) => Some(map),
            _ => None,
        })
}

/// The items that can be walked through: those on links from the outside inwards, then what could be linked.
fn items<'a>(context: &'a Context<'_>, map: Option<&PowerMap>) -> Vec<&'a Item> {
    let dossier = &context.view.dossier;
    let mut ids: Vec<String> = Vec::new();
    if let Some(map) = map {
        let starts = map
            .nodes
            .iter()
            .filter(|n| !map.edges.iter().any(|e| e.to == n.item));
        let mut waiting: Vec<&str> = starts.map(|n| n.item.as_str()).rev().collect();
        let mut rest = map.nodes.iter().map(|n| n.item.as_str());
        while let Some(id) = waiting.pop().or_else(|| rest.next()) {
            if ids.iter().any(|known| known == id) {
                continue;
            }
            ids.push(id.to_string());
            let after = map.edges.iter().rev().filter(|e| e.from == id);
            waiting.extend(after.map(|e| e.to.as_str()));
        }
    }
    let loose = dossier.items.iter().filter(|i| {
        (i.contact.is_some() || i.converts.is_some() || i.kind == ItemKind::Cell)
            && !ids.contains(&i.id)
    });
    let loose: Vec<String> = loose.map(|i| i.id.clone()).collect();
    ids.iter()
        .chain(&loose)
        .filter_map(|id| dossier.item(id))
        .collect()
}

fn mistakes(context: &Context<'_>) -> Markup {
    let mistakes = methods::power::mistakes(&context.view.dossier);
    html! {
        @if !mistakes.is_empty() {
            section class="slips" aria-labelledby="h-slips" {
                h2 id="h-slips" { "The links contradict themselves" }
                ul { @for mistake in &mistakes { li { (mistake.text) } } }
            }
        }
    }
}

fn diagram(context: &Context<'_>, map: Option<&PowerMap>, chosen: Option<&Item>) -> Markup {
    let Some(map) = map else { return html! {} };
    let chosen = chosen.map_or("", |item| item.id.as_str());
    let all = context.view.findings.findings.iter();
    let ways: Vec<_> = all.flat_map(report::open_ways).collect();
    let (svg, upright) = report::power_drawing(&context.view.dossier, map, &ways, Some(chosen));
    html! {
        section class="diagram-of-power" aria-labelledby="h-diagram" {
            h2 id="h-diagram" { "Diagram" }
            p class="quiet" { "Right and Left go down- and upstream, Up and Down to what hangs on the same; Enter links it to the next. On each arrow its net, volts, and the most that passes. What is framed heavily limits its path; what is open is not known; a broken arrow lies on a way on which nothing on record stops a hazard." }
            div class={ "diagram" @if upright.is_some() { " two" } } id="diagram" tabindex="0" role="group" aria-label="Diagram, walked by arrow keys" {
                (PreEscaped(svg))
                @if let Some(upright) = upright { div class="upright" { (PreEscaped(upright)) } }
            }
        }
    }
}

/// The ways in words: the way in by keys and by ear.
fn runs(context: &Context<'_>) -> Markup {
    let dossier = &context.view.dossier;
    let paths: Vec<&Finding> = findings(context)
        .filter(|f| f.id.question.as_str() == "path")
        .collect();
    html! {
        @if !paths.is_empty() {
            section aria-labelledby="h-runs" {
                h2 id="h-runs" { "As runs" }
                ol class="runs" {
                    @for finding in paths {
                        li {
                            p class="way" { (way(dossier, finding)) }
                            p { (finding.sentence) }
                        }
                    }
                }
            }
        }
    }
}

/// What meters recorded: each log in a sentence, with its course drawn.
fn logged(context: &Context<'_>) -> Markup {
    let logs: Vec<&Finding> = findings(context)
        .filter(|f| f.id.question.as_str() == "log")
        .collect();
    html! {
        section aria-labelledby="h-logs" {
            h2 id="h-logs" { "What meters recorded" }
            p { a href={ "/d/" (context.view.id) "/bring/log" } { "Bring a log in" } }
            @if !logs.is_empty() {
                @for finding in logs {
                    h3 { (finding.title) }
                    p { (finding.sentence) }
                    @for detail in &finding.details {
                        @if let Detail::Chart(chart) = detail {
                            @if let Some((svg, _)) = report::chart_drawing(chart) {
                                figure class="course" { (PreEscaped(svg)) figcaption class="quiet" { (chart.caption) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// What stands between hazards and what they reach: all in one sentence, then what is open.
fn hazards(context: &Context<'_>) -> Markup {
    let findings = context.view.findings.findings.iter();
    let told = findings.filter(|f| f.method() == Method::Protection);
    let is_row = |f: &&Finding| f.told_in == Some(RowsOf::Hazards);
    let (rows, others): (Vec<&Finding>, Vec<&Finding>) = told.partition(is_row);
    let open = rows
        .into_iter()
        .filter(|f| f.verdict != Some(Verdict::Holds));
    html! {
        @if !others.is_empty() {
            section aria-labelledby="h-hazards" {
                h2 id="h-hazards" { "What protects it" }
                @for finding in others { p { (finding.sentence) } }
                ol class="runs" {
                    @for finding in open {
                        li {
                            p class="way" { (finding.title) @if let Some(verdict) = finding.verdict { ": " (verdict_words(verdict)) } }
                            p { (finding.sentence.strip_prefix(&format!("{}: ", finding.title)).map_or_else(|| finding.sentence.clone(), capital)) }
                        }
                    }
                }
                @for caution in told_cautions(context) { p class="quiet" { (caution) } }
            }
        }
    }
}

/// The cautions of what protects, each once.
fn told_cautions<'a>(context: &'a Context<'_>) -> Vec<&'a str> {
    let findings = context.view.findings.findings.iter();
    let told = findings.filter(|f| f.method() == Method::Protection);
    let mut cautions: Vec<&str> = Vec::new();
    for caution in told.flat_map(|f| &f.cautions) {
        if !cautions.contains(&caution.as_str()) {
            cautions.push(caution);
        }
    }
    cautions
}

fn way(dossier: &Dossier, finding: &Finding) -> String {
    let name = |id: &String| {
        dossier
            .item(id)
            .map_or_else(|| id.clone(), |i| i.name.clone())
    };
    let names: Vec<String> = finding.id.words.iter().map(name).collect();
    names.join(" → ")
}

/// Every thing on a link, walked by arrow keys along the links.
fn nodes(
    context: &Context<'_>,
    map: Option<&PowerMap>,
    items: &[&Item],
    chosen: Option<&Item>,
) -> Markup {
    let dossier = &context.view.dossier;
    let ends = |of: &str, down: bool| -> Vec<&str> {
        let edges = map.iter().flat_map(|map| &map.edges);
        let ends = edges.filter_map(|e| match down {
            true => (e.from == of).then_some(e.to.as_str()),
            false => (e.to == of).then_some(e.from.as_str()),
        });
        ends.collect()
    };
    let names = |ids: &[&str]| {
        let names = ids
            .iter()
            .filter_map(|id| dossier.item(id))
            .map(|i| i.name.clone());
        methods::words::listed(names.collect())
    };
    html! {
        section aria-labelledby="h-nodes" {
            h2 id="h-nodes" { "Along the links" }
            p class="quiet" { "The same as the diagram, walked by the same keys." }
            @if items.is_empty() { p { "Nothing here faces outside, converts or stores. Enter things in " a href={ "/d/" (context.view.id) "/inside" } { "Inside" } " first." } }
            ul class="nodes" id="nodes" {
                @for item in items {
                    @let (down, up) = (ends(&item.id, true), ends(&item.id, false));
                    @let node = map.and_then(|map| map.nodes.iter().find(|n| n.item == item.id));
                    @let here = chosen.is_some_and(|c| c.id == item.id);
                    li data-key={ "node-" (item.id) } {
                        a href={ "/d/" (context.view.id) "/power?at=" (item.id) } data-node=(item.id) data-down=(down.join(" "))
                            data-up=(up.join(" ")) aria-current=[here.then_some("true")] tabindex=(if here { "0" } else { "-1" }) {
                            span class="name" { (item.name) }
                            span class="unseen" { ", " }
                            span class="is" { (says(dossier, item, node)) }
                            @if !down.is_empty() { span class="unseen" { ", feeds " (names(&down)) } }
                            @if !up.is_empty() { span class="unseen" { ", fed by " (names(&up)) } }
                        }
                    }
                }
            }
        }
    }
}

/// What it is and gives in one line.
fn says(dossier: &Dossier, item: &Item, node: Option<&PowerNode>) -> String {
    let mut parts: Vec<String> = Vec::new();
    let is_linked = dossier
        .links
        .iter()
        .any(|l| l.from == item.id || l.to == item.id);
    match (node.map(|n| n.sort), &item.converts) {
        (Some(PathRole::Unknown), _) => parts.push("not known what it does".to_string()),
        (_, Some(converts)) => parts.push(converts.kind.words().to_string()),
        (Some(PathRole::Contact), _) => parts.push("to the outside".to_string()),
        (Some(PathRole::Load), _) => parts.push("uses it".to_string()),
        (Some(PathRole::Pass), _) => parts.push("passes it on".to_string()),
        (None, _) if is_linked => parts.push("carries signals only".to_string()),
        (None, _) => parts.push("not linked".to_string()),
        _ => {}
    }
    if let Some(node) = node {
        parts.extend(node.limits.iter().map(methods::Cell::printed));
        if node.binds {
            parts.push("limits the path".to_string());
        }
    }
    parts.join(" · ")
}

const STAGE: [&str; 4] = [
    "converts.output-current-limit",
    "converts.input-current-limit",
    "converts.output-voltage",
    "converts.efficiency",
];

/// One thing: what it is, what feeds it, what it feeds.
fn line(context: &Context<'_>, map: Option<&PowerMap>, item: &Item) -> Markup {
    let dossier = &context.view.dossier;
    let place = || Place::item(&item.id);
    let node = map.and_then(|map| map.nodes.iter().find(|n| n.item == item.id));
    let may_convert = item.contact.is_none() && item.kind != ItemKind::Cell;
    let places = Place::links(dossier);
    let links = || {
        let links = dossier.links.iter().zip(&places);
        links.filter(|(link, _)| link.kind == LinkKind::Power)
    };
    html! {
        section class="node" aria-labelledby="h-node" data-key={ "line-" (item.id) } {
            h2 id="h-node" { (item.name) }
            p class="quiet" { (says(dossier, item, node)) }
            (feeds(context, item))
            @if may_convert {
                (stage(context, item))
                @if item.converts.is_some() {
                    div class="facts" { @for key in STAGE { (field(context, &place().at(key), Look::default())) } }
                }
            }
            @if item.contact.is_some() {
                (field(context, &place().at("contact.rating"), Look { label: Some("rating printed for it"), ..Look::default() }))
            }
            @let ends = [("Fed by", true), ("Feeds", false)];
            @for (words, into) in ends {
                @let own: Vec<_> = links().filter(|(link, _)| *(if into { &link.to } else { &link.from }) == item.id).collect();
                @if !own.is_empty() {
                    h3 { (words) }
                    ul class="links" {
                        @for (link, at) in own {
                            @let other = if into { &link.from } else { &link.to };
                            @let name = dossier.item(other).map_or(other.as_str(), |i| i.name.as_str());
                            li data-key={ "link-" (at) } {
                                form method="post" action={ "/d/" (context.view.id) "/edits" } data-unlink=(at) {
                                    input type="hidden" name="remove" value=(at);
                                    input type="hidden" name="back" value="power";
                                    a href={ "/d/" (context.view.id) "/power?at=" (other) } { (name) }
                                    " " button aria-label={ "Delete the link " @if into { "from " } @else { "to " } (name) } { "Delete" }
                                }
                                div class="facts" {
                                    @for key in ["voltage", "current-limit"] { (field(context, &at.clone().at(key), Look::default())) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The line that a link is typed into: the taker.
fn feeds(context: &Context<'_>, item: &Item) -> Markup {
    html! {
        form class="link-line" method="post" action={ "/d/" (context.view.id) "/edits" } data-link=(item.id) data-key={ "feeds-" (item.id) } {
            input type="hidden" name="to" value="links";
            input type="hidden" name="back" value="power";
            input type="hidden" name="entry.from" value=(item.id);
            input type="hidden" name="entry.kind" value="power";
            label for="taker" { "Feeds" }
            input id="taker" name="entry.to" autocomplete="off" spellcheck="false" enterkeyhint="done" list="takers"
                aria-describedby="taker-reads" placeholder="name of what takes the power";
            datalist id="takers" {
                @for other in context.view.dossier.items.iter().filter(|i| i.id != item.id && i.kind != ItemKind::Product) {
                    option value=(other.id) { (other.name) }
                }
            }
            p class="reads" id="taker-reads" data-own {}
        }
    }
}

/// What the stage is; that it is not known comes first.
fn stage(context: &Context<'_>, item: &Item) -> Markup {
    let at = Place::item(&item.id).at("converts.kind");
    let Some(kind) = field_at(&at) else {
        return html! {};
    };
    let present = context.values.at(&at).unwrap_or(serde_json::Value::Null);
    let word = kind.words(&present);
    let mut choices = kind.choices();
    choices.sort_by_key(|(word, _)| *word != "unknown");
    html! {
        form class="field" method="post" action={ "/d/" (context.view.id) "/edits" } data-field {
            input type="hidden" name="at" value=(at);
            input type="hidden" name="old" value=(present.to_string());
            input type="hidden" name="back" value="power";
            label for="stage" { "Stage" }
            select id="stage" name="new" data-shape=(kind.shape().word()) aria-describedby="stage-reads" title=(label_of(&kind)) {
                @if word.is_empty() { option value="" selected { "no stage" } }
                @for (choice, doc) in choices {
                    option value=(choice) title=(doc) selected[choice == word] { (choice.replace('-', " ")) }
                }
                @if !word.is_empty() { option value="" { "no stage" } }
            }
            p class="reads" id="stage-reads" {}
        }
    }
}
